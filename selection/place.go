package selection

import (
	"fmt"

	"thole/rigging"
)

// The parts of the inputs of the packages below this one, by which their errors
// say where a value stands.
const (
	FieldAthletes   rigging.Field = "athletes"       // a list
	FieldBoats      rigging.Field = "boats"          // a number
	FieldCandidates rigging.Field = "candidates"     // a list
	FieldConversion rigging.Field = "conversion"     //
	FieldCovariance rigging.Field = "covariance"     //
	FieldCrews      rigging.Field = "crews"          // a list
	FieldCurve      rigging.Field = "curve"          // a list
	FieldDay        rigging.Field = "day"            //
	FieldDistance   rigging.Field = "distance"       // m
	FieldDrag       rigging.Field = "drag"           //
	FieldDraws      rigging.Field = "draws"          // a number
	FieldEfficiency rigging.Field = "efficiency"     //
	FieldFixedMass  rigging.Field = "fixed_mass"     // kg
	FieldID         rigging.Field = "id"             //
	FieldLevel      rigging.Field = "level"          //
	FieldLikeness   rigging.Field = "likeness"       //
	FieldLineup     rigging.Field = "lineup"         //
	FieldMassPower  rigging.Field = "mass_exponent"  //
	FieldMaxMass    rigging.Field = "max_mass"       // kg
	FieldMeanMass   rigging.Field = "mean_mass"      // kg
	FieldMeans      rigging.Field = "means"          // by athlete
	FieldMenMax     rigging.Field = "men_max"        // a number
	FieldMenMin     rigging.Field = "men_min"        // a number
	FieldMust       rigging.Field = "must"           // a list
	FieldName       rigging.Field = "name"           //
	FieldNoiseSD    rigging.Field = "noise_sd"       // s
	FieldOut        rigging.Field = "out"            // a list
	FieldPace       rigging.Field = "pace"           //
	FieldPairs      rigging.Field = "pairs"          // a list
	FieldPattern    rigging.Field = "pattern"        // a list
	FieldPieces     rigging.Field = "pieces"         // a list, or their number
	FieldPins       rigging.Field = "pins"           // a list
	FieldPower      rigging.Field = "power"          // W
	FieldPowerSD    rigging.Field = "power_sd"       // W
	FieldPrior      rigging.Field = "prior"          //
	FieldReference  rigging.Field = "reference_mass" // kg
	FieldRerig      rigging.Field = "rerig"          // s
	FieldRigged     rigging.Field = "rigged"         // a list
	FieldRules      rigging.Field = "rules"          //
	FieldSDs        rigging.Field = "sds"            // by athlete
	FieldSeatCosts  rigging.Field = "seat_costs"     // a list
	FieldCost       rigging.Field = "cost"           // s
	FieldSides      rigging.Field = "sides"          // a list, or by side
	FieldSpacing    rigging.Field = "spacing"        // m
	FieldSwaps      rigging.Field = "swaps"          // a number
	FieldSmallest   rigging.Field = "smallest"       // s
	FieldTest       rigging.Field = "test"           //
	FieldTests      rigging.Field = "tests"          // a list
	FieldTime       rigging.Field = "time"           // s
	FieldTimes      rigging.Field = "times"          // a list
	FieldTotalPower rigging.Field = "total_power"    // W
	FieldWeights    rigging.Field = "weights"        //
	FieldWomenMax   rigging.Field = "women_max"      // a number
	FieldWomenMin   rigging.Field = "women_min"      // a number
	FieldYaw        rigging.Field = "yaw"            //
)

// ErrorAt returns an error about the value at a place, other than of a
// plausible range; detail and args are those of [fmt.Sprintf].
func ErrorAt(at rigging.Place, problem rigging.Problem, detail string, args ...any) *rigging.FieldError {
	return &rigging.FieldError{Place: at, Problem: problem, Detail: fmt.Sprintf(detail, args...)}
}

// RangeAt returns an error about the value at a place that lies outside its
// plausible range; the numbers are in SI units.
func RangeAt(at rigging.Place, value, low, high float64, quantity rigging.Quantity) *rigging.FieldError {
	return &rigging.FieldError{Place: at, Problem: rigging.ProblemRange, Value: value, Low: low, High: high, Quantity: quantity}
}
