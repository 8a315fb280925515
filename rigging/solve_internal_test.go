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
