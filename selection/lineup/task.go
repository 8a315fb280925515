package lineup

import "math"

var inf = math.Inf(1)

// task is a seat order in bare numbers: give every seat an item of its own so
// that
//
//	Σ_s unary[s][i_s] + Σ_{s<t} pair(s,t)[i_s·items+i_t]
//	  + Σ_{s,t} lever_s lever_t gram[i_s·items+i_t] + rest(Σ power, Σ load)
//
// is least; +Inf forbids. It is the quadratic assignment problem with more
// items than seats, and a little more. The third term is the square of a sum
// of vectors, one for each item, of which gram holds the products; it could
// be written as part of the first two, but is bounded better as what it is.
// The last is a function of two sums over the chosen items. Some items may be
// a must, the load and the number of those with a mark may be limited.
type task struct {
	seats, items int
	unary        [][]float64
	pair         []float64 // see pairOf

	lever []float64 // of each seat; nil when the third term is not there
	gram  []float64 // flat items × items, positive semidefinite

	power, load []float64 // of each item
	maxLoad     float64

	// rest is a lower bound over a box of sums of the last term less perLoad
	// times the load, and its value where the box is a point.
	rest func(perLoad float64, b box) float64

	must             []bool
	marked           []bool
	markMin, markMax int

	// halved reports that of an assignment and its turn end for end, which cost
	// the same, only one is allowed.
	halved bool

	// cost is what an assignment is listed with, never below what the four
	// terms add up to but for rounding; +Inf when a rule forbids it.
	cost func(x []int) float64
}

// box is where the sums of a crew lie.
type box struct{ powerLo, powerHi, loadLo, loadHi float64 }

// newTask returns a task without costs or limits in which no item takes two
// seats.
func newTask(seats, items int) *task {
	t := &task{
		seats: seats, items: items,
		unary: make([][]float64, seats),
		pair:  make([]float64, seats*(seats-1)/2*items*items),
		power: make([]float64, items), load: make([]float64, items), maxLoad: inf,
		rest: func(perLoad float64, b box) float64 { return -max(perLoad*b.loadLo, perLoad*b.loadHi) },
		must: make([]bool, items), marked: make([]bool, items), markMax: seats,
	}
	t.cost = t.sum
	for s := range seats {
		t.unary[s] = make([]float64, items)
	}
	t.forbidRepeats()
	return t
}

// forbidRepeats lets no item take two seats.
func (t *task) forbidRepeats() {
	for s := range t.seats {
		for u := s + 1; u < t.seats; u++ {
			for i := range t.items {
				t.pairOf(s, u)[i*t.items+i] = inf
			}
		}
	}
}

// pairOf returns the pair costs of seats s < u, flat items × items.
func (t *task) pairOf(s, u int) []float64 {
	return t.pair[triangle(s, u, t.seats)*t.items*t.items:][:t.items*t.items]
}

// triangle numbers the pairs a < b of n.
func triangle(a, b, n int) int { return a*(2*n-a-1)/2 + b - a - 1 }

// sum is the cost of an assignment by the four terms, +Inf when forbidden.
func (t *task) sum(x []int) float64 {
	var sum, power, load float64
	for s, i := range x {
		sum += t.unary[s][i]
		power += t.power[i]
		load += t.load[i]
		for u := s + 1; u < len(x); u++ {
			sum += t.pairOf(s, u)[i*t.items+x[u]]
		}
	}
	if !t.allows(x) {
		return inf
	}
	if t.lever != nil {
		sum += t.pullOf(x, make([]float64, t.items))
	}
	return sum + t.rest(0, box{power, power, load, load})
}

// permits reports whether an assignment keeps every rule.
func (t *task) permits(x []int) bool {
	for s, i := range x {
		if t.unary[s][i] == inf {
			return false
		}
		for u := s + 1; u < len(x); u++ {
			if t.pairOf(s, u)[i*t.items+x[u]] == inf {
				return false
			}
		}
	}
	return t.allows(x)
}

// allows reports whether an assignment keeps the rules about the whole crew.
func (t *task) allows(x []int) bool {
	marks, musts := 0, 0
	var load float64
	for _, i := range x {
		load += t.load[i]
		if t.marked[i] {
			marks++
		}
		if t.must[i] {
			musts++
		}
	}
	for _, m := range t.must {
		if m {
			musts--
		}
	}
	return musts == 0 && load <= t.maxLoad+loadSlack && marks >= t.markMin && marks <= t.markMax
}

// loadSlack is the rounding a summed load may carry, in kg; numerical: far above
// the last bits of a sum of masses, far below what scales show.
const loadSlack = 1e-9
