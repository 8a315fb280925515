package lineup

import (
	"math"
	"slices"
)

// limits are the rules in the numbers of a squad.
type limits struct {
	allowed         [][]bool // [seat][athlete]
	must            []bool
	apart, adjacent [][2]int
	never           [][2]int
	maxLoad         float64 // kg, summed
	womenMin        int
	womenMax        int
}

// limits translates rules that have passed check.
func (q *squad) limits(r Rules) *limits {
	n := len(q.athletes)
	l := &limits{must: make([]bool, n), maxLoad: math.Inf(1)}
	for s := range q.seats {
		l.allowed = append(l.allowed, make([]bool, n))
		for i := range n {
			l.allowed[s][i] = r.MaxMass == 0 || q.mass[i] <= r.MaxMass+loadSlack
		}
	}
	for _, id := range r.Must {
		l.must[q.index[id]] = true
	}
	for _, id := range r.Out {
		l.forbid(q.index[id])
	}
	for _, p := range r.Pins {
		l.pin(q.index[p.ID], p.Seat-1)
	}
	l.apart, l.adjacent, l.never = q.pairs(r.Apart), q.pairs(r.Adjacent), q.pairs(r.Never)
	if r.MeanMass > 0 {
		l.maxLoad = r.MeanMass * float64(q.seats)
	}
	l.womenMin, l.womenMax = r.women(q.seats)
	return l
}

// women returns the least and greatest number of women in a crew.
func (r Rules) women(seats int) (least, most int) {
	least, most = r.WomenMin, seats-r.MenMin
	if r.MenMax != nil {
		least = max(least, seats-*r.MenMax)
	}
	if r.WomenMax != nil {
		most = min(most, *r.WomenMax)
	}
	return least, most
}

func (l *limits) forbid(i int) {
	for s := range l.allowed {
		l.allowed[s][i] = false
	}
}

func (l *limits) pin(i, seat int) {
	l.must[i] = true
	for s := range l.allowed {
		for j := range l.allowed[s] {
			if (s == seat) != (j == i) {
				l.allowed[s][j] = false
			}
		}
	}
}

// pairLists returns the limits on pairs with their kinds.
func (l *limits) pairLists(yield func(RuleKind, [][2]int) bool) {
	_ = yield(RuleApart, l.apart) && yield(RuleAdjacent, l.adjacent) && yield(RuleNever, l.never)
}

func (q *squad) pairs(of []Pair) [][2]int {
	var out [][2]int
	for _, p := range of {
		out = append(out, [2]int{q.index[p.First], q.index[p.Second]})
	}
	return out
}

// constrainSeats writes the limits but those on pairs into a task: +Inf where
// somebody must not sit.
func (q *squad) constrainSeats(t *task, l *limits, r *rig) {
	copy(t.must, l.must)
	copy(t.load, q.mass)
	t.maxLoad, t.markMin, t.markMax = l.maxLoad, l.womenMin, l.womenMax
	for i, a := range q.athletes {
		t.marked[i] = a.Female
	}
	for s := range t.seats {
		for i := range t.items {
			if !l.allowed[s][i] || q.sweep() && !q.canRow(i, r.sides[s]) {
				t.unary[s][i] = inf
			}
		}
	}
}

// constrainPairs writes the limits on pairs: +Inf for two that must not have
// these seats.
func (q *squad) constrainPairs(t *task, l *limits) {
	for s := range t.seats {
		for u := s + 1; u < t.seats; u++ {
			next := u == s+1
			t.separate(s, u, l.never, true)
			t.separate(s, u, l.apart, next)
			t.separate(s, u, l.adjacent, !next)
		}
	}
}

// separate forbids the pairs in seats s and u, when the rule applies to them.
func (t *task) separate(s, u int, pairs [][2]int, applies bool) {
	if !applies {
		return
	}
	for _, p := range pairs {
		t.pairOf(s, u)[p[0]*t.items+p[1]] = inf
		t.pairOf(s, u)[p[1]*t.items+p[0]] = inf
	}
}

// somewhere reports whether athlete i is allowed in any seat.
func (l *limits) somewhere(i int) bool { return somewhere(l.allowed, i) }

// somewhere reports whether [seat][athlete] allows athlete i in any seat.
func somewhere(allowed [][]bool, i int) bool {
	return slices.ContainsFunc(allowed, func(seat []bool) bool { return seat[i] })
}
