package seatrace

import (
	"math"
	"slices"
	"testing"

	"thole/selection"
)

// marginOf returns the logarithmic margin of boat 1 over boat 2.
func marginOf(p selection.Piece) float64 { return math.Log(p.Times[1] / p.Times[0]) }

// The externally studentised residual by its meaning: judge without the piece,
// predict its margin, and divide the surprise by its standard error.
func TestStudentisedResidualIsTheSurpriseOfTheOthers(t *testing.T) {
	pieces := world{effect: drawn(letters(8), 0.5, seeded(1)), base: 190, noise: 1}.race(eightRaces(), seeded(8))
	r := estimate(t, pieces, Options{})
	for k, p := range pieces {
		rest := slices.Delete(slices.Clone(pieces), k, k+1)
		tab, _ := readRaces(rest, 1000)
		d := newDesign(tab, Model{})
		s := d.solve()
		predicted, variance := 0.0, 2.0
		x := make([]float64, 8)
		for i, id := range letters(8) {
			x[i] = -1
			if slices.Contains(p.Crews[0], id) {
				x[i] = 1
			}
			predicted += x[i] * s.coef[i]
		}
		for i := range x {
			for j := range x {
				variance += x[i] * x[j] * s.cov.At(i, j)
			}
		}
		df := d.freedom(tab, s)
		want := (marginOf(p) - predicted) / math.Sqrt(variance*s.rss/float64(df))
		got := r.Pieces[k].Boats[0].Studentised
		if s.rank < 7 {
			if r.Pieces[k].Checked {
				t.Errorf("piece %d is called checked", k+1)
			}
			continue
		}
		near(t, "studentised residual", got, want, 1e-8)
	}
}

func TestOutlyingPieceIsMarked(t *testing.T) {
	marked := 0
	for seed := range uint64(20) {
		races := slices.Concat(eightRaces(), eightRaces())
		pieces := world{effect: drawn(letters(8), 0.5, seeded(seed)), base: 190, noise: 0.5}.race(races, seeded(seed))
		pieces[6].Times[0] += 6 // a crab
		for k, p := range estimate(t, pieces, Options{}).Pieces {
			if p.Outlying && k == 6 {
				marked++
			}
		}
	}
	if marked < 19 {
		t.Errorf("the spoilt piece was marked %d times of 20", marked)
	}
}

func TestSoundPiecesAreSeldomMarked(t *testing.T) {
	days := 0
	for seed := range uint64(400) {
		races := slices.Concat(eightRaces(), eightRaces())
		pieces := world{base: 190, noise: 0.5}.race(races, seeded(seed))
		if slices.ContainsFunc(estimate(t, pieces, Options{}).Pieces, func(p PieceCheck) bool { return p.Outlying }) {
			days++
		}
	}
	if days < 6 || days > 35 { // 5 % of 400 at the most, and near it
		t.Errorf("%d days of 400 have a marked piece", days)
	}
}

// Leverage adds up to the number of independent differences, and a piece of
// full leverage is the only witness of one.
func TestLeverage(t *testing.T) {
	pieces := schedule("AABB", "BAAB", "AABB", "ABAB")
	r := estimate(t, world{base: 190, noise: 1}.race(pieces, seeded(2)), Options{})
	sum := 0.0
	for _, p := range r.Pieces {
		sum += p.Leverage
	}
	near(t, "sum", sum, float64(r.Rank), 1e-9)
	for k, want := range []float64{0.5, 1, 0.5, 1} {
		near(t, "leverage", r.Pieces[k].Leverage, want, 1e-9)
		if r.Pieces[k].Checked {
			t.Errorf("piece %d cannot be checked on one degree of freedom", k+1)
		}
	}
}

// Of ten pieces with a stated noise one stands out beyond z(1 − 0.05/20) =
// 2.8070 of any table of the normal distribution.
func TestOutlierLimitCountsBothTailsOfEveryPiece(t *testing.T) {
	near(t, "limit", outlierLimit(10, Noise{Source: NoiseStated}), 2.8070, 5e-5)
}
