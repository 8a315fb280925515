package rigging

import (
	"fmt"
	"strings"
)

// Field names one value of an input, or a part of an input that holds values.
type Field string

// The parts of the inputs.
const (
	FieldSeat      Field = "seat"
	FieldRower     Field = "rower"
	FieldSegments  Field = "segments"
	FieldPosture   Field = "posture"
	FieldHandle    Field = "handle"
	FieldTargets   Field = "targets"
	FieldLimits    Field = "limits"
	FieldApproach  Field = "approach"
	FieldStretcher Field = "stretcher"
	FieldAdjust    Field = "adjust"
	FieldReading   Field = "reading"
	FieldJob       Field = "job"
	FieldSeats     Field = "seats" // a list
	FieldArcs      Field = "arcs"  // a list
)

// The values of a seat.
const (
	FieldClass          Field = "class"
	FieldBoatClass      Field = "boat_class"
	FieldSide           Field = "side"
	FieldSpan           Field = "span"
	FieldSpread         Field = "spread"
	FieldOarLength      Field = "oar_length"
	FieldInboard        Field = "inboard"
	FieldBlade          Field = "blade"
	FieldGateHeight     Field = "gate_height"
	FieldGateDifference Field = "gate_difference"
	FieldHeelToPin      Field = "heel_to_pin"
	FieldHeelDepth      Field = "heel_depth"
	FieldPlateAngle     Field = "plate_angle"
	FieldBladePitch     Field = "blade_pitch"
	FieldSternPitch     Field = "stern_pitch"
	FieldOutwardPitch   Field = "outward_pitch"
	FieldTotalPitch     Field = "total_pitch" // with the oar square to the hull; derived
	FieldSeatOverWater  Field = "seat_over_water"
	FieldBuiltFor       Field = "built_for"
	FieldStrength       Field = "strength"
)

// The values of a rower.
const (
	FieldAge           Field = "age"
	FieldStature       Field = "stature"
	FieldArmSpan       Field = "arm_span"
	FieldSittingHeight Field = "sitting_height"
	FieldMass          Field = "mass"
	FieldDrawHeight    Field = "draw_height"
	FieldShank         Field = "shank"
	FieldThigh         Field = "thigh"
	FieldTrunk         Field = "trunk"
	FieldArm           Field = "arm"
	FieldHalfShoulder  Field = "half_shoulder"
	FieldHalfDepth     Field = "half_depth"
	FieldAnkleAlong    Field = "ankle_along"
	FieldAnkleOff      Field = "ankle_off"
	FieldBall          Field = "ball"
	FieldHipHeight     Field = "hip_height"
)

// The values of postures, limits, targets, handles, arcs and approaches.
const (
	FieldShin         Field = "shin"
	FieldLean         Field = "lean"
	FieldLayback      Field = "layback"
	FieldProtraction  Field = "protraction"
	FieldDorsiflexion Field = "dorsiflexion"
	FieldFinishKnee   Field = "finish_knee"
	FieldFinishGap    Field = "finish_gap"
	FieldRotationMax  Field = "rotation_max"
	FieldSideLean     Field = "side_lean"
	FieldKneeFlexion  Field = "knee_flexion"
	FieldTrunkThigh   Field = "trunk_thigh"
	FieldCatch        Field = "catch"
	FieldFinish       Field = "finish"
	FieldSD           Field = "sd"
	FieldCatchHeight  Field = "catch_height"
	FieldFinishHeight Field = "finish_height"
	FieldBoatSpeed    Field = "boat_speed"
	FieldEdgeHeight   Field = "edge_height"
	FieldBladeSpeed   Field = "blade_speed"
	FieldOverdepth    Field = "overdepth"
	FieldLeverRatio   Field = "lever_ratio"
	FieldOverlap      Field = "overlap"
	FieldTolerance    Field = "tolerance"
	FieldMin          Field = "min"
	FieldMax          Field = "max"
	FieldStep         Field = "step"
)

// The values that rules are checked on, and those of a stretcher's scale.
const (
	FieldHullMass   Field = "hull_mass"
	FieldCoxMass    Field = "cox_mass"
	FieldDeadWeight Field = "dead_weight"
	FieldHeelRise   Field = "heel_rise"
	FieldBladeEdge  Field = "blade_edge"
	FieldBowBall    Field = "bow_ball"
	FieldMasses     Field = "masses" // a list
	FieldSex        Field = "sex"
	FieldMark       Field = "mark"
	FieldOffset     Field = "offset"
	FieldToeAlong   Field = "toe_along"
	FieldHolePitch  Field = "hole_pitch"
)

// Step is one step into an input: a field and, where the field is a list, the
// number of the item in it, counted from 1. Number is 0 for a field that is no
// list, and for a list as a whole.
type Step struct {
	Field  Field
	Number int
}

// Place says where in an input a value stands, from the outermost part inwards.
type Place []Step

// PlaceOf returns the place that the fields lead to, none of them an item of a
// list.
func PlaceOf(fields ...Field) Place {
	p := make(Place, len(fields))
	for i, f := range fields {
		p[i].Field = f
	}
	return p
}

// Item returns the place of the item with index i, from 0, of the list that p
// stands for. It panics on the empty place.
func (p Place) Item(i int) Place {
	q := append(Place(nil), p...)
	q[len(q)-1].Number = i + 1
	return q
}

// In returns p as a place inside outer.
func (p Place) In(outer Place) Place { return append(append(Place(nil), outer...), p...) }

// Then returns the place of a field inside p.
func (p Place) Then(f Field) Place { return append(append(Place(nil), p...), Step{Field: f}) }

// Last returns the innermost field, "" for the empty place.
func (p Place) Last() Field {
	if len(p) == 0 {
		return ""
	}
	return p[len(p)-1].Field
}

// String returns the place as text, items of lists counted from 0:
// "seats[2].rower".
func (p Place) String() string {
	var b strings.Builder
	for i, s := range p {
		if i > 0 {
			b.WriteByte('.')
		}
		b.WriteString(string(s.Field))
		if s.Number > 0 {
			fmt.Fprintf(&b, "[%d]", s.Number-1)
		}
	}
	return b.String()
}

// Key returns the fields alone, joined by dots: the same for every item of a
// list, to look names up by.
func (p Place) Key() string {
	names := make([]string, len(p))
	for i, s := range p {
		names[i] = string(s.Field)
	}
	return strings.Join(names, ".")
}
