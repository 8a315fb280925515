package lineup

import (
	"maps"
	"math"
	"slices"

	"thole/rigging"
	"thole/selection"
)

// checker collects what is wrong with a problem.
type checker struct {
	p      Problem
	known  map[string]bool
	errors rigging.FieldErrors
}

// check returns [rigging.FieldErrors] with everything that is wrong with the
// input, nil when nothing is. Rules that contradict each other are not its
// business.
func check(p Problem) error {
	c := &checker{p: p, known: map[string]bool{}}
	c.class()
	c.pace()
	c.candidates()
	c.pattern()
	c.rigged()
	c.costs()
	c.yaw()
	c.rules()
	if len(c.errors) == 0 {
		return nil
	}
	return c.errors
}

// add adds an error about the value at a place.
func (c *checker) add(problem rigging.Problem, at rigging.Place, detail string, args ...any) {
	c.errors = append(c.errors, selection.ErrorAt(at, problem, detail, args...))
}

// between adds an error unless the value is a number from low to high; q is what
// it measures.
func (c *checker) between(at rigging.Place, value, low, high float64, q rigging.Quantity) {
	if !(value >= low && value <= high) {
		c.errors = append(c.errors, selection.RangeAt(at, value, low, high, q))
	}
}

func (c *checker) class() {
	if c.p.Class.Rowers < 1 || !c.p.Class.Scull && c.p.Class.Rowers%2 == 1 {
		c.add(rigging.ProblemUnknown, rigging.PlaceOf(rigging.FieldClass), "no boat of %d rowers is known", c.p.Class.Rowers)
	}
}

// pace checks what makes the speed. The ranges are our judgement: wide enough that only
// a slip of unit or digit is refused.
func (c *checker) pace() {
	p := c.p.Pace
	c.between(rigging.PlaceOf(selection.FieldPace, selection.FieldDistance), p.Distance, 1, 1e6, rigging.Length)
	c.between(rigging.PlaceOf(selection.FieldPace, selection.FieldEfficiency), p.Efficiency, 0.01, 1, rigging.Count)
	c.between(rigging.PlaceOf(selection.FieldPace, selection.FieldDrag), p.Drag, 0.01, 1e4, rigging.Count)
	c.between(rigging.PlaceOf(selection.FieldPace, selection.FieldReference), p.ReferenceMass, 1, 1e5, rigging.Mass)
	c.between(rigging.PlaceOf(selection.FieldPace, selection.FieldMassPower), p.MassExponent, 0, 3, rigging.Count)
	c.between(rigging.PlaceOf(selection.FieldPace, selection.FieldFixedMass), p.FixedMass, 0, 1e5, rigging.Mass)
}

func (c *checker) candidates() {
	names := map[string]int{}
	for k, a := range c.p.Candidates {
		at := rigging.PlaceOf(selection.FieldCandidates).Item(k)
		switch {
		case a.ID == "":
			c.add(rigging.ProblemMissing, at.Then(selection.FieldID), "every candidate needs an identifier")
		case c.known[a.ID]:
			c.add(rigging.ProblemMismatch, at.Then(selection.FieldID), "%q stands for two candidates", a.ID)
		}
		c.known[a.ID] = true
		if first, ok := names[a.Name]; ok && a.Name != "" {
			c.add(rigging.ProblemMismatch, at.Then(selection.FieldName),
				"candidates %d and %d are both called %s; ties are settled by name, so give them different names", first+1, k+1, a.Name)
		}
		names[a.Name] = k
		c.athlete(at, a)
	}
}

// The plausible ends of a candidate's race power in W and body mass in kg: wide
// enough for every rower from a child to the best ever, so that only slips and
// mistaken units are refused (engineering judgement).
const (
	minPower, maxPower = 1, 5000
	minMass, maxMass   = 10, 500
)

// athlete checks the numbers of one candidate.
func (c *checker) athlete(at rigging.Place, a selection.Athlete) {
	if a.Power == 0 || math.IsNaN(a.Power) {
		c.add(rigging.ProblemMissing, at.Then(selection.FieldPower), "%s has no race power", calledBy(a))
	} else {
		c.between(at.Then(selection.FieldPower), a.Power, minPower, maxPower, rigging.Count)
	}
	if a.Mass == 0 || math.IsNaN(a.Mass) {
		c.add(rigging.ProblemMissing, at.Then(rigging.FieldMass), "%s has no body mass", calledBy(a))
	} else {
		c.between(at.Then(rigging.FieldMass), a.Mass, minMass, maxMass, rigging.Mass)
	}
	c.between(at.Then(selection.FieldPowerSD), a.PowerSD, 0, maxPower, rigging.Count)
	for _, side := range slices.Sorted(maps.Keys(a.SideCost)) {
		if side != rigging.Port && side != rigging.Starboard {
			c.add(rigging.ProblemUnknown, at.Then(selection.FieldSides), "%s has a side that is neither port nor starboard", calledBy(a))
		}
		c.cost(at.Then(selection.FieldSides), a.SideCost[side])
	}
	c.curve(at.Then(selection.FieldCurve), a)
}

func (c *checker) curve(at rigging.Place, a selection.Athlete) {
	if a.Curve == nil {
		return
	}
	if len(a.Curve) != selection.CurveNodes {
		c.add(rigging.ProblemMismatch, at, "the curve of %s has %d values and needs %d", calledBy(a), len(a.Curve), selection.CurveNodes)
		return
	}
	var most float64
	for u, f := range a.Curve {
		if math.IsNaN(f) || math.Abs(f) > 1e9 {
			c.add(rigging.ProblemMismatch, at.Item(u), "the curve of %s is not a number there, or far too large", calledBy(a))
			return
		}
		most = max(most, f)
	}
	if most < 1e-9 {
		c.add(rigging.ProblemMismatch, at, "the curve of %s is nowhere above zero", calledBy(a))
	}
}

// dearestCost is the most that a cost from outside may be, in s: an hour, far
// beyond any race over 2000 m (engineering judgement).
const dearestCost = 3600

func (c *checker) cost(at rigging.Place, cost float64) {
	c.between(at, cost, -dearestCost, dearestCost, rigging.Count)
}

func (c *checker) pattern() {
	given := c.p.Pattern
	if len(given) == 0 {
		return
	}
	if c.p.Class.Scull {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(selection.FieldPattern), "a sculling boat has no sides")
		return
	}
	if len(given) != c.p.Class.Rowers {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(selection.FieldPattern), "%d sides are given for %d seats", len(given), c.p.Class.Rowers)
		return
	}
	for s, side := range given {
		if side < rigging.Port || side > rigging.Starboard {
			c.add(rigging.ProblemUnknown, rigging.PlaceOf(selection.FieldPattern).Item(s), "a side is port or starboard")
			return
		}
	}
	if len(patterns(len(given), given)) == 0 {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(selection.FieldPattern), "the seats left free cannot even out ports and starboards")
	}
}

// rigged checks how the boat stands.
func (c *checker) rigged() {
	c.between(rigging.PlaceOf(selection.FieldRerig), c.p.Rerig, 0, dearestCost, rigging.Count)
	given := c.p.Rigged
	if len(given) == 0 {
		return
	}
	if c.p.Class.Scull || len(given) != c.p.Class.Rowers {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(selection.FieldRigged), "%d sides are given of a boat of class %s", len(given), c.p.Class.Code)
		return
	}
	for s, side := range given {
		if side != rigging.Port && side != rigging.Starboard {
			c.add(rigging.ProblemUnknown, rigging.PlaceOf(selection.FieldRigged).Item(s), "a side is port or starboard")
		}
	}
}

func isGiven(side rigging.Side) bool { return side != 0 }

func (c *checker) costs() {
	seen := map[SeatCost]bool{}
	for k, cost := range c.p.SeatCosts {
		at := rigging.PlaceOf(selection.FieldSeatCosts).Item(k)
		c.id(at.Then(selection.FieldID), cost.ID)
		c.seat(at.Then(rigging.FieldSeat), cost.Seat)
		c.cost(at.Then(selection.FieldCost), cost.Cost)
		cost.Cost = 0
		if seen[cost] {
			c.add(rigging.ProblemMismatch, at, "this athlete and seat already have a cost")
		}
		seen[cost] = true
	}
}

func (c *checker) id(at rigging.Place, id string) {
	if !c.known[id] {
		c.add(rigging.ProblemUnknown, at, "no candidate is called %q", id)
	}
}

func (c *checker) seat(at rigging.Place, seat int) {
	if seat < 1 || seat > c.p.Class.Rowers {
		c.add(rigging.ProblemUnknown, at, "there is no seat %d", seat)
	}
}

// yaw checks the weights, and what the moment of a sweep boat needs. The ranges are our
// judgement: wide enough that only a slip of unit or digit is refused.
func (c *checker) yaw() {
	c.between(rigging.PlaceOf(selection.FieldWeights, selection.FieldLikeness), c.p.Weights.Likeness, 0, 1e5, rigging.Count)
	c.between(rigging.PlaceOf(selection.FieldWeights, selection.FieldYaw), c.p.Weights.Yaw, 0, 1e5, rigging.Count)
	if c.p.Class.Scull || c.p.Weights.Yaw == 0 {
		return
	}
	quarter := math.Pi / 2
	c.between(rigging.PlaceOf(rigging.FieldCatch), c.p.Catch.Radians(), -quarter, 0, rigging.Plane)
	c.between(rigging.PlaceOf(rigging.FieldFinish), c.p.Finish.Radians(), 0, quarter, rigging.Plane)
	if c.p.Finish-c.p.Catch < rigging.Degree {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(rigging.FieldFinish), "the drive needs an arc from catch to finish")
	}
	c.between(rigging.PlaceOf(selection.FieldSpacing), c.p.Spacing, 0.1, 10, rigging.Length)
}

func (c *checker) rules() {
	r, rules := c.p.Rules, rigging.PlaceOf(selection.FieldRules)
	for k, pin := range r.Pins {
		at := rules.Then(selection.FieldPins).Item(k)
		c.id(at.Then(selection.FieldID), pin.ID)
		c.seat(at.Then(rigging.FieldSeat), pin.Seat)
	}
	for k, id := range r.Must {
		c.id(rules.Then(selection.FieldMust).Item(k), id)
	}
	for k, id := range r.Out {
		c.id(rules.Then(selection.FieldOut).Item(k), id)
	}
	for kind, pairs := range r.pairLists {
		c.pairs(rules.Then(rigging.Field(kind)), pairs)
	}
	c.between(rules.Then(selection.FieldMeanMass), r.MeanMass, 0, 500, rigging.Mass)
	c.between(rules.Then(selection.FieldMaxMass), r.MaxMass, 0, 500, rigging.Mass)
	c.count(rules.Then(selection.FieldWomenMin), &r.WomenMin)
	c.count(rules.Then(selection.FieldMenMin), &r.MenMin)
	c.count(rules.Then(selection.FieldWomenMax), r.WomenMax)
	c.count(rules.Then(selection.FieldMenMax), r.MenMax)
}

func (c *checker) pairs(list rigging.Place, pairs []Pair) {
	for k, p := range pairs {
		at := list.Item(k)
		c.id(at, p.First)
		c.id(at, p.Second)
		if p.First == p.Second {
			c.add(rigging.ProblemMismatch, at, "a pair needs two different athletes")
		}
	}
}

func (c *checker) count(at rigging.Place, n *int) {
	if n != nil && *n < 0 {
		c.add(rigging.ProblemMismatch, at, "a number of rowers cannot be negative")
	}
}
