package stroke

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// rowedAt rows for some strokes at each rate in turn, with a pause between.
func rowedAt(noise float64, strokes float64, rates ...float64) []sample {
	var out []sample
	from := 0.0
	for i, r := range rates {
		o := sculler()
		o.period, o.peak, o.start = 60/r, 400+10*r, 0
		d := disturbance{hz: 50, angle: noise * deg, force: 5, seed: uint64(i)}
		out = append(out, late(o.record((strokes+0.5)*o.period, d), from)...)
		from += (strokes+0.5)*o.period + 1.5
	}
	return out
}

// Means over unlike rates are not taken: each rate of a step test is a group
// of its own, with its own means and curve.
func TestStrokesAreGroupedByRate(t *testing.T) {
	got := plainWith(t, rowedAt(0.2, 20, 18, 38, 24, 30))
	if len(got.Rates) != 4 {
		t.Fatalf("%d groups: %+v", len(got.Rates), got.Rates)
	}
	total := 0
	for i, rate := range []float64{18, 24, 30, 38} {
		g := &got.Rates[i]
		total += g.Count
		if s := g.Features[Rate]; g.Count < 18 || !near(60*s.Mean, rate, 0.1) || 60*g.Low > rate || 60*g.High < rate {
			t.Errorf("%g a minute: %d strokes at %v", rate, g.Count, s)
		}
		if p := g.Features[PeakForce].Mean; !near(p, 400+10*rate, 3) || !near(g.Curve.ByAngle.Mean[50], 400+10*rate, 5) || g.Curve.Strokes != g.Count {
			t.Errorf("%g a minute: peak %v, curve %v", rate, p, g.Curve.ByAngle.Mean[50])
		}
		held := 0
		for k := range got.Strokes {
			if g.Holds(&got.Strokes[k]) {
				held++
			}
		}
		if held != g.Count {
			t.Errorf("%g a minute holds %d of its %d strokes", rate, held, g.Count)
		}
	}
	if total != got.Count {
		t.Errorf("%d strokes in groups, %d in all", total, got.Count)
	}
}

func TestASteadyRateIsOneGroup(t *testing.T) {
	got := plainWith(t, rowedAt(0.2, 60, 27.97))
	if len(got.Rates) != 1 || got.Rates[0].Count != got.Count || got.Rates[0].Features != got.Features {
		t.Errorf("%+v", got.Rates)
	}
}

// A rate that creeps from 18 to 38 is cut into stretches of little spread.
func TestACreepingRateIsCutIntoStretches(t *testing.T) {
	var rates []float64
	for r := 18.0; r <= 38; r += 0.5 {
		rates = append(rates, r)
	}
	got := plainWith(t, rowedAt(0, 2, rates...))
	if n := len(got.Rates); n < 5 || n > MaxRateGroups {
		t.Errorf("%d groups", n)
	}
	for _, g := range got.Rates {
		if sd := 60 * g.Features[Rate].SD; sd > 1.3 {
			t.Errorf("%v to %v a minute: SD %v", 60*g.Low, 60*g.High, sd)
		}
	}
}

// A crew has one set of groups, in which every oar's strokes lie.
func TestACrewHasOneSetOfGroups(t *testing.T) {
	r, err := Analyse(context.Background(), plainFile(plain("1", rowedAt(0.3, 20, 20, 32)), plain("2", rowedAt(0.5, 20, 20.4, 32.3))), PlainLayout(Handle), Thresholds{}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	a, b := r.Oars[0].Rates, r.Oars[1].Rates
	if len(a) != 2 || len(b) != 2 || a[0].Low != b[0].Low || a[1].High != b[1].High || a[0].High != b[0].High {
		t.Errorf("%v–%v, %v–%v", a[0].Low*60, a[0].High*60, b[0].Low*60, b[0].High*60)
	}
}

// The cuts are the best of all: compared with trying every one.
func TestRatesAreCutWithTheLeastSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 7).Draw(t, "bins")
		rates := make([]moments, n)
		for i := range rates {
			for range rapid.IntRange(1, 4).Draw(t, "strokes") {
				rates[i].add(float64(i*3) + rapid.Float64Range(0, 1).Draw(t, "rate"))
			}
		}
		p := newPartition(rates)
		for groups := 1; groups <= n; groups++ {
			got, want := p.spread(groups), math.Inf(1)
			for mask := range 1 << (n - 1) {
				if sum, k := spreadOf(rates, mask); k == groups {
					want = min(want, sum)
				}
			}
			if !near(got, want, 1e-9*(1+want)) || len(p.firsts(groups)) != groups || p.firsts(groups)[0] != 0 {
				t.Errorf("%d groups: %v, want %v, %v", groups, got, want, p.firsts(groups))
			}
		}
	})
}

// spreadOf sums the squares of the groups that the bits of mask cut.
func spreadOf(rates []moments, mask int) (sum float64, groups int) {
	var m moments
	for i := range rates {
		m.merge(&rates[i])
		if i == len(rates)-1 || mask&(1<<i) != 0 {
			sum += m.sumSq
			groups++
			m = moments{}
		}
	}
	return sum, groups
}

func TestMergedMomentsAreThoseOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.SliceOfN(rapid.Float64Range(-100, 100), 0, 9).Draw(t, "a")
		b := rapid.SliceOfN(rapid.Float64Range(-100, 100), 0, 9).Draw(t, "b")
		var one, two, all moments
		for _, v := range a {
			one.add(v)
			all.add(v)
		}
		for _, v := range b {
			two.add(v)
			all.add(v)
		}
		one.merge(&two)
		if one.n != all.n || !near(one.mean, all.mean, 1e-9) || !near(one.sd(), all.sd(), 1e-9) {
			t.Errorf("%+v, want %+v", one, all)
		}
	})
}
