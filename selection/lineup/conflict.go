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
	// Rules cannot be met together, and any of them left out the others can.
	// It is empty when the candidates alone do not make a crew.
	Rules []Rule

	// Shortages are what these rules leave too little of.
	Shortages []Shortage
}

// Shortage is one thing that is needed and not there.
type Shortage struct {
	Side       rigging.Side // zero when any side will do
	Seat       int          // the seat that nobody may take; 0 when it is not one seat
	Need, Have int          // rowers
}

// String says the shortage in words.
func (s Shortage) String() string {
	switch {
	case s.Seat > 0:
		return fmt.Sprintf("nobody may take seat %d", s.Seat)
	case s.Side != 0:
		return fmt.Sprintf("%d on %s are needed and %d can row there", s.Need, s.Side, s.Have)
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

// conflict finds a set of rules that cannot be met together and of which none
// can be spared, by leaving out one rule after the other as long as no
// line-up turns up; of the two orders in which to try, the one that leaves
// fewer.
func (q *squad) conflict() *ConflictError {
	rules := q.rules()
	first := q.shrink(rules)
	slices.Reverse(rules)
	if second := q.shrink(rules); len(second) < len(first) {
		slices.Reverse(second)
		first = second
	}
	return &ConflictError{Rules: first, Shortages: q.only(first).shortages()}
}

// shrink leaves out the rules that the conflict does not need.
func (q *squad) shrink(rules []Rule) []Rule {
	kept := slices.Clone(rules)
	for _, rule := range rules {
		fewer := slices.DeleteFunc(slices.Clone(kept), func(r Rule) bool {
			return r.Kind == rule.Kind && r.Index == rule.Index
		})
		if !q.only(fewer).feasible() {
			kept = fewer
		}
	}
	return kept
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

// feasible tells whether any line-up keeps the rules.
func (q *squad) feasible() bool {
	if len(q.athletes) < q.seats {
		return false
	}
	l := q.limits(q.p.Rules)
	for _, r := range q.rigs() {
		if crew, _ := q.anyCrew(context.Background(), l, r); crew != nil {
			return true
		}
	}
	return false
}

// shortages counts what the rules leave too little of.
func (q *squad) shortages() []Shortage {
	l := q.limits(q.p.Rules)
	if have := q.able(l, 0); have < q.seats {
		return []Shortage{{Need: q.seats, Have: have}}
	}
	if !q.sweep() {
		return q.emptySeats(l, nil)
	}
	rigs := q.rigs()
	var out []Shortage
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
