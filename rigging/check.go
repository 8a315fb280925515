package rigging

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// span of values: what is possible at all, and what is usual. A zero usual
// range means that nothing is unusual.
type plausible struct {
	field               string
	quantity            Quantity
	low, high           float64 // possible
	usualLow, usualHigh float64
	required            bool // zero means not given, and that is an error
	value               float64
}

// check returns the problem of the value, or nil.
func (p *plausible) check() *FieldError {
	switch {
	case p.value == 0 && p.required:
		return &FieldError{Field: p.field, Problem: ProblemMissing, Quantity: p.quantity, Low: p.low, High: p.high, Detail: "is needed"}
	case math.IsNaN(p.value):
		return &FieldError{Field: p.field, Problem: ProblemMissing, Quantity: p.quantity, Low: p.low, High: p.high, Detail: "is not a number"}
	case p.value >= p.low && p.value <= p.high:
		return nil
	}
	return &FieldError{Field: p.field, Problem: ProblemRange, Quantity: p.quantity, Value: p.value, Low: p.low, High: p.high}
}

// unusual returns the value with its usual range when it lies outside it.
func (p *plausible) unusual() *FieldError {
	if p.usualLow == p.usualHigh || p.value >= p.usualLow && p.value <= p.usualHigh {
		return nil
	}
	return &FieldError{Field: p.field, Problem: ProblemRange, Quantity: p.quantity, Value: p.value, Low: p.usualLow, High: p.usualHigh}
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

// plausibles lists the measures of the set-up. The possible ranges span boats
// for children to the largest men; the usual ones are those of
// S. Wilson, Rigging – Simplified (Rowing Australia): span 157 to 160 cm,
// spread 83 to 87 cm; the Mulhouse and Évry club handouts: inboard 83 to 92
// and 112 to 118 cm, oars 281 to 302 and 366 to 385 cm; heel depth 12 to
// 22 cm, pitch 3 to 7°, outward lean 0 to 2° and gates 0.5 to 1.5 cm apart:
// common practice; plate 38 to 42°: from memory — each widened a little.
func (s *Setup) plausibles() []plausible {
	list := []plausible{
		{"seat.heel_to_pin", Length, 0, 0.90, 0.05, 0.60, true, s.HeelToPin},
		{"seat.heel_depth", Length, 0.05, 0.35, 0.12, 0.22, true, s.HeelDepth},
		{"seat.plate_angle", Plane, deg(20), deg(65), deg(36), deg(46), true, float64(s.PlateAngle)},
		{"seat.gate_height", Length, 0.03, 0.35, 0.12, 0.21, true, s.GateHeight},
		{"seat.blade_pitch", Plane, deg(-10), deg(15), deg(-4), deg(8), false, float64(s.BladePitch)},
		{"seat.stern_pitch", Plane, deg(-10), deg(15), deg(-4), deg(8), false, float64(s.SternPitch)},
		{"seat.outward_pitch", Plane, deg(-10), deg(10), deg(-0.01), deg(3), false, float64(s.OutwardPitch)},
		{"seat.seat_over_water", Length, -0.15, 0.40, -0.02, 0.16, false, s.SeatOverWater},
	}
	if s.Class.Scull {
		return append([]plausible{
			{"seat.span", Length, 1.10, 1.90, 1.52, 1.64, true, s.Span},
			{"seat.oar_length", Length, 2.00, 3.30, 2.70, 3.03, true, s.OarLength},
			{"seat.inboard", Length, 0.60, 1.10, 0.83, 0.92, true, s.Inboard},
			{"seat.gate_difference", Length, -0.05, 0.05, -0.016, 0.016, false, s.GateDifference},
		}, list...)
	}
	return append([]plausible{
		{"seat.spread", Length, 0.60, 1.10, 0.82, 0.89, true, s.Spread},
		{"seat.oar_length", Length, 2.80, 4.30, 3.60, 3.86, true, s.OarLength},
		{"seat.inboard", Length, 0.85, 1.40, 1.10, 1.20, true, s.Inboard},
	}, list...)
}

// setupFields lists the fields of a set-up in the order of Setup.
var setupFields = []string{
	"seat.class", "seat.side", "seat.span", "seat.spread", "seat.oar_length", "seat.inboard",
	"seat.gate_height", "seat.gate_difference", "seat.heel_to_pin", "seat.heel_depth", "seat.plate_angle",
	"seat.blade_pitch", "seat.stern_pitch", "seat.outward_pitch", "seat.seat_over_water",
}

// Check returns every problem of the set-up as FieldErrors, or nil: values out
// of range, measures that do not belong to the discipline, and an oar that
// does not work. Without a class nothing else is checked.
func (s *Setup) Check() error {
	if s.Class.Rowers == 0 {
		return FieldErrors{{Field: "seat.class", Problem: ProblemMissing, Detail: "say which class of boat it is"}}
	}
	errs := s.checkDiscipline()
	errs = append(errs, checkAll(s.plausibles())...)
	if len(errs) == 0 {
		errs = s.checkOar()
	}
	slices.SortStableFunc(errs, func(a, b *FieldError) int {
		return cmp.Compare(slices.Index(setupFields, a.Field), slices.Index(setupFields, b.Field))
	})
	return errs.orNil()
}

func (s *Setup) checkDiscipline() FieldErrors {
	var errs FieldErrors
	mismatch := func(field, detail string) {
		errs = append(errs, &FieldError{Field: field, Problem: ProblemMismatch, Quantity: Length, Detail: detail})
	}
	switch {
	case s.Class.Scull && s.Spread != 0:
		mismatch("seat.spread", "a spread belongs to a sweep boat: a sculling boat has a span, pin to pin")
	case !s.Class.Scull && s.Span != 0:
		mismatch("seat.span", "a span belongs to a sculling boat: a sweep boat has a spread, centreline to pin")
	}
	if !s.Class.Scull && s.Side != Port && s.Side != Starboard {
		errs = append(errs, &FieldError{Field: "seat.side", Problem: ProblemMissing, Detail: "say whether the seat rows on port or starboard"})
	}
	if !s.Class.Scull && s.GateDifference != 0 {
		mismatch("seat.gate_difference", "a sweep seat has one gate only")
	}
	return errs
}

// checkOar refuses oars that could not row, after each measure has passed by
// itself.
func (s *Setup) checkOar() FieldErrors {
	mismatch := func(detail string) FieldErrors {
		return FieldErrors{{Field: "seat.inboard", Problem: ProblemMismatch, Quantity: Length, Detail: detail}}
	}
	switch lv := s.Levers(); {
	case lv.Outer < lv.Inner:
		return mismatch("the outboard is shorter than the inboard: check inboard and oar length")
	case s.Inboard < s.PinOut():
		return mismatch("the inboard is shorter than the distance from the centreline to the pin, so that the handle would not reach the middle of the boat")
	case s.Inboard > 1.35*s.PinOut()+0.12:
		return mismatch("the inboard is far too long for where the pin stands")
	}
	return nil
}

// Check returns every problem of the measures as FieldErrors, or nil.
func (m *Measures) Check() error {
	list := []plausible{
		{field: "rower.age", quantity: Duration, low: 6, high: 110, value: m.Age},
		{field: "rower.stature", quantity: Length, low: 1.00, high: 2.35, value: m.Stature},
		{field: "rower.arm_span", quantity: Length, low: 0.90, high: 2.60, value: m.ArmSpan},
		{field: "rower.sitting_height", quantity: Length, low: 0.50, high: 1.25, value: m.SittingHeight},
		{field: "rower.mass", quantity: Mass, low: 20, high: 200, value: m.Mass},
		{field: "rower.draw_height", quantity: Length, low: 0.15, high: 0.60, value: m.DrawHeight},
	}
	errs := checkAll(given(append(list, m.Segments.plausibles()...)))
	if len(errs) == 0 {
		errs = m.checkProportions()
	}
	if len(errs) == 0 {
		errs = m.checkEstimate()
	}
	return errs.orNil()
}

// checkEstimate refuses measures that do not fit one body: each is plausible
// by itself, but what they leave open would come out at less than half or more
// than one and a half times anything people have.
func (m *Measures) checkEstimate() FieldErrors {
	e := m.Estimate(DefaultTape)
	var errs FieldErrors
	for _, p := range append(e.Body.plausibles(), plausible{field: "rower.mass", quantity: Mass, low: 20, high: 200, value: e.Mass}) {
		if p.value < p.low/2 || p.value > 1.5*p.high {
			errs = append(errs, &FieldError{Field: p.field, Problem: ProblemMismatch, Quantity: p.quantity,
				Detail: "cannot be told from the other measures, which do not fit one body: check them, or measure this one"})
		}
	}
	return errs
}

func (b *Body) plausibles() []plausible {
	return []plausible{
		{field: "rower.segments.shank", quantity: Length, low: 0.22, high: 0.65, value: b.Shank},
		{field: "rower.segments.thigh", quantity: Length, low: 0.22, high: 0.65, value: b.Thigh},
		{field: "rower.segments.trunk", quantity: Length, low: 0.28, high: 0.80, value: b.Trunk},
		{field: "rower.segments.arm", quantity: Length, low: 0.35, high: 1.00, value: b.Arm},
		{field: "rower.segments.half_shoulder", quantity: Length, low: 0.09, high: 0.28, value: b.HalfShoulder},
		{field: "rower.segments.half_depth", quantity: Length, low: 0.05, high: 0.30, value: b.HalfDepth},
		{field: "rower.segments.ankle_along", quantity: Length, low: 0.02, high: 0.14, value: b.AnkleAlong},
		{field: "rower.segments.ankle_off", quantity: Length, low: 0.03, high: 0.16, value: b.AnkleOff},
		{field: "rower.segments.ball", quantity: Length, low: 0.10, high: 0.32, value: b.Ball},
		{field: "rower.segments.hip_height", quantity: Length, low: 0.03, high: 0.18, value: b.HipHeight},
	}
}

// given drops the values that were not given.
func given(list []plausible) []plausible {
	kept := list[:0]
	for _, p := range list {
		if p.value != 0 {
			kept = append(kept, p)
		}
	}
	return kept
}

// checkProportions compares measures that must fit one body.
func (m *Measures) checkProportions() FieldErrors {
	if m.Stature == 0 {
		return nil
	}
	var errs FieldErrors
	ratio := func(field, what string, value, low, high float64) {
		if r := value / m.Stature; value != 0 && (r < low || r > high) {
			errs = append(errs, &FieldError{Field: field, Problem: ProblemMismatch, Quantity: Length,
				Detail: fmt.Sprintf("%s is %.0f %% of the stature; people have %.0f to %.0f %%", what, 100*r, 100*low, 100*high)})
		}
	}
	ratio("rower.arm_span", "the arm span", m.ArmSpan, 0.85, 1.20)
	ratio("rower.sitting_height", "the sitting height", m.SittingHeight, 0.44, 0.60)
	return errs
}

// What a posture can be at all.
const (
	leanLow, leanHigh       = -15 * Degree, 60 * Degree
	laybackLow, laybackHigh = -5 * Degree, 60 * Degree
	protractionHigh         = 0.20 // m
)

// Check returns every problem of the posture as FieldErrors, or nil.
func (p *Posture) Check() error {
	return checkAll([]plausible{
		{field: "posture.shin", quantity: Plane, low: deg(60), high: deg(125), value: float64(p.Shin)},
		{field: "posture.lean", quantity: Plane, low: float64(leanLow), high: float64(leanHigh), value: float64(p.Lean)},
		{field: "posture.layback", quantity: Plane, low: float64(laybackLow), high: float64(laybackHigh), value: float64(p.Layback)},
		{field: "posture.protraction", quantity: Length, low: 0, high: protractionHigh, value: p.Protraction},
		{field: "posture.dorsiflexion", quantity: Plane, low: 0, high: deg(60), value: float64(p.Dorsiflexion)},
		{field: "posture.finish_knee", quantity: Plane, low: deg(120), high: deg(180), value: float64(p.FinishKnee)},
		{field: "posture.finish_gap", quantity: Length, low: 0, high: 0.20, value: p.FinishGap},
		{field: "posture.rotation_max", quantity: Plane, low: 0, high: deg(90), value: float64(p.RotationMax)},
		{field: "posture.side_lean", quantity: Length, low: -0.10, high: 0.20, value: p.SideLean},
	}).orNil()
}

// Check returns every problem of the hands' heights as FieldErrors, or nil.
func (h *Handle) Check() error {
	return checkAll([]plausible{
		{field: "handle.catch_height", quantity: Length, low: 0.05, high: 0.60, value: h.Catch},
		{field: "handle.finish_height", quantity: Length, low: 0.05, high: 0.60, value: h.Finish},
	}).orNil()
}

// Check returns every problem of the targets as FieldErrors, or nil. An end
// without a target passes.
func (t *Targets) Check() error {
	return checkAll(given([]plausible{
		{field: "targets.catch", quantity: Plane, low: -float64(maxOarAngle), high: deg(-10), value: float64(t.Catch)},
		{field: "targets.finish", quantity: Plane, low: deg(5), high: deg(80), value: float64(t.Finish)},
	})).orNil()
}

// Check returns every problem of the limits as FieldErrors, or nil.
func (l *Limits) Check() error {
	return checkAll([]plausible{
		{field: "limits.lean", quantity: Plane, low: 0, high: deg(60), value: float64(l.Lean)},
		{field: "limits.layback", quantity: Plane, low: 0, high: deg(60), value: float64(l.Layback)},
		{field: "limits.knee_flexion", quantity: Plane, low: deg(60), high: deg(175), value: float64(l.KneeFlexion)},
		{field: "limits.trunk_thigh", quantity: Plane, low: deg(90), high: deg(180), value: float64(l.TrunkThigh)},
	}).orNil()
}

// Check returns every problem of the approach as FieldErrors, or nil.
func (a *Approach) Check() error {
	return checkAll([]plausible{
		{field: "approach.boat_speed", quantity: Speed, low: 0.5, high: 8, value: a.BoatSpeed},
		{field: "approach.edge_height", quantity: Length, low: 0, high: 0.40, value: a.EdgeHeight},
		{field: "approach.blade_speed", quantity: Speed, low: 0.2, high: 8, value: a.BladeSpeed},
		{field: "approach.overdepth", quantity: Length, low: 0, high: 0.60, value: a.Overdepth},
	}).orNil()
}

// Check returns every problem of a measured arc's angles as FieldErrors, or
// nil; its set-up is checked by itself.
func (a *MeasuredArc) Check() error {
	return checkAll(given([]plausible{
		{field: "catch", quantity: Plane, low: -float64(maxOarAngle), high: deg(-10), value: float64(a.Catch)},
		{field: "finish", quantity: Plane, low: deg(5), high: deg(80), value: float64(a.Finish)},
		{field: "sd", quantity: Plane, low: deg(0.05), high: deg(10), value: float64(a.SD)},
	})).orNil()
}
