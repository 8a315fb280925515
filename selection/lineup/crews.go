package lineup

import (
	"cmp"
	"math"
	"slices"

	"thole/rigging"
)

// A limit on the mass, a quota or a rule on a pair leaves gaps that no price
// closes, and then a search that decides seat by seat meets the same crew in
// very many orders before it sees that the crew will not do. Where power and
// mass rank crews, it is better to list the crews first that may be worth
// it, by what the pace costs and the least that any order of theirs does, and to
// order each for itself. Where they do not, there are too many such crews, and
// the search over seats does it.

// crews lists the crews that may be worth ordering.
type crews struct {
	q      *squad
	l      *limits
	tan    tangent
	base   []float64 // [athlete] the least that any seat and side costs
	value  []float64 // [athlete] base and the linear part of the pace, s
	order  []int     // athletes by value, those that must row first
	forced int       // how many these are

	// By place in order and number of rowers wanted from there on: the least
	// and most that they sum to, and how many women there are.
	power, mass [2][][]float64
	women       []int

	bound [2][]bool // [starboard, port][athlete] who rows that side alone
	room  [2]int    // seats of each side
	taken [2]int    // by those bound to it

	shift   float64     // s/kg, of the tangent
	weights [][]float64 // kinship of every kind of rig, descending
	limit   float64
	nodes   int
	list    []crewBound
	crew    []int
	over    bool
}

// crewBound is a crew, ascending, with the least that any order of it costs.
type crewBound struct {
	crew  []int
	lower float64
}

// Limits of the list, beyond which the crews are not kept apart enough and the
// search over seats is the faster (engineering judgement, by the benchmarks of
// Solve).
const (
	mostCrews     = 2000
	mostCrewNodes = 50_000
)

// newCrews prepares the list; nil when nobody or not enough may row.
func (q *squad) newCrews(l *limits, families []family, tan tangent) *crews {
	n := len(q.athletes)
	c := &crews{q: q, l: l, tan: tan, base: make([]float64, n), value: make([]float64, n)}
	for i := range n {
		if c.base[i] = q.cheapest(l, families, i); c.base[i] == inf {
			continue
		}
		c.order = append(c.order, i)
		if l.must[i] {
			c.forced++
		}
	}
	if len(c.order) < q.seats || c.forced > q.seats {
		return nil
	}
	c.sides(families[0].rig)
	c.sortBy(0)
	c.steepen()
	c.kin(families)
	return c
}

// sides notes who is bound to a side, and the seats there, which are as many in
// every rig.
func (c *crews) sides(r *rig) {
	for k, side := range []rigging.Side{rigging.Starboard, rigging.Port} {
		c.room[k] = count(r.sides, side)
		for i := range c.q.athletes {
			c.bound[k] = append(c.bound[k], c.q.sweep() && !c.q.canRow(i, side.Other()))
		}
	}
}

// cheapest is the least that any seat and side costs athlete i, +Inf when there
// is none for them.
func (q *squad) cheapest(l *limits, families []family, i int) float64 {
	least := inf
	for _, f := range families {
		for s := range q.seats {
			if !l.allowed[s][i] {
				continue
			}
			cost := q.seatCost[s*len(q.power)+i]
			if q.sweep() {
				cost += q.sideCost(i, f.rig.sides[s])
			}
			least = min(least, cost)
		}
	}
	return least
}

// sortBy orders the athletes by value with a shift of the tangent, and sums up
// what follows from that.
func (c *crews) sortBy(shift float64) {
	q := c.q
	c.shift = shift
	for _, i := range c.order {
		c.value[i] = c.base[i] + c.tan.perPower*q.power[i] + (c.tan.perMass+shift)*q.mass[i]
	}
	slices.SortFunc(c.order, func(i, j int) int {
		if c.l.must[i] != c.l.must[j] {
			if c.l.must[i] {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(c.value[i], c.value[j]), i-j)
	})
	c.power, c.mass = c.sums(q.power), c.sums(q.mass)
	c.women = make([]int, len(c.order)+1)
	for k := len(c.order) - 1; k >= 0; k-- {
		c.women[k] = c.women[k+1]
		if q.athletes[c.order[k]].Female {
			c.women[k]++
		}
	}
}

// sums returns the least and most that so many athletes sum to, by place and
// number.
func (c *crews) sums(of []float64) (out [2][][]float64) {
	var tail []float64 // ascending
	for end := range out {
		out[end] = make([][]float64, len(c.order)+1)
	}
	for k := len(c.order); k >= 0; k-- {
		if k < len(c.order) {
			v := of[c.order[k]]
			at, _ := slices.BinarySearch(tail, v)
			tail = slices.Insert(tail, at, v)
		}
		least, most := make([]float64, c.q.seats+1), make([]float64, c.q.seats+1)
		for m := 1; m <= c.q.seats; m++ {
			least[m], most[m] = inf, -inf
			if m <= len(tail) {
				least[m], most[m] = least[m-1]+tail[m-1], most[m-1]+tail[len(tail)-m]
			}
		}
		out[0][k], out[1][k] = least, most
	}
	return out
}

// steepen shifts the tangent to where the bound of all crews is best.
func (c *crews) steepen() {
	best, keep := c.rootBound(), 0.0
	for step := 0.25; step > 1e-4; step /= 2 {
		for _, by := range []float64{step, -step} {
			c.sortBy(keep + by)
			if v := c.rootBound(); v > best {
				best, keep = v, keep+by
				break
			}
		}
	}
	c.sortBy(keep)
}

// rootBound bounds every crew.
func (c *crews) rootBound() float64 {
	sum := 0.0
	for _, i := range c.order[:c.q.seats] {
		sum += c.value[i]
	}
	return sum + c.rest(0, 0, 0, c.q.seats)
}

// rest bounds what the pace has over its tangent for crews of a power and a
// mass so far, and need more from place k on; +Inf when they are too heavy.
func (c *crews) rest(power, mass float64, k, need int) float64 {
	b := box{
		power + c.power[0][k][need], power + c.power[1][k][need],
		mass + c.mass[0][k][need], mass + c.mass[1][k][need],
	}
	if b.loadLo > c.l.maxLoad+loadSlack {
		return inf
	}
	b.loadHi = min(b.loadHi, c.l.maxLoad)
	return c.tan.rest(c.shift, b)
}

// kin fills the different tables of kinship, largest weights first, that the rigs have.
func (c *crews) kin(families []family) {
	for _, f := range families {
		var w []float64
		for s := range f.rig.kinship {
			w = append(w, f.rig.kinship[s][s+1:]...)
		}
		slices.SortFunc(w, func(a, b float64) int { return cmp.Compare(b, a) })
		if !slices.ContainsFunc(c.weights, func(v []float64) bool { return slices.Equal(v, w) }) {
			c.weights = append(c.weights, w)
		}
	}
}

// upTo lists the crews of which some order may cost up to limit, the most
// promising first; ok is false when there are too many.
func (c *crews) upTo(limit float64) (list []crewBound, ok bool) {
	c.limit, c.list, c.nodes, c.over = limit, nil, 0, false
	c.crew = c.crew[:0]
	c.choose(0, 0, 0, 0, 0)
	slices.SortFunc(c.list, func(a, b crewBound) int {
		return cmp.Or(cmp.Compare(a.lower, b.lower), slices.Compare(a.crew, b.crew))
	})
	return c.list, !c.over
}

// choose takes athletes from place k on into the crew, whose sums are given.
func (c *crews) choose(k int, value, power, mass float64, women int) {
	need := c.q.seats - len(c.crew)
	if need == 0 {
		c.note(power, mass, women)
		return
	}
	for ; k+need <= len(c.order) && !c.over; k++ {
		c.nodes++
		c.over = c.nodes > mostCrewNodes || len(c.list) > mostCrews
		least := value
		for _, i := range c.order[k : k+need] {
			least += c.value[i]
		}
		if least+c.rest(power, mass, 0, need) > c.limit {
			return // what follows has no better values
		}
		if women+c.women[k] < c.l.womenMin {
			return
		}
		i := c.order[k]
		w := women
		if c.q.athletes[i].Female {
			w++
		}
		if least+c.rest(power, mass, k, need) <= c.limit && w <= c.l.womenMax && !c.barred(i) {
			c.take(i, 1)
			c.choose(k+1, value+c.value[i], power+c.q.power[i], mass+c.q.mass[i], w)
			c.take(i, -1)
		}
		if k < c.forced {
			return // nobody who must row is left out
		}
	}
}

// take puts athlete i into the crew (by 1) or out again (by −1).
func (c *crews) take(i, by int) {
	if by > 0 {
		c.crew = append(c.crew, i)
	} else {
		c.crew = c.crew[:len(c.crew)-1]
	}
	for k := range c.bound {
		if c.bound[k][i] {
			c.taken[k] += by
		}
	}
}

// barred reports whether athlete i never rows with one of the crew, or is bound
// to a side that is full.
func (c *crews) barred(i int) bool {
	for k := range c.bound {
		if c.bound[k][i] && c.taken[k] == c.room[k] {
			return true
		}
	}
	return slices.ContainsFunc(c.l.never, func(p [2]int) bool {
		return p[0] == i && slices.Contains(c.crew, p[1]) || p[1] == i && slices.Contains(c.crew, p[0])
	})
}

// note lists the crew when an order of it may cost little enough.
func (c *crews) note(power, mass float64, women int) {
	if women < c.l.womenMin || mass > c.l.maxLoad+loadSlack {
		return
	}
	lower := c.q.p.Pace.Time(power, mass)
	for _, i := range c.crew {
		lower += c.base[i]
	}
	if lower > c.limit {
		return
	}
	if lower += c.leastUnlike(); lower <= c.limit {
		crew := slices.Sorted(slices.Values(c.crew))
		c.list = append(c.list, crewBound{crew, lower})
	}
}

// leastUnlike is no more than any order of the crew costs in likeness: the
// closest seats for the pairs that are most alike.
func (c *crews) leastUnlike() float64 {
	if c.q.p.Weights.Likeness == 0 {
		return 0
	}
	var apart []float64
	n := len(c.q.athletes)
	for a, i := range c.crew {
		for _, j := range c.crew[:a] {
			apart = append(apart, c.q.distance[i*n+j])
		}
	}
	slices.Sort(apart)
	least := inf
	for _, w := range c.weights {
		least = min(least, dot(w, apart))
	}
	return c.q.p.Weights.Likeness * least
}

// crewsFirst searches crew by crew; done is false when there are too many of
// them, or too little to compare them with. The board then has what was found
// so far.
func (s *searcher) crewsFirst(q *squad, l *limits, families []family) (done bool) {
	if s.limit() == inf {
		return false
	}
	tan := q.firstTangent()
	if len(s.board.list) > 0 {
		tan = newTangentAt(q, s.board.list[0].x)
	}
	c := q.newCrews(l, families, tan)
	if c == nil {
		return false
	}
	known, reached := max(s.lower(), c.rootBound()), math.Inf(-1)
	s.forget()
	s.floor = known
	// The crews that promise most come first, and soon leave less to beat.
	for part := 1.0 / 16; reached < s.limit(); part *= 2 {
		to := s.limit()
		if part < 1 {
			to = known + part*(to-known)
		}
		list, ok := c.upTo(to)
		if !ok {
			return false
		}
		if !s.orderCrews(q, l, families, list, reached) {
			return true
		}
		reached, s.floor = to, max(s.floor, to)
	}
	return true
}

// orderCrews searches all orders of the crews of a list, but those bounded by
// done or less; false when it was stopped.
func (s *searcher) orderCrews(q *squad, l *limits, families []family, list []crewBound, done float64) bool {
	for _, one := range list {
		if one.lower <= done {
			continue
		}
		if one.lower > s.limit() {
			break
		}
		if s.floor = max(s.floor, one.lower); !s.orderCrew(q, l, families, one.crew) {
			return false
		}
	}
	return true
}

// orderCrew searches all orders of one crew; false when it was stopped.
func (s *searcher) orderCrew(q *squad, l *limits, families []family, crew []int) bool {
	o := newSearcher(s.ctx, q.seats, q.seats, s.board.room)
	o.board, o.fold, o.items, o.most, o.rivals = s.board, s.fold, crew, s.most-s.nodes, s.rivals
	if s.report != nil {
		s.report(s.nodes, s.best(), s.lower())
		o.report = func(nodes int, best, _ float64) { s.report(s.nodes+nodes, best, s.lower()) }
	}
	q.of(crew).joint(o, l.of(crew), families)
	s.nodes += o.nodes
	s.over = o.over
	return !s.over
}

// of returns the squad of the athletes of a crew alone; they keep their order
// and their strength against the mean of all.
func (q *squad) of(crew []int) *squad {
	out := *q
	n, m := len(q.athletes), len(crew)
	out.athletes, out.power, out.mass = nil, nil, nil
	out.seatCost, out.distance, out.gram = make([]float64, q.seats*m), make([]float64, m*m), make([]float64, m*m)
	for a, i := range crew {
		out.athletes = append(out.athletes, q.athletes[i])
		out.power, out.mass = append(out.power, q.power[i]), append(out.mass, q.mass[i])
		for s := range q.seats {
			out.seatCost[s*m+a] = q.seatCost[s*n+i]
		}
		for b, j := range crew {
			out.distance[a*m+b], out.gram[a*m+b] = q.distance[i*n+j], q.gram[i*n+j]
		}
	}
	return &out
}

// of returns the limits on the seats of a crew that keeps the others.
func (l *limits) of(crew []int) *limits {
	out := &limits{must: make([]bool, len(crew)), maxLoad: inf, womenMax: len(crew)}
	for _, allowed := range l.allowed {
		seat := make([]bool, len(crew))
		for a, i := range crew {
			seat[a] = allowed[i]
		}
		out.allowed = append(out.allowed, seat)
	}
	of := func(pairs [][2]int) (kept [][2]int) {
		for _, p := range pairs {
			if a, b := slices.Index(crew, p[0]), slices.Index(crew, p[1]); a >= 0 && b >= 0 {
				kept = append(kept, [2]int{a, b})
			}
		}
		return kept
	}
	out.apart, out.adjacent, out.never = of(l.apart), of(l.adjacent), of(l.never)
	return out
}
