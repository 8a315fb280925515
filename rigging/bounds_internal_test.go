package rigging

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"
)

// TestTheHandReachesAsFarAsTheArm: the circle of the hand about the pin and that of the arm
// about the shoulder meet in one point where they touch, and in none beyond. Exact by the
// triangle of 3, 4 and 5.
func TestTheHandReachesAsFarAsTheArm(t *testing.T) {
	toShoulder := math.Atan2(3, 4)
	for _, c := range []struct {
		hand, flat2, want float64
		limit             Limit
	}{
		{5, 0, toShoulder, ""}, {8, 9, toShoulder, ""}, {8, 8.9, 0, LimitArmReach}, {5, 100, toShoulder + math.Pi, ""}, {5, 100.1, 0, LimitNoCatch},
	} {
		got, err := farthest(c.hand, 3, 4, c.flat2)
		var short *ReachError
		if errors.As(err, &short) != (c.limit != "") || short != nil && short.Limit != c.limit || math.Abs(got-c.want) > 1e-7 {
			t.Errorf("hand at %g, arm² %g: %g %v, want %g %s", c.hand, c.flat2, got, err, c.want, c.limit)
		}
	}
}

// TestVerdictsAreClearFromFourInFive: 80 % is likely, and 20 % unlikely.
func TestVerdictsAreClearFromFourInFive(t *testing.T) {
	for chance, want := range map[float64]Odds{1: OddsLikely, 0.8: OddsLikely, 0.79: OddsOpen, 0.5: OddsOpen, 0.21: OddsOpen, 0.2: OddsUnlikely, 0: OddsUnlikely} {
		if got := oddsOf(chance); got != want {
			t.Errorf("%g: %s, want %s", chance, got, want)
		}
	}
}

// TestDemandsAreWithinUpToTheUsual: more is at the edge, and what the limits do not hold, or
// what no posture gives, beyond.
func TestDemandsAreWithinUpToTheUsual(t *testing.T) {
	for _, c := range []struct {
		d    EndDemand
		held bool
		want Reach
	}{
		{EndDemand{Needed: 20, Usual: 20, Possible: true}, true, ReachWithin}, {EndDemand{Needed: 19, Usual: 20, Possible: true}, true, ReachWithin}, {EndDemand{Needed: 21, Usual: 20, Possible: true}, true, ReachEdge},
		{EndDemand{Needed: 20, Usual: 20, Possible: true}, false, ReachBeyond}, {EndDemand{Needed: 20, Usual: 20}, true, ReachBeyond},
	} {
		if c.d.judge(c.held); c.d.Reach != c.want {
			t.Errorf("%+v held %v: %s, want %s", c.d, c.held, c.d.Reach, c.want)
		}
	}
}

// TestAnOfferIsWorthHalfATolerance for somebody who falls short.
func TestAnOfferIsWorthHalfATolerance(t *testing.T) {
	plan := &Plan{Seats: make([]SeatPlan, 2)}
	plan.Seats[1].After.CatchShort = 2 * Degree
	for _, c := range []struct {
		brings []Angle
		want   bool
	}{
		{[]Angle{0, CatchTolerance / 2}, true}, {[]Angle{0, CatchTolerance/2 - 1e-6}, false}, {[]Angle{CatchTolerance, 0}, false}, {nil, false},
	} {
		if got := (&Offer{Brings: c.brings}).worth(plan); got != c.want {
			t.Errorf("%v: %v", c.brings, got)
		}
	}
}

// TestTheBestStepIsNextToThePlace and within the range.
func TestTheBestStepIsNextToThePlace(t *testing.T) {
	a := Adjustment{Min: 0, Max: 10, Step: 1}
	for _, c := range []struct{ place, best, want float64 }{
		{5.6, 6.4, 6}, {4.6, 6, 6}, {7.4, 6, 6}, {5, 8, 6}, {5, 2, 4}, {0, -5, 0}, {10, 20, 10}, {1, 0, 0}, {9, 10, 10}, {3, 3.5, 3}, {4, 3.5, 4},
	} {
		if got := a.on(c.place, func(v float64) float64 { return math.Abs(v - c.best) }); got != c.want {
			t.Errorf("next to %g, best at %g: %g, want %g", c.place, c.best, got, c.want)
		}
	}
}

// TestTheGateMovesToTheStepThatIsLeastOut of its window; of equal ones to the nearest.
func TestTheGateMovesToTheStepThatIsLeastOut(t *testing.T) {
	p := &planner{task: &PlanTask{Adjust: map[Setting]Adjustment{SettingGateHeight: {Min: 0.10, Max: 0.25, Step: 0.005}}}}
	for _, c := range []struct{ found, by, width, want float64 }{
		{0.16, 0.0123, 0.03, 0.175}, {0.16, -0.0123, 0.03, 0.145}, {0.16, 0.0123, 0.001, 0.175}, {0.16, 0.0123, 0, 0.170}, {0.16, -0.0123, 0, 0.150},
		{0.1612, 0, 0.02, 0.1612}, {0.24, 0.05, 0.01, 0.25}, {0.11, -0.05, 0.01, 0.10}, {0.16, 0.001, 0.001, 0.16},
	} {
		m := new(Case)
		m.Setup.GateHeight = c.found
		if got := p.gateOn(m, c.by, c.width); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("from %g by %g within %g: %g, want %g", c.found, c.by, c.width, got, c.want)
		}
	}
}

// TestEndsThatStayOff: the finish by its distance, the catch by what is short of it, where it
// was judged at all.
func TestEndsThatStayOff(t *testing.T) {
	for _, c := range []struct {
		after SeatJudgement
		want  []Target
	}{
		{SeatJudgement{FinishBy: FinishTolerance, CatchShort: CatchTolerance, CatchOdds: OddsOpen}, nil},
		{SeatJudgement{FinishBy: 1.01 * FinishTolerance}, []Target{TargetFinish}}, {SeatJudgement{FinishBy: -1.01 * FinishTolerance}, []Target{TargetFinish}},
		{SeatJudgement{CatchShort: 2 * CatchTolerance, CatchOdds: OddsOpen}, []Target{TargetCatch}}, {SeatJudgement{CatchShort: 2 * CatchTolerance, CatchOdds: OddsUnlikely}, []Target{TargetCatch}},
		{SeatJudgement{CatchShort: 2 * CatchTolerance}, nil}, // not judged
	} {
		s := SeatPlan{After: c.after}
		if s.miss(); !slices.Equal(s.Unmet, c.want) {
			t.Errorf("%+v: %v, want %v", c.after, s.Unmet, c.want)
		}
	}
}

// TestCautionsThatComeAnew: those that were there before are none, and a rig that cannot be
// rowed is worse than any.
func TestCautionsThatComeAnew(t *testing.T) {
	one, two := alarm{"steep_catch", ""}, alarm{"junior", ""}
	for name, c := range map[string]struct {
		before, after map[alarm]bool
		want          bool
	}{
		"the same": {map[alarm]bool{one: true}, map[alarm]bool{one: true}, false}, "one more": {map[alarm]bool{one: true}, map[alarm]bool{one: true, two: true}, true},
		"one less": {map[alarm]bool{one: true, two: true}, map[alarm]bool{one: true}, false}, "another": {map[alarm]bool{one: true}, map[alarm]bool{two: true}, true},
		"not to be rowed": {map[alarm]bool{one: true}, nil, true}, "none": {map[alarm]bool{}, map[alarm]bool{}, false},
	} {
		if got := adds(c.before, c.after); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// TestAllReachTheCatchOfTheShortest: that of the seat whose capacity ends first. Who falls
// short limits the boat.
func TestAllReachTheCatchOfTheShortest(t *testing.T) {
	plan := &Plan{Seats: make([]SeatPlan, 4)}
	for i, capacity := range []Angle{-58, -52, -60} {
		plan.Seats[i].Suits.Catch = &ReachOdds{Capacity: capacity * Degree}
	}
	plan.Seats[0].After.CatchShort, plan.Seats[1].After.CatchShort = 1*Degree, 7*Degree
	new(planner).compare(plan)
	if plan.AllReach != -52*Degree || fmt.Sprint(plan.Limiting) != "[1 0]" {
		t.Errorf("%.1f°, limited by %v", plan.AllReach.Degrees(), plan.Limiting)
	}
}

// codesOf are the codes of cautions.
func codesOf(list []Caution) map[string]bool {
	codes := map[string]bool{}
	for _, c := range list {
		codes[c.Code] = true
	}
	return codes
}

// TestCautionsBeginBeyondTheirBounds: what stands at one is not cautioned, and what goes
// past it is.
func TestCautionsBeginBeyondTheirBounds(t *testing.T) {
	c, stroke := usualCase(t)
	limits := DefaultLimits()
	const little = 1e-6
	for _, b := range []struct {
		code string
		set  func(s *Stroke, over Angle)
	}{
		{"knee_flexion", func(s *Stroke, over Angle) { s.KneeFlexion = limits.KneeFlexion + over }},
		{"trunk_thigh", func(s *Stroke, over Angle) { s.TrunkThigh = limits.TrunkThigh + over }},
		{"heel_lift", func(s *Stroke, over Angle) { s.HeelLift = muchLift + over }},
	} {
		at, past := stroke, stroke
		b.set(&at, 0)
		b.set(&past, little)
		if codesOf(c.bodyCautions(&at, &Measures{Age: 30}))[b.code] || !codesOf(c.bodyCautions(&past, &Measures{Age: 30}))[b.code] {
			t.Errorf("%s does not begin at its bound", b.code)
		}
	}
	for _, b := range []struct {
		code     string
		at, past Stroke
	}{
		{"steep_catch", Stroke{Catch: -70 * Degree}, Stroke{Catch: -70*Degree - little}}, {"finish_before_square", Stroke{Finish: 0}, Stroke{Finish: -little}},
	} {
		if codesOf(c.loadCautions(&b.at, &Measures{Age: 30}))[b.code] || !codesOf(c.loadCautions(&b.past, &Measures{Age: 30}))[b.code] {
			t.Errorf("%s does not begin at its bound", b.code)
		}
	}
	for age, junior := range map[float64]bool{0: false, 12: true, 17.9: true, AdultAge: false, 30: false} {
		codes := codesOf(c.bodyCautions(&stroke, &Measures{Age: age}))
		if codes["junior"] != junior || codes["junior_body"] != junior {
			t.Errorf("at %g: %v", age, codes)
		}
	}
	for stature, small := range map[float64]bool{1.49: true, smallStature: false, 1.60: false} {
		if got := codesOf(c.bodyCautions(&stroke, &Measures{Stature: stature}))["small_without_age"]; got != small {
			t.Errorf("%g m without an age: %v", stature, got)
		}
		if codesOf(c.bodyCautions(&stroke, &Measures{Stature: stature, Age: 30}))["small_without_age"] {
			t.Errorf("%g m with an age", stature)
		}
	}
}

// usualClass is the single's.
func usualClass() Class {
	c, _ := ClassByCode("1x")
	return c
}

// usualCase is the usual rower in the usual single.
func usualCase(t *testing.T) (Case, Stroke) {
	t.Helper()
	c := NewCase(UsualSetup(usualClass()), &Measures{})
	stroke, err := c.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return c, stroke
}

// TestAStretcherPastBothEnds stands where the finish is late and the catch is long, too.
func TestAStretcherPastBothEnds(t *testing.T) {
	c, stroke := usualCase(t)
	late, early := stroke.Finish-10*Degree, stroke.Finish+10*Degree
	for name, b := range map[string]struct {
		targets Targets
		fault   bool
		both    bool
	}{
		"both":               {Targets{Catch: stroke.Catch + Degree, Finish: late}, true, true},
		"the catch is right": {Targets{Catch: stroke.Catch, Finish: late}, true, false},
		"the catch is short": {Targets{Catch: stroke.Catch - Degree, Finish: late}, true, false},
		"no catch asked for": {Targets{Finish: late}, true, false},
		"the other way":      {Targets{Catch: stroke.Catch + Degree, Finish: early}, true, false},
		"right":              {Targets{Catch: stroke.Catch + Degree, Finish: stroke.Finish}, false, false},
		"no finish":          {Targets{Catch: stroke.Catch + Degree}, false, false},
	} {
		fault := c.stretcherFault(&stroke, b.targets, Degree)
		if (fault != nil) != b.fault || fault != nil && fault.PastBoth != b.both {
			t.Errorf("%s: %+v", name, fault)
		}
	}
}

// TestTheArcIsJudgedWhereBothEndsAre, and it is the finish less the catch.
func TestTheArcIsJudgedWhereBothEndsAre(t *testing.T) {
	c, stroke := usualCase(t)
	for _, b := range []struct{ catch, finish Angle }{{-60 * Degree, 40 * Degree}, {-60 * Degree, 0}, {0, 40 * Degree}} {
		s, err := c.Suits(&stroke, Targets{Catch: b.catch, Finish: b.finish}, DefaultLimits())
		if err != nil {
			t.Fatal(err)
		}
		if both := b.catch != 0 && b.finish != 0; (s.Arc != nil) != both || both && math.Abs(float64(s.Arc.Target-100*Degree)) > 1e-12 || (s.Catch != nil) != (b.catch != 0) || (s.Finish != nil) != (b.finish != 0) {
			t.Errorf("%+v: %+v", b, s)
		}
	}
}

// TestRangesAreWidenedByWholeSteps to hold a setting as found, and no further.
func TestRangesAreWidenedByWholeSteps(t *testing.T) {
	setup := UsualSetup(usualClass())
	usual := DefaultAdjustments(setup.Class)[SettingGateHeight]
	for _, c := range []struct{ found, low, high float64 }{
		{usual.Min, 0, 0}, {usual.Max, 0, 0}, {usual.Max + 2*usual.Step, 0, 2}, {usual.Max + 2.3*usual.Step, 0, 3}, {usual.Min - 2*usual.Step, 2, 0}, {usual.Min - 0.3*usual.Step, 1, 0},
	} {
		setup.SetValue(SettingGateHeight, c.found)
		a := setup.Adjustments()[SettingGateHeight]
		if low, high := (usual.Min-a.Min)/usual.Step, (a.Max-usual.Max)/usual.Step; math.Abs(low-c.low) > 1e-6 || math.Abs(high-c.high) > 1e-6 {
			t.Errorf("found at %g: %.3f steps down and %.3f up, want %g and %g", c.found, low, high, c.low, c.high)
		}
	}
}

// TestTolerancesOfSettings: pins, collars and gates to 2 mm, oars and stretcher to 5 mm, the
// plate to a degree and pitches to half a degree (common practice; judgement for the rest).
func TestTolerancesOfSettings(t *testing.T) {
	for name, want := range map[Setting]float64{
		SettingSpan: 0.002, SettingSpread: 0.002, SettingInboard: 0.002, SettingGateHeight: 0.002, SettingGateDifference: 0.002,
		SettingOarLength: 0.005, SettingHeelToPin: 0.005, SettingHeelDepth: 0.005, SettingPlateAngle: float64(Degree),
		SettingBladePitch: float64(Degree) / 2, SettingSternPitch: float64(Degree) / 2, SettingOutwardPitch: float64(Degree) / 2,
	} {
		if got := name.Tolerance(); math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %g, want %g", name, got, want)
		}
	}
}

// TestHabitsMoveThePostureTheirWay: each by so many of its spreads, and never past what a
// posture may be.
func TestHabitsMoveThePostureTheirWay(t *testing.T) {
	prior := DefaultPosture(usualClass())
	f := &habitFit{prior: prior, sd: habitSD}
	of := func(p Posture) [habitCount]float64 {
		var v [habitCount]float64
		v[habitLean], v[habitLayback], v[habitProtraction], v[habitShin] = float64(p.Lean), float64(p.Layback), p.Protraction, float64(p.Shin)
		return v
	}
	for habit := range habitCount {
		for _, by := range []float64{0.3, -0.3} {
			var x [habitCount]float64
			x[habit] = by
			got, want := of(f.posture(x)), of(prior)
			want[habit] += by * habitSD[habit]
			for i := range got {
				if math.Abs(got[i]-want[i]) > 1e-12 {
					t.Errorf("habit %d by %g: %d is %g, want %g", habit, by, i, got[i], want[i])
				}
			}
		}
	}
	far := [habitCount]float64{}
	for i := range far {
		far[i] = 1000
	}
	if p := f.posture(far); p.Lean != leanHigh || p.Layback != laybackHigh || p.Protraction != protractionHigh || p.Shin != shinMost {
		t.Errorf("%+v", p)
	}
	for i := range far {
		far[i] = -1000
	}
	if p := f.posture(far); p.Lean != leanLow || p.Layback != laybackLow || p.Protraction != 0 || p.Shin != shinLow {
		t.Errorf("%+v", p)
	}
}
