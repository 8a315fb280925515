package stroke

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// bowCurves are the force curves of ten men and ten women over the drive, 51
// nodes each, of T. Pataky and J. Warmenhoven, "fda-pca-spm" (2018, MIT
// licence). The file is no part of this repository.
const bowCurves = "../shared/data/rowing_curves/warmenhoven2018_bow_force.csv"

// readBowCurves returns the share of the drive in per cent and the curves by
// name, and their names in order.
func readBowCurves(t *testing.T) (share []float64, curves map[string][]float64, names []string) {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "..", bowCurves))
	if err != nil {
		t.Skip(bowCurves + " is absent")
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	names, curves = rows[0][1:], map[string][]float64{}
	for _, row := range rows[1:] {
		for i, cell := range row {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			if i == 0 {
				share = append(share, v)
			} else {
				curves[names[i-1]] = append(curves[names[i-1]], v)
			}
		}
	}
	return share, curves, names
}

// The shares of variance printed in the seminar notebook that came with the
// curves (Pataky and Warmenhoven 2018).
func TestPublishedPrincipalComponents(t *testing.T) {
	_, curves, names := readBowCurves(t)
	var all [][]float64
	for _, n := range names {
		all = append(all, curves[n])
	}
	c, err := Principal(all, 5)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{69.3861, 15.7234, 9.6379, 2.1492, 1.4753} {
		if got := 100 * c.Share[i]; !near(got, want, 5e-5) {
			t.Errorf("component %d: %v %%, want %v", i+1, got, want)
		}
	}
}

// Computed from the same curves by a program in another language that follows
// the definitions word by word.
func TestLikenessOfMeasuredCurves(t *testing.T) {
	_, curves, _ := readBowCurves(t)
	l, err := Compare(curves["male01"], curves["male02"], -1)
	if err != nil {
		t.Fatal(err)
	}
	if !near(l.R, 0.902192, 5e-7) || !near(l.RMS, 119.7591, 5e-5) || !near(l.D, 0.112039, 5e-7) ||
		l.Shift != 3 || !near(l.ShiftedR, 0.976923, 5e-7) || !near(l.Warp, 320.1254, 5e-5) {
		t.Errorf("%+v", l)
	}
	l, err = Compare(curves["male05"], curves["male06"], -1)
	if err != nil || !near(l.R, 0.996499, 5e-7) || !near(l.D, 0.023499, 5e-7) {
		t.Errorf("%+v %v", l, err)
	}
}

// Where the curve crosses 30 % of its peak, by straight lines between the
// nodes: computed from the same file by a program in another language.
func TestThresholdsOnAMeasuredCurve(t *testing.T) {
	share, curves, _ := readBowCurves(t)
	f := curves["male01"]
	g := gauge{drive: track{t: share}}
	level := DefaultShare * f[top(f)]
	up, ok := firstRise(share, f, level, 0, 0)
	if !ok || !near(up, 12.4921, 5e-5) {
		t.Error(up)
	}
	reversed, force := make([]float64, len(f)), make([]float64, len(f))
	for i := range f {
		reversed[i], force[i] = -share[len(f)-1-i], f[len(f)-1-i]
	}
	down, ok := firstRise(reversed, force, level, 0, 0)
	if !ok || !near(-down, 82.4748, 5e-5) {
		t.Error(-down)
	}
	if i := top(f); share[i] != 58 || !near(f[i], 664.5, 0.05) {
		t.Error(share[i], f[i])
	}
	// The whole way of an analysis, which averages over the neighbours.
	if at, _ := g.rise(share, f, level); !near(at, 12.4921, 0.1) {
		t.Error(at)
	}
	if at, _ := g.fall(share, f, level); !near(at, 82.4748, 0.1) {
		t.Error(at)
	}
}

// warping returns the distance by dynamic time warping.
func warping(f, g []float64, window int) float64 {
	return warp(f, g, window, make([]float64, len(g)+1))
}

// difference returns the D of two curves.
func difference(f, g []float64) (float64, error) {
	a, err := Shape(f)
	if err != nil {
		return 0, err
	}
	b, err := Shape(g)
	if err != nil {
		return 0, err
	}
	return apart(a, b), nil
}

// From the tests of the library dtaidistance (W. Meert et al., KU Leuven).
func TestWarpingOfTheLibrarysSeries(t *testing.T) {
	a, b := []float64{0, 0, 1, 2, 1, 0, 1, 0, 0}, []float64{0, 1, 2, 0, 0, 0, 0, 0, 0}
	if got := warping(a, b, len(a)); !near(got, math.Sqrt2, 1e-15) {
		t.Error(got)
	}
}

// slowWarp is the definition: the best of all paths, by recursion.
func slowWarp(f, g []float64, i, j, window int) float64 {
	if i < 0 || j < 0 || i-j > window || j-i > window {
		return math.Inf(1)
	}
	d := (f[i] - g[j]) * (f[i] - g[j])
	if i == 0 && j == 0 {
		return d
	}
	return d + min(slowWarp(f, g, i-1, j, window), slowWarp(f, g, i, j-1, window), slowWarp(f, g, i-1, j-1, window))
}

func TestWarpIsTheBestOfAllPaths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SliceOfN(rapid.Float64Range(-5, 5), 1, 7).Draw(t, "f")
		g := rapid.SliceOfN(rapid.Float64Range(-5, 5), 1, 7).Draw(t, "g")
		window := max(len(f)-len(g), len(g)-len(f)) + rapid.IntRange(0, 6).Draw(t, "window")
		want := math.Sqrt(slowWarp(f, g, len(f)-1, len(g)-1, window))
		if got := warping(f, g, window); !near(got, want, 1e-12) {
			t.Errorf("%v, want %v", got, want)
		}
	})
}

func TestAWindowOfZeroIsTheDiagonal(t *testing.T) {
	f, g := []float64{1, 2, 3}, []float64{2, 2, 5}
	if got := warping(f, g, 0); got != math.Sqrt(5) {
		t.Error(got)
	}
}

// node returns a curve of the form at Nodes nodes.
func node(form func(float64) float64) []float64 {
	out := make([]float64, Nodes)
	for i := range out {
		out[i] = form(float64(i) / (Nodes - 1))
	}
	return out
}

func TestTimingIsToldFromShape(t *testing.T) {
	early := node(func(u float64) float64 { return math.Exp(-50 * (u - 0.40) * (u - 0.40)) })
	late := node(func(u float64) float64 { return math.Exp(-50 * (u - 0.47) * (u - 0.47)) })
	l, err := Compare(late, early, 10)
	if err != nil || l.Shift != 7 || l.ShiftedR < 0.9999 || l.R > 0.95 {
		t.Errorf("%+v %v", l, err)
	}
	if l, _ = Compare(early, late, 10); l.Shift != -7 {
		t.Errorf("%+v", l)
	}
}

func TestDifferenceHasKnownEnds(t *testing.T) {
	half := func(from, to float64) []float64 {
		return node(func(u float64) float64 {
			if u > from && u < to {
				return 1
			}
			return 0
		})
	}
	if d, err := difference(half(0, 0.45), half(0.55, 1)); err != nil || !near(d, 1, 1e-12) {
		t.Error("curves that do not overlap:", d, err)
	}
	strong := node(func(u float64) float64 { return 900 * halfSine(u) })
	if d, err := difference(node(halfSine), strong); err != nil || !near(d, 0, 1e-12) {
		t.Error("one shape in two sizes:", d, err)
	}
}

// The triangle over the drive against the rectangle: shapes 1 and 4u, then
// 4(1−u). Their difference has the area ½, of which D is a half. The nodes do
// not fall on the crossings of the two, which costs less than 1e-4.
func TestDifferenceOfTriangleAndRectangle(t *testing.T) {
	triangle := node(func(u float64) float64 { return min(u, 1-u) })
	rectangle := node(func(float64) float64 { return 3 })
	if d, err := difference(triangle, rectangle); err != nil || !near(d, 0.25, 1e-4) {
		t.Error(d, err)
	}
}

func TestDifferenceIsADistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		curve := func(name string) []float64 {
			return rapid.SliceOfN(rapid.Float64Range(1, 100), 8, 8).Draw(t, name)
		}
		f, g, h := curve("f"), curve("g"), curve("h")
		fg, _ := difference(f, g)
		gf, _ := difference(g, f)
		fh, _ := difference(f, h)
		gh, _ := difference(g, h)
		if fg != gf || fg < 0 || fg > 1 || fg > fh+gh+1e-12 {
			t.Errorf("%v %v %v %v", fg, gf, fh, gh)
		}
	})
}

func TestNegativeForceHasNoPartInTheShape(t *testing.T) {
	s, err := Shape([]float64{-5, 0, 10, 0, -5})
	if err != nil || s[0] != 0 || !near(trapezoid([]float64{0, 0.25, 0.5, 0.75, 1}, s), 1, 1e-15) {
		t.Error(s, err)
	}
}

func TestCurvesThatCannotBeCompared(t *testing.T) {
	good := node(halfSine)
	for name, bad := range map[string][]float64{"empty": nil, "no force": make([]float64, Nodes), "shorter": good[:50],
		"constant": node(func(float64) float64 { return 1 }), "not a number": append([]float64{math.NaN()}, good[1:]...), "endless": append([]float64{math.Inf(1)}, good[1:]...)} {
		if l, err := Compare(good, bad, -1); err == nil {
			t.Errorf("%s: %+v", name, l)
		}
	}
}
