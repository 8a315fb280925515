package cells

import (
	"testing"
)

func TestLengthsAndMassesAreReadWithTheirUnits(t *testing.T) {
	for _, c := range []struct {
		cell, unit string
		want       float64
	}{
		{"184", "", 184}, {"184 cm", "", 184}, {"1.84", "", 184}, {"1,84 m", "", 184}, {"6'2\"", "", 188}, {"6’2”", "", 188}, {"6 ft 2 in", "", 188}, {"6'", "", 182.9},
		{"74", "in", 188}, {"74 in", "", 188}, {"1840 mm", "", 184}, {"184", "m", 184}, {"1.84", "cm", 184}, {"184.5cm", "m", 184.5},
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
	for _, cell := range []string{"31.2.2004", "soon", "27 Foo 2004", "13/13/2004"} {
		if day, _, complaint := Day(cell, "", "2026-04-01"); day != "" || complaint == "" {
			t.Errorf("%s is read as %s", cell, day)
		}
	}
}

func TestSidesAreReadInTheWordsOfClubs(t *testing.T) {
	for cell, want := range map[string]string{
		"port": "p", "Starboard": "s", "P": "p", "P/S": "b", "both": "b", "stroke side": "p", "Bow side": "s", "Backbord": "p", "Steuerbord": "s", "bâbord": "p", "Tribord": "s", "StB": "s", "BB": "p",
		"port, scull": "px", "scull": "x", "cox": "c", "beide": "b",
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
	if _, ask, _ := Side("b", ""); !ask {
		t.Error("B alone is not asked about")
	}
	if _, _, ok := Side("left-ish", ""); ok {
		t.Error("left-ish is a side")
	}
}
