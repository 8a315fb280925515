package rigging_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// arc returns a stroke of which only the ends are known.
func arc(catch, finish float64) *rigging.Stroke {
	return &rigging.Stroke{Catch: deg(catch), Finish: deg(finish)}
}

// TestEntryMatchesTheWater holds the blade as a point turning with the oar: at
// the matching rate its velocity over the water has no part across the face.
func TestEntryMatchesTheWater(t *testing.T) {
	for _, s := range []rigging.Setup{scull(), sweep()} {
		for _, at := range []float64{-70, -55, -40} {
			a := rigging.Approach{BoatSpeed: 5, EdgeHeight: 0.05, BladeSpeed: 2}
			e := s.Entry(arc(at, 40), a)
			lv := s.Levers()
			theta := float64(deg(at))
			// Stern is +x: the boat moves at −5; the blade's middle stands at
			// R·(sin θ, cos θ) from the pin.
			vx := -5 + e.OarRate*lv.Outer*math.Cos(theta)
			vy := -e.OarRate * lv.Outer * math.Sin(theta)
			near(t, "water across the face", vx*math.Cos(theta)-vy*math.Sin(theta), 0, 1e-12)
			near(t, "handle speed", e.HandleSpeed, e.OarRate*lv.Inner, 1e-12)
			near(t, "handle speed by the ratio", e.HandleSpeed, 5*math.Cos(theta)*lv.Inner/lv.Outer, 1e-12)
			near(t, "blade speed", e.BladeSpeed, 5*math.Cos(theta), 1e-12)
		}
	}
}

// TestEntryByHand: 5 m/s at 60° and R_out 1.76 m start the oar turning by
// 1.4205 rad/s; 5 cm and a blade of 21.5 cm at 2 m/s take 0.1325 s. At the first
// rate that would be 10.78°; the rate grows with cos θ, and 10,000 steps of the
// midpoint rule give 12.65°.
func TestEntryByHand(t *testing.T) {
	s := scull()
	e := s.Entry(arc(-60, 40), rigging.Approach{BoatSpeed: 5, EdgeHeight: 0.05, BladeSpeed: 2, Overdepth: 0.10})
	near(t, "rate", e.OarRate, 2.5/1.76, 1e-12)
	near(t, "time", e.BuryTime, 0.1325, 1e-12)
	degrees(t, "missed", e.Missed, stepped(-60, 5/1.76, 0.1325), 1e-5)
	degrees(t, "missed", e.Missed, 12.65, 0.005)
	near(t, "share", e.MissedShare, 0.1265, 0.00005)
	down := stepped(-60+e.Missed.Degrees(), 5/1.76, 0.05)
	up := -stepped(40, -5/1.76, 0.05)
	near(t, "detour", e.DetourShare, (down+up)/100, 1e-6)
	near(t, "rise of the handle", e.HandleRise, 0.10*0.84/1.76, 1e-12)
}

// stepped turns an oar from an angle in degrees at rate·cos θ for a time, by the
// midpoint rule, and returns the turn in degrees.
func stepped(from, rate, time float64) float64 {
	const steps = 10000
	theta := from * math.Pi / 180
	for range steps {
		half := theta + rate*math.Cos(theta)*time/steps/2
		theta += rate * math.Cos(half) * time / steps
	}
	return theta*180/math.Pi - from
}

// TestDeepBladesSpendAFifthOfTheStroke: a blade carried deeper than covered and
// back up again uses about a fifth to a quarter of the effective stroke (common
// practice); here 22 to 25 cm too deep at training pace.
func TestDeepBladesSpendAFifthOfTheStroke(t *testing.T) {
	s := scull()
	a := rigging.DefaultApproach()
	for _, deep := range []float64{0.22, 0.25} {
		a.Overdepth = deep
		if e := s.Entry(arc(-64, 44), a); e.DetourShare < 0.19 || e.DetourShare > 0.26 {
			t.Errorf("%g m too deep: %.3f of the arc", deep, e.DetourShare)
		}
	}
}

// TestPerHeightIsTheSlopeOfMissed: carrying the blade 1 mm higher costs
// PerHeight times 1 mm of the arc.
func TestPerHeightIsTheSlopeOfMissed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t)
		s, stroke := someScull(in), arc(in(-72, -45), in(30, 50))
		a := rigging.Approach{BoatSpeed: in(2, 6), EdgeHeight: in(0, 0.15), BladeSpeed: in(1, 4), Overdepth: in(0, 0.2)}
		before := s.Entry(stroke, a)
		a.EdgeHeight += 0.001
		after := s.Entry(stroke, a)
		if after.MissedShare < 1 {
			near(t, "lost to 1 mm", float64(after.Missed-before.Missed), 0.001*(before.PerHeight+after.PerHeight)/2, 1e-7)
		}
		a.BladeSpeed *= 2
		if faster := s.Entry(stroke, a); faster.Missed > after.Missed {
			t.Errorf("a faster blade misses more: %v, %v", faster.Missed, after.Missed)
		}
	})
}

// TestEntryNeverMissesMoreThanTheArc: the slowest blade in the fastest boat.
func TestEntryNeverMissesMoreThanTheArc(t *testing.T) {
	s := scull()
	e := s.Entry(arc(-12, 6), rigging.Approach{BoatSpeed: 8, EdgeHeight: 0.4, BladeSpeed: 0.2, Overdepth: 0.6})
	degrees(t, "missed", e.Missed, 18, 1e-9)
	near(t, "share", e.MissedShare, 1, 1e-12)
	near(t, "detour", e.DetourShare, 1, 0)
}

// TestSlipTargets: 6° in sculling, 9° in sweep (V. Kleshnev, Rowing
// Biomechanics Newsletters; geometric threshold −3°).
func TestSlipTargets(t *testing.T) {
	degrees(t, "scull", rigging.SlipTarget(class("4x")), 6, 1e-12)
	degrees(t, "sweep", rigging.SlipTarget(class("4-")), 9, 1e-12)
}
