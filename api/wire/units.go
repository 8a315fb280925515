// Package wire holds what is said at the edge: units, numbers, times and names as
// people write them, places in a request, complaints about them with their places, and
// refusals. It knows no area, no store and no HTTP but its status codes.
package wire

import (
	"math"

	"thole/rigging"
)

// SomeOf is nil for what was not taken.
func SomeOf(v float64) *float64 {
	if v <= 0 {
		return nil
	}
	return &v
}

// OrNumber marks an object that may be written as its first member alone.
type OrNumber interface{ OrNumber() }

// Ptr returns where a value stands, for members that may be left out.
func Ptr[T any](v T) *T { return &v }

// ToWatts gives watts to a hundredth.
func ToWatts(w float64) float64 { return Round(w, 100) }

// All conversions between the units of people and SI units, and all rounding
// on the way out, stand in this file.

// Round returns v to the nearest multiple of step⁻¹, without a negative zero.
func Round(v, perUnit float64) float64 { return math.Round(v*perUnit)/perUnit + 0 }

// ToCm gives metres in cm, to 0.1 mm.
func ToCm(m float64) float64 { return Round(m*100, 100) }

// ToM gives metres to 0.1 mm.
func ToM(m float64) float64 { return Round(m, 1e4) }

// ToDeg gives an angle in degrees, to 0.01°.
func ToDeg(a rigging.Angle) float64 { return Round(a.Degrees(), 100) }

// ToKg gives kilograms to 10 g.
func ToKg(kg float64) float64 { return Round(kg, 100) }

// ToRatio gives a ratio to four digits.
func ToRatio(r float64) float64 { return Round(r, 1e4) }

// ToSpeed gives m/s to 0.1 mm/s.
func ToSpeed(v float64) float64 { return Round(v, 1e4) }

// ToSeconds gives seconds to 0.1 ms.
func ToSeconds(s float64) float64 { return Round(s, 1e4) }

// ToThousandths gives the seconds of a test to a thousandth, which is more than any
// ergometer shows.
func ToThousandths(s float64) float64 { return Round(s, 1000) }

// ToDegPerSec gives rad/s in °/s, to 0.01°/s.
func ToDegPerSec(rate float64) float64 { return Round(rate*180/math.Pi, 100) }

// FromCm gives cm in metres.
func FromCm(cm float64) float64 { return cm / 100 }

// FromDeg gives degrees as an angle, rad.
func FromDeg(deg float64) rigging.Angle { return rigging.Angle(deg) * rigging.Degree }

// PerCm turns a rate in rad/m into degrees for each centimetre.
func PerCm(radPerM float64) float64 { return Round(radPerM*180/math.Pi/100, 1e4) }

// Or returns the value, or fallback when it was not given.
func Or[T any](value *T, fallback T) T {
	if value == nil {
		return fallback
	}
	return *value
}

// CmOr converts cm that were given; the fallback is in m.
func CmOr(cm *float64, fallback float64) float64 {
	if cm == nil {
		return fallback
	}
	return FromCm(*cm)
}

// DegOr converts degrees that were given; the fallback is in rad.
func DegOr(deg *float64, fallback rigging.Angle) rigging.Angle {
	if deg == nil {
		return fallback
	}
	return FromDeg(*deg)
}

// CmKnown converts a measure that the domain takes as not given when it is
// zero. A zero that was stated is told apart by the smallest number there is,
// and so meets the range check.
func CmKnown(cm *float64) float64 { return CmKnownOr(cm, 0) }

// CmKnownOr is CmKnown with a fallback, m, for what was not given.
func CmKnownOr(cm *float64, fallback float64) float64 {
	if cm == nil {
		return fallback
	}
	return Known(cm, 1.0/100)
}

// DegKnown is CmKnown for degrees; the angle is in rad.
func DegKnown(deg *float64) rigging.Angle { return DegKnownOr(deg, 0) }

// DegKnownOr is DegKnown with a fallback, rad, for what was not given.
func DegKnownOr(deg *float64, fallback rigging.Angle) rigging.Angle {
	if deg == nil {
		return fallback
	}
	return rigging.Angle(Known(deg, float64(rigging.Degree)))
}

// Known is a value times its unit in SI; 0 where it was not given, and the smallest
// number there is for a 0 that was.
func Known(value *float64, unit float64) float64 {
	switch {
	case value == nil:
		return 0
	case *value == 0:
		return math.SmallestNonzeroFloat64
	}
	return *value * unit
}

// Unit describes how people read and write a quantity.
type Unit struct {
	Suffix string  // of names on the wire
	symbol string  // in text
	Factor float64 // SI to people's unit
	Digits int     // after the decimal point in text
}

// CmPerInch is the inch in cm.
const CmPerInch = 100 * rigging.Inch

// Units holds the unit of each quantity at the edge; the factors are by definition.
var Units = map[rigging.Quantity]Unit{
	rigging.Count:    {"", "", 1, 2},
	rigging.Length:   {"_cm", "cm", 100, 1},
	rigging.Mass:     {"_kg", "kg", 1, 1},
	rigging.Plane:    {"_deg", "°", 180 / math.Pi, 1},
	rigging.Speed:    {"_m_s", "m/s", 1, 2},
	rigging.Duration: {"_years", "years", 1, 0},
}
