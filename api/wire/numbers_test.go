package wire_test

import (
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"thole/api/wire"
	"thole/rigging"
)

func TestNumbersAsPeopleTypeThem(t *testing.T) {
	for text, want := range map[string]float64{
		"88": 88, " 88.5 ": 88.5, "88,5": 88.5, "−4": -4, "–4,5": -4.5, "-0": 0, "159 cm": 159, "42°": 42, "4.5 m/s": 4.5, "72kg": 72,
		"0.625": 0.625, "0,625": 0.625, "1.625": 1.625, "1 000": 1000, "1\u00a0000": 1000, "1,5": 1.5, "1e3": 1000, "+3": 3, "12,3456": 12.3456,
	} {
		if got, complaint := wire.ReadNumber(text); got != want || complaint != "" {
			t.Errorf("%q: %g, %q; want %g", text, got, complaint, want)
		}
	}
	for text, want := range map[string]string{
		"1,000":     "“1,000” can be read as 1 and as 1000: write it without the mark.",
		"-2,500":    "“-2,500” can be read as 2.5 and as 2500: write it without the mark.",
		"":          "“” is not a number.",
		"x":         "“x” is not a number.",
		"1,5,5":     "“1,5,5” is not a number.",
		"NaN":       "“NaN” is not a number.",
		"inf":       "“inf” is not a number.",
		"--4":       "“--4” is not a number.",
		"0x10":      "“0x10” is not a number.",
		"1e999":     "“1e999” is not a number.",
		"160 stone": "“160 stone” is not a number.",
	} {
		if got, complaint := wire.ReadNumber(text); complaint != want || got != 0 {
			t.Errorf("%q: %g, %q; want %q", text, got, complaint, want)
		}
	}
}

func TestReadingsOfACell(t *testing.T) {
	for text, want := range map[string][]float64{
		"12": {12}, "1,000": {1, 1000}, "1.000": {1, 1000}, "1'000": {1000}, "1,000,000": {1e6}, "0.125": {0.125}, "": nil, "a": nil, "1,00": {1},
	} {
		if diff := cmp.Diff(want, wire.Readings(text)); diff != "" {
			t.Errorf("%q: %s", text, diff)
		}
	}
}

func FuzzReadNumber(f *testing.F) {
	for _, seed := range []string{"1,000", "−4,5 cm", "1 000", "1e-3", "°"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, complaint := wire.ReadNumber(text)
		if v != v || complaint != "" && v != 0 || complaint != "" && !strings.Contains(complaint, "“") {
			t.Errorf("%q: %g, %q", text, v, complaint)
		}
	})
}

func TestNumbersAreWrittenOneWay(t *testing.T) {
	for _, c := range []struct {
		v            float64
		digits       int
		fix, trimmed string
	}{
		{1.005, 2, "1.00", "1"}, {-0.04, 1, "0.0", "0"}, {-2.5, 0, "−3", "−3"}, {100, 0, "100", "100"}, {100, 2, "100.00", "100"}, {-12.30, 2, "−12.30", "−12.3"},
	} {
		if got := wire.Fix(c.digits, c.v); got != c.fix {
			t.Errorf("%g to %d digits is %s, want %s", c.v, c.digits, got, c.fix)
		}
		if got := wire.Trimmed(c.digits, c.v); got != c.trimmed {
			t.Errorf("%g to at most %d digits is %s, want %s", c.v, c.digits, got, c.trimmed)
		}
	}
	if got := wire.Bare(-0.00001, wire.Unit{Factor: 1, Digits: 2}); got != "0" {
		t.Errorf("what rounds to zero is %s", got)
	}
}

// TestDigitsAsATapeTells: two where one would leave nothing, and for short lengths.
func TestDigitsAsATapeTells(t *testing.T) {
	cm, ratio := wire.Units[rigging.Length], wire.Unit{Factor: 1, Digits: 1}
	for _, c := range []struct {
		si   float64
		u    wire.Unit
		want string
	}{{.0912, cm, "9.12"}, {.1594, cm, "15.9"}, {.1, cm, "10"}, {.04, ratio, "0.04"}, {0, ratio, "0"}, {.25, ratio, "0.3"}, {5.26, ratio, "5.3"}} {
		if got := wire.Bare(c.si, c.u); got != c.want {
			t.Errorf("%v: %s, want %s", c.si, got, c.want)
		}
	}
}

// TestNamesOnTheWire: of a body, an address or a form.
func TestNamesOnTheWire(t *testing.T) {
	type asked struct {
		A int `json:"a,omitempty"`
		B int `json:"-" query:"b"`
		C int `json:"-" formData:"c"`
		D int `json:"-" path:"d"`
		E int
	}
	var names []string
	for i := range reflect.TypeFor[asked]().NumField() {
		names = append(names, wire.NameOf(reflect.TypeFor[asked]().Field(i)))
	}
	if got := strings.Join(names, ","); got != "a,b,c,," {
		t.Error(got)
	}
}
