package lineup

import (
	"fmt"
	"slices"
	"strings"
)

// RuleKind is what a rule is about.
type RuleKind string

// The kinds of rules.
const (
	RulePattern  RuleKind = "pattern"  // the order of the sides
	RulePin      RuleKind = "pin"      // an athlete in a seat
	RuleMust     RuleKind = "must"     // an athlete that has to row
	RuleOut      RuleKind = "out"      // an athlete that must not row
	RuleApart    RuleKind = "apart"    // two that never are neighbours
	RuleAdjacent RuleKind = "adjacent" // two that are neighbours when both row
	RuleNever    RuleKind = "never"    // two that never row together
	RuleMeanMass RuleKind = "mean_mass"
	RuleMaxMass  RuleKind = "max_mass"
	RuleWomenMin RuleKind = "women_min"
	RuleWomenMax RuleKind = "women_max"
	RuleMenMin   RuleKind = "men_min"
	RuleMenMax   RuleKind = "men_max"
)

// Rule is one of the rules of a problem.
type Rule struct {
	Kind  RuleKind
	Index int      // in its list in [Rules]; 0 when there is no list
	IDs   []string // the athletes it names
	Names []string // what they are called
	Seat  int      // of a pin; 1 is bow
	Count int      // of women or men
}

// String reports the rule in words, without figures that have a unit.
func (r Rule) String() string {
	who := strings.Join(r.Names, " and ")
	switch r.Kind {
	case RulePattern:
		return "the sides of the seats are given"
	case RulePin:
		return fmt.Sprintf("%s sits in seat %d", who, r.Seat)
	case RuleMust:
		return who + " has to row"
	case RuleOut:
		return who + " does not row"
	case RuleApart:
		return who + " are not neighbours"
	case RuleAdjacent:
		return who + " are neighbours when both row"
	case RuleNever:
		return who + " do not row together"
	case RuleMeanMass:
		return "the mean mass of the crew is limited"
	case RuleMaxMass:
		return "the mass of every rower is limited"
	}
	return r.countText()
}

func (r Rule) countText() string {
	limit, who := "at least", counted(r.Count, "woman", "women")
	if r.Kind == RuleWomenMax || r.Kind == RuleMenMax {
		limit = "at most"
	}
	if r.Kind == RuleMenMin || r.Kind == RuleMenMax {
		who = counted(r.Count, "man", "men")
	}
	return fmt.Sprintf("%s %d %s", limit, r.Count, who)
}

// rules lists the rules of the squad's problem.
func (q *squad) rules() []Rule {
	var out []Rule
	r := q.p.Rules
	if slices.ContainsFunc(q.p.Pattern, isGiven) {
		out = append(out, Rule{Kind: RulePattern})
	}
	for k, p := range r.Pins {
		out = append(out, Rule{Kind: RulePin, Index: k, IDs: []string{p.ID}, Seat: p.Seat})
	}
	for k, id := range r.Must {
		out = append(out, Rule{Kind: RuleMust, Index: k, IDs: []string{id}})
	}
	for k, id := range r.Out {
		out = append(out, Rule{Kind: RuleOut, Index: k, IDs: []string{id}})
	}
	for kind, pairs := range r.pairLists {
		for k, p := range pairs {
			out = append(out, Rule{Kind: kind, Index: k, IDs: []string{p.First, p.Second}})
		}
	}
	if r.MeanMass > 0 {
		out = append(out, Rule{Kind: RuleMeanMass})
	}
	if r.MaxMass > 0 {
		out = append(out, Rule{Kind: RuleMaxMass})
	}
	return q.named(append(out, r.counts()...))
}

// pairLists returns the rules about pairs with their kinds.
func (r Rules) pairLists(yield func(RuleKind, []Pair) bool) {
	_ = yield(RuleApart, r.Apart) && yield(RuleAdjacent, r.Adjacent) && yield(RuleNever, r.Never)
}

// counts lists the rules about women and men.
func (r Rules) counts() (out []Rule) {
	if r.WomenMin > 0 {
		out = append(out, Rule{Kind: RuleWomenMin, Count: r.WomenMin})
	}
	if r.WomenMax != nil {
		out = append(out, Rule{Kind: RuleWomenMax, Count: *r.WomenMax})
	}
	if r.MenMin > 0 {
		out = append(out, Rule{Kind: RuleMenMin, Count: r.MenMin})
	}
	if r.MenMax != nil {
		out = append(out, Rule{Kind: RuleMenMax, Count: *r.MenMax})
	}
	return out
}

// named fills in what the athletes of the rules are called.
func (q *squad) named(rules []Rule) []Rule {
	for k := range rules {
		for _, id := range rules[k].IDs {
			rules[k].Names = append(rules[k].Names, calledBy(q.athletes[q.index[id]]))
		}
	}
	return rules
}

// broken returns the rules that a crew in its seats does not keep.
func (q *squad) broken(crew []int, r *rig) []Rule {
	var out []Rule
	for _, rule := range q.rules() {
		if !q.keeps(rule, crew, r) {
			out = append(out, rule)
		}
	}
	return out
}

// keeps reports whether a crew in its seats keeps a rule.
func (q *squad) keeps(rule Rule, crew []int, r *rig) bool {
	seat := make([]int, len(rule.IDs)) // of the athletes named, -1 when they do not row
	for k, id := range rule.IDs {
		seat[k] = slices.Index(crew, q.index[id])
	}
	switch rule.Kind {
	case RulePattern:
		return q.keepsPattern(r)
	case RulePin:
		return seat[0] == rule.Seat-1
	case RuleMust:
		return seat[0] >= 0
	case RuleOut:
		return seat[0] < 0
	case RuleApart, RuleAdjacent, RuleNever:
		return keepsPair(rule.Kind, seat[0], seat[1])
	}
	return q.keepsSum(rule.Kind, crew)
}

func (q *squad) keepsPattern(r *rig) bool {
	for s, side := range q.p.Pattern {
		if isGiven(side) && side != r.sides[s] {
			return false
		}
	}
	return true
}

func keepsPair(kind RuleKind, s, t int) bool {
	if s < 0 || t < 0 {
		return true
	}
	neighbours := s-t == 1 || t-s == 1
	return kind == RuleApart && !neighbours || kind == RuleAdjacent && neighbours
}

// keepsSum judges the rules about the whole crew.
func (q *squad) keepsSum(kind RuleKind, crew []int) bool {
	r := q.p.Rules
	var women int
	var mass, heaviest float64
	for _, i := range crew {
		mass += q.mass[i]
		heaviest = max(heaviest, q.mass[i])
		if q.athletes[i].Female {
			women++
		}
	}
	men := len(crew) - women
	switch kind {
	case RuleMeanMass:
		return mass <= r.MeanMass*float64(len(crew))+loadSlack
	case RuleMaxMass:
		return heaviest <= r.MaxMass+loadSlack
	case RuleWomenMin:
		return women >= r.WomenMin
	case RuleWomenMax:
		return women <= *r.WomenMax
	case RuleMenMin:
		return men >= r.MenMin
	}
	return men <= *r.MenMax
}
