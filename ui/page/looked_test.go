package page

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/seat"
	"thole/api/wire"
)

// TestLimitsStandInTheEmptyField, or behind the help where something stands in.
func TestLimitsStandInTheEmptyField(t *testing.T) {
	type request struct {
		SpanCm float64 `json:"span_cm" validate:"gte=110,lte=190" default:"158"`
		Count  float64 `json:"count" validate:"gte=1"`
		Most   float64 `json:"most" validate:"lte=8"`
	}
	for _, c := range []struct{ name, blank, wantBlank, wantHelp string }{
		{"span_cm", "", "110 to 190", "Help."}, {"span_cm", "158", "158", "Help. From 110 to 190 cm."},
		{"count", "", "", "Help."}, {"most", "", "", "Help."},
	} {
		v := NumberField(c.name, "Label", "cm", "Help.", c.blank).Within(request{}, wire.At(c.name))
		if v.Blank != c.wantBlank || v.Help != c.wantHelp {
			t.Errorf("%s, %q: %q, %q", c.name, c.blank, v.Blank, v.Help)
		}
	}
	if v := NumberField("span_cm", "Label", "cm", "", "").StandIn(request{}, wire.At("span_cm")); v.Blank != "158" {
		t.Errorf("%q stands in", v.Blank)
	}
	if !(Value{Input: Input{Value: "true"}}).Checked() || (Value{Input: Input{Value: "on"}}).Checked() {
		t.Error("a box is ticked by true alone")
	}
	fields := WithDefaults(request{}, []Field{{Name: "span_cm", Path: "span_cm"}, {Name: "span_cm", Path: "span_cm", Blank: "own"}, {Name: "none", Path: "none"}})
	if fields[0].Blank != "158" || fields[1].Blank != "own" || fields[2].Blank != "" {
		t.Errorf("%+v", fields)
	}
}

// TestWhatWasTypedIsBound to the request, left out where nothing was, and
// complained about where it is no number.
func TestWhatWasTypedIsBound(t *testing.T) {
	r := seat.SolveRequest{Approach: new(seat.Approach)}
	typed := url.Values{"a_boat_speed_m_s": {" 4,5 "}, "a_edge_height_cm": {"  "}, "a_blade_speed_m_s": {"fast"}}
	problems := Bind(ApproachFields, "a_", typed, &r)
	if r.Approach.BoatSpeedMS == nil || *r.Approach.BoatSpeedMS != 4.5 || r.Approach.EdgeHeightCm != nil || r.Approach.BladeSpeedMS != nil {
		t.Errorf("%+v", r.Approach)
	}
	if len(problems.Fields) != 1 {
		t.Errorf("%+v", problems)
	}
}

// TestCalculationsStandInTheirPlace: results at the address that makes them again,
// problems in the place of problems.
func TestCalculationsStandInTheirPlace(t *testing.T) {
	f := frameOf(t)
	said := Message{Title: "x"}
	w := httptest.NewRecorder()
	if err := f.Recalculated(w, Live{Page: "message", Refused: "busy", Results: "main", Address: "/seat?x=1"}, said); err != nil || w.Code != http.StatusOK || w.Header().Get("HX-Replace-Url") != "/seat?x=1" || !strings.Contains(w.Body.String(), "<h1>x") {
		t.Errorf("%v %d %v", err, w.Code, w.Header())
	}
	w = httptest.NewRecorder()
	if err := f.Recalculated(w, Live{Page: "message", Refused: "busy", Results: "main", Problems: make([]Problem, 1)}, said); err != nil || w.Code != http.StatusUnprocessableEntity || w.Header().Get("HX-Retarget") != "#problems" || !strings.Contains(w.Body.String(), "problems") {
		t.Errorf("%v %d %v", err, w.Code, w.Header())
	}
}

// TestTablesArePartOfThePageForThoseWhoMay.
func TestTablesArePartOfThePageForThoseWhoMay(t *testing.T) {
	for viewer, want := range map[*access.Viewer]int{coach: 1, boatman: 0, rower: 0} {
		r := httptest.NewRequest(http.MethodGet, "/squad", nil)
		r = r.WithContext(access.With(r.Context(), viewer))
		if got := FilesFor(r, access.Coaches, File{Name: "a"}); len(got) != want {
			t.Errorf("%s: %d", viewer.Role, len(got))
		}
	}
}

func TestCountsAreInTheirOwnWord(t *testing.T) {
	for n, want := range map[int]string{0: "0 oars", 1: "1 oar", 2: "2 oars"} {
		if got := Counted(n, "oar", "oars"); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// TestValuesOfTheHistoryAreWritten with their unit, times as times.
func TestValuesOfTheHistoryAreWritten(t *testing.T) {
	for _, c := range []struct{ field, text, want string }{
		{"time_s", "392.4", "6:32.4"}, {"span_cm", "158.5", "158.5 cm"}, {"span_cm", "wide", "wide"}, {"name", "12", "12"},
	} {
		if got := valueWords(c.field, &c.text); got != c.want {
			t.Errorf("%s %s: %s, want %s", c.field, c.text, got, c.want)
		}
	}
	if valueWords("name", nil) != "–" || rangeWords(nil, "cm") != "–" {
		t.Error("no value is a dash")
	}
}

// TestTheNearestFieldAroundAPlaceTakesTheComplaint, of several the smallest.
func TestTheNearestFieldAroundAPlaceTakesTheComplaint(t *testing.T) {
	fields := FieldsAt{{wire.At("seats"), "all", "Seats"}, {wire.At("seats").Item(2), "seat", "Seat 3"}, {wire.At("seats").Item(2).Name("span_cm"), "span", "Span"}}
	for _, c := range []struct {
		at   wire.Place
		want string
	}{
		{wire.At("seats").Item(2).Name("span_cm"), "span"}, {wire.At("seats").Item(2).Name("pitch_deg"), "seat"}, {wire.At("seats").Item(1), "all"}, {wire.At("name"), ""},
	} {
		for _, list := range []FieldsAt{fields, {fields[2], fields[1], fields[0]}} {
			if got := list.Problem(c.at.Problem("no")); got.Field != c.want {
				t.Errorf("%v: %s, want %s", c.at, got.Field, c.want)
			}
		}
	}
}
