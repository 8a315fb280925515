package rigging

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestSlopeOfTheHandDistance compares the derivative with finite differences
// at thousands of points without symmetry; a wrong one would only slow the
// iteration down, which no result shows.
func TestSlopeOfTheHandDistance(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	in := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	for range 3000 {
		setup, body, posture := Setup{Spread: in(0.75, 0.95)}, Body{HalfShoulder: in(0.14, 0.23)}, Posture{SideLean: in(-0.05, 0.12)}
		hand, x, at := in(0.95, 1.25), in(0, 0.8), in(-0.3, 1.4)
		const h = 1e-5
		up, _ := handDistance2(&setup, &body, &posture, hand, x, at+h)
		down, _ := handDistance2(&setup, &body, &posture, hand, x, at-h)
		_, slope := handDistance2(&setup, &body, &posture, hand, x, at)
		if want := (up - down) / (2 * h); math.Abs(slope-want) > 1e-8 {
			t.Fatalf("slope %.9f at %.3f rad, finite differences give %.9f", slope, at, want)
		}
	}
}

// TestACertainValueIsOverOrNot: without spread the chance is one, none or, on the
// line itself, a half; with it that of the normal distribution, of which a standard
// deviation has 84.13 % (from memory).
func TestACertainValueIsOverOrNot(t *testing.T) {
	for _, c := range []struct {
		mean, sd Angle
		want     float64
	}{{1, 0, 1}, {-1, 0, 0}, {0, 0, 0.5}, {2, 2, 0.8413}, {-2, 2, 0.1587}, {0, 2, 0.5}} {
		if got := chanceOver(c.mean, c.sd); math.Abs(got-c.want) > 1e-4 {
			t.Errorf("mean %g, sd %g: %g, want %g", c.mean, c.sd, got, c.want)
		}
	}
}

// TestAWindowOfOneHeightIsNoContradiction: its ends keep their own spreads; where
// they cross, each takes the other's place.
func TestAWindowOfOneHeightIsNoContradiction(t *testing.T) {
	one := GateWindow{Low: 0.16, High: 0.16, LowSD: 0.01, HighSD: 0.02}
	crossed := GateWindow{Low: 0.17, High: 0.16, LowSD: 0.01, HighSD: 0.02}
	for _, c := range []struct {
		w      GateWindow
		height float64
		want   int
	}{
		{one, 0.13, -1}, {one, 0.15, 0}, {one, 0.19, 0}, {one, 0.21, +1}, // 0.14 to 0.20 at two standard deviations
		{crossed, 0.13, 0}, {crossed, 0.11, -1}, {crossed, 0.18, 0}, {crossed, 0.20, +1}, // 0.12 to 0.19
	} {
		if got := c.w.Out(c.height); got != c.want {
			t.Errorf("%.2f to %.2f, %.2f: %d, want %d", c.w.Low, c.w.High, c.height, got, c.want)
		}
	}
}
