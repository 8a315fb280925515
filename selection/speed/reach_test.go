package speed

import (
	"math"
	"testing"

	"thole/rigging"
)

// TestOverReachIsCertainOrNotSaid plants a catch 5° beyond the reach: it is a
// finding of its own where both are known within 2°, priced as what a shorter
// catch costs, and it is none where the reach is known within 3°, where it is
// not known, and where the catch lies within it. What is ranked stays the same.
func TestOverReachIsCertainOrNotSaid(t *testing.T) {
	const deg = float64(rigging.Degree)
	r := exact(t, faults[0])
	plain := rank(t, r)
	r.CatchZero = 0.5 * deg
	for name, c := range map[string]struct {
		beyond, sd float64
		want       bool
	}{"certain": {5, 2, true}, "covered by its ±": {5, 3, false}, "not known": {5, 0, false}, "within": {-3, 1, false}} {
		r.Reach, r.ReachSD = r.Catch.Mean-c.beyond*deg, c.sd*deg
		out := rank(t, r)
		if (out.OverReach != nil) != c.want {
			t.Errorf("%s: %+v", name, out.OverReach)
		}
		if f := out.OverReach; f != nil {
			near(t, "change", f.Change, -c.beyond*deg, 1e-9)
			if f.Measure.Source != ReachSource || f.Price.ForceTime.Value <= 0 || f.Item != ItemOverReach {
				t.Errorf("a shorter catch costs time in the model: %+v", f)
			}
		}
		for _, f := range out.Findings {
			if f.Item == ItemOverReach {
				t.Errorf("%s: ranked by its price", name)
			}
		}
		if c.want && len(out.Findings) != len(plain.Findings) {
			t.Errorf("%d findings, before %d", len(out.Findings), len(plain.Findings))
		}
	}
}

// TestBeyondReachAddsItsDoubts holds the variance against its parts.
func TestBeyondReachAddsItsDoubts(t *testing.T) {
	r := Recording{Catch: Measure{Mean: 1.2, SD: 0.04, Known: true}, Strokes: 16, Reach: 1.1, ReachSD: 0.03, CatchZero: 0.02}
	by, sd, ok := r.BeyondReach()
	if !ok || math.Abs(by-0.1) > 1e-12 || math.Abs(sd*sd-(0.01*0.01+0.03*0.03+0.02*0.02)) > 1e-12 {
		t.Error(by, sd, ok)
	}
}
