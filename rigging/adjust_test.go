package rigging_test

import (
	"math"
	"slices"
	"testing"
	"thole/rigging"

	"pgregory.net/rapid"
)

// TestAdjustmentsHoldTheRigAsFound: so that nothing is moved only to come into
// a default range.
func TestAdjustmentsHoldTheRigAsFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t)
		setup := someScull(in)
		setup.Span, setup.HeelToPin = in(1.30, 1.80), in(0.02, 0.80)
		defaults := rigging.DefaultAdjustments(setup.Class)
		for name, a := range setup.Adjustments() {
			d := defaults[name]
			if v := setup.Value(name); v < a.Min-1e-9 || v > a.Max+1e-9 || a.Min > d.Min || a.Max < d.Max {
				t.Errorf("%s: %+v does not hold %g and %+v", name, a, v, d)
			}
			steps := (d.Min - a.Min) / a.Step
			near(t, string(name)+" widened by steps", steps, math.Round(steps), 1e-6)
		}
	})
}

func TestAdjustmentsAreACopy(t *testing.T) {
	c := class("1x")
	delete(rigging.DefaultAdjustments(c), rigging.SettingSpan)
	if len(rigging.DefaultAdjustments(c)) != 6 {
		t.Error("changing the adjustments of one caller changes those of all")
	}
}

// TestDefaultAdjustmentsBelongToTheClass: a plan takes them as they are, and each
// names a setting of the class.
func TestDefaultAdjustmentsBelongToTheClass(t *testing.T) {
	for _, class := range rigging.Classes() {
		task := boatOf(t, class)
		task.Adjust = rigging.DefaultAdjustments(class)
		if _, err := rigging.MakePlan(task); err != nil {
			t.Errorf("%s: %v", class.Code, err)
		}
		for name := range task.Adjust {
			if !slices.Contains(class.Settings(), name) {
				t.Errorf("%s has no %s", class.Code, name)
			}
		}
	}
}

// boatOf returns the plan of a boat of class with one adult in the first seat
// alone.
func boatOf(t reporter, class rigging.Class) *rigging.PlanTask {
	setup := sweep()
	if class.Scull {
		setup = scull()
	}
	setup.Class = class
	seat := planSeat(t, setup, *adult(), rigging.Group{Class: class, Sex: rigging.Male})
	return &rigging.PlanTask{Seats: []rigging.PlanSeat{seat}, Job: rigging.JobEveryday}
}

// TestAdjustmentsAreChecked names every adjustment that cannot be right.
func TestAdjustmentsAreChecked(t *testing.T) {
	heel := rigging.SettingHeelToPin
	change := func(f func(a *rigging.Adjustment)) func(map[rigging.Setting]rigging.Adjustment) {
		return func(adjust map[rigging.Setting]rigging.Adjustment) {
			a := adjust[heel]
			f(&a)
			adjust[heel] = a
		}
	}
	add := func(s rigging.Setting) func(map[rigging.Setting]rigging.Adjustment) {
		return func(adjust map[rigging.Setting]rigging.Adjustment) {
			adjust[s] = rigging.Adjustment{Min: 0.8, Max: 0.9, Step: 0.01}
		}
	}
	nan := math.NaN()
	for _, c := range []struct {
		name    string
		spoil   func(adjust map[rigging.Setting]rigging.Adjustment)
		field   string
		problem rigging.Problem
	}{
		{"min above max", change(func(a *rigging.Adjustment) { a.Min, a.Max = a.Max, a.Min }), "adjust.heel_to_pin.min", rigging.ProblemMismatch},
		{"min impossible", change(func(a *rigging.Adjustment) { a.Min = -1 }), "adjust.heel_to_pin.min", rigging.ProblemRange},
		{"max impossible", change(func(a *rigging.Adjustment) { a.Max = 45 }), "adjust.heel_to_pin.max", rigging.ProblemRange},
		{"min is no number", change(func(a *rigging.Adjustment) { a.Min = nan }), "adjust.heel_to_pin.min", rigging.ProblemMissing},
		{"no step", change(func(a *rigging.Adjustment) { a.Step = 0 }), "adjust.heel_to_pin.step", rigging.ProblemRange},
		{"step backwards", change(func(a *rigging.Adjustment) { a.Step = -0.01 }), "adjust.heel_to_pin.step", rigging.ProblemRange},
		{"a step nobody reads", change(func(a *rigging.Adjustment) { a.Step = 0.00009 }), "adjust.heel_to_pin.step", rigging.ProblemRange},
		{"a step beyond any range", change(func(a *rigging.Adjustment) { a.Step = 0.201 }), "adjust.heel_to_pin.step", rigging.ProblemRange},
		{"unknown setting", add("rudder"), "adjust.rudder", rigging.ProblemUnknown},
		{"setting of sweep", add(rigging.SettingSpread), "adjust.spread", rigging.ProblemMismatch},
		{"setting without a part", add(rigging.SettingSternPitch), "adjust.stern_pitch", rigging.ProblemMismatch},
	} {
		task := boatOf(t, class("1x"))
		task.Adjust = map[rigging.Setting]rigging.Adjustment{heel: rigging.DefaultAdjustments(class("1x"))[heel]}
		c.spoil(task.Adjust)
		_, err := rigging.MakePlan(task)
		errs := fieldErrors(t, err)
		if len(errs) != 1 || errs[0].Place.String() != c.field || errs[0].Problem != c.problem {
			t.Errorf("%s: %v, want %s of %s", c.name, err, c.problem, c.field)
		}
	}
}

// TestPlansReportEveryMistakeAtOnce in the order of the input.
func TestPlansReportEveryMistakeAtOnce(t *testing.T) {
	task := boatOf(t, class("8+"))
	task.Seats[0].Case.Body = rigging.Estimate{}
	task.Targets.Catch, task.Job = 2, "polish"
	task.Adjust = map[rigging.Setting]rigging.Adjustment{rigging.SettingSpan: {}, rigging.SettingHeelToPin: {Step: -1}}
	_, err := rigging.MakePlan(task)
	want := []string{"seats[0].rower", "targets.catch", "job", "adjust.heel_to_pin.step", "adjust.span"}
	if got := fields(t, err); !slices.Equal(got, want) {
		t.Errorf("fields %v, want %v", got, want)
	}
}

// TestARangeOfOneValueIsARange: the least may be the most.
func TestARangeOfOneValueIsARange(t *testing.T) {
	task := boatOf(t, class("1x"))
	a := rigging.DefaultAdjustments(class("1x"))[rigging.SettingHeelToPin]
	a.Min = a.Max
	task.Adjust = map[rigging.Setting]rigging.Adjustment{rigging.SettingHeelToPin: a}
	if _, err := rigging.MakePlan(task); err != nil {
		t.Error(err)
	}
}
