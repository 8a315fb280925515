package rigging_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// lineSetup has gates 24 cm over the water and the given levers, m.
func lineSetup(code string, kind rigging.BladeKind, outer, hand float64) (s rigging.Setup, over float64) {
	s = rigging.Setup{Class: class(code), Blade: kind, GateHeight: 0.165}
	inboard := hand + 0.04
	if !s.Class.Scull {
		inboard = hand + 0.03
	}
	s.Inboard, s.OarLength = inboard, inboard+outer+0.02+s.Class.Blade(kind).Length/2
	return s, 0.24 - 0.165
}

// TestHandleOverTheGateByHand works the line from blade over gate to hand by
// trigonometry for one scull and one sweep oar: gate's face 24 cm over the
// water, shaft 2.2 cm above it, the hatchet's middle 4.5 cm below the shaft's
// line. Figures, by a bisection written apart, to the printed digits.
func TestHandleOverTheGateByHand(t *testing.T) {
	for _, row := range []struct {
		code                         string
		outer, hand                  float64 // m
		recovery, covered            float64 // fall of the shaft, degrees
		recoveryRise, coveredRise    float64 // hand over the shaft's axis at the gate, cm
		perGate, bladeCoveredAtAbout float64
	}{
		{"1x", 1.76, 0.84, 4.1, 10.7, 6.0, 15.5, 1.48, -3.6},
		{"8+", 2.31, 1.01, 2.4, 8.5, 4.2, 15.0, 1.44, -3.1},
	} {
		s, over := lineSetup(row.code, rigging.Hatchet, row.outer, row.hand)
		rise := func(v rigging.Angle) float64 { return s.HandleAt(v, over) - (0.165 + 0.022) }
		fall := func(v rigging.Angle) float64 { return rigging.Angle(math.Asin(rise(v) / row.hand)).Degrees() }
		near(t, "fall on the recovery", fall(deg(3)), row.recovery, 0.06)
		near(t, "hand on the recovery (cm)", 100*rise(deg(3)), row.recoveryRise, 0.06)
		// Just covered: the blade's middle half its height under water.
		v := deg(root(-10, 0, func(v float64) float64 {
			return s.BladeOverWater(deg(v), over) + s.Levers().BladeDepth/2
		}))
		degrees(t, "vertical angle just covered", v, row.bladeCoveredAtAbout, 0.1)
		degrees(t, "JustCovered", s.JustCovered(over), v.Degrees(), 1e-9)
		near(t, "fall with the blade covered", fall(v), row.covered, 0.06)
		near(t, "hand with the blade covered (cm)", 100*rise(v), row.coveredRise, 0.06)
		// One centimetre of gate at equal depth of the blade.
		higher := s
		higher.GateHeight += 0.01
		near(t, "hand for 1 cm of gate (cm)", 100*(higher.HandleAt(higher.JustCovered(over), over)-s.HandleAt(v, over)), row.perGate, 0.005)
	}
}

// TestSymmetricBladesLieOnTheShaft: with the middle on the shaft's line the
// recovery at +3° has the shaft fall by 5.6° (scull) and 3.5° (sweep) and the
// hand 8.1 and 6.2 cm over the shaft's axis at the gate, by trigonometry.
func TestSymmetricBladesLieOnTheShaft(t *testing.T) {
	for _, row := range []struct {
		code                     string
		outer, hand, fall, above float64
	}{{"1x", 1.76, 0.84, 5.6, 8.1}, {"8+", 2.31, 1.01, 3.5, 6.2}} {
		s, over := lineSetup(row.code, rigging.Macon, row.outer, row.hand)
		rise := s.HandleAt(deg(3), over) - (0.165 + 0.022)
		near(t, "hand (cm)", 100*rise, row.above, 0.06)
		near(t, "fall", rigging.Angle(math.Asin(rise/row.hand)).Degrees(), row.fall, 0.06)
	}
}

// TestHandleAndBladeLieOnOneLine finds the shaft's fall by bisection: level
// means the blade's middle at the water, and the vertical angle counts from
// there.
func TestHandleAndBladeLieOnOneLine(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		in := seeded(21)
		for i := range 500 {
			s, over := some(in), in(-0.05, 0.20)
			s.Blade = bladeKinds()[i%3]
			v := deg(in(-8, 8))
			lv := s.Levers()
			gate := s.GateHeight + min(0, s.GateDifference) + 0.022
			middle := func(fall float64) float64 {
				return gate + over - lv.Outer*math.Sin(fall) - lv.BladeDrop*math.Cos(fall)
			}
			fall := root(-1.5, 1.5, middle) - float64(v)
			near(t, "hand", s.HandleAt(v, over), gate+lv.Hand*math.Sin(fall), 1e-9)
			near(t, "blade", s.BladeOverWater(v, over), middle(fall), 1e-9)
		}
	})
}

// TestTheDropRaisesTheWindow: by 4.5 cm · R_hand/R_out for the hand and that
// over 1 + R_hand/R_out for the gate, about 1.4 cm.
func TestTheDropRaisesTheWindow(t *testing.T) {
	for _, setup := range []rigging.Setup{scull(), sweep()} {
		lv := setup.Levers()
		high := func(kind rigging.BladeKind) float64 {
			s := setup
			s.Blade = kind
			s.OarLength = s.Inboard + lv.Outer + 0.02 + s.Class.Blade(kind).Length/2 // the same lever
			c := rigging.NewCase(s, adult())
			stroke := solved(t, &c)
			return c.Heights(&stroke).Window.High
		}
		raised := high(rigging.Hatchet) - high(rigging.Macon)
		near(t, "rise (cm)", 100*raised, 100*0.045*lv.Hand/lv.Outer/(1+lv.Hand/lv.Outer), 0.03)
		near(t, "rise (cm)", 100*raised, 1.45, 0.1)
	}
}

func TestHandleHeightsEnterAtTheWaterAndFinishCovered(t *testing.T) {
	s := scull()
	h := s.HandleHeights(0.07)
	near(t, "catch", h.Catch, s.HandleAt(0, 0.07), 0)
	near(t, "finish", h.Finish, s.HandleAt(deg(-3), 0.07), 0)
	near(t, "blade at the entry", s.BladeOverWater(0, 0.07), 0, 1e-12)
}

// TestHandRisesWithTheGateAndSinksWithTheCrew states the direction of each
// influence on the hand's height over the seat.
func TestHandRisesWithTheGateAndSinksWithTheCrew(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		rapid.Check(t, func(t *rapid.T) {
			in := drawn(t)
			s, over, v := some(in), in(-0.02, 0.12), deg(in(-6, 6))
			before := s.HandleAt(v, over)
			if s.HandleAt(v+deg(1), over) >= before {
				t.Errorf("a higher blade does not lower the hand")
			}
			if s.HandleAt(v, over+0.01) <= before {
				t.Errorf("a seat higher over the water does not raise the hand")
			}
			s.GateHeight += 0.01
			if s.HandleAt(v, over) <= before+0.01 {
				t.Errorf("the hand does not rise by more than the gate")
			}
			if s.SeatOverWaterAt(s.Class.ReferenceMass+50) >= s.SeatOverWaterAt(s.Class.ReferenceMass) {
				t.Errorf("a heavier crew does not lower the seat")
			}
		})
	})
}

func TestSeatStandsAsStatedAtTheReferenceDisplacement(t *testing.T) {
	for _, c := range rigging.Classes() {
		s := rigging.Setup{Class: c, SeatOverWater: 0.08}
		near(t, c.Code, s.SeatOverWaterAt(c.ReferenceMass), 0.08, 1e-15)
		near(t, c.Code+", 10 kg more", s.SeatOverWaterAt(c.ReferenceMass+10), 0.08-10*c.SinkagePerKilogram(), 1e-15)
	}
}

// TestSeatStandsAsStatedUnderTheCrewTheHullIsBuiltFor: in a hull for light
// rowers the same person sits lower than in one for heavy rowers.
func TestSeatStandsAsStatedUnderTheCrewTheHullIsBuiltFor(t *testing.T) {
	for _, c := range rigging.Classes() {
		light, heavy := rigging.Setup{Class: c, SeatOverWater: 0.08, BuiltFor: 60}, rigging.Setup{Class: c, SeatOverWater: 0.08, BuiltFor: 90}
		near(t, c.Code+" as built", light.SeatOverWaterAt(c.Displacement(60)), 0.08, 1e-15)
		lower := heavy.SeatOverWaterAt(c.Displacement(75)) - light.SeatOverWaterAt(c.Displacement(75))
		near(t, c.Code+" lower by", lower, 30*float64(c.Rowers)*c.SinkagePerKilogram(), 1e-12)
	}
}

func TestDisplacementAddsUp(t *testing.T) {
	near(t, "1x", class("1x").Displacement(80), 14+83, 1e-12)
	near(t, "8+", class("8+").Displacement(90), 96+8*93+55, 1e-12)
}

// TestCaseTakesTheStatedDisplacement: a heavier boat carries the hands lower.
func TestCaseTakesTheStatedDisplacement(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	s := solved(t, &c)
	own := c.Heights(&s).SeatOverWater
	near(t, "seat over water by the rower's mass", own, c.Setup.SeatOverWaterAt(14+85+3), 1e-12)
	c.Displacement = 130
	near(t, "seat over water as stated", c.Heights(&s).SeatOverWater, c.Setup.SeatOverWaterAt(130), 1e-12)
	if heavier := solved(t, &c); heavier.AtCatch.Hand.Z >= s.AtCatch.Hand.Z {
		t.Errorf("hand at %.4f under 130 kg, at %.4f under 102", heavier.AtCatch.Hand.Z, s.AtCatch.Hand.Z)
	}
}

// TestHeightsFollowTheirDefinitions checks the fields of Heights against the
// rig's own functions.
func TestHeightsFollowTheirDefinitions(t *testing.T) {
	for _, setup := range []rigging.Setup{scull(), sweep()} {
		c := rigging.NewCase(setup, adult())
		s := solved(t, &c)
		h := c.Heights(&s)
		near(t, "gate over water", h.GateOverWater, setup.GateHeight+h.SeatOverWater, 1e-12)
		near(t, "entry", h.HandleEntry, setup.HandleAt(0, h.SeatOverWater), 0)
		near(t, "covered", h.HandleCovered, setup.HandleAt(deg(-3), h.SeatOverWater), 0)
		near(t, "recovery", h.HandleRecovery, setup.HandleAt(deg(3), h.SeatOverWater), 0)
		near(t, "blade on the recovery", h.BladeRecovery, setup.BladeOverWater(deg(3), h.SeatOverWater), 0)
		lv := setup.Levers()
		near(t, "hand for each metre of gate", h.HandlePerGate, 1+lv.Hand/lv.Outer, 1e-12)
		near(t, "arm slope", math.Sin(float64(h.ArmSlope)), (s.AtCatch.Shoulder.Z-h.HandleCovered)/c.Body.Body.Arm, 1e-12)
		near(t, "thigh top", h.ThighTop, c.Body.ThighTop, 0)
		near(t, "blade's upper edge at mid-drive", setup.BladeOverWater(h.JustCovered, h.SeatOverWater)+lv.BladeDepth/2, 0, 1e-12)
		near(t, "hand at mid-drive", h.HandleMidDrive, setup.HandleAt(h.JustCovered, h.SeatOverWater), 0)
	}
}

func TestLowerGateCountsForTheHeights(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	s := solved(t, &c)
	c.Setup.GateDifference = 0.01
	starboardHigh := c.Heights(&s).GateOverWater
	c.Setup.GateDifference = -0.01
	near(t, "starboard lower by 1 cm", c.Heights(&s).GateOverWater, starboardHigh-0.01, 1e-12)
}

// TestDrawHeightMeasuredWins: the measured height with the tape's spread, or
// the lower ribs laid back about the hip.
func TestDrawHeightMeasuredWins(t *testing.T) {
	m := adult()
	m.DrawHeight = 0.33
	c := rigging.NewCase(scull(), m)
	s := solved(t, &c)
	h := c.Heights(&s)
	near(t, "measured", h.DrawHeight, 0.33, 0)
	near(t, "its SD", h.DrawHeightSD, rigging.DefaultTape, 0)
	if !h.DrawMeasured || h.Window.Estimated {
		t.Errorf("measured: %+v", h)
	}

	c.DrawHeight = 0
	c.Posture.Layback = 0
	upright := c.Heights(&s)
	// Tenth rib of people sitting upright: 283 ± 21 mm (men), 284 ± 19 mm
	// (women), ANSUR II. In front the hands meet the body higher than the
	// side of that rib, and well below the shoulders.
	near(t, "upright", upright.DrawHeight, 0.2835+0.10, 0.05)
	if upright.DrawMeasured || !upright.Window.Estimated {
		t.Errorf("an estimate of the draw height is not marked: %+v", upright)
	}
	near(t, "its SD", upright.DrawHeightSD, 0.020, 1e-12)
	c.Posture.Layback = deg(30)
	hip := c.Body.Body.HipHeight
	near(t, "laid back", c.Heights(&s).DrawHeight-hip, (upright.DrawHeight-hip)*math.Cos(math.Pi/6), 1e-12)
}

// TestWindowEndsGiveBackTheirBounds puts the gate at either end of the window
// and looks at what is to hold there; every bound must turn up.
func TestWindowEndsGiveBackTheirBounds(t *testing.T) {
	met := map[rigging.Bound]int{}
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		in := seeded(31)
		for range 600 {
			c := rigging.NewCase(some(in), adult())
			c.Body.Body, c.Posture = someBody(in), somePosture(in, c.Setup.Class)
			c.Body.ThighTop, c.DrawHeight = in(0.12, 0.24), in(0.24, 0.60)
			s, err := c.Solve()
			if err != nil {
				continue
			}
			w := c.Heights(&s).Window
			checkBound(t, c, &s, w.Low, w.LowBy)
			checkBound(t, c, &s, w.High, w.HighBy)
			met[w.LowBy]++
			met[w.HighBy]++
		}
	})
	for _, b := range []rigging.Bound{rigging.BoundCovered, rigging.BoundThighs, rigging.BoundArmHigh, rigging.BoundArmLow} {
		if met[b] == 0 {
			t.Errorf("no random case is bound by %s", b)
		}
	}
}

func checkBound(t *testing.T, c rigging.Case, s *rigging.Stroke, gate float64, by rigging.Bound) {
	t.Helper()
	c.Setup.GateHeight = gate - min(0, c.Setup.GateDifference)
	h := c.Heights(s)
	switch by {
	case rigging.BoundCovered:
		near(t, "hand where it meets the body", h.HandleCovered, h.DrawHeight, 1e-8)
	case rigging.BoundThighs:
		near(t, "hand over the thighs", h.HandleRecovery, h.ThighTop+0.04, 1e-8)
	case rigging.BoundArmHigh:
		degrees(t, "arm slope", h.ArmSlope, 0, 1e-5)
	case rigging.BoundArmLow:
		degrees(t, "arm slope", h.ArmSlope, 20, 1e-5)
	default:
		t.Errorf("unknown bound %q", by)
	}
}

// TestWindowHoldsEveryBound: just inside the window all four hold, just outside
// the named one does not.
func TestWindowHoldsEveryBound(t *testing.T) {
	in := seeded(32)
	for range 400 {
		c := rigging.NewCase(someScull(in), adult())
		c.Body.ThighTop, c.DrawHeight = in(0.12, 0.24), in(0.24, 0.60)
		s, err := c.Solve()
		if err != nil {
			continue
		}
		w := c.Heights(&s).Window
		for _, row := range []struct {
			gate  float64
			holds bool
		}{{w.Low + 1e-6, true}, {w.High - 1e-6, true}, {w.Low - 1e-6, false}, {w.High + 1e-6, false}} {
			if w.Low < w.High && allBoundsHold(c, &s, row.gate) != row.holds {
				t.Fatalf("gate %.4f, window %+v: want holds = %v", row.gate, w, row.holds)
			}
		}
	}
}

func allBoundsHold(c rigging.Case, s *rigging.Stroke, gate float64) bool {
	c.Setup.GateHeight = gate - min(0, c.Setup.GateDifference)
	h := c.Heights(s)
	return h.HandleCovered <= h.DrawHeight && h.HandleRecovery >= h.ThighTop+0.04 && h.ArmSlope >= 0 && h.ArmSlope <= deg(20)
}

func TestWindowVerdict(t *testing.T) {
	for _, row := range []struct {
		low, high, gate float64
		want            int
	}{
		{0.14, 0.18, 0.13, -1}, {0.14, 0.18, 0.14, 0}, {0.14, 0.18, 0.16, 0}, {0.14, 0.18, 0.18, 0}, {0.14, 0.18, 0.19, +1},
		// No height suits: only beyond both ends is the answer plain.
		{0.18, 0.14, 0.13, -1}, {0.18, 0.14, 0.16, 0}, {0.18, 0.14, 0.19, +1},
	} {
		w := rigging.GateWindow{Low: row.low, High: row.high}
		if got := w.Verdict(row.gate); got != row.want {
			t.Errorf("window %g to %g, gate %g: verdict %+d, want %+d", row.low, row.high, row.gate, got, row.want)
		}
	}
}

// TestOutWantsMoreThanTheWindowsOwnSpread: two standard deviations of the end
// in question, here 1 cm at the lower and 2 cm at the upper bound.
func TestOutWantsMoreThanTheWindowsOwnSpread(t *testing.T) {
	for _, row := range []struct {
		low, high, gate float64
		want            int
	}{
		{0.14, 0.18, 0.1199, -1}, {0.14, 0.18, 0.1201, 0}, {0.14, 0.18, 0.2199, 0}, {0.14, 0.18, 0.2201, +1},
		{0.18, 0.14, 0.0999, -1}, {0.18, 0.14, 0.1001, 0}, {0.18, 0.14, 0.1999, 0}, {0.18, 0.14, 0.2001, +1},
	} {
		w := rigging.GateWindow{Low: row.low, High: row.high, LowSD: 0.01, HighSD: 0.02}
		if got := w.Out(row.gate); got != row.want {
			t.Errorf("window %g ± 1 to %g ± 2 cm, gate %g: %+d, want %+d", row.low, row.high, row.gate, got, row.want)
		}
	}
}

// TestEndsOfTheWindowCarryTheirOwnSpread: the draw height's at the upper, the
// thighs' at the lower end, over what the hand rises for each metre of gate.
// Thighs of men vary by 16 mm and of women by 14 mm (ANSUR II), less once the
// mass is known.
func TestEndsOfTheWindowCarryTheirOwnSpread(t *testing.T) {
	for sex, sd := range map[rigging.Sex]float64{rigging.Male: 0.016, rigging.Female: 0.014} {
		any, weighed := (&rigging.Measures{Sex: sex}).Estimate(rigging.DefaultTape), (&rigging.Measures{Sex: sex, Mass: 75}).Estimate(rigging.DefaultTape)
		near(t, "thighs of anybody", any.ThighTopSD, sd, 0.001)
		if weighed.ThighTopSD > 0.8*any.ThighTopSD || weighed.ThighTopSD < 0.005 {
			t.Errorf("%s: thighs ± %g with the mass, ± %g without", sex, weighed.ThighTopSD, any.ThighTopSD)
		}
	}
	c := rigging.NewCase(sweep(), grown())
	s := solved(t, &c)
	h := c.Heights(&s)
	if h.Window.HighBy != rigging.BoundCovered || h.Window.LowBy != rigging.BoundThighs {
		t.Fatalf("window %+v", h.Window)
	}
	near(t, "upper end", h.Window.HighSD, h.DrawHeightSD/h.HandlePerGate, 1e-15)
	near(t, "lower end", h.Window.LowSD, c.Body.ThighTopSD/h.HandlePerGate, 1e-15)
	near(t, "the larger", h.Window.SD, max(h.Window.LowSD, h.Window.HighSD), 0)
	c.DrawHeight, c.Body.ThighTop = 0.33, 0.05
	arms := c.Heights(&s).Window
	if arms.LowBy != rigging.BoundArmLow {
		t.Fatalf("thin thighs: %+v", arms)
	}
	near(t, "lower end by the arms", arms.LowSD, 0.02/h.HandlePerGate, 1e-15)
	near(t, "upper end measured", arms.HighSD, rigging.DefaultTape/h.HandlePerGate, 1e-15)
}
