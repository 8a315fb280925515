package columns

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"thole/api/cells"
	"thole/api/squadfile"
	"thole/api/wire"
)

// read opens a table of lines, with cells that were mended.
func read(t *testing.T, k Kind, fixes map[At]string, lines ...string) Reading {
	t.Helper()
	r, err := Open(k, &File{Content: []byte(strings.Join(lines, "\n") + "\n"), Fixes: fixes}, "name")
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestATableHasAHeadingAndARow: with one row alone there is nothing to take in.
func TestATableHasAHeadingAndARow(t *testing.T) {
	for text, said := range map[string]string{
		"Name,Height\n": "at least one row below it", "1,2\n3,4\n": "nothing like name", "Name,Height\nAnn,170\n": "", "Club\nName,Height\nAnn,170\n": "",
	} {
		r, err := Open(Squad, &File{Content: []byte(text)}, "name")
		bad := new(wire.Unreadable)
		switch {
		case said == "" && err != nil:
			t.Errorf("%q: %v", text, err)
		case said == "" && (len(r.Below()) != 1 || r.Cell(&r.Below()[0], 0) != "Ann"):
			t.Errorf("%q: below the heading %+v", text, r.Below())
		case said != "" && (!errors.As(err, &bad) || !strings.Contains(bad.Text, said)):
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestCellsAsTheyStandOrWereMended: a row may be shorter or longer than its headings; what
// was mended counts, and a complaint names its cell, or none of a whole row.
func TestCellsAsTheyStandOrWereMended(t *testing.T) {
	r := read(t, Squad, map[At]string{{Row: 3, Column: 1}: " 171 "}, "Name,Height", "Ann, 170 ,left over", "Ben,x", "Cyd")
	r.Guess(nil)
	if got := r.Headings(); !slices.Equal(got, []string{"Name", "Height", ""}) {
		t.Errorf("headings %q", got)
	}
	for _, c := range []struct {
		row, column int
		want        string
	}{{0, 1, "170"}, {0, 2, "left over"}, {1, 1, "171"}, {2, 0, "Cyd"}, {2, 1, ""}, {2, 9, ""}} {
		if got := r.Cell(&r.Below()[c.row], c.column); got != c.want {
			t.Errorf("row %d, column %d: %q, want %q", c.row, c.column, got, c.want)
		}
	}
	if got := r.FileCell(2, 0); got != "Ann" || r.FileCell(99, 0) != "" {
		t.Errorf("row 2 of the file begins with %q", got)
	}
	r.Complain(At{Row: 2, Column: 0}, "who?")
	r.Complain(At{Row: 3, Column: -1}, "nobody")
	r.ComplainOnce(At{Row: 3, Column: -1}, "again")
	if len(r.Problems) != 2 || r.Problems[0].Heading != "Name" || r.Problems[0].Cell != "Ann" || r.Problems[1].Heading+r.Problems[1].Cell != "" {
		t.Errorf("%+v", r.Problems)
	}
	if got := r.Columns[0].Samples; !slices.Equal(got, []string{"Ann", "Ben", "Cyd"}) {
		t.Errorf("samples %q", got)
	}
	row := &squadfile.FileRow{Number: 3, Unsolved: map[int]bool{0: true, 1: true}}
	if !r.Unsolved(row, 0) || r.Unsolved(row, 1) {
		t.Error("a formula without a result is one unless it was mended")
	}
}

// TestWhatIsSaidOfColumnsGoesBeforeWhatIsGuessed: for as many columns as it speaks of. What
// is said anew goes before what was kept, and one that says nothing of columns keeps theirs.
func TestWhatIsSaidOfColumnsGoesBeforeWhatIsGuessed(t *testing.T) {
	r := read(t, Squad, nil, "Name,Height,Weight", "Ann,170,60")
	r.Guess(&How{Uses: []Use{{Meaning: Name}, {Meaning: ArmSpan, Unit: "m"}}})
	if r.Columns[1].Use != (Use{ArmSpan, "m"}) || r.Columns[2].Meaning != Mass || r.Has(Mass) != 2 || r.Has(Sex) != -1 {
		t.Errorf("%+v", r.Columns)
	}
	kept := &How{Uses: []Use{{Meaning: Name}}, DayOrder: cells.DayFirst, Sides: "kept"}
	said := &How{Uses: []Use{{Meaning: Sex}}}
	if h := said.Over(kept); h != said {
		t.Errorf("what was said of columns is lost: %+v", h)
	}
	if h := (*How)(nil).Over(kept); h != kept {
		t.Errorf("nothing said: %+v", h)
	}
	if h := (&How{DayOrder: cells.MonthFirst}).Over(kept); len(h.Uses) != 1 || h.Uses[0].Meaning != Name || h.DayOrder != cells.MonthFirst || h.Sides != "kept" {
		t.Errorf("only the order of days said: %+v", h)
	}
}

// TestEffortsInHeadings: 100 m to the 42,195 m of a marathon, 1 to 120 min; k is a
// kilometre, and seconds alone are no test.
func TestEffortsInHeadings(t *testing.T) {
	for heading, want := range map[string]string{
		"100 m": "100m", "99 m": "", "42195": "42195m", "42196": "", "2k": "2000m", "1 min": "60s", "120 min": "7200s", "121 min": "", "0.9 min": "", "30'": "1800s", "0 min": "", "240 s": "", "Name": "",
		"best 6 km 2026": "6000m",
	} {
		if got := EffortIn(heading); got != want {
			t.Errorf("%s: %q, want %q", heading, got, want)
		}
	}
}

// TestTheLongestKnownWordWithinCounts: "arm span" and not "span" alone; words of up to
// three letters count only by themselves.
func TestTheLongestKnownWordWithinCounts(t *testing.T) {
	for heading, want := range map[string]Meaning{
		"Arm span today": ArmSpan, "Weight today": Mass, "Span": ArmSpan, "wt": Mass, "our wt today": Unused, "Date of test": TestDay, "Sitting height now": SittingHeight,
		"seen date here": TestDay, "Gewicht": Mass,
	} {
		if got, _ := recognised(heading); got != want {
			t.Errorf("%s: %q, want %q", heading, got, want)
		}
	}
	for heading, want := range map[string]Meaning{"Spread of the seat": "spread_cm", "Inboard": "inboard_cm", "Not measured": Unused} {
		if got, _ := Boats.recognise(heading); got != want {
			t.Errorf("%s: %q, want %q", heading, got, want)
		}
	}
}

// TestATestOfATimeIsEnteredInMetres, and one of a distance as a time.
func TestATestOfATimeIsEnteredInMetres(t *testing.T) {
	seen := map[Meaning]bool{}
	for _, c := range Squad.Choices([]Column{{Use: Use{Meaning: "time:750m"}}, {Use: Use{Meaning: "metres:900s"}}}) {
		seen[c.Meaning] = true
	}
	for m, want := range map[Meaning]bool{
		"time:2000m": true, "metres:2000m": false, "metres:1800s": true, "time:1800s": false, "time:750m": true, "metres:900s": true, "day:2000m": true, "mass:1800s": true, "time:751m": false,
	} {
		if seen[m] != want {
			t.Errorf("%s can be chosen: %t", m, seen[m])
		}
	}
}

// TestUnitsOfLengthsByTheirCells: 85 and 86 can be a spread in cm alone, 850 and 860 in mm
// alone. A column whose cells fit in none, or that has none, keeps the unit of the
// table, and so does one that fits in several while no other column tells.
func TestUnitsOfLengthsByTheirCells(t *testing.T) {
	for name, c := range map[string]struct {
		lines []string
		want  []string
	}{
		"cm":         {[]string{"Boat,Spread", "A,85", "B,86"}, []string{"cm"}},
		"mm":         {[]string{"Boat,Spread", "A,850", "B,860"}, []string{"mm"}},
		"m":          {[]string{"Boat,Spread", "A,.85", "B,.86"}, []string{"m"}},
		"most":       {[]string{"Boat,Spread", "A,850", "B,860", "C,85"}, []string{"mm"}},
		"one cell":   {[]string{"Boat,Spread", "A,850"}, []string{"mm"}},
		"none fits":  {[]string{"Boat,Spread", "A,7", "B,8"}, []string{"cm"}},
		"in heading": {[]string{"Boat,Spread (mm)", "A,85", "B,86"}, []string{"mm"}},
		"by others":  {[]string{"Boat,Spread,Gate difference", "A,850,2", "B,860,3"}, []string{"mm", "mm"}},
		"fits both":  {[]string{"Boat,Gate difference", "A,2", "B,3"}, []string{"cm"}},
		"no cells":   {[]string{"Boat,Spread,Inboard,Oar length", "A,850,1140,", "B,860,1150,"}, []string{"mm", "mm", "cm"}},
	} {
		r := read(t, Boats, nil, c.lines...)
		r.Guess(nil)
		r.SettleUnits()
		var got []string
		for _, one := range r.Columns[1:] {
			got = append(got, one.Unit)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// TestLimitsOfPinsAreThoseOfSpreadAndSpan: which of both it is, is told by the boat.
func TestLimitsOfPinsAreThoseOfSpreadAndSpan(t *testing.T) {
	spread, _, _ := Boats.limitsOf("spread_cm")
	_, span, _ := Boats.limitsOf("span_cm")
	if least, most, ok := Boats.limitsOf(Pins); !ok || least != spread || most != span || !(spread < 90 && span > 150) {
		t.Errorf("%g to %g", least, most)
	}
}
