package camera

import (
	"math"
	"testing"

	"thole/rigging"
)

// TestMoments: at 60 frames a second a moment is ± 5 ms (16.7/√12) and the
// difference of two ± 7 ms; 30 pixels at 300 a metre are 10 cm ± 0.7; a blade of
// 21.5 cm that takes 5 frames goes in at 2.58 m/s.
func TestMoments(t *testing.T) {
	s := Scale{Frame: 1. / 60, PerMetre: 300, PerMetreSD: 3, MarkSD: 1.5, Blade: .215, BladeSD: .005, Outboard: 1.76}
	turn := Turn{Reversal: 1, Edge: 1 + 3./60, Whole: 1 + 8./60, HeightPixels: 30,
		FromAngle: -64 * rigging.Degree, ToAngle: -57 * rigging.Degree, FromAngleSD: rigging.Degree, ToAngleSD: rigging.Degree}
	m := turn.Read(&s)
	near(t, "moment of a frame", FrameSD(s.Frame), .00481, 1e-5)
	near(t, "edge", m.Edge.Value, .05, 1e-9)
	near(t, "edge ±", m.Edge.SD, .0068, 1e-4)
	near(t, "whole", m.Whole.Value, 8./60, 1e-9)
	near(t, "height", m.Height.Value, .1, 1e-12)
	near(t, "height ±", m.Height.SD, .00714, 1e-4)
	near(t, "speed", m.Speed.Value, 2.58, 1e-9)
	near(t, "missed", m.Missed.Value*180/math.Pi, 7, 1e-9)
	near(t, "missed ±", m.Missed.SD*180/math.Pi, math.Sqrt2, 1e-9)
	near(t, "missed at the blade", m.MissedAt.Value, 1.76*7*math.Pi/180, 1e-12)

	turn.HeightPixels, turn.Whole, turn.ToAngleSD = math.NaN(), turn.Edge, 0
	m = turn.Read(&s)
	if m.Height.SD != 0 || m.Speed.SD != 0 || m.Missed.SD != 0 {
		t.Errorf("what was not marked is told: %+v", m)
	}
}

func TestMeanOf(t *testing.T) {
	m := MeanOf([]Value{{1, .1}, {2, .1}, {3, .1}, {9, 0}})
	near(t, "mean", m.Value.Value, 2, 1e-12)
	near(t, "spread", m.Spread, 1, 1e-12)
	near(t, "±", m.SD, 1/math.Sqrt(3), 1e-12)
	m = MeanOf([]Value{{2, .2}, {2, .2}, {2, .2}, {2, .2}, {2, .2}, {2, .2}, {2, .2}, {2, .2}, {2, .2}})
	near(t, "± of many alike", m.SD, .1, 1e-12)
	if m = MeanOf(nil); m.Count != 0 || m.SD != 0 {
		t.Errorf("of nothing: %+v", m)
	}
}

// TestMarkSD finds the scatter of a hand from points marked twice.
func TestMarkSD(t *testing.T) {
	r := newRand(4)
	var pairs [][2]float64
	for range 2000 {
		d := func() float64 { return 2.5 * (r.NormFloat64() - r.NormFloat64()) }
		pairs = append(pairs, [2]float64{d(), d()})
	}
	near(t, "scatter", MarkSD(pairs), 2.5, .1)
	near(t, "a hand that is too good", MarkSD([][2]float64{{0, 0}}), .5, 0)
	near(t, "not tried", MarkSD(nil), 1.5, 0)
}

// TestLength: what stands 10 cm nearer at 5 m shows 2 % longer, and the ± holds
// it when the depth is stated.
func TestLength(t *testing.T) {
	c := LookAt(Vector{0, 5, 1}, Vector{0, 0, 1}, 0, 2000, 2000, 2000)
	_, top, _ := c.Project(Vector{0, .1, 1.45})
	_, foot, _ := c.Project(Vector{0, .1, .55})
	_, known, _ := c.Project(Vector{0, 0, 2})
	_, floor, _ := c.Project(Vector{0, 0, 0})
	v := Length(foot-top, floor-known, 2, .005, 1.5, .1/5)
	near(t, "length", v.Value, .9*5/4.9, 1e-9)
	if math.Abs(v.Value-.9) > 2*v.SD {
		t.Errorf("%.4f ± %.4f does not hold 0.9 m", v.Value, v.SD)
	}
}
