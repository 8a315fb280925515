package seatrace

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"thole/rigging"
	"thole/selection"
)

// plan finds a schedule that must exist.
func plan(t testing.TB, q Request) *Schedule {
	t.Helper()
	s, err := Plan(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Seven races of eight scullers and six of four ports and four starboards
// reach the variances of the designs in published_test.go, from any seed.
func TestPlanReachesTheHadamardDesigns(t *testing.T) {
	for seed := range uint64(2) {
		quads := plan(t, Request{Setup: sculls(8), Pieces: 7, Seed: seed})
		near(t, fmt.Sprint("quads, seed ", seed), quads.Forecast.SD, math.Sqrt(0.5), 1e-12)
		fours := plan(t, Request{Setup: sweeps(8), Pieces: 6, Seed: seed})
		near(t, fmt.Sprint("fours, seed ", seed), fours.Forecast.SD, math.Sqrt(0.5), 1e-12)
		if fours.Forecast.Missing != 16 || len(fours.Forecast.NotEstimable) == 0 || len(fours.Forecast.Truth) == 0 {
			t.Errorf("seed %d: ports against starboards is passed over: %+v", seed, fours.Forecast.Truth)
		}
	}
}

// bruteForce returns the least cost over all schedules that keep the rules.
func bruteForce(s *search) float64 {
	best := math.Inf(1)
	var crews [][]int
	var fill func(at []int, left []int)
	fill = func(at, left []int) {
		if len(at) == s.p {
			crews = append(crews, append([]int(nil), at...))
			return
		}
		for b := range left {
			if left[b] > 0 {
				left[b]--
				fill(append(at, b-1), left)
				left[b]++
			}
		}
	}
	seats := []int{s.p - s.boats*s.size}
	for range s.boats {
		seats = append(seats, s.size)
	}
	fill(nil, seats)
	var row func(r int)
	row = func(r int) {
		if r == s.pieces {
			best = min(best, s.cost())
			return
		}
		for _, at := range crews {
			if s.x[r] = at; s.fits(at) && s.stepAllowed(r) {
				row(r + 1)
			}
		}
	}
	row(0)
	return best
}

func TestPlanIsAsGoodAsBruteForce(t *testing.T) {
	banked := sculls(4)
	banked.Athletes = append(banked.Athletes, selection.Athlete{ID: "e"})
	trios := sculls(6)
	trios.Class.Rowers, trios.Boats = 2, 3
	for name, c := range map[string]struct {
		s      Setup
		swaps  int
		pieces int
		wanted []Pair
		model  Model
	}{
		"doubles":                {sculls(4), 0, 4, nil, Model{}},
		"doubles, one swap":      {sculls(4), 1, 4, nil, Model{}},
		"doubles, hulls":         {sculls(4), 1, 5, nil, Model{Hulls: true}},
		"doubles, too few":       {sculls(4), 1, 2, nil, Model{}},
		"doubles, trends":        {sculls(4), 1, 5, []Pair{{"a", "c"}}, Model{Hulls: true, Trends: true}},
		"doubles, absolute":      {sculls(4), 1, 4, nil, Model{Absolute: true}},
		"pairs":                  {sweeps(4), 1, 4, nil, Model{}},
		"one sits out":           {banked, 1, 3, nil, Model{}},
		"triples":                {sculls(6), 1, 4, []Pair{{"a", "b"}, {"b", "c"}}, Model{}},
		"three doubles":          {trios, 1, 2, nil, Model{}},
		"three doubles, no rule": {trios, 0, 2, []Pair{{"a", "b"}, {"c", "d"}}, Model{}},
	} {
		c.s.Swaps, c.s.Asked, c.s.Model = c.swaps, c.wanted, c.model
		q := Request{Setup: c.s, Pieces: c.pieces}
		oracle := q.newSearch(q.ids(), rand.New(rand.NewPCG(1, 1)))
		want := bruteForce(oracle)
		got := plan(t, q)
		oracle.x = stateOf(got.Pieces, q.ids())
		near(t, name, oracle.cost(), want, 1e-6)
		if len(got.Forecast.Faults) > 0 {
			t.Errorf("%s: faults %q", name, got.Forecast.Faults)
		}
	}
}

// stateOf turns crews back into a state of the search.
func stateOf(pieces []selection.Piece, ids []string) [][]int {
	out := make([][]int, len(pieces))
	for r, p := range pieces {
		for _, id := range ids {
			out[r] = append(out[r], boatOf(p, id))
		}
	}
	return out
}

// drawSearch draws a search with a random state.
func drawSearch(rt *rapid.T) (*search, Request) {
	boats, size := rapid.IntRange(2, 3).Draw(rt, "boats"), 2*rapid.IntRange(1, 2).Draw(rt, "half size")
	q := Request{Setup: Setup{Boats: boats, Class: rigging.Class{Rowers: size, Scull: rapid.Bool().Draw(rt, "scull")}, NoiseSD: 1}}
	for i, id := range letters(boats*size + rapid.IntRange(0, 2).Draw(rt, "spare")) {
		sides := []map[rigging.Side]float64{{rigging.Port: 0}, {rigging.Starboard: 0}, {rigging.Port: 0, rigging.Starboard: 1}}
		k := i % 2
		if rapid.IntRange(0, 3).Draw(rt, "both sides") == 0 {
			k = 2
		}
		q.Athletes = append(q.Athletes, selection.Athlete{ID: id, SideCost: sides[k]})
	}
	q.Pieces = rapid.IntRange(2, 6).Draw(rt, "pieces")
	q.Swaps = rapid.IntRange(0, 2).Draw(rt, "swaps")
	q.Model = Model{Absolute: rapid.Bool().Draw(rt, "absolute"), Hulls: rapid.Bool().Draw(rt, "hulls"), Trends: rapid.Bool().Draw(rt, "trends")}
	return q.newSearch(q.ids(), rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))), q
}

// However the search walks, it keeps the rules, and its information matrix is
// that of the regression it predicts.
func TestSearchKeepsTheRulesAndTheInformation(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s, q := drawSearch(rt)
		for range 50 {
			s.propose()
		}
		pieces := layOut(s.x, q.ids(), q.Boats)
		f, err := Evaluate(pieces, q.Setup)
		if err != nil {
			rt.Fatal(err)
		}
		if len(f.Faults) > 0 {
			rt.Fatal(f.Faults)
		}
		d := newDesign(newTable(pieces, q.ids(), q.Class.Rowers), q.Model)
		var want mat.Dense
		want.Mul(d.z.T(), d.z)
		s.fillInformation()
		for i := range s.p {
			for j := range i + 1 {
				agree(rt, fmt.Sprintf("information %d %d", i, j), s.info[i*s.p+j], want.At(i, j), 1e-9)
			}
		}
	})
}

func TestInvertAgreesWithTheLibrary(t *testing.T) {
	rng := seeded(1)
	for p := 1; p < 12; p++ {
		b := mat.NewDense(p, p, nil)
		for i := range p * p {
			b.Set(i/p, i%p, rng.NormFloat64())
		}
		var a, want mat.Dense
		a.Mul(b, b.T())
		if err := want.Inverse(&a); err != nil {
			t.Fatal(err)
		}
		got := append([]float64(nil), a.RawMatrix().Data...)
		invert(got, make([]float64, p*p), p)
		if !mat.EqualApprox(mat.NewDense(p, p, got), &want, 1e-8*mat.Norm(&want, 2)) {
			t.Errorf("inverse of order %d is off", p)
		}
	}
}

func TestEqualSeedsGiveEqualPlans(t *testing.T) {
	s := sweeps(8)
	s.Swaps = 1
	q := Request{Setup: s, Pieces: 6, Seed: 11}
	if diff := cmp.Diff(plan(t, q), plan(t, q)); diff != "" {
		t.Error(diff)
	}
}

func TestOrderOfTheSquadDoesNotMatter(t *testing.T) {
	a, b := sculls(4), sculls(4)
	b.Athletes[0], b.Athletes[3] = b.Athletes[3], b.Athletes[0]
	if diff := cmp.Diff(plan(t, Request{Setup: a, Pieces: 3}), plan(t, Request{Setup: b, Pieces: 3})); diff != "" {
		t.Error(diff)
	}
}

// With one swap between pieces the plan of eight pieces for two eights cannot
// settle all, and says so.
func TestPlanSaysWhatItLeavesOpen(t *testing.T) {
	s := sweeps(16)
	s.Swaps = 1
	f := plan(t, Request{Setup: s, Pieces: 8}).Forecast
	open := 0
	for _, d := range f.Differences {
		if !d.Estimable {
			open++
			if d.Why == "" {
				t.Errorf("%s against %s is open without a reason", d.First, d.Second)
			}
		}
	}
	if open != f.Missing || open == 0 || len(f.Truth) < 2 {
		t.Errorf("%d open, %d missing, truth %q", open, f.Missing, f.Truth)
	}
}

func TestPlanServesTheWantedPair(t *testing.T) {
	s := sculls(8)
	s.Swaps, s.Asked = 1, []Pair{{"b", "g"}}
	f := plan(t, Request{Setup: s, Pieces: 8}).Forecast
	// eight margins with the pair exchanged between any two: 4 σ_margin²/(4·8)
	near(t, "b against g", expected(f, "b", "g").SD, math.Sqrt(2.0/8), 1e-9)
	if f.Missing != 0 {
		t.Error("the wanted pair is missing")
	}
}

func TestPlanRefusesWhatCannotBe(t *testing.T) {
	_, err := Plan(context.Background(), Request{Setup: sculls(4)})
	wantFault(t, err, "pieces", "one piece or more")
	s := sculls(4)
	s.Asked = []Pair{{"a", "x"}}
	_, err = Plan(context.Background(), Request{Setup: s, Pieces: 3})
	wantFault(t, err, "pairs[0]", `"x" is not one of the athletes`)
}

// What was searched half way is not handed out as a plan.
func TestPlanEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if s, err := Plan(ctx, Request{Setup: sculls(8), Pieces: 7}); s != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("%+v, %v", s, err)
	}
}
