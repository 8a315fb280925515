package lineup

import (
	"cmp"
	"context"
	"slices"
)

// Whether any line-up keeps the rules is found apart from the costs. Without
// the rules on pairs it is a question of matching athletes to seats, with a
// sum and a count to watch, and has an exact answer: the sets of athletes that
// fill the seats are the bases of a matroid (J. Edmonds and D. R. Fulkerson,
// "Transversals and matroid partition", J. Res. Nat. Bur. Standards 69B, 1965,
// p. 147), so that the numbers of women in them have no gaps, and the lightest
// with one woman more is one exchange away from the lightest (H. N. Gabow and
// R. E. Tarjan, "Efficient algorithms for a family of matroid intersection
// problems", Journal of Algorithms 5, 1984, p. 80). Where the crew found breaks
// a rule on a pair, one of the two is tried in every seat and on the bench.

// seating looks for a line-up of one rig that keeps the rules.
type seating struct {
	ctx    context.Context
	q      *squad
	l      *limits
	weight []float64 // kg, 0 where no sum is limited
	musts  int
	asg    *assigner
	buf    []float64
}

// anyCrew finds a line-up of a rig that keeps the rules, nil when there is
// none; over tells that ctx was cancelled before that was known. Where the
// mass is limited it looks for a light crew.
func (q *squad) anyCrew(ctx context.Context, l *limits, r *rig) (crew []int, over bool) {
	n := len(q.athletes)
	f := &seating{
		ctx: ctx, q: q, l: l, weight: make([]float64, n),
		asg: newAssigner(q.seats, n), buf: make([]float64, q.seats*n),
	}
	if l.maxLoad < inf {
		f.weight = q.mass
	}
	for _, must := range l.must {
		if must {
			f.musts++
		}
	}
	crew = f.search(q.open(l, r))
	return crew, crew == nil && ctx.Err() != nil
}

// open tells by [seat][athlete] who may sit where in a rig.
func (q *squad) open(l *limits, r *rig) [][]bool {
	open := make([][]bool, q.seats)
	for s := range open {
		open[s] = slices.Clone(l.allowed[s])
		for i := range open[s] {
			open[s][i] = open[s][i] && (!q.sweep() || q.canRow(i, r.sides[s]))
		}
	}
	return open
}

// search finds a line-up among those that open leaves, nil when there is none
// or ctx is cancelled.
func (f *seating) search(open [][]bool) []int {
	if f.ctx.Err() != nil {
		return nil
	}
	crew := f.fill(open)
	if crew == nil {
		return nil
	}
	i, s, broken := f.l.brokenPair(crew)
	if !broken {
		return crew
	}
	for k := range crew {
		seat := (s + k) % len(crew)
		if !open[seat][i] {
			continue
		}
		if found := f.search(f.seated(open, i, seat)); found != nil {
			return found
		}
	}
	return f.search(without(open, i))
}

// brokenPair names the first athlete of a rule on a pair that a crew does not
// keep, with the seat they have.
func (l *limits) brokenPair(crew []int) (i, seat int, broken bool) {
	for kind, pairs := range l.pairLists {
		for _, p := range pairs {
			s, t := slices.Index(crew, p[0]), slices.Index(crew, p[1])
			if !keepsPair(kind, s, t) {
				return p[0], s, true
			}
		}
	}
	return 0, 0, false
}

// without returns open with athlete i on the bench.
func without(open [][]bool, i int) [][]bool {
	out := make([][]bool, len(open))
	for s := range open {
		out[s] = slices.Clone(open[s])
		out[s][i] = false
	}
	return out
}

// seated returns open with athlete i in a seat, and those they share a rule
// with only where that leaves them.
func (f *seating) seated(open [][]bool, i, seat int) [][]bool {
	out := without(open, i)
	clear(out[seat])
	out[seat][i] = true
	for kind, pairs := range f.l.pairLists {
		for _, p := range pairs {
			if p[0] != i && p[1] != i {
				continue
			}
			for s := range out {
				if s != seat && !keepsPair(kind, seat, s) {
					out[s][p[0]+p[1]-i] = false
				}
			}
		}
	}
	return out
}

// fill finds the lightest crew that keeps all rules but those on pairs, nil
// when there is none.
func (f *seating) fill(open [][]bool) []int {
	crew := f.match(open, func(i int) float64 {
		if f.l.must[i] {
			return f.weight[i] - mustCost
		}
		return f.weight[i]
	})
	if crew == nil || f.countMusts(crew) < f.musts {
		return nil
	}
	for women := f.q.women(crew); women < f.l.womenMin || women > f.l.womenMax; {
		more := women < f.l.womenMin
		if crew = f.exchange(open, crew, more); crew == nil {
			return nil
		}
		if women--; more {
			women += 2
		}
		if more && women > f.l.womenMax {
			return nil // the limits leave no number at all
		}
	}
	if _, mass := f.q.crewSum(crew); mass > f.l.maxLoad+loadSlack {
		return nil
	}
	return crew
}

// match gives every seat an athlete so that their weights sum to the least,
// nil when that is not possible.
func (f *seating) match(open [][]bool, weight func(i int) float64) []int {
	n := len(f.weight)
	for s := range open {
		for i, ok := range open[s] {
			f.buf[s*n+i] = inf
			if ok {
				f.buf[s*n+i] = weight(i)
			}
		}
	}
	if n < len(open) {
		return nil
	}
	if _, ok := f.asg.solve(f.buf, len(open), n); !ok {
		return nil
	}
	return slices.Clone(f.asg.colOf[:len(open)])
}

func (f *seating) countMusts(crew []int) (n int) {
	for _, i := range crew {
		if f.l.must[i] {
			n++
		}
	}
	return n
}

// women counts the women of a crew.
func (q *squad) women(crew []int) (n int) {
	for _, i := range crew {
		if q.athletes[i].Female {
			n++
		}
	}
	return n
}

// exchange returns the lightest crew with one woman more, or fewer, than a
// crew that is the lightest for its own number; nil when there is none.
func (f *seating) exchange(open [][]bool, crew []int, more bool) []int {
	var swaps [][2]int // out and in
	for _, out := range crew {
		if f.l.must[out] || f.q.athletes[out].Female == more {
			continue
		}
		for in := range f.weight {
			if f.q.athletes[in].Female == more && !slices.Contains(crew, in) && somewhere(open, in) {
				swaps = append(swaps, [2]int{out, in})
			}
		}
	}
	heavier := func(s [2]int) float64 { return f.weight[s[1]] - f.weight[s[0]] }
	slices.SortStableFunc(swaps, func(a, b [2]int) int { return cmp.Compare(heavier(a), heavier(b)) })
	for _, s := range swaps {
		next := slices.Clone(crew)
		next[slices.Index(next, s[0])] = s[1]
		// Only these athletes, in whatever seats they fit.
		if crew := f.match(f.among(open, next), func(int) float64 { return 0 }); crew != nil {
			return crew
		}
	}
	return nil
}

// among returns open for the athletes of a crew alone.
func (f *seating) among(open [][]bool, crew []int) [][]bool {
	out := make([][]bool, len(open))
	for s := range open {
		out[s] = make([]bool, len(open[s]))
		for _, i := range crew {
			out[s][i] = open[s][i]
		}
	}
	return out
}
