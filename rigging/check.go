package rigging

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// plausible is a value with what is possible and what is usual; see [Range]. A
// zero usual range means that nothing is unusual.
type plausible struct {
	place               Place
	quantity            Quantity
	low, high           float64 // possible
	usualLow, usualHigh float64
	required            bool // zero means not given, and that is an error
	value               float64
}

// check returns the problem of the value, or nil.
func (p *plausible) check() *FieldError {
	e := FieldError{Place: p.place, Problem: ProblemMissing, Quantity: p.quantity, Low: p.low, High: p.high}
	switch {
	case p.value == 0 && p.required:
		e.Detail = "is needed"
	case math.IsNaN(p.value):
		e.Detail = "is not a number"
	case inside(p.value, p.low, p.high):
		return nil
	default:
		e.Problem, e.Value = ProblemRange, p.value
	}
	return &e
}

// unusual returns the value with its usual range when it lies outside it.
func (p *plausible) unusual() *FieldError {
	if p.usualLow == p.usualHigh || inside(p.value, p.usualLow, p.usualHigh) {
		return nil
	}
	return &FieldError{Place: p.place, Problem: ProblemRange, Quantity: p.quantity, Value: p.value, Low: p.usualLow, High: p.usualHigh}
}

func checkAll(list []plausible) FieldErrors {
	var errs FieldErrors
	for i := range list {
		if e := list[i].check(); e != nil {
			errs = append(errs, e)
		}
	}
	return errs
}

func deg(d float64) float64 { return d * float64(Degree) }

// inSeat is where the values of a set-up stand.
var inSeat = PlaceOf(FieldSeat)

// plausibles lists the measures of the set-up with their ranges.
func (s *Setup) plausibles() []plausible {
	list := []value{
		{FieldHeelToPin, s.HeelToPin},
		{FieldHeelDepth, s.HeelDepth},
		{FieldPlateAngle, float64(s.PlateAngle)},
		{FieldGateHeight, s.GateHeight},
		{FieldBladePitch, float64(s.BladePitch)},
		{FieldSternPitch, float64(s.SternPitch)},
		{FieldOutwardPitch, float64(s.OutwardPitch)},
		{FieldSeatOverWater, s.SeatOverWater},
		{FieldOarLength, s.OarLength},
		{FieldInboard, s.Inboard},
	}
	if s.Class.Scull {
		list = append(list, value{FieldSpan, s.Span}, value{FieldGateDifference, s.GateDifference})
	} else {
		list = append(list, value{FieldSpread, s.Spread})
	}
	if s.BuiltFor != 0 {
		list = append(list, value{FieldBuiltFor, s.BuiltFor})
	}
	return plausiblesIn(inSeat, s.Class, list...)
}

// setupFields lists the fields of a set-up in the order of Setup.
var setupFields = []Field{
	FieldClass, FieldSide, FieldSpan, FieldSpread, FieldOarLength, FieldInboard, FieldBlade,
	FieldGateHeight, FieldGateDifference, FieldHeelToPin, FieldHeelDepth, FieldPlateAngle,
	FieldBladePitch, FieldSternPitch, FieldOutwardPitch, FieldSeatOverWater, FieldBuiltFor,
}

// fieldOrder returns the place of a set-up's error among its fields.
func fieldOrder(e *FieldError) int { return slices.Index(setupFields, e.Place.Last()) }

// Check returns every problem of the set-up as FieldErrors, or nil: values out
// of range, measures that do not belong to the discipline, and an oar that
// does not work. Without a class nothing else is checked.
func (s *Setup) Check() error {
	if s.Class.Rowers == 0 {
		return FieldErrors{problemAt(inSeat.Then(FieldClass), ProblemMissing, Count, "say which class of boat it is")}
	}
	errs := s.checkDiscipline()
	errs = append(errs, checkAll(s.plausibles())...)
	if len(errs) == 0 {
		errs = s.checkOar()
	}
	if _, ok := ParseBlade(string(s.Blade)); !ok {
		errs = append(errs, problemAt(inSeat.Then(FieldBlade), ProblemUnknown, Count, "a blade is a hatchet, a macon or a large one"))
	}
	slices.SortStableFunc(errs, func(a, b *FieldError) int { return cmp.Compare(fieldOrder(a), fieldOrder(b)) })
	return errs.orNil()
}

func (s *Setup) checkDiscipline() FieldErrors {
	var errs FieldErrors
	mismatch := func(f Field, detail string) {
		errs = append(errs, problemAt(inSeat.Then(f), ProblemMismatch, Length, detail))
	}
	switch {
	case s.Class.Scull && s.Spread != 0:
		mismatch(FieldSpread, "a spread belongs to a sweep boat: a sculling boat has a span, pin to pin")
	case !s.Class.Scull && s.Span != 0:
		mismatch(FieldSpan, "a span belongs to a sculling boat: a sweep boat has a spread, centreline to pin")
	}
	if !s.Class.Scull && s.Side != Port && s.Side != Starboard {
		errs = append(errs, problemAt(inSeat.Then(FieldSide), ProblemMissing, Count, "say whether the seat rows on port or starboard"))
	}
	if !s.Class.Scull && s.GateDifference != 0 {
		mismatch(FieldGateDifference, "a sweep seat has one gate only")
	}
	return errs
}

// The most that an inboard may pass the middle of the boat by, m; engineering
// judgement. Usual are 8 cm in sculling (inboards of half of span + 16) and
// 30 cm in sweep (inboards of spread + 30; V. Nolte, Rowing News, May 2023): two
// and a half times and one and a half times that are no rig that anybody rows.
const (
	mostPastMiddleScull = 0.20
	mostPastMiddleSweep = 0.45
)

// checkOar refuses oars that could not row, after each measure has passed by
// itself.
func (s *Setup) checkOar() FieldErrors {
	mismatch := func(detail string) FieldErrors {
		return FieldErrors{problemAt(inSeat.Then(FieldInboard), ProblemMismatch, Length, detail)}
	}
	most := mostPastMiddleSweep
	if s.Class.Scull {
		most = mostPastMiddleScull
	}
	switch lv := s.Levers(); {
	case lv.Outer < lv.Inner:
		return mismatch("the outboard is shorter than the inboard: check inboard and oar length")
	case s.Inboard < s.PinOut()-rounding:
		return mismatch("the inboard is shorter than the distance from the centreline to the pin, so that the handle would not reach the middle of the boat")
	case s.Inboard > s.PinOut()+most+rounding:
		return mismatch("the inboard is far too long for where the pin stands")
	}
	return nil
}

// inRower and inSegments are where the measures of a rower stand.
var inRower, inSegments = PlaceOf(FieldRower), PlaceOf(FieldRower, FieldSegments)

// Check returns every problem of the measures as FieldErrors, or nil.
func (m *Measures) Check() error {
	list := plausiblesIn(inRower, Class{},
		value{FieldAge, m.Age},
		value{FieldStature, m.Stature},
		value{FieldArmSpan, m.ArmSpan},
		value{FieldSittingHeight, m.SittingHeight},
		value{FieldMass, m.Mass},
		value{FieldDrawHeight, m.DrawHeight},
	)
	errs := checkAll(given(append(list, m.Segments.plausibles()...)))
	if len(errs) == 0 {
		errs = m.checkProportions()
	}
	if len(errs) == 0 {
		errs = m.checkEstimate()
	}
	return errs.orNil()
}

// estimateBelow and estimateAbove are the shares of the ends of a range beyond
// which what is estimated for a measure shows that the others do not fit one
// body; engineering judgement.
const (
	estimateBelow = 0.5
	estimateAbove = 1.5
)

// checkEstimate refuses measures that do not fit one body: each is plausible
// by itself, but what they leave open would come out at less than half or more
// than one and a half times anything people have.
func (m *Measures) checkEstimate() FieldErrors {
	e := m.Estimate(DefaultTape)
	var errs FieldErrors
	for _, p := range append(e.Body.plausibles(), plausiblesIn(inRower, Class{}, value{FieldMass, e.Mass})...) {
		if p.value < estimateBelow*p.low || p.value > estimateAbove*p.high {
			errs = append(errs, problemAt(p.place, ProblemMismatch, p.quantity,
				"cannot be told from the other measures, which do not fit one body: check them, or measure this one"))
		}
	}
	return errs
}

func (b *Body) plausibles() []plausible {
	return plausiblesIn(inSegments, Class{},
		value{FieldShank, b.Shank},
		value{FieldThigh, b.Thigh},
		value{FieldTrunk, b.Trunk},
		value{FieldArm, b.Arm},
		value{FieldHalfShoulder, b.HalfShoulder},
		value{FieldHalfDepth, b.HalfDepth},
		value{FieldAnkleAlong, b.AnkleAlong},
		value{FieldAnkleOff, b.AnkleOff},
		value{FieldBall, b.Ball},
		value{FieldHipHeight, b.HipHeight},
	)
}

// given removes the values that were not given.
func given(list []plausible) []plausible {
	kept := list[:0]
	for _, p := range list {
		if p.value != 0 {
			kept = append(kept, p)
		}
	}
	return kept
}

// Shares of the stature that arm span and sitting height have; engineering
// judgement: six standard deviations to either side of the means of ANSUR II
// (Gordon et al. 2014), 1.03 ± 0.027 and 0.52 ± 0.013.
const (
	leastArmSpan, mostArmSpan             = 0.85, 1.20
	leastSittingHeight, mostSittingHeight = 0.44, 0.60
)

// checkProportions compares measures that must fit one body.
func (m *Measures) checkProportions() FieldErrors {
	if m.Stature == 0 {
		return nil
	}
	var errs FieldErrors
	ratio := func(f Field, what string, value, low, high float64) {
		if r := value / m.Stature; value != 0 && !inside(r, low, high) {
			errs = append(errs, problemAt(inRower.Then(f), ProblemMismatch, Length,
				fmt.Sprintf("%s is %.0f %% of the stature; people have %.0f to %.0f %%", what, 100*r, 100*low, 100*high)))
		}
	}
	ratio(FieldArmSpan, "the arm span", m.ArmSpan, leastArmSpan, mostArmSpan)
	ratio(FieldSittingHeight, "the sitting height", m.SittingHeight, leastSittingHeight, mostSittingHeight)
	return errs
}

// Check returns every problem of the posture as FieldErrors, or nil.
func (p *Posture) Check() error {
	return checkAll(plausiblesIn(PlaceOf(FieldPosture), Class{},
		value{FieldShin, float64(p.Shin)},
		value{FieldLean, float64(p.Lean)},
		value{FieldLayback, float64(p.Layback)},
		value{FieldProtraction, p.Protraction},
		value{FieldDorsiflexion, float64(p.Dorsiflexion)},
		value{FieldFinishKnee, float64(p.FinishKnee)},
		value{FieldFinishGap, p.FinishGap},
		value{FieldRotationMax, float64(p.RotationMax)},
		value{FieldSideLean, p.SideLean},
	)).orNil()
}

// Check returns every problem of the hands' heights as FieldErrors, or nil.
func (h *Handle) Check() error {
	return checkAll(plausiblesIn(PlaceOf(FieldHandle), Class{},
		value{FieldCatchHeight, h.Catch}, value{FieldFinishHeight, h.Finish})).orNil()
}

// Check returns every problem of the targets as FieldErrors, or nil. An end
// without a target passes.
func (t *Targets) Check() error {
	return checkAll(given(plausiblesIn(PlaceOf(FieldTargets), Class{},
		value{FieldCatch, float64(t.Catch)}, value{FieldFinish, float64(t.Finish)}))).orNil()
}

// Check returns every problem of the limits as FieldErrors, or nil.
func (l *Limits) Check() error {
	return checkAll(plausiblesIn(PlaceOf(FieldLimits), Class{},
		value{FieldLean, float64(l.Lean)},
		value{FieldLayback, float64(l.Layback)},
		value{FieldKneeFlexion, float64(l.KneeFlexion)},
		value{FieldTrunkThigh, float64(l.TrunkThigh)},
	)).orNil()
}

// Check returns every problem of the approach as FieldErrors, or nil.
func (a *Approach) Check() error {
	return checkAll(plausiblesIn(PlaceOf(FieldApproach), Class{},
		value{FieldBoatSpeed, a.BoatSpeed},
		value{FieldEdgeHeight, a.EdgeHeight},
		value{FieldBladeSpeed, a.BladeSpeed},
		value{FieldOverdepth, a.Overdepth},
	)).orNil()
}

// Check returns every problem of a measured arc's angles as FieldErrors, or
// nil; its set-up is checked by itself.
func (a *MeasuredArc) Check() error {
	return checkAll(given(plausiblesIn(nil, Class{},
		value{FieldCatch, float64(a.Catch)}, value{FieldFinish, float64(a.Finish)}, value{FieldSD, float64(a.SD)}))).orNil()
}
