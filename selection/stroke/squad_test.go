package stroke

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// length is the sum of the differences of neighbours.
func length(d [][]float64, order []int) float64 {
	var sum float64
	for i := 1; i < len(order); i++ {
		sum += d[order[i-1]][order[i]]
	}
	return sum
}

// allOrders visits the orders a tree allows, by brute force.
func allOrders(b *branch) [][]int {
	if b.left == nil {
		return [][]int{b.leaves}
	}
	var out [][]int
	for _, p := range allOrders(b.left) {
		for _, q := range allOrders(b.right) {
			out = append(out, slices.Concat(p, q), slices.Concat(q, p))
		}
	}
	return out
}

func drawDistances(t *rapid.T) [][]float64 {
	n := rapid.IntRange(2, 7).Draw(t, "n")
	d := make([][]float64, n)
	for i := range d {
		d[i] = make([]float64, n)
		for j := range i {
			d[i][j] = float64(rapid.IntRange(1, 20).Draw(t, "d"))
			d[j][i] = d[i][j]
		}
	}
	return d
}

func TestArrangementIsTheBestTheTreeAllows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDistances(t)
		best := math.Inf(1)
		for _, order := range allOrders(cluster(d)) {
			best = min(best, length(d, order))
		}
		got := Arrange(d)
		if !near(length(d, got), best, 1e-9) {
			t.Errorf("%v has %v, best is %v", got, length(d, got), best)
		}
		if sorted := slices.Sorted(slices.Values(got)); sorted[0] != 0 || sorted[len(d)-1] != len(d)-1 || len(slices.Compact(sorted)) != len(d) {
			t.Errorf("%v is no order", got)
		}
	})
}

func TestMembersOnALineStandInLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.SliceOfNDistinct(rapid.IntRange(0, 10_000), 2, 30, func(x int) int { return x }).Draw(t, "at")
		d := make([][]float64, len(at))
		for i := range d {
			d[i] = make([]float64, len(at))
			for j := range d {
				d[i][j] = math.Abs(float64(at[i] - at[j]))
			}
		}
		order := Arrange(d)
		if got, want := length(d, order), float64(slices.Max(at)-slices.Min(at)); got != want {
			t.Errorf("%v: %v, want %v", order, got, want)
		}
	})
}

func TestArrangingFewOrWrong(t *testing.T) {
	if got := Arrange(nil); got != nil {
		t.Error(got)
	}
	if got := Arrange([][]float64{{0}}); !slices.Equal(got, []int{0}) {
		t.Error(got)
	}
	for name, d := range map[string][][]float64{"square": {{0, 1}}, "symmetric": {{0, 1}, {2, 0}}, "a number": {{0, math.NaN()}, {math.NaN(), 0}}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("a matrix that is not %s passes", name)
				}
			}()
			Arrange(d)
		}()
	}
}

// family is a squad whose curves run from early to late peaks.
func family(n int) [][]float64 {
	var curves [][]float64
	for i := range n {
		place := 0.35 + 0.25*float64((i*7)%n)/float64(n)
		curves = append(curves, node(func(u float64) float64 {
			return 600 * math.Sin(math.Pi*math.Pow(u, math.Log(0.5)/math.Log(place)))
		}))
	}
	return curves
}

// differences returns the D of any two of the curves.
func differences(t testing.TB, curves [][]float64) [][]float64 {
	t.Helper()
	m, err := Alike(curves, 10)
	if err != nil {
		t.Fatal(err)
	}
	d := make([][]float64, len(m))
	for i, row := range m {
		for _, l := range row {
			d[i] = append(d[i], l.D)
		}
	}
	return d
}

func TestASquadIsOrderedByItsCurves(t *testing.T) {
	d := differences(t, family(12))
	order := Arrange(d)
	for i := range order {
		order[i] = order[i] * 7 % 12
	}
	if !slices.IsSorted(order) && !slices.IsSortedFunc(order, func(a, b int) int { return b - a }) {
		t.Error(order)
	}
}

// Two ways of differing that are known: the components must find them.
func TestComponentsFindWhatWasPutIn(t *testing.T) {
	a := node(func(u float64) float64 { return math.Sqrt2 * math.Sin(math.Pi*u) })
	b := node(func(u float64) float64 { return math.Sqrt2 * math.Sin(2*math.Pi*u) })
	var curves [][]float64
	for _, x := range []float64{-3, -1, 1, 3} {
		for _, y := range []float64{-1, 1} {
			curve := node(func(u float64) float64 { return 500 })
			for i := range curve {
				curve[i] += x*a[i] + y*b[i]
			}
			curves = append(curves, curve)
		}
	}
	c, err := Principal(curves, 3)
	if err != nil {
		t.Fatal(err)
	}
	// The variances of x and y are in the ratio 5 to 1.
	if !near(c.Share[0], 5./6, 1e-9) || !near(c.Share[1], 1./6, 1e-9) || !near(c.Share[2], 0, 1e-9) {
		t.Error(c.Share)
	}
	if r, _ := correlation(c.Vectors[0], a); !near(r, 1, 1e-9) {
		t.Error("first component:", r)
	}
	for i, curve := range curves {
		for j := range curve {
			got := c.Mean[j] + c.Scores[i][0]*c.Vectors[0][j] + c.Scores[i][1]*c.Vectors[1][j]
			if !near(got, curve[j], 1e-9) {
				t.Fatalf("curve %d, node %d: %v, want %v", i, j, got, curve[j])
			}
		}
	}
}

func TestComponentsOfWhatHasNone(t *testing.T) {
	flat := node(halfSine)
	for name, curves := range map[string][][]float64{"none": nil, "one": {flat}, "the same": {flat, flat}, "unequal": {flat, flat[:9]}, "no number": {flat, append([]float64{math.NaN()}, flat[1:]...)}} {
		if c, err := Principal(curves, 2); err == nil {
			t.Errorf("%s: %+v", name, c)
		}
	}
}

// TestUprightTurnsTheLargestEntryUp, of two as large the first.
func TestUprightTurnsTheLargestEntryUp(t *testing.T) {
	for _, c := range []struct{ v, want []float64 }{
		{[]float64{1, -3, 2}, []float64{-1, 3, -2}}, {[]float64{1, 3, -2}, []float64{1, 3, -2}},
		{[]float64{2, -2}, []float64{2, -2}}, {[]float64{-2, 2}, []float64{2, -2}},
	} {
		given := slices.Clone(c.v)
		if got := upright(c.v); !slices.Equal(got, c.want) {
			t.Errorf("%v becomes %v, want %v", given, got, c.want)
		}
	}
}
