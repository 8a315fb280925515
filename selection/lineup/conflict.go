package lineup

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"thole/rigging"
)

// ConflictError says that no line-up keeps all the rules.
type ConflictError struct {
	// Rules cannot be met together. It is empty when the candidates alone do
	// not make a crew.
	Rules []Rule

	// Smallest tells that no fewer rules are in conflict, Irreducible that any
	// of the Rules left out the others can be met. A diagnosis that was cut
	// short, or met with very many conflicts, may know neither.
	Smallest, Irreducible bool

	// Shortages are what these rules leave too little of.
	Shortages []Shortage
}

// Shortage is one thing that is needed and not there.
type Shortage struct {
	Side       rigging.Side // zero when any side will do
	Seat       int          // the seat that nobody may take; 0 when it is not one seat
	Sex        rigging.Sex  // of a quota that cannot be filled; zero for rowers of either sex
	Seats      bool         // whether it is seats that are short, and not rowers
	Need, Have int          // rowers, or seats

	// Lightest is the least that a crew which keeps the other rules weighs on
	// average, kg, where that is more than allowed; 0 when it is not that.
	Lightest float64
}

// String says the shortage in words.
func (s Shortage) String() string {
	switch {
	case s.Lightest > 0:
		return fmt.Sprintf("the lightest crew weighs %.1f kg on average", s.Lightest)
	case s.Seat > 0:
		return fmt.Sprintf("nobody may take seat %d", s.Seat)
	case s.Side != 0:
		return fmt.Sprintf("%d on %s are needed and %d can row there", s.Need, s.Side, s.Have)
	case s.Seats:
		return fmt.Sprintf("%d rowers are needed and the boat has %d seats", s.Need, s.Have)
	case s.Sex != rigging.AnySex:
		who := map[rigging.Sex]string{rigging.Female: "women", rigging.Male: "men"}[s.Sex]
		return fmt.Sprintf("%d %s are needed and at most %d can be seated", s.Need, who, s.Have)
	}
	return fmt.Sprintf("%d rowers are needed and there are %d", s.Need, s.Have)
}

// Error says which rules cannot be met together and why.
func (e *ConflictError) Error() string {
	var parts []string
	for _, r := range e.Rules {
		parts = append(parts, r.String())
	}
	text := "the candidates do not make a crew"
	if len(parts) == 1 {
		text = "this rule cannot be met: " + parts[0]
	} else if len(parts) > 1 {
		text = "these rules cannot be met together: " + strings.Join(parts, "; ")
	}
	for k, s := range e.Shortages {
		text += []string{": ", "; "}[min(k, 1)] + s.String()
	}
	return text
}

// conflict finds the smallest set of rules that cannot be met together. Every
// set of rules that can be met leaves out a set of which any conflict holds at
// least one rule; a smallest set that meets all of these, and cannot be met
// itself, is a smallest conflict (A. Ignatiev, A. Previti, M. Liffiton and
// J. Marques-Silva, "Smallest MUS extraction with minimal hitting set
// dualization", Principles and Practice of Constraint Programming, 2015,
// p. 173). Where that takes too long, it is the smaller of two conflicts of
// which no rule can be spared.
func (q *squad) conflict(ctx context.Context) *ConflictError {
	d := &diagnosis{ctx: ctx, q: q, rules: q.rules(), left: mostTries}
	found := d.smallest(d.spared())
	e := &ConflictError{Smallest: d.proven, Irreducible: d.proven || d.tight}
	for _, k := range found {
		e.Rules = append(e.Rules, d.rules[k])
	}
	e.Shortages = q.only(e.Rules).shortages(ctx)
	return e
}

// mostTries is how many sets of rules a diagnosis may try.
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

// mostSteps is how many steps the search for one hitting set may take.
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

// only returns the squad with none but the given rules.
func (q *squad) only(rules []Rule) *squad {
	from, to := q.p.Rules, Rules{}
	out := *q
	out.p.Pattern = nil
	for _, r := range rules {
		switch r.Kind {
		case RulePattern:
			out.p.Pattern = q.p.Pattern
		case RulePin:
			to.Pins = append(to.Pins, from.Pins[r.Index])
		case RuleMust:
			to.Must = append(to.Must, from.Must[r.Index])
		case RuleOut:
			to.Out = append(to.Out, from.Out[r.Index])
		case RuleApart:
			to.Apart = append(to.Apart, from.Apart[r.Index])
		case RuleAdjacent:
			to.Adjacent = append(to.Adjacent, from.Adjacent[r.Index])
		case RuleNever:
			to.Never = append(to.Never, from.Never[r.Index])
		default:
			to.copySum(r.Kind, from)
		}
	}
	out.p.Rules = to
	return &out
}

// copySum copies a rule about the whole crew.
func (r *Rules) copySum(kind RuleKind, from Rules) {
	switch kind {
	case RuleMeanMass:
		r.MeanMass = from.MeanMass
	case RuleMaxMass:
		r.MaxMass = from.MaxMass
	case RuleWomenMin:
		r.WomenMin = from.WomenMin
	case RuleWomenMax:
		r.WomenMax = from.WomenMax
	case RuleMenMin:
		r.MenMin = from.MenMin
	case RuleMenMax:
		r.MenMax = from.MenMax
	}
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

// shortages counts what the rules leave too little of.
func (q *squad) shortages(ctx context.Context) []Shortage {
	l := q.limits(q.p.Rules)
	if have := q.able(l, 0); have < q.seats {
		return []Shortage{{Need: q.seats, Have: have}}
	}
	if out := q.shortOnSides(l); len(out) > 0 {
		return out
	}
	if r := q.p.Rules; r.WomenMin+r.MenMin > q.seats {
		return []Shortage{{Seats: true, Need: r.WomenMin + r.MenMin, Have: q.seats}}
	}
	if out := q.shortOfSex(ctx, l); len(out) > 0 {
		return out
	}
	return q.tooHeavy(ctx, l)
}

// shortOnSides names the sides and seats without enough rowers.
func (q *squad) shortOnSides(l *limits) (out []Shortage) {
	if !q.sweep() {
		return q.emptySeats(l, nil)
	}
	rigs := q.rigs()
	for _, side := range []rigging.Side{rigging.Starboard, rigging.Port} {
		// Every rig that is left has the same number of each.
		if need, have := count(rigs[0].sides, side), q.able(l, side); have < need {
			out = append(out, Shortage{Side: side, Need: need, Have: have})
		}
	}
	if len(out) == 0 && len(rigs) == 1 {
		return q.emptySeats(l, rigs[0].sides)
	}
	return out
}

// shortOfSex names the quotas that cannot be filled from those who may row.
func (q *squad) shortOfSex(ctx context.Context, l *limits) (out []Shortage) {
	least, most := q.womenSeated(ctx, l)
	if need := q.p.Rules.WomenMin; need > most && most >= 0 {
		out = append(out, Shortage{Sex: rigging.Female, Need: need, Have: most})
	}
	if need := q.p.Rules.MenMin; most >= 0 && need > q.seats-least {
		out = append(out, Shortage{Sex: rigging.Male, Need: need, Have: q.seats - least})
	}
	return out
}

// womenSeated returns the least and the most women that a crew may have if
// neither quotas nor masses count; most is -1 when there is no crew.
func (q *squad) womenSeated(ctx context.Context, l *limits) (least, most int) {
	free := *l
	free.maxLoad, least, most = inf, q.seats, -1
	for women := range q.seats + 1 {
		free.womenMin, free.womenMax = women, women
		if crew, _ := q.crewWithin(ctx, &free); crew != nil {
			least, most = min(least, women), women
		}
	}
	return least, most
}

// tooHeavy tells what the lightest crew weighs when that is more than allowed.
func (q *squad) tooHeavy(ctx context.Context, l *limits) []Shortage {
	if q.p.Rules.MeanMass == 0 {
		return nil
	}
	heavy := *l
	lo, hi := l.maxLoad, 500*float64(q.seats) // the most that masses may sum to
	if heavy.maxLoad = hi; !q.within(ctx, &heavy) {
		return nil
	}
	for hi-lo > 0.01 {
		heavy.maxLoad = (lo + hi) / 2
		if crew, _ := q.crewWithin(ctx, &heavy); crew != nil {
			_, hi = q.crewSum(crew) // often the lightest at once
		} else {
			lo = heavy.maxLoad
		}
	}
	if ctx.Err() != nil {
		return nil
	}
	return []Shortage{{Lightest: hi / float64(q.seats)}}
}

func (q *squad) within(ctx context.Context, l *limits) bool {
	crew, _ := q.crewWithin(ctx, l)
	return crew != nil
}

// emptySeats names the seats that nobody may take.
func (q *squad) emptySeats(l *limits, sides []rigging.Side) (out []Shortage) {
	for s := range q.seats {
		free := false
		for i := range q.athletes {
			free = free || l.allowed[s][i] && (sides == nil || q.canRow(i, sides[s]))
		}
		if !free {
			out = append(out, Shortage{Seat: s + 1, Need: 1})
		}
	}
	return out
}

// able counts the athletes who may row a side (any for 0) in some seat.
func (q *squad) able(l *limits, side rigging.Side) int {
	have := 0
	for i := range q.athletes {
		if l.somewhere(i) && (side == 0 || q.canRow(i, side)) {
			have++
		}
	}
	return have
}

func count(sides []rigging.Side, side rigging.Side) (n int) {
	for _, s := range sides {
		if s == side {
			n++
		}
	}
	return n
}
