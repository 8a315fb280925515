package lineup

import (
	"slices"
	"strings"

	"thole/rigging"
)

// ConflictError says that no line-up keeps all the rules.
type ConflictError struct {
	// Rules cannot be met together. It is empty when the candidates alone do
	// not make a crew.
	Rules []Rule

	// Smallest reports that no fewer rules are in conflict, Irreducible that any
	// of the Rules left out the others can be met. A diagnosis that was cut
	// short, or met with very many conflicts, may know neither.
	Smallest, Irreducible bool

	// Shortages are what these rules leave too little of.
	Shortages []Shortage
}

// Error reports which rules cannot be met together and why.
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

// only returns the squad with none but the given rules, and a pattern that
// cannot be spared.
func (q *squad) only(rules []Rule) *squad {
	from, to := q.p.Rules, Rules{}
	out := *q
	if !lopsided(q.p.Pattern) {
		out.p.Pattern = nil
	}
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

// lopsided reports whether a pattern gives all sides, and not as many ports as
// starboards.
func lopsided(pattern []rigging.Side) bool {
	return !slices.Contains(pattern, 0) && count(pattern, rigging.Port) != count(pattern, rigging.Starboard)
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
