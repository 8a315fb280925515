package stroke

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The value of a least-squares parabola in the middle of equally spaced
// points is a fixed weighted sum (A. Savitzky and M. J. E. Golay, Analytical
// Chemistry 36:1627, 1964, table I).
func TestParabolaHasThePublishedWeights(t *testing.T) {
	for _, weights := range [][]float64{{-3, 12, 17, 12, -3}, {-2, 3, 6, 7, 6, 3, -2}, {-21, 14, 39, 54, 59, 54, 39, 14, -21}} {
		var sum float64
		for _, w := range weights {
			sum += w
		}
		for i, w := range weights {
			x, y := make([]float64, len(weights)), make([]float64, len(weights))
			for k := range x {
				x[k] = 5 + 0.01*float64(k)
			}
			y[i] = 1
			c, ok := parabola(x, y, x[len(x)/2])
			if !ok || !near(c[0], w/sum, 1e-9) {
				t.Errorf("%d points, place %d: %v, want %v", len(x), i, c[0], w/sum)
			}
		}
	}
}

func TestVertexOfAParabolaIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(0.42, 0.58).Draw(t, "at")
		size := rapid.Float64Range(0.1, 100).Draw(t, "size")
		sense := rapid.SampledFrom([]float64{1, -1}).Draw(t, "sense")
		var x, y []float64
		for i := range 51 {
			u := float64(i)/50 + 1000
			x, y = append(x, u), append(y, 7+sense*size*(u-1000-at)*(u-1000-at))
		}
		gotAt, got := vertex(x, y, 25, 0.1, sense)
		if !near(gotAt, 1000+at, 1e-6) || !near(got, 7, 1e-6*size) {
			t.Errorf("%v %v", gotAt, got)
		}
	})
}

func TestAnEdgeIsItsOwnVertex(t *testing.T) {
	x, y := []float64{0, 1, 2, 3, 4}, []float64{0, 1, 2, 3, 4}
	if at, v := vertex(x, y, 4, 1, -1); at != 4 || v != 4 {
		t.Error(at, v)
	}
}

func TestNoiseIsEstimated(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	y := make([]float64, 20_000)
	for i := range y {
		y[i] = 50*math.Sin(float64(i)/60) + 0.3*rng.NormFloat64()
	}
	if got := noise(y); !near(got, 0.3, 0.01) {
		t.Error(got)
	}
	if noise([]float64{1, 2, 3}) != 0 {
		t.Error("noise of three points")
	}
}

// The oracle is the minimax formula max over s ≤ i of min over t ≥ i of the
// mean of y[s..t] (T. Robertson, F. T. Wright and R. L. Dykstra, Order
// Restricted Statistical Inference, 1988, chapter 1).
func TestPoolingIsTheMinimaxOfMeans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float64Range(-10, 10), 1, 25).Draw(t, "y")
		fit := make([]float64, len(y))
		var pool []run
		isotonic(y, &pool, fit)
		for i := range y {
			want := math.Inf(-1)
			for s := 0; s <= i; s++ {
				least := math.Inf(1)
				for e := i; e < len(y); e++ {
					least = min(least, mean(y[s:e+1]))
				}
				want = max(want, least)
			}
			if !near(fit[i], want, 1e-9) {
				t.Errorf("place %d of %v: %v, want %v", i, y, fit[i], want)
			}
		}
	})
}

func TestRiseIsInterpolatedBetweenTwoSamples(t *testing.T) {
	x, y := []float64{0, 1, 2, 3}, []float64{0, 10, 30, 50}
	if at, ok := firstRise(x, y, 15, 0, 0); !ok || at != 1.25 {
		t.Error(at, ok)
	}
	if _, ok := firstRise(x, y, 51, 0, 0); ok {
		t.Error("a level that is never reached")
	}
	if at, ok := firstRise(x, y, -1, 0, 0); !ok || at != 0 {
		t.Error("above from the beginning:", at, ok)
	}
}

func TestARiseThatDoesNotHoldIsPassedOver(t *testing.T) {
	x, y := []float64{0, 1, 2, 3, 4, 5, 6}, []float64{0, 12, 0, 0, 20, 30, 40}
	if at, ok := firstRise(x, y, 10, 2, 0); !ok || at != 3.5 {
		t.Error(at, ok)
	}
}

// A level that is passed but not held, and then held from a sample already
// above it, is not to be extrapolated from the two samples.
func TestARiseIsNeverExtrapolated(t *testing.T) {
	x, y := []float64{0, 1, 2, 3, 4}, []float64{0, 10.2, 10.1, 9, 12}
	if at, ok := firstRise(x, y, 10, 2, 0); !ok || at != 2 {
		t.Error(at, ok)
	}
}

// Mean 5 and sum of squares 32 over eight values.
func TestDeviationIsThatOfASample(t *testing.T) {
	var m moments
	for _, v := range []float64{2, 4, 4, 4, 5, 5, 7, 9} {
		m.add(v)
	}
	if s := m.summary(); s.N != 8 || !near(s.Mean, 5, 1e-15) || !near(s.SD, math.Sqrt(32./7), 1e-14) {
		t.Error(s)
	}
}

func TestTrapezoidAndInterpolation(t *testing.T) {
	x, y := []float64{0, 1, 3}, []float64{0, 2, 4}
	if got := trapezoid(x, y); got != 7 {
		t.Error(got)
	}
	for at, want := range map[float64]float64{-1: 0, 0: 0, 0.5: 1, 2: 3, 3: 4, 9: 4} {
		if got := interpolate(x, y, at); got != want {
			t.Errorf("at %v: %v, want %v", at, got, want)
		}
	}
}

func TestIntegralOverPartOfASeries(t *testing.T) {
	x := []float64{0, 1, 2, 3, 4}
	for _, span := range [][2]float64{{0, 4}, {0.5, 3.5}, {1, 2}, {1.2, 1.8}} {
		want := (span[1]*span[1] - span[0]*span[0]) / 2
		if got := integral(x, x, span[0], span[1]); !near(got, want, 1e-12) {
			t.Errorf("%v: %v, want %v", span, got, want)
		}
	}
}

func TestResamplingKeepsAStraightLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(0, 1), 0, 40).Draw(t, "x")
		x = append(x, 0, 1)
		slices.Sort(x)
		y := make([]float64, len(x))
		for i := range x {
			y[i] = 3 + 2*x[i]
		}
		var out [Nodes]float64
		resample(x, y, &out)
		for i := range out {
			if want := 3 + 2*float64(i)/(Nodes-1); !near(out[i], want, 1e-9) {
				t.Fatalf("node %d of %v: %v, want %v", i, x, out[i], want)
			}
		}
	})
}

func TestSamplesOfOneAngleCountAsTheirMean(t *testing.T) {
	var out [Nodes]float64
	resample([]float64{0, 0.5, 0.5, 0.5, 1}, []float64{0, 1, 2, 6, 0}, &out)
	if out[50] != 3 || out[25] != 1.5 {
		t.Error(out[50], out[25])
	}
	resample([]float64{2, 2}, []float64{1, 3}, &out)
	if out[0] != 2 || out[100] != 2 {
		t.Error(out[0], out[100])
	}
}
