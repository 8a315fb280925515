package rigging_test

import (
	"testing"

	"thole/rigging"
)

// TestClassArcs: remembered class means (from memory) and steps by age and level
// (common practice), catch and finish.
func TestClassArcs(t *testing.T) {
	for _, row := range []struct {
		g             rigging.Group
		catch, finish float64
	}{
		{rigging.Group{Class: class("1x"), Sex: rigging.Male, Level: rigging.Championship}, 66, 44},
		{rigging.Group{Class: class("4x"), Sex: rigging.Female, Level: rigging.Championship}, 62, 43},
		{rigging.Group{Class: class("2x"), Sex: rigging.Male, Light: true, Level: rigging.Championship}, 64, 44},
		{rigging.Group{Class: class("2x"), Sex: rigging.Female, Light: true, Level: rigging.Championship}, 61, 43},
		{rigging.Group{Class: class("2-"), Sex: rigging.Male, Level: rigging.Championship}, 57, 34},
		{rigging.Group{Class: class("4+"), Sex: rigging.Female, Level: rigging.Championship}, 55, 33},
		{rigging.Group{Class: class("4-"), Sex: rigging.Male, Light: true, Level: rigging.Championship}, 55, 34},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Level: rigging.Championship}, 56, 34},
		{rigging.Group{Class: class("8+"), Sex: rigging.Female, Level: rigging.Championship}, 54, 33},
		{rigging.Group{Class: class("8+"), Level: rigging.Championship}, 55, 33.5},
		{rigging.Group{Class: class("1x"), Sex: rigging.Male}, 63, 43},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Level: rigging.Novice}, 50, 32},
		{rigging.Group{Class: class("1x"), Sex: rigging.Male, Age: 18, Level: rigging.Championship}, 64, 44 - 2./3},
		{rigging.Group{Class: class("1x"), Sex: rigging.Male, Age: 16, Level: rigging.Championship}, 62, 44 - 4./3},
		{rigging.Group{Class: class("1x"), Sex: rigging.Male, Age: 14, Level: rigging.Championship}, 59, 44 - 7./3},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Age: 14, Level: rigging.Championship}, 50, 32},
		{rigging.Group{Class: class("1x"), Sex: rigging.Female, Age: 12, Level: rigging.Novice}, 46, 43 - 10./3 - 2},
		{rigging.Group{Class: class("8+"), Sex: rigging.Female, Age: 12, Level: rigging.Championship}, 46, 33 - 8./3},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Age: 50, Level: rigging.Championship}, 53, 34},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Age: 62}, 47, 33},
		{rigging.Group{Class: class("1x"), Sex: rigging.Male, Age: 13, Level: rigging.Championship}, 59, 44 - 7./3}, // a birthday ends a category
		{rigging.Group{Class: class("1x"), Sex: rigging.Male, Age: 15, Level: rigging.Championship}, 62, 44 - 4./3},
		{rigging.Group{Class: class("1x"), Sex: rigging.Male, Age: 17, Level: rigging.Championship}, 64, 44 - 2./3},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Age: 60, Level: rigging.Championship}, 50, 34},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Age: 70, Level: rigging.Championship}, 47, 34},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Age: 75, Level: rigging.Championship}, 47, 34},
		{rigging.Group{Class: class("8+"), Sex: rigging.Male, Age: 19, Level: rigging.Championship}, 56, 34},
	} {
		arc := row.g.Arc()
		degrees(t, "catch", arc.Catch, -row.catch, 1e-9)
		degrees(t, "finish", arc.Finish, row.finish, 1e-9)
		degrees(t, "SD", arc.SD, 4, 1e-9)
		if len(arc.Source) == 0 || row.g.Level != rigging.Championship && len(arc.Source) < 2 {
			t.Errorf("%+v: sources %v", row.g, arc.Source)
		}
	}
}

func TestLevelsByName(t *testing.T) {
	for name, want := range map[string]rigging.Level{"": rigging.Club, "club": rigging.Club, "championship": rigging.Championship, "novice": rigging.Novice} {
		got, ok := rigging.ParseLevel(name)
		if !ok || got != want || name != "" && got.String() != name {
			t.Errorf("%q: %v %v", name, got, ok)
		}
	}
	if _, ok := rigging.ParseLevel("elite"); ok {
		t.Error("elite is a level")
	}
}
