package lineup

import (
	"cmp"
	"context"
	"slices"
)

// CrewOptions steer [Crews]. The zero value asks for the best crew in its best
// line-up.
type CrewOptions struct {
	Crews  int  // how many crews to list; 0 means 1
	Orders int  // how many line-ups of each; 0 means 1
	Fold   bool // as in [Options]

	// Progress, when given, is called from time to time from the goroutine that
	// called Crews.
	Progress func(Progress)
}

// Crew is a set of athletes with its best line-ups.
type Crew struct {
	Lineups []Scored // best first
	Proven  bool     // that no other line-up of these athletes beats any in it
}

// CrewResult is the answer of [Crews].
type CrewResult struct {
	Crews []Crew // by the best line-up of each, best first

	// Proven reports that nobody outside Crews makes a better crew than any in
	// it.
	Proven     bool
	LowerBound float64 // s; no line-up can cost less
	NextBound  float64 // s; no line-up of a crew that is not listed can cost less
	Nodes      int     // of the search, a measure of the work
	NoCurve    []string
}

// Crews finds the best crews of the problem, each another set of athletes, and
// the best line-ups of each. Errors are those of [Solve]. When ctx is cancelled
// it returns what it has with the bounds it has proven and no error.
//
// The crews other than some listed ones are sorted into sets: those without the
// first athlete of the best crew, those with the first and without the second,
// and so on, and each set again by the best crew found in it (K. G. Murty, "An
// algorithm for ranking all the assignments in order of increasing cost",
// Operations Research 16, 1968, p. 682).
func Crews(ctx context.Context, p Problem, o CrewOptions) (CrewResult, error) {
	q, err := prepare(p)
	if err != nil {
		return CrewResult{}, err
	}
	c := q.newRanking(ctx, max(o.Crews, 1), o.Progress)
	c.run()
	if len(c.rivals.list) == 0 && c.proven {
		return CrewResult{}, q.conflict(ctx)
	}
	result := CrewResult{Proven: c.proven, LowerBound: c.lower, NextBound: c.next, Nodes: c.nodes, NoCurve: q.noCurve}
	for _, best := range c.rivals.list {
		result.Crews = append(result.Crews, c.ordered(best, max(o.Orders, 1), o.Fold))
	}
	result.Nodes = c.nodes
	return result, nil
}

// rivals keep the best line-up of each of the best few crews seen.
type rivals struct {
	room int
	list []entry
	crew [][]int // ascending, of each entry
}

// limit is what a line-up may cost at the most to be listed, less a tie.
func (r *rivals) limit() float64 {
	if r == nil || len(r.list) < r.room {
		return inf
	}
	return r.list[len(r.list)-1].cost
}

// add lists a line-up if it is good enough and the best of its crew so far.
func (r *rivals) add(e entry) {
	if e.cost == inf {
		return
	}
	crew := slices.Sorted(slices.Values(e.x))
	if k := slices.IndexFunc(r.crew, func(c []int) bool { return slices.Equal(c, crew) }); k >= 0 {
		if e.compare(r.list[k]) >= 0 {
			return
		}
		r.list, r.crew = slices.Delete(r.list, k, k+1), slices.Delete(r.crew, k, k+1)
	}
	e.x = slices.Clone(e.x)
	at, _ := slices.BinarySearchFunc(r.list, e, entry.compare)
	r.list, r.crew = slices.Insert(r.list, at, e), slices.Insert(r.crew, at, crew)
	if len(r.list) > r.room {
		r.list, r.crew = r.list[:r.room], r.crew[:r.room]
	}
}

// ranking looks for the best crews.
type ranking struct {
	ctx    context.Context
	q      *squad
	rigs   []*rig
	rivals *rivals
	nodes  int
	lower  float64 // s, of all line-ups
	next   float64 // s, of those of crews that are not listed
	proven bool
	report func(Progress)
	work   arena
}

// crewSet are the crews with some athletes and without others.
type crewSet struct {
	with, without []int
	lower         float64 // s, no line-up of them costs less
}

func (q *squad) newRanking(ctx context.Context, room int, report func(Progress)) *ranking {
	return &ranking{
		ctx: ctx, q: q, rigs: q.rigs(), rivals: &rivals{room: room}, report: report,
		lower: inf, next: inf, proven: true,
	}
}

// run sorts the crews into sets until none is left that may hold one to list.
func (c *ranking) run() {
	if len(c.q.athletes) < c.q.seats {
		return
	}
	todo := []crewSet{{}}
	for len(todo) > 0 {
		set := todo[0]
		todo = todo[1:]
		if c.ctx.Err() != nil && set.with != nil {
			c.proven, c.next = false, min(c.next, set.lower)
			continue
		}
		todo = append(todo, c.split(set, c.best(&set))...)
	}
	c.next = max(c.lower, min(c.next, c.rivals.limit()))
}

// best finds the best line-up of a set, nil when there is none to list.
func (c *ranking) best(set *crewSet) []int {
	l := c.q.limits(c.q.p.Rules)
	for _, i := range set.with {
		l.must[i] = true
	}
	for _, i := range set.without {
		l.forbid(i)
	}
	if !l.fits(c.q.seats) {
		return nil
	}
	s := c.searcher()
	found := c.q.searchWith(s, l, c.rigs)
	c.nodes += found.nodes
	if set.with == nil && set.without == nil {
		c.lower = found.lower
	}
	if !found.proven {
		c.proven, c.next = false, min(c.next, found.lower)
		return nil
	}
	if len(found.list) == 0 {
		return nil
	}
	set.lower = found.list[0].cost
	return found.list[0].x
}

// searcher is a searcher for one set.
func (c *ranking) searcher() *searcher {
	s := c.work.searcher(c.ctx, c.q, 1)
	s.rivals = c.rivals
	if c.report != nil {
		s.report = func(nodes int, _, lower float64) {
			best := inf
			if len(c.rivals.list) > 0 {
				best = c.rivals.list[0].cost
			}
			c.report(Progress{Nodes: c.nodes + nodes, Best: best, LowerBound: min(lower, c.lower)})
		}
	}
	return s
}

// split sorts the crews of a set but the one found into sets. Those without the
// athletes who are worth most come first: they are the soonest seen to cost too
// much, and what is left has few seats open.
func (c *ranking) split(set crewSet, found []int) (sets []crewSet) {
	with := set.with
	for _, i := range c.q.byWorth(found) {
		if slices.Contains(set.with, i) {
			continue
		}
		sets = append(sets, crewSet{slices.Clone(with), append(slices.Clone(set.without), i), set.lower})
		with = append(slices.Clone(with), i)
	}
	return sets
}

// byWorth orders the athletes of a crew by what they are worth to its pace.
func (q *squad) byWorth(crew []int) []int {
	if len(crew) == 0 {
		return nil
	}
	tan := newTangentAt(q, crew)
	worth := func(i int) float64 { return tan.perPower*q.power[i] + tan.perMass*q.mass[i] }
	return slices.SortedFunc(slices.Values(crew), func(i, j int) int {
		return cmp.Or(cmp.Compare(worth(i), worth(j)), i-j)
	})
}

// fits reports whether the athletes who must row are no more than the seats and
// each may take one.
func (l *limits) fits(seats int) bool {
	musts := 0
	for i, must := range l.must {
		if must {
			musts++
			if !l.somewhere(i) {
				return false
			}
		}
	}
	return musts <= seats
}

// ordered finds the best line-ups of a crew, given its best.
func (c *ranking) ordered(best entry, orders int, fold bool) Crew {
	q := c.q
	crew := slices.Sorted(slices.Values(best.x))
	l := q.limits(q.p.Rules)
	s := newSearcher(c.ctx, q.seats, len(crew), orders)
	s.items, s.fold = crew, fold
	q.of(crew).joint(s, l.of(crew), q.families(l, c.rigs))
	c.nodes += s.nodes
	if len(s.board.list) == 0 { // stopped before it found what is known
		s.board.add(best)
	}
	out := Crew{Proven: !s.over}
	for _, e := range s.board.list {
		one := q.scored(e.x, c.rigs[e.order])
		if fold {
			one.Images = q.images(l, c.rigs, e)
		}
		out.Lineups = append(out.Lineups, one)
	}
	return out
}
