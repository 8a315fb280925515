package rigging_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// reporter is what the helpers need of *testing.T and *rapid.T.
type reporter interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

// near fails unless got lies within tol of want; NaN always fails.
func near(t reporter, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.8g, want %.8g ± %.3g", what, got, want, tol)
	}
}

// degrees is near for an angle, with want and tol in degrees.
func degrees(t reporter, what string, got rigging.Angle, want, tol float64) {
	t.Helper()
	near(t, what+" (deg)", got.Degrees(), want, tol)
}

func deg(d float64) rigging.Angle { return rigging.Angle(d) * rigging.Degree }

func class(code string) rigging.Class {
	c, ok := rigging.ClassByCode(code)
	if !ok {
		panic("no class " + code)
	}
	return c
}

// solve is rigging.Solve for cases that must be rowable.
func solve(t reporter, s rigging.Setup, b rigging.Body, p rigging.Posture, h rigging.Handle) rigging.Stroke {
	t.Helper()
	stroke, err := rigging.Solve(&s, &b, &p, &h)
	if err != nil {
		t.Fatalf("Solve: %v", err)
	}
	return stroke
}

// solved returns the case's own solution, which must exist.
func solved(t reporter, c *rigging.Case) rigging.Stroke {
	t.Helper()
	stroke, err := c.Solve()
	if err != nil {
		t.Fatalf("Solve: %v", err)
	}
	return stroke
}

// limitOf returns the limit that err names, or "" when err is nil.
func limitOf(t reporter, err error) rigging.Limit {
	t.Helper()
	if err == nil {
		return ""
	}
	var reach *rigging.ReachError
	if !errors.As(err, &reach) {
		t.Fatalf("%T %v is not a ReachError", err, err)
	}
	return reach.Limit
}

// fieldErrors returns the field errors of err, in their order.
func fieldErrors(t reporter, err error) rigging.FieldErrors {
	t.Helper()
	if err == nil {
		return nil
	}
	var list rigging.FieldErrors
	if !errors.As(err, &list) {
		t.Fatalf("%T %v is not FieldErrors", err, err)
	}
	return list
}

// fields returns the names of the fields err complains of, in order.
func fields(t reporter, err error) []string {
	t.Helper()
	var names []string
	for _, e := range fieldErrors(t, err) {
		names = append(names, e.Place.String())
	}
	return names
}

// athlete is the body that the vectors of solve_test.go refer to, m.
func athlete() rigging.Body {
	return rigging.Body{
		Shank: 0.4464, Thigh: 0.4352, Trunk: 0.5328, Arm: 0.6972, HalfShoulder: 0.1804, HalfDepth: 0.1178,
		AnkleAlong: 0.0625, AnkleOff: 0.0865, Ball: 0.2105, HipHeight: 0.08,
	}
}

// level has the hands 25 cm over the seat at both ends.
var level = rigging.Handle{Catch: 0.25, Finish: 0.25}

// segments returns the body's lengths in the order of its fields.
func segments(b *rigging.Body) []*float64 {
	return []*float64{
		&b.Shank, &b.Thigh, &b.Trunk, &b.Arm, &b.HalfShoulder,
		&b.HalfDepth, &b.AnkleAlong, &b.AnkleOff, &b.Ball, &b.HipHeight,
	}
}

// source gives numbers in a range: by a seeded generator, or drawn by rapid so
// that failures shrink.
type source func(low, high float64) float64

func seeded(seed uint64) source {
	r := rand.New(rand.NewPCG(seed, 0x7401e))
	return func(low, high float64) float64 { return low + (high-low)*r.Float64() }
}

func drawn(t *rapid.T) source {
	return func(low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, "x") }
}

// someBody returns the body of a person between a junior and a giant.
func someBody(in source) rigging.Body {
	size := in(0.88, 1.12)
	b := athlete()
	for _, length := range segments(&b) {
		*length *= size * in(0.94, 1.06)
	}
	return b
}

func somePosture(in source, c rigging.Class) rigging.Posture {
	p := rigging.DefaultPosture(c)
	p.Shin, p.Lean, p.Layback = deg(in(80, 105)), deg(in(10, 38)), deg(in(10, 40))
	p.Protraction += in(-0.03, 0.03)
	p.Dorsiflexion, p.FinishKnee = deg(in(20, 50)), deg(in(160, 180))
	p.FinishGap = in(0, 0.08)
	p.RotationMax, p.SideLean = deg(in(10, 60)), in(-0.02, 0.10)
	return p
}

func someHandle(in source) rigging.Handle {
	return rigging.Handle{Catch: in(0.18, 0.34), Finish: in(0.18, 0.34)}
}

// someScull returns a rowable sculling rig with gates that differ either way.
func someScull(in source) rigging.Setup {
	s := scull()
	s.Span, s.OarLength = in(1.50, 1.66), in(2.60, 3.00)
	s.Inboard = s.Span/2 + in(0.06, 0.11)
	s.GateDifference = in(-0.03, 0.03)
	someStretcher(&s, in)
	return s
}

// someSweep returns a rowable sweep rig.
func someSweep(in source) rigging.Setup {
	s := sweep()
	s.Spread, s.OarLength = in(0.78, 0.92), in(3.50, 3.90)
	s.Inboard = s.Spread + in(0.26, 0.34)
	if in(0, 1) < 0.5 {
		s.Side = rigging.Starboard
	}
	someStretcher(&s, in)
	return s
}

func someStretcher(s *rigging.Setup, in source) {
	s.HeelToPin, s.HeelDepth, s.PlateAngle = in(0.10, 0.36), in(0.12, 0.22), deg(in(36, 48))
	s.GateHeight, s.SeatOverWater = in(0.13, 0.20), in(0.03, 0.12)
}

// disciplines runs a check for sculling and for sweep.
func disciplines(t *testing.T, check func(t *testing.T, some func(source) rigging.Setup)) {
	t.Run("scull", func(t *testing.T) { check(t, someScull) })
	t.Run("sweep", func(t *testing.T) { check(t, someSweep) })
}

// heelForCatch returns where the heel stands for a catch of so many degrees,
// beyond which the body may reach past the end of the arc.
func heelForCatch(c rigging.Case, catch float64) float64 {
	return root(0.30, 0.60, func(heel float64) float64 {
		c.Setup.HeelToPin = heel
		s, err := c.Solve()
		if err != nil {
			return -1
		}
		return s.Catch.Degrees() + catch
	})
}

// bladeKinds lists the kinds of blade.
func bladeKinds() []rigging.BladeKind {
	return []rigging.BladeKind{rigging.Hatchet, rigging.Macon, rigging.Large}
}

// longArc returns an arc that asks something of a body of medium size.
func longArc(c rigging.Class) rigging.Targets {
	if c.Scull {
		return rigging.Targets{Catch: deg(-64), Finish: deg(44)}
	}
	return rigging.Targets{Catch: deg(-55), Finish: deg(35)}
}
