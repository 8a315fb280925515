package progress

import (
	"math"
	"testing"

	"thole/api/store"
)

// rowed is a profile of strokes at given rates, with the first measure as given.
func rowed(values []float64, rates ...float64) *profile {
	p := &profile{row: store.Recording{RecordedOn: "2026-05-01"}}
	for i, rate := range rates {
		v := make([]float64, len(features))
		v[0], v[len(v)-1] = values[i%len(values)], rate
		p.values = append(p.values, v)
	}
	return p
}

// TestASessionHasFiveStrokesAtItsRate, which lie within 1.5 a minute of it; strokes without
// the measure do not count. By hand, 1, 2, 3, 4, 5 have the mean 3 and the SD √2.5.
func TestASessionHasFiveStrokesAtItsRate(t *testing.T) {
	one := []float64{1, 2, 3, 4, 5, 6}
	for name, c := range map[string]struct {
		p  *profile
		n  int
		ok bool
	}{
		"five":               {rowed(one, 30, 30, 30, 30, 30), 5, true},
		"four":               {rowed(one, 30, 30, 30, 30), 4, false},
		"at the ends":        {rowed(one, 28.5, 31.5, 30, 30, 30), 5, true},
		"beyond the ends":    {rowed(one, 28.4, 31.6, 30, 30, 30), 3, false},
		"one not measured":   {rowed([]float64{1, 2, 3, 4, math.NaN()}, 30, 30, 30, 30, 30), 4, false},
		"six, one elsewhere": {rowed(one, 30, 30, 30, 30, 30, 20), 5, true},
	} {
		s, ok := c.p.session(0, 30)
		if s.N != c.n || ok != c.ok {
			t.Errorf("%s: %+v %v", name, s, ok)
		}
		if c.n == 5 && (math.Abs(s.Mean-3) > 1e-12 || math.Abs(s.SD-math.Sqrt(2.5)) > 1e-12) {
			t.Errorf("%s: %g ± %g", name, s.Mean, s.SD)
		}
	}
}

// TestTwoDaysAreComparedAtTheRateOfTheProgress holds that two outings that have most
// strokes in common at 31 a minute (nine, eight about 29) are compared at the 29 at which
// all are followed: else two pages tell one rower's gain with two figures. Without a rate
// of all that both hold it is the one that they share, and without that the commonest of
// each.
func TestTwoDaysAreComparedAtTheRateOfTheProgress(t *testing.T) {
	at := func(rates ...float64) *outing { return &outing{oars: []*profile{rowed([]float64{1}, rates...)}} }
	wide := []float64{28, 28, 28, 28, 28, 30.5, 30.5, 30.5, 32, 32, 32, 32, 32, 32}
	a, b := at(wide...), at(wide...)
	narrow := at(28, 28, 28, 28, 28, 28)
	slow, fast := at(20, 20, 20, 20, 20), at(34, 34, 34, 34, 34)
	for name, c := range map[string]struct {
		a, b         *outing
		all          []*outing
		wantA, wantB float64
	}{
		"followed at 29":      {a, b, []*outing{narrow, narrow, narrow, a, b}, 29, 29},
		"alone":               {a, b, []*outing{a, b}, 31, 31},
		"others row slower":   {a, b, []*outing{slow, slow, slow}, 31, 31},
		"nothing is shared":   {slow, fast, []*outing{slow, fast}, 20, 34},
		"only one holds that": {a, fast, []*outing{a, b, fast}, 33, 33},
	} {
		if gotA, gotB := commonRates(c.a, c.b, c.all); gotA != c.wantA || gotB != c.wantB {
			t.Errorf("%s: at %g and %g a minute, not %g and %g", name, gotA, gotB, c.wantA, c.wantB)
		}
	}
}
