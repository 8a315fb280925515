package columns

import (
	"fmt"
	"strings"
	"testing"

	"thole/api/cells"
	"thole/api/squadfile"
)

// opened reads a table of a kind.
func opened(t *testing.T, k Kind, table string) *Reading {
	t.Helper()
	r, err := Open(k, &File{Content: []byte(table)}, "name")
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

// TestTheLongestWordOfAHeadingCounts: of equally long ones the first, every time; short
// words tell nothing within a longer heading. Letters are counted by hand.
func TestTheLongestWordOfAHeadingCounts(t *testing.T) {
	for _, c := range []struct {
		kind    Kind
		heading string
		want    Meaning
	}{
		{Squad, "Weight today", Mass}, {Squad, "Sitting height, shoes off", SittingHeight},
		{Squad, "Sweep or scull", Side}, {Squad, "Scull or sweep", Sculls}, {Squad, "today: weight and height", Mass}, {Squad, "today: height and weight", Height},
		{Squad, "born where", Born}, {Squad, "dob where", Unused}, {Squad, "kg", Mass}, // four letters and three; a unit alone is a heading
		{Boats, "shell colour", BoatName}, {Boats, "boat colour", Unused}, // five letters and four
		{Boats, "pitch, class", "stern_pitch_deg"}, {Boats, "class, pitch", BoatClass},
	} {
		for range 20 { // known words are looked through in any order
			if got, _ := c.kind.recognise(c.heading); got != c.want {
				t.Errorf("%s: %q means %q, want %q", c.kind, c.heading, got, c.want)
				break
			}
		}
	}
}

// TestEffortsInHeadings: of 1 min to 2 h, and of 100 m to a marathon's 42.195 km; seconds
// are no test.
func TestEffortsInHeadings(t *testing.T) {
	for heading, want := range map[string]string{
		"1 min": "60s", "0.9 min": "", "120 min": "7200s", "120.5 min": "", "30'": "1800s",
		"100 m": "100m", "99 m": "", "0.1 km": "100m", "42.195 km": "42195m", "42195 m": "42195m", "42196 m": "", "43k": "",
		"60 s": "", "best of 3, 2k": "2000m", "": "",
	} {
		if got := EffortIn(heading); got != want {
			t.Errorf("%q: %q, want %q", heading, got, want)
		}
	}
	for effort, want := range map[string]string{"2000m": "2000 m", "60s": "1 min", "90s": "1.5 min", "": "", "s": "s", "xm": "xm"} {
		if got := effortWords(effort); got != want {
			t.Errorf("%q: %q, want %q", effort, got, want)
		}
	}
}

// TestTestsToChoose: over a distance the time is what was rowed, over a time the metres;
// tests of the file that are not usual stand with them, once.
func TestTestsToChoose(t *testing.T) {
	said := func(m Meaning, columns ...Column) (words []string) {
		for _, c := range Squad.Choices(columns) {
			if c.Meaning == m {
				words = append(words, c.Words)
			}
		}
		return words
	}
	for m, want := range map[Meaning]string{
		"time:2000m": "[2000 m: time]", "metres:2000m": "[]", "metres:1800s": "[30 min: metres]", "time:1800s": "[]", "day:1800s": "[30 min: day]", "mass:2000m": "[2000 m: mass]", "time:750m": "[]",
	} {
		if got := fmt.Sprint(said(m)); got != want {
			t.Errorf("%s: %s, want %s", m, got, want)
		}
	}
	own := []Column{{Use: Use{Meaning: "day:750m"}}, {Use: Use{Meaning: "time:750m"}}, {Use: Use{Meaning: "time:2000m"}}, {Use: Use{Meaning: Height}}}
	if a, b := fmt.Sprint(said("time:750m", own...)), fmt.Sprint(said("time:2000m", own...)); a != "[750 m: time]" || b != "[2000 m: time]" {
		t.Errorf("%s and %s", a, b)
	}
}

// TestTheHeadingIsLookedForAbove: the row with the most headings, of equals the first,
// among the first 15.
func TestTheHeadingIsLookedForAbove(t *testing.T) {
	lines := func(n int) string { return strings.Repeat("spring\n", n) }
	for table, want := range map[string]int{
		"Name,Height\nAnn,178\n": 0, "Name,\nName,Height\nAnn,178\n": 1, "Name,Height\nWeight,Mass\nAnn,178\n": 0, "Name\nName,Height\nName\n": 1,
		lines(14) + "Name\nAnn\n": 14,
	} {
		r := opened(t, Squad, table)
		if r.heading != want {
			t.Errorf("%q: row %d, want %d", table, r.heading, want)
		}
		if below := r.Below(); len(below) != len(r.File.Rows)-want-1 {
			t.Errorf("%q: %d rows below", table, len(below))
		}
	}
	for table, want := range map[string]string{lines(15) + "Name\nAnn\n": "No row of headings", "Name\n": "at least one row below", "Ann\nBen\n": "No row of headings"} {
		if _, err := Open(Squad, &File{Content: []byte(table)}, "name"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", table, err, want)
		}
	}
}

// TestColumnsAreGuessed: those without a heading too, with three samples at most, none twice
// and none blank; what was said of columns counts for those that it is said of.
func TestColumnsAreGuessed(t *testing.T) {
	const table = "Name,Weight (kg)\nAnn,70\nBen,\nAnn,70,port\nCid,71\nDee,72\nEve,73\n"
	r := opened(t, Squad, table)
	if got := fmt.Sprintf("%q", r.Headings()); got != `["Name" "Weight (kg)" ""]` {
		t.Errorf("headings %s", got)
	}
	r.Guess(nil)
	for i, want := range []string{"0 Name [Ann Ben Cid] name ", "1 Weight (kg) [70 71 72] mass kg", "2  [port]  "} {
		c := &r.Columns[i]
		if got := fmt.Sprintf("%d %s %v %s %s", c.Index, c.Heading, c.Samples, c.Meaning, c.Unit); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	r = opened(t, Squad, table)
	r.Guess(&How{Uses: []Use{{Meaning: FamilyName}, {Meaning: Height, Unit: "in"}}, DayOrder: cells.DayFirst})
	r.Settle()
	if want := []Use{{FamilyName, ""}, {Height, "in"}, {Unused, ""}}; fmt.Sprint(r.How.Uses) != fmt.Sprint(want) || r.How.DayOrder != cells.DayFirst {
		t.Errorf("%v, want %v", r.How, want)
	}
}

// TestCellsAreFoundByTheirRows as the file counts them, blank ones too, as they were mended.
func TestCellsAreFoundByTheirRows(t *testing.T) {
	r := opened(t, Squad, "Name,Height\n\nAnn,178\nBen\n")
	r.fixes = map[At]string{{4, 1}: " 184 "}
	r.Guess(nil)
	for at, want := range map[At]string{{1, 0}: "Name", {3, 0}: "Ann", {3, 1}: "178", {3, 2}: "", {4, 0}: "Ben", {4, 1}: "184", {4, 2}: "", {2, 0}: "", {5, 0}: ""} {
		if got := r.FileCell(at.Row, at.Column); got != want {
			t.Errorf("%v: %q, want %q", at, got, want)
		}
	}
	for _, c := range []struct {
		at   At
		want string
	}{{At{3, 0}, "Name: Ann"}, {At{4, 1}, "Height: 184"}, {At{3, -1}, ": "}} {
		r.ComplainOnce(c.at, "odd")
		r.ComplainOnce(c.at, "odd again")
		p := r.Problems[len(r.Problems)-1]
		if got := p.Heading + ": " + p.Cell; got != c.want || p.At != c.at || p.Text != "odd" {
			t.Errorf("%v: %q %+v, want %q", c.at, got, p, c.want)
		}
	}
	if len(r.Problems) != 3 {
		t.Errorf("%d complaints", len(r.Problems))
	}
}

// TestWhatIsSaidNowCountsOverWhatIsKept: all of it where it names columns, else what it says.
func TestWhatIsSaidNowCountsOverWhatIsKept(t *testing.T) {
	kept := &How{Uses: []Use{{Meaning: Name}}, DayOrder: cells.DayFirst, Sides: cells.StrokeBow}
	all, some := &How{Uses: []Use{{Meaning: Height}}}, &How{Sides: cells.PortStarboard, TestDay: "2026-01-14"}
	for name, c := range map[string]struct{ now, kept, want *How }{
		"nothing": {nil, kept, kept}, "nothing kept": {some, nil, some}, "columns": {all, kept, all},
		"the rest": {some, kept, &How{kept.Uses, cells.DayFirst, cells.PortStarboard, "2026-01-14"}},
	} {
		if got := c.now.Over(c.kept); fmt.Sprint(*got) != fmt.Sprint(*c.want) {
			t.Errorf("%s: %v, want %v", name, *got, *c.want)
		}
	}
}

// TestUnitsAreSettledByTheCells: the ends of what a spread can be, 60 and 110 cm, are in it;
// what fits two units takes that of the other columns, and its own where those do not
// agree, or say none.
func TestUnitsAreSettledByTheCells(t *testing.T) {
	const heading = "boat;class;spread;inboard;heel to pin;weight\n"
	for rows, want := range map[string]string{
		"Owl;2-;600;;;\n": "mm cm cm", "Owl;2-;599;;;\n": "cm cm cm", "Owl;2-;1100;;;\n": "mm cm cm", "Owl;2-;1101;;;\n": "cm cm cm", "Owl;2-;0,86;;;\n": "m cm cm",
		"Owl;2-;850;1150;54;50\n": "mm mm mm", "Owl;2-;85;115;54;\n": "cm cm cm", "Owl;2-;850;115;54;\n": "mm cm cm", // 54 can be cm and mm
		"Owl;2-;850;;\nElk;2-;860;;;\nRay;2-;86;;;\n": "mm cm cm", "Owl;2-;850;;;\nElk;2-;86;;;\nRay;2-;87;;;\n": "cm cm cm", // the most
	} {
		r := opened(t, Boats, heading+rows)
		r.Guess(nil)
		r.SettleUnits()
		if got := r.Columns[2].Unit + " " + r.Columns[3].Unit + " " + r.Columns[4].Unit; got != want {
			t.Errorf("%q: %s, want %s", rows, got, want)
		}
		if r.Columns[0].Unit+r.Columns[5].Unit != "" {
			t.Errorf("%q: what is no length has a unit", rows)
		}
	}
	said := opened(t, Boats, "boat;class;spread (cm);inboard\nOwl;2-;850;1150\n")
	said.Guess(nil)
	said.SettleUnits()
	if a, b := said.Columns[2].Unit, said.Columns[3].Unit; a != "cm" || b != "mm" {
		t.Errorf("said to be cm: %s and %s", a, b)
	}
}

// TestLettersOfSidesShowThemselves by the heading or by one cell.
func TestLettersOfSidesShowThemselves(t *testing.T) {
	for table, want := range map[string]string{
		"Name;Side\nAnn;S\nBen;P\n": cells.PortStarboard, "Name;Side\nAnn;S\nBen;p/s\n": cells.PortStarboard, "Name;Side\nAnn;S/P\n": cells.PortStarboard, "Name;Side\nAnn;S\nBen;B\n": "",
		"Name;Side\nAnn;stroke\n": cells.StrokeBow, "Name;Side\nAnn;Steuerbord\n": cells.BackSteuer, "Name;Seite\nAnn;B\n": cells.BackSteuer, "Name;Bow side / stroke side\nAnn;B\n": cells.StrokeBow, "Name;Height\nAnn;P\n": "",
	} {
		r := opened(t, Squad, table)
		r.Guess(nil)
		if got := r.SeenSides(); got != want {
			t.Errorf("%q: %q, want %q", table, got, want)
		}
	}
	r := opened(t, Squad, "Name\nAnn\n")
	if r.Unsolved(&squadfile.FileRow{Number: 2, Unsolved: map[int]bool{0: true}}, 1) || !r.Unsolved(&squadfile.FileRow{Number: 2, Unsolved: map[int]bool{0: true}}, 0) {
		t.Error("a formula without its result is not told")
	}
}
