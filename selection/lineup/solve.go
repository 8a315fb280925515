package lineup

import (
	"cmp"
	"context"
	"slices"
)

// Solve finds the best line-ups of the problem. It answers bad input with
// [rigging.FieldErrors] and rules that cannot be met together with a
// [*ConflictError]. When ctx is cancelled it returns what it has with the
// bound it has proven and no error.
//
// The search is exact. It decides seat by seat, over crews and their orders at once
// (task.go, bound.go and search.go), or lists the crews that may be worth it and
// orders one after the other (crews.go), whichever comes to an end; rigs that are
// images of each other are searched once (symmetry.go). Equal input gives the same
// answer whatever the order of the candidates; totals that agree to a nanosecond count
// as ties, which the names decide, bow first. Whether the rules can be met at all is
// found apart (feasible.go), and which are to blame if not (diagnose.go).
func Solve(ctx context.Context, p Problem, o Options) (Result, error) {
	q, err := prepare(p)
	if err != nil {
		return Result{}, err
	}
	l := q.limits(p.Rules)
	found := q.search(ctx, l, o)
	if len(found.list) == 0 && found.proven {
		return Result{}, q.conflict(ctx)
	}
	result := Result{Proven: found.proven, LowerBound: found.lower, Nodes: found.nodes, NoCurve: q.noCurve}
	for _, e := range found.list {
		one := q.scored(e.x, found.rigs[e.order])
		if o.Fold {
			one.Images = q.images(l, found.rigs, e)
		}
		result.Lineups = append(result.Lineups, one)
	}
	if found.proven {
		// Images are bounded as what was searched, and add up in another order.
		result.LowerBound = result.Lineups[0].Terms.Total()
	}
	return result, nil
}

// prepare checks a problem and turns it into numbers.
func prepare(p Problem) (*squad, error) {
	if err := check(p); err != nil {
		return nil, err
	}
	return newSquad(p), nil
}

// outcome is what a search has found.
type outcome struct {
	list   []entry
	rigs   []*rig // by entry.order
	proven bool
	lower  float64
	nodes  int
}

// start is where the search of one rig and its images begins.
type start struct {
	family
	lower float64 // no line-up of the rig costs less
	crew  []int   // of the relaxed problem; nil when it has none
}

// search finds the best line-ups over all rigs.
func (q *squad) search(ctx context.Context, l *limits, o Options) outcome {
	rigs := q.rigs()
	if len(q.athletes) < q.seats {
		return outcome{rigs: rigs, lower: inf, proven: true}
	}
	s := newSearcher(ctx, q.seats, len(q.athletes), max(o.Count, 1))
	s.fold = o.Fold
	if o.MaxNodes > 0 {
		s.most = o.MaxNodes
	}
	if o.Progress != nil {
		s.report = func(nodes int, best, lower float64) { o.Progress(Progress{nodes, best, lower}) }
	}
	return q.searchWith(s, l, rigs)
}

// searchWith finds with a searcher what its board has room for and its limit
// lets pass.
func (q *squad) searchWith(s *searcher, l *limits, rigs []*rig) outcome {
	out := outcome{rigs: rigs}
	families := q.families(l, rigs)
	// A few nodes over crews and orders at once suffice for most squads, and
	// else find line-ups that are hard to beat.
	if !s.within(atFirst, func() { q.joint(s, l, families) }) && !s.over && !s.crewsFirst(q, l, families) {
		q.joint(s, l, families)
	}
	out.list, out.nodes, out.proven = s.board.list, s.nodes, !s.over
	if out.proven {
		s.floor = inf
	}
	out.lower = s.lower()
	return out
}

// atFirst is after how many nodes a search goes over to one crew after the
// other, where that is possible: easy problems are done by then (engineering
// judgement, by the benchmarks of Solve).
const atFirst = 200

// joint searches over crews and their orders at once.
func (q *squad) joint(s *searcher, l *limits, families []family) {
	if s.scratch == nil {
		s.scratch = newTask(q.seats, len(q.athletes))
	}
	t := s.scratch
	starts, tan := q.starts(s, l, t, families)
	s.forget()
	for k, st := range starts {
		if st.crew == nil || st.lower > s.limit() {
			break
		}
		s.floor = inf
		if k+1 < len(starts) {
			s.floor = starts[k+1].lower
		}
		if len(s.board.list) > 0 && s.items == nil { // else it is one crew
			tan = newTangentAt(q, s.board.list[0].x)
		}
		q.price(t, l, st.rig, tan)
		if st.ownTurn() {
			t.halve()
		}
		if !s.searchRig(q, l, t, st) {
			break
		}
	}
}

// searchRig searches the line-ups of one rig, for which t is, and lists them
// with their images; false when it was stopped.
func (s *searcher) searchRig(q *squad, l *limits, t *task, st start) bool {
	s.task, s.images = t, st.images
	s.climb(slices.Clone(st.crew))
	if s.stop() {
		s.floor = min(s.floor, st.lower)
		return false
	}
	if len(s.board.list) == 0 && s.limit() == inf {
		// Without a line-up to beat, the search could not leave anything out.
		crew, over := q.anyCrew(s.ctx, l, st.rig)
		if s.over = over; over {
			s.floor = min(s.floor, st.lower)
			return false
		}
		if crew == nil {
			return true
		}
		s.climb(crew)
	}
	s.run(t)
	return !s.over
}

// firstTangent touches the pace at a crew of average athletes.
func (q *squad) firstTangent() tangent {
	var power, mass float64
	for i := range q.power {
		power += q.power[i]
		mass += q.mass[i]
	}
	share := float64(q.seats) / float64(len(q.power))
	return newTangent(q.p.Pace, power*share, mass*share)
}

func newTangentAt(q *squad, crew []int) tangent {
	power, mass := q.crewSum(crew)
	return newTangent(q.p.Pace, power, mass)
}

// price writes the costs of a rig into t, with the pace split into what is
// linear about tan and the rest.
func (q *squad) price(t *task, l *limits, r *rig, tan tangent) {
	q.priceSeats(t, l, r, tan)
	for s := range t.seats {
		for u := s + 1; u < t.seats; u++ {
			like, m := q.p.Weights.Likeness*r.kinship[s][u], t.pairOf(s, u)
			for k, d := range q.distance {
				m[k] = like * d
			}
		}
	}
	t.forbidRepeats()
	t.halved = false
	q.constrainPairs(t, l)
	t.cost = func(x []int) float64 {
		if !t.permits(x) {
			return inf
		}
		return q.terms(x, r).Total()
	}
}

// priceSeats writes all but the pair costs.
func (q *squad) priceSeats(t *task, l *limits, r *rig, tan tangent) {
	for s := range t.seats {
		for i := range t.items {
			t.unary[s][i] = q.linear(s, i, r, tan)
		}
	}
	copy(t.power, q.power)
	t.rest = tan.rest
	if q.yawUnit > 0 {
		t.lever, t.gram = r.lever, q.gram
	}
	q.constrainSeats(t, l, r)
}

// linear is what athlete i in seat s costs whoever else rows.
func (q *squad) linear(s, i int, r *rig, tan tangent) float64 {
	cost := q.seatCost[s*len(q.power)+i] + tan.perPower*q.power[i] + tan.perMass*q.mass[i]
	if q.sweep() {
		cost += q.sideCost(i, r.sides[s])
		if q.rerigged(s, r.sides[s]) {
			cost += q.p.Rerig
		}
	}
	return cost
}

// starts bounds every set of images and orders them by what they promise; t
// is scratch.
// The bounds use the tangent that is returned.
func (q *squad) starts(s *searcher, l *limits, t *task, families []family) ([]start, tangent) {
	tan := q.firstTangent()
	near := q.nearest()
	for _, f := range families {
		if st := q.start(s, l, t, f, tan, near); st.crew != nil {
			tan = newTangentAt(q, st.crew)
			break
		}
	}
	starts := make([]start, 0, len(families))
	for _, f := range families {
		starts = append(starts, q.start(s, l, t, f, tan, near))
	}
	slices.SortStableFunc(starts, func(a, b start) int { return cmp.Compare(a.lower, b.lower) })
	return starts, tan
}

// nearest returns, for each athlete, the least distances to others' curves in
// ascending order, one for each other seat.
func (q *squad) nearest() [][]float64 {
	n := len(q.athletes)
	near := make([][]float64, n)
	for i := range near {
		d := slices.Delete(slices.Clone(q.distance[i*n:][:n]), i, i+1)
		slices.Sort(d)
		near[i] = d[:min(q.seats-1, len(d))]
	}
	return near
}

// start bounds the line-ups of a rig by an assignment: in place of the pair
// costs, each athlete is charged half the likeness to their nearest others,
// nearest in the closest seats.
func (q *squad) start(s *searcher, l *limits, t *task, f family, tan tangent, near [][]float64) start {
	q.priceSeats(t, l, f.rig, tan)
	for seat := range t.seats {
		kin := f.rig.kinTo(seat)
		for i := range t.items {
			t.unary[seat][i] += q.p.Weights.Likeness / 2 * dot(kin, near[i])
		}
	}
	s.task = t
	n := s.bare()
	if !s.assign(n) || !s.approach(n, rootMoves) {
		return start{family: f, lower: inf}
	}
	s.complete(n)
	return start{family: f, lower: n.lower + s.rest(n), crew: slices.Clone(s.whole)}
}

// kinTo returns how close each other seat is to one seat, closest first.
func (r *rig) kinTo(seat int) []float64 {
	var kin []float64
	for s := range r.kinship {
		if s != seat {
			kin = append(kin, r.kinship[min(s, seat)][max(s, seat)])
		}
	}
	slices.SortFunc(kin, func(a, b float64) int { return cmp.Compare(b, a) })
	return kin
}

func dot(a, b []float64) (sum float64) {
	for k := range min(len(a), len(b)) {
		sum += a[k] * b[k]
	}
	return sum
}
