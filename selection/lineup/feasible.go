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
// a rule on a pair, one of the two is tried in every seat and on the bench; in
// no seat in particular when it is only that the two never row together.

// seating looks for a line-up of one rig that keeps the rules.
type seating struct {
	ctx    context.Context
	q      *squad
	l      *limits
	weight []float64 // kg, 0 where no sum is limited
	must   []bool    // by the rules, or tried as one of a pair
	never  []bool    // [i·n+j] whether two never row together
	asg    *assigner
	buf    []float64
}

// anyCrew finds a line-up of a rig that keeps the rules, nil when there is
// none; over reports that ctx was cancelled before that was known. Where the
// mass is limited it looks for a light crew.
func (q *squad) anyCrew(ctx context.Context, l *limits, r *rig) (crew []int, over bool) {
	n := len(q.athletes)
	f := &seating{
		ctx: ctx, q: q, l: l, weight: make([]float64, n), must: slices.Clone(l.must),
		never: make([]bool, n*n), asg: newAssigner(q.seats, n), buf: make([]float64, q.seats*n),
	}
	for _, p := range l.never {
		f.never[p[0]*n+p[1]], f.never[p[1]*n+p[0]] = true, true
	}
	if l.maxLoad < inf {
		f.weight = q.mass
	}
	crew = f.search(q.open(l, r))
	return crew, crew == nil && ctx.Err() != nil
}

// open holds by [seat][athlete] who may sit where in a rig.
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
	if f.ctx.Err() != nil || f.tooFew(open) {
		return nil
	}
	crew := f.fill(open)
	if crew == nil {
		return nil
	}
	kind, i, s, broken := f.l.brokenPair(crew)
	switch {
	case !broken:
		return crew
	case kind == RuleNever:
		if found := f.rowing(open, i); found != nil {
			return found
		}
		return f.search(without(open, i))
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

// rowing searches with athlete i in the boat, and those on the bench who never
// row with them.
func (f *seating) rowing(open [][]bool, i int) []int {
	for _, p := range f.l.never {
		if p[0] == i || p[1] == i {
			open = without(open, p[0]+p[1]-i)
		}
	}
	before := f.must[i]
	f.must[i] = true
	defer func() { f.must[i] = before }()
	return f.search(open)
}

// brokenPair names the first athlete of a rule on a pair that a crew does not
// keep, with the seat they have: of two that never row together, where there
// are any.
func (l *limits) brokenPair(crew []int) (of RuleKind, i, seat int, broken bool) {
	for kind, pairs := range l.pairLists {
		for _, p := range pairs {
			s, t := slices.Index(crew, p[0]), slices.Index(crew, p[1])
			if !keepsPair(kind, s, t) && (!broken || of != kind) {
				of, i, seat, broken = kind, p[0], s, true
			}
		}
	}
	return of, i, seat, broken
}

// tooFew reports whether too few athletes, women or men are left for a crew in
// which of those who never row together there is one at the most.
func (f *seating) tooFew(open [][]bool) bool {
	if len(f.l.never) == 0 {
		return false
	}
	var all, women, men []int
	for i, a := range f.q.athletes {
		switch {
		case !somewhere(open, i):
			continue
		case a.Female:
			women = append(women, i)
		default:
			men = append(men, i)
		}
		all = append(all, i)
	}
	return f.atMost(all) < f.q.seats || f.atMost(women) < f.l.womenMin || f.atMost(men) < f.q.seats-f.l.womenMax
}

// atMost is a bound of how many of these athletes can row together: the number
// of groups they are sorted into, of which no two ever row together.
func (f *seating) atMost(athletes []int) int {
	var groups [][]int
	for _, i := range athletes {
		together := func(j int) bool { return !f.never[i*len(f.weight)+j] }
		k := slices.IndexFunc(groups, func(group []int) bool { return !slices.ContainsFunc(group, together) })
		if k < 0 {
			k, groups = len(groups), append(groups, nil)
		}
		groups[k] = append(groups[k], i)
	}
	return len(groups)
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
		if f.must[i] {
			return f.weight[i] - mustCost
		}
		return f.weight[i]
	})
	if crew == nil || !f.hasMusts(crew) {
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

func (f *seating) hasMusts(crew []int) bool {
	for i, must := range f.must {
		if must && !slices.Contains(crew, i) {
			return false
		}
	}
	return true
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
		if f.must[out] || f.q.athletes[out].Female == more {
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
