package lineup

import (
	"context"
	"slices"
)

// conflict finds the smallest set of rules that cannot be met together. Every
// set of rules that can be met leaves out a set of which any conflict holds at
// least one rule; a smallest set that meets all of these, and cannot be met
// itself, is a smallest conflict (A. Ignatiev, A. Previti, M. Liffiton and
// J. Marques-Silva, "Smallest MUS extraction with minimal hitting set
// dualization", Principles and Practice of Constraint Programming, 2015,
// p. 173). Where that takes too long, it is the smaller of two conflicts of
// which no rule can be spared.
func (q *squad) conflict(ctx context.Context) *ConflictError {
	d := &diagnosis{ctx: ctx, q: q, rules: q.spareable(), left: mostTries}
	found := d.smallest(d.spared())
	e := &ConflictError{Smallest: d.proven, Irreducible: d.proven || d.tight}
	for _, k := range found {
		e.Rules = append(e.Rules, d.rules[k])
	}
	e.Shortages = q.only(e.Rules).shortages(ctx)
	return e
}

// spareable lists the rules that may be left out. A pattern with more oars on
// one side than on the other may not: without it the sides would have to be
// even, and less could be met.
func (q *squad) spareable() []Rule {
	rules := q.rules()
	if lopsided(q.p.Pattern) {
		rules = slices.DeleteFunc(rules, func(r Rule) bool { return r.Kind == RulePattern })
	}
	return rules
}

// mostTries is how many sets of rules a diagnosis may try, some seconds of work
// at the worst (engineering judgement, by BenchmarkConflict).
const mostTries = 800

// diagnosis looks for the reason why rules cannot be met. Sets of rules are
// ascending lists of indices.
type diagnosis struct {
	ctx    context.Context
	q      *squad
	rules  []Rule
	left   int  // tries
	tight  bool // no rule of the conflict can be spared
	proven bool // there is no smaller one
}

// pick lists the rules of a set.
func (d *diagnosis) pick(set []int) []Rule {
	var out []Rule
	for _, k := range set {
		out = append(out, d.rules[k])
	}
	return out
}

// met returns the rules that some line-up keeps which keeps those of the set;
// nil when there is none. The answer is not known when the diagnosis is over.
func (d *diagnosis) met(set []int) []int {
	d.left--
	crew, r := d.q.only(d.pick(set)).crewFor(d.ctx)
	if crew == nil {
		return nil
	}
	kept := []int{}
	for k, rule := range d.rules {
		if d.q.keeps(rule, crew, r) {
			kept = append(kept, k)
		}
	}
	return kept
}

func (d *diagnosis) over() bool { return d.left <= 0 || d.ctx.Err() != nil }

// spared leaves out one rule after the other as long as no line-up turns up;
// of the two orders in which to try it takes the one that leaves fewer.
func (d *diagnosis) spared() []int {
	all := make([]int, len(d.rules))
	for k := range all {
		all[k] = k
	}
	back := slices.Clone(all)
	slices.Reverse(back)
	one, other := d.shrink(all, all), d.shrink(all, back)
	d.tight = !d.over()
	if len(other) < len(one) {
		return other
	}
	return one
}

// shrink leaves out of a set in conflict the rules it does not need, trying
// them in the given order.
func (d *diagnosis) shrink(set, order []int) []int {
	for _, k := range order {
		fewer := slices.DeleteFunc(slices.Clone(set), func(j int) bool { return j == k })
		if d.over() {
			return set
		}
		if d.met(fewer) == nil && d.ctx.Err() == nil {
			set = fewer
		}
	}
	return set
}

// smallest returns a smallest conflict, given one.
func (d *diagnosis) smallest(known []int) []int {
	var sets [][]int // each holds a rule of every conflict
	for {
		h := &hitting{sets: sets, most: len(known) - 1, left: mostSteps}
		least, ok := h.solve()
		switch {
		case d.over() || h.left <= 0:
			return known
		case !ok:
			d.proven = true
			return known
		}
		kept := d.met(least)
		if d.over() {
			return known
		}
		if kept == nil {
			d.proven, d.tight = true, true
			return least
		}
		sets = append(sets, d.complement(d.grown(kept)))
	}
}

// grown adds rules to a set that can be met as long as it can be met.
func (d *diagnosis) grown(set []int) []int {
	for k := range d.rules {
		if slices.Contains(set, k) || d.over() {
			continue
		}
		more := append(slices.Clone(set), k)
		slices.Sort(more)
		if kept := d.met(more); kept != nil {
			set = kept
		}
	}
	return set
}

func (d *diagnosis) complement(set []int) []int {
	var out []int
	for k := range d.rules {
		if !slices.Contains(set, k) {
			out = append(out, k)
		}
	}
	return out
}

// hitting looks for a smallest set that holds an element of every one of the
// sets.
type hitting struct {
	sets  [][]int
	most  int // elements allowed
	left  int // steps
	found []int
}

// mostSteps is how many steps the search for one hitting set may take, some
// milliseconds (engineering judgement, by BenchmarkConflict).
const mostSteps = 20000

// solve returns the set in ascending order; ok is false when it would need
// more than the most elements allowed.
func (h *hitting) solve() (set []int, ok bool) {
	for size := 0; size <= h.most; size++ {
		if h.extend(nil, size) {
			slices.Sort(h.found)
			return h.found, true
		}
	}
	return nil, false
}

// extend looks for a hitting set with at most room elements more than chosen.
func (h *hitting) extend(chosen []int, room int) bool {
	h.left--
	var open []int
	disjoint, used := 0, map[int]bool{} // sets without a common element need one each
	for _, set := range h.sets {
		if slices.ContainsFunc(set, func(k int) bool { return slices.Contains(chosen, k) }) {
			continue
		}
		if open == nil || len(set) < len(open) {
			open = set
		}
		if !slices.ContainsFunc(set, func(k int) bool { return used[k] }) {
			disjoint++
			for _, k := range set {
				used[k] = true
			}
		}
	}
	if open == nil {
		h.found = slices.Clone(chosen)
		return true
	}
	if disjoint > room || h.left <= 0 {
		return false
	}
	for _, k := range open {
		if h.extend(append(slices.Clone(chosen), k), room-1) {
			return true
		}
	}
	return false
}

// crewFor finds a line-up that keeps the rules, nil when there is none or ctx
// is cancelled.
func (q *squad) crewFor(ctx context.Context) ([]int, *rig) {
	if len(q.athletes) < q.seats {
		return nil, nil
	}
	return q.crewWithin(ctx, q.limits(q.p.Rules))
}

// crewWithin is crewFor with the rules in numbers.
func (q *squad) crewWithin(ctx context.Context, l *limits) ([]int, *rig) {
	for _, f := range q.families(l, q.rigs()) {
		if crew, _ := q.anyCrew(ctx, l, f.rig); crew != nil {
			return crew, f.rig
		}
	}
	return nil, nil
}
