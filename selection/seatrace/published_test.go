package seatrace

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"thole/selection"
)

// readRecords reads a table of testdata without its header.
func readRecords(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return records[1:]
}

// number parses a cell.
func number(t *testing.T, cell string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// near fails unless got is within tol of want.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

// Cross Validated question 588210 (CC BY-SA 4.0): the sum of four rowers'
// powers is the power of the boat. The asker's table is rank deficient by one;
// rank, residual sum of squares and minimum-norm solution were computed from
// it with another library.
func TestLeastSquaresOfTheQuadsOnCrossValidated(t *testing.T) {
	records := readRecords(t, "seatrace_quads.csv")
	names := []string{"Amanda", "Cam", "Emily", "Cait", "Paula", "Janeska", "Charli", "Diana"}
	x, y := mat.NewDense(len(records), len(names), nil), make([]float64, len(records))
	for i, r := range records {
		for j, name := range names {
			if strings.Contains(" "+r[1]+" ", " "+name+" ") {
				x.Set(i, j, 1)
			}
		}
		y[i] = number(t, r[2])
	}
	s := leastSquares(x, y, 0)
	if df := len(y) - s.rank; s.rank != 7 || df != 5 {
		t.Errorf("rank %d with %d degrees of freedom, want 7 with 5", s.rank, df)
	}
	near(t, "residual sum of squares", s.rss, 9284.438263, 5e-7)
	want := []float64{195.2419, 163.2399, 202.9387, 113.3093, 143.0487, 169.8891, 111.7385, 206.5295}
	for j, name := range names {
		near(t, name, s.coef[j], want[j], 5e-5)
	}
}

// NIST Statistical Reference Datasets, Longley: certified values. The
// condition of the matrix is 5e9, so that about ten of sixteen digits hold in
// the singular values.
func TestLeastSquaresOfLongley(t *testing.T) {
	records := readRecords(t, "seatrace_longley.csv")
	x, y := mat.NewDense(len(records), 7, nil), make([]float64, len(records))
	for i, r := range records {
		y[i] = number(t, r[0])
		x.Set(i, 0, 1)
		for j := 1; j < 7; j++ {
			x.Set(i, j, number(t, r[j]))
		}
	}
	s := leastSquares(x, y, 0)
	certified := []float64{-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355}
	for j, want := range certified {
		near(t, fmt.Sprint("B", j), s.coef[j], want, 1e-8*math.Abs(want))
	}
	sd := math.Sqrt(s.rss / float64(len(y)-s.rank))
	near(t, "residual standard deviation", sd, 304.854073561965, 1e-8*304)
	near(t, "standard deviation of B0", sd*math.Sqrt(s.cov.At(0, 0)), 890420.383607373, 1e-7*890420)
}

// restricted maximises the restricted likelihood of y = blocks + Z u + e: it
// returns the standard deviations of e and u.
func restricted(z *mat.Dense, blocks [][]int, y []float64) (noise, parts float64) {
	d := &design{z: z, y: y, hat: make([]float64, len(y)), crewsAt: mat.Norm(z, 2)}
	d.centre(blocks)
	s := d.solve()
	_, p := z.Dims()
	ones := make([]float64, p)
	for i := range ones {
		ones[i] = 1
	}
	open := belief{sd: math.Inf(1)}
	q := newJoint(d.z, d.y, make([]float64, p), ones).scales(len(y)-d.swept-s.rank, s.rss, open, open)
	u, v := q.point(q.free(), q.peak(q.free()))
	return math.Exp(u), math.Exp(v)
}

// Penicillin: sd .8467 between plates, 1.9316 between samples, .5499 within
// (R package lme4, D. Bates and others, fit of these data by restricted
// maximum likelihood). The table is complete, in which restricted likelihood
// finds the same for one factor whether the other is drawn or fixed (S. R.
// Searle, G. Casella and C. E. McCulloch, "Variance Components", 1992, section
// 4.7, from memory). Plain maximum likelihood gives 1.7706 between samples.
func TestRestrictedLikelihoodOfPenicillin(t *testing.T) {
	records := readRecords(t, "seatrace_penicillin.csv")
	n := 6 * len(records)
	plates, samples := mat.NewDense(n, len(records), nil), mat.NewDense(n, 6, nil)
	byPlate, bySample := make([][]int, len(records)), make([][]int, 6)
	y := make([]float64, n)
	for i, r := range records {
		for j := range 6 {
			k := 6*i + j
			plates.Set(k, i, 1)
			samples.Set(k, j, 1)
			byPlate[i], bySample[j] = append(byPlate[i], k), append(bySample[j], k)
			y[k] = number(t, r[j+1])
		}
	}
	within, between := restricted(samples, byPlate, slices.Clone(y))
	near(t, "within", within, 0.5499, 5e-5)
	near(t, "between samples", between, 1.9316, 5e-5)
	within, between = restricted(plates, bySample, slices.Clone(y))
	near(t, "within", within, 0.5499, 5e-5)
	near(t, "between plates", between, 0.8467, 5e-5)
}

// schedule reads races written as one letter a sculler, A or B for the boat;
// the scullers are a, b, c, …
func schedule(races ...string) []selection.Piece {
	out := make([]selection.Piece, len(races))
	for r, race := range races {
		out[r].Crews = make([][]string, 2)
		for i, boat := range race {
			b := int(boat - 'A')
			out[r].Crews[b] = append(out[r].Crews[b], string(rune('a'+i)))
		}
	}
	return out
}

// Chemical-balance weighing designs (H. Hotelling, Annals of Mathematical
// Statistics 15:297, 1944; A. M. Mood, 17:432, 1946): seven races of eight
// scullers reach σ²/4 for every pair, σ the noise of a margin.
func TestHadamardDesignOfEightScullers(t *testing.T) {
	races := schedule("ABABABAB", "AABBAABB", "ABBAABBA", "AAAABBBB", "ABABBABA", "AABBBBAA", "ABBABAAB")
	f := evaluate(t, races, sculls(8))
	for _, d := range f.Differences {
		near(t, d.First+d.Second, d.SD, math.Sqrt(2.0/4), 1e-12) // a margin has √2 times the noise of a boat
	}
}

// The same for four ports and four starboards: six races reach σ²/4 within
// each side and leave the sides apart.
func TestHadamardDesignOfTwoSides(t *testing.T) {
	races := schedule("AABBAABB", "AABBBBAA", "ABABABAB", "ABABBABA", "ABBAABBA", "ABBABAAB")
	f := evaluate(t, races, sweeps(8))
	for _, d := range f.Differences {
		within := (d.First < "e") == (d.Second < "e")
		if d.Estimable != within {
			t.Errorf("%s against %s: estimable is %v", d.First, d.Second, d.Estimable)
		}
		if within {
			near(t, d.First+d.Second, d.SD, math.Sqrt(2.0/4), 1e-12)
		}
	}
}

// A single swap: the change of the margin, twice the difference, has the
// standard error √2 σ, 2.40 s for a margin's σ of 1.7 s.
func TestSingleSwap(t *testing.T) {
	s := sculls(4)
	s.NoiseSD = 1.7 / math.Sqrt2
	f := evaluate(t, schedule("AABB", "BAAB"), s)
	near(t, "standard error of the swing", 2*expected(f, "a", "c").SD, 2.40, 5e-3)
}

// A–B–A: (m₁ − 2 m₂ + m₃)/2 cancels a linear drift of the margin and has the
// standard error 1.22 σ.
func TestSwapAndBackCancelsDrift(t *testing.T) {
	s := sculls(4)
	s.NoiseSD = 1 / math.Sqrt2
	s.Model = Model{Hulls: true, Trends: true}
	f := evaluate(t, schedule("AABB", "BAAB", "AABB"), s)
	near(t, "standard error of the swing", 2*expected(f, "a", "c").SD, math.Sqrt(1.5), 1e-12)
}

// 10 W in a crew of 4 × 350 W is worth 0.45 s over 1000 m at 190 s, seen as
// 0.90 s in a swap: from t ∝ P^(−1/3) without the derivative the gain is
// 190 (1 − (1400/1410)^(1/3)) = 0.450 s.
func TestTenWattsInAFour(t *testing.T) {
	c := Conversion{Time: 190, TotalPower: 1400}
	near(t, "seconds", c.Seconds(10), 0.45, 5e-3)
	near(t, "seconds in a swap", 2*c.Seconds(10), 0.90, 6e-3)
	near(t, "seconds without the derivative", c.Seconds(10), 190*(1-math.Cbrt(1400.0/1410)), 3e-3)
	near(t, "watts back", c.Watts(c.Seconds(10)), 10, 1e-12)
}
