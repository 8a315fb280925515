package page

import (
	"net/url"
	"testing"

	"thole/api/wire"
)

// TestComplaintsAreTakenByPlace: the field's own before what is inside it, once
// each, and what no field takes is left.
func TestComplaintsAreTakenByPlace(t *testing.T) {
	c := new(Complaints)
	is(t, "none", c.Any(), false)
	c.Report(wire.At("athletes").Item(1).Name("name"), "Twice.")
	c.Report(wire.At("athletes"), "Too few.")
	c.Report(wire.At("athletes_max"), "Odd.")
	is(t, "some", c.Any(), true)
	is(t, "has", c.Has(wire.At("athletes")), true)
	is(t, "has not", c.Has(wire.At("athletes").Item(1)), false)
	for _, want := range []string{"Too few.", "Twice."} {
		text, ok := c.Take(wire.At("athletes"))
		is(t, "taken", ok, true)
		is(t, "text", text, want)
	}
	if text, ok := c.Take(wire.At("athletes")); ok {
		t.Errorf("took %q twice", text)
	}
	rest := c.Rest()
	is(t, "rest", len(rest), 1)
	is(t, "its text", rest[0], Problem{Text: "Odd."})
}

// TestInputsCarryTheirComplaint with the focus on the first of the page.
func TestInputsCarryTheirComplaint(t *testing.T) {
	c, list := new(Complaints), []Problem(nil)
	c.Report(wire.At("rower", "mass_kg"), "Too heavy.")
	c.Report(wire.At("rower", "age_years"), "Too old.")
	got := c.Inputs(BodyFields, "s3_", url.Values{"s3_mass_kg": {"300"}, "mass_kg": {"80"}}, &list)
	for _, in := range got {
		problem := map[string]string{"mass_kg": "Too heavy.", "age_years": "Too old."}[in.Name]
		if in.Problem != problem || in.Focus != (in.Name == "mass_kg") || in.Value != map[string]string{"mass_kg": "300"}[in.Name] {
			t.Errorf("%s: %+v", in.Name, in)
		}
	}
	is(t, "problems", len(list), 2)
	is(t, "first", list[0], Problem{Field: "s3_mass_kg", Label: "Mass", Text: "Too heavy."})
	is(t, "left", c.Any(), false)
}

// TestComplaintsFindTheirField: that of the place, or else the nearest around it.
func TestComplaintsFindTheirField(t *testing.T) {
	columns := wire.At("mapping", "columns")
	fields := FieldsAt{{columns, "all", "Columns"}, {columns.Item(1), "q4", "Column 5"}, {wire.At("mapping", "force"), "force", "Force"}}
	for _, c := range []struct {
		at   wire.Place
		want string
	}{
		{columns, "all"}, {columns.Item(1), "q4"}, {columns.Item(1).Name("unit"), "q4"}, {columns.Item(12), "all"},
		{wire.At("mapping", "force"), "force"}, {wire.At("mapping", "forces"), ""}, {wire.At("mapping"), ""},
	} {
		got := fields.Problems([]wire.FieldProblem{c.at.Problem("x")})
		if len(got) != 1 || got[0].Field != c.want || got[0].Text != "x" {
			t.Errorf("%s: %+v, want it at %q", c.at.Field, got, c.want)
		}
	}
}

// TestEmptyFieldsShowWhatStandsIn: the default that the request's description
// states, and the form's own word where there is none.
func TestEmptyFieldsShowWhatStandsIn(t *testing.T) {
	blank := map[string]string{}
	for _, f := range Concat(rigFields, ScullMoreFields, rigMoreFields, TargetFields, PostureFields, ApproachFields) {
		blank[f.Name] = f.Blank
	}
	for name, want := range map[string]string{
		"heel_depth_cm": "17", "gate_height_cm": "17", "gate_difference_cm": "1", "plate_angle_deg": "42", "stern_pitch_deg": "4", "seat_over_water_cm": "7.5",
		"inboard_cm": "", "catch_deg": "automatic", "layback_deg": "28", "boat_speed_m_s": "4.5",
	} {
		is(t, name, blank[name], want)
	}
}
