package lineup

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"thole/rigging"
)

// slowCrews groups the line-ups of a problem, best first, by their athletes.
func slowCrews(all []Scored) (crews [][]Scored) {
	at := map[string]int{}
	for _, l := range all {
		key := fmt.Sprint(slices.Sorted(slices.Values(l.Lineup.Seats)))
		k, known := at[key]
		if !known {
			k = len(crews)
			at[key] = k
			crews = append(crews, nil)
		}
		crews[k] = append(crews[k], l)
	}
	return crews
}

func TestCrewsAgreeWithBruteForce(t *testing.T) {
	t.Parallel()
	feasible, listed := 0, 0
	for seed := range cases(1200) {
		r := rand.New(rand.NewPCG(seed, 71))
		p := randomProblem(t, r)
		want := slowCrews(slowSolve(p))
		o := CrewOptions{Crews: 1 + r.IntN(6), Orders: 1 + r.IntN(4)}
		got, err := Crews(context.Background(), p, o)
		if len(want) == 0 {
			checkConflict(t, p, err)
			continue
		}
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		feasible++
		listed += len(got.Crews)
		checkCrews(t, p, o, got, want)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if feasible < int(cases(600)) || listed < int(cases(1200)) {
		t.Errorf("only %d of the cases had a line-up, %d crews in all", feasible, listed)
	}
}

// checkCrews compares the listed crews and their line-ups with all there are.
func checkCrews(t *testing.T, p Problem, o CrewOptions, got CrewResult, want [][]Scored) {
	t.Helper()
	if !got.Proven || len(got.Crews) != min(o.Crews, len(want)) || !near(got.LowerBound, want[0][0].Terms.Total()) {
		t.Errorf("proven %v, %d crews for %d of %d, bound %v", got.Proven, len(got.Crews), o.Crews, len(want), got.LowerBound)
		return
	}
	seen := map[string]bool{}
	for k, crew := range got.Crews {
		if !crew.Proven || len(crew.Lineups) != min(o.Orders, len(want[k])) {
			t.Errorf("crew %d has %d line-ups, proven %v", k, len(crew.Lineups), crew.Proven)
			return
		}
		key := fmt.Sprint(slices.Sorted(slices.Values(crew.Lineups[0].Lineup.Seats)))
		if seen[key] {
			t.Errorf("crew %d is listed twice", k)
		}
		seen[key] = true
		for n, l := range crew.Lineups {
			if !near(l.Terms.Total(), want[k][n].Terms.Total()) || !nearTerms(l.Terms, slowTerms(p, l.Lineup)) {
				t.Errorf("line-up %d of crew %d costs %v, slowly %v", n, k, l.Terms.Total(), want[k][n].Terms.Total())
			}
			if fmt.Sprint(slices.Sorted(slices.Values(l.Lineup.Seats))) != key || !slowKeeps(p, l.Lineup) {
				t.Errorf("line-up %d of crew %d: %v", n, k, l.Lineup)
			}
		}
	}
	if len(got.Crews) < len(want) && got.NextBound > want[len(got.Crews)][0].Terms.Total()+tie {
		t.Errorf("no other crew costs less than %v, but one costs %v", got.NextBound, want[len(got.Crews)][0].Terms.Total())
	}
}

func TestCrewsBeginWithTheBestOfSolve(t *testing.T) {
	for _, n := range []int{14, 24} {
		r := rand.New(rand.NewPCG(uint64(n), 73))
		p := squadOf(r, class(t, "8+"), n, 30)
		oneSided(r, &p)
		p.Pattern = alternating(8)
		got, err := Crews(context.Background(), p, CrewOptions{Crews: 4, Orders: 3})
		if err != nil || !got.Proven || len(got.Crews) != 4 {
			t.Fatalf("%d crews, %v", len(got.Crews), err)
		}
		ten := mustSolve(t, p, Options{Count: 10})
		if !reflect.DeepEqual(got.Crews[0].Lineups[0], ten.Lineups[0]) {
			t.Errorf("the best is %+v, by Solve %+v", got.Crews[0].Lineups[0], ten.Lineups[0])
		}
		losses, err := Without(context.Background(), p, ten.Lineups[0].Lineup)
		if err != nil {
			t.Fatal(err)
		}
		next := NextBest(p, losses)
		if second := got.Crews[1].Lineups[0].Terms.Total(); !near(second, next.Best.Terms.Total()) {
			t.Errorf("the second crew costs %v, without one of the first %v", second, next.Best.Terms.Total())
		}
	}
}

func TestCrewsDoNotDependOnTheOrderOfTheSquad(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 79))
	p := squadOf(r, class(t, "4-"), 9, 0) // all of one power: many that tie but for mass and curve
	p.Candidates[3].Mass, p.Candidates[3].Curve = p.Candidates[6].Mass, p.Candidates[6].Curve
	o := CrewOptions{Crews: 5, Orders: 3, Fold: true}
	want, err := Crews(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		r.Shuffle(len(p.Candidates), func(i, j int) { p.Candidates[i], p.Candidates[j] = p.Candidates[j], p.Candidates[i] })
		got, err := Crews(context.Background(), p, o)
		if err != nil || !reflect.DeepEqual(got.Crews, want.Crews) {
			t.Fatalf("%+v, then %+v, %v", want.Crews, got.Crews, err)
		}
	}
}

func TestCrewsThatAreCutShortSaySo(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 83))
	p := squadOf(r, class(t, "8+"), 24, 5)
	p.Weights.Likeness = 100
	ctx, stop := context.WithCancel(context.Background())
	calls := 0
	got, err := Crews(ctx, p, CrewOptions{Crews: 3, Orders: 2, Progress: func(g Progress) {
		if calls++; calls == 2 {
			stop()
		}
		if g.LowerBound > g.Best {
			t.Errorf("the bound %v is above the best %v", g.LowerBound, g.Best)
		}
	}})
	if err != nil || got.Proven || len(got.Crews) == 0 {
		t.Fatalf("%d crews, proven %v, %v", len(got.Crews), got.Proven, err)
	}
	best := got.Crews[0].Lineups[0].Terms.Total()
	full := mustSolve(t, p, Options{}).Lineups[0].Terms.Total()
	if got.LowerBound > full+tie || best < full-tie || got.NextBound < got.LowerBound {
		t.Errorf("between %v and %v, next %v, and the best costs %v", got.LowerBound, best, got.NextBound, full)
	}
}

func TestCrewsRefuseWhatSolveRefuses(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(1, 89)), class(t, "2x"), 3, 10)
	p.Rules = Rules{Must: []string{"a00"}, Out: []string{"a00"}}
	var conflict *ConflictError
	if _, err := Crews(context.Background(), p, CrewOptions{}); !errors.As(err, &conflict) || len(conflict.Rules) != 2 {
		t.Errorf("%v", err)
	}
	p.Rules = Rules{Must: []string{"nobody"}}
	if _, err := Crews(context.Background(), p, CrewOptions{}); err == nil {
		t.Error("a rule about somebody unknown is taken")
	}
}

// BenchmarkCrews finds the best four crews of an eight with three orders each.
func BenchmarkCrews(b *testing.B) {
	for _, c := range []struct {
		name   string
		change func(r *rand.Rand, p *Problem)
	}{
		{"one side each", oneSided},
		{"both sides", func(*rand.Rand, *Problem) {}},
		{"one side each, free rig", func(r *rand.Rand, p *Problem) { oneSided(r, p); p.Pattern = nil }},
	} {
		for _, n := range []int{24, 40} {
			b.Run(c.name+"/"+itoa(n), func(b *testing.B) {
				squads := squadsFor(b, n, 30, c.change)[:8]
				b.ReportAllocs()
				for b.Loop() {
					for _, p := range squads {
						if got, err := Crews(context.Background(), p, CrewOptions{Crews: 4, Orders: 3, Fold: true}); err != nil || !got.Proven {
							b.Fatal(err)
						}
					}
				}
				b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N*len(squads)), "ms/squad")
			})
		}
	}
}

func TestReriggingIsPricedSeatBySeat(t *testing.T) {
	t.Parallel()
	moved := 0
	for seed := range cases(250) {
		r := rand.New(rand.NewPCG(seed, 97))
		p := randomProblem(t, r)
		if p.Class.Scull {
			continue
		}
		p.Pattern, p.Rerig = nil, 0.3*r.Float64()
		all := patterns(p.Class.Rowers, nil)
		p.Rigged = all[r.IntN(len(all))]
		if r.IntN(2) == 0 { // everybody may row either side at no cost: images, if the boat did not tell them apart
			for i := range p.Candidates {
				p.Candidates[i].SideCost = map[rigging.Side]float64{stbd: 0, port: 0}
			}
			p.SeatCosts = nil
		}
		want := slowSolve(p)
		if len(want) == 0 {
			continue
		}
		got := mustSolve(t, p, Options{Count: 5})
		checkLineups(t, p, got, want[:min(5, len(want))])
		crews, err := Crews(context.Background(), p, CrewOptions{Crews: 3, Orders: 2})
		if err != nil {
			t.Fatal(err)
		}
		checkCrews(t, p, CrewOptions{Crews: 3, Orders: 2}, crews, slowCrews(want))
		for _, l := range got.Lineups {
			moved += len(l.Rerigged)
			for s, side := range l.Lineup.Sides {
				if slices.Contains(l.Rerigged, s+1) != (side != p.Rigged[s]) {
					t.Errorf("re-rigged %v: %v of %v", l.Rerigged, l.Lineup.Sides, p.Rigged)
				}
			}
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if moved == 0 {
		t.Error("no line-up asked for another rig")
	}
}

func TestADearRigIsKept(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(3, 101)), class(t, "8+"), 10, 20)
	p.Rigged, p.Rerig = italian, 100
	if best := mustSolve(t, p, Options{}).Lineups[0]; len(best.Rerigged) > 0 || best.Terms.Rig != 0 {
		t.Errorf("seats %v are re-rigged", best.Rerigged)
	}
}

func TestAnOddRigIsRefused(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(3, 103)), class(t, "4-"), 5, 20)
	for name, change := range map[string]func(){
		"too short":  func() { p.Rigged = alternating(2) },
		"no side":    func() { p.Rigged = []rigging.Side{stbd, 0, port, stbd} },
		"below zero": func() { p.Rigged, p.Rerig = alternating(4), -1 },
	} {
		change()
		var bad rigging.FieldErrors
		if _, err := Solve(context.Background(), p, Options{}); !errors.As(err, &bad) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestPowerAndMassAreToldApart(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 107))
	p := squadOf(r, class(t, "4-"), 8, 30)
	best := mustSolve(t, p, Options{}).Lineups[0].Lineup
	swaps, err := Swaps(p, best)
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]int{}
	for i, a := range p.Candidates {
		by[a.ID] = i
	}
	for _, s := range swaps {
		if !near(s.Power+s.Mass, s.Terms.Pace) {
			t.Errorf("%v by power and %v by mass do not make %v", s.Power, s.Mass, s.Terms.Pace)
		}
		first, second := p.Candidates[by[s.First]], p.Candidates[by[s.Second]]
		if s.OtherSeat == 0 && ((second.Power > first.Power) != (s.Power < 0) || (second.Mass > first.Mass) != (s.Mass > 0)) {
			t.Errorf("%v W and %v kg for %v W and %v kg: %v and %v s", second.Power, second.Mass, first.Power, first.Mass, s.Power, s.Mass)
		}
	}
	// By hand: the pace goes with P^(−1/3) and D^(1/6), so that, to first order,
	// a kilogram costs as much as (P/2)/D watts bring.
	q := newSquad(p)
	crew := []int{0, 1, 2, 3}
	power, mass := q.crewSum(crew)
	q.power[4], q.mass[4] = q.power[3]+power/(2*(mass+p.Pace.FixedMass)), q.mass[3]+1
	byPower, byMass := q.apart(crew, []int{0, 1, 2, 4})
	if total := byPower + byMass; total < -1e-3*byMass || total > 1e-2*byMass {
		t.Errorf("%v by power and %v by mass do not cancel", byPower, byMass)
	}
}
