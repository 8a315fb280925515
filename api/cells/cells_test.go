package cells

import (
	"slices"
	"strings"
	"testing"
	"thole/rigging"
)

func TestLengthsAndMassesAreReadWithTheirUnits(t *testing.T) {
	for _, c := range []struct {
		cell, unit string
		want       float64
	}{
		{"184", "", 184}, {"184 cm", "", 184}, {"1.84", "", 184}, {"1,84 m", "", 184}, {"6'2\"", "", 188}, {"6’2”", "", 188}, {"6 ft 2 in", "", 188}, {"6'", "", 182.9},
		{"74", "in", 188}, {"74 in", "", 188}, {"1840 mm", "", 184}, {"184", "m", 184}, {"1.84", "cm", 184}, {"184.5cm", "m", 184.5},
		{"5 ft", "", 152.4}, {"5.5", "ft", 167.6}, // a foot is 30.48 cm
		{"2.99", "", 299}, {"3", "", 3}, {"2.99", "cm", 299}, {"3", "cm", 3}, {"2.9 cm", "", 2.9}, {"2.99", "m", 299}, {"3", "m", 3}, {"3 m", "", 300}, // from 3 on it is no length in metres unless it says so
	} {
		if got, complaint := Length(c.cell, c.unit); got != c.want || complaint != "" {
			t.Errorf("%s in %s: %g %s, want %g", c.cell, c.unit, got, complaint, c.want)
		}
	}
	for _, c := range []struct {
		cell, unit string
		want       float64
	}{
		{"92", "", 92}, {"92,5 kg", "", 92.5}, {"203 lb", "", 92.1}, {"203 lbs", "kg", 92.1}, {"203", "lb", 92.1}, {"14st 7", "", 92.1}, {"14 st 7 lb", "", 92.1}, {"14.5", "st", 92.1},
	} {
		if got, complaint := Mass(c.cell, c.unit); got != c.want || complaint != "" {
			t.Errorf("%s in %s: %g %s, want %g", c.cell, c.unit, got, complaint, c.want)
		}
	}
	for _, cell := range []string{"tall", "184 parsec", "1-84", "6'2\"x"} {
		if _, complaint := Length(cell, ""); complaint == "" {
			t.Errorf("%s is taken for a length", cell)
		}
		if _, complaint := Mass(cell, ""); complaint == "" {
			t.Errorf("%s is taken for a mass", cell)
		}
	}
}

func TestDaysAreReadAsTheyAreWritten(t *testing.T) {
	for cell, want := range map[string]string{
		"2004-03-27": "2004-03-27", "2004/3/27": "2004-03-27", "27.3.2004": "2004-03-27", "27.03.04": "2004-03-27", "27/3/2004": "2004-03-27", "3/27/2004": "2004-03-27", "27-3-98": "1998-03-27",
		"27 Mar 2004": "2004-03-27", "27. März 2004": "2004-03-27", "27 mars 2004": "2004-03-27", "27 mei 2004": "2004-05-27", "March 27, 2004": "2004-03-27", "27 août 2004": "2004-08-27",
		"1.1.26": "2026-01-01", "1.1.27": "1927-01-01", "31.12.00": "2000-12-31", // no year to come
		"31 May 2004": "2004-05-31", "30. Apr. 04": "2004-04-30", "29.2.2004": "2004-02-29", "2004.12.31": "2004-12-31", "31-12-2004": "2004-12-31",
		"3/3/2004": "2004-03-03", "3.4.2004": "2004-04-03", "2004-03-27 00:00:00": "2004-03-27",
	} {
		if day, both, complaint := Day(cell, "", "2026-04-01"); day != want || both || complaint != "" {
			t.Errorf("%s: %s %v %s", cell, day, both, complaint)
		}
	}
	for order, want := range map[string]string{DayFirst: "2004-04-03", MonthFirst: "2004-03-04", "": ""} {
		if day, both, _ := Day("3/4/2004", order, "2026-04-01"); day != want || both != (order == "") {
			t.Errorf("%q: %s %v", order, day, both)
		}
	}
	for cell, want := range map[string]string{
		"13/12/2004": DayFirst, "12/13/2004": MonthFirst, "12/12/2004": "", "13/13/2004": "", "13.12.2004": "", "12.13.2004": "", "31-1-04": DayFirst, "2004-13-12": "",
	} {
		if got := OrderOf(cell); got != want {
			t.Errorf("%s shows the order %q, want %q", cell, got, want)
		}
	}
	for _, cell := range []string{"31.2.2004", "soon", "27 Foo 2004", "13/13/2004", "2004-13-05", "2004-00-05", "2004-12-32", "2004-12-00", "2004-04-31", "29.2.2003", "31 April 2004", "27 Martian 204"} {
		if day, _, complaint := Day(cell, "", "2026-04-01"); day != "" || complaint == "" {
			t.Errorf("%s is read as %s", cell, day)
		}
	}
}

func TestSidesAreReadInTheWordsOfClubs(t *testing.T) {
	for cell, want := range map[string]string{
		"port": "p", "Starboard": "s", "P": "p", "P/S": "b", "both": "b", "stroke side": "p", "Bow side": "s", "Backbord": "p", "Steuerbord": "s", "bâbord": "p", "Tribord": "s", "StB": "s", "BB": "p",
		"port, scull": "px", "port and scull": "px", "Backbord und Skull": "px", "babord et couple": "px", "starboard or scull": "sx", "SB": "s", "scull": "x", "cox": "c", "beide": "b",
	} {
		if marks, ask, ok := Side(cell, ""); marks != want || ask || !ok {
			t.Errorf("%s: %q %v %v, want %s", cell, marks, ask, ok, want)
		}
	}
	for letters, want := range map[string][2]string{PortStarboard: {"s", "b"}, StrokeBow: {"p", "s"}, BackSteuer: {"s", "p"}} {
		for i, cell := range []string{"S", "B"} {
			if marks, _, ok := Side(cell, letters); marks != want[i] || !ok {
				t.Errorf("%s as %s: %s, want %s", cell, letters, marks, want[i])
			}
		}
	}
	for letters, want := range map[string][3]string{PortStarboard: {"s", "b", "sx"}, StrokeBow: {"b", "b", "px"}, BackSteuer: {"b", "b", "sx"}} {
		for i, cell := range []string{"SB", "S/B", "S, scull"} { // SB is short for starboard where S and B are not the two sides
			if marks, ask, ok := Side(cell, letters); marks != want[i] || ask || !ok {
				t.Errorf("%s as %s: %s %v %v, want %s", cell, letters, marks, ask, ok, want[i])
			}
		}
	}
	for _, cell := range []string{"b", "S", "s/b", "B S", "S, scull"} {
		if marks, ask, ok := Side(cell, ""); marks != "" || !ask || !ok {
			t.Errorf("%s alone is not asked about: %q %v", cell, marks, ok)
		}
	}
	for _, cell := range []string{"left-ish", "port window", "", "and"} {
		if _, _, ok := Side(cell, ""); ok {
			t.Errorf("%q is a side", cell)
		}
	}
}

// TestMeasuresOfBoatsAreReadInTheirUnits: an inch is 2.54 cm and a pound 0.45359237 kg
// (international yard and pound agreement, 1959).
func TestMeasuresOfBoatsAreReadInTheirUnits(t *testing.T) {
	for _, c := range []struct {
		cell, own, unit string
		want            float64
	}{
		{"84", "cm", "", 84}, {"84", "cm", "cm", 84}, {"840", "cm", "mm", 84}, {"840 mm", "cm", "", 84}, {"0.84 m", "cm", "mm", 84}, {"10 in", "cm", "", 25.4}, {`10"`, "mm", "", 254}, {"10″", "cm", "", 25.4},
		{"25.4", "in", "cm", 10}, {"-4 °", "deg", "", -4}, {"−4", "deg", "", -4}, {"+4,5", "deg", "deg", 4.5}, {".5", "cm", "", 0.5}, {"3.", "cm", "", 3}, {"10 lb", "kg", "", 4.5}, {"10", "kg", "lb", 4.5}, {"14 kg", "kg", "lb", 14},
	} {
		if got, complaint := Measure(c.cell, c.own, c.unit); got != c.want || complaint != "" {
			t.Errorf("%s for %s in a column of %s: %g %s, want %g", c.cell, c.own, c.unit, got, complaint, c.want)
		}
	}
	for _, c := range []struct{ cell, own, unit, says string }{
		{"wide", "cm", "", "is not a number"}, {"84 parsec", "cm", "", "not known here: write it in cm"}, {"84 kg", "cm", "", "does not fit: write it in cm"}, {"84 cm", "kg", "", "does not fit: write it in kg"},
		{"4", "deg", "cm", "does not fit: write it in deg"}, {"84", "kg", "st", "does not fit: write it in kg"}, {"84", "g", "lb", "does not fit: write it in g"},
	} {
		if got, complaint := Measure(c.cell, c.own, c.unit); got != 0 || !strings.Contains(complaint, c.says) {
			t.Errorf("%s for %s in a column of %s: %g %q", c.cell, c.own, c.unit, got, complaint)
		}
	}
}

// TestComplaintsShowTheBeginningOfALongCell: 40 characters of it.
func TestComplaintsShowTheBeginningOfALongCell(t *testing.T) {
	forty := strings.Repeat("ü", 40)
	for cell, want := range map[string]string{" 7 ": "“7”", forty: "“" + forty + "”", forty + "x": "“" + forty + "…”"} {
		if got := Quoted(cell); got != want {
			t.Errorf("%s: %s", cell, got)
		}
	}
}

func TestClassesAreReadAsClubsWriteThem(t *testing.T) {
	for cell, want := range map[string]string{
		"8+": "8+", "M8+": "8+", "8": "8+", "W1x": "1x", "1": "1x", "4x-": "4x", "4x": "4x", "JW 4-": "4-", "4 +": "4+", "2–": "2-", "quad": "4x", "Doppelvierer": "4x", "Quatre sans barreur": "4-", "Coxed four": "4+",
		"2": "", "4": "", "8x": "", "3x": "", "1+": "", "raft": "", "": "",
	} {
		code, complaint := Class(cell)
		if code != want || (complaint == "") != (want != "") {
			t.Errorf("%s: %q %s, want %q", cell, code, complaint, want)
		}
	}
}

// TestSeatsAreReadAsTheyAreWritten, and none that the boat does not have.
func TestSeatsAreReadAsTheyAreWritten(t *testing.T) {
	four, _ := rigging.ClassByCode("4+")
	for cell, want := range map[string][]int{
		"1": {1}, "4": {4}, "Seat 3": {3}, "Nr. 2": {2}, "1-4": {1, 2, 3, 4}, "2 to 3": {2, 3}, "3–3": {3}, "bow": {1}, "Schlag": {4}, "all": {1, 2, 3, 4},
		"5": nil, "1-5": nil, "4-1": nil, "0": nil, "cox": nil,
	} {
		seats, ok := Seats(cell, four)
		if ok != (want != nil) || ok && !slices.Equal(seats, want) {
			t.Errorf("%s: %v %v, want %v", cell, seats, ok, want)
		}
	}
	if !IsCox("Stm.") || IsCox("bow") {
		t.Error("whose seat the coxswain's is")
	}
}

func TestYearsAndEmptyCells(t *testing.T) {
	for cell, year := range map[string]bool{"1998": true, "2004": true, "1884": false, "98": false, "20045": false} {
		if IsYear(cell) != year {
			t.Errorf("%s is a year: %v", cell, !year)
		}
	}
	for cell, blank := range map[string]bool{"": true, " – ": true, "N/A": true, "DNS": true, "0": false, "no": false} {
		if IsBlank(cell) != blank {
			t.Errorf("%q holds nothing: %v", cell, !blank)
		}
	}
}
