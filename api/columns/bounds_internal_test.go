package columns

import (
	"fmt"
	"strings"
	"testing"

	"thole/api/cells"
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

// TestEffortsInWords are as people say them.
func TestEffortsInWords(t *testing.T) {
	if got := EffortIn("42.195 km"); got != "42195m" || EffortIn("42196 m") != "" {
		t.Errorf("a marathon is %q", got)
	}
	for effort, want := range map[string]string{"2000m": "2000 m", "60s": "1 min", "90s": "1.5 min", "": "", "s": "s", "xm": "xm"} {
		if got := effortWords(effort); got != want {
			t.Errorf("%q: %q, want %q", effort, got, want)
		}
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
// and none blank.
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
}
