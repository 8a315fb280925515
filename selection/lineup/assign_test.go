package lineup

import (
	"math"
	"math/rand/v2"
	"testing"
)

// slowAssign tries every assignment.
func slowAssign(cost []float64, rows, cols int) float64 {
	best := inf
	every(rows, cols, func(x []int) {
		var sum float64
		for r, c := range x {
			sum += cost[r*cols+c]
		}
		best = min(best, sum)
	})
	return best
}

func randomCosts(r *rand.Rand, rows, cols int) []float64 {
	cost := make([]float64, rows*cols)
	forbid := r.Float64() / 2
	for k := range cost {
		cost[k] = r.NormFloat64()
		if r.IntN(3) == 0 {
			cost[k] = float64(r.IntN(3))
		}
		if r.Float64() < forbid {
			cost[k] = inf
		}
	}
	return cost
}

func TestAssignmentIsTheCheapest(t *testing.T) {
	a := newAssigner(6, 8)
	for seed := range cases(2000) {
		r := rand.New(rand.NewPCG(seed, 2))
		rows := 1 + r.IntN(5)
		cols := rows + r.IntN(3)
		cost := randomCosts(r, rows, cols)
		want := slowAssign(cost, rows, cols)
		got, ok := a.solve(cost, rows, cols)
		if ok != (want < inf) || ok && math.Abs(got-want) > 1e-12 {
			t.Fatalf("seed %d: %v, %v, the cheapest is %v", seed, got, ok, want)
		}
		if ok {
			checkDuals(t, a, cost, rows, cols, got)
		}
	}
}

// checkDuals wants a certificate: duals that prove the total.
func checkDuals(t *testing.T, a *assigner, cost []float64, rows, cols int, total float64) {
	t.Helper()
	var sum float64
	for r := range rows {
		sum += a.u[r]
		for c := range cols {
			if cost[r*cols+c]-a.u[r]-a.v[c] < -1e-12 {
				t.Fatalf("the reduced cost at %d, %d is negative", r, c)
			}
		}
	}
	for c := range cols {
		sum += a.v[c]
		if a.v[c] > 1e-12 {
			t.Fatalf("column %d has a positive dual", c)
		}
	}
	if math.Abs(sum-total) > 1e-12 {
		t.Fatalf("the duals sum to %v, the total is %v", sum, total)
	}
}

func TestAssignmentWithoutEnoughColumns(t *testing.T) {
	cost := []float64{1, 2, 3, 4, 5, 6}
	if _, ok := newAssigner(3, 2).solve(cost, 3, 2); ok {
		t.Error("three rows were given two columns")
	}
}
