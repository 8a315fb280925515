package clock

import (
	"strings"
	"testing"

	"thole/api/wire"
)

// TestWhatPeopleType: times with the clock, margins behind the first boat without it.
func TestWhatPeopleType(t *testing.T) {
	const none = -1
	for _, c := range []struct {
		typed          string
		times, margins []float64
	}{
		{"3:02.4|3.03,4", []float64{182.4, 183.4}, nil},
		{"182.4|+1.2 s", []float64{182.4, 183.6}, nil},
		{"3:02|dnf", []float64{182, none}, nil},
		{"0|+1.2", nil, []float64{0, 1.2}},
		{"+2|level|−0.5", nil, []float64{2.5, 0.5, 0}},
		{"0|+90", nil, []float64{0, 90}},       // the widest margin
		{"230|3:02", []float64{230, 182}, nil}, // a quarter off 184 s, and no more
		{"138|3:02", []float64{138, 182}, nil}, // and on the other side
	} {
		var p wire.Problems
		times, margins := Read(&p, wire.At("typed"), strings.Split(c.typed, "|"), 184)
		if p.OrNil() != nil || !same(times, c.times) || !same(margins, c.margins) {
			t.Errorf("%s: %v, %v, %v", c.typed, times, margins, p.OrNil())
		}
	}
}

// same compares values, a missing one being written as -1.
func same(got []*float64, want []float64) bool {
	if len(got) != len(want) {
		return false
	}
	for i, v := range got {
		if v == nil && want[i] != -1 || v != nil && *v != want[i] {
			return false
		}
	}
	return true
}

// TestSlipsAreToldAtTheBoat, each in words that say what to type.
func TestSlipsAreToldAtTheBoat(t *testing.T) {
	for typed, says := range map[string]string{"302": "If you mean 3:02.0, type it so", "": "missing", "three": "no time", "231": "If you mean 2:31.0", "+90.5": "A margin of 90.5 s is too much", "-1:31": "A margin of 91 s is too much", "+200": "A margin of 200 s is too much", "+x": "no margin"} {
		var p wire.Problems
		Read(&p, wire.At("typed"), []string{"3:04", typed}, 184)
		if len(p.Fields) != 1 || p.Fields[0].Field != "typed[1]" || !strings.Contains(p.Fields[0].Detail, says) {
			t.Errorf("%q: %+v, want %q", typed, p.Fields, says)
		}
	}
	if s, ok := ReadOne("3:10"); !ok || s != 190 || Format(s) != "3:10.0" {
		t.Errorf("one time: %v %v %s", s, ok, Format(s))
	}
	if s, ok := ReadOne("302"); !ok || s != 302 {
		t.Errorf("where no usual time is known, nothing is asked about 302: %v %v", s, ok)
	}
	if _, ok := ReadOne("+1.2"); ok {
		t.Error("a margin is no time")
	}
}
