package speed

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// entries is the derived table of entries in the base single: for each height
// and speed downwards, by start, added seconds at equal force and at equal
// power and % of force there.
var (
	entryStarts = []float64{-0.20, -0.15, -0.10, -0.05, 0, 0.05}
	entries     = []struct {
		entry Entry
		costs [6][3]float64
	}{
		{Entry{0.02, 1.0, 0}, [6][3]float64{{10.9, 9.7, 1}, {8.8, 7.7, 1}, {6.2, 5.4, 1}, {7.7, 3.3, 3}, {10.1, 1.5, 7}, {15.0, 1.5, 11}}},
		{Entry{0.05, 1.0, 0}, [6][3]float64{{9.7, 8.6, 1}, {7.2, 6.3, 1}, {7.0, 4.1, 2}, {8.9, 2.1, 5}, {12.7, 1.3, 9}, {18.7, 1.8, 14}}},
		{Entry{0.10, 1.0, 0}, [6][3]float64{{7.2, 6.3, 1}, {7.0, 4.1, 2}, {8.9, 2.1, 5}, {12.7, 1.3, 9}, {18.7, 1.8, 14}, {25.8, 2.7, 19}}},
		{Entry{0.05, 1.5, 0}, [6][3]float64{{11.4, 10.3, 1}, {10.9, 9.7, 1}, {8.0, 6.9, 1}, {4.1, 3.4, 1}, {4.1, 0.9, 2}, {8.2, 0.7, 6}}},
	}
)

func costsOf(t rapid.TB, s Stroke, e Entry, starts ...float64) []EntryCost {
	t.Helper()
	costs, err := s.EntryCosts(2000, e, starts)
	if err != nil {
		t.Fatal(err)
	}
	return costs
}

func TestEntriesAgreeWithAnotherProgram(t *testing.T) {
	// Derived with a fixed step of 0.5 ms. A millisecond of entry is worth up to
	// 0.14 s, so two of its steps are 0.2 s; powers to the printed percent.
	for _, row := range entries {
		for i, c := range costsOf(t, single(), row.entry, entryStarts...) {
			near(t, "equal force", c.ForceTime, row.costs[i][0], 0.2)
			near(t, "equal power", c.PowerTime, row.costs[i][1], 0.2)
			near(t, "force", 100*c.PowerForce, row.costs[i][2], 0.6)
		}
	}
}

func TestHeightIsWorthItsTimeOfFall(t *testing.T) {
	// 5 cm more height is exactly 5 cm / s of earlier start.
	rapid.Check(t, func(t *rapid.T) {
		sink := rapid.Float64Range(0.8, 2).Draw(t, "sink")
		start := rapid.Float64Range(-0.2, 0.03).Draw(t, "start")
		low := costsOf(t, single(), Entry{Height: 0.05, Sink: sink}, start)[0]
		high := costsOf(t, single(), Entry{Height: 0.10, Sink: sink}, start-0.05/sink)[0]
		near(t, "equal force", high.ForceTime, low.ForceTime, 1e-3)
		near(t, "equal power", high.PowerTime, low.PowerTime, 1e-3)
	})
}

func TestTheFreeCatchBoundsEveryEntry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Entry{Height: rapid.Float64Range(0, 0.2).Draw(t, "height"), Sink: rapid.Float64Range(0.5, 4).Draw(t, "sink")}
		start := rapid.Float64Range(-0.5, 0.1).Draw(t, "start")
		costs, err := new(single()).EntryCosts(2000, e, []float64{start})
		if errors.Is(err, ErrNoStroke) {
			t.Skip("too late to be rowed steadily")
		}
		if err != nil {
			t.Fatal(err)
		}
		if c := costs[0]; c.ForceTime < -2e-3 || c.PowerTime < -2e-3 {
			t.Errorf("cheaper than free: %+v", c)
		}
	})
}

func TestTheBestMomentLiesBeforeTheReversal(t *testing.T) {
	// Derived: 5 cm over the water at 1 m/s, a tenth of a second before the hands
	// reverse for a rower short of force, the reversal for one short of power;
	// sinking half as fast again halves the best cost.
	best := func(sink float64) BestEntry {
		out, err := new(single()).BestEntry(2000, Entry{Height: 0.05, Sink: sink})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	slow, quick := best(1.0), best(1.5)
	near(t, "short of force", slow.Force.Start, -0.125, 0.03)
	near(t, "short of power", slow.Power.Start, 0, 0.02)
	near(t, "cost of quick over slow", quick.Force.ForceTime/slow.Force.ForceTime, 0.5, 0.1)
	near(t, "at equal power", quick.Power.PowerTime/slow.Power.PowerTime, 0.5, 0.1)
	for _, c := range costsOf(t, single(), Entry{Height: 0.05, Sink: 1}, -0.3, -0.2, -0.15, -0.13, -0.11, -0.1, -0.05, 0, 0.02, 0.05) {
		if c.ForceTime < slow.Force.ForceTime-1e-3 || c.PowerTime < slow.Power.PowerTime-1e-3 {
			t.Errorf("better than the best: %+v", c)
		}
	}
}

func TestEarlyEntriesBackWater(t *testing.T) {
	for start, backs := range map[float64]bool{-0.3: true, 0.2: false} {
		s := single()
		s.Seats[0].Entry = Entry{Height: 0.05, Sink: 1, Start: start}
		if backed := solve(t, s).Seats[0].Backed; backs != (backed > 1) || backed < 0 {
			t.Errorf("start %g: %g J backed", start, backed)
		}
	}
}

func TestImpossibleEntriesAreRefused(t *testing.T) {
	s := single()
	for _, e := range []Entry{{}, {Height: 0.05}, {Height: -1, Sink: 1}} {
		var errs rigging.FieldErrors
		if _, err := s.BestEntry(2000, e); !errors.As(err, &errs) {
			t.Errorf("%+v: %v", e, err)
		}
	}
}

func BenchmarkBestEntry(b *testing.B) {
	s := single()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.BestEntry(2000, Entry{Height: 0.05, Sink: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
