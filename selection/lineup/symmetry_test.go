package lineup

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"thole/rigging"
	"thole/selection"
)

// alikeSides makes both sides cost each athlete the same, so that mirror
// images tie.
func alikeSides(r *rand.Rand, p *Problem) {
	for i := range p.Candidates {
		cost := float64(r.IntN(3)) / 4
		p.Candidates[i].SideCost = map[rigging.Side]float64{stbd: cost, port: cost}
	}
}

// symmetricProblem draws a small problem in which the mirror image of a
// line-up, its turn end for end, or both cost the same.
func symmetricProblem(t testing.TB, r *rand.Rand) Problem {
	codes := []string{"2x", "2-", "4x", "4-", "4-", "4+"}
	c := class(t, codes[r.IntN(len(codes))])
	p := squadOf(r, c, c.Rowers+r.IntN(2), 30)
	p.Pace.FixedMass, p.Pace.ReferenceMass = 20*float64(c.Rowers), c.ReferenceMass
	p.Weights = Weights{Likeness: 20 * r.Float64(), Yaw: 5 * r.Float64()}
	if r.IntN(2) == 0 {
		alikeSides(r, &p)
	} else {
		oneSided(r, &p)
	}
	if all := patterns(c.Rowers, nil); !c.Scull && r.IntN(2) == 0 {
		p.Pattern = all[r.IntN(len(all))]
	}
	switch r.IntN(4) {
	case 0: // a pin or an opinion spoils the turn, unless it has a twin
		p.Rules.Pins = []Pin{{p.Candidates[0].ID, 1 + r.IntN(c.Rowers)}}
	case 1:
		p.SeatCosts = []SeatCost{{p.Candidates[1].ID, 1, 0.3}}
		if r.IntN(2) == 0 {
			p.SeatCosts = append(p.SeatCosts, SeatCost{p.Candidates[1].ID, c.Rowers, 0.3})
		}
	case 2:
		p.Rules.Apart = []Pair{{p.Candidates[0].ID, p.Candidates[1].ID}}
	}
	return p
}

// Every image of a line-up is listed, and once; where they tie the names
// decide.
func TestImagesAreAllListedInOrder(t *testing.T) {
	t.Parallel()
	tied := 0
	for seed := range cases(400) {
		r := rand.New(rand.NewPCG(seed, 31))
		p := symmetricProblem(t, r)
		want := slowSolve(p)
		if len(want) == 0 {
			continue
		}
		got := mustSolve(t, p, Options{Count: len(want) + 5})
		checkLineups(t, p, got, want)
		seen := map[string]bool{}
		for k, l := range got.Lineups {
			seen[fmt.Sprint(l.Lineup)] = true
			if k == 0 || got.Lineups[k-1].Terms.Total() < l.Terms.Total()-tie/100 {
				continue
			}
			tied++
			if before := got.Lineups[k-1].Lineup; !comesBefore(before, l.Lineup) {
				t.Errorf("%v is listed before %v", before, l.Lineup)
			}
		}
		if len(seen) != len(want) {
			t.Errorf("%d different line-ups of %d", len(seen), len(want))
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if tied < int(cases(1000)) {
		t.Errorf("only %d ties were met", tied)
	}
}

// comesBefore orders by name, bow first, then starboard before port; the names
// of the squads here go with the IDs.
func comesBefore(a, b selection.Lineup) bool {
	if c := slices.Compare(a.Seats, b.Seats); c != 0 {
		return c < 0
	}
	return slices.CompareFunc(a.Sides, b.Sides, func(x, y rigging.Side) int { return int(y) - int(x) }) < 0
}

// However few are listed, they are the first of the whole list.
func TestFewOfManyImagesAreTheFirst(t *testing.T) {
	t.Parallel()
	for seed := range cases(200) {
		p := symmetricProblem(t, rand.New(rand.NewPCG(seed, 33)))
		if !slowCan(p) {
			continue
		}
		all := mustSolve(t, p, Options{Count: 200}).Lineups
		few := min(1+int(seed%7), len(all))
		for k, l := range mustSolve(t, p, Options{Count: few}).Lineups {
			// Totals that tie but for rounding may be told apart by it.
			if !near(l.Terms.Total(), all[k].Terms.Total()) {
				t.Fatalf("seed %d: place %d costs %v, of all %v", seed, k, l.Terms.Total(), all[k].Terms.Total())
			}
			if fmt.Sprint(l.Lineup) != fmt.Sprint(all[k].Lineup) {
				t.Fatalf("seed %d: place %d has %v, of all %v", seed, k, l.Lineup, all[k].Lineup)
			}
		}
	}
}

// A search over all rigs bounds one rig of each set of images, and no more.
func TestImagesShareOneSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 35))
	for _, c := range []struct {
		name   string
		change func(p *Problem)
		want   int // of the 70 rigs of an eight
	}{
		// 70 = 35 pairs of mirror images. A turn end for end leaves 6 rigs as
		// they are, and with the mirror 16 (each half decides the other): by
		// Burnside's lemma (70 + 0 + 6 + 16) / 4 = 23 sets.
		{"both sides alike", func(p *Problem) { alikeSides(r, p) }, 23},
		// The turn alone: (70 + 6) / 2.
		{"one side each", func(p *Problem) { oneSided(r, p) }, 38},
		// The mirror alone: 70 / 2.
		{"both sides alike, one seat given", func(p *Problem) {
			alikeSides(r, p)
			p.Rules.Pins = []Pin{{"a01", 1}}
		}, 35},
		{"one side each, one seat given", func(p *Problem) {
			oneSided(r, p)
			p.Rules.Pins = []Pin{{"a01", 1}}
		}, 70},
	} {
		p := squadOf(r, class(t, "8+"), 12, 20)
		c.change(&p)
		q := newSquad(p)
		if got := len(q.families(q.limits(p.Rules), q.rigs())); got != c.want {
			t.Errorf("%s: %d sets of images, want %d", c.name, got, c.want)
		}
	}
}

// Folded, every line-up is listed once, on its own or as the image of one that
// comes before it by name.
func TestFoldedImagesAreAllThere(t *testing.T) {
	t.Parallel()
	folded := 0
	for seed := range cases(300) {
		p := symmetricProblem(t, rand.New(rand.NewPCG(seed, 37)))
		want := slowSolve(p)
		if len(want) == 0 {
			continue
		}
		got := mustSolve(t, p, Options{Count: len(want), Fold: true})
		cost := newSlow(p)
		seen := map[string]bool{}
		for _, l := range got.Lineups {
			last := l.Lineup
			seen[fmt.Sprint(last)] = true
			for _, image := range l.Images {
				folded++
				seen[fmt.Sprint(image)] = true
				if !comesBefore(last, image) {
					t.Errorf("%v comes before %v", last, image)
				}
				if total := cost.terms(image).Total(); !slowKeeps(p, image) || !near(total, l.Terms.Total()) {
					t.Errorf("%v, an image of %v, costs %v and not %v", image, l.Lineup, total, l.Terms.Total())
				}
				last = image
			}
		}
		if len(seen) != len(want) {
			t.Errorf("%d different line-ups of %d", len(seen), len(want))
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if folded < int(cases(1000)) {
		t.Errorf("only %d images were met", folded)
	}
}

// The bound of a proven answer is its best total to the last bit, also where
// that is of an image, whose terms add up in another order.
func TestProvenBoundIsTheBestTotal(t *testing.T) {
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 39))
		p := squadOf(r, class(t, "4-"), 5, 30)
		p.Weights = Weights{Likeness: 1e5}
		for i := range p.Candidates {
			p.Candidates[i].SideCost = map[rigging.Side]float64{stbd: float64(r.IntN(3)) / 4, port: float64(r.IntN(3)) / 4}
		}
		if got := mustSolve(t, p, Options{}); got.LowerBound != got.Lineups[0].Terms.Total() {
			t.Fatalf("seed %d: bound %v, total %v", seed, got.LowerBound, got.Lineups[0].Terms.Total())
		}
	}
}

// With everybody alike and nothing that tells seats apart, all line-ups tie and
// the names decide throughout: also between a line-up and the turn of another.
func TestTiesOfImagesGoByName(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(1, 39)), class(t, "4-"), 5, 0)
	p.Weights = Weights{}
	// With a side that is dearer to all, the turn alone makes images, and takes
	// two of the rigs to each other.
	for _, dearer := range []float64{0, 0.1} {
		for i := range p.Candidates {
			a := p.Candidates[0]
			a.ID, a.Name = p.Candidates[i].ID, p.Candidates[i].Name
			a.SideCost = map[rigging.Side]float64{port: 0, stbd: dearer}
			p.Candidates[i] = a
		}
		want := allByName(p)
		for _, count := range []int{1, 7, 40, 130} {
			for k, l := range mustSolve(t, p, Options{Count: count}).Lineups {
				if fmt.Sprint(l.Lineup) != fmt.Sprint(want[k]) {
					t.Fatalf("of %d, place %d has %v, want %v", count, k, l.Lineup, want[k])
				}
			}
		}
	}
}

// allByName lists every line-up of a sweep boat by name.
func allByName(p Problem) []selection.Lineup {
	var all []selection.Lineup
	every(p.Class.Rowers, len(p.Candidates), func(x []int) {
		for _, sides := range slowPatterns(p) {
			l := selection.Lineup{Sides: sides}
			for _, i := range x {
				l.Seats = append(l.Seats, p.Candidates[i].ID)
			}
			all = append(all, l)
		}
	})
	slices.SortFunc(all, func(a, b selection.Lineup) int {
		if comesBefore(a, b) {
			return -1
		}
		return 1
	})
	return all
}
