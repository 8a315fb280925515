package rigging_test

import (
	"math"
	"math/cmplx"
	"testing"

	"thole/rigging"
)

// This file solves the forward problem a second time, by other means: plane
// points as complex numbers, links as rotations, and every unknown found by
// bisection on what must hold instead of in closed form.

// turn returns the unit vector at an angle of a radians.
func turn(a rigging.Angle) complex128 { return cmplx.Rect(1, float64(a)) }

// root halves the bracket low..high, at whose ends f has opposite signs.
func root(low, high float64, f func(float64) float64) float64 {
	positive := f(low) > 0
	for range 80 {
		mid := (low + high) / 2
		if f(mid) > 0 == positive {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// included returns the angle at b from the direction to a up to that to c, rad.
func included(a, b, c complex128) float64 { return cmplx.Phase((c - b) / (a - b)) }

// slowStroke holds what the second solution finds.
type slowStroke struct {
	catch, finish                               float64 // signed, rad
	seatTravel, kneeFlexion, trunkThigh, armDip float64
}

type slowSolver struct {
	setup   rigging.Setup
	body    rigging.Body
	posture rigging.Posture
	handle  rigging.Handle
}

// ankle places the foot and, with the heel off the plate, turns heel and ankle
// rigidly about the ball of the foot.
func (s *slowSolver) ankle(lift rigging.Angle) complex128 {
	heel := complex(s.setup.HeelToPin, -s.setup.HeelDepth)
	plate := turn(s.setup.PlateAngle)
	ball := heel + complex(s.body.Ball, 0)*plate
	ankle := heel + complex(s.body.AnkleAlong, s.body.AnkleOff)*plate
	return ball + (ankle-ball)*turn(-lift)
}

// legsAtCatch returns knee, hip and where the trunk ends before the shoulder
// goes forward.
func (s *slowSolver) legsAtCatch() (knee, hip, neck complex128) {
	// The ankle's bend: from a sole square to the shin to the sole as it lies.
	bend := s.setup.PlateAngle + math.Pi/2 - s.posture.Shin
	ankle := s.ankle(max(0, bend-s.posture.Dorsiflexion))
	knee = ankle + complex(s.body.Shank, 0)*turn(s.posture.Shin)
	// Slide the hip bowwards from under the knee until the thigh is long enough.
	x := root(real(knee), real(knee)-2, func(x float64) float64 {
		return cmplx.Abs(complex(x, s.body.HipHeight)-knee) - s.body.Thigh
	})
	hip = complex(x, s.body.HipHeight)
	neck = hip + complex(s.body.Trunk, 0)*turn(math.Pi/2-s.posture.Lean)
	return knee, hip, neck
}

// hipAtFinish swings the nearly straight leg about the ankle until its upper
// end lies at the height of the hip joint.
func (s *slowSolver) hipAtFinish() complex128 {
	ankle := s.ankle(0)
	leg := func(a float64) complex128 {
		shank := rigging.Angle(a)
		thigh := shank + math.Pi - s.posture.FinishKnee
		return ankle + complex(s.body.Shank, 0)*turn(shank) + complex(s.body.Thigh, 0)*turn(thigh)
	}
	return leg(root(math.Pi/2, 1.45*math.Pi, func(a float64) float64 { return imag(leg(a)) - s.body.HipHeight }))
}

// hands returns the heights of the hands at the two ends for each oar. Both
// blades stand at the height of the one whose hand is given; hand, gate and
// blade lie on a line.
func (s *slowSolver) hands() [][2]float64 {
	given := [2]float64{s.handle.Catch, s.handle.Finish}
	if !s.setup.Class.Scull {
		return [][2]float64{given}
	}
	in, out := s.setup.Inboard-0.04, s.setup.OarLength-s.setup.Inboard-0.24
	var other [2]float64
	for i, hand := range given {
		const gate = 0.2 // any height will do
		blade := gate - (hand-gate)/in*out
		higher := gate + math.Abs(s.setup.GateDifference)
		other[i] = higher + (higher-blade)/out*in
	}
	return [][2]float64{given, other}
}

// reach returns how much further than the arm's length the hand lies from the
// shoulder, with the oar at t towards the catch.
func (s *slowSolver) reach(t float64, neck complex128, height float64) float64 {
	var hand, shoulder [3]float64
	if s.setup.Class.Scull {
		r := s.setup.Inboard - 0.04
		hand = [3]float64{r * math.Sin(t), s.setup.Span/2 - r*math.Cos(t), height}
		shoulder = [3]float64{real(neck) + s.posture.Protraction, s.body.HalfShoulder, imag(neck)}
	} else {
		r := s.setup.Inboard - 0.03
		hand = [3]float64{r * math.Sin(t), s.setup.Spread - r*math.Cos(t), height}
		// The outside shoulder, on the far side from the rigger, comes forward.
		line := cmplx.Rect(s.body.HalfShoulder, min(0.7*t, float64(s.posture.RotationMax)))
		shoulder = [3]float64{
			real(neck) + s.posture.Protraction + imag(line), s.posture.SideLean - real(line), imag(neck),
		}
	}
	var d2 float64
	for i := range hand {
		d2 += (hand[i] - shoulder[i]) * (hand[i] - shoulder[i])
	}
	return math.Sqrt(d2) - s.body.Arm
}

// catch scans back from an oar that points to the bow for the first angle in
// reach; ok is false when there is none before the oar is square.
func (s *slowSolver) catch(neck complex128, height float64) (t float64, ok bool) {
	const step = math.Pi / 720
	if s.reach(math.Pi, neck, height) <= 0 {
		return 0, false
	}
	for t = math.Pi; t > 0; t -= step {
		if s.reach(t-step, neck, height) <= 0 {
			return root(t, t-step, func(t float64) float64 { return s.reach(t, neck, height) }), true
		}
	}
	return 0, false
}

// finish walks up the torso's front to the height of the hand, adds the gap
// and turns the oar to there.
func (s *slowSolver) finish(hip complex128, height float64) (float64, bool) {
	back := turn(math.Pi/2 + s.posture.Layback)
	front := hip + complex(s.body.HalfDepth, 0)*back/1i
	along := root(-3, 3, func(l float64) float64 { return imag(front+complex(l, 0)*back) - height })
	x := real(front+complex(along, 0)*back) + s.posture.FinishGap
	r := s.setup.Inboard - 0.04
	if !s.setup.Class.Scull {
		r = s.setup.Inboard - 0.03
	}
	if x <= -r || x >= r {
		return 0, false
	}
	return root(-math.Pi/2, math.Pi/2, func(a float64) float64 { return x + r*math.Sin(a) }), true
}

// solve returns the stroke; ok is false when the body cannot row the rig.
func (s *slowSolver) solve() (stroke slowStroke, ok bool) {
	knee, hip, neck := s.legsAtCatch()
	back := s.hipAtFinish()
	stroke.catch, stroke.finish = -math.Pi, math.Pi
	for _, heights := range s.hands() {
		t, reached := s.catch(neck, heights[0])
		end, drawn := s.finish(back, heights[1])
		if !reached || !drawn {
			return slowStroke{}, false
		}
		if -t > stroke.catch {
			stroke.catch = -t
			stroke.armDip = math.Asin((imag(neck) - heights[0]) / s.body.Arm)
		}
		stroke.finish = min(stroke.finish, end)
	}
	stroke.seatTravel = real(hip) - real(back)
	stroke.kneeFlexion = math.Pi - included(hip, knee, knee-turn(s.posture.Shin))
	stroke.trunkThigh = math.Pi - included(knee, hip, neck)
	const most = 85 * math.Pi / 180 // along the boat an oar propels nothing
	return stroke, stroke.catch >= -most && stroke.finish <= most && stroke.catch < stroke.finish
}

// TestSolveAgreesWithTheSlowSolution compares both solutions over thousands of
// random bodies, rigs and postures.
func TestSolveAgreesWithTheSlowSolution(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		in := seeded(11)
		rowed := 0
		for range 4000 {
			setup := some(in)
			slow := slowSolver{setup, someBody(in), somePosture(in, setup.Class), someHandle(in)}
			want, ok := slow.solve()
			got, err := rigging.Solve(&slow.setup, &slow.body, &slow.posture, &slow.handle)
			if ok != (err == nil) {
				t.Fatalf("slow solution rows: %v, Solve: %v, for %+v", ok, err, slow)
			}
			if !ok {
				continue
			}
			rowed++
			near(t, "catch", float64(got.Catch), want.catch, 1e-9)
			near(t, "finish", float64(got.Finish), want.finish, 1e-9)
			near(t, "seat travel", got.SeatTravel, want.seatTravel, 1e-9)
			near(t, "knee flexion", float64(got.KneeFlexion), want.kneeFlexion, 1e-9)
			near(t, "trunk-thigh", float64(got.TrunkThigh), want.trunkThigh, 1e-9)
			near(t, "arm slope", float64(got.ArmSlope), want.armDip, 1e-9)
			if t.Failed() {
				t.Fatalf("case %+v", slow)
			}
		}
		if rowed < 3000 {
			t.Errorf("only %d of 4000 random cases can be rowed", rowed)
		}
	})
}
