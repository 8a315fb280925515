package lineup

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"thole/rigging"
)

// readCurves reads a table of curves by the name of its columns.
func readCurves(t *testing.T, path string) map[string][]float64 {
	f, err := os.Open(filepath.FromSlash(path))
	if os.IsNotExist(err) {
		t.Skipf("%s is not here", filepath.Base(path))
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	curves := map[string][]float64{}
	for _, row := range rows[1:] {
		for k, name := range rows[0] {
			v, err := strconv.ParseFloat(row[k], 64)
			if err != nil {
				t.Fatal(err)
			}
			curves[name] = append(curves[name], v)
		}
	}
	return curves
}

// Twenty measured bow-side force curves of 51 nodes (T. Pataky and
// J. Warmenhoven, fda-pca-spm, 2018, MIT licence). The distances were computed
// from the data with another program, negatives taken as 0 and trapezoid
// areas, to the digits shown.
func TestDistanceOfMeasuredCurves(t *testing.T) {
	curves := readCurves(t, "../../../shared/data/rowing_curves/warmenhoven2018_bow_force.csv")
	for _, c := range []struct {
		a, b string
		want float64
	}{{"male01", "male02", 0.112039}, {"male05", "male06", 0.023499}} {
		if got := distance(shape(curves[c.a]), shape(curves[c.b])); math.Abs(got-c.want) > 5e-7 {
			t.Errorf("%s and %s: %.7f, expected %v", c.a, c.b, got, c.want)
		}
	}
}

// The ends of the drive count half, as the trapezoid rule has it.
func TestOverlapCountsItsEndsHalf(t *testing.T) {
	w := slices.Repeat([]float64{3}, 101)
	for node, share := range map[int]float64{0: 0.5, 1: 1, 50: 1, 99: 1, 100: 0.5} {
		f, g := make([]float64, 101), make([]float64, 101)
		f[node], g[node] = 5, 7
		if got, want := overlap(f, g, w), share*5*7*3/100; math.Abs(got-want) > 1e-12 {
			t.Errorf("node %d: %v, expected %v", node, got, want)
		}
	}
}

func TestDistanceIsBetweenNoneAndAll(t *testing.T) {
	first, second := make([]float64, 101), make([]float64, 101)
	for u := range first {
		if u < 50 {
			first[u] = 3
		} else if u > 50 {
			second[u] = 7
		}
	}
	if got := distance(shape(first), shape(second)); !near(got, 1) {
		t.Errorf("curves that never overlap: %v", got)
	}
	if got := distance(shape(first), shape(first)); got != 0 {
		t.Errorf("a curve and itself: %v", got)
	}
}

func TestShapeForgetsScaleAndNegatives(t *testing.T) {
	curve := []float64{-5, 1, 2, 3, -1}
	scaled := []float64{-1, 10, 20, 30, 0}
	if a, b := shape(curve), shape(scaled); distance(a, b) > 1e-15 || !near(mean(a), 1) {
		t.Errorf("%v and %v", a, b)
	}
}

func TestClosenessBySide(t *testing.T) {
	for s := range 6 {
		for u := s + 1; u < 6; u++ {
			for _, sides := range [][]rigging.Side{nil, {stbd, port, port, port, stbd, stbd}, alternating(6)} {
				if got, want := closeness(sides, s, u), slowCloseness(sides, s, u); got != want {
					t.Errorf("seats %d and %d of %v: %v, expected %v", s+1, u+1, sides, got, want)
				}
			}
		}
	}
}

func TestKinshipSharesSumToOne(t *testing.T) {
	var sum float64
	for _, row := range kinship(8, alternating(8)) {
		for _, v := range row {
			sum += v
		}
	}
	if !near(sum, 1) {
		t.Errorf("they sum to %v", sum)
	}
}

func TestSquadWithoutCurvesIsAllAlike(t *testing.T) {
	shapes, average := squadShapes(make([][]float64, 3), 5)
	for _, s := range append(shapes, average) {
		if !slices.Equal(s, []float64{1, 1, 1, 1, 1}) {
			t.Errorf("shape %v", s)
		}
	}
}
