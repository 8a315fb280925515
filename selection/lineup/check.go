package lineup

import (
	"fmt"
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
	c.costs()
	c.yaw()
	c.rules()
	if len(c.errors) == 0 {
		return nil
	}
	return c.errors
}

func (c *checker) add(problem rigging.Problem, field, detail string, args ...any) {
	c.errors = append(c.errors, &rigging.FieldError{
		Field: field, Problem: problem, Detail: fmt.Sprintf(detail, args...),
	})
}

// between wants a finite number from low to high; q tells its unit.
func (c *checker) between(field string, value, low, high float64, q rigging.Quantity) {
	if !(value >= low && value <= high) {
		c.errors = append(c.errors, &rigging.FieldError{
			Field: field, Problem: rigging.ProblemRange, Value: value, Low: low, High: high, Quantity: q,
		})
	}
}

func (c *checker) class() {
	if c.p.Class.Rowers < 1 || !c.p.Class.Scull && c.p.Class.Rowers%2 == 1 {
		c.add(rigging.ProblemUnknown, "class", "no boat of %d rowers is known", c.p.Class.Rowers)
	}
}

func (c *checker) pace() {
	p := c.p.Pace
	c.between("pace.distance", p.Distance, 1, 1e6, rigging.Length)
	c.between("pace.efficiency", p.Efficiency, 0.01, 1, rigging.Count)
	c.between("pace.drag", p.Drag, 0.01, 1e4, rigging.Count)
	c.between("pace.reference_mass", p.ReferenceMass, 1, 1e5, rigging.Mass)
	c.between("pace.mass_exponent", p.MassExponent, 0, 3, rigging.Count)
	c.between("pace.fixed_mass", p.FixedMass, 0, 1e5, rigging.Mass)
}

func (c *checker) candidates() {
	names := map[string]int{}
	for k, a := range c.p.Candidates {
		field := fmt.Sprintf("candidates[%d]", k)
		switch {
		case a.ID == "":
			c.add(rigging.ProblemMissing, field+".id", "every candidate needs an identifier")
		case c.known[a.ID]:
			c.add(rigging.ProblemMismatch, field+".id", "%q stands for two candidates", a.ID)
		}
		c.known[a.ID] = true
		if first, ok := names[a.Name]; ok && a.Name != "" {
			c.add(rigging.ProblemMismatch, field+".name",
				"candidates %d and %d are both called %s; ties are settled by name, so tell them apart", first+1, k+1, a.Name)
		}
		names[a.Name] = k
		c.athlete(field, a)
	}
}

// athlete checks the numbers of one candidate.
func (c *checker) athlete(field string, a selection.Athlete) {
	if a.Power == 0 || math.IsNaN(a.Power) {
		c.add(rigging.ProblemMissing, field+".power", "%s has no race power", calledBy(a))
	} else {
		c.between(field+".power", a.Power, 1, 5000, rigging.Count)
	}
	if a.Mass == 0 || math.IsNaN(a.Mass) {
		c.add(rigging.ProblemMissing, field+".mass", "%s has no body mass", calledBy(a))
	} else {
		c.between(field+".mass", a.Mass, 10, 500, rigging.Mass)
	}
	c.between(field+".power_sd", a.PowerSD, 0, 5000, rigging.Count)
	for _, side := range slices.Sorted(maps.Keys(a.SideCost)) {
		if side != rigging.Port && side != rigging.Starboard {
			c.add(rigging.ProblemUnknown, field+".sides", "%s has a side that is neither port nor starboard", calledBy(a))
		}
		c.cost(field+".sides", a.SideCost[side])
	}
	c.curve(field+".curve", a)
}

func (c *checker) curve(field string, a selection.Athlete) {
	if a.Curve == nil {
		return
	}
	if len(a.Curve) != selection.CurveNodes {
		c.add(rigging.ProblemMismatch, field, "the curve of %s has %d values and needs %d", calledBy(a), len(a.Curve), selection.CurveNodes)
		return
	}
	var most float64
	for u, f := range a.Curve {
		if math.IsNaN(f) || math.Abs(f) > 1e9 {
			c.add(rigging.ProblemMismatch, fmt.Sprintf("%s[%d]", field, u), "the curve of %s is not a number there, or far too large", calledBy(a))
			return
		}
		most = max(most, f)
	}
	if most < 1e-9 {
		c.add(rigging.ProblemMismatch, field, "the curve of %s is nowhere above zero", calledBy(a))
	}
}

// dearestCost is the most that a cost from outside may be, in s.
const dearestCost = 3600

func (c *checker) cost(field string, cost float64) {
	c.between(field, cost, -dearestCost, dearestCost, rigging.Count)
}

func (c *checker) pattern() {
	given := c.p.Pattern
	if len(given) == 0 {
		return
	}
	if c.p.Class.Scull {
		c.add(rigging.ProblemMismatch, "pattern", "a sculling boat has no sides")
		return
	}
	if len(given) != c.p.Class.Rowers {
		c.add(rigging.ProblemMismatch, "pattern", "%d sides are given for %d seats", len(given), c.p.Class.Rowers)
		return
	}
	for s, side := range given {
		if side < rigging.Port || side > rigging.Starboard {
			c.add(rigging.ProblemUnknown, fmt.Sprintf("pattern[%d]", s), "a side is port or starboard")
			return
		}
	}
	if len(patterns(len(given), given)) == 0 {
		c.add(rigging.ProblemMismatch, "pattern", "the seats left free cannot even out ports and starboards")
	}
}

func isGiven(side rigging.Side) bool { return side != 0 }

func (c *checker) costs() {
	seen := map[SeatCost]bool{}
	for k, cost := range c.p.SeatCosts {
		field := fmt.Sprintf("seat_costs[%d]", k)
		c.id(field+".id", cost.ID)
		c.seat(field+".seat", cost.Seat)
		c.cost(field+".cost", cost.Cost)
		cost.Cost = 0
		if seen[cost] {
			c.add(rigging.ProblemMismatch, field, "this athlete and seat already have a cost")
		}
		seen[cost] = true
	}
}

func (c *checker) id(field, id string) {
	if !c.known[id] {
		c.add(rigging.ProblemUnknown, field, "no candidate is called %q", id)
	}
}

func (c *checker) seat(field string, seat int) {
	if seat < 1 || seat > c.p.Class.Rowers {
		c.add(rigging.ProblemUnknown, field, "there is no seat %d", seat)
	}
}

func (c *checker) yaw() {
	c.between("weights.likeness", c.p.Weights.Likeness, 0, 1e5, rigging.Count)
	c.between("weights.yaw", c.p.Weights.Yaw, 0, 1e5, rigging.Count)
	if c.p.Class.Scull || c.p.Weights.Yaw == 0 {
		return
	}
	quarter := math.Pi / 2
	c.between("catch", c.p.Catch.Radians(), -quarter, 0, rigging.Plane)
	c.between("finish", c.p.Finish.Radians(), 0, quarter, rigging.Plane)
	if c.p.Finish-c.p.Catch < rigging.Degree {
		c.add(rigging.ProblemMismatch, "finish", "the drive needs an arc from catch to finish")
	}
	c.between("spacing", c.p.Spacing, 0.1, 10, rigging.Length)
}

func (c *checker) rules() {
	r := c.p.Rules
	for k, pin := range r.Pins {
		field := fmt.Sprintf("rules.pins[%d]", k)
		c.id(field+".id", pin.ID)
		c.seat(field+".seat", pin.Seat)
	}
	for k, id := range r.Must {
		c.id(fmt.Sprintf("rules.must[%d]", k), id)
	}
	for k, id := range r.Out {
		c.id(fmt.Sprintf("rules.out[%d]", k), id)
	}
	for kind, pairs := range r.pairLists {
		c.pairs("rules."+string(kind), pairs)
	}
	c.between("rules.mean_mass", r.MeanMass, 0, 500, rigging.Mass)
	c.between("rules.max_mass", r.MaxMass, 0, 500, rigging.Mass)
	c.count("rules.women_min", &r.WomenMin)
	c.count("rules.men_min", &r.MenMin)
	c.count("rules.women_max", r.WomenMax)
	c.count("rules.men_max", r.MenMax)
}

func (c *checker) pairs(field string, pairs []Pair) {
	for k, p := range pairs {
		at := fmt.Sprintf("%s[%d]", field, k)
		c.id(at, p.First)
		c.id(at, p.Second)
		if p.First == p.Second {
			c.add(rigging.ProblemMismatch, at, "a pair needs two different athletes")
		}
	}
}

func (c *checker) count(field string, n *int) {
	if n != nil && *n < 0 {
		c.add(rigging.ProblemMismatch, field, "a number of rowers cannot be negative")
	}
}
