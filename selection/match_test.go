package selection

import (
	"math"
	"testing"
)

// TestMatchOf holds both sides of each limit.
func TestMatchOf(t *testing.T) {
	for d, want := range map[float64]Match{0: CloseMatch, 0.05: CloseMatch, 0.0501: FairMatch, 0.1: FairMatch, 0.1001: PoorMatch, 1: PoorMatch} {
		if got := MatchOf(d); got != want {
			t.Errorf("%g: %s, want %s", d, got, want)
		}
	}
}

// TestMatchOfTriangles holds the example of the limits: the distance of
// triangles of unit mean, with peaks at shares a and b of the drive.
func TestMatchOfTriangles(t *testing.T) {
	force := func(peak, u float64) float64 { return 2 * min(u/peak, (1-u)/(1-peak)) }
	distance := func(a, b float64) float64 {
		const n = 10000
		sum := 0.0
		for i := range n {
			u := (float64(i) + 0.5) / n
			sum += math.Abs(force(a, u)-force(b, u)) / 2 / n
		}
		return sum
	}
	if d := distance(0.4, 0.45); math.Abs(d-0.05) > 0.005 || MatchOf(d) != CloseMatch {
		t.Errorf("peaks a twentieth apart: %g, %s", d, MatchOf(d))
	}
	if d := distance(0.35, 0.45); math.Abs(d-0.09) > 0.005 || MatchOf(d) != FairMatch {
		t.Errorf("peaks a tenth apart: %g, %s", d, MatchOf(d))
	}
}
