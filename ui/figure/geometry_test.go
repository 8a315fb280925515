package figure

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// TestPoolIsLeastSquares holds the pooled places against a slow descent, and
// against what any placing must keep: order, gaps and margins.
func TestPoolIsLeastSquares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "n")
		var widths, wishes []float64
		for range n {
			widths = append(widths, rapid.Float64Range(10, 60).Draw(t, "width"))
			wishes = append(wishes, rapid.Float64Range(0, 400).Draw(t, "wish"))
		}
		const gap, low, high = 12, 9, 391
		lefts, ok := pool(widths, wishes, gap, low, high)
		if !ok {
			t.Fatal("five boxes of 60 fit into 382")
		}
		for i := range lefts {
			if lefts[i] < low-1e-9 || lefts[i]+widths[i] > high+1e-9 || i > 0 && lefts[i]-lefts[i-1]-widths[i-1] < gap-1e-9 {
				t.Fatalf("%v of widths %v", lefts, widths)
			}
		}
		if best := descend(widths, wishes, lefts, gap, low, high); squares(lefts, widths, wishes) > best+1e-6 {
			t.Fatalf("%v costs %v, %v is possible", lefts, squares(lefts, widths, wishes), best)
		}
	})
}

func squares(lefts, widths, wishes []float64) float64 {
	sum := 0.0
	for i, l := range lefts {
		sum += (l + widths[i]/2 - wishes[i]) * (l + widths[i]/2 - wishes[i])
	}
	return sum
}

// descend tries to better a placing by moving runs of boxes.
func descend(widths, wishes, lefts []float64, gap, low, high float64) float64 {
	at := slices.Clone(lefts)
	best := squares(at, widths, wishes)
	for step := 16.0; step > 1e-4; step /= 2 {
		for from := range at {
			for to := from + 1; to <= len(at); to++ {
				for _, s := range []float64{step, -step} {
					trial := slices.Clone(at)
					for i := from; i < to; i++ {
						trial[i] += s
					}
					if c := squares(trial, widths, wishes); c < best && apart(trial, widths, gap, low, high) {
						at, best = trial, c
					}
				}
			}
		}
	}
	return best
}

func apart(lefts, widths []float64, gap, low, high float64) bool {
	for i := range lefts {
		if lefts[i] < low || lefts[i]+widths[i] > high || i > 0 && lefts[i] < lefts[i-1]+widths[i-1]+gap {
			return false
		}
	}
	return true
}

// TestPoolRefusesWhatDoesNotFit: three boxes of 100 do not fit into 300.
func TestPoolRefusesWhatDoesNotFit(t *testing.T) {
	if _, ok := pool([]float64{100, 100, 100}, []float64{0, 0, 0}, 12, 0, 300); ok {
		t.Error("three boxes of 100 with gaps were put into 300")
	}
	if _, ok := pool([]float64{100, 100, 76}, []float64{0, 0, 0}, 12, 0, 300); !ok {
		t.Error("boxes that just fit were refused")
	}
}

// TestHatchStaysInside: every line of a hatching ends on its outline.
func TestHatchStaysInside(t *testing.T) {
	blade := bladeOutline(Point{X: 80, Y: 40}, Point{X: 0.6, Y: -0.8}, 44, 21)
	h := hatch("x", draw.Oar, blade, 3.4, 45)
	if len(h.Lines) < 6 {
		t.Fatalf("%d lines", len(h.Lines))
	}
	for _, l := range h.Lines {
		if m := l[0].Toward(l[1], 0.5); !plane.Inside(blade, m) {
			t.Errorf("%v lies outside", m)
		}
	}
}
