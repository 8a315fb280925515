package lineup

import (
	"context"
	"fmt"
	"math"
	"slices"

	"thole/rigging"
	"thole/selection"
)

// Aim is what two boats from one squad are to do.
type Aim string

// The aims. What a boat gives up is how far its line-up is behind the best that
// the whole squad could give it; of two boats of one class that is the slower
// one's time but for a constant.
const (
	AimFirst  Aim = "first"  // the first boat as fast as can be, the second with who is left
	AimSlower Aim = "slower" // the boat that gives up more gives up as little as can be
	AimSum    Aim = "sum"    // both together give up as little as can be
)

// TwoOptions steer [Two].
type TwoOptions struct {
	Aim Aim

	// Progress, when given, is called from time to time.
	Progress func(TwoProgress)
}

// TwoProgress reports how far a search for two boats has come.
type TwoProgress struct {
	Nodes      int
	Found      bool    // whether there are two line-ups by now
	Best       float64 // s, what the aim makes least; +Inf before the first
	LowerBound float64 // s, no two line-ups do better
}

// TwoResult is the answer of [Two].
type TwoResult struct {
	Found   bool // two line-ups; false only for a search that was cancelled
	Lineups [2]Scored
	Alone   [2]float64 // s, of the best line-up that the whole squad could give each boat
	GivenUp [2]float64 // s, by which each line-up is behind that

	// Value is what the aim makes least, s: the first boat's share of GivenUp, the
	// greater or the sum. No two line-ups do better than LowerBound; Proven
	// reports that Value does not lie above it by more than Certain.
	Value      float64
	LowerBound float64
	Proven     bool
	Nodes      int // of the search, a measure of the work
}

// Certain is how near to its bound a value counts as proven, in s: far below
// what a clock shows (engineering judgement).
const Certain = 1e-6

// NotBothError says that a squad fills each of two boats and not both at once.
type NotBothError struct {
	Need, Have int // athletes, where there are too few for the seats; else 0
}

// Error reports what is short.
func (e *NotBothError) Error() string {
	if e.Need > 0 {
		return fmt.Sprintf("%d rowers are needed for both boats and %d may row", e.Need, e.Have)
	}
	return "the squad fills each boat, but not both at once"
}

// Two finds line-ups for two boats from one squad at once. Both problems have the
// same candidates; who must row in one boat does not row in the other. Errors are
// [rigging.FieldErrors], a [*ConflictError] of one boat and a [*NotBothError].
// When ctx is cancelled it returns what it has with the bound it has proven and
// no error.
func Two(ctx context.Context, first, second Problem, o TwoOptions) (TwoResult, error) {
	w, err := newTwo(ctx, first, second, o)
	if err != nil {
		return TwoResult{}, err
	}
	if err := w.alone(); err != nil {
		return TwoResult{}, err
	}
	if o.Aim == AimFirst {
		w.priority()
	} else {
		w.balance()
	}
	if w.found == nil && w.ended {
		return TwoResult{}, w.short()
	}
	return w.result(), nil
}

// two is the search for two boats.
type two struct {
	ctx   context.Context
	aim   Aim
	boats [2]*boatSearch
	n     int       // candidates
	start [2]strict // by the rules of the other boat
	nodes int
	lower float64
	ended bool // the search came to its end
	found *duo
	value float64 // of found
	tell  func(TwoProgress)
}

// boatSearch is one of the boats.
type boatSearch struct {
	q     *squad
	rigs  []*rig
	price []float64 // s, on each athlete
	alone float64
	work  arena
}

// strict holds who must row and who must not beyond the rules, ascending by
// athlete: 1, −1, or 0.
type strict []int8

// duo are two line-ups that share nobody.
type duo struct {
	crew [2][]int
	rig  [2]*rig
}

func newTwo(ctx context.Context, first, second Problem, o TwoOptions) (*two, error) {
	w := &two{ctx: ctx, aim: o.Aim, lower: -inf, value: inf, tell: o.Progress}
	for k, p := range []Problem{first, second} {
		q, err := prepare(p)
		if err != nil {
			return nil, err
		}
		w.boats[k] = &boatSearch{q: q, rigs: q.rigs(), price: make([]float64, len(q.athletes))}
	}
	w.n = len(w.boats[0].q.athletes)
	same := func(a, b selection.Athlete) bool { return a.ID == b.ID }
	if !slices.EqualFunc(w.boats[0].q.athletes, w.boats[1].q.athletes, same) {
		panic("lineup: two boats of different squads")
	}
	if !slices.Contains([]Aim{AimFirst, AimSlower, AimSum}, o.Aim) {
		panic("lineup: unknown aim " + string(o.Aim))
	}
	return w, w.apart()
}

// apart keeps who must row in one boat out of the other.
func (w *two) apart() error {
	var errs rigging.FieldErrors
	w.start = [2]strict{make(strict, w.n), make(strict, w.n)}
	for k, b := range w.boats {
		for i := range w.n {
			if id := b.q.athletes[i].ID; !b.q.p.Rules.mustRow(id) {
				continue
			} else if k == 1 && w.boats[0].q.p.Rules.mustRow(id) {
				errs = append(errs, selection.ErrorAt(rigging.PlaceOf(selection.FieldRules, selection.FieldMust), rigging.ProblemMismatch, "%s has to row in both boats", calledBy(b.q.athletes[i])))
			}
			w.start[1-k][i] = -1
		}
	}
	if len(errs) > 0 {
		return errs
	}
	return nil
}

// alone finds the best line-up that the squad could give each boat; an error when
// there is none.
func (w *two) alone() error {
	for _, b := range w.boats {
		found := b.best(w.ctx, make(strict, w.n))
		w.nodes += found.nodes
		if len(found.list) == 0 && found.proven {
			return b.q.conflict(w.ctx)
		}
		b.alone = found.lower
		if found.proven {
			b.alone = found.list[0].cost
		}
	}
	return nil
}

// best finds the best line-up of the boat within strict, under its prices.
func (b *boatSearch) best(ctx context.Context, s strict) outcome {
	return b.within(ctx, s, math.MaxInt)
}

// within is best with so many nodes at the most.
func (b *boatSearch) within(ctx context.Context, s strict, nodes int) outcome {
	l := b.q.limits(b.q.p.Rules)
	for i, v := range s {
		switch {
		case v > 0:
			l.must[i] = true
		case v < 0:
			l.forbid(i)
		}
	}
	if !l.fits(b.q.seats) {
		return outcome{rigs: b.rigs, lower: inf, proven: true}
	}
	search := b.work.searcher(ctx, b.q, 1)
	search.most = nodes
	return b.priced().searchWith(search, l, b.rigs)
}

// priced is the boat's squad with the price of each athlete on every seat.
func (b *boatSearch) priced() *squad {
	q := *b.q
	n := len(q.athletes)
	q.seatCost = slices.Clone(q.seatCost)
	for s := range q.seats {
		for i, price := range b.price {
			q.seatCost[s*n+i] += price
		}
	}
	return &q
}

// arena is the work space of one search after the other.
type arena struct{ last *searcher }

// searcher returns a searcher for a squad's line-ups, with a board of so much room.
func (a *arena) searcher(ctx context.Context, q *squad, room int) *searcher {
	s := newSearcher(ctx, q.seats, len(q.athletes), room)
	if a.last != nil {
		s.bounder, s.levels, s.scratch = a.last.bounder, a.last.levels, a.last.scratch
		s.limitBy()
		s.forget()
	}
	a.last = s
	return s
}

// cost is what a line-up of the boat costs, s.
func (b *boatSearch) cost(crew []int, r *rig) float64 { return b.q.terms(crew, r).Total() }

// judge is what the aim makes least, of the costs of two line-ups.
func (w *two) judge(cost [2]float64) float64 {
	up := [2]float64{cost[0] - w.boats[0].alone, cost[1] - w.boats[1].alone}
	switch w.aim {
	case AimFirst:
		return up[0]
	case AimSlower:
		return max(up[0], up[1])
	}
	return up[0] + up[1]
}

// worth is what the aim makes least, of two line-ups.
func (w *two) worth(d *duo) float64 {
	return w.judge([2]float64{w.boats[0].cost(d.crew[0], d.rig[0]), w.boats[1].cost(d.crew[1], d.rig[1])})
}

// keep notes two line-ups if they are the best so far.
func (w *two) keep(d *duo) bool {
	if v := w.worth(d); v < w.value-tie {
		w.found, w.value = d, v
		return true
	}
	return false
}

// progress reports how far the search has come.
func (w *two) progress() {
	if w.tell != nil {
		w.tell(TwoProgress{Nodes: w.nodes, Found: w.found != nil, Best: w.value, LowerBound: min(w.lower, w.value)})
	}
}

// priority finds the first boat's best line-up that leaves the second boat a crew,
// and the second's best of who is left.
func (w *two) priority() {
	first, second := w.boats[0], w.boats[1]
	todo := []twoSet{w.set(w.start[0])}
	for len(todo) > 0 && w.ctx.Err() == nil {
		k := leastSet(todo)
		set := todo[k]
		todo = slices.Delete(todo, k, k+1)
		if !set.proven {
			return
		}
		if set.crew == nil {
			continue
		}
		w.lower = set.cost - first.alone
		found := second.best(w.ctx, w.without(set.crew))
		w.nodes += found.nodes
		if len(found.list) > 0 {
			d := &duo{[2][]int{set.crew, found.list[0].x}, [2]*rig{set.rig, second.rigs[found.list[0].order]}}
			w.found, w.value, w.ended = d, w.worth(d), found.proven
			return
		}
		if !found.proven {
			return
		}
		for _, s := range set.split(first.q) {
			todo = append(todo, w.set(s))
		}
		w.progress()
	}
	w.ended = len(todo) == 0 && w.ctx.Err() == nil
}

// without lets the second boat have none of the first's crew.
func (w *two) without(crew []int) strict {
	s := slices.Clone(w.start[1])
	for _, i := range crew {
		s[i] = -1
	}
	return s
}

// twoSet are the first boat's crews within strict, with the best of them.
type twoSet struct {
	strict strict
	crew   []int // nil when there is none
	rig    *rig
	cost   float64
	proven bool
}

func (w *two) set(s strict) twoSet {
	b := w.boats[0]
	found := b.best(w.ctx, s)
	w.nodes += found.nodes
	out := twoSet{strict: s, cost: found.lower, proven: found.proven}
	if len(found.list) > 0 {
		out.crew, out.rig, out.cost = found.list[0].x, b.rigs[found.list[0].order], found.list[0].cost
	}
	return out
}

// split sorts the crews of a set but its best into sets.
func (t *twoSet) split(q *squad) (sets []strict) {
	with := t.strict
	for _, i := range q.byWorth(t.crew) {
		if t.strict[i] > 0 {
			continue
		}
		without := slices.Clone(with)
		without[i] = -1
		sets = append(sets, without)
		with = slices.Clone(with)
		with[i] = 1
	}
	return sets
}

func leastSet(sets []twoSet) int {
	least := 0
	for k := range sets {
		if sets[k].cost < sets[least].cost {
			least = k
		}
	}
	return least
}

// short reports what is short where no two line-ups share nobody.
func (w *two) short() error {
	need, have := w.boats[0].q.seats+w.boats[1].q.seats, 0
	for i := range w.n {
		if w.boats[0].open(i) || w.boats[1].open(i) {
			have++
		}
	}
	if have < need {
		return &NotBothError{need, have}
	}
	return &NotBothError{}
}

// open reports whether athlete i may row in the boat.
func (b *boatSearch) open(i int) bool {
	l := b.q.limits(b.q.p.Rules)
	for s := range b.q.seats {
		if l.allowed[s][i] && (!b.q.sweep() || len(b.q.athletes[i].SideCost) > 0) {
			return true
		}
	}
	return false
}

// result writes out what was found.
func (w *two) result() TwoResult {
	r := TwoResult{Nodes: w.nodes, Value: w.value, LowerBound: min(w.lower, w.value)}
	if w.ended {
		r.LowerBound = max(r.LowerBound, w.value-Certain)
	}
	r.Proven = w.found != nil && w.ended && r.Value-r.LowerBound <= Certain
	for k, b := range w.boats {
		r.Alone[k] = b.alone
		if w.found != nil {
			r.Found = true
			r.Lineups[k] = b.q.scored(w.found.crew[k], w.found.rig[k])
			r.GivenUp[k] = r.Lineups[k].Terms.Total() - b.alone
		}
	}
	return r
}
