// Package erg reads scores of an air-braked rowing ergometer: pace and power, body
// mass, duration, and from all tests of an athlete one race power with its
// uncertainty. It is about the machine alone: what a power is worth in a boat is for
// package speed. Paces are s/m, powers W, distances m, times s, masses kg; a pace "per
// 500 m" is 500 times as many seconds, and the edge converts.
package erg

import (
	"fmt"
	"math"

	"thole/rigging"
	"thole/selection"
)

// AirBrake is the constant in W·s³/m³ that joins the pace and the power shown
// by air-braked rowing ergometers: a relation their manufacturers publish.
const AirBrake = 2.80

// RaceDistance is the distance in m that race power refers to.
const RaceDistance = selection.RaceDistance

// The adjustment of a time to body mass, as the manufacturers publish it.
const (
	// adjustMass is the body mass at which an adjusted time equals the time: 270 lb.
	adjustMass = 270 * rigging.Pound
	// adjustExponent is the exponent of time. Geometric similarity gives 2/9.
	adjustExponent = 0.222
)

// The exponents of boat speed over body mass and ergometer speed in singles: A. M.
// Nevill, C. Beech, R. L. Holder, M. Wyon, Scand J Med Sci Sports 20 (2010) 122–127.
const (
	waterMassExponent  = -0.23
	waterSpeedExponent = 1.87
)

// DoublingStep is what each doubling of the distance adds to the pace in s/m:
// 5 s per 500 m (common practice).
const DoublingStep = 5.0 / 500

// Power returns the power in W shown at a pace in s/m: P = 2.80 / pace³.
func Power(pace float64) float64 {
	mustBePositive("pace", pace)
	return AirBrake / (pace * pace * pace)
}

// Pace returns the pace in s/m shown at a power in W, the inverse of Power.
func Pace(power float64) float64 {
	mustBePositive("power", power)
	return math.Cbrt(AirBrake / power)
}

// Effort is one stretch rowed on the ergometer. It does not matter which of
// the two was set in advance.
//
// Its methods panic on what is not positive and finite, as all functions of bare
// numbers in this package do. Data as people enter them (lists of Effort and Test, a
// typed time) are answered with errors of package rigging that name the field; in
// those, metres rowed, seconds and watts travel as bare numbers, since the quantities
// of that package are those of bodies and boats.
type Effort struct {
	Distance float64 // m
	Time     float64 // s
}

// Pace returns the mean pace in s/m.
func (e Effort) Pace() float64 {
	mustBePositive("distance", e.Distance)
	mustBePositive("time", e.Time)
	return e.Time / e.Distance
}

// Power returns the power in W that belongs to the mean pace.
func (e Effort) Power() float64 { return Power(e.Pace()) }

// AdjustedTime returns the time in s adjusted to body mass in kg,
// time × (mass / 270 lb)^0.222, for comparing athletes of different mass.
func AdjustedTime(time, mass float64) float64 {
	mustBePositive("time", time)
	mustBePositive("mass", mass)
	return time * math.Pow(mass/adjustMass, adjustExponent)
}

// AdjustedPower returns the power in W that rows the adjusted time.
func AdjustedPower(power, mass float64) float64 {
	mustBePositive("power", power)
	mustBePositive("mass", mass)
	return power * math.Pow(mass/adjustMass, -3*adjustExponent)
}

// WaterIndex returns a number proportional to the speed of junior men in
// single sculls: (speed × mass^−0.23)^1.87 with the ergometer speed in m/s
// and the mass in kg, after Nevill, Beech, Holder and Wyon (2010). Only the
// ratio of two indices has a meaning.
func WaterIndex(speed, mass float64) float64 {
	mustBePositive("speed", speed)
	mustBePositive("mass", mass)
	return math.Pow(speed*math.Pow(mass, waterMassExponent), waterSpeedExponent)
}

// PaceByDoubling returns the pace in s/m to expect over the distance to from
// the pace over the distance from, by the rule of 5 s per 500 m more for each
// doubling (common practice; it fits neither sprinters nor stayers). It can
// give a pace that is not positive when to is a small fraction of from.
func PaceByDoubling(pace, from, to float64) float64 {
	mustBePositive("pace", pace)
	mustBePositive("distance", from)
	mustBePositive("distance", to)
	return pace + DoublingStep*math.Log2(to/from)
}

func mustBePositive(name string, value float64) {
	if !(value > 0) || math.IsInf(value, 1) {
		panic(fmt.Sprintf("erg: %s must be positive and finite, got %g", name, value))
	}
}

// The plausible ends of what people enter: wide enough for a few strokes'
// sprint and a day's row, and for every body that package rigging takes;
// outside them the value is a slip of the pen (engineering judgement).
const (
	minDistance, maxDistance = 20, 400_000 // m
	minTime, maxTime         = 5, 86_400   // s
	minMass, maxMass         = 20, 220     // kg
)

func checkEfforts(tests []Effort) error {
	list := rigging.PlaceOf(selection.FieldTests)
	if len(tests) == 0 {
		return selection.ErrorAt(list, rigging.ProblemMissing, "at least one is needed")
	}
	var errs rigging.FieldErrors
	for i, e := range tests {
		errs = append(errs, e.problems(list.Item(i))...)
	}
	if len(errs) > 0 {
		return errs
	}
	return nil
}

// problems lists what is impossible about the effort, which stands at a place.
func (e Effort) problems(at rigging.Place) rigging.FieldErrors {
	errs := outside(at.Then(selection.FieldDistance), e.Distance, minDistance, maxDistance, rigging.Count)
	return append(errs, outside(at.Then(selection.FieldTime), e.Time, minTime, maxTime, rigging.Count)...)
}

// outside returns an error unless the value at a place is from low to high.
func outside(at rigging.Place, value, low, high float64, quantity rigging.Quantity) rigging.FieldErrors {
	if value >= low && value <= high {
		return nil
	}
	return rigging.FieldErrors{selection.RangeAt(at, value, low, high, quantity)}
}
