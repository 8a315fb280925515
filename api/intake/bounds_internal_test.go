package intake

import (
	"strings"
	"testing"

	"thole/api/columns"
	"thole/api/fleet"
	"thole/api/store"
)

// TestMetresAsTheyAreWritten: 50 m to 100 km; a point or a comma with three digits behind
// it parts thousands.
func TestMetresAsTheyAreWritten(t *testing.T) {
	for text, want := range map[string]string{
		"8012": "8012", "8.012": "8012", "8,012 m": "8012", "8'012": "8012", "8 012": "8012", "1500.5": "1500.5", "100.5": "100.5", "100": "100", "100.0": "100", "50": "50", "49": "", "100000": "100000", "100001": "", "far": "", "": "",
	} {
		got, ok := readMetres(text)
		if ok != (want != "") || ok && got != want {
			t.Errorf("%q: %s %t, want %q", text, got, ok, want)
		}
	}
}

// TestNamesInTheirColumns: the family name first parts at its last blank, unless a comma does.
func TestNamesInTheirColumns(t *testing.T) {
	for name, c := range map[string]struct {
		parts map[columns.Meaning]string
		want  string
	}{
		"one":              {map[columns.Meaning]string{columns.Name: "Ann Lee"}, "Ann Lee"},
		"turned":           {map[columns.Meaning]string{columns.NameTurned: "Lee Ann"}, "Lee, Ann"},
		"turned, two":      {map[columns.Meaning]string{columns.NameTurned: "van Berg Jan"}, "van Berg, Jan"},
		"turned, a comma":  {map[columns.Meaning]string{columns.NameTurned: "Lee, Ann May"}, "Lee, Ann May"},
		"turned, one word": {map[columns.Meaning]string{columns.NameTurned: "Lee"}, "Lee"},
		"parts":            {map[columns.Meaning]string{columns.GivenName: "Ann", columns.FamilyName: "Lee"}, "Lee, Ann"},
		"a part":           {map[columns.Meaning]string{columns.FamilyName: "Lee"}, "Lee"},
		"none":             {nil, ""},
	} {
		row := converted{parts: c.parts}
		row.given.Values = map[string]string{}
		if row.name(); row.given.Values["name"] != c.want {
			t.Errorf("%s: %q, want %q", name, row.given.Values["name"], c.want)
		}
	}
}

// guessed is a squad's reading with columns of these meanings.
func guessed(meanings ...columns.Meaning) *squadReading {
	r := &squadReading{}
	for _, m := range meanings {
		r.Columns = append(r.Columns, columns.Column{Use: columns.Use{Meaning: m}})
	}
	return r
}

// TestNamesThatExcludeEachOther: a name beside a given name alone is the family's, and a
// family name by itself is the whole; the place of the columns does not matter.
func TestNamesThatExcludeEachOther(t *testing.T) {
	const name, given, family, turned = columns.Name, columns.GivenName, columns.FamilyName, columns.NameTurned
	for _, c := range []struct{ from, want []columns.Meaning }{
		{[]columns.Meaning{name, given}, []columns.Meaning{family, given}}, {[]columns.Meaning{given, name}, []columns.Meaning{given, family}}, {[]columns.Meaning{name}, []columns.Meaning{name}},
		{[]columns.Meaning{name, given, family}, []columns.Meaning{name, given, family}}, {[]columns.Meaning{family, given, name}, []columns.Meaning{family, given, name}},
		{[]columns.Meaning{family}, []columns.Meaning{name}}, {[]columns.Meaning{columns.Sex, family}, []columns.Meaning{columns.Sex, name}}, {[]columns.Meaning{given, family}, []columns.Meaning{given, family}},
		{[]columns.Meaning{name, family}, []columns.Meaning{name, family}}, {[]columns.Meaning{turned, family}, []columns.Meaning{turned, family}},
		{[]columns.Meaning{columns.Height, columns.Height, columns.Squads, columns.Squads}, []columns.Meaning{columns.Height, columns.Unused, columns.Squads, columns.Squads}},
	} {
		r := guessed(c.from...)
		r.untangle()
		for i, want := range c.want {
			if r.Columns[i].Meaning != want {
				t.Errorf("%q: column %d is %q, want %q", c.from, i, r.Columns[i].Meaning, want)
			}
		}
	}
}

// TestKindsOfOarsByTheirLength: sculls are shorter than 330 cm, by common practice.
func TestKindsOfOarsByTheirLength(t *testing.T) {
	for cm, want := range map[float64]string{288: store.Scull, 329.9: store.Scull, 330: store.Sweep, 374: store.Sweep} {
		if got := kindBySize(&fleet.OarFields{LengthCm: &cm}); got != want {
			t.Errorf("%g cm: %q, want %q", cm, got, want)
		}
	}
	if got := kindBySize(&fleet.OarFields{}); got != "" {
		t.Errorf("no length: %q", got)
	}
}

// TestWhatBecomesOfASet: what a new one has, what of one on record changes, or nothing.
func TestWhatBecomesOfASet(t *testing.T) {
	length, other := 374.0, 375.0
	next := fleet.OarFields{Name: "Blue", Kind: "sweep", Count: 8, LengthCm: &length}
	old := fleet.OarSet{ID: 7, OarFields: next}
	longer := next
	longer.LengthCm, longer.Archived = &other, true
	for name, c := range map[string]struct {
		old          fleet.OarSet
		next         fleet.OarFields
		action, said string
		check        bool
	}{
		"new": {fleet.OarSet{}, next, "new", "kind: sculls or sweep: sweep|how many oars: 8|length: 374 cm", false}, "known": {old, next, "known", "", false}, "changed": {old, longer, "changed", "length: 374 cm → 375 cm", true},
	} {
		item := oarItem(&c.old, &c.next, 3)
		if got := strings.Join(item.Changes, "|"); got != c.said || item.Action != c.action || item.ID != c.old.ID || item.Row != 3 || (item.Check != "") != c.check {
			t.Errorf("%s: %+v, want %q", name, item, c.said)
		}
	}
}

// TestSeatsInFrontOfAChange are named, but for a boat of one.
func TestSeatsInFrontOfAChange(t *testing.T) {
	for _, c := range []struct {
		seats []int
		all   int
		want  string
	}{{[]int{1}, 1, ""}, {[]int{1, 2}, 2, "every seat, "}, {[]int{2}, 2, "seat 2, "}, {[]int{1, 3}, 4, "seats 1, 3, "}, {[]int{1, 2, 3, 4}, 4, "every seat, "}} {
		if got := seatsText(c.seats, c.all); got != c.want {
			t.Errorf("%v of %d: %q, want %q", c.seats, c.all, got, c.want)
		}
	}
	for _, c := range []struct {
		seats int
		want  string
	}{{1, "1 seat"}, {2, "2 seats"}} {
		b := fleet.Boat{Seats: make([]fleet.BoatSeat, c.seats)}
		if got := newBoatWords(&b); len(got) != 1 || got[0] != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
