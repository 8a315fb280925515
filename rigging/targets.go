package rigging

import (
	"maps"
	"slices"
)

// Target names a result of a rig that can be asked for.
type Target string

// The targets. [MakePlan] aims at the two ends of the arc; the others are what
// oars, pins and gates give, and are compared only.
const (
	TargetCatch      Target = "catch"       // signed oar angle at the catch, rad
	TargetFinish     Target = "finish"      // oar angle at the finish, rad
	TargetLeverRatio Target = "lever_ratio" // see Gearing.LeverRatio
	// TargetDrawHeight is the height of the hand over the seat with the blade
	// just covered, m; the value 0 stands for where the hands meet the
	// rower's body.
	TargetDrawHeight Target = "draw_height"
	TargetOverlap    Target = "overlap" // Overlap.Raw, m
)

// Goal is the value wanted of a target, in its SI unit.
type Goal struct {
	Value float64
	// Tolerance is the miss up to which the target counts as met; 0 stands
	// for [Target.Tolerance].
	Tolerance float64
}

// Goals holds what is asked of a rig.
type Goals map[Target]Goal

// targetTrait says what a target measures and how near counts as met.
type targetTrait struct {
	target    Target
	quantity  Quantity
	tolerance float64
}

// targetTraits lists the targets in the order of their reports. The tolerances
// are engineering judgement: half a degree is what a gate sensor scatters by and
// a step of the stretcher moves, a fiftieth of lever ratio what half a centimetre
// of inboard does, a centimetre what a tape is good for on a body.
var targetTraits = []targetTrait{
	{TargetCatch, Plane, deg(0.5)},
	{TargetFinish, Plane, deg(0.5)},
	{TargetLeverRatio, Count, 0.02},
	{TargetDrawHeight, Length, 0.01},
	{TargetOverlap, Length, 0.01},
}

// Tolerance returns the miss up to which the target counts as met, rad, m or a
// bare number. It panics on a name that is not a target.
func (t Target) Tolerance() float64 { return targetTraits[t.index()].tolerance }

// Quantity returns what the target measures. It panics on a name that is not a
// target.
func (t Target) Quantity() Quantity { return targetTraits[t.index()].quantity }

func (t Target) index() int {
	for i := range targetTraits {
		if targetTraits[i].target == t {
			return i
		}
	}
	panic("rigging: no target " + string(t))
}

// Check returns every problem of the goals as FieldErrors, or nil.
func (t Goals) Check() error { return t.check().orNil() }

// toleranceShare bounds a tolerance, counted in the target's own; engineering
// judgement: at a hundred of them, 50° of arc, nothing is missed any more.
const toleranceShare = 100

// check returns the problems of the goals, in the order of targetTraits and
// then of the unknown names.
func (t Goals) check() FieldErrors {
	var errs FieldErrors
	known := 0
	for _, trait := range targetTraits {
		goal, ok := t[trait.target]
		if !ok {
			continue
		}
		known++
		place := PlaceOf(FieldTargets, Field(trait.target))
		r := rangeOf(place.Key(), Class{})
		list := []plausible{
			r.plausible(place, goal.Value),
			{place: place.Then(FieldTolerance), quantity: trait.quantity, high: toleranceShare * trait.tolerance, value: goal.Tolerance},
		}
		if trait.target == TargetDrawHeight && goal.Value == 0 {
			list = list[1:]
		}
		errs = append(errs, checkAll(list)...)
	}
	if known < len(t) {
		errs = append(errs, t.unknown()...)
	}
	return errs
}

func (t Goals) unknown() FieldErrors {
	var errs FieldErrors
	for _, target := range slices.Sorted(maps.Keys(t)) {
		if !slices.ContainsFunc(targetTraits, func(k targetTrait) bool { return k.target == target }) {
			errs = append(errs, problemAt(PlaceOf(FieldTargets, Field(target)), ProblemUnknown, Count,
				"the targets are catch, finish, lever_ratio, draw_height and overlap"))
		}
	}
	return errs
}
