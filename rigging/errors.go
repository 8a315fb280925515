package rigging

import (
	"fmt"
	"strings"
)

// FieldError says that one value of the input cannot be right. It carries the
// facts as values in SI units so that the edge can speak the user's units.
type FieldError struct {
	// Place is where the value stands, as in seat.span or rower.stature.
	Place Place
	// Problem is what is wrong.
	Problem Problem
	// Value, Low and High are in SI units (m, kg, rad, s, years) and filled
	// for ProblemRange; Low and High are the ends of the plausible range.
	Value, Low, High float64
	// Quantity says what the three numbers measure.
	Quantity Quantity
	// Detail is a sentence without a number that has a unit, filled for
	// problems other than ProblemRange.
	Detail string
}

// Problem is the kind of a FieldError.
type Problem string

// The problems a value can have.
const (
	ProblemMissing  Problem = "missing"  // needed and not given
	ProblemRange    Problem = "range"    // outside what is possible
	ProblemMismatch Problem = "mismatch" // contradicts another value
	ProblemUnknown  Problem = "unknown"  // a name that is not known
)

// Quantity is what a number measures; the edge picks the unit from it.
type Quantity int

// The quantities of this package's inputs.
const (
	Count    Quantity = iota // a bare number
	Length                   // m
	Mass                     // kg
	Plane                    // rad
	Speed                    // m/s
	Duration                 // years of age
)

// problemAt returns an error other than of a range.
func problemAt(place Place, p Problem, q Quantity, detail string) *FieldError {
	return &FieldError{Place: place, Problem: p, Quantity: q, Detail: detail}
}

// Error describes the problem in SI units; the edge writes its own text.
func (e *FieldError) Error() string {
	if e.Problem == ProblemRange {
		return fmt.Sprintf("%s: %g is outside %g to %g", e.Place, e.Value, e.Low, e.High)
	}
	return e.Place.String() + ": " + e.Detail
}

// FieldErrors holds every problem found in one input, in the order of the
// input's fields.
type FieldErrors []*FieldError

// Error joins the problems with semicolons.
func (e FieldErrors) Error() string {
	texts := make([]string, len(e))
	for i, f := range e {
		texts[i] = f.Error()
	}
	return strings.Join(texts, "; ")
}

// orNil returns e as an error, or nil when it is empty.
func (e FieldErrors) orNil() error {
	if len(e) == 0 {
		return nil
	}
	return e
}

// Limit names what stops a body from rowing a rig.
type Limit string

// The limits a solution can run into.
const (
	// LimitKnee: the thigh does not bridge the height from seat to knee.
	LimitKnee Limit = "knee_too_far"
	// LimitLegs: the straight leg does not bridge the height from seat to foot.
	LimitLegs Limit = "legs_too_short"
	// LimitArmHeight: the hands are further below or above the shoulder than
	// the arm is long.
	LimitArmHeight Limit = "handle_too_low_or_high"
	// LimitArmReach: the handle is out of the arms' reach at every angle.
	LimitArmReach Limit = "handle_out_of_reach"
	// LimitNoCatch: the arms reach the handle even with the oar along the
	// hull, so that the body sets no catch.
	LimitNoCatch Limit = "no_catch"
	// LimitNoFinish: the handle cannot come as far towards the bow as the
	// body would draw it, or only with the oar along the hull.
	LimitNoFinish Limit = "no_finish"
	// LimitNoArc: the finish would lie before the catch.
	LimitNoArc Limit = "no_arc"
)

// limitTexts holds one sentence a limit.
var limitTexts = map[Limit]string{
	LimitKnee:      "the thigh cannot bridge the height between the seat and the knee: check the heel depth, the shin and the thigh",
	LimitLegs:      "the leg is shorter than the height between the seat and the foot: check the heel depth and the leg",
	LimitArmHeight: "the hands are further from the shoulder's height than the arm is long: check the handle height, the trunk and the arm",
	LimitArmReach:  "the handle is out of the arms' reach at every angle: check the stretcher, the span or spread and the inboard",
	LimitNoCatch:   "the arms reach the handle even with the oar along the hull, so that there is no catch to speak of: move the stretcher towards the bow or check the inboard",
	LimitNoFinish:  "the body sits so far to the bow that the handle cannot be drawn to it: move the stretcher towards the stern or check the inboard",
	LimitNoArc:     "the handle meets the body before it reaches the catch: check the stretcher and the leg",
}

// ReachError says which limit stops a body in a rig.
type ReachError struct{ Limit Limit }

// Error returns the sentence that explains the limit.
func (e *ReachError) Error() string { return limitTexts[e.Limit] }

// SeatError is an error of one seat of a crew, counted from 0 in the order the
// seats were given.
type SeatError struct {
	Seat int
	Err  error
}

// Error names the seat's place in the list, from 1.
func (e *SeatError) Error() string { return fmt.Sprintf("seat %d of the list: %v", e.Seat+1, e.Err) }

// Unwrap returns the seat's own error.
func (e *SeatError) Unwrap() error { return e.Err }
