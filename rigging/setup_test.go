package rigging_test

import (
	"math"
	"testing"

	"thole/rigging"
)

// rig returns a set-up of which only what the levers need is known, cm.
func rig(code string, length, inboard, pin float64) rigging.Setup {
	s := rigging.Setup{Class: class(code), OarLength: length / 100, Inboard: inboard / 100}
	if s.Class.Scull {
		s.Span = pin / 100
	} else {
		s.Spread = pin / 100
	}
	return s
}

// TestGearingAndOverlapOfFiveRigs works the definitions of the rigging survey
// of the 2006 world championships (International Rowing Federation, protocol)
// by hand for five rigs: the first three ratios and both overlaps follow from
// it; the lever ratio takes the grip and blade allowances of Levers. Tolerances
// are half a unit of the last digit.
func TestGearingAndOverlapOfFiveRigs(t *testing.T) {
	for _, row := range []struct {
		setup                    rigging.Setup
		oar, span, survey, lever float64
		raw, withGates           float64 // cm
	}{
		{rig("1x", 289, 88, 160), 2.284, 2.513, 2.577, 2.107, 16, 20},
		{rig("2x", 288, 88, 159), 2.273, 2.516, 2.581, 2.095, 17, 21},
		{rig("1x", 282, 88, 160), 2.205, 2.425, 2.487, 2.024, 16, 20},
		{rig("2-", 373, 116, 86), 2.216, 2.988, 3.060, 2.214, 30, 32},
		{rig("8+", 375, 114, 84), 2.289, 3.107, 3.183, 2.297, 30, 32},
	} {
		g, o := row.setup.Gearing(), row.setup.Overlap()
		near(t, "oar ratio", g.OarRatio, row.oar, 0.0005)
		near(t, "span ratio", g.SpanRatio, row.span, 0.0005)
		near(t, "survey ratio", g.SurveyRatio, row.survey, 0.0005)
		near(t, "lever ratio", g.LeverRatio, row.lever, 0.0005)
		near(t, "overlap, raw (cm)", 100*o.Raw, row.raw, 1e-9)
		near(t, "overlap, with gates (cm)", 100*o.WithGates, row.withGates, 1e-9)
	}
}

// TestLeversLeaveOutGateGripAndBlade spells the allowances out, cm by cm.
func TestLeversLeaveOutGateGripAndBlade(t *testing.T) {
	s := rig("1x", 289, 88, 160)
	lv := s.Levers()
	near(t, "R_in", lv.Inner, 0.88-0.04, 1e-12)
	near(t, "R_out", lv.Outer, 2.01-0.24, 1e-12)
	near(t, "hand", lv.Hand, lv.Inner, 0)
	w := rig("8+", 375, 114, 84)
	lv = w.Levers()
	near(t, "R_in, sweep", lv.Inner, 1.14-0.13, 1e-12)
	near(t, "R_out, sweep", lv.Outer, 2.61-0.29, 1e-12)
	near(t, "outside hand", lv.Hand, 1.14-0.03, 1e-12)
}

func TestGearingGrowsTowardsTheEndsAlike(t *testing.T) {
	g := rigging.Gearing{LeverRatio: 2.1}
	near(t, "square", g.At(0), 2.1, 0)
	for d := 5.0; d < 90; d += 5 {
		near(t, "mirror", g.At(deg(-d)), g.At(deg(d)), 0)
		if g.At(deg(d)) <= g.At(deg(d-5)) {
			t.Errorf("gearing at %g is not above that at %g", d, d-5)
		}
	}
}

// TestPitchTable: rows of g/s/l (degrees) with the pitch at −65, −55, 0, +35
// and +43 degrees, worked out from the small-angle formula to the printed
// digits.
func TestPitchTable(t *testing.T) {
	angles := [...]float64{-65, -55, 0, 35, 43}
	for _, row := range []struct {
		g, s, l float64
		want    [5]float64
		tol     float64
	}{
		{4, 0, 1, [5]float64{4.9, 4.8, 4.0, 3.4, 3.3}, 0.05},
		{0, 4, 0, [5]float64{1.7, 2.3, 4.0, 3.3, 2.9}, 0.05},
		{2, 2, 1, [5]float64{3.75, 4.0, 4.0, 3.1, 2.8}, 0.05},
	} {
		s := rigging.Setup{BladePitch: deg(row.g), SternPitch: deg(row.s), OutwardPitch: deg(row.l)}
		for i, at := range angles {
			degrees(t, "pitch", s.Pitch(deg(at)), row.want[i], row.tol)
		}
	}
}

// TestPitchIsTheBladesTiltInSpace derives the pitch from the pin as a line in
// space. Small leans, so that the formula holds to second order.
func TestPitchIsTheBladesTiltInSpace(t *testing.T) {
	in := seeded(2)
	for range 200 {
		s := rigging.Setup{BladePitch: deg(in(-3, 6)), SternPitch: deg(in(-3, 6)), OutwardPitch: deg(in(-3, 3))}
		theta := deg(in(-75, 60))
		// The pin points up, leaning to the stern (x) and outwards (y).
		px, py := math.Tan(float64(s.SternPitch)), math.Tan(float64(s.OutwardPitch))
		// The shaft points outwards along (sin θ, cos θ). The driving face
		// looks square to it, to the stern with the oar square to the hull.
		nx, ny := math.Cos(float64(theta)), -math.Sin(float64(theta))
		// The blade's upper edge leans with the pin along that normal, and
		// by what is built into gate or oar.
		lean := math.Atan(px*nx + py*ny)
		near(t, "pitch (deg)", s.Pitch(theta).Degrees(), rigging.Angle(lean).Degrees()+s.BladePitch.Degrees(), 0.05)
	}
}

func TestSidesAndClasses(t *testing.T) {
	for _, s := range []rigging.Side{rigging.Port, rigging.Starboard} {
		if got, ok := rigging.ParseSide(s.String()); !ok || got != s || s.Other() == s || s.Other().Other() != s {
			t.Errorf("side %v does not survive its name", s)
		}
	}
	if _, ok := rigging.ParseSide("left"); ok || rigging.Side(0).String() != "" {
		t.Error("a side nobody names has a name")
	}
	if _, ok := rigging.ClassByCode("3x"); ok {
		t.Error("there is no 3x")
	}
	for _, c := range rigging.Classes() {
		if again, ok := rigging.ClassByCode(c.Code); !ok || again != c {
			t.Errorf("%s is not found by its code", c.Code)
		}
		if (c.OarsPerRower() == 2) != c.Scull {
			t.Errorf("%s: %d oars a rower", c.Code, c.OarsPerRower())
		}
	}
}

func TestClassesCannotBeChangedByCallers(t *testing.T) {
	rigging.Classes()[0].Code = "spoilt"
	if rigging.Classes()[0].Code != "1x" {
		t.Error("a caller changed the table of classes")
	}
}

func TestAnglesConvert(t *testing.T) {
	near(t, "half a turn", (180 * rigging.Degree).Radians(), math.Pi, 0)
	near(t, "a quarter", rigging.Angle(math.Pi/2).Degrees(), 90, 1e-13)
}
