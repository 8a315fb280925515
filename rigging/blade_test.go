package rigging_test

import (
	"testing"

	"thole/rigging"
)

// TestBladesHaveTheirMeasures: the sweep hatchet is 25 cm high and 55 long
// (Baudouin & Hawkins, Br J Sports Med 36 (2002) 396; half of it enters the lever
// as 27 cm), the scull 21.5 cm high (common practice); the rest is from memory.
func TestBladesHaveTheirMeasures(t *testing.T) {
	near(t, "sweep height", class("8+").Blade(rigging.Hatchet).Height, 0.25, 0)
	near(t, "sweep length", class("8+").Blade(rigging.Hatchet).Length, 0.55, 0.011)
	near(t, "scull height", class("1x").Blade(rigging.Hatchet).Height, 0.215, 0)
	for _, code := range []string{"1x", "8+"} {
		c := class(code)
		hatchet, macon, large := c.Blade(rigging.Hatchet), c.Blade(rigging.Macon), c.Blade(rigging.Large)
		near(t, "drop of the hatchet", hatchet.Drop, 0.045, 0.005)
		near(t, "drop of the macon", macon.Drop, 0, 0)
		if !(macon.Length > hatchet.Length && hatchet.Length > large.Length) || !(macon.Height < hatchet.Height && hatchet.Height < large.Height) {
			t.Errorf("%s: macon %+v, hatchet %+v, large %+v", code, macon, hatchet, large)
		}
		for _, kind := range bladeKinds() {
			if b := c.Blade(kind); b.Source == "" {
				t.Errorf("%s %s has no source", code, kind)
			}
		}
		if c.Blade("") != hatchet || c.Blade("spoon") != hatchet {
			t.Errorf("%s: no kind is not the hatchet", code)
		}
	}
}

func TestParseBlade(t *testing.T) {
	for name, want := range map[string]rigging.BladeKind{"": rigging.Hatchet, "hatchet": rigging.Hatchet, "macon": rigging.Macon, "large": rigging.Large, "spoon": ""} {
		if got, ok := rigging.ParseBlade(name); got != want || ok != (want != "") {
			t.Errorf("%q: %q, %v", name, got, ok)
		}
	}
}

// TestLongerBladesShortenTheOutboardLever by half their length.
func TestLongerBladesShortenTheOutboardLever(t *testing.T) {
	s := sweep()
	hatchet := s.Levers()
	s.Blade = rigging.Macon
	macon := s.Levers()
	near(t, "R_out", hatchet.Outer-macon.Outer, 0.03, 1e-12)
	near(t, "R_in", macon.Inner, hatchet.Inner, 0)
	near(t, "height", macon.BladeDepth, 0.20, 0)
	near(t, "drop", macon.BladeDrop, 0, 0)
}
