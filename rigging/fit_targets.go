package rigging

import (
	"math"
	"slices"
	"strings"
)

// Target names a result that a fit can aim at.
type Target string

// The targets of a fit.
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
	// Weight multiplies the miss: with 2, half a degree counts like one.
	// 0 stands for 1.
	Weight float64
	// Tolerance is the miss up to which the target counts as met; 0 stands
	// for [Target.Tolerance].
	Tolerance float64
}

// FitTargets holds what a fit aims at.
type FitTargets map[Target]Goal

type targetTrait struct {
	target               Target
	quantity             Quantity
	low, high, tolerance float64
}

// targetTraits lists the targets in the order they are told in. The ranges
// hold every boat from children's to the largest men's; the tolerances are
// engineering judgement: half a degree is what a gate sensor scatters by and a
// step of the stretcher moves, a fiftieth of lever ratio what half a
// centimetre of inboard does, a centimetre what a tape tells on a body.
var targetTraits = []targetTrait{
	{TargetCatch, Plane, -float64(maxOarAngle), deg(-10), deg(0.5)},
	{TargetFinish, Plane, deg(5), deg(80), deg(0.5)},
	{TargetLeverRatio, Count, 1.2, 4, 0.02},
	{TargetDrawHeight, Length, 0.10, 0.60, 0.01},
	{TargetOverlap, Length, 0, 0.50, 0.01},
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

// largestWeight bounds the weight of a target.
const largestWeight = 1000

// Check returns every problem of the targets as FieldErrors, or nil.
func (t FitTargets) Check() error { return t.check().orNil() }

// check returns the problems of the targets, in the order of targetTraits and
// then of the unknown names.
func (t FitTargets) check() FieldErrors {
	var errs FieldErrors
	known := 0
	for _, trait := range targetTraits {
		goal, ok := t[trait.target]
		if !ok {
			continue
		}
		known++
		field := "targets." + string(trait.target)
		list := []plausible{
			{field: field, quantity: trait.quantity, low: trait.low, high: trait.high, value: goal.Value},
			{field: field + ".weight", high: largestWeight, value: goal.Weight},
			{field: field + ".tolerance", quantity: trait.quantity, high: 100 * trait.tolerance, value: goal.Tolerance},
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

func (t FitTargets) unknown() FieldErrors {
	var errs FieldErrors
	for target := range t {
		if !slices.ContainsFunc(targetTraits, func(k targetTrait) bool { return k.target == target }) {
			errs = append(errs, &FieldError{Field: "targets." + string(target), Problem: ProblemUnknown,
				Detail: "a fit aims at catch, finish, lever_ratio, draw_height and overlap"})
		}
	}
	slices.SortFunc(errs, func(a, b *FieldError) int { return strings.Compare(a.Field, b.Field) })
	return errs
}

// resolved returns the goals in their order with the defaults filled in, and
// with what is kept as found.
func (t FitTargets) resolved(c *Case, adjust map[Setting]Adjustment) []goal {
	goals := make([]goal, 0, len(targetTraits))
	for _, trait := range targetTraits {
		g, asked := t[trait.target]
		switch {
		case trait.target == TargetDrawHeight && asked && g.Value == 0:
			g.Value, _ = c.drawHeight()
		case trait.target == TargetDrawHeight && !asked && movesGateAndMore(adjust):
			g.Value, asked = c.Setup.HandleAt(coveredVertical, c.seatOverWater()), true
		case trait.target == TargetOverlap && !asked && movesPinAndCollar(adjust):
			g.Value, asked = c.Setup.Overlap().Raw, true
		}
		if asked {
			goals = append(goals, goal{trait.target, g.Value, orDefault(g.Tolerance, trait.tolerance), orDefault(g.Weight, 1)})
		}
	}
	return goals
}

func orDefault(v, otherwise float64) float64 {
	if v == 0 {
		return otherwise
	}
	return v
}

func movesGateAndMore(adjust map[Setting]Adjustment) bool {
	_, gate := adjust[SettingGateHeight]
	return gate && len(adjust) > 1
}

func movesPinAndCollar(adjust map[Setting]Adjustment) bool {
	_, span := adjust[SettingSpan]
	_, spread := adjust[SettingSpread]
	_, inboard := adjust[SettingInboard]
	return (span || spread) && inboard
}

// goal is a target with everything filled in.
type goal struct {
	target                  Target
	want, tolerance, weight float64
}

// fitSeat is a seat with its goals whose settings a fit moves about.
type fitSeat struct {
	c      Case // its set-up moves
	found  Setup
	goals  []goal
	stroke Stroke
	misses []float64 // of the goals, in tolerances and times their weights
	slack  float64   // root of the squared weights: with a larger Off some goal is missed
	// leverCap is the lever ratio that must not be exceeded; infinite for
	// adults.
	leverCap float64
}

func newFitSeat(c *Case, goals []goal) *fitSeat {
	s := &fitSeat{c: *c, found: c.Setup, goals: goals, misses: make([]float64, len(goals)), leverCap: math.Inf(1)}
	for _, g := range goals {
		s.slack = math.Hypot(s.slack, g.weight)
	}
	if c.Age > 0 && c.Age < adultAge {
		s.leverCap = c.Setup.leverRatio()
	}
	return s
}

// targets returns the goals as targets.
func (s *fitSeat) targets() FitTargets {
	t := FitTargets{}
	for _, g := range s.goals {
		t[g.target] = Goal{Value: g.want, Weight: g.weight, Tolerance: g.tolerance}
	}
	return t
}

// solve fills stroke and misses; false when the body cannot row the rig or the
// oar does not work.
func (s *fitSeat) solve() bool {
	c := &s.c
	if c.Setup.checkOar() != nil {
		return false
	}
	hands := c.handle()
	if s.stroke.solve(&c.Setup, &c.Body.Body, &c.Posture, hands) != nil {
		return false
	}
	for i := range s.goals {
		g := &s.goals[i]
		s.misses[i] = g.weight * (s.value(g.target, hands) - g.want) / g.tolerance
	}
	return true
}

// value returns what the solved rig gives for a target.
func (s *fitSeat) value(t Target, hands Handle) float64 {
	switch t {
	case TargetCatch:
		return float64(s.stroke.Catch)
	case TargetFinish:
		return float64(s.stroke.Finish)
	case TargetLeverRatio:
		return s.c.Setup.leverRatio()
	case TargetOverlap:
		return s.c.Setup.Overlap().Raw
	}
	if s.c.Handle == nil {
		return hands.Finish
	}
	return s.c.Setup.HandleAt(coveredVertical, s.c.seatOverWater())
}

// tooHeavy tells whether the rig is geared above the cap.
func (s *fitSeat) tooHeavy() bool { return s.c.Setup.leverRatio() > s.leverCap+1e-9 }

// met tells whether every goal lies within its tolerance.
func (s *fitSeat) met() bool { return s.within(s.misses) }

// within tells whether every goal lies within its tolerance with the misses.
func (s *fitSeat) within(misses []float64) bool {
	for i, g := range s.goals {
		if !g.holds(misses[i]) {
			return false
		}
	}
	return true
}

// holds tells whether a miss lies within the tolerance, with an allowance for
// rounding.
func (g *goal) holds(miss float64) bool { return math.Abs(miss) <= g.weight*(1+1e-9) }

// count returns what the misses count for in the score.
func (s *fitSeat) count(misses []float64) float64 {
	off := math.Sqrt(sumSquares(misses))
	if s.within(misses) {
		off *= pullWithin
	}
	return off
}
