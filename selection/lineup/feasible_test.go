package lineup

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"thole/rigging"
)

// strictly adds many rules at once, so that about half of the problems have no
// line-up.
func strictly(r *rand.Rand, p *Problem) {
	n, one := p.Class.Rowers, func() string { return p.Candidates[r.IntN(len(p.Candidates))].ID }
	pairs := func(most int) (out []Pair) {
		for range r.IntN(most + 1) {
			if a, b := one(), one(); a != b {
				out = append(out, Pair{a, b})
			}
		}
		return out
	}
	women := r.IntN(n+1) / 2
	most := women + r.IntN(n+1-women)
	p.Rules = Rules{Apart: pairs(2), Adjacent: pairs(2), Never: pairs(4), WomenMin: women, WomenMax: &most}
	if r.IntN(2) == 0 {
		p.Rules.MeanMass = 76 + 10*r.Float64()
	}
	for range r.IntN(3) {
		p.Rules.Must = append(p.Rules.Must, one())
	}
	if r.IntN(3) == 0 {
		p.Rules.Pins = []Pin{{one(), 1 + r.IntN(n)}}
	}
}

func TestAnyCrewIsFoundWhereThereIsOne(t *testing.T) {
	t.Parallel()
	found, none := 0, 0
	for seed := range cases(2500) {
		r := rand.New(rand.NewPCG(seed, 41))
		p := randomProblem(t, r)
		strictly(r, &p)
		possible := map[string]bool{}
		for _, l := range slowSolve(p) {
			possible[fmt.Sprint(l.Lineup.Sides)] = true
		}
		q := newSquad(p)
		for _, rig := range q.rigs() {
			crew, over := q.anyCrew(context.Background(), q.limits(p.Rules), rig)
			switch {
			case over:
				t.Fatalf("seed %d: stopped", seed)
			case crew == nil && possible[fmt.Sprint(rig.sides)]:
				t.Fatalf("seed %d: no crew found for %v: %+v", seed, rig.sides, p.Rules)
			case crew == nil:
				none++
			case !slowKeeps(p, q.scored(crew, rig).Lineup):
				t.Fatalf("seed %d: %v breaks a rule: %+v", seed, crew, p.Rules)
			default:
				found++
			}
		}
	}
	if found < int(cases(1000)) || none < int(cases(1000)) {
		t.Errorf("%d crews found and %d not", found, none)
	}
}

// The lightest crew of every number of women, against all crews there are.
func TestFillFindsTheLightestCrew(t *testing.T) {
	filled := 0
	for seed := range cases(400) {
		r := rand.New(rand.NewPCG(seed, 43))
		p := randomProblem(t, r)
		p.Rules = Rules{MeanMass: 200}
		q := newSquad(p)
		for _, rig := range q.rigs() {
			for women := range q.seats + 1 {
				l := q.limits(p.Rules)
				l.womenMin, l.womenMax = women, women
				want := slowLightest(q, rig, women)
				l.maxLoad = want + 1e-6
				crew, _ := q.anyCrew(context.Background(), l, rig)
				if (crew == nil) != (want == inf) {
					t.Fatalf("seed %d: crew %v of %d women, the lightest weighs %v", seed, crew, women, want)
				}
				if crew == nil {
					continue
				}
				filled++
				l.maxLoad = want - 1e-6
				if lighter, _ := q.anyCrew(context.Background(), l, rig); lighter != nil {
					t.Fatalf("seed %d: %v is lighter than %v", seed, lighter, want)
				}
			}
		}
	}
	if filled < int(cases(1000)) {
		t.Errorf("only %d crews were filled", filled)
	}
}

// slowLightest is the mass of the lightest crew with so many women, +Inf when
// there is none.
func slowLightest(q *squad, rig *rig, women int) float64 {
	best := inf
	every(q.seats, len(q.athletes), func(x []int) {
		for s, i := range x {
			if q.sweep() && !q.canRow(i, rig.sides[s]) {
				return
			}
		}
		if _, mass := q.crewSum(x); q.women(x) == women {
			best = min(best, mass)
		}
	})
	return best
}

func TestAnyCrewStopsWhenCancelled(t *testing.T) {
	p := soundProblem(t)
	q := newSquad(p)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if crew, over := q.anyCrew(ctx, q.limits(p.Rules), q.rigs()[0]); crew != nil || !over {
		t.Errorf("crew %v, over %v", crew, over)
	}
}

// hopeless are squads of 40 whose rules cannot be met for reasons that no sum
// over the squad tells.
func hopeless(t testing.TB) map[string]Problem {
	squad := func(change func(p *Problem)) Problem {
		p := squadOf(rand.New(rand.NewPCG(2, 45)), class(t, "8+"), 40, 20)
		for i := range p.Candidates {
			p.Candidates[i].Female = i < 6
		}
		change(&p)
		return p
	}
	return map[string]Problem{
		"women of one side only": squad(func(p *Problem) {
			p.Pattern = alternating(8)
			p.Rules.WomenMin = 4
			for i := range 6 {
				p.Candidates[i].SideCost = map[rigging.Side]float64{port: 0}
			}
			p.Rules.Pins = []Pin{{"a39", 2}}
		}),
		"women who never row together": squad(func(p *Problem) {
			p.Rules.WomenMin = 2
			for i := range 6 {
				for j := range i {
					p.Rules.Never = append(p.Rules.Never, Pair{p.Candidates[i].ID, p.Candidates[j].ID})
				}
			}
		}),
		"seven pairs of whom one rows each": squad(func(p *Problem) {
			p.Candidates = p.Candidates[:14]
			for i := 0; i < 14; i += 2 {
				p.Rules.Never = append(p.Rules.Never, Pair{p.Candidates[i].ID, p.Candidates[i+1].ID})
			}
		}),
		"musts that want the same neighbour": squad(func(p *Problem) {
			p.Rules.Must = []string{"a10", "a11", "a12", "a13"}
			p.Rules.Adjacent = []Pair{{"a10", "a11"}, {"a10", "a12"}, {"a10", "a13"}}
		}),
		"light men and a heavy quota": squad(func(p *Problem) {
			p.Rules.WomenMin, p.Rules.MeanMass = 4, 75
			for i := range p.Candidates {
				a := &p.Candidates[i]
				if a.Mass = 70 + float64(i%5); a.Female {
					a.Mass = 82
				}
			}
		}),
	}
}

func TestHopelessRulesAreToldInGoodTime(t *testing.T) {
	want := map[string]int{ // rules in the smallest conflict
		"women of one side only":             3, // the sides, the pin, the quota
		"women who never row together":       16,
		"seven pairs of whom one rows each":  7,
		"musts that want the same neighbour": 7,
		"light men and a heavy quota":        2,
	}
	for name, p := range hopeless(t) {
		if got := conflictOf(t, p); len(got.Rules) != want[name] || !got.Smallest {
			t.Errorf("%s: %d rules, smallest %v: %v", name, len(got.Rules), got.Smallest, got)
		}
	}
}

// Leaving out rules from the first or from the last ends at conflicts of three
// and of five; the smallest is of two, in between.
func TestTheSmallestConflictLiesInBetween(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(5, 47)), class(t, "4x"), 6, 20)
	for i := range p.Candidates {
		p.Candidates[i].Female = i < 4
	}
	p.Rules = Rules{
		Must: []string{"a00", "a01", "a02", "a03", "a04"}, Out: []string{"a04"},
		Never: []Pair{{"a00", "a01"}, {"a02", "a03"}}, WomenMin: 3,
	}
	got := conflictOf(t, p)
	if !got.Smallest || !slices.Equal(kinds(got), []RuleKind{RuleMust, RuleOut}) {
		t.Errorf("%v, smallest %v", got, got.Smallest)
	}
}

// With more of the squad away than can be spared there are very many conflicts
// of the same size. None is proven smallest then, and no rule of the one told
// can be spared.
func TestDiagnosisOfManyConflictsEnds(t *testing.T) {
	t.Parallel()
	p := squadOf(rand.New(rand.NewPCG(3, 47)), class(t, "8+"), 24, 20)
	for i := range 20 {
		p.Rules.Out = append(p.Rules.Out, p.Candidates[i].ID)
	}
	got := conflictOf(t, p)
	if len(got.Rules) != 17 || !got.Irreducible || got.Smallest {
		t.Errorf("%d rules, irreducible %v, smallest %v", len(got.Rules), got.Irreducible, got.Smallest)
	}
	if want := (Shortage{Need: 8, Have: 7}); len(got.Shortages) != 1 || got.Shortages[0] != want {
		t.Errorf("shortages %+v", got.Shortages)
	}
}

// A diagnosis that is cut short names rules that are in conflict, and does not
// say that all of them are needed.
func TestCancelledDiagnosisIsHonest(t *testing.T) {
	for name, p := range hopeless(t) {
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		got := newSquad(p).conflict(ctx)
		if got.Irreducible || got.Smallest || len(got.Rules) != len(newSquad(p).rules()) {
			t.Errorf("%s: irreducible %v, smallest %v, %d rules", name, got.Irreducible, got.Smallest, len(got.Rules))
		}
	}
}

func TestShortagesCountWhatIsMissing(t *testing.T) {
	for name, want := range map[string]Shortage{
		"women of one side only":       {Sex: rigging.Female, Need: 4, Have: 3},
		"light men and a heavy quota":  {Lightest: (4*82 + 4*70) / 8},
		"women who never row together": {Sex: rigging.Female, Need: 2, Have: 1},
	} {
		got := conflictOf(t, hopeless(t)[name]).Shortages
		if len(got) != 1 || math.Abs(got[0].Lightest-want.Lightest) > 0.01 {
			t.Fatalf("%s: %+v", name, got)
		}
		if got[0].Lightest = want.Lightest; got[0] != want {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// Men who can be seated are counted, too.
func TestShortageOfMen(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(6, 47)), class(t, "4x"), 6, 20)
	for i := range p.Candidates {
		p.Candidates[i].Female = i > 1
	}
	p.Rules.MenMin = 3
	if got, want := conflictOf(t, p).Shortages, (Shortage{Sex: rigging.Male, Need: 3, Have: 2}); len(got) != 1 || got[0] != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// BenchmarkConflict is of rules that cannot be met, eight from 40.
func BenchmarkConflict(b *testing.B) {
	for name, p := range hopeless(b) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(context.Background(), p, Options{}); err == nil {
					b.Fatal("solved")
				}
			}
		})
	}
}
