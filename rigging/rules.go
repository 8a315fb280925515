package rigging

import "fmt"

// Crew is what the rules check is told of a boat and its crew. A zero value or
// an empty list was not given and is not checked.
type Crew struct {
	Class       Class
	HullMass    float64   // boat with fixtures, kg
	CoxMass     float64   // coxswain in racing dress, kg
	DeadWeight  float64   // carried by the coxswain, kg
	Lightweight bool      // the crew races as lightweights
	Sex         Sex       // of a lightweight crew
	Masses      []float64 // rowers in racing dress, kg
	HeelRise    float64   // of the shoe's heel with its strap taut, m
	BladeEdge   float64   // thickness of the thinnest blade's edge, m
	BowBall     float64   // diameter of the bow ball, m
}

// Finding is one rule applied to one value.
type Finding struct {
	Code     string
	Field    string
	Rule     string // the rule in words
	Edition  string // where it was read, with its date
	Quantity Quantity
	Value    float64 // kg or m
	Limit    float64 // kg or m
	AtMost   bool    // the limit is the largest value allowed, else the least
	Kept     bool
}

// The editions of the rules that the checks quote.
const (
	editionMasses  = "minimum boat masses as listed by national federations, read 2026"
	editionCox     = "international rules, minimum mass of the coxswain, from memory; older text (Beijing 2008): 55 kg men, 50 kg women, dead weight to 10 kg"
	editionLight   = "international rules, lightweight crews, as published by federations"
	editionHeel    = "British Rowing, April 2016; Scottish Rowing, January 2017"
	editionBlade   = "international rules, bye-law on blades, as published by federations"
	editionBowBall = "international rules, bow ball, as published by federations"
)

// CheckRules applies the usual federation rules to what is known of a crew.
// The current rule book and the local safety rules decide.
func CheckRules(c *Crew) []Finding {
	var list []Finding
	least := func(code, field, rule, edition string, q Quantity, value, limit float64) {
		if value != 0 {
			list = append(list, Finding{code, field, rule, edition, q, value, limit, false, value >= limit-rounding})
		}
	}
	most := func(code, field, rule, edition string, q Quantity, value, limit float64) {
		if value != 0 {
			list = append(list, Finding{code, field, rule, edition, q, value, limit, true, value <= limit+rounding})
		}
	}
	least("hull_mass", "hull_mass", "least mass of the boat with its fixtures, without oars", editionMasses, Mass, c.HullMass, c.Class.MinHullMass)
	if c.Class.Coxed {
		least("cox_mass", "cox_mass", "least mass of the coxswain with dead weight", editionCox, Mass, withDeadWeight(c), defaultCoxMass)
		most("dead_weight", "dead_weight", "largest dead weight", editionCox, Mass, c.DeadWeight, 15)
	}
	if c.Lightweight {
		c.checkLightweight(most)
	}
	most("heel_rise", "heel_rise", "each shoe tied down by itself, largest rise of its heel; the shoes free without hands", editionHeel, Length, c.HeelRise, 0.07)
	least("blade_edge", "blade_edge", "least thickness of the blade's edge", editionBlade, Length, c.BladeEdge, bladeEdge(c.Class))
	least("bow_ball", "bow_ball", "least diameter of the bow ball", editionBowBall, Length, c.BowBall, 0.04)
	return list
}

func withDeadWeight(c *Crew) float64 {
	if c.CoxMass == 0 {
		return 0
	}
	return c.CoxMass + c.DeadWeight
}

func bladeEdge(c Class) float64 {
	if c.Scull {
		return 0.003
	}
	return 0.005
}

// lightweightMasses holds the largest mass of a lightweight rower and the
// largest mean of a crew, kg: international rules, see editionLight.
var lightweightMasses = map[Sex][2]float64{Male: {72.5, 70}, Female: {59, 57}}

// LightweightMass returns the largest mass of a lightweight rower, kg; ok is
// false where the sex is not known.
func LightweightMass(s Sex) (most float64, ok bool) {
	row, ok := lightweightMasses[s]
	return row[0], ok
}

// checkLightweight checks each rower and, in crew boats, the mean. A single
// sculler counts by the rule for one rower.
func (c *Crew) checkLightweight(most func(code, field, rule, edition string, q Quantity, value, limit float64)) {
	limit, ok := lightweightMasses[c.Sex]
	if !ok || len(c.Masses) == 0 {
		return
	}
	heaviest, sum := 0.0, 0.0
	for _, m := range c.Masses {
		heaviest = max(heaviest, m)
		sum += m
	}
	most("lightweight_max", "masses", "largest mass of a lightweight rower", editionLight, Mass, heaviest, limit[0])
	if c.Class.Rowers > 1 && len(c.Masses) == c.Class.Rowers {
		most("lightweight_mean", "masses", "largest mean mass of a lightweight crew", editionLight, Mass, sum/float64(len(c.Masses)), limit[1])
	}
}

// Check returns every problem of the crew's values as FieldErrors, or nil.
func (c *Crew) Check() error {
	errs := checkAll(given(plausiblesIn(nil, c.Class,
		value{FieldHullMass, c.HullMass},
		value{FieldCoxMass, c.CoxMass},
		value{FieldDeadWeight, c.DeadWeight},
		value{FieldHeelRise, c.HeelRise},
		value{FieldBladeEdge, c.BladeEdge},
		value{FieldBowBall, c.BowBall},
	)))
	for i, m := range c.Masses {
		one := plausiblesIn(nil, c.Class, value{FieldMasses, m})[0]
		if e := one.check(); e != nil {
			e.Place = e.Place.Item(i)
			errs = append(errs, e)
		}
	}
	masses := PlaceOf(FieldMasses)
	if len(c.Masses) > c.Class.Rowers {
		errs = append(errs, problemAt(masses, ProblemMismatch, Mass, fmt.Sprintf("%d masses for a boat of %d rowers", len(c.Masses), c.Class.Rowers)))
	}
	if c.Lightweight && c.Sex == AnySex {
		errs = append(errs, problemAt(PlaceOf(FieldSex), ProblemMissing, Count, "say whether the lightweight crew is of women or men"))
	}
	return errs.orNil()
}
