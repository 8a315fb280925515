package rigging_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"thole/rigging"
)

// checksOf returns what the package's checks say of one value at the place of a
// range, everything else being usual.
func checksOf(r *rigging.Range, v float64) error {
	last := r.Place[len(r.Place)-1].Field
	switch r.Place[0].Field {
	case rigging.FieldSeat:
		return checkSeat(r, last, v)
	case rigging.FieldSeats:
		task := pair()
		task.Seats[1].Strength = v
		_, err := rigging.MakePlan(task)
		return err
	case rigging.FieldRower:
		return checkRower(r.Place.Key(), v)
	case rigging.FieldStretcher:
		s := rigging.StretcherScale{Mark: rigging.MarkHole, HolePitch: 0.02, ToeAlong: 0.28}
		*map[rigging.Field]*float64{rigging.FieldOffset: &s.Offset, rigging.FieldToeAlong: &s.ToeAlong, rigging.FieldHolePitch: &s.HolePitch}[last] = v
		if last == rigging.FieldToeAlong {
			s.Mark = rigging.MarkToe
		}
		return s.Check()
	case rigging.FieldHandle, rigging.FieldPosture, rigging.FieldLimits:
		return checkHold(r.Place[0].Field, last, v)
	case rigging.FieldTargets:
		t := rigging.Targets{}
		if angle := map[rigging.Field]*rigging.Angle{rigging.FieldCatch: &t.Catch, rigging.FieldFinish: &t.Finish}[last]; angle != nil {
			*angle = rigging.Angle(v)
			return t.Check()
		}
		return rigging.Goals{rigging.Target(last): {Value: v}}.Check()
	case rigging.FieldApproach:
		a := rigging.DefaultApproach()
		*map[rigging.Field]*float64{
			rigging.FieldBoatSpeed: &a.BoatSpeed, rigging.FieldEdgeHeight: &a.EdgeHeight,
			rigging.FieldBladeSpeed: &a.BladeSpeed, rigging.FieldOverdepth: &a.Overdepth,
		}[last] = v
		return a.Check()
	}
	return checkBare(last, v)
}

func checkBare(f rigging.Field, v float64) error {
	var a rigging.MeasuredArc
	if p := map[rigging.Field]*rigging.Angle{rigging.FieldCatch: &a.Catch, rigging.FieldFinish: &a.Finish, rigging.FieldSD: &a.SD}[f]; p != nil {
		*p = rigging.Angle(v)
		return a.Check()
	}
	c := rigging.Crew{Class: class("8+")}
	if f == rigging.FieldMasses {
		c.Masses = []float64{80, v}
		return c.Check()
	}
	*map[rigging.Field]*float64{
		rigging.FieldHullMass: &c.HullMass, rigging.FieldCoxMass: &c.CoxMass, rigging.FieldDeadWeight: &c.DeadWeight,
		rigging.FieldHeelRise: &c.HeelRise, rigging.FieldBladeEdge: &c.BladeEdge, rigging.FieldBowBall: &c.BowBall,
	}[f] = v
	return c.Check()
}

func checkHold(part, f rigging.Field, v float64) error {
	p, h, l := rigging.DefaultPosture(class("8+")), level, rigging.DefaultLimits()
	lengths := map[rigging.Field]*float64{
		rigging.FieldProtraction: &p.Protraction, rigging.FieldFinishGap: &p.FinishGap, rigging.FieldSideLean: &p.SideLean,
		rigging.FieldCatchHeight: &h.Catch, rigging.FieldFinishHeight: &h.Finish,
	}
	angles := map[rigging.Field]*rigging.Angle{
		rigging.FieldShin: &p.Shin, rigging.FieldLean: &p.Lean, rigging.FieldLayback: &p.Layback, rigging.FieldDorsiflexion: &p.Dorsiflexion,
		rigging.FieldFinishKnee: &p.FinishKnee, rigging.FieldRotationMax: &p.RotationMax,
	}
	if part == rigging.FieldLimits {
		angles = map[rigging.Field]*rigging.Angle{
			rigging.FieldLean: &l.Lean, rigging.FieldLayback: &l.Layback, rigging.FieldKneeFlexion: &l.KneeFlexion, rigging.FieldTrunkThigh: &l.TrunkThigh,
		}
	}
	if length := lengths[f]; length != nil {
		*length = v
	} else {
		*angles[f] = rigging.Angle(v)
	}
	return errors.Join(p.Check(), h.Check(), l.Check())
}

func checkRower(key string, v float64) error {
	m := rigging.Measures{}
	b := &m.Segments
	*map[string]*float64{
		"rower.age": &m.Age, "rower.stature": &m.Stature, "rower.arm_span": &m.ArmSpan, "rower.sitting_height": &m.SittingHeight,
		"rower.mass": &m.Mass, "rower.draw_height": &m.DrawHeight,
		"rower.segments.shank": &b.Shank, "rower.segments.thigh": &b.Thigh, "rower.segments.trunk": &b.Trunk, "rower.segments.arm": &b.Arm,
		"rower.segments.half_shoulder": &b.HalfShoulder, "rower.segments.half_depth": &b.HalfDepth, "rower.segments.ankle_along": &b.AnkleAlong,
		"rower.segments.ankle_off": &b.AnkleOff, "rower.segments.ball": &b.Ball, "rower.segments.hip_height": &b.HipHeight,
	}[key] = v
	return m.Check()
}

func checkSeat(r *rigging.Range, f rigging.Field, v float64) error {
	s := scull()
	if r.Discipline == rigging.Sweeping {
		s = sweep()
	}
	switch f {
	case rigging.FieldSeatOverWater:
		s.SeatOverWater = v
	case rigging.FieldBuiltFor:
		s.BuiltFor = v
	case rigging.FieldTotalPitch:
		return nil // derived from three that are checked
	default:
		s.SetValue(rigging.Setting(f), v)
	}
	return s.Check()
}

// rangeErrors returns the errors of err that call a value out of range.
func rangeErrors(err error) []*rigging.FieldError {
	var list rigging.FieldErrors
	if !errors.As(err, &list) {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(list), func(e *rigging.FieldError) bool { return e.Problem != rigging.ProblemRange })
}

// TestChecksGoByTheTable: every value at either end of its range passes, as read
// in the unit that people write, and a hair outside is refused at its place with
// the table's own ends.
func TestChecksGoByTheTable(t *testing.T) {
	for _, r := range rigging.Ranges() {
		if r.Place.Key() == "seat.total_pitch" {
			continue
		}
		hair := 1e-6 * (r.High - r.Low)
		for _, end := range []float64{r.Low, r.High} {
			for _, v := range []float64{end, written(r.Quantity, end)} {
				if bad := rangeErrors(checksOf(&r, v)); len(bad) > 0 {
					t.Errorf("%s at its end %v: %v", r.Place, v, bad[0])
				}
			}
		}
		for _, v := range []float64{r.Low - hair, r.High + hair} {
			bad := rangeErrors(checksOf(&r, v))
			if len(bad) != 1 || bad[0].Low != r.Low || bad[0].High != r.High || bad[0].Value != v || bad[0].Place.Key() != r.Place.Key() || bad[0].Quantity != r.Quantity {
				t.Errorf("%s of %v: %v, want one error with %v to %v", r.Place, v, bad, r.Low, r.High)
			}
		}
		if r.Holds(math.NaN()) || !r.Holds(r.Low) || !r.Holds(r.High) || r.Holds(r.Low-hair) || r.Holds(r.High+hair) {
			t.Errorf("%s: Holds disagrees with the ends", r.Place)
		}
	}
}

// written takes v to people's unit with six digits and back.
func written(q rigging.Quantity, v float64) float64 {
	unit := map[rigging.Quantity]float64{rigging.Length: 0.01, rigging.Plane: math.Pi / 180}[q]
	if unit == 0 {
		return v
	}
	var people float64
	fmt.Sscan(fmt.Sprintf("%.6f", v/unit), &people)
	return people * unit
}

// TestPrintedEndsArePossible: values that stand in the messages as ends of a
// range, as a form brings them in.
func TestPrintedEndsArePossible(t *testing.T) {
	cm := 0.01 // a variable: constants would be multiplied exactly
	for _, row := range []struct {
		name  string
		setup rigging.Setup
		spoil func(*rigging.Setup, float64)
		cm    float64
	}{
		{"heel depth", scull(), func(s *rigging.Setup, v float64) { s.HeelDepth = v }, 35},
		{"gate height", scull(), func(s *rigging.Setup, v float64) { s.GateHeight = v }, 35},
		{"span", scull(), func(s *rigging.Setup, v float64) { s.Span, s.Inboard = v, 1.05 }, 190},
		{"scull length", scull(), func(s *rigging.Setup, v float64) { s.OarLength = v }, 330},
		{"sweep inboard", sweep(), func(s *rigging.Setup, v float64) { s.Inboard, s.Spread = v, 1.05 }, 140},
	} {
		row.spoil(&row.setup, row.cm*cm)
		if err := row.setup.Check(); err != nil {
			t.Errorf("%s of %g cm: %v", row.name, row.cm, err)
		}
	}
}

// TestEveryRangeSaysWhoSaysSo and is in order, and no place has two of one
// discipline.
func TestEveryRangeSaysWhoSaysSo(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range rigging.Ranges() {
		key := fmt.Sprint(r.Place.Key(), r.Discipline)
		if seen[key] || r.Discipline != rigging.Either && seen[fmt.Sprint(r.Place.Key(), rigging.Either)] {
			t.Errorf("two ranges of %s", r.Place)
		}
		seen[key] = true
		if r.Source == "" || !(r.Low < r.High) {
			t.Errorf("%s: %+v", r.Place, r)
		}
		hasUsual := r.UsualLow != r.UsualHigh
		if hasUsual != (r.UsualSource != "") || hasUsual && !(r.Low <= r.UsualLow && r.UsualLow < r.UsualHigh && r.UsualHigh <= r.High) {
			t.Errorf("%s: usual %g to %g in %g to %g by %q", r.Place, r.UsualLow, r.UsualHigh, r.Low, r.High, r.UsualSource)
		}
		if r.Required && r.Low > 0 && r.Holds(0) {
			t.Errorf("%s is needed, and 0 is possible", r.Place)
		}
	}
	if len(seen) < 60 {
		t.Errorf("only %d ranges", len(seen))
	}
}

// TestRangesAreACopy: a caller may change what it was given.
func TestRangesAreACopy(t *testing.T) {
	list := rigging.Ranges()
	list[0].Low, list[0].Place[0].Field = 77, "spoilt"
	again := rigging.Ranges()
	if again[0].Low == 77 || again[0].Place[0].Field == "spoilt" {
		t.Error("the table was changed from outside")
	}
}

func TestRangeOf(t *testing.T) {
	inboard := rigging.PlaceOf(rigging.FieldSeat, rigging.FieldInboard)
	for code, high := range map[string]float64{"2x": 1.10, "4-": 1.40} {
		r, ok := rigging.RangeOf(inboard, class(code))
		if !ok || r.High != high || !r.Required || r.Quantity.Unit() != "cm" {
			t.Errorf("%s: %+v, %v", code, r, ok)
		}
	}
	if r, ok := rigging.RangeOf(rigging.PlaceOf(rigging.FieldMasses).Item(3), rigging.Class{}); !ok || r.Low != 20 || r.Quantity.Unit() != "kg" {
		t.Errorf("masses[3]: %+v, %v", r, ok)
	}
	if r, ok := rigging.RangeOf(rigging.PlaceOf(rigging.FieldSeat, rigging.FieldSpan), class("8+")); ok {
		t.Errorf("a span in an eight: %+v", r)
	}
	for q, want := range map[rigging.Quantity]string{
		rigging.Count: "", rigging.Length: "cm", rigging.Mass: "kg", rigging.Plane: "deg", rigging.Speed: "m/s", rigging.Duration: "years",
	} {
		if q.Unit() != want {
			t.Errorf("quantity %d in %q", q, q.Unit())
		}
	}
}

// TestRangesHoldTheirEndsInCentimetres also where 57 × 0.01 is 0.57 and a bit.
func TestRangesHoldTheirEndsInCentimetres(t *testing.T) {
	r := rigging.Range{Low: 0.12, High: 0.57}
	cm := 0.01
	for _, row := range []struct {
		v    float64
		want bool
	}{{12 * cm, true}, {57 * cm, true}, {0.119, false}, {0.571, false}} {
		if r.Holds(row.v) != row.want {
			t.Errorf("%g: %v", row.v, !row.want)
		}
	}
}

// TestInboardsPastTheMiddle: sculls at most 20 cm and sweep oars 45 cm, and none
// short of it.
func TestInboardsPastTheMiddle(t *testing.T) {
	for _, row := range []struct {
		setup rigging.Setup
		past  float64 // cm
		ok    bool
	}{
		{scull(), 20, true}, {scull(), 20.1, false}, {scull(), 0, true}, {scull(), -0.1, false},
		{sweep(), 45, true}, {sweep(), 45.1, false}, {sweep(), 0, true}, {sweep(), -0.1, false},
	} {
		s := row.setup
		s.Inboard = s.PinOut() + row.past*0.01
		if err := s.Check(); (err == nil) != row.ok {
			t.Errorf("%s, %g cm past the middle: %v", s.Class.Code, row.past, err)
		}
	}
}

// TestOutboardLeversAreTheLonger: equal levers pass.
func TestOutboardLeversAreTheLonger(t *testing.T) {
	for over, ok := range map[float64]bool{0.001: true, -0.001: false} {
		s := scull()
		s.OarLength = 0.88 + 0.84 + 0.24 + over // R_out = R_in + over
		s.OarLength, s.Inboard, s.Span = s.OarLength+0.12, 0.94, 1.59
		if err := s.Check(); (err == nil) != ok {
			t.Errorf("R_out − R_in = %g: %v", over, err)
		}
	}
}

// TestProportionsAtTheirEnds: arm spans of 85 to 120 % and sitting heights of 44
// to 60 % of the stature.
func TestProportionsAtTheirEnds(t *testing.T) {
	for _, row := range []struct {
		span, sitting float64
		ok            bool
	}{{0.85, 0, true}, {0.849, 0, false}, {1.20, 0, true}, {1.201, 0, false}, {0, 0.44, true}, {0, 0.439, false}, {0, 0.60, true}, {0, 0.601, false}} {
		m := rigging.Measures{Sex: rigging.Male, Stature: 1.80, ArmSpan: row.span * 1.80, SittingHeight: row.sitting * 1.80}
		bad := slices.ContainsFunc(fieldErrors(t, m.Check()), func(e *rigging.FieldError) bool {
			return e.Problem == rigging.ProblemMismatch && (e.Place.String() == "rower.arm_span" || e.Place.String() == "rower.sitting_height")
		})
		if bad == row.ok {
			t.Errorf("span %g, sitting %g: %v", row.span, row.sitting, m.Check())
		}
	}
}

func TestUnknownBladesAreRefused(t *testing.T) {
	s := scull()
	for _, kind := range append(bladeKinds(), "") {
		if s.Blade = kind; s.Check() != nil {
			t.Errorf("%q: %v", kind, s.Check())
		}
	}
	s.Blade = "spoon"
	list := fieldErrors(t, s.Check())
	if len(list) != 1 || list[0].Place.String() != "seat.blade" || list[0].Problem != rigging.ProblemUnknown {
		t.Errorf("spoon: %v", list)
	}
}
