package lineup

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// every calls visit with each way to give seats different items.
func every(seats, items int, visit func(x []int)) {
	x := make([]int, 0, seats)
	var place func()
	place = func() {
		if len(x) == seats {
			visit(x)
			return
		}
		for i := range items {
			if !contains(x, i) {
				x = append(x, i)
				place()
				x = x[:len(x)-1]
			}
		}
	}
	place()
}

func contains(x []int, i int) bool { return slices.Contains(x, i) }

// bruteForce lists the best assignments of a task by trying them all.
func bruteForce(t *task, room int) []entry {
	var all []entry
	every(t.seats, t.items, func(x []int) {
		if c := t.cost(x); c < inf {
			all = append(all, entry{cost: c, x: slices.Clone(x)})
		}
	})
	slices.SortFunc(all, entry.compare)
	return all[:min(room, len(all))]
}

// randomTask draws a task with costs of either sign, forbidden values and
// pairs, limits on the load and the marks, and a concave rest. With coarse
// set the costs are small whole numbers, so that many assignments tie.
func randomTask(r *rand.Rand, coarse bool) *task {
	seats := 1 + r.IntN(5)
	items := seats + r.IntN(4)
	t := newTask(seats, items)
	draw := func() float64 {
		if coarse {
			return float64(r.IntN(3))
		}
		return r.NormFloat64()
	}
	forbid := 0.2 * r.Float64()
	for s := range seats {
		for i := range items {
			t.unary[s][i] = draw()
			if r.Float64() < forbid {
				t.unary[s][i] = inf
			}
		}
		for u := s + 1; u < seats; u++ {
			for k, v := range t.pairOf(s, u) {
				if v < inf {
					t.pairOf(s, u)[k] = draw()
				}
				if r.Float64() < forbid/2 {
					t.pairOf(s, u)[k] = inf
				}
			}
		}
	}
	limitRandomly(r, t)
	return t
}

func limitRandomly(r *rand.Rand, t *task) {
	for i := range t.items {
		t.load[i] = 60 + 30*r.Float64()
		t.power[i] = 300 + 100*r.Float64()
		t.marked[i] = r.IntN(2) == 0
		t.must[i] = r.IntN(8) == 0
	}
	if r.IntN(2) == 0 {
		t.maxLoad = float64(t.seats) * (68 + 10*r.Float64())
	}
	if r.IntN(2) == 0 {
		t.markMin = r.IntN(t.seats + 1)
		t.markMax = t.markMin + r.IntN(t.seats+1-t.markMin)
	}
	if r.IntN(2) == 0 {
		p := Pace{Distance: 2000, Efficiency: 0.74, Drag: 8, ReferenceMass: 400, MassExponent: 3 * r.Float64(), FixedMass: 60}
		t.rest = newTangent(p, 350*float64(t.seats), 75*float64(t.seats)).rest
	}
}

func solveTask(t *task, room int) *searcher {
	s := newSearcher(context.Background(), t.seats, t.items, room)
	s.run(t)
	return s
}

func TestSearchAgreesWithBruteForce(t *testing.T) {
	t.Parallel()
	for seed := range cases(4000) {
		r := rand.New(rand.NewPCG(seed, 7))
		task := randomTask(r, seed%4 == 0)
		room := 1 + r.IntN(12)
		want := bruteForce(task, room)
		got := solveTask(task, room).board.list
		if !slices.EqualFunc(got, want, func(a, b entry) bool { return a.compare(b) == 0 }) {
			t.Fatalf("seed %d (%d seats, %d items, %d wanted):\n got %v\nwant %v", seed, task.seats, task.items, room, got, want)
		}
	}
}
