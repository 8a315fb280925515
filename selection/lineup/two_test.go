package lineup

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"thole/rigging"
)

// twoProblems draws a squad and two small boats for it, with a few rules.
func twoProblems(t testing.TB, r *rand.Rand) (first, second Problem) {
	pairs := [][2]string{{"2-", "2-"}, {"2x", "2x"}, {"2x", "1x"}, {"4-", "2-"}, {"4x", "2x"}, {"2-", "2x"}, {"1x", "1x"}, {"4+", "1x"}}
	codes := pairs[r.IntN(len(pairs))]
	a, b := class(t, codes[0]), class(t, codes[1])
	first = squadOf(r, a, a.Rowers+b.Rowers+r.IntN(3), 10+30*r.Float64())
	for i := range first.Candidates {
		c := &first.Candidates[i]
		c.SideCost = map[rigging.Side]float64{stbd: r.Float64(), port: r.Float64()}
		if side := r.IntN(4); side < 2 {
			delete(c.SideCost, []rigging.Side{stbd, port}[side])
		}
	}
	first.Weights = Weights{Likeness: 10 * r.Float64(), Yaw: 2 * r.Float64()}
	second = first
	second.Class = b
	for _, p := range []*Problem{&first, &second} {
		p.Pace.FixedMass, p.Pace.ReferenceMass = 20*float64(p.Class.Rowers), p.Class.ReferenceMass
		p.Pace.Drag *= math.Cbrt(p.Class.ReferenceMass / 862)
		if !p.Class.Scull && r.IntN(3) > 0 {
			p.Pattern = alternating(p.Class.Rowers)
		}
		if r.IntN(2) == 0 {
			ruleRandomly(r, p)
		}
	}
	return first, second
}

// slowTwo tries every two line-ups that share nobody, from the definition.
func slowTwo(first, second Problem, aim Aim) (best float64, ok bool) {
	a, b := slowCrews(slowSolve(first)), slowCrews(slowSolve(second))
	if len(a) == 0 || len(b) == 0 {
		return 0, false
	}
	out := func(p, other Problem, crew []string) bool {
		return slices.ContainsFunc(crew, func(id string) bool { return other.Rules.mustRow(id) })
	}
	best = inf
	least := inf // of the first boat, where it goes first
	for _, x := range a {
		for _, y := range b {
			one, other := x[0], y[0]
			if slices.ContainsFunc(one.Lineup.Seats, func(id string) bool { return slices.Contains(other.Lineup.Seats, id) }) ||
				out(first, second, one.Lineup.Seats) || out(second, first, other.Lineup.Seats) {
				continue
			}
			ok = true
			up := [2]float64{one.Terms.Total() - a[0][0].Terms.Total(), other.Terms.Total() - b[0][0].Terms.Total()}
			switch aim {
			case AimSlower:
				best = min(best, max(up[0], up[1]))
			case AimSum:
				best = min(best, up[0]+up[1])
			case AimFirst: // the sum of both at the least of the first
				if up[0] < least-1e-9 {
					least, best = up[0], inf
				}
				if up[0] < least+1e-9 {
					best = min(best, up[1])
				}
			}
		}
	}
	return best, ok
}

func TestTwoBoatsAgreeWithBruteForce(t *testing.T) {
	t.Parallel()
	feasible, shared := map[Aim]int{}, 0
	for seed := range cases(450) {
		r := rand.New(rand.NewPCG(seed, 113))
		first, second := twoProblems(t, r)
		aim := []Aim{AimFirst, AimSlower, AimSum}[seed%3]
		want, ok := slowTwo(first, second, aim)
		got, err := Two(context.Background(), first, second, TwoOptions{Aim: aim})
		if !ok {
			if err == nil {
				t.Fatalf("seed %d: found %+v where there is nothing", seed, got)
			}
			continue
		}
		if err != nil {
			t.Fatalf("seed %d, %s: %v", seed, aim, err)
		}
		feasible[aim]++
		checkTwo(t, first, second, got)
		value := got.Value
		if aim == AimFirst {
			value = got.GivenUp[1]
		}
		if math.Abs(value-want) > 2*Certain {
			t.Errorf("%s: %v, and the best is %v", aim, value, want)
		}
		if got.GivenUp[0] > 1e-9 && got.GivenUp[1] > 1e-9 {
			shared++
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	for _, aim := range []Aim{AimFirst, AimSlower, AimSum} {
		if feasible[aim] < int(cases(60)) {
			t.Errorf("only %d cases of %s", feasible[aim], aim)
		}
	}
	if shared < int(cases(30)) {
		t.Errorf("both boats give something up in %d cases only", shared)
	}
}

// checkTwo holds an answer to what it says of itself.
func checkTwo(t *testing.T, first, second Problem, got TwoResult) {
	t.Helper()
	if !got.Found || !got.Proven || got.LowerBound > got.Value || got.Value-got.LowerBound > Certain {
		t.Errorf("found %v, proven %v, between %v and %v", got.Found, got.Proven, got.LowerBound, got.Value)
		return
	}
	rowing := map[string]bool{}
	for k, p := range []Problem{first, second} {
		l := got.Lineups[k]
		if !nearTerms(l.Terms, slowTerms(p, l.Lineup)) || !slowKeeps(p, l.Lineup) {
			t.Errorf("boat %d: %+v", k, l)
		}
		if alone := mustSolve(t, p, Options{}).Lineups[0].Terms.Total(); !near(alone, got.Alone[k]) || !near(got.GivenUp[k], l.Terms.Total()-alone) {
			t.Errorf("boat %d gives up %v of %v", k, got.GivenUp[k], got.Alone[k])
		}
		for _, id := range l.Lineup.Seats {
			if rowing[id] {
				t.Errorf("%s rows in both boats", id)
			}
			rowing[id] = true
		}
	}
}

// squadOf two eights, as they come.
func twoEights(seed uint64, n int) (first, second Problem) {
	r := rand.New(rand.NewPCG(seed, 127))
	c, _ := rigging.ClassByCode("8+")
	p := squadOf(r, c, n, 30)
	oneSided(r, &p)
	p.Pattern = alternating(8)
	return p, p
}

func TestTwoEightsHaveAnHonestGap(t *testing.T) {
	first, second := twoEights(1, 18)
	for _, aim := range []Aim{AimSlower, AimSum} {
		ctx, stop := context.WithTimeout(context.Background(), 300*time.Millisecond)
		calls, last := 0, TwoProgress{LowerBound: math.Inf(-1)}
		got, err := Two(ctx, first, second, TwoOptions{Aim: aim, Progress: func(p TwoProgress) {
			calls++
			if p.Best > last.Best && last.Found || p.LowerBound > p.Best {
				t.Errorf("%s: %+v after %+v", aim, p, last)
			}
			last = p
		}})
		stop()
		if err != nil || !got.Found {
			t.Fatalf("%s: %+v, %v", aim, got, err)
		}
		priority, err := Two(context.Background(), first, second, TwoOptions{Aim: AimFirst})
		if err != nil || !priority.Proven || priority.GivenUp[0] != 0 {
			t.Fatalf("%+v, %v", priority, err)
		}
		as := map[Aim]float64{AimSlower: max(priority.GivenUp[0], priority.GivenUp[1]), AimSum: priority.GivenUp[0] + priority.GivenUp[1]}[aim]
		if got.Value > as || got.LowerBound > got.Value {
			t.Errorf("%s: between %v and %v; by priority %v", aim, got.LowerBound, got.Value, as)
		}
	}
}

func TestTwoBoatsThatCannotBe(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(1, 131)), class(t, "2x"), 3, 20)
	for _, aim := range []Aim{AimFirst, AimSlower, AimSum} {
		_, err := Two(context.Background(), p, p, TwoOptions{Aim: aim})
		var short *NotBothError
		if !errors.As(err, &short) || short.Need != 4 || short.Have != 3 {
			t.Errorf("%s: %v", aim, err)
		}
	}
	p = squadOf(rand.New(rand.NewPCG(1, 131)), class(t, "2x"), 5, 20)
	both := p
	both.Rules.Must = []string{"a01"}
	var bad rigging.FieldErrors
	if _, err := Two(context.Background(), both, both, TwoOptions{Aim: AimSum}); !errors.As(err, &bad) || fmt.Sprint(err) == "" {
		t.Errorf("%v", err)
	}
	never := p
	never.Rules.MaxMass = 40
	var conflict *ConflictError
	if _, err := Two(context.Background(), p, never, TwoOptions{Aim: AimSum}); !errors.As(err, &conflict) {
		t.Errorf("%v", err)
	}
}

// BenchmarkTwo shares squads between two boats, and reports the median gap of
// what is found in a second.
func BenchmarkTwo(b *testing.B) {
	for _, aim := range []Aim{AimFirst, AimSlower, AimSum} {
		for _, n := range []int{18, 24, 40} {
			b.Run(fmt.Sprintf("two eights, %s/%d", aim, n), func(b *testing.B) {
				var gaps, times []float64
				proven := 0.0
				for b.Loop() {
					gaps, times, proven = nil, nil, 0
					for seed := range uint64(5) {
						first, second := twoEights(seed, n)
						ctx, stop := context.WithTimeout(context.Background(), time.Second)
						start := time.Now()
						got, err := Two(ctx, first, second, TwoOptions{Aim: aim})
						stop()
						if err != nil || !got.Found {
							b.Fatal(got, err)
						}
						gaps, times = append(gaps, got.Value-got.LowerBound), append(times, time.Since(start).Seconds())
						if got.Proven {
							proven++
						}
					}
				}
				slices.Sort(gaps)
				slices.Sort(times)
				b.ReportMetric(gaps[2], "s-gap-median")
				b.ReportMetric(gaps[4], "s-gap-widest")
				b.ReportMetric(times[2]*1000, "ms-median")
				b.ReportMetric(proven/5, "proven")
			})
		}
	}
}
