package rigging

import (
	"math"
	"slices"
	"sync"
)

// Discipline says for which kind of boat a range holds.
type Discipline int

// The disciplines a range can hold for.
const (
	Either Discipline = iota
	Sculling
	Sweeping
)

// of reports whether the discipline is that of a class.
func (d Discipline) of(c Class) bool { return d == Either || (d == Sculling) == c.Scull }

// Range is what is plausible for one value, in SI units (m, kg, rad, m/s,
// years): Low to High is possible at all and what lies outside is refused;
// UsualLow to UsualHigh is what is usual, and what lies outside is worth a word.
// UsualLow equals UsualHigh where nothing is unusual. The ends belong to both
// ranges, up to the rounding of a change of units.
type Range struct {
	Place               Place
	Discipline          Discipline
	Quantity            Quantity
	Low, High           float64
	UsualLow, UsualHigh float64
	// Required is true when the value cannot be left out: 0 then means that
	// it was not given, and is refused.
	Required bool
	// Source says who has the possible range, and UsualSource the usual one.
	Source, UsualSource string
}

// Unit returns the name of the unit that people write the quantity in: "cm",
// "kg", "deg", "m/s", "years", or "" for a bare number.
func (q Quantity) Unit() string {
	return [...]string{Count: "", Length: "cm", Mass: "kg", Plane: "deg", Speed: "m/s", Duration: "years"}[q]
}

// rounding is what changes of units and sums may put a value off by, kg, m or rad;
// numerical: far above the last bit of a float64, and a hundred-thousandth of the
// smallest step that is shown, 0.1 mm.
const rounding = 1e-9

// endSlack is the share of the larger end by which a value may lie outside and
// still count as on it; numerical: 35 cm times 0.01 is more than 0.35 m in the last bit.
const endSlack = 1e-9

// inside reports whether v lies in low to high, ends and their rounding included.
// NaN does not.
func inside(v, low, high float64) bool {
	slack := endSlack * max(math.Abs(low), math.Abs(high))
	return v >= low-slack && v <= high+slack
}

// Holds reports whether v is possible. NaN is not.
func (r *Range) Holds(v float64) bool { return inside(v, r.Low, r.High) }

// Ranges returns the plausible ranges of all inputs. The checks of this package
// go by the same table.
func Ranges() []Range {
	list := slices.Clone(ranges)
	for i := range list {
		list[i].Place = slices.Clone(list[i].Place)
	}
	return list
}

// RangeOf returns the range of the value at a place for a boat of class c; items
// of lists all have the same. ok is false when there is none. The zero Class
// serves for places that hold for either discipline, and counts as sweep
// otherwise.
func RangeOf(place Place, c Class) (r Range, ok bool) {
	if found := rangeOf(place.Key(), c); found != nil {
		return *found, true
	}
	return Range{}, false
}

// rangeIndex finds the ranges by the key of their place.
var rangeIndex = sync.OnceValue(func() map[string][]*Range {
	index := map[string][]*Range{}
	for i := range ranges {
		key := ranges[i].Place.Key()
		index[key] = append(index[key], &ranges[i])
	}
	return index
})

func rangeOf(key string, c Class) *Range {
	for _, r := range rangeIndex()[key] {
		if r.Discipline.of(c) {
			return r
		}
	}
	return nil
}

// value is a value with its field, to be held against the field's range.
type value struct {
	field Field
	value float64
}

// plausiblesIn pairs the values of one part of an input with their ranges. It
// panics on a value without a range.
func plausiblesIn(part Place, c Class, values ...value) []plausible {
	list := make([]plausible, len(values))
	for i, v := range values {
		place := part.Then(v.field)
		r := rangeOf(place.Key(), c)
		if r == nil {
			panic("rigging: no range of " + place.Key())
		}
		list[i] = r.plausible(place, v.value)
	}
	return list
}

func (r *Range) plausible(place Place, v float64) plausible {
	return plausible{
		place: place, quantity: r.Quantity, low: r.Low, high: r.High,
		usualLow: r.UsualLow, usualHigh: r.UsualHigh, required: r.Required, value: v,
	}
}

// The ends of ranges that other parts of the package keep to as well, rad, m and kg;
// engineering judgement, see oursPose and oursBody.
const (
	leanLow, leanHigh       = -15 * Degree, 60 * Degree
	laybackLow, laybackHigh = -5 * Degree, 60 * Degree
	protractionHigh         = 0.20 // m
	leastMass, mostMass     = 20, 200
)

// UsualRange returns the range of a setting that is usual in boats of the class; ok is
// false where nothing is unusual. Its source is in the range.
func UsualRange(c Class, s Setting) (r Range, ok bool) {
	for _, r := range seatRanges {
		if r.Discipline.of(c) && r.Place[len(r.Place)-1].Field == Field(s) {
			return r, r.UsualLow < r.UsualHigh
		}
	}
	return Range{}, false
}

// The sources of the ranges.
const (
	ours       = "engineering judgement: from boats for children of ten to those of the largest men, and wide enough that only slips of unit or digit are refused"
	oursBody   = "engineering judgement: from children of six to the tallest people who row, about a quarter beyond the ends of ANSUR II (Gordon et al. 2014)"
	oursPose   = "engineering judgement: what joints allow at all, not what is advised"
	oursRule   = "engineering judgement: wide enough that a value which breaks a rule is told by the rule and only slips are refused"
	wilson     = "S. Wilson, Rigging – Simplified (Rowing Australia): span 157 to 160 cm, spread 83 to 87 cm; widened by 1 to 5 cm for juniors and large crews: engineering judgement"
	handouts   = "Mulhouse and Évry club handouts: inboard 83 to 92 and 112 to 118 cm, oars 281 to 302 and 366 to 385 cm, Macon blades included; widened for juniors: engineering judgement"
	primer     = "V. Nolte, A primer on sweep rigging: 16 to 19 cm; widened to both sides: engineering judgement"
	custom     = "common practice"
	customWide = "common practice, widened a little: engineering judgement"
	remembered = "38 to 42°, from memory; widened by 2 and 4°: engineering judgement"
	oarLimit   = "engineering judgement: nearer to the hull than 85° an oar propels nothing"
)

// ranges is the one table of what is plausible.
var ranges = slices.Concat(seatRanges, rowerRanges, postureRanges, ruleRanges)

// seatRanges are those of a rig: what is plausible by our judgement (see ours), and
// what is usual by the source in the row.
var seatRanges = []Range{
	seatRange(FieldSpan, Sculling, Length, 1.10, 1.90).needed().usual(1.52, 1.64, wilson),
	seatRange(FieldSpread, Sweeping, Length, 0.60, 1.10).needed().usual(0.82, 0.89, wilson),
	seatRange(FieldOarLength, Sculling, Length, 2.00, 3.30).needed().usual(2.70, 3.03, handouts),
	seatRange(FieldOarLength, Sweeping, Length, 2.80, 4.30).needed().usual(3.60, 3.86, handouts),
	seatRange(FieldInboard, Sculling, Length, 0.60, 1.10).needed().usual(0.83, 0.92, handouts),
	seatRange(FieldInboard, Sweeping, Length, 0.85, 1.40).needed().usual(1.10, 1.20, handouts),
	seatRange(FieldGateHeight, Either, Length, 0.03, 0.35).needed().usual(0.12, 0.21, primer),
	seatRange(FieldGateDifference, Sculling, Length, -0.05, 0.05).usual(-0.016, 0.016, "common practice: 0.5 to 1.5 cm, either hand over the other"),
	seatRange(FieldHeelToPin, Either, Length, 0, 0.90).needed().usual(0.05, 0.60, "engineering judgement"),
	seatRange(FieldHeelDepth, Either, Length, 0.05, 0.35).needed().usual(0.12, 0.22, custom),
	seatRange(FieldPlateAngle, Either, Plane, deg(20), deg(65)).needed().usual(deg(36), deg(46), remembered),
	seatRange(FieldBladePitch, Either, Plane, deg(-10), deg(15)).usual(deg(-4), deg(8), "engineering judgement: what brings a total of 3 to 7° on pins that lean by up to 4°"),
	seatRange(FieldSternPitch, Either, Plane, deg(-10), deg(15)).usual(deg(-4), deg(8), "engineering judgement: what brings a total of 3 to 7° with gates or oars of up to 4°"),
	// A hundredth of a degree inwards is still upright.
	seatRange(FieldOutwardPitch, Either, Plane, deg(-10), deg(10)).usual(deg(-0.01), deg(3), customWide+"; 0 to 2°"),
	seatRange(FieldTotalPitch, Either, Plane, deg(-20), deg(30)).usual(deg(3), deg(7), custom),
	seatRange(FieldBuiltFor, Either, Mass, 25, 130),
	seatRange(FieldSeatOverWater, Either, Length, -0.15, 0.40).usual(-0.02, 0.16, "engineering judgement: 7.5 cm, as built, and about 9 cm to either side"),
}

// rowerRanges are those of bodies, by our judgement; see oursBody.
var rowerRanges = []Range{
	bodyRange(Duration, 6, 110, FieldRower, FieldAge),
	bodyRange(Length, 1.00, 2.35, FieldRower, FieldStature),
	bodyRange(Length, 0.90, 2.60, FieldRower, FieldArmSpan),
	bodyRange(Length, 0.50, 1.25, FieldRower, FieldSittingHeight),
	bodyRange(Mass, leastMass, mostMass, FieldRower, FieldMass),
	bodyRange(Length, 0.15, 0.60, FieldRower, FieldDrawHeight),
	bodyRange(Length, 0.22, 0.65, FieldRower, FieldSegments, FieldShank),
	bodyRange(Length, 0.22, 0.65, FieldRower, FieldSegments, FieldThigh),
	bodyRange(Length, 0.28, 0.80, FieldRower, FieldSegments, FieldTrunk),
	bodyRange(Length, 0.35, 1.00, FieldRower, FieldSegments, FieldArm),
	bodyRange(Length, 0.09, 0.28, FieldRower, FieldSegments, FieldHalfShoulder),
	bodyRange(Length, 0.05, 0.30, FieldRower, FieldSegments, FieldHalfDepth),
	bodyRange(Length, 0.02, 0.14, FieldRower, FieldSegments, FieldAnkleAlong),
	bodyRange(Length, 0.03, 0.16, FieldRower, FieldSegments, FieldAnkleOff),
	bodyRange(Length, 0.10, 0.32, FieldRower, FieldSegments, FieldBall),
	bodyRange(Length, 0.03, 0.18, FieldRower, FieldSegments, FieldHipHeight),
}

// postureRanges are those of postures, limits and targets, by our judgement; see
// oursPose and the row.
var postureRanges = []Range{
	poseRange(FieldPosture, FieldShin, Plane, deg(60), deg(125)),
	poseRange(FieldPosture, FieldLean, Plane, float64(leanLow), float64(leanHigh)),
	poseRange(FieldPosture, FieldLayback, Plane, float64(laybackLow), float64(laybackHigh)),
	poseRange(FieldPosture, FieldProtraction, Length, 0, protractionHigh),
	poseRange(FieldPosture, FieldDorsiflexion, Plane, 0, deg(60)),
	poseRange(FieldPosture, FieldFinishKnee, Plane, deg(120), deg(180)),
	poseRange(FieldPosture, FieldFinishGap, Length, 0, 0.20),
	poseRange(FieldPosture, FieldRotationMax, Plane, 0, deg(90)),
	poseRange(FieldPosture, FieldSideLean, Length, -0.10, 0.20),
	poseRange(FieldHandle, FieldCatchHeight, Length, 0.05, 0.60),
	poseRange(FieldHandle, FieldFinishHeight, Length, 0.05, 0.60),
	poseRange(FieldLimits, FieldLean, Plane, 0, deg(60)),
	poseRange(FieldLimits, FieldLayback, Plane, 0, deg(60)),
	poseRange(FieldLimits, FieldKneeFlexion, Plane, deg(60), deg(175)),
	poseRange(FieldLimits, FieldTrunkThigh, Plane, deg(90), deg(180)),
	{Place: PlaceOf(FieldTargets, FieldCatch), Quantity: Plane, Low: -float64(maxOarAngle), High: deg(-10), Source: oarLimit},
	{Place: PlaceOf(FieldTargets, FieldFinish), Quantity: Plane, Low: deg(5), High: deg(80), Source: oarLimit},
	{Place: PlaceOf(FieldTargets, FieldLeverRatio), Quantity: Count, Low: 1.2, High: 4, Source: ours},
	{Place: PlaceOf(FieldTargets, FieldDrawHeight), Quantity: Length, Low: 0.10, High: 0.60, Source: ours},
	{Place: PlaceOf(FieldTargets, FieldOverlap), Quantity: Length, Low: 0, High: 0.50, Source: ours},
	{Place: PlaceOf(FieldCatch), Quantity: Plane, Low: -float64(maxOarAngle), High: deg(-10), Source: oarLimit},
	{Place: PlaceOf(FieldFinish), Quantity: Plane, Low: deg(5), High: deg(80), Source: oarLimit},
	{Place: PlaceOf(FieldSD), Quantity: Plane, Low: deg(0.05), High: deg(10), Source: "engineering judgement: from the best gates to the eye"},
	poseRange(FieldApproach, FieldBoatSpeed, Speed, 0.5, 8),
	poseRange(FieldApproach, FieldEdgeHeight, Length, 0, 0.40),
	poseRange(FieldApproach, FieldBladeSpeed, Speed, 0.2, 8),
	poseRange(FieldApproach, FieldOverdepth, Length, 0, 0.60),
}

// ruleRanges are those of what the rules speak of, and of crews and stretchers, by
// our judgement; see oursRule and the row.
var ruleRanges = []Range{
	{Place: PlaceOf(FieldHullMass), Quantity: Mass, Low: 5, High: 250, Source: oursRule},
	{Place: PlaceOf(FieldCoxMass), Quantity: Mass, Low: leastMass, High: 150, Source: oursRule},
	{Place: PlaceOf(FieldDeadWeight), Quantity: Mass, Low: 0.1, High: 60, Source: oursRule},
	{Place: PlaceOf(FieldHeelRise), Quantity: Length, Low: 0.005, High: 0.40, Source: oursRule},
	{Place: PlaceOf(FieldBladeEdge), Quantity: Length, Low: 0.0002, High: 0.02, Source: oursRule},
	{Place: PlaceOf(FieldBowBall), Quantity: Length, Low: 0.005, High: 0.15, Source: oursRule},
	{Place: PlaceOf(FieldMasses), Quantity: Mass, Low: leastMass, High: mostMass, Required: true, Source: oursBody},
	{Place: PlaceOf(FieldSeats, FieldStrength), Quantity: Count, Low: 0, High: 1e5, Source: "engineering judgement: in whatever unit, such as W"},
	{Place: PlaceOf(FieldStretcher, FieldOffset), Quantity: Length, Low: -2, High: 2, Source: ours},
	{Place: PlaceOf(FieldStretcher, FieldToeAlong), Quantity: Length, Low: 0.10, High: 0.40, Source: ours},
	{Place: PlaceOf(FieldStretcher, FieldHolePitch), Quantity: Length, Low: -0.10, High: 0.10, Source: ours},
}

func seatRange(f Field, d Discipline, q Quantity, low, high float64) Range {
	return Range{Place: PlaceOf(FieldSeat, f), Discipline: d, Quantity: q, Low: low, High: high, Source: ours}
}

func bodyRange(q Quantity, low, high float64, fields ...Field) Range {
	return Range{Place: PlaceOf(fields...), Quantity: q, Low: low, High: high, Source: oursBody}
}

func poseRange(part, f Field, q Quantity, low, high float64) Range {
	return Range{Place: PlaceOf(part, f), Quantity: q, Low: low, High: high, Source: oursPose}
}

func (r Range) needed() Range {
	r.Required = true
	return r
}

func (r Range) usual(low, high float64, source string) Range {
	r.UsualLow, r.UsualHigh, r.UsualSource = low, high, source
	return r
}
