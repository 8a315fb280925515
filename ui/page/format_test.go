package page

import (
	"testing"
	"time"

	"thole/api/club"
	"thole/api/fleet"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestNumbersAreWritten with a true minus sign (U+2212), and without one before
// nothing.
func TestNumbersAreWritten(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Fix(1, 1.25), "1.3"}, {Fix(1, -1.25), "\u22121.3"}, {Fix(0, -0.4), "0"}, {Fix(2, 3), "3.00"}, {Fix(0, 999.5), "1000"},
		{Signed(1, 0.25), "+0.3"}, {Signed(1, -0.25), "\u22120.3"}, {Signed(1, 0.04), "0"}, {Signed(1, -0.04), "0"}, {Signed(0, 10), "+10"},
		{Plain(3), "3"}, {Plain(3.5), "3.5"}, {Plain(3.456), "3.46"}, {Plain(-0.001), "0"}, {Plain(100), "100"}, {Plain(-2.5), "\u22122.5"},
		{figure(123456.7), "123457"}, {figure(-1.5), "\u22121.5"},
		{Known(nil, "cm"), "\u2013"}, {Known(new(-1.5), "cm"), "\u22121.5 cm"}, {Known(new(60.0), "°"), "60°"}, {Known(new(7.0), ""), "7"},
		{Clock(422.44), "7:02.4"}, {Clock(59.96), "1:00.0"},
		{Capital("über"), "Über"}, {Capital(""), ""}, {LowerFirst("Span"), "span"},
	} {
		is(t, "text", c.got, c.want)
	}
	share := formatting["share"].(func(float64) string)
	is(t, "share", share(0.256), "26 %")
	is(t, "megabytes", formatting["megabytes"].(func(int64) float64)(2_500_000), 2.5)
	is(t, "percent", formatting["percent"].(func(float64) float64)(0.5), 50)
	is(t, "neg", formatting["neg"].(func(float64) float64)(2), -2)
	is(t, "inc", formatting["inc"].(func(int) int)(2), 3)
	is(t, "mod8", formatting["mod8"].(func(int) int)(9), 1)
}

func TestDaysAndTimesAreWritten(t *testing.T) {
	is(t, "day", Day("2026-05-03"), "3 May 2026")
	is(t, "no day", Day("in May"), "in May")
	is(t, "when", When(time.Date(2026, 5, 3, 9, 7, 0, 0, time.Local)), "3 May 2026, 09:07")
}

// TestNumbersAreReadAsPeopleTypeThem.
func TestNumbersAreReadAsPeopleTypeThem(t *testing.T) {
	for text, want := range map[string]float64{
		"159": 159, "1,5": 1.5, "1.5": 1.5, "−2": -2, "–2": -2, "-2": -2, " 159 cm ": 159, "60°": 60, "60 deg": 60, "85kg": 85, "4.5 m/s": 4.5, "15 years": 15,
		"1\u00a0000": 1000, "0": 0,
	} {
		if v, ok := ParseNumber(text); !ok || v != want {
			t.Errorf("%q: %g %t, want %g", text, v, ok, want)
		}
	}
	for _, text := range []string{"", "x", "1.2.3", "NaN", "Inf", "-inf", "cm", "1e999"} {
		if v, ok := ParseNumber(text); ok {
			t.Errorf("%q is read as %g", text, v)
		}
	}
	is(t, "a count", IsCount("12") && !IsCount("1.5") && !IsCount("x"), true)
}

// TestLabelsOfChanges: what the history calls a field, people can read.
func TestLabelsOfChanges(t *testing.T) {
	span, mass := SettingLabels["span_cm"], recordLabels["hull_mass_kg"]
	for name, want := range map[string]string{
		"hull_mass_kg": mass, "span_cm": span, "some_thing": "some thing",
	} {
		if got := ChangeLabel(name); got != want || got == "" {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	for name, want := range map[string]string{"a_cm": "cm", "a_deg": "°", "a_kg": "kg", "a_m": "m", "a_s": "s", "name": ""} {
		is(t, name, UnitOf(name), want)
	}
}

func TestHistoryIsNewestFirstWithUnits(t *testing.T) {
	views := ChangeViews(changes("span_cm 159→160.5 Ann", "archived →true Bea", "seat 1 note 1→2 Cy"))
	is(t, "lines", len(views), 3)
	is(t, "newest", views[0].By, "Cy")
	is(t, "a note has no unit", views[0].To, "2")
	is(t, "a tick", views[1].From+views[1].To, "\u2013yes")
	is(t, "a length", views[2].From+views[2].To, "159 cm160.5 cm")
}

func TestSeatsAndCostsInWords(t *testing.T) {
	seatOf := func(number int, side string) (s fleet.BoatSeat) { s.Number, s.Side = number, side; return s }
	pair := &fleet.Boat{Seats: []fleet.BoatSeat{seatOf(1, "starboard"), seatOf(2, "port"), seatOf(3, "")}}
	is(t, "bow", SeatWords(pair, &pair.Seats[0]), "Seat 1, bow, starboard")
	is(t, "between", SeatWords(pair, &pair.Seats[1]), "Seat 2, port")
	is(t, "stroke", SeatWords(pair, &pair.Seats[2]), "Seat 3, stroke")
	single := &fleet.Boat{Seats: []fleet.BoatSeat{seatOf(1, "")}}

	is(t, "the seat", SeatWords(single, &single.Seats[0]), "The seat")
	is(t, "both sides", CostWords(&club.SideCosts{Port: new(0.0), Starboard: new(1.5)}), "port, starboard +1.5\u00a0s")
	is(t, "one side", CostWords(&club.SideCosts{Starboard: new(0.0)}), "starboard")
	is(t, "no side", CostWords(&club.SideCosts{}), "")
}

// TestNoScatterIsZero: a ± that rounds to 0 has a digit or two more.
func TestNoScatterIsZero(t *testing.T) {
	for _, c := range []struct {
		digits int
		v      float64
		want   string
	}{{0, 7.4, "7"}, {0, 0.44, "0.4"}, {0, 0.04, "0.04"}, {1, 0.04, "0.04"}, {1, 0.26, "0.3"}, {0, 0.001, "0.00"}, {0, 0, "0"}} {
		if got := Scatter(c.digits, c.v); got != c.want {
			t.Errorf("%g with %d digits: %s, want %s", c.v, c.digits, got, c.want)
		}
	}
}
