package lineup

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// crewsOf prepares the list of crews for a problem, with a tangent somewhere
// near the crews.
func crewsOf(p Problem) (*squad, *limits, []family, *crews) {
	q := newSquad(p)
	l := q.limits(p.Rules)
	families := q.families(l, q.rigs())
	return q, l, families, q.newCrews(l, families, q.firstTangent())
}

// No crew is left out of which an order costs up to the limit, and none is
// promised to cost more than its best order does.
func TestListOfCrewsIsComplete(t *testing.T) {
	t.Parallel()
	listed, left := 0, 0
	for seed := range cases(1200) {
		r := rand.New(rand.NewPCG(seed, 51))
		p := randomProblem(t, r)
		if seed%2 == 0 {
			strictly(r, &p)
		}
		all := slowSolve(p)
		q, _, _, c := crewsOf(p)
		if c == nil {
			if len(all) > 0 {
				t.Fatalf("seed %d: no list, and there is %v", seed, all[0].Lineup)
			}
			continue
		}
		if len(all) == 0 {
			continue
		}
		limit := all[r.IntN(len(all))].Terms.Total()
		list, ok := c.upTo(limit)
		if !ok {
			t.Fatalf("seed %d: too many of %d", seed, len(all))
		}
		least := map[string]float64{}
		for _, one := range list {
			least[crewName(q, one.crew)] = one.lower
		}
		listed += len(list)
		for _, one := range all {
			var crew []int
			for _, id := range one.Lineup.Seats {
				crew = append(crew, q.index[id])
			}
			slices.Sort(crew)
			lower, ok := least[crewName(q, crew)]
			total := one.Terms.Total()
			switch {
			case total > limit && !ok:
				left++
			case total <= limit-tie && !ok:
				t.Fatalf("seed %d: %v costs %v of %v and is not listed", seed, one.Lineup, total, limit)
			case ok && lower > total+tie:
				t.Fatalf("seed %d: %v costs %v, promised %v", seed, one.Lineup, total, lower)
			}
		}
	}
	if listed < int(cases(1000)) || left < int(cases(1000)) {
		t.Errorf("%d crews listed, %d line-ups left out", listed, left)
	}
}

func crewName(q *squad, crew []int) (name string) {
	for _, i := range crew {
		name += q.athletes[i].ID
	}
	return name
}

// Crew by crew the search finds what all orders of all crews have to offer.
func TestCrewByCrewAgreesWithBruteForce(t *testing.T) {
	t.Parallel()
	done := 0
	for seed := range cases(1500) {
		r := rand.New(rand.NewPCG(seed, 53))
		p := randomProblem(t, r)
		if seed%3 == 0 {
			p = symmetricProblem(t, r)
		}
		want := slowSolve(p)
		if len(want) == 0 {
			continue
		}
		q, l, families, _ := crewsOf(p)
		s := newSearcher(context.Background(), q.seats, len(q.athletes), 1+r.IntN(min(10, len(want))))
		s.fold = r.IntN(2) == 0
		s.within(1, func() { q.joint(s, l, families) })
		if !s.crewsFirst(q, l, families) {
			continue // the board was not full
		}
		done++
		if s.over || !s.fold && !slices.EqualFunc(s.board.list, want[:s.board.room], func(e entry, w Scored) bool { return near(e.cost, w.Terms.Total()) }) ||
			!near(s.board.list[0].cost, want[0].Terms.Total()) {
			t.Fatalf("seed %d: got %+v\nwant %+v", seed, s.board.list, want[:s.board.room])
		}
	}
	if done < int(cases(500)) {
		t.Errorf("only %d searches were crew by crew", done)
	}
}

// light are squads of lightweights, whose crews may weigh 70 kg on average.
func light(t testing.TB, n int) []Problem {
	var squads []Problem
	for seed := range uint64(benchSquads) {
		r := rand.New(rand.NewPCG(seed, 55))
		p := squadOf(r, class(t, "8+"), n, 20)
		for i := range p.Candidates {
			a := &p.Candidates[i]
			a.Mass = 70 + 2*r.NormFloat64()
			a.Power = 380 + 20*r.NormFloat64() + 6*(a.Mass-70)
		}
		p.Rules.MeanMass, p.Rules.MaxMass = 70, 72.5
		squads = append(squads, p)
	}
	return squads
}

// A search that is stopped while it goes crew by crew bounds what it left.
func TestStoppedCrewByCrewGivesAnHonestBound(t *testing.T) {
	p := light(t, 40)[0]
	whole := mustSolve(t, p, Options{Count: 10})
	best := whole.Lineups[0].Terms.Total()
	if whole.Nodes < atFirst+50 {
		t.Fatalf("%d nodes are too few to stop at", whole.Nodes)
	}
	last := 0.0
	for _, most := range []int{atFirst, atFirst + 20, atFirst + 40} {
		got, err := Solve(context.Background(), p, Options{Count: 10, MaxNodes: most})
		if err != nil || got.Proven {
			t.Fatalf("after %d nodes: %v, proven %v", most, err, got.Proven)
		}
		if got.LowerBound > best+tie || got.LowerBound < last-tie || got.Lineups[0].Terms.Total() < best-tie {
			t.Errorf("after %d nodes: %v to %v, the best is %v, the bound before %v", most, got.LowerBound, got.Lineups[0].Terms.Total(), best, last)
		}
		last = got.LowerBound
	}
}

// While it goes crew by crew the search reports how far it is, too.
func TestCrewByCrewTellsItsProgress(t *testing.T) {
	late := 0
	got := mustSolve(t, light(t, 40)[0], Options{Count: 10, Progress: func(p Progress) {
		if p.Nodes > atFirst {
			late++
		}
	}})
	if got.Nodes < atFirst+50 || late == 0 {
		t.Errorf("told %d times after the first of %d nodes", late, got.Nodes)
	}
}

// BenchmarkLight finds the ten best eights of lightweights, proven.
func BenchmarkLight(b *testing.B) {
	for _, n := range []int{24, 40} {
		for _, c := range []struct {
			name   string
			change func(r *rand.Rand, p *Problem)
		}{
			{"one side each", func(r *rand.Rand, p *Problem) { oneSided(r, p); p.Pattern = alternating(8) }},
			{"one side each, free rig", oneSided},
			{"both sides, free rig", func(*rand.Rand, *Problem) {}},
		} {
			b.Run(c.name+"/"+itoa(n), func(b *testing.B) {
				squads := light(b, n)
				for k := range squads {
					c.change(rand.New(rand.NewPCG(uint64(k), 57)), &squads[k])
				}
				timeSquads(b, squads, Options{Count: 10})
			})
		}
	}
}
