package rigging_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// rowed is one drawn case with its stroke.
type rowed struct {
	setup   rigging.Setup
	body    rigging.Body
	posture rigging.Posture
	handle  rigging.Handle
	stroke  rigging.Stroke
}

// drawRowed draws a case that can be rowed.
func drawRowed(t *rapid.T, some func(source) rigging.Setup) rowed {
	in := drawn(t)
	r := rowed{setup: some(in), body: someBody(in), handle: someHandle(in)}
	r.posture = somePosture(in, r.setup.Class)
	stroke, err := rigging.Solve(&r.setup, &r.body, &r.posture, &r.handle)
	if err != nil {
		t.Skip(err)
	}
	r.stroke = stroke
	return r
}

func TestSweepSidesMirrorEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRowed(t, someSweep)
		mirrored := r.setup
		mirrored.Side = r.setup.Side.Other()
		got := solve(t, mirrored, r.body, r.posture, r.handle)
		got.Oars[0].Side = r.setup.Side
		if got != r.stroke {
			t.Fatalf("%+v is not the mirror of %+v", got, r.stroke)
		}
	})
}

// TestScullingGatesMirrorEachOther: with the higher gate on the other side, and
// the lower one as high as before, the two oars change places.
func TestScullingGatesMirrorEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRowed(t, someScull)
		mirrored := r.setup
		mirrored.GateHeight += r.setup.GateDifference
		mirrored.GateDifference = -r.setup.GateDifference
		for _, v := range []rigging.Angle{deg(-3), 0, deg(3)} {
			near(t, "hand", mirrored.HandleAt(v, 0.07), r.setup.HandleAt(v, 0.07), 1e-12)
		}
		a, b := r.stroke, solve(t, mirrored, r.body, r.posture, r.handle)
		near(t, "catch", float64(b.Catch), float64(a.Catch), 1e-12)
		near(t, "finish", float64(b.Finish), float64(a.Finish), 1e-12)
		for i := range 2 {
			near(t, "catch of the other oar", float64(b.Oars[1-i].Catch), float64(a.Oars[i].Catch), 1e-12)
			near(t, "finish of the other oar", float64(b.Oars[1-i].Finish), float64(a.Oars[i].Finish), 1e-12)
		}
	})
}

// TestScalingKeepsAngles: a boat and a rower k times as large row the same
// angles. The fixed lengths of gate, handle and blade are taken out before and
// put back after scaling.
func TestScalingKeepsAngles(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		rapid.Check(t, func(t *rapid.T) {
			r := drawRowed(t, some)
			k := rapid.Float64Range(0.5, 2).Draw(t, "k")
			big := r
			for _, length := range []*float64{
				&big.setup.Span, &big.setup.Spread, &big.setup.GateDifference, &big.setup.HeelToPin, &big.setup.HeelDepth,
				&big.posture.Protraction, &big.posture.FinishGap, &big.posture.SideLean, &big.handle.Catch, &big.handle.Finish,
			} {
				*length *= k
			}
			for _, length := range segments(&big.body) {
				*length *= k
			}
			hand, blade := 0.04, 0.24 // fixed parts of the levers
			if !r.setup.Class.Scull {
				hand = 0.03
			}
			big.setup.Inboard = k*(r.setup.Inboard-hand) + hand
			big.setup.OarLength = big.setup.Inboard + k*(r.setup.Outboard()-blade) + blade
			s := solve(t, big.setup, big.body, big.posture, big.handle)
			near(t, "catch", float64(s.Catch), float64(r.stroke.Catch), 1e-9)
			near(t, "finish", float64(s.Finish), float64(r.stroke.Finish), 1e-9)
			near(t, "trunk-thigh", float64(s.TrunkThigh), float64(r.stroke.TrunkThigh), 1e-9)
			near(t, "arm slope", float64(s.ArmSlope), float64(r.stroke.ArmSlope), 1e-9)
			near(t, "rotation", float64(s.Rotation), float64(r.stroke.Rotation), 1e-9)
			near(t, "seat travel", s.SeatTravel, k*r.stroke.SeatTravel, 1e-9)
		})
	})
}

// change says how the two ends of the arc answer to a growing input: +1 the
// end moves outwards (a longer arc), −1 inwards, 0 it stays.
type change struct {
	name          string
	move          func(*rowed)
	catch, finish int
}

// changes holds for what inDrive lets pass.
var changes = []change{
	{"longer arm", func(r *rowed) { r.body.Arm += 0.01 }, +1, 0},
	{"more lean", func(r *rowed) { r.posture.Lean += deg(1) }, +1, 0},
	{"more protraction", func(r *rowed) { r.posture.Protraction += 0.01 }, +1, 0},
	{"higher hands at the catch", func(r *rowed) { r.handle.Catch += 0.01 }, +1, 0},
	{"longer thigh", func(r *rowed) { r.body.Thigh += 0.01 }, -1, +1},
	{"longer shank", func(r *rowed) { r.body.Shank += 0.01 }, +1, +1},
	{"heel to the stern", func(r *rowed) { r.setup.HeelToPin += 0.01 }, +1, -1},
	{"more compressed shin", func(r *rowed) { r.posture.Shin -= deg(1) }, +1, 0},
	{"more layback", func(r *rowed) { r.posture.Layback += deg(1) }, 0, +1},
	{"higher hands at the finish", func(r *rowed) { r.handle.Finish += 0.01 }, 0, +1},
	{"deeper chest", func(r *rowed) { r.body.HalfDepth += 0.01 }, 0, -1},
	{"wider gap", func(r *rowed) { r.posture.FinishGap += 0.01 }, 0, -1},
	{"knee left bent", func(r *rowed) { r.posture.FinishKnee -= deg(2) }, 0, -1},
}

var scullChanges = []change{
	{"narrower span", func(r *rowed) { r.setup.Span -= 0.01 }, +1, 0},
	{"wider shoulders", func(r *rowed) { r.body.HalfShoulder += 0.01 }, +1, 0},
}

var sweepChanges = []change{
	{"narrower spread", func(r *rowed) { r.setup.Spread -= 0.01 }, +1, 0},
	{"more lean to the rigger", func(r *rowed) { r.posture.SideLean += 0.01 }, +1, 0},
}

func TestArcAnswersEachInputTheRightWay(t *testing.T) {
	for name, row := range map[string]struct {
		some    func(source) rigging.Setup
		changes []change
	}{
		"scull": {someScull, append(scullChanges, changes...)},
		"sweep": {someSweep, append(sweepChanges, changes...)},
	} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				r := drawRowed(t, row.some)
				if !r.inDrive() {
					t.Skip("no drive to speak of")
				}
				for _, c := range row.changes {
					checkChange(t, r, c)
				}
			})
		})
	}
}

// inDrive reports whether the hands are where a drive has them: at the catch in
// front of the shoulder that limits it, below and outside it; at the finish so
// far above the hips that leaning back carries them to the bow.
func (r *rowed) inDrive() bool {
	s := &r.stroke
	shoulder := r.body.HalfShoulder
	if !r.setup.Class.Scull {
		shoulder = r.posture.SideLean - r.body.HalfShoulder*math.Cos(float64(s.Rotation))
	}
	outside := r.setup.PinOut() - r.setup.Levers().Hand*math.Cos(float64(s.Catch)) - shoulder
	front := s.AtCatch.Hand.X - s.AtCatch.Shoulder.X - r.body.HalfShoulder*math.Sin(float64(s.Rotation))
	over := r.handle.Finish - r.body.HipHeight - r.body.HalfDepth*math.Sin(float64(r.posture.Layback+deg(1)))
	return front > 0.05 && s.ArmSlope > deg(3) && outside > 0.02 && over > 0.01
}

func checkChange(t *rapid.T, r rowed, c change) {
	t.Helper()
	after := r
	c.move(&after)
	s, err := rigging.Solve(&after.setup, &after.body, &after.posture, &after.handle)
	if err != nil {
		return // at the edge of what can be rowed
	}
	if got := sign(r.stroke.Catch - s.Catch); got != c.catch {
		t.Errorf("%s: catch from %.3f to %.3f, want direction %+d", c.name, r.stroke.Catch.Degrees(), s.Catch.Degrees(), c.catch)
	}
	if got := sign(s.Finish - r.stroke.Finish); got != c.finish {
		t.Errorf("%s: finish from %.3f to %.3f, want direction %+d", c.name, r.stroke.Finish.Degrees(), s.Finish.Degrees(), c.finish)
	}
}

// sign is the direction of a difference, rounding errors aside.
func sign(difference rigging.Angle) int {
	switch {
	case difference > 1e-12:
		return +1
	case difference < -1e-12:
		return -1
	}
	return 0
}

// TestStretcherShiftsTheArc: moving the heel moves both ends the same way, and
// changes the length between them by less than that.
func TestStretcherShiftsTheArc(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		rapid.Check(t, func(t *rapid.T) {
			r := drawRowed(t, some)
			if r.stroke.Catch < deg(-72) || r.stroke.Finish > deg(55) {
				t.Skip("near the hull a handle's way is a great angle")
			}
			r.setup.HeelToPin += 0.01
			after := solve(t, r.setup, r.body, r.posture, r.handle)
			shift := float64(r.stroke.Finish - after.Finish)
			if grown := float64(after.Arc() - r.stroke.Arc()); math.Abs(grown) >= shift {
				t.Errorf("arc changes by %.4f rad while the finish shifts by %.4f", grown, shift)
			}
		})
	})
}

// TestSolveIsRepeatable: equal input gives bit-equal output.
func TestSolveIsRepeatable(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		rapid.Check(t, func(t *rapid.T) {
			r := drawRowed(t, some)
			if again := solve(t, r.setup, r.body, r.posture, r.handle); again != r.stroke {
				t.Fatalf("%+v, then %+v", r.stroke, again)
			}
		})
	})
}
