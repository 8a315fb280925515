package rigging_test

import (
	"testing"

	"thole/rigging"
)

// person is a rower of whom sex, stature and mass are known.
func person(sex rigging.Sex, stature, mass float64) *rigging.Measures {
	return &rigging.Measures{Sex: sex, Stature: stature, Mass: mass}
}

// sweepSeat is a seat of a sweep boat with the stretcher where the finish is
// 35°, lengths in cm.
func sweepSeat(t *testing.T, code string, m *rigging.Measures, spread, inboard, length, gate float64) (rigging.Case, rigging.Stroke) {
	t.Helper()
	s := sweep()
	s.Class = class(code)
	s.Spread, s.Inboard, s.OarLength, s.GateHeight = spread/100, inboard/100, length/100, gate/100
	return finishing(t, rigging.NewCase(s, m), 35)
}

// TestPrimersGates: 16 cm for light crews, 17 to start and 19 for heavy men
// (V. Nolte, "A primer on sweep rigging") lie inside the window of such people.
// Who is light or heavy is our reading: lightweights of 59 and 70 kg, ordinary
// women of 70 and men of 82 kg, men of 95 to 100 kg. The 19 cm are the
// figure that the place where the hands meet the body was set by, and so no
// evidence; the other two are.
func TestPrimersGates(t *testing.T) {
	for _, row := range []struct {
		gate float64
		m    *rigging.Measures
	}{
		{16, person(rigging.Female, 1.69, 59)}, {16, person(rigging.Male, 1.81, 70)},
		{17, person(rigging.Female, 1.76, 70)}, {17, person(rigging.Male, 1.86, 82)},
		{19, person(rigging.Male, 1.94, 97)}, {19, person(rigging.Male, 1.97, 100)},
	} {
		for _, code := range []string{"4-", "4+", "8+"} {
			c, stroke := sweepSeat(t, code, row.m, 85, 115, 375, row.gate)
			h := c.Heights(&stroke)
			if h.Window.Verdict(c.Setup.GateHeight) != 0 {
				t.Errorf("%s, %.0f kg: gate at %g cm, window %.1f to %.1f", code, row.m.Mass, row.gate, 100*h.Window.Low, 100*h.Window.High)
			}
		}
	}
}

// TestGatesOutOfThePrimersRange are told: 13 cm under a heavy man and 21 cm
// under a light woman.
func TestGatesOutOfThePrimersRange(t *testing.T) {
	for _, row := range []struct {
		gate float64
		m    *rigging.Measures
		want int
	}{{13, person(rigging.Male, 1.94, 97), -1}, {21, person(rigging.Female, 1.69, 59), +1}} {
		c, stroke := sweepSeat(t, "8+", row.m, 85, 115, 375, row.gate)
		h := c.Heights(&stroke)
		if got := h.Window.Out(c.Setup.GateHeight); got != row.want {
			t.Errorf("%.0f kg: gate at %g cm, window %.1f to %.1f: %+d, want %+d", row.m.Mass, row.gate, 100*h.Window.Low, 100*h.Window.High, got, row.want)
		}
	}
}

// TestTwelveOrdinarySweepRigs: spreads of 83 to 87 cm (S. Wilson, Rigging –
// Simplified, Rowing Australia), inboards of spread + 30 (V. Nolte, Rowing News,
// May 2023), oars of 370 to 377 cm (within the Évry club handout's 366 to 378
// for hatchets), and gates of 16 to 18 cm that crews of such mass row (common
// practice). None of them reads too high or too low.
func TestTwelveOrdinarySweepRigs(t *testing.T) {
	for _, row := range []struct {
		code                          string
		sex                           rigging.Sex
		stature, mass                 float64
		spread, inboard, length, gate float64
	}{
		{"2-", rigging.Male, 1.88, 85, 86, 116, 374, 17},
		{"2-", rigging.Female, 1.75, 70, 86, 116, 372, 16.5},
		{"2-", rigging.Male, 1.81, 70, 86, 116, 373, 16},
		{"2+", rigging.Male, 1.83, 79, 87, 117, 374, 17},
		{"4-", rigging.Male, 1.90, 88, 85, 115, 375, 17.5},
		{"4-", rigging.Female, 1.78, 73, 85, 115, 373, 17},
		{"4-", rigging.Female, 1.69, 59, 85, 115, 371, 16},
		{"4+", rigging.Male, 1.80, 78, 85, 115, 374, 17},
		{"4+", rigging.Female, 1.72, 66, 84, 114, 370, 16.5},
		{"8+", rigging.Male, 1.91, 91, 84, 114, 377, 18},
		{"8+", rigging.Male, 1.84, 80, 84, 114, 376, 17},
		{"8+", rigging.Female, 1.76, 71, 83, 113, 373, 17},
	} {
		m := person(row.sex, row.stature, row.mass)
		c, stroke := sweepSeat(t, row.code, m, row.spread, row.inboard, row.length, row.gate)
		w := c.Heights(&stroke).Window
		if got := w.Verdict(c.Setup.GateHeight); got != 0 {
			t.Errorf("%s, %.2f m, %.0f kg: gate at %g, window %.1f to %.1f: %+d", row.code, row.stature, row.mass, row.gate, 100*w.Low, 100*w.High, got)
		}
	}
}

// TestOrdinarySculls: port gates of 15.5 to 17.5 cm (common practice) read
// neither too high nor too low.
func TestOrdinarySculls(t *testing.T) {
	for _, row := range []struct {
		code string
		m    *rigging.Measures
		gate float64
	}{
		{"1x", person(rigging.Female, 1.68, 59), 15.5}, {"1x", person(rigging.Male, 1.85, 82), 16.5},
		{"2x", person(rigging.Female, 1.77, 71), 16}, {"4x", person(rigging.Male, 1.91, 92), 17.5},
	} {
		s := scull()
		s.Class, s.GateHeight = class(row.code), row.gate/100
		c, stroke := finishing(t, rigging.NewCase(s, row.m), 44)
		w := c.Heights(&stroke).Window
		if got := w.Verdict(c.Setup.GateHeight); got != 0 {
			t.Errorf("%s, %.0f kg: gate at %g, window %.1f to %.1f: %+d", row.code, row.m.Mass, row.gate, 100*w.Low, 100*w.High, got)
		}
	}
}

// TestHeavierCrewsWantHigherGates: the hull lies deeper under them and their
// thighs are thicker; the window of a man of 95 kg lies higher at both ends than
// that of one of 70 kg of the same stature.
func TestHeavierCrewsWantHigherGates(t *testing.T) {
	for _, code := range []string{"1x", "2x", "2-", "4-", "8+"} {
		window := func(mass float64) rigging.GateWindow {
			s := sweep()
			if class(code).Scull {
				s = scull()
			}
			s.Class = class(code)
			c := rigging.NewCase(s, person(rigging.Male, 1.85, mass))
			stroke := solved(t, &c)
			return c.Heights(&stroke).Window
		}
		light, heavy := window(70), window(95)
		if heavy.Low <= light.Low+0.005 || heavy.High <= light.High+0.002 {
			t.Errorf("%s: 70 kg %+v, 95 kg %+v", code, light, heavy)
		}
	}
}
