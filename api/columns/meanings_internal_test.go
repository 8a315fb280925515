package columns

import (
	"fmt"
	"strings"
	"testing"
)

// TestUnitsOfColumns: of bodies, of masses and of boats, in the units of clubs; what is no
// measure has none.
func TestUnitsOfColumns(t *testing.T) {
	for meaning, want := range map[Meaning]string{
		Height: " cm m in", ArmSpan: " cm m in", SittingHeight: " cm m in", "mass:2000m": " kg lb st", TestMass: " kg lb st",
		"span_cm": "cm mm m in", "hull_mass_kg": "kg lb", "time:2000m": "", "day:2000m": "", Unused: "", "blade": "",
	} {
		if got := strings.Join(Use{Meaning: meaning}.Units(), " "); got != want {
			t.Errorf("%s: %q, want %q", meaning, got, want)
		}
	}
}

// TestMeaningsThatCanBeChosen are those of the kind of the table.
func TestMeaningsThatCanBeChosen(t *testing.T) {
	for _, c := range []struct {
		kind    Kind
		meaning Meaning
		want    bool
	}{
		{Squad, Height, true}, {Squad, Unused, true}, {Squad, "time:2000m", true}, {Squad, "metres:3600s", true}, {Squad, "time:x", false}, {Squad, "wings:2000m", false}, {Squad, "span_cm", false},
		{Boats, "span_cm", true}, {Boats, Unused, true}, {Boats, Height, false}, {Boats, "time:2000m", false}, {Oars, "inboard_cm", true}, {Oars, "span_cm", false},
	} {
		if got := c.kind.Knows(c.meaning); got != c.want {
			t.Errorf("%v of %s: %v", c.kind, c.meaning, got)
		}
	}
}

// TestAMeaningStandsOnce: the first column has it, and a second one is not used; of those
// that may, all have it.
func TestAMeaningStandsOnce(t *testing.T) {
	r := &Reading{}
	for _, m := range []Meaning{Height, Unused, Height, "note", "note", Unused, ArmSpan, Height} {
		r.Columns = append(r.Columns, Column{Use: Use{Meaning: m}})
	}
	r.Once("note")
	var got []Meaning
	for i := range r.Columns {
		got = append(got, r.Columns[i].Meaning)
	}
	if want := []Meaning{Height, Unused, Unused, "note", "note", Unused, ArmSpan, Unused}; fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("%q, want %q", got, want)
	}
	if r.Has(ArmSpan) != 6 || r.Has(Height) != 0 || r.Has("span_cm") != -1 {
		t.Errorf("%d, %d and %d", r.Has(ArmSpan), r.Has(Height), r.Has("span_cm"))
	}
}
