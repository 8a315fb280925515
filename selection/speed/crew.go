package speed

import (
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

// The plausible ends of a rower’s mass in kg, and of a
// boat's and a coxswain's mass in kg (engineering judgement); bodies at least
// as wide as package rigging takes them.
const (
	minMass, maxMass         = 20, 220
	minHull, maxHull         = 5, 300
	minDistance, maxDistance = 100, 200_000
	minDrag, maxDrag         = 0.5, 50 // N·s²/m²
)

// mismatch returns a problem of a field that no range describes.
func mismatch(field rigging.Field, detail string) *rigging.FieldError {
	return &rigging.FieldError{Place: rigging.PlaceOf(field), Problem: rigging.ProblemMismatch, Detail: detail}
}

// refusal returns such a problem as the one error of an input.
func refusal(field rigging.Field, detail string) error {
	return rigging.FieldErrors{mismatch(field, detail)}
}

// outside returns the problem of a value outside its range, or none.
func outside(field rigging.Field, value, low, high float64, quantity rigging.Quantity) rigging.FieldErrors {
	return outsideAt(rigging.PlaceOf(field), value, low, high, quantity)
}

// outsideAt returns the problem of the value at a place outside its range, or
// none. NaN is outside.
func outsideAt(at rigging.Place, value, low, high float64, quantity rigging.Quantity) rigging.FieldErrors {
	if value >= low && value <= high {
		return nil
	}
	return rigging.FieldErrors{selection.RangeAt(at, value, low, high, quantity)}
}
