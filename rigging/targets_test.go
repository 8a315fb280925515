package rigging_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"thole/rigging"
)

func TestTargetsHaveQuantities(t *testing.T) {
	for target, want := range map[rigging.Target]rigging.Quantity{
		rigging.TargetCatch: rigging.Plane, rigging.TargetFinish: rigging.Plane, rigging.TargetLeverRatio: rigging.Count,
		rigging.TargetDrawHeight: rigging.Length, rigging.TargetOverlap: rigging.Length,
	} {
		if got := target.Quantity(); got != want {
			t.Errorf("%s has quantity %d", target, got)
		}
	}
}

func TestToleranceOfNoSettingPanics(t *testing.T) {
	for name, call := range map[string]func(){
		"setting": func() { rigging.Setting("rudder").Tolerance() },
		"target":  func() { rigging.Target("splash").Tolerance() },
	} {
		func() {
			defer func() {
				if msg, _ := recover().(string); !strings.HasPrefix(msg, "rigging: no "+name) {
					t.Errorf("%s: panic %q", name, msg)
				}
			}()
			call()
		}()
	}
}

// TestGoalsAreChecked names every goal that cannot be right.
func TestGoalsAreChecked(t *testing.T) {
	for _, c := range []struct {
		name    string
		target  rigging.Target
		goal    rigging.Goal
		field   string
		problem rigging.Problem
	}{
		{"catch with the wrong sign", rigging.TargetCatch, rigging.Goal{Value: 1.1}, "targets.catch", rigging.ProblemRange},
		{"finish in degrees", rigging.TargetFinish, rigging.Goal{Value: 44}, "targets.finish", rigging.ProblemRange},
		{"finish is no number", rigging.TargetFinish, rigging.Goal{Value: math.NaN()}, "targets.finish", rigging.ProblemMissing},
		{"lever ratio", rigging.TargetLeverRatio, rigging.Goal{Value: 12}, "targets.lever_ratio", rigging.ProblemRange},
		{"draw height", rigging.TargetDrawHeight, rigging.Goal{Value: 2}, "targets.draw_height", rigging.ProblemRange},
		{"overlap", rigging.TargetOverlap, rigging.Goal{Value: -0.01}, "targets.overlap", rigging.ProblemRange},
		{"tolerance below zero", rigging.TargetCatch, rigging.Goal{Value: -1.1, Tolerance: -1}, "targets.catch.tolerance", rigging.ProblemRange},
		{"tolerance of 51°", rigging.TargetCatch, rigging.Goal{Value: -1.1, Tolerance: float64(deg(51))}, "targets.catch.tolerance", rigging.ProblemRange},
		{"unknown target", "splash", rigging.Goal{Value: 1}, "targets.splash", rigging.ProblemUnknown},
	} {
		errs := fieldErrors(t, rigging.Goals{c.target: c.goal}.Check())
		if len(errs) != 1 || errs[0].Place.String() != c.field || errs[0].Problem != c.problem {
			t.Errorf("%s: %v, want %s of %s", c.name, errs, c.problem, c.field)
		}
	}
	good := rigging.Goals{rigging.TargetDrawHeight: {}, rigging.TargetCatch: {Value: float64(deg(-64)), Tolerance: float64(deg(50))}, rigging.TargetOverlap: {}}
	if err := good.Check(); err != nil {
		t.Errorf("good goals: %v", err)
	}
	bad := rigging.Goals{rigging.TargetFinish: {Value: 2}, rigging.TargetCatch: {Value: 2}, "b": {}, "a": {}}
	if got, want := fields(t, bad.Check()), []string{"targets.catch", "targets.finish", "targets.a", "targets.b"}; !slices.Equal(got, want) {
		t.Errorf("fields %v, want %v", got, want)
	}
}
