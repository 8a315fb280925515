package lineup

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"thole/rigging"
)

// benchSquads is how many random squads a figure is the median of.
const benchSquads = 20

// timeSquads solves the squads of a benchmark again and again and reports the
// median and the longest time of a squad in ms, each the shortest of its runs.
func timeSquads(b *testing.B, squads []Problem, o Options) {
	times := make([]time.Duration, len(squads))
	nodes := make([]float64, len(squads))
	for b.Loop() {
		for k, p := range squads {
			start := time.Now()
			result := mustSolve(b, p, o)
			took := time.Since(start)
			if times[k] == 0 || took < times[k] {
				times[k] = took
			}
			nodes[k] = float64(result.Nodes)
		}
	}
	slices.Sort(times)
	slices.Sort(nodes)
	b.ReportMetric(times[len(times)/2].Seconds()*1000, "ms-median")
	b.ReportMetric(times[len(times)-1].Seconds()*1000, "ms-longest")
	b.ReportMetric(nodes[len(nodes)/2], "nodes-median")
	b.ReportMetric(0, "ns/op") // of all the squads together: no use
}

// squadsFor draws the squads of a benchmark.
func squadsFor(b *testing.B, n int, spread float64, change func(r *rand.Rand, p *Problem)) []Problem {
	var squads []Problem
	for seed := range uint64(benchSquads) {
		r := rand.New(rand.NewPCG(seed, 1))
		p := squadOf(r, class(b, "8+"), n, spread)
		p.Pattern = alternating(8)
		change(r, &p)
		squads = append(squads, p)
	}
	return squads
}

var italian = []rigging.Side{stbd, port, port, stbd, stbd, port, port, stbd}

// BenchmarkTopTen finds the ten best eights, proven.
func BenchmarkTopTen(b *testing.B) {
	bothSides := func(*rand.Rand, *Problem) {}
	for _, c := range []struct {
		name   string
		change func(r *rand.Rand, p *Problem)
		fold   bool
	}{
		{"one side each", oneSided, false},
		{"both sides", bothSides, false},
		{"one side each, Italian rig", func(r *rand.Rand, p *Problem) { oneSided(r, p); p.Pattern = italian }, false},
		{"both sides, Italian rig", func(_ *rand.Rand, p *Problem) { p.Pattern = italian }, false},
		{"one side each, free rig", func(r *rand.Rand, p *Problem) { oneSided(r, p); p.Pattern = nil }, false},
		{"one side each, free rig, folded", func(r *rand.Rand, p *Problem) { oneSided(r, p); p.Pattern = nil }, true},
		{"both sides, free rig", func(_ *rand.Rand, p *Problem) { p.Pattern = nil }, false},
		{"both sides, free rig, folded", func(_ *rand.Rand, p *Problem) { p.Pattern = nil }, true},
		{"both sides, one dearer, free rig", func(r *rand.Rand, p *Problem) { oneDearer(r, p); p.Pattern = nil }, false},
		{"both sides, one dearer, free rig, folded", func(r *rand.Rand, p *Problem) { oneDearer(r, p); p.Pattern = nil }, true},
	} {
		for _, n := range []int{24, 40} {
			b.Run(c.name+"/"+itoa(n), func(b *testing.B) {
				timeSquads(b, squadsFor(b, n, 30, c.change), Options{Count: 10, Fold: c.fold})
			})
		}
	}
}

// oneDearer makes one side, in turn, cost each athlete something.
func oneDearer(r *rand.Rand, p *Problem) {
	for i := range p.Candidates {
		p.Candidates[i].SideCost[alternating(2)[i%2]] = r.Float64()
	}
}

func itoa(n int) string { return string([]byte{byte('0' + n/10), byte('0' + n%10)}) }

// BenchmarkHard holds the kinds of squads that took longest among several
// hundred of all kinds: athletes of nearly equal power who row both sides,
// heavy weights, and a quota of weaker athletes, the sides free.
func BenchmarkHard(b *testing.B) {
	for _, c := range []struct {
		name string
		n    int
		rule func(p *Problem)
	}{
		{"likeness 100", 24, func(p *Problem) { p.Weights.Likeness = 100 }},
		{"likeness 100, yaw 10", 40, func(p *Problem) { p.Weights = Weights{100, 10} }},
		{"likeness 25, yaw 10, Italian rig", 40, func(p *Problem) { p.Weights = Weights{25, 10}; p.Pattern = italian }},
		{"yaw 100", 24, func(p *Problem) { p.Weights.Yaw = 100 }},
		{"likeness 25, yaw 100", 40, func(p *Problem) { p.Weights = Weights{25, 100} }},
		{"likeness 100, four women", 24, func(p *Problem) { p.Weights.Likeness = 100; fourWomen(p) }},
		{"likeness 25, yaw 10, four women", 40, func(p *Problem) { p.Weights = Weights{25, 10}; fourWomen(p) }},
		{"mean mass 80", 40, func(p *Problem) { p.Rules.MeanMass = 80 }},
		{"neither likeness nor yaw", 24, func(p *Problem) { p.Weights = Weights{} }},
		{"yaw 100 alone, free rig", 40, func(p *Problem) { p.Weights = Weights{0, 100}; p.Pattern = nil }},
		{"likeness 25, free rig", 40, func(p *Problem) { p.Weights.Likeness = 25; p.Pattern = nil }},
		{"likeness 100 alone, four women, free rig", 24, func(p *Problem) { p.Weights = Weights{100, 0}; p.Pattern = nil; fourWomen(p) }},
		{"likeness 25, yaw 10, free rig", 24, func(p *Problem) { p.Weights = Weights{25, 10}; p.Pattern = nil }},
	} {
		b.Run(c.name+"/"+itoa(c.n), func(b *testing.B) {
			squads := squadsFor(b, c.n, 5, func(_ *rand.Rand, p *Problem) { c.rule(p) })
			timeSquads(b, squads[:8], Options{Count: 10})
		})
	}
}

// fourWomen wants four women, who have 80 W less.
func fourWomen(p *Problem) {
	p.Rules.WomenMin = 4
	for i := range p.Candidates {
		if p.Candidates[i].Female {
			p.Candidates[i].Power -= 80
		}
	}
}

// BenchmarkFirmness redraws the powers 500 times, eight of 16.
func BenchmarkFirmness(b *testing.B) {
	for _, c := range []struct {
		name   string
		change func(r *rand.Rand, p *Problem)
	}{
		{"one side each", oneSided},
		{"both sides", func(*rand.Rand, *Problem) {}},
	} {
		b.Run(c.name, func(b *testing.B) {
			p := squadsFor(b, 16, 30, c.change)[0]
			for b.Loop() {
				if f, err := Firmness(context.Background(), p, FirmOptions{Draws: 500, Seed: 1}); err != nil || !f.Proven {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkExplain makes the table of swaps and the line-ups without each.
func BenchmarkExplain(b *testing.B) {
	p := squadsFor(b, 24, 30, oneSided)[0]
	best := mustSolve(b, p, Options{}).Lineups[0].Lineup
	b.Run("swaps", func(b *testing.B) {
		for b.Loop() {
			if _, err := Swaps(p, best); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("without", func(b *testing.B) {
		for b.Loop() {
			if _, err := Without(context.Background(), p, best); err != nil {
				b.Fatal(err)
			}
		}
	})
}
