package figure

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

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
	h := hatch("x", Oar, blade, 3.4, 45)
	if len(h.Lines) < 6 {
		t.Fatalf("%d lines", len(h.Lines))
	}
	for _, l := range h.Lines {
		if m := l[0].Toward(l[1], 0.5); !plane.Inside(blade, m) {
			t.Errorf("%v lies outside", m)
		}
	}
}

// TestBlobPassesThroughItsPoints: the outline a check sees is the curve that
// is drawn.
func TestBlobPassesThroughItsPoints(t *testing.T) {
	points := []Point{{X: 0, Y: 0}, {X: 10, Y: -3}, {X: 18, Y: 4}, {X: 12, Y: 14}, {X: 2, Y: 11}}
	s := blob(points...)
	for _, p := range points {
		if !slices.ContainsFunc(s.Lines[0], func(q Point) bool { return p.Sub(q).Norm() < 1e-9 }) {
			t.Errorf("%v is not on the curve", p)
		}
	}
	if len(s.Lines[0]) != curveSteps*len(points) {
		t.Errorf("%d points", len(s.Lines[0]))
	}
}

// TestPathIsTheCurve reads the path data of a curve back: it ends every piece
// at the point the outline has, to the tenth of a pixel it is written in.
func TestPathIsTheCurve(t *testing.T) {
	points := []Point{{X: 100.04, Y: 10.5}, {X: 110.5, Y: 0.04}, {X: 220.5, Y: 4}, {X: 212, Y: 114.96}, {X: 2, Y: 11}, {X: 10.5, Y: 10.04}}
	s := blob(points...)
	var at Point
	if _, err := fmt.Sscanf(s.D, "M%f %f", &at.X, &at.Y); err != nil {
		t.Fatal(err)
	}
	steps := regexp.MustCompile(`-?(\d+(\.\d)?|\.\d)`).FindAllString(s.D[strings.Index(s.D, "c"):], -1)
	if len(steps) != 6*len(points) {
		t.Fatalf("%d numbers in %s", len(steps), s.D)
	}
	for i := 0; i < len(steps); i += 6 {
		x, _ := strconv.ParseFloat(steps[i+4], 64)
		y, _ := strconv.ParseFloat(steps[i+5], 64)
		at = at.Add(Point{X: x, Y: y})
		want := s.Lines[0][(i/6+1)*curveSteps%len(s.Lines[0])]
		if at.Sub(want).Norm() > 0.08 {
			t.Errorf("piece %d ends at %v, not at %v", i/6, at, want)
		}
	}
}

// TestRingAndArc lie on their circle.
func TestRingAndArc(t *testing.T) {
	at := Point{X: 30, Y: 40}
	for _, l := range [][]Point{ring(at, 12).Lines[0], arc("", 0, at, 12, 20, 130).Lines[0], arc("", 0, at, 12, 130, 20).Lines[0]} {
		for _, p := range l {
			if math.Abs(p.Sub(at).Norm()-12) > 1e-9 {
				t.Errorf("%v is %v off", p, p.Sub(at).Norm())
			}
		}
	}
}

// TestCoord rounds to a tenth and writes no minus before zero.
func TestCoord(t *testing.T) {
	for v, want := range map[float64]string{1: "1", 1.24: "1.2", -0.04: "0", 12.96: "13"} {
		if got := coord(v); got != want {
			t.Errorf("%v: %q", v, got)
		}
	}
}
