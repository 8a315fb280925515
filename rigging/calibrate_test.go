package rigging_test

import (
	"math"
	"slices"
	"testing"

	"thole/rigging"
)

// measuredArc returns what a perfect sensor would read of a rower with the
// given habits.
func measuredArc(t *testing.T, setup rigging.Setup, body rigging.Estimate, habits rigging.Posture) rigging.MeasuredArc {
	t.Helper()
	c := rigging.Case{Setup: setup, Body: body, Posture: habits}
	s := solved(t, &c)
	return rigging.MeasuredArc{Setup: setup, Catch: s.Catch, Finish: s.Finish}
}

func calibrate(t *testing.T, body rigging.Estimate, prior rigging.Posture, arcs ...rigging.MeasuredArc) rigging.Calibration {
	t.Helper()
	cal, err := rigging.Calibrate(body, prior, arcs)
	if err != nil {
		t.Fatal(err)
	}
	return cal
}

// habits returns the class's default posture with other habits.
func habits(c rigging.Class, lean, layback, protraction float64) rigging.Posture {
	p := rigging.DefaultPosture(c)
	p.Lean, p.Layback, p.Protraction = deg(lean), deg(layback), p.Protraction+protraction
	return p
}

// TestCalibrationReproducesTheMeasuredCase: within a fifth of a degree, the
// prior's pull on angles known to half a degree, and a twelfth of what the
// uncalibrated model misses.
func TestCalibrationReproducesTheMeasuredCase(t *testing.T) {
	for _, setup := range []rigging.Setup{scull(), sweep()} {
		body := adult().Estimate(rigging.DefaultTape)
		prior := rigging.DefaultPosture(setup.Class)
		for _, row := range [][3]float64{{25, 28, 0}, {32, 20, 0.02}, {18, 36, -0.02}, {36, 38, 0}} {
			arc := measuredArc(t, setup, body, habits(setup.Class, row[0], row[1], row[2]))
			cal := calibrate(t, body, prior, arc)
			naive := measuredArc(t, setup, body, prior)
			bound := func(before rigging.Angle) float64 { return min(0.2, math.Abs(before.Degrees())/12+1e-9) }
			degrees(t, "miss of the catch", cal.CatchMiss[0], 0, bound(naive.Catch-arc.Catch))
			degrees(t, "miss of the finish", cal.FinishMiss[0], 0, bound(naive.Finish-arc.Finish))
			c := rigging.Case{Setup: setup, Body: body, Posture: cal.Posture}
			s := solved(t, &c)
			near(t, "stated miss of the catch", float64(cal.CatchMiss[0]), float64(s.Catch-arc.Catch), 1e-12)
			near(t, "stated miss of the finish", float64(cal.FinishMiss[0]), float64(s.Finish-arc.Finish), 1e-12)
		}
	}
}

// TestCalibrationFindsKnownHabits: from several rigs measured sharply it finds
// the layback, and predicts a rig that was not measured. Lean and protraction
// bring the shoulder forward alike, so that one is known only with the other.
func TestCalibrationFindsKnownHabits(t *testing.T) {
	body := adult().Estimate(rigging.DefaultTape)
	for _, row := range [][3]float64{{31, 22, 0.015}, {20, 34, -0.02}} {
		truth := habits(class("1x"), row[0], row[1], row[2])
		var arcs []rigging.MeasuredArc
		for _, heel := range []float64{0.16, 0.22, 0.28} {
			for _, depth := range []float64{0.13, 0.21} {
				s := scull()
				s.HeelToPin, s.HeelDepth = heel, depth
				arc := measuredArc(t, s, body, truth)
				arc.SD = deg(0.05)
				arcs = append(arcs, arc)
			}
		}
		cal := calibrate(t, body, rigging.DefaultPosture(class("1x")), arcs...)
		degrees(t, "layback", cal.Posture.Layback, row[1], 0.05)
		reach := func(p rigging.Posture) float64 { return body.Body.Trunk*math.Sin(float64(p.Lean)) + p.Protraction }
		near(t, "reach of the shoulder", reach(cal.Posture), reach(truth), 0.002)
		other := scull()
		other.HeelToPin, other.Span, other.Inboard = 0.25, 1.56, 0.865
		c := rigging.Case{Setup: other, Body: body, Posture: cal.Posture}
		want := measuredArc(t, other, body, truth)
		s := solved(t, &c)
		degrees(t, "catch of another rig", s.Catch, want.Catch.Degrees(), 0.1)
		degrees(t, "finish of another rig", s.Finish, want.Finish.Degrees(), 0.1)
	}
}

// TestCalibrationFindsTheLeastSquares compares the sum of squares at the
// solution with that of habits around it.
func TestCalibrationFindsTheLeastSquares(t *testing.T) {
	body := adult().Estimate(rigging.DefaultTape)
	prior := rigging.DefaultPosture(class("1x"))
	arc := measuredArc(t, scull(), body, habits(class("1x"), 33, 21, 0.02))
	cost := func(p rigging.Posture) float64 {
		c := rigging.Case{Setup: arc.Setup, Body: body, Posture: p}
		s := solved(t, &c)
		return square(s.Catch-arc.Catch, deg(0.5)) + square(s.Finish-arc.Finish, deg(0.5)) +
			square(p.Lean-prior.Lean, deg(6)) + square(p.Layback-prior.Layback, deg(6)) +
			math.Pow((p.Protraction-prior.Protraction)/0.025, 2)
	}
	best := calibrate(t, body, prior, arc).Posture
	least := cost(best)
	in := seeded(6)
	for range 2000 {
		p := best
		size := math.Pow(10, in(-4, 0))
		p.Lean += deg(in(-1, 1) * size)
		p.Layback += deg(in(-1, 1) * size)
		p.Protraction += in(-0.01, 0.01) * size
		if c := cost(p); c < least-1e-9 {
			t.Fatalf("cost %.9f at %+v is below %.9f at the solution", c, p, least)
		}
	}
}

func square(difference, sd rigging.Angle) float64 { return math.Pow(float64(difference/sd), 2) }

// TestCalibrationKeepsThePriorWhereTheDataAreSilent: a finish says nothing of
// lean and protraction, a catch nothing of the layback.
func TestCalibrationKeepsThePriorWhereTheDataAreSilent(t *testing.T) {
	body := adult().Estimate(rigging.DefaultTape)
	prior := rigging.DefaultPosture(class("1x"))
	full := measuredArc(t, scull(), body, habits(class("1x"), 33, 21, 0.02))
	finish := calibrate(t, body, prior, rigging.MeasuredArc{Setup: scull(), Finish: full.Finish})
	degrees(t, "lean", finish.Posture.Lean, 25, 1e-6)
	near(t, "protraction", finish.Posture.Protraction, 0.05, 1e-9)
	degrees(t, "SD of the lean", finish.LeanSD, 6, 1e-6)
	near(t, "SD of the protraction", finish.ProtractionSD, 0.025, 1e-9)
	near(t, "miss of a catch not measured", float64(finish.CatchMiss[0]), 0, 0)
	if finish.LaybackSD >= deg(1.5) {
		t.Errorf("SD of the layback %.2f after measuring a finish", finish.LaybackSD.Degrees())
	}
	catch := calibrate(t, body, prior, rigging.MeasuredArc{Setup: scull(), Catch: full.Catch})
	degrees(t, "layback", catch.Posture.Layback, 28, 1e-6)
	degrees(t, "SD of the layback", catch.LaybackSD, 6, 1e-6)
	near(t, "miss of a finish not measured", float64(catch.FinishMiss[0]), 0, 0)
}

func TestCalibrationLeavesTheRestOfThePostureAlone(t *testing.T) {
	body := adult().Estimate(rigging.DefaultTape)
	prior := rigging.DefaultPosture(class("8+"))
	arc := measuredArc(t, sweep(), body, habits(class("8+"), 33, 21, 0.02))
	got := calibrate(t, body, prior, arc).Posture
	got.Lean, got.Layback, got.Protraction = prior.Lean, prior.Layback, prior.Protraction
	if got != prior {
		t.Errorf("posture %+v, prior %+v", got, prior)
	}
}

// TestSharperArcsPullHarder: the smaller the sensor's scatter, the smaller the
// miss and the remaining spread.
func TestSharperArcsPullHarder(t *testing.T) {
	body := adult().Estimate(rigging.DefaultTape)
	prior := rigging.DefaultPosture(class("1x"))
	arc := measuredArc(t, scull(), body, habits(class("1x"), 33, 21, 0.02))
	var misses, spreads []float64 // negative, so that shrinking is rising
	for _, sd := range []float64{8, 2, 0.5, 0.1} {
		arc.SD = deg(sd)
		cal := calibrate(t, body, prior, arc)
		misses = append(misses, -math.Abs(float64(cal.CatchMiss[0])))
		spreads = append(spreads, -float64(cal.LaybackSD))
	}
	rise := func(values []float64) bool {
		return slices.IsSorted(values) && len(slices.Compact(slices.Clone(values))) == len(values)
	}
	if !rise(misses) || !rise(spreads) {
		t.Errorf("misses %v and spreads %v do not shrink", misses, spreads)
	}
	arc.SD = 0
	near(t, "no SD stands for the default", -math.Abs(float64(calibrate(t, body, prior, arc).CatchMiss[0])), misses[2], 1e-12)
}

// TestDoubtfulWhenTheHabitsAreFarFetched: an arc that needs a posture three
// standard deviations off is questioned, a common one is not.
func TestDoubtfulWhenTheHabitsAreFarFetched(t *testing.T) {
	body := adult().Estimate(rigging.DefaultTape)
	prior := rigging.DefaultPosture(class("1x"))
	common := measuredArc(t, scull(), body, habits(class("1x"), 29, 25, 0))
	if calibrate(t, body, prior, common).Doubtful {
		t.Error("a common arc is doubted")
	}
	if !calibrate(t, body, prior, measuredArc(t, scull(), body, habits(class("1x"), 25, 52, 0))).Doubtful {
		t.Error("24° more layback than usual is not doubted")
	}
}

func TestCalibrationNamesWhatItLacks(t *testing.T) {
	body := adult().Estimate(rigging.DefaultTape)
	prior := rigging.DefaultPosture(class("1x"))
	for _, arcs := range [][]rigging.MeasuredArc{nil, {{Setup: scull()}}} {
		_, err := rigging.Calibrate(body, prior, arcs)
		if e, ok := err.(*rigging.FieldError); !ok || e.Place.String() != "arcs" || e.Problem != rigging.ProblemMissing {
			t.Errorf("without an angle: %v", err)
		}
	}
	far := scull()
	far.HeelToPin = 0.85
	_, err := rigging.Calibrate(body, prior, []rigging.MeasuredArc{{Setup: far, Catch: deg(-64)}})
	if limitOf(t, err) != rigging.LimitNoCatch {
		t.Errorf("a rig the body cannot row: %v", err)
	}
}

// TestCalibrationTakesStatedHandsAndDisplacement: an arc's own hands and
// displacement count.
func TestCalibrationTakesStatedHandsAndDisplacement(t *testing.T) {
	body := adult().Estimate(rigging.DefaultTape)
	prior := rigging.DefaultPosture(class("1x"))
	for _, arc := range []rigging.MeasuredArc{
		{Setup: scull(), Handle: &rigging.Handle{Catch: 0.30, Finish: 0.20}},
		{Setup: scull(), Displacement: 180},
	} {
		c := rigging.Case{Setup: arc.Setup, Body: body, Posture: prior, Handle: arc.Handle, Displacement: arc.Displacement}
		s := solved(t, &c)
		arc.Catch, arc.Finish = s.Catch, s.Finish
		cal := calibrate(t, body, prior, arc)
		degrees(t, "lean", cal.Posture.Lean, 25, 1e-9)
		degrees(t, "layback", cal.Posture.Layback, 28, 1e-9)
	}
}

// TestCalibrationAtTheEdgeClaimsNothing: where a hair more lean cannot be rowed
// there is no slope to follow, and the prior stands with its own spread.
func TestCalibrationAtTheEdgeClaimsNothing(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	c.Setup.HeelToPin = heelForCatch(c, 84.99999)
	cal := calibrate(t, c.Body, c.Posture, rigging.MeasuredArc{Setup: c.Setup, Catch: deg(-70)})
	degrees(t, "lean", cal.Posture.Lean, 25, 0)
	degrees(t, "SD of the lean", cal.LeanSD, 6, 1e-9)
	degrees(t, "SD of the layback", cal.LaybackSD, 6, 1e-9)
	near(t, "SD of the protraction", cal.ProtractionSD, 0.025, 1e-12)
	degrees(t, "miss", cal.CatchMiss[0], -15, 0.001)
}

// TestCalibrationNeverLeavesTheRangesOfAPosture holds that arcs no posture
// explains still give one that can be stated.
func TestCalibrationNeverLeavesTheRangesOfAPosture(t *testing.T) {
	setup := scull()
	for _, catch := range []rigging.Angle{-25 * rigging.Degree, -30 * rigging.Degree, -84 * rigging.Degree} {
		c, err := rigging.Calibrate(adult().Estimate(rigging.DefaultTape), rigging.DefaultPosture(setup.Class), []rigging.MeasuredArc{{Setup: setup, Catch: catch}})
		if err != nil {
			continue // the body cannot row it at all
		}
		if err := c.Posture.Check(); err != nil {
			t.Errorf("catch %.0f°: %v", catch.Degrees(), err)
		}
		if !c.Doubtful {
			t.Errorf("catch %.0f°: not called doubtful", catch.Degrees())
		}
	}
}
