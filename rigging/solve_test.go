package rigging_test

import (
	"math"
	"testing"

	"thole/rigging"
)

// The vectors were worked out by two programs independent of this one; the
// printed digits give the tolerances.

func TestVectorsOfAScull(t *testing.T) {
	posture := rigging.DefaultPosture(class("1x"))
	s := solve(t, scullVector(), athlete(), posture, level)
	degrees(t, "catch", s.Catch, -65.68, 0.005)
	degrees(t, "finish", s.Finish, 43.04, 0.005)
	near(t, "seat travel", s.SeatTravel, 0.5745, 0.00005)
	degrees(t, "knee flexion", s.KneeFlexion, 137.96, 0.005)
	degrees(t, "heel lift", s.HeelLift, 7, 1e-9)
	degrees(t, "trunk-thigh", s.TrunkThigh, 162.96, 0.005)

	posture.Lean = deg(30)
	degrees(t, "catch at 30 of lean", solve(t, scullVector(), athlete(), posture, level).Catch, -69.81, 0.005)
}

func TestVectorsOfASweepSeat(t *testing.T) {
	s := solve(t, sweep(), athlete(), rigging.DefaultPosture(class("8+")), level)
	degrees(t, "catch", s.Catch, -52.12, 0.005)
	degrees(t, "finish", s.Finish, 32.84, 0.005)
}

// scullVector is the rig of the sculling vectors: gates of equal height.
func scullVector() rigging.Setup {
	s := scull()
	s.GateDifference = 0
	return s
}

func TestSlopesNearTheScullVector(t *testing.T) {
	posture := rigging.DefaultPosture(class("1x"))
	posture.Lean = deg(30)
	before := solve(t, scullVector(), athlete(), posture, level)
	moved := func(name rigging.Setting, by float64) (catch, finish float64) {
		s := scullVector()
		s.SetValue(name, s.Value(name)+by)
		after := solve(t, s, athlete(), posture, level)
		return -(after.Catch - before.Catch).Degrees(), (after.Finish - before.Finish).Degrees()
	}
	span, _ := moved(rigging.SettingSpan, -0.02)
	near(t, "catch for 2 cm less span (deg)", span, 0.45, 0.005)
	inboard, _ := moved(rigging.SettingInboard, -0.01)
	near(t, "catch for 1 cm less inboard (deg)", inboard, 0.55, 0.005)
	// The printed ranges are those of the two directions.
	for _, by := range []float64{0.01, -0.01} {
		catch, finish := moved(rigging.SettingHeelToPin, by)
		near(t, "catch for 1 cm of heel (deg)", catch*by/0.01, 0.76, 0.025)
		near(t, "finish for 1 cm of heel (deg)", finish*by/0.01, -0.95, 0.025)
	}
}

// TestPosesAreBodies checks that every pose is a body: links as long as stated,
// the hand at the oar, and the straight arm just long enough.
func TestPosesAreBodies(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		in := seeded(3)
		for range 300 {
			setup, b := some(in), someBody(in)
			posture, handle := somePosture(in, setup.Class), someHandle(in)
			s, err := rigging.Solve(&setup, &b, &posture, &handle)
			if err != nil {
				continue
			}
			checkPose(t, &s.AtCatch, &b)
			checkPose(t, &s.AtFinish, &b)
			near(t, "shin", math.Atan2(s.AtCatch.Knee.Z-s.AtCatch.Ankle.Z, s.AtCatch.Knee.X-s.AtCatch.Ankle.X), float64(posture.Shin), 1e-9)
			forward := s.AtCatch.Shoulder
			forward.X -= posture.Protraction
			near(t, "trunk at the catch", apart(s.AtCatch.Hip, forward), b.Trunk, 1e-9)
			near(t, "lean", math.Atan2(forward.X-s.AtCatch.Hip.X, forward.Z-s.AtCatch.Hip.Z), float64(posture.Lean), 1e-9)
			near(t, "trunk at the finish", apart(s.AtFinish.Hip, s.AtFinish.Shoulder), b.Trunk, 1e-9)
			near(t, "layback", math.Atan2(s.AtFinish.Hip.X-s.AtFinish.Shoulder.X, s.AtFinish.Shoulder.Z-s.AtFinish.Hip.Z), float64(posture.Layback), 1e-9)
			near(t, "arm", armAtCatch(&setup, &b, &posture, &s), b.Arm, 1e-9)
		}
	})
}

func apart(a, b rigging.Point) float64 { return math.Hypot(a.X-b.X, a.Z-b.Z) }

func checkPose(t *testing.T, p *rigging.Pose, b *rigging.Body) {
	t.Helper()
	near(t, "sole to the ball", apart(p.Heel, p.Ball), b.Ball, 1e-9)
	near(t, "heel to ankle", apart(p.Heel, p.Ankle), math.Hypot(b.AnkleAlong, b.AnkleOff), 1e-9)
	near(t, "shank", apart(p.Ankle, p.Knee), b.Shank, 1e-9)
	near(t, "thigh", apart(p.Knee, p.Hip), b.Thigh, 1e-9)
	near(t, "hip height", p.Hip.Z, b.HipHeight, 1e-9)
	// The knee lies above the line from hip to ankle.
	if (p.Knee.Z-p.Hip.Z)*(p.Ankle.X-p.Hip.X) <= (p.Ankle.Z-p.Hip.Z)*(p.Knee.X-p.Hip.X) {
		t.Errorf("the knee bends backwards: %+v", *p)
	}
}

// armAtCatch returns the distance from the limiting shoulder to its hand.
func armAtCatch(setup *rigging.Setup, b *rigging.Body, p *rigging.Posture, s *rigging.Stroke) float64 {
	hand, shoulder := s.AtCatch.Hand, s.AtCatch.Shoulder
	handY := setup.PinOut() - setup.Levers().Hand*math.Cos(float64(s.Catch))
	shoulderX, shoulderY := shoulder.X, b.HalfShoulder
	if !setup.Class.Scull {
		sin, cos := math.Sincos(float64(s.Rotation))
		shoulderX, shoulderY = shoulder.X+b.HalfShoulder*sin, p.SideLean-b.HalfShoulder*cos
	}
	return math.Hypot(math.Hypot(hand.X-shoulderX, handY-shoulderY), hand.Z-shoulder.Z)
}

// TestReportedQuantitiesFollowTheirDefinitions checks what Stroke reports
// beside the arc against poses and rig.
func TestReportedQuantitiesFollowTheirDefinitions(t *testing.T) {
	setup, posture := scull(), rigging.DefaultPosture(class("1x"))
	s := solve(t, setup, athlete(), posture, level)
	near(t, "handle arc", s.HandleArc, 0.84*float64(s.Finish-s.Catch), 1e-12)
	near(t, "arc", float64(s.Arc()), float64(s.Finish-s.Catch), 0)
	near(t, "seat travel", s.SeatTravel, s.AtCatch.Hip.X-s.AtFinish.Hip.X, 1e-12)
	near(t, "work-through", s.WorkThrough-s.AtCatch.Hip.X, 0.12, 1e-12)
	near(t, "hands apart", s.HandsApart, 1.59-2*0.84*math.Cos(float64(s.Catch)), 1e-12)
	near(t, "handle ends apart", s.HandleEndsApart, 1.59-2*0.90*math.Cos(float64(s.Finish)), 1e-12)
	degrees(t, "dorsiflexion needed", s.DorsiflexionNeeded, 42, 1e-9)
	degrees(t, "rotation of a sculler", s.Rotation, 0, 0)

	posture.Dorsiflexion = deg(50)
	degrees(t, "heel lift of a supple ankle", solve(t, setup, athlete(), posture, level).HeelLift, 0, 0)
}

func TestHeelLiftRaisesTheHeelAndKeepsTheBall(t *testing.T) {
	s := solve(t, scull(), athlete(), rigging.DefaultPosture(class("1x")), level)
	if s.AtCatch.Heel.Z <= s.AtFinish.Heel.Z {
		t.Errorf("heel at the catch %+v is not above the heel at the finish %+v", s.AtCatch.Heel, s.AtFinish.Heel)
	}
	near(t, "ball of the foot", apart(s.AtCatch.Ball, s.AtFinish.Ball), 0, 1e-12)
}

func TestSweepShouldersTurnWithTheOarUpToTheirLimit(t *testing.T) {
	posture := rigging.DefaultPosture(class("8+"))
	free := solve(t, sweep(), athlete(), posture, level)
	near(t, "rotation", float64(free.Rotation), -0.7*float64(free.Catch), 1e-12)
	posture.RotationMax = deg(20)
	held := solve(t, sweep(), athlete(), posture, level)
	degrees(t, "rotation held", held.Rotation, 20, 1e-12)
	if held.Catch <= free.Catch {
		t.Errorf("catch %v with the shoulders held, %v without", held.Catch.Degrees(), free.Catch.Degrees())
	}
}

// TestHandlesCrossWhenTheInboardIsLong checks the sign of HandleEndsApart: at
// the finish of a flat arc the handles overlap.
func TestHandlesCrossWhenTheInboardIsLong(t *testing.T) {
	setup, posture := scull(), rigging.DefaultPosture(class("1x"))
	setup.HeelToPin = 0.42
	s := solve(t, setup, athlete(), posture, level)
	if s.Finish > deg(28) || s.HandleEndsApart >= 0 {
		t.Errorf("finish %.1f, handle ends %.3f m apart: want crossed handles", s.Finish.Degrees(), s.HandleEndsApart)
	}
}

func TestArcsListsTheOarsThatCount(t *testing.T) {
	s := solve(t, scull(), athlete(), rigging.DefaultPosture(class("1x")), level)
	if a := s.Arcs(); len(a) != 2 || a[0].Side != rigging.Port || a[1].Side != rigging.Starboard {
		t.Errorf("sculling arcs: %+v", a)
	}
	setup := sweep()
	setup.Side = rigging.Starboard
	s = solve(t, setup, athlete(), rigging.DefaultPosture(class("8+")), level)
	if a := s.Arcs(); len(a) != 1 || a[0].Side != rigging.Starboard || a[0].Catch != s.Catch || a[0].Finish != s.Finish {
		t.Errorf("sweep arcs: %+v", a)
	}
}

// TestHigherGateCarriesTheHigherHand: the given handle height is that of the
// lower gate's hand; the other rises by the difference times 1 + R_in/R_out.
func TestHigherGateCarriesTheHigherHand(t *testing.T) {
	for _, difference := range []float64{0.012, -0.012} {
		setup := scull()
		setup.GateDifference = difference
		s := solve(t, setup, athlete(), rigging.DefaultPosture(class("1x")), level)
		port, starboard := s.Arcs()[0].Handle, s.Arcs()[1].Handle
		rise := 0.012 * (1 + 0.84/1.76)
		if difference < 0 {
			port, starboard = starboard, port
		}
		near(t, "lower hand", port.Catch, 0.25, 0)
		near(t, "upper hand at the catch", starboard.Catch, 0.25+rise, 1e-12)
		near(t, "upper hand at the finish", starboard.Finish, 0.25+rise, 1e-12)
	}
}

func TestSolveWithoutHandleTakesTheHeightsOfTheWater(t *testing.T) {
	setup, body, posture := scull(), athlete(), rigging.DefaultPosture(class("1x"))
	got, err := rigging.Solve(&setup, &body, &posture, nil)
	if err != nil {
		t.Fatal(err)
	}
	if want := solve(t, setup, body, posture, setup.HandleHeights(setup.SeatOverWater)); got != want {
		t.Errorf("Solve(nil handle) = %+v, want %+v", got, want)
	}
}

// TestEachLimitCanBeMet shows one body and rig for every limit.
func TestEachLimitCanBeMet(t *testing.T) {
	type subject struct {
		setup   rigging.Setup
		body    rigging.Body
		posture rigging.Posture
		handle  rigging.Handle
	}
	for _, row := range []struct {
		limit rigging.Limit
		spoil func(*subject)
	}{
		{rigging.LimitKnee, func(s *subject) { s.body.Thigh, s.setup.HeelDepth = 0.25, 0.05 }},
		{rigging.LimitLegs, func(s *subject) {
			s.body.Shank, s.body.Thigh, s.setup.HeelDepth, s.posture.FinishKnee = 0.23, 0.30, 0.35, deg(120)
			s.body.AnkleAlong, s.body.AnkleOff, s.body.HipHeight = 0.02, 0.03, 0.18
		}},
		{rigging.LimitArmHeight, func(s *subject) { s.body.Arm = 0.30 }},
		{rigging.LimitArmReach, func(s *subject) { s.body.Arm, s.setup.HeelToPin = 0.35, 0.01 }},
		{rigging.LimitNoCatch, func(s *subject) { s.setup.HeelToPin = 0.60 }},
		{rigging.LimitNoFinish, func(s *subject) { s.setup.HeelToPin = 0.01; s.body.Shank *= 1.25; s.body.Arm = 0.9 }},
		{rigging.LimitNoArc, func(s *subject) {
			s.body.HalfDepth, s.posture.FinishGap, s.posture.FinishKnee = 0.30, 0.20, deg(120)
			s.posture.Lean, s.posture.Shin, s.body.Arm = deg(-5), deg(120), 0.50
		}},
	} {
		s := subject{scull(), athlete(), rigging.DefaultPosture(class("1x")), level}
		row.spoil(&s)
		_, err := rigging.Solve(&s.setup, &s.body, &s.posture, &s.handle)
		if got := limitOf(t, err); got != row.limit {
			t.Errorf("limit %q, want %q", got, row.limit)
		}
		if err != nil && len(err.Error()) < 20 {
			t.Errorf("limit %q explains itself as %q", row.limit, err)
		}
	}
}

// TestFailedSolveReturnsNoStroke: what is half solved does not leave.
func TestFailedSolveReturnsNoStroke(t *testing.T) {
	setup, body, posture, handle := scull(), athlete(), rigging.DefaultPosture(class("1x")), level
	body.Thigh = 0.10
	if s, err := rigging.Solve(&setup, &body, &posture, &handle); err == nil || s != (rigging.Stroke{}) {
		t.Errorf("Solve = %+v, %v", s, err)
	}
}
