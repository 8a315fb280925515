package rigging_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
)

func TestCommonInputsPass(t *testing.T) {
	s, w, m := scull(), sweep(), adult()
	posture, handle, targets, approach := rigging.DefaultPosture(s.Class), level, rigging.DefaultTargets(s.Class), rigging.DefaultApproach()
	arc := rigging.MeasuredArc{Setup: s, Catch: deg(-64), Finish: deg(44)}
	for name, err := range map[string]error{
		"scull": s.Check(), "sweep": w.Check(), "measures": m.Check(), "no measures": (&rigging.Measures{}).Check(),
		"posture": posture.Check(), "handle": handle.Check(), "targets": targets.Check(),
		"no targets": (&rigging.Targets{}).Check(), "approach": approach.Check(), "arc": arc.Check(),
	} {
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestSetupRefusesWhatCannotBe lists single slips with the field and the kind
// of problem they are answered with.
func TestSetupRefusesWhatCannotBe(t *testing.T) {
	for _, row := range []struct {
		name    string
		base    func() rigging.Setup
		spoil   func(*rigging.Setup)
		field   string
		problem rigging.Problem
	}{
		{"no class", scull, func(s *rigging.Setup) { s.Class = rigging.Class{} }, "seat.class", rigging.ProblemMissing},
		{"span in cm", scull, func(s *rigging.Setup) { s.Span = 159 }, "seat.span", rigging.ProblemRange},
		{"no span", scull, func(s *rigging.Setup) { s.Span = 0 }, "seat.span", rigging.ProblemMissing},
		{"spread for a scull", scull, func(s *rigging.Setup) { s.Spread = 0.85 }, "seat.spread", rigging.ProblemMismatch},
		{"span for a sweep seat", sweep, func(s *rigging.Setup) { s.Span = 1.59 }, "seat.span", rigging.ProblemMismatch},
		{"no side", sweep, func(s *rigging.Setup) { s.Side = 0 }, "seat.side", rigging.ProblemMissing},
		{"no such side", sweep, func(s *rigging.Setup) { s.Side = 2 }, "seat.side", rigging.ProblemMissing},
		{"two gates in sweep", sweep, func(s *rigging.Setup) { s.GateDifference = 0.01 }, "seat.gate_difference", rigging.ProblemMismatch},
		{"oar in cm", scull, func(s *rigging.Setup) { s.OarLength = 288 }, "seat.oar_length", rigging.ProblemRange},
		{"no oar", scull, func(s *rigging.Setup) { s.OarLength = 0 }, "seat.oar_length", rigging.ProblemMissing},
		{"inboard longer than the oar", scull, func(s *rigging.Setup) { s.Inboard = 2.90 }, "seat.inboard", rigging.ProblemRange},
		{"outboard shorter than the inboard", scull, func(s *rigging.Setup) { s.OarLength, s.Inboard = 2.00, 1.09 }, "seat.inboard", rigging.ProblemMismatch},
		{"handle short of the middle", scull, func(s *rigging.Setup) { s.Span = 1.80 }, "seat.inboard", rigging.ProblemMismatch},
		{"inboard far too long", scull, func(s *rigging.Setup) { s.Span, s.Inboard, s.OarLength = 1.20, 1.00, 3.00 }, "seat.inboard", rigging.ProblemMismatch},
		{"inboard far too long in sweep", sweep, func(s *rigging.Setup) { s.Spread, s.Inboard = 0.62, 1.10 }, "seat.inboard", rigging.ProblemMismatch},
		{"negative gate height", scull, func(s *rigging.Setup) { s.GateHeight = -0.16 }, "seat.gate_height", rigging.ProblemRange},
		{"plate in degrees", scull, func(s *rigging.Setup) { s.PlateAngle = 42 }, "seat.plate_angle", rigging.ProblemRange},
		{"heel below the keel", scull, func(s *rigging.Setup) { s.HeelDepth = 0.50 }, "seat.heel_depth", rigging.ProblemRange},
		{"no heel", scull, func(s *rigging.Setup) { s.HeelToPin = 0 }, "seat.heel_to_pin", rigging.ProblemMissing},
		{"gates a hand apart", scull, func(s *rigging.Setup) { s.GateDifference = -0.10 }, "seat.gate_difference", rigging.ProblemRange},
		{"seat under water", scull, func(s *rigging.Setup) { s.SeatOverWater = -0.5 }, "seat.seat_over_water", rigging.ProblemRange},
		{"not a number", scull, func(s *rigging.Setup) { s.OutwardPitch = rigging.Angle(math.NaN()) }, "seat.outward_pitch", rigging.ProblemMissing},
		{"endless", scull, func(s *rigging.Setup) { s.HeelToPin = math.Inf(1) }, "seat.heel_to_pin", rigging.ProblemRange},
	} {
		s := row.base()
		row.spoil(&s)
		list := fieldErrors(t, s.Check())
		if len(list) != 1 || list[0].Place.String() != row.field || list[0].Problem != row.problem {
			t.Errorf("%s: %v, want one %s problem of %s", row.name, list, row.problem, row.field)
		}
	}
}

// TestSetupReportsEveryProblemInFieldOrder: the order is that of Setup.
func TestSetupReportsEveryProblemInFieldOrder(t *testing.T) {
	s := scull()
	s.Spread, s.Span, s.PlateAngle, s.GateHeight, s.GateDifference, s.Inboard = 0.85, 0, 42, 16.5, 1, math.NaN()
	want := []string{"seat.span", "seat.spread", "seat.inboard", "seat.gate_height", "seat.gate_difference", "seat.plate_angle"}
	if got := fields(t, s.Check()); !slices.Equal(got, want) {
		t.Errorf("fields %v, want %v", got, want)
	}
	want = []string{"seat.side", "seat.span", "seat.spread", "seat.oar_length", "seat.inboard", "seat.gate_height", "seat.gate_difference", "seat.heel_to_pin", "seat.heel_depth", "seat.plate_angle"}
	blank := rigging.Setup{Class: class("4-"), Span: 1.59, GateDifference: 0.01}
	if got := fields(t, blank.Check()); !slices.Equal(got, want) {
		t.Errorf("blank seat: fields %v, want %v", got, want)
	}
}

// TestCheckRangesHaveClosedEnds: the ends themselves pass, a hair outside does
// not.
func TestCheckRangesHaveClosedEnds(t *testing.T) {
	for _, row := range []struct {
		name      string
		low, high float64
	}{
		{"shin", 60, 125}, {"lean", -15, 60}, {"layback", -5, 60}, {"dorsiflexion", 0, 60}, {"finish_knee", 120, 180}, {"rotation_max", 0, 90},
	} {
		for _, at := range []struct {
			value float64
			ok    bool
		}{{row.low, true}, {row.high, true}, {row.low - 0.001, false}, {row.high + 0.001, false}} {
			p := rigging.DefaultPosture(class("1x"))
			*map[string]*rigging.Angle{
				"shin": &p.Shin, "lean": &p.Lean, "layback": &p.Layback, "dorsiflexion": &p.Dorsiflexion,
				"finish_knee": &p.FinishKnee, "rotation_max": &p.RotationMax,
			}[row.name] = deg(at.value)
			got := fields(t, p.Check())
			if at.ok != (len(got) == 0) || !at.ok && got[0] != "posture."+row.name {
				t.Errorf("%s of %g: %v", row.name, at.value, got)
			}
		}
	}
}

func TestMeasuresRefuseWhatNobodyHas(t *testing.T) {
	for _, row := range []struct {
		name    string
		m       rigging.Measures
		field   string
		problem rigging.Problem
	}{
		{"stature in dm", rigging.Measures{Stature: 0.18}, "rower.stature", rigging.ProblemRange},
		{"stature in cm", rigging.Measures{Stature: 185}, "rower.stature", rigging.ProblemRange},
		{"not a number", rigging.Measures{Stature: math.NaN()}, "rower.stature", rigging.ProblemMissing},
		{"mass in g", rigging.Measures{Mass: 85000}, "rower.mass", rigging.ProblemRange},
		{"unborn", rigging.Measures{Age: -1}, "rower.age", rigging.ProblemRange},
		{"hands at the chin", rigging.Measures{DrawHeight: 0.8}, "rower.draw_height", rigging.ProblemRange},
		{"shank in cm", rigging.Measures{Segments: rigging.Body{Shank: 44}}, "rower.segments.shank", rigging.ProblemRange},
		{"one arm for the span", rigging.Measures{Stature: 1.90, ArmSpan: 0.95}, "rower.arm_span", rigging.ProblemMismatch},
		{"span of a stranger", rigging.Measures{Stature: 1.60, ArmSpan: 1.95}, "rower.arm_span", rigging.ProblemMismatch},
		{"standing for sitting", rigging.Measures{Stature: 1.60, SittingHeight: 1.20}, "rower.sitting_height", rigging.ProblemMismatch},
		{"giant's shank on a short man", rigging.Measures{Sex: rigging.Male, Stature: 1.00, Segments: rigging.Body{Shank: 0.65}}, "rower.segments.ankle_off", rigging.ProblemMismatch},
		{"a small child of unknown sex", rigging.Measures{Stature: 1.00}, "rower.mass", rigging.ProblemMismatch},
	} {
		list := fieldErrors(t, row.m.Check())
		if !slices.ContainsFunc(list, func(e *rigging.FieldError) bool { return e.Place.String() == row.field && e.Problem == row.problem }) {
			t.Errorf("%s: %v, want a %s problem of %s", row.name, list, row.problem, row.field)
		}
	}
}

func TestMeasuresReportEveryProblemInFieldOrder(t *testing.T) {
	m := rigging.Measures{Age: 300, Stature: 18, Mass: -1, Segments: rigging.Body{Shank: 9, HipHeight: 9}}
	want := []string{"rower.age", "rower.stature", "rower.mass", "rower.segments.shank", "rower.segments.hip_height"}
	if got := fields(t, m.Check()); !slices.Equal(got, want) {
		t.Errorf("fields %v, want %v", got, want)
	}
}

// TestChildrenAndGiantsPass: from ten-year-olds to the tallest rowers.
func TestChildrenAndGiantsPass(t *testing.T) {
	for _, sex := range []rigging.Sex{rigging.AnySex, rigging.Female, rigging.Male} {
		for h := 1.20; h < 2.35; h += 0.05 {
			if err := (&rigging.Measures{Sex: sex, Stature: h}).Check(); err != nil {
				t.Errorf("%q, %.2f m: %v", sex, h, err)
			}
		}
	}
}

func TestOtherInputsRefuseWhatCannotBe(t *testing.T) {
	nan := math.NaN()
	posture := rigging.DefaultPosture(class("1x"))
	posture.Lean = 25
	for _, row := range []struct {
		err   error
		field string
	}{
		{posture.Check(), "posture.lean"},
		{(&rigging.Handle{Catch: 0.25, Finish: 25}).Check(), "handle.finish_height"},
		{(&rigging.Handle{Catch: nan, Finish: 0.25}).Check(), "handle.catch_height"},
		{(&rigging.Targets{Catch: deg(64)}).Check(), "targets.catch"},
		{(&rigging.Targets{Catch: deg(-64), Finish: -1}).Check(), "targets.finish"},
		{(&rigging.Approach{BladeSpeed: 2}).Check(), "approach.boat_speed"},
		{(&rigging.Approach{BoatSpeed: 4}).Check(), "approach.blade_speed"},
		{(&rigging.Approach{BoatSpeed: 4, BladeSpeed: 2, Overdepth: -1}).Check(), "approach.overdepth"},
		{(&rigging.MeasuredArc{Catch: 1}).Check(), "catch"},
		{(&rigging.MeasuredArc{Finish: deg(89)}).Check(), "finish"},
		{(&rigging.MeasuredArc{SD: 1}).Check(), "sd"},
	} {
		if got := fields(t, row.err); !slices.Equal(got, []string{row.field}) {
			t.Errorf("fields %v, want %s alone", got, row.field)
		}
	}
}

// TestFieldErrorsExplainThemselves: the text names the field and, for a range,
// value and ends.
func TestFieldErrorsExplainThemselves(t *testing.T) {
	s := scull()
	s.Span, s.Spread = 159, 0.85
	err := s.Check()
	for _, part := range []string{"seat.span", "159", "1.1", "1.9", "; ", "seat.spread", "belongs to a sweep boat"} {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("%q lacks %q", err, part)
		}
	}
	var list rigging.FieldErrors
	if !errors.As(err, &list) || list[0].Quantity != rigging.Length || list[0].Value != 159 {
		t.Errorf("facts: %+v", list[0])
	}
}

func TestProportionsAreExplainedInPercent(t *testing.T) {
	m := rigging.Measures{Stature: 1.60, SittingHeight: 1.20}
	for _, part := range []string{"sitting height is 75 %", "people have 44 to 60 %"} {
		if err := m.Check(); !strings.Contains(err.Error(), part) {
			t.Errorf("%q lacks %q", err, part)
		}
	}
}
