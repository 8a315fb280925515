package rigging_test

import (
	"reflect"
	"slices"
	"testing"
	"thole/rigging"

	"pgregory.net/rapid"
)

// TestWorkOrderDoesNotUndoItself: what a measure is read from is set before it.
func TestWorkOrderDoesNotUndoItself(t *testing.T) {
	before := [][2]rigging.Setting{
		{rigging.SettingSpan, rigging.SettingInboard}, {rigging.SettingSpread, rigging.SettingInboard},
		{rigging.SettingSpan, rigging.SettingOarLength}, {rigging.SettingSpan, rigging.SettingGateHeight},
		{rigging.SettingOarLength, rigging.SettingInboard},
		{rigging.SettingGateHeight, rigging.SettingSternPitch}, {rigging.SettingGateDifference, rigging.SettingOutwardPitch},
		{rigging.SettingSternPitch, rigging.SettingBladePitch}, {rigging.SettingBladePitch, rigging.SettingHeelToPin},
		{rigging.SettingPlateAngle, rigging.SettingHeelDepth}, {rigging.SettingHeelDepth, rigging.SettingHeelToPin},
	}
	rapid.Check(t, func(t *rapid.T) {
		var list []rigging.Change
		for _, code := range []string{"1x", "8+"} {
			for i, s := range class(code).Settings() {
				list = append(list, rigging.Change{Setting: s, From: float64(i), To: 1})
			}
		}
		shuffled := rapid.Permutation(list).Draw(t, "list")
		ordered := rigging.WorkOrder(shuffled)
		place := func(s rigging.Setting) int {
			return slices.IndexFunc(ordered, func(c rigging.Change) bool { return c.Setting == s })
		}
		for _, pair := range before {
			if place(pair[0]) > place(pair[1]) {
				t.Errorf("%s comes after %s", pair[0], pair[1])
			}
		}
		for _, c := range list {
			if !slices.Contains(ordered, c) {
				t.Errorf("%+v is lost", c)
			}
		}
	})
}

// TestChangesLeadFromRigToRig over every setting.
func TestChangesLeadFromRigToRig(t *testing.T) {
	for _, from := range []rigging.Setup{scull(), sweep()} {
		to := from
		for i, s := range from.Class.Settings() {
			to.SetValue(s, from.Value(s)+0.001*float64(i)) // the first stays
		}
		list := rigging.Changes(&from, &to)
		if len(list) != len(from.Class.Settings())-1 || !reflect.DeepEqual(list, rigging.WorkOrder(list)) {
			t.Errorf("changes %v", list)
		}
		for _, c := range list {
			near(t, string(c.Setting), c.From, from.Value(c.Setting), 0)
			from.SetValue(c.Setting, c.To)
		}
		if from != to {
			t.Errorf("the changes lead to %+v, not %+v", from, to)
		}
	}
}

func TestWorkOrderLeavesItsArgument(t *testing.T) {
	list := []rigging.Change{{Setting: rigging.SettingHeelToPin}, {Setting: rigging.SettingSpan}}
	rigging.WorkOrder(list)
	if list[0].Setting != rigging.SettingHeelToPin {
		t.Error("the caller's list is reordered")
	}
}

func TestToleranceOfEverySetting(t *testing.T) {
	for _, c := range rigging.Classes() {
		for _, s := range c.Settings() {
			step := rigging.SensitivityStep(s.Quantity())
			if tol := s.Tolerance(); !(tol > 0 && tol <= step) {
				t.Errorf("%s is to be set to %g", s, tol)
			}
		}
	}
}
