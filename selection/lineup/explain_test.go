package lineup

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"thole/rigging"
	"thole/selection"
)

func TestEvaluateAgreesWithTheDefinition(t *testing.T) {
	for seed := range cases(200) {
		r := rand.New(rand.NewPCG(seed, 31))
		p := randomProblem(t, r)
		p.Rules = Rules{}
		best, err := Solve(context.Background(), p, Options{Count: 3})
		if err != nil {
			continue
		}
		for _, l := range best.Lineups {
			got, err := Evaluate(p, l.Lineup)
			if err != nil || got.Terms != l.Terms || !nearTerms(got.Terms, slowTerms(p, l.Lineup)) {
				t.Fatalf("seed %d: %+v for %+v, %v", seed, got.Terms, l.Terms, err)
			}
		}
	}
}

func TestBrokenAgreesWithTheWording(t *testing.T) {
	for seed := range cases(300) {
		r := rand.New(rand.NewPCG(seed, 37))
		p := randomProblem(t, r)
		for i := range p.Candidates {
			p.Candidates[i].SideCost = map[rigging.Side]float64{stbd: 0, port: 0}
		}
		l := selection.Lineup{}
		for _, i := range r.Perm(len(p.Candidates))[:p.Class.Rowers] {
			l.Seats = append(l.Seats, p.Candidates[i].ID)
		}
		if !p.Class.Scull {
			l.Sides = alternating(p.Class.Rowers)
		}
		got, err := Broken(p, l)
		if err != nil || (len(got) == 0) != slowKeeps(p, l) {
			t.Fatalf("seed %d: %v, %v, rules %+v", seed, got, err, p.Rules)
		}
	}
}

func TestSwapsSayWhatAnExchangeDoes(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 41))
	p := squadOf(r, class(t, "4-"), 7, 30)
	oneSided(r, &p)
	p.Rules.Must = []string{"a00"}
	base := mustSolve(t, p, Options{}).Lineups[0]
	swaps, err := Swaps(p, base.Lineup)
	if err != nil || len(swaps) != 4*3/2+4*3 {
		t.Fatalf("%d swaps, %v", len(swaps), err)
	}
	possible := 0
	for _, s := range swaps {
		next := selection.Lineup{Seats: slices.Clone(base.Lineup.Seats), Sides: base.Lineup.Sides}
		next.Seats[s.Seat-1] = s.Second
		if s.OtherSeat > 0 {
			next.Seats[s.OtherSeat-1] = s.First
		}
		after, err := Evaluate(p, next)
		if (err == nil) != s.Possible {
			t.Errorf("%+v: %v", s, err)
		}
		if !s.Possible {
			continue
		}
		possible++
		if !near(s.Change, after.Terms.Total()-base.Terms.Total()) || !near(s.Terms.Total(), s.Change) {
			t.Errorf("%+v, and it costs %v", s, after.Terms.Total()-base.Terms.Total())
		}
		if s.Change < -tie && len(s.Breaks) == 0 {
			t.Errorf("%+v betters the best", s)
		}
		if slices.Contains(next.Seats, "a00") != (len(s.Breaks) == 0) {
			t.Errorf("%+v", s)
		}
	}
	if possible == 0 || possible == len(swaps) {
		t.Errorf("%d of %d are possible", possible, len(swaps))
	}
}

func TestWithoutEachAthlete(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 41))
	p := squadOf(r, class(t, "4+"), 6, 30)
	p.Rules.Pins = []Pin{{"a01", 3}}
	base := mustSolve(t, p, Options{}).Lineups[0]
	losses, err := Without(context.Background(), p, base.Lineup)
	if err != nil || len(losses) != 4 {
		t.Fatalf("%d losses, %v", len(losses), err)
	}
	for k, l := range losses {
		q := p
		q.Rules.Out = []string{l.ID}
		if l.ID == "a01" {
			q.Rules.Pins = nil
		}
		want := slowSolve(q)[0].Terms.Total()
		if l.ID != base.Lineup.Seats[k] || l.Seat != k+1 || !l.Possible || !l.Proven ||
			!near(l.Best.Terms.Total(), want) || !near(l.Cost, want-base.Terms.Total()) {
			t.Errorf("%+v, the best without is %v", l, want)
		}
	}
}

func TestWithoutSomebodyNobodyCanReplace(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(3, 41)), class(t, "2x"), 2, 30)
	base := mustSolve(t, p, Options{}).Lineups[0]
	losses, err := Without(context.Background(), p, base.Lineup)
	if err != nil || losses[0].Possible || losses[0].Cost != 0 {
		t.Errorf("%+v, %v", losses, err)
	}
}

// TestNextBestAgainstBruteForce lists every line-up of small squads with all
// rules mixed, and looks for the first of other people.
func TestNextBestAgainstBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 4))
	var others, none int
	for range 60 {
		p := randomProblem(t, r)
		all := slowSolve(p)
		if len(all) == 0 {
			continue
		}
		losses, err := Without(context.Background(), p, all[0].Lineup)
		if err != nil {
			t.Fatal(err)
		}
		next := NextBest(p, losses)
		want := slices.IndexFunc(all, func(s Scored) bool { return !samePeople(s, all[0]) })
		if next.Possible != (want >= 0) || !next.Proven {
			t.Fatalf("%+v, brute force finds place %d of %d", next, want, len(all))
		}
		if want < 0 {
			none++
			continue
		}
		others++
		cost := all[want].Terms.Total() - all[0].Terms.Total()
		if !near(next.Cost, cost) || samePeople(next.Best, all[0]) {
			t.Errorf("%+v, the next crew costs %v", next, cost)
		}
	}
	if others < 10 || none == 0 {
		t.Errorf("%d problems with another crew, %d without", others, none)
	}
}

func samePeople(a, b Scored) bool {
	return slices.Equal(slices.Sorted(slices.Values(a.Lineup.Seats)), slices.Sorted(slices.Values(b.Lineup.Seats)))
}

func TestNextBestKeepsThoseWhoMustRow(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(3, 41)), class(t, "2x"), 5, 30)
	base := mustSolve(t, p, Options{}).Lineups[0].Lineup
	p.Rules.Must = []string{base.Seats[0]}
	p.Rules.Pins = []Pin{{base.Seats[1], 2}}
	losses, err := Without(context.Background(), p, base)
	if next := NextBest(p, losses); err != nil || next.Possible || !losses[0].Possible {
		t.Errorf("%+v, %v", next, err)
	}
}

func TestNextBestOfAStoppedSearch(t *testing.T) {
	losses := []Loss{{ID: "a", Possible: true, Cost: 2, Proven: true}, {ID: "b", Possible: true, Cost: 1}}
	if next := NextBest(Problem{}, losses); next.Proven || next.Cost != 1 {
		t.Errorf("%+v", next)
	}
}
