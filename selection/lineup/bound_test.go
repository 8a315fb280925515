package lineup

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// withMoments gives a task a moment term.
func withMoments(r *rand.Rand, t *task) {
	const dims = 3
	vector := make([]float64, t.items*dims)
	for k := range vector {
		vector[k] = r.NormFloat64()
	}
	t.gram = make([]float64, t.items*t.items)
	for i := range t.items {
		for j := range t.items {
			for d := range dims {
				t.gram[i*t.items+j] += vector[i*dims+d] * vector[j*dims+d]
			}
		}
	}
	for range t.seats {
		t.lever = append(t.lever, r.NormFloat64())
	}
}

func TestSearchWithMomentsAgreesWithBruteForce(t *testing.T) {
	t.Parallel()
	for seed := range cases(1500) {
		r := rand.New(rand.NewPCG(seed, 17))
		task := randomTask(r, false)
		withMoments(r, task)
		room := 1 + r.IntN(6)
		want, got := bruteForce(task, room), solveTask(task, room).board.list
		if len(got) != len(want) {
			t.Fatalf("seed %d: %d listed for %d", seed, len(got), len(want))
		}
		for k := range got {
			if !near(got[k].cost, want[k].cost) {
				t.Fatalf("seed %d: got %v\nwant %v", seed, got, want)
			}
		}
	}
}

// The rewriting of a node keeps the cost of every completion, and its bound
// is below all of them.
func TestRewritingKeepsEveryCost(t *testing.T) {
	t.Parallel()
	for seed := range cases(300) {
		r := rand.New(rand.NewPCG(seed, 19))
		task := randomTask(r, false)
		withMoments(r, task)
		clear(task.must) // their price is kept up to the crews that have them
		task.markMin, task.markMax, task.maxLoad = 0, task.seats, inf
		s := newSearcher(context.Background(), task.seats, task.items, 1)
		s.task = task
		n := s.root()
		if !s.assign(n) || !s.approach(n, 4) {
			continue
		}
		for k := range 4 {
			if task.seats > 1 && !s.sweep(n, k%2 == 1) {
				break
			}
			every(task.seats, task.items, func(x []int) { checkRewritten(t, s, n, x) })
			if t.Failed() {
				t.Fatalf("seed %d", seed)
			}
		}
	}
}

// checkRewritten compares an assignment's cost with what the node says.
func checkRewritten(t *testing.T, s *searcher, n *node, x []int) {
	t.Helper()
	want := s.task.cost(x)
	if math.IsInf(want, 1) {
		return
	}
	sum := n.lower
	chosen := map[int]bool{}
	for a, i := range x {
		chosen[i] = true
		for k, c := range n.dom[a] {
			if c == i {
				sum += n.un[a][k]
			}
		}
		for b := a + 1; b < len(x); b++ {
			sum += n.tab.pairOf(a, b)[i*s.task.items+x[b]]
		}
	}
	for j := range s.task.items {
		if chosen[j] || !n.alive[j] {
			continue
		}
		sum += n.bench[j]
		for a, i := range x {
			sum += n.tab.benchOf(a, i)[j]
		}
	}
	sum += s.task.rest(n.perLoad, box{sums(s.task.power, x), sums(s.task.power, x), sums(s.task.load, x), sums(s.task.load, x)})
	moment := s.task.pullOf(x, make([]float64, s.task.items)) - 2*s.task.along(x, n.at.pull) + n.at.norm
	if math.Abs(sum+moment-want) > 1e-9 {
		t.Errorf("%v costs %v, the node says %v", x, want, sum+moment)
	}
	if bound := n.lower + s.rest(n); bound > want+1e-9 {
		t.Errorf("%v costs %v, under the bound of %v", x, want, bound)
	}
}

func sums(v []float64, x []int) (sum float64) {
	for _, i := range x {
		sum += v[i]
	}
	return sum
}

// Prices never lift the bound over a completion that keeps the limits.
func TestPricesKeepTheBound(t *testing.T) {
	lifted := 0
	for seed := range cases(400) {
		r := rand.New(rand.NewPCG(seed, 23))
		task := randomTask(r, false)
		clear(task.pair)
		task.forbidRepeats()
		best := bruteForce(task, 1)
		s := newSearcher(context.Background(), task.seats, task.items, 1)
		s.task = task
		n := s.root()
		if len(best) == 0 || !s.assign(n) {
			continue
		}
		before := n.lower
		s.relax(n)
		if !s.assign(n) {
			t.Fatalf("seed %d: the prices closed the node", seed)
		}
		if n.lower > before+1e-9 {
			lifted++
		}
		if n.lower+s.rest(n) > best[0].cost+1e-9 {
			t.Fatalf("seed %d: bound %v over %v", seed, n.lower+s.rest(n), best[0].cost)
		}
	}
	if lifted < int(cases(20)) {
		t.Errorf("prices helped in %d cases only", lifted)
	}
}
