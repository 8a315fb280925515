package api

import (
	"math"

	"thole/rigging"
)

// All conversions between the units of people and SI units, and all rounding
// on the way out, stand in this file.

// round returns v to the nearest multiple of step⁻¹, without a negative zero.
func round(v, perUnit float64) float64 { return math.Round(v*perUnit)/perUnit + 0 }

func toCm(m float64) float64           { return round(m*100, 100) }
func toM(m float64) float64            { return round(m, 1e4) }
func toDeg(a rigging.Angle) float64    { return round(a.Degrees(), 100) }
func toKg(kg float64) float64          { return round(kg, 100) }
func toRatio(r float64) float64        { return round(r, 1e4) }
func toSpeed(v float64) float64        { return round(v, 1e4) }
func toSeconds(s float64) float64      { return round(s, 1e4) }
func toDegPerSec(rate float64) float64 { return round(rate*180/math.Pi, 100) }

func fromCm(cm float64) float64         { return cm / 100 }
func fromDeg(deg float64) rigging.Angle { return rigging.Angle(deg) * rigging.Degree }

// perCm turns a rate in rad/m into degrees for each centimetre.
func perCm(radPerM float64) float64 { return round(radPerM*180/math.Pi/100, 1e4) }

// or returns the value, or fallback when it was not given.
func or[T any](value *T, fallback T) T {
	if value == nil {
		return fallback
	}
	return *value
}

// cmOr and degOr convert a value that was given; the fallback is in SI units.
func cmOr(cm *float64, fallback float64) float64 {
	if cm == nil {
		return fallback
	}
	return fromCm(*cm)
}

func degOr(deg *float64, fallback rigging.Angle) rigging.Angle {
	if deg == nil {
		return fallback
	}
	return fromDeg(*deg)
}

// cmKnown converts a measure that the domain takes as not given when it is
// zero. A zero that was stated is told apart by the smallest number there is,
// and so meets the range check.
func cmKnown(cm *float64) float64 { return cmKnownOr(cm, 0) }

func cmKnownOr(cm *float64, fallback float64) float64 {
	if cm == nil {
		return fallback
	}
	return known(cm, 1.0/100)
}

func degKnown(deg *float64) rigging.Angle { return degKnownOr(deg, 0) }

func degKnownOr(deg *float64, fallback rigging.Angle) rigging.Angle {
	if deg == nil {
		return fallback
	}
	return rigging.Angle(known(deg, float64(rigging.Degree)))
}

func known(value *float64, unit float64) float64 {
	switch {
	case value == nil:
		return 0
	case *value == 0:
		return math.SmallestNonzeroFloat64
	}
	return *value * unit
}

// unit describes how people read and write a quantity.
type unit struct {
	suffix string  // of names on the wire
	symbol string  // in text
	factor float64 // SI to people's unit
	digits int     // after the decimal point in text
}

var units = map[rigging.Quantity]unit{
	rigging.Count:    {"", "", 1, 2},
	rigging.Length:   {"_cm", "cm", 100, 1},
	rigging.Mass:     {"_kg", "kg", 1, 1},
	rigging.Plane:    {"_deg", "°", 180 / math.Pi, 1},
	rigging.Speed:    {"_m_s", "m/s", 1, 2},
	rigging.Duration: {"_years", "years", 1, 0},
}
