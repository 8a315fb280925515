package speed

import (
	"fmt"
	"math"

	"thole/rigging"
	"thole/selection"
)

const (
	// GearMass is what a rower brings along besides their own mass, kg: oar or
	// oars, shoes, clothes (engineering judgement; it makes the reference
	// displacements of the classes).
	GearMass = 3
	// CoxMass is the mass in kg of a coxswain with the dead weight that the
	// rules ask lighter ones to carry (from memory; the current rule book
	// decides).
	CoxMass = 55
)

// Boat is a boat of a class with its own masses.
type Boat struct {
	Class    rigging.Class
	HullMass float64 // kg
	CoxMass  float64 // kg with dead weight; 0 in a coxless class
}

// NewBoat returns a boat of the class at its least hull mass, with a coxswain
// of CoxMass where the class has one.
func NewBoat(class rigging.Class) Boat {
	b := Boat{Class: class, HullMass: class.MinHullMass}
	if class.Coxed {
		b.CoxMass = CoxMass
	}
	return b
}

// EmptyMass returns the displacement in kg without the rowers' own masses:
// hull, coxswain, and oars and gear for every rower.
func (b Boat) EmptyMass() float64 {
	return b.HullMass + b.CoxMass + GearMass*float64(b.Class.Rowers)
}

// Prediction is what a crew should do in a boat over a distance.
type Prediction struct {
	Speed        float64 // m/s
	Time         float64 // s
	Power        float64 // ΣP, W
	Displacement float64 // kg
	Drag         float64 // k, N·s²/m²

	// CrewSD is the SD of Time in s from the uncertain powers of this crew:
	// what matters between crews.
	CrewSD float64
	// ModelSD is the SD of Time in s from the uncertain efficiency and drag:
	// common to all crews of the class, it leaves their order alone.
	ModelSD float64
}

// The plausible ends of a rower's mass in kg and race power in W, and of a
// boat's and a coxswain's mass in kg (engineering judgement); bodies at least
// as wide as package rigging takes them.
const (
	minMass, maxMass         = 20, 220
	minPower, maxPower       = 20, 1000
	minHull, maxHull         = 5, 300
	minDistance, maxDistance = 100, 200_000
)

// Predict returns what the crew, in any order, should do over the distance in
// m. It errs with rigging.FieldErrors on a crew of the wrong size and on
// values that are impossible; in those, metres rowed and watts travel as bare
// numbers.
func Predict(boat Boat, crew []selection.Athlete, distance float64) (Prediction, error) {
	if errs := problems(boat, crew, distance); len(errs) > 0 {
		return Prediction{}, errs
	}
	var power, variance float64
	mass := boat.EmptyMass()
	for _, a := range crew {
		power += a.Power
		variance += a.PowerSD * a.PowerSD
		mass += a.Mass
	}
	pace := NewPace(boat.Class, distance, SameHull)
	perWatt, _ := pace.Gradient(power, mass)
	time := pace.Time(power, mass)
	return Prediction{
		Speed: distance / time, Time: time, Power: power, Displacement: mass,
		Drag:    Drag(boat.Class, mass, SameHull),
		CrewSD:  -perWatt * math.Sqrt(variance),
		ModelSD: time / 3 * math.Hypot(BladeEfficiencySD/BladeEfficiency, DragTolerance),
	}, nil
}

func problems(boat Boat, crew []selection.Athlete, distance float64) rigging.FieldErrors {
	errs := outside("distance", distance, minDistance, maxDistance, rigging.Count)
	errs = append(errs, outside("boat.hull_mass", boat.HullMass, minHull, maxHull, rigging.Mass)...)
	if boat.Class.Coxed {
		errs = append(errs, outside("boat.cox_mass", boat.CoxMass, minMass, maxMass, rigging.Mass)...)
	} else if boat.CoxMass != 0 {
		errs = append(errs, mismatch("boat.cox_mass", "a "+boat.Class.Code+" has no coxswain"))
	}
	if len(crew) != boat.Class.Rowers {
		return append(errs, mismatch("crew", fmt.Sprintf("a %s takes %d rowers, not %d", boat.Class.Code, boat.Class.Rowers, len(crew))))
	}
	for i, a := range crew {
		field := fmt.Sprintf("crew[%d].", i)
		errs = append(errs, outside(field+"mass", a.Mass, minMass, maxMass, rigging.Mass)...)
		errs = append(errs, outside(field+"power", a.Power, minPower, maxPower, rigging.Count)...)
		errs = append(errs, outside(field+"power_sd", a.PowerSD, 0, maxPower, rigging.Count)...)
	}
	return errs
}

func mismatch(field, detail string) *rigging.FieldError {
	return &rigging.FieldError{Field: field, Problem: rigging.ProblemMismatch, Detail: detail}
}

func outside(field string, value, low, high float64, quantity rigging.Quantity) rigging.FieldErrors {
	if value >= low && value <= high {
		return nil
	}
	return rigging.FieldErrors{{Field: field, Problem: rigging.ProblemRange, Value: value, Low: low, High: high, Quantity: quantity}}
}
