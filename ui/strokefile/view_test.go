package strokefile

import (
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/strokefile"
	"thole/api/wire"
	"thole/selection"
	"thole/ui/page"
)

// TestAColumnOfNumbersHoldsNumbers: with minus signs and dashes for nothing; one word makes
// it a column of text.
func TestAColumnOfNumbersHoldsNumbers(t *testing.T) {
	d := Table{Title: "T", Head: []string{"", "Value", "Word"}, Rows: [][]string{{"a", "−1.5", "3"}, {"b", "+2", "x"}, {"c", "–", "–"}, {"d", "", "5"}}}
	made := d.table()
	is(t, "rows", fmt.Sprintf("%q", made.Rows()[1:]), `[["a" "-1.5" "3"] ["b" "2" "x"] ["c" "" "–"] ["d" "" "5"]]`)
	for cell, want := range map[string]bool{"–": true, "": true, "1.5": true, "−3": true, "x": false, "NaN": false, "Inf": false} {
		is(t, cell, isNumber(cell), want)
	}
}

// asks is a request of somebody with a role.
func asks(v *access.Viewer) *seatChoice {
	r := httptest.NewRequest("GET", "/", nil)
	return newSeatChoice(r.WithContext(access.With(r.Context(), v)), &strokefile.StrokeProposal{Seats: []string{"3 port", "3 starboard", "4 port", "port", "starboard"}})
}

// TestAnAthleteChoosesTheirSeat of those in the file: a sculler's two oars are one, and
// what is a side alone is none.
func TestAnAthleteChoosesTheirSeat(t *testing.T) {
	is(t, "a coach", asks(&access.Viewer{Account: 1, Role: access.Coach}) == nil, true)
	c := asks(&access.Viewer{Account: 2, Role: access.Athlete, Athlete: 7})
	is(t, "seats", strings.Join(c.Names, ","), "3,4")
	is(t, "shown", c.Shown(), true)
	is(t, "asked", c.asked() == nil, true)
	c.Chosen = "4"
	is(t, "asked", *c.asked(), "4")
	is(t, "nobody's", (*seatChoice)(nil).asked() == nil, true)
	for _, s := range []struct {
		names         []string
		chosen, field string
		typed         bool
	}{
		{[]string{"3", "4"}, "", seatField, false}, {[]string{"3", "4"}, "5", seatField, true}, {[]string{"3"}, "", seatField, true}, {nil, "", seatField, true}, {[]string{"3"}, "", "force", false},
	} {
		c := &seatChoice{Names: s.names, Chosen: s.chosen}
		c.mend([]page.Problem{{Field: s.field}})
		is(t, fmt.Sprint(s), c.Typed, s.typed)
		is(t, fmt.Sprint(s)+" shown", c.Shown(), s.typed || len(s.names) > 1)
	}
	(*seatChoice)(nil).mend([]page.Problem{{Field: seatField}})
}

// TestHowAFileIsReadIsShownWhereItIsUnsure: a question, a mistake, or a quantity that is
// not known; a seat and the place of the force are asked outside.
func TestHowAFileIsReadIsShownWhereItIsUnsure(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*mappingPage)
		want   bool
	}{
		"sure": {func(*mappingPage) {}, false}, "a rate in place of times": {func(p *mappingPage) { p.Columns, p.Rate = p.Columns[1:], "50" }, false},
		"no time": {func(p *mappingPage) { p.Columns = p.Columns[1:] }, true}, "no angle": {func(p *mappingPage) { p.Columns[1].Quantity = "" }, true}, "no force": {func(p *mappingPage) { p.Columns = p.Columns[:2] }, true},
		"a mistake": {func(p *mappingPage) { p.Problems = []page.Problem{{Field: "header"}} }, true}, "the seat": {func(p *mappingPage) { p.Problems = []page.Problem{{Field: seatField}, {Field: "force"}} }, false},
		"a question": {func(p *mappingPage) { p.Questions = []strokefile.StrokeQuestion{{}} }, true},
	} {
		p := &mappingPage{}
		for _, q := range []string{"time", "oar_angle", "force"} {
			p.Columns = append(p.Columns, &columnForm{Quantity: q})
		}
		c.change(p)
		is(t, name, p.Unsure(), c.want)
	}
}

// TestAMappingFillsItsForm: columns up to the last that it names, zeros that are not 0.
func TestAMappingFillsItsForm(t *testing.T) {
	p := &mappingPage{}
	p.show(&strokefile.StrokeMapping{Columns: []strokefile.StrokeColumn{{Index: 2}, {Index: 1000}}})
	names := ""
	for _, c := range p.Columns {
		names += fmt.Sprintf("%d %s, ", c.Index, c.Name)
	}
	is(t, "columns", names, "0 Column 1, 1 Column 2, 2 Column 3, ")
	is(t, "rate", p.Rate, "")
	p.show(&strokefile.StrokeMapping{SampleRateHz: 50})
	is(t, "rate", p.Rate, "50")
	for _, l := range []*strokefile.OarLevers{nil, {InCm: 88}, {InCm: 88, OutCm: 200}} {
		p.In, p.Out = "", ""
		p.showLevers(l)
		is(t, "levers", p.In+"/"+p.Out, map[bool]string{true: "/", false: "88/"}[l == nil]+map[bool]string{true: "200"}[l != nil && l.OutCm != 0])
	}
}

// TestWhoSatWhereIsSent: nobody is kept without a name, an empty choice is not kept, and
// complaints find the field of the seat.
func TestWhoSatWhereIsSent(t *testing.T) {
	p := &resultPage{Report: &strokefile.StrokeReport{}, Upload: strokefile.Upload{ID: "u"}}
	for i, chosen := range []string{"", "nobody", "12"} {
		p.Seats = append(p.Seats, &resultSeat{Athlete: chosen, Label: fmt.Sprintf("Seat %d", i+1)})
	}
	told := ""
	for _, f := range p.fields() {
		if strings.HasPrefix(f.ID, "athlete") {
			told += f.ID + " " + f.Label + "; "
		}
	}
	is(t, "fields", told, "athlete1 Seat 2; athlete2 Seat 3; ")
	is(t, "given", Given("", 7)+Given("3", 7)+Given("", 0)+Given("nobody", 0), "73nobody")
	is(t, "id", *IDOf("12"), 12)
	is(t, "no id", IDOf("nobody") == nil, true)
}

// TestThresholdsAreReadInTheirForm: a share in per cent, two forces or none, of an oar or
// of a rower with one or two.
func TestThresholdsAreReadInTheirForm(t *testing.T) {
	for _, c := range []struct {
		query, want, problem string
	}{
		{"basis=share&share=30%25", "share 0.3", ""}, {"basis=force&catch_n=200&release_n=100&rower_oars=2", "force 200 100 of 2", ""}, {"basis=force&catch_n=200&release_n=100&rower_oars=1", "force 200 100 of 1", ""},
		{"basis=force&catch_n=200&release_n=100&rower_oars=3", "force 200 100 of 0", ""}, {"basis=force&catch_n=200", "force 200", "Give both forces"}, {"basis=force&release_n=200", "force 200", "Give both forces"},
		{"basis=force", "none", ""}, {"basis=depth&covered_deg=-3", "depth -3", ""}, {"basis=share&share=x", "none", "not a number"}, {"", "none", ""}, {"basis=share", "none", ""},
	} {
		q, _ := url.ParseQuery(c.query)
		th, f := ReadThresholds(q)
		got := "none"
		switch {
		case th == nil:
		case th.ShareOfPeak != nil:
			got = fmt.Sprintf("share %v", *th.ShareOfPeak)
		case th.CoveredDeg != nil:
			got = fmt.Sprintf("depth %v", *th.CoveredDeg)
		case th.CatchN != nil && th.ReleaseN != nil:
			got = fmt.Sprintf("force %v %v of %d", *th.CatchN, *th.ReleaseN, th.RowerOars)
		default:
			got = "force 200"
		}
		if got != c.want || (f.Problem == "") != (c.problem == "") || !strings.Contains(f.Problem, c.problem) {
			t.Errorf("%s: %s, %q, want %s, %q", c.query, got, f.Problem, c.want, c.problem)
		}
	}
	f := ThresholdForm{Problem: "no", Catch: "x"}
	f.Fill(&strokefile.StrokeThresholds{})
	is(t, "what was wrong stays", f.Catch, "x")
	f = ThresholdForm{}
	f.Fill(&strokefile.StrokeThresholds{ShareOfPeak: wire.Ptr(0.25)})
	is(t, "a share", f.Basis+f.Share, "share25")
}

// TestCurvesOfAFileAreNamedAlongTheArc: each where it has room, 5 px over its line; a curve
// of another length is not drawn.
func TestCurvesOfAFileAreNamedAlongTheArc(t *testing.T) {
	p := &curvesPage{}
	p.draw()
	is(t, "none", p.Plot == nil, true)
	for i, name := range []string{"Ann", "short", "Bea"} {
		force := make([]float64, selection.CurveNodes)
		for k := range force {
			force[k] = float64(100 * (i + 1))
		}
		p.File.Curves = append(p.File.Curves, strokefile.MeanForceCurve{Name: name, ForceN: force})
	}
	p.File.Curves[1].ForceN = p.File.Curves[1].ForceN[:5]
	p.draw()
	told := ""
	for _, n := range p.Plot.Notes {
		told += fmt.Sprintf("%s at %s; ", n.Text, page.Fix(0, n.X/10))
	}
	is(t, "names", told, "Ann at 26; Bea at 73; ")
	is(t, "over its line", p.Plot.Notes[1].Y, p.Plot.Y.At(300)-5)
	is(t, "lines", len(p.Plot.Lines), 2)
}

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestWhatIsWrongWithCurvesIsToldOnThePage: at its fields, in one sentence where it has
// none, and not at all what is no mistake of the reader.
func TestWhatIsWrongWithCurvesIsToldOnThePage(t *testing.T) {
	for name, c := range map[string]struct {
		err  error
		told string
		ok   bool
	}{
		"a field": {wire.At("boat_id").Invalid("No such boat."), "No such boat.", true}, "in one sentence": {&wire.Unreachable{Text: "Out of reach."}, "Out of reach.", true}, "nothing": {wire.ErrNotFound, "", false},
	} {
		p, told := &curvesPage{}, ""
		is(t, name, p.complain(c.err), c.ok)
		for _, one := range p.Problems {
			told += one.Text
		}
		is(t, name, told, c.told)
	}
}
