package page

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"thole/api/records"
	"thole/api/wire"
)

// filled is a form with fields of a boat's seat that was refused with err.
func filled(t *testing.T, err error, typed url.Values, fields ...Value) (*RecordForm, []Value) {
	t.Helper()
	f := NewForm(typed)
	f.NumberAt("seat3_span_cm", wire.At("settings").Item(1).Name("value"))
	f.SetPlace("seat3_span_cm_min", wire.At("seats").Item(2).Name("adjust").Name("span_cm").Name("min"))
	if !f.refused(err) {
		t.Fatalf("%v is not for a form", err)
	}
	f.Fill(fields)
	return f, fields
}

// TestComplaintsStandAtTheFieldOfTheirPlace covers a place of its own, one that
// the form gives, one inside and one around that of a field, and one of none.
func TestComplaintsStandAtTheFieldOfTheirPlace(t *testing.T) {
	for name, c := range map[string]struct {
		at           wire.Place
		field, label string // where it is shown: a field's name, or else a label of the list
	}{
		"own name":         {wire.At("hull_mass_kg"), "hull_mass_kg", "Hull mass"},
		"given place":      {wire.At("settings").Item(1).Name("value"), "seat3_span_cm", "Span"},
		"another item":     {wire.At("settings").Item(11).Name("value"), "", ""},
		"inside a field":   {wire.At("hull_mass_kg", "unit"), "hull_mass_kg", "Hull mass"},
		"around a field":   {wire.At("seats").Item(2).Name("adjust"), "seat3_span_cm_min", "From"},
		"another seat":     {wire.At("seats").Item(1).Name("side"), "", "Side"},
		"a label is known": {wire.At("waterline_beam_m"), "", "Waterline beam"},
		"no label":         {wire.At("version"), "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			bad := &wire.Invalid{Fields: []wire.FieldProblem{c.at.Problem("Not this.")}}
			f, fields := filled(t, bad, url.Values{}, NumberField("hull_mass_kg", "Hull mass", "kg", "", ""),
				NumberField("seat3_span_cm", "Span", "cm", "", ""), NumberField("seat3_span_cm_min", "From", "cm", "", ""))
			if want := (Problem{c.field, c.label, "Not this."}); len(f.Problems) != 1 || f.Problems[0] != want {
				t.Fatalf("%+v, want %+v", f.Problems, want)
			}
			for _, v := range fields {
				if (v.Problem != "") != (v.Name == c.field) {
					t.Errorf("%s says %q", v.Name, v.Problem)
				}
			}
		})
	}
}

// TestTwoComplaintsOfAFieldAreBothShown holds that none is lost.
func TestTwoComplaintsOfAFieldAreBothShown(t *testing.T) {
	at := wire.At("hull_mass_kg")
	bad := &wire.Invalid{Fields: []wire.FieldProblem{at.Problem("First."), at.Name("x").Problem("Second.")}}
	f, fields := filled(t, bad, url.Values{}, NumberField("hull_mass_kg", "Hull mass", "kg", "", ""))
	if len(f.Problems) != 2 || fields[0].Problem != "First." || f.Problems[1].Text != "Second." {
		t.Errorf("%+v", f.Problems)
	}
}

// TestTheWorkOfOthersMeetsTheFieldsOfTheForm: a range that others changed is
// taken over where it was left alone, and stands beside where it was not.
func TestTheWorkOfOthersMeetsTheFieldsOfTheForm(t *testing.T) {
	moved := &records.Conflict{Version: 4, Changes: []wire.RecordChange{{
		By: "Ben", What: "seat 3 range of span_cm", Field: "span_cm", Seat: 3,
		FromRange: &wire.ChangedRange{Min: 156, Max: 162, Step: 0.5, Cost: 1}, ToRange: &wire.ChangedRange{Min: 155, Max: 163, Step: 0.5, Cost: 1},
	}}}
	typed := url.Values{"seat3_span_cm_min": {"156.0"}, "seat3_span_cm_max": {"161"}}
	f, fields := filled(t, moved, typed, NumberField("seat3_span_cm_min", "From", "cm", "", ""), NumberField("seat3_span_cm_max", "To", "cm", "", ""))
	if fields[0].Value != "155" || fields[0].Theirs != "" {
		t.Errorf("the least is %q, theirs %q", fields[0].Value, fields[0].Theirs)
	}
	if fields[1].Value != "161" || !strings.Contains(fields[1].Theirs, "Ben made it “163” (was “162”)") {
		t.Errorf("the most is %q, theirs %q", fields[1].Value, fields[1].Theirs)
	}
	if f.Version != "4" || f.Clash.Lines[0].Label != "Seat 3: range of span" {
		t.Errorf("version %s, %+v", f.Version, f.Clash.Lines)
	}
}

func TestChangesAreToldInWords(t *testing.T) {
	text := func(s string) *string { return &s }
	for _, c := range []struct {
		change         wire.RecordChange
		what, from, to string
	}{
		{wire.RecordChange{Field: "hull_mass_kg", From: text("26"), To: text("25.5")}, "Hull mass", "26 kg", "25.5 kg"},
		{wire.RecordChange{Field: "archived", From: text("false"), To: text("true")}, "Archived", "no", "yes"},
		{wire.RecordChange{Field: "spread_cm", Seat: 12, To: text("-84.25")}, "Seat 12: spread", "–", "−84.25 cm"},
		{wire.RecordChange{Field: "plate_angle_deg", Seat: 1, To: text("42")}, "Seat 1: " + LowerFirst(SettingLabels["plate_angle_deg"]), "–", "42°"},
		{wire.RecordChange{Field: "spread_cm", Seat: 2, ToRange: &wire.ChangedRange{Min: 83, Max: 88, Step: 0.5, Cost: 6}}, "Seat 2: range of spread", "–", "83 to 88 cm in steps of 0.5 cm"},
		{wire.RecordChange{Field: "ergometer_test", TestedOn: "2026-01-07", From: text("2000 m in 7:01.35")}, "Ergometer test, 7 Jan 2026", "2000 m in 7:01.35", "–"},
		{wire.RecordChange{Field: "side", AthleteID: 4, Athlete: "Ann", From: text(""), To: text("port")}, "Side of Ann", "empty", "port"},
		{wire.RecordChange{Field: "time_s", Piece: 2, PieceBoat: 1, From: text("200.1"), To: text("199.96")}, "Piece 2, boat 1: time", "3:20.1", "3:19.96"},
		{wire.RecordChange{Field: "note", Piece: 3, To: text("seat 2 side")}, "Piece 3, note", "–", "seat 2 side"},
	} {
		if got := ChangeWords(&c.change); got != c.what {
			t.Errorf("told as %q, want %q", got, c.what)
		}
		if from, to := ChangeValues(&c.change); from != c.from || to != c.to {
			t.Errorf("%s: from %q to %q, want %q and %q", c.what, from, to, c.from, c.to)
		}
	}
}

// TestHistoryIsNewestFirst keeps what was told last on top.
func TestHistoryIsNewestFirst(t *testing.T) {
	views := ChangeViews([]wire.RecordChange{{Field: "name", By: "A"}, {Field: "note", By: "B"}})
	if len(views) != 2 || views[0].What != "Note" || views[1].By != "A" {
		t.Errorf("%+v", views)
	}
}

// TestTheHistoryReadsAStretcherAsItsBoatIsRead, and as it is kept where the boat has
// no mark.
func TestTheHistoryReadsAStretcherAsItsBoatIsRead(t *testing.T) {
	from, to := "20", "22.5"
	list := []wire.RecordChange{{Field: "heel_to_pin_cm", Seat: 2, From: &from, To: &to}}
	holes := AtBoat(func(seat int, heel float64) (said, reading string) {
		return fmt.Sprintf("seat %d hole %g", seat, heel/2.5), "x"
	})
	none := AtBoat(func(int, float64) (string, string) { return "", "" })
	is(t, "in holes", holes.Views(list)[0].From+", "+holes.Views(list)[0].To, "seat 2 hole 8, seat 2 hole 9")
	is(t, "without marks", none.Views(list)[0].To, ChangeViews(list)[0].To)
	if said, held := none.say(&list[0], "22.5"); said != "22.5" || held != "22.5" {
		t.Errorf("%q, %q", said, held)
	}
}
