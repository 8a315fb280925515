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
	"thole/selection"
)

func TestSolveAgreesWithBruteForce(t *testing.T) {
	t.Parallel()
	feasible := 0
	for seed := range cases(2500) {
		r := rand.New(rand.NewPCG(seed, 11))
		p := randomProblem(t, r)
		want := slowSolve(p)
		count := 1 + r.IntN(10)
		got, err := Solve(context.Background(), p, Options{Count: count})
		if len(want) == 0 {
			checkConflict(t, p, err)
			continue
		}
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		feasible++
		checkLineups(t, p, got, want[:min(count, len(want))])
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if feasible < int(cases(1250)) {
		t.Errorf("only %d of the cases had a line-up", feasible)
	}
}

// checkLineups compares the listed line-ups with the best there are.
func checkLineups(t *testing.T, p Problem, got Result, want []Scored) {
	t.Helper()
	if !got.Proven || len(got.Lineups) != len(want) || got.LowerBound != got.Lineups[0].Terms.Total() {
		t.Errorf("proven %v, %d line-ups for %d, bound %v", got.Proven, len(got.Lineups), len(want), got.LowerBound)
		return
	}
	for k, l := range got.Lineups {
		if slow := slowTerms(p, l.Lineup); !nearTerms(l.Terms, slow) || !near(l.Terms.Total(), want[k].Terms.Total()) {
			t.Errorf("line-up %d costs %+v, slowly %+v, and the best is %v", k, l.Terms, slow, want[k].Terms.Total())
		}
		if !slowKeeps(p, l.Lineup) {
			t.Errorf("line-up %d breaks a rule: %v", k, l.Lineup)
		}
	}
}

func nearTerms(a, b Terms) bool {
	return near(a.Pace, b.Pace) && near(a.Side, b.Side) && near(a.Seat, b.Seat) &&
		near(a.Likeness, b.Likeness) && near(a.Yaw, b.Yaw) && near(a.Rig, b.Rig)
}

// checkConflict wants the rules named to be in conflict, and none too many.
func checkConflict(t *testing.T, p Problem, err error) {
	t.Helper()
	var conflict *ConflictError
	if !errors.As(err, &conflict) {
		t.Fatalf("got %v for rules that cannot be met: %+v", err, p.Rules)
	}
	q := newSquad(p)
	reduced := func(rules []Rule) Problem { return q.only(rules).p }
	if slowCan(reduced(conflict.Rules)) {
		t.Fatalf("%v, but there is a line-up", err)
	}
	if !conflict.Smallest || !conflict.Irreducible {
		t.Fatalf("smallest %v, irreducible %v: %v", conflict.Smallest, conflict.Irreducible, err)
	}
	fewer := max(len(conflict.Rules), 1) - 1
	choose(q.rules(), fewer, func(rules []Rule) {
		if fewer < len(conflict.Rules) && !slowCan(reduced(rules)) {
			t.Fatalf("%v, but %v are in conflict already", err, rules)
		}
	})
}

// choose calls visit with every selection of so many rules.
func choose(rules []Rule, count int, visit func([]Rule)) {
	var chosen []Rule
	var from func(k int)
	from = func(k int) {
		if len(chosen) == count {
			visit(chosen)
			return
		}
		for ; k < len(rules); k++ {
			chosen = append(chosen, rules[k])
			from(k + 1)
			chosen = chosen[:len(chosen)-1]
		}
	}
	from(0)
}

// An eight of one-sided rowers: 4! · 4! orders of each crew.
func TestSolveAgreesWithBruteForceInTheEight(t *testing.T) {
	t.Parallel()
	for seed := range uint64(2) {
		r := rand.New(rand.NewPCG(seed, 12))
		p := squadOf(r, class(t, "8+"), 9, 25)
		p.Pattern = [][]rigging.Side{alternating(8), {stbd, port, port, stbd, stbd, port, port, stbd}}[seed]
		p.Weights.Yaw = 3
		for i := range p.Candidates {
			p.Candidates[i].SideCost = map[rigging.Side]float64{alternating(9)[i]: 0}
		}
		checkLineups(t, p, mustSolve(t, p, Options{Count: 10}), slowSolveOneSided(p)[:10])
	}
}

// slowSolveOneSided is slowSolve for rowers of one side each.
func slowSolveOneSided(p Problem) []Scored {
	var all []Scored
	cost := newSlow(p)
	l := selection.Lineup{Sides: p.Pattern}
	var place func()
	place = func() {
		if len(l.Seats) == len(p.Pattern) {
			one := selection.Lineup{Seats: slices.Clone(l.Seats), Sides: p.Pattern}
			all = append(all, Scored{Lineup: one, Terms: cost.terms(one)})
			return
		}
		for _, a := range p.Candidates {
			if _, ok := a.SideCost[p.Pattern[len(l.Seats)]]; ok && !slices.Contains(l.Seats, a.ID) {
				l.Seats = append(l.Seats, a.ID)
				place()
				l.Seats = l.Seats[:len(l.Seats)-1]
			}
		}
	}
	place()
	slices.SortFunc(all, func(a, b Scored) int {
		if a.Terms.Total() < b.Terms.Total() {
			return -1
		}
		return 1
	})
	return all
}

func TestOrderOfCandidatesDoesNotMatter(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	p := squadOf(r, class(t, "8+"), 20, 20)
	p.Pattern = alternating(8)
	oneSided(r, &p)
	want := mustSolve(t, p, Options{Count: 10})
	for range 5 {
		p.Candidates = slices.Clone(p.Candidates)
		r.Shuffle(len(p.Candidates), func(i, j int) {
			p.Candidates[i], p.Candidates[j] = p.Candidates[j], p.Candidates[i]
		})
		if got := mustSolve(t, p, Options{Count: 10}); !reflect.DeepEqual(got, want) {
			t.Fatalf("got %+v\nwant %+v", got, want)
		}
	}
}

func TestMirrorImageCostsTheSame(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 5))
	p := squadOf(r, class(t, "8+"), 18, 20)
	oneSided(r, &p)
	p.Pattern = []rigging.Side{stbd, port, port, stbd, port, stbd, port, stbd}
	want := mustSolve(t, p, Options{Count: 10})
	p.Pattern = mirrored(p.Pattern)
	for i := range p.Candidates {
		costs := map[rigging.Side]float64{}
		for side, cost := range p.Candidates[i].SideCost {
			costs[side.Other()] = cost
		}
		p.Candidates[i].SideCost = costs
	}
	got := mustSolve(t, p, Options{Count: 10})
	for k := range want.Lineups {
		want.Lineups[k].Lineup.Sides = mirrored(want.Lineups[k].Lineup.Sides)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
}

func mirrored(sides []rigging.Side) (out []rigging.Side) {
	for _, s := range sides {
		out = append(out, s.Other())
	}
	return out
}

// With everybody alike the names decide: the first ten line-ups in the order
// of the names, bow first.
func TestTiesGoByName(t *testing.T) {
	t.Parallel()
	p := squadOf(rand.New(rand.NewPCG(1, 1)), class(t, "8+"), 24, 0)
	p.Pattern = alternating(8)
	for i := range p.Candidates {
		a := p.Candidates[0]
		a.ID, a.Name = fmt.Sprintf("x%d", 97-i), fmt.Sprintf("%02d", i)
		p.Candidates[i] = a
	}
	got := mustSolve(t, p, Options{Count: 3})
	want := [][]int{{0, 1, 2, 3, 4, 5, 6, 7}, {0, 1, 2, 3, 4, 5, 6, 8}, {0, 1, 2, 3, 4, 5, 6, 9}}
	for k, l := range got.Lineups {
		for s, id := range l.Lineup.Seats {
			if id != fmt.Sprintf("x%d", 97-want[k][s]) {
				t.Errorf("line-up %d is %v", k, l.Lineup.Seats)
				break
			}
		}
	}
	t.Logf("%d nodes", got.Nodes)
}

func TestStoppedSearchGivesAnHonestBound(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(8, 5))
	p := squadOf(r, class(t, "8+"), 16, 15)
	p.Pattern = []rigging.Side{stbd, port, port, stbd, stbd, port, port, stbd}
	p.Weights = Weights{Likeness: 25, Yaw: 10}
	best := mustSolve(t, p, Options{}).Lineups[0].Terms.Total()
	last := 0.0
	for _, most := range []int{1, 10, 100, 300} {
		got, err := Solve(context.Background(), p, Options{MaxNodes: most})
		if err != nil || got.Proven {
			t.Fatalf("after %d nodes: %v, proven %v", most, err, got.Proven)
		}
		if got.LowerBound > best+tie || got.Lineups[0].Terms.Total() < best-tie {
			t.Errorf("after %d nodes: %v to %v, the best is %v", most, got.LowerBound, got.Lineups[0].Terms.Total(), best)
		}
		if got.LowerBound < last-tie || got.LowerBound < best-5 {
			t.Errorf("after %d nodes the bound is %v, before it was %v", most, got.LowerBound, last)
		}
		last = got.LowerBound
	}
}

// Stopped in one rig, the search bounds those it has not come to.
func TestStoppedSearchBoundsTheOtherRigs(t *testing.T) {
	t.Parallel()
	for seed := range uint64(40) {
		p := squadOf(rand.New(rand.NewPCG(seed, 6)), class(t, "8+"), 10, 15)
		oneSided(rand.New(rand.NewPCG(seed, 7)), &p)
		best := mustSolve(t, p, Options{}).Lineups[0].Terms.Total()
		for _, most := range []int{1, 2, 4, 8, 16, 32} {
			got, err := Solve(context.Background(), p, Options{MaxNodes: most})
			if err != nil || got.LowerBound > best+tie || got.Proven && got.Lineups[0].Terms.Total() > best+tie {
				t.Fatalf("seed %d after %d nodes: %v, bound %v, the best is %v", seed, most, err, got.LowerBound, best)
			}
		}
	}
}

func TestCancelledSearchGivesAnHonestBound(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(8, 5)), class(t, "8+"), 16, 15)
	best := mustSolve(t, p, Options{}).Lineups[0].Terms.Total()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	got, err := Solve(ctx, p, Options{})
	if err != nil || got.Proven || got.LowerBound > best || got.LowerBound < best-5 {
		t.Errorf("%v: proven %v, bound %v, best %v", err, got.Proven, got.LowerBound, best)
	}
}

func TestProgressNeverPromisesTooMuch(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(9, 5)), class(t, "8+"), 16, 15)
	p.Weights = Weights{Likeness: 25, Yaw: 10}
	var told []Progress
	got := mustSolve(t, p, Options{Count: 10, Progress: func(q Progress) { told = append(told, q) }})
	if len(told) < 3 {
		t.Fatalf("told %d times in %d nodes", len(told), got.Nodes)
	}
	best := got.Lineups[0].Terms.Total()
	for _, q := range told {
		if q.LowerBound > best+tie || q.Best < best-tie || q.Nodes > got.Nodes {
			t.Errorf("told %+v, and the best is %v", q, best)
		}
	}
}

func TestFewerLineupsThanAskedForAreAllListed(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(3, 5)), class(t, "2x"), 2, 15)
	if got := mustSolve(t, p, Options{Count: 10}); len(got.Lineups) != 2 {
		t.Errorf("two scullers sit in %d orders", len(got.Lineups))
	}
}

func TestCandidatesWithoutCurveAreNamed(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(3, 5)), class(t, "4x"), 6, 15)
	p.Candidates[2].Curve, p.Candidates[4].Curve = nil, nil
	if got := mustSolve(t, p, Options{}).NoCurve; !slices.Equal(got, []string{"a02", "a04"}) {
		t.Errorf("named %v", got)
	}
}

// Equal rowers on a free pattern: no yaw in the patterns without a moment.
func TestFreePatternReachesNoYaw(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(3, 5)), class(t, "8+"), 8, 0)
	for i := range p.Candidates {
		a := p.Candidates[0]
		a.ID, a.Name = p.Candidates[i].ID, p.Candidates[i].Name
		p.Candidates[i] = a
	}
	best := mustSolve(t, p, Options{}).Lineups[0]
	if best.Terms.Yaw > 1e-12 {
		t.Errorf("%v leaves a yaw of %v s", best.Lineup.Sides, best.Terms.Yaw)
	}
	still := stillPatterns(8, nil)
	if !slices.ContainsFunc(still, func(s []rigging.Side) bool {
		return slices.Equal(s, best.Lineup.Sides) || slices.Equal(mirrored(s), best.Lineup.Sides)
	}) {
		t.Errorf("%v is not among %v", best.Lineup.Sides, still)
	}
}
