package draw

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"thole/ui/figure/plane"
)

// TestBlobPassesThroughItsPoints: the outline a check sees is the curve that
// is drawn.
func TestBlobPassesThroughItsPoints(t *testing.T) {
	points := []plane.Point{{X: 0, Y: 0}, {X: 10, Y: -3}, {X: 18, Y: 4}, {X: 12, Y: 14}, {X: 2, Y: 11}}
	s := Blob(points...)
	for _, p := range points {
		if !slices.ContainsFunc(s.Lines[0], func(q plane.Point) bool { return p.Sub(q).Norm() < 1e-9 }) {
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
	points := []plane.Point{{X: 100.04, Y: 10.5}, {X: 110.5, Y: 0.04}, {X: 220.5, Y: 4}, {X: 212, Y: 114.96}, {X: 2, Y: 11}, {X: 10.5, Y: 10.04}}
	s := Blob(points...)
	var at plane.Point
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
		at = at.Add(plane.Point{X: x, Y: y})
		want := s.Lines[0][(i/6+1)*curveSteps%len(s.Lines[0])]
		if at.Sub(want).Norm() > 0.08 {
			t.Errorf("piece %d ends at %v, not at %v", i/6, at, want)
		}
	}
}

// TestRingAndArc lie on their circle.
func TestRingAndArc(t *testing.T) {
	at := plane.Point{X: 30, Y: 40}
	for _, l := range [][]plane.Point{Ring(at, 12).Lines[0], Arc("", 0, at, 12, 20, 130).Lines[0], Arc("", 0, at, 12, 130, 20).Lines[0]} {
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
		if got := Coord(v); got != want {
			t.Errorf("%v: %q", v, got)
		}
	}
}
