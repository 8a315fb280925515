package wire_test

import (
	"net/http"
	"testing"

	"thole/api/wire"
	"thole/rigging"
)

// TestProblemsHaveTheTypeOfWhatTheyHold, and else that of their status: of several
// with one status, the one that says least.
func TestProblemsHaveTheTypeOfWhatTheyHold(t *testing.T) {
	for name, c := range map[string]struct {
		problem wire.Problem
		title   string
	}{
		"named":               {wire.Problem{Type: wire.NameTaken, Status: 409, Version: 3}, "The name is taken"},
		"fields":              {wire.Problem{Status: 422, Errors: make([]wire.FieldProblem, 1)}, "Some values need checking"},
		"a limit":             {wire.Problem{Status: 422, Limit: "knee_flexion"}, "The rig cannot be rowed"},
		"rules":               {wire.Problem{Status: 422, Rules: []string{"bow"}}, "No line-up keeps all rules"},
		"a version":           {wire.Problem{Status: 409, Version: 3}, "Somebody changed this in the meantime"},
		"only a 422":          {wire.Problem{Status: 422}, "This cannot be used"},
		"only a 409":          {wire.Problem{Status: 409}, "This does not go with what is on record"},
		"only a 503":          {wire.Problem{Status: 503}, "The server is busy"},
		"only a 404":          {wire.Problem{Status: 404}, "There is no such thing"},
		"a name of no type":   {wire.Problem{Type: "none", Status: 404}, "There is no such thing"},
		"a status of no type": {wire.Problem{Status: http.StatusTeapot}, http.StatusText(http.StatusTeapot)},
	} {
		typed := c.problem.Typed()
		if typed.Title != c.title {
			t.Errorf("%s: %q, want %q", name, typed.Title, c.title)
		}
		if blank := typed.Type == "about:blank"; blank != (name == "a status of no type") {
			t.Errorf("%s: %s", name, typed.Type)
		}
	}
}

func TestTypesAreFoundByName(t *testing.T) {
	for _, want := range wire.ProblemTypes {
		if got, ok := wire.TypeNamed(want.Name); !ok || *got != want {
			t.Errorf("%s: %v %v", want.Name, got, ok)
		}
	}
	if got, ok := wire.TypeNamed("none"); ok || got != nil {
		t.Errorf("%v", got)
	}
}

func TestChangesOfARangeAreKnown(t *testing.T) {
	var r wire.ChangedRange
	for i, c := range []struct {
		change wire.RecordChange
		want   bool
	}{{wire.RecordChange{}, false}, {wire.RecordChange{FromRange: &r}, true}, {wire.RecordChange{ToRange: &r}, true}, {wire.RecordChange{FromRange: &r, ToRange: &r}, true}} {
		if c.change.Ranged() != c.want {
			t.Errorf("%d: %v", i, c.change.Ranged())
		}
	}
}

// sized has texts and lists of every kind of size.
type sized struct {
	Pin    string   `json:"pin" validate:"omitempty,len=4"`
	Word   string   `json:"word" validate:"omitempty,min=2,max=6"`
	Pair   []string `json:"pair" validate:"omitempty,len=2"`
	One    []string `json:"one" validate:"omitempty,min=1,max=3"`
	Crew   []string `json:"crew" validate:"min=1"`
	Needed []string `json:"needed" validate:"required"`
	Side   *side    `json:"side"`
}

type side struct {
	Oar string `json:"oar" validate:"oneof=port starboard"`
}

func TestSizesAreTold(t *testing.T) {
	good := func() sized {
		return sized{Pin: "1234", Word: "bow", Pair: []string{"a", "b"}, One: []string{"a"}, Crew: []string{"a"}, Needed: []string{"a"}}
	}
	if said := saidOf(t, good()); len(said) > 0 {
		t.Errorf("%v", said)
	}
	for name, c := range map[string]struct {
		spoil       func(*sized)
		field, want string
	}{
		"a short word":   {func(s *sized) { s.Word = "b" }, "x.word", "Use 2 to 6 characters."},
		"a long word":    {func(s *sized) { s.Word = "stroke side" }, "x.word", "Use at most 6 characters."},
		"too many":       {func(s *sized) { s.One = make([]string, 4) }, "x.one", "Give 1 to 3 entries."},
		"too few":        {func(s *sized) { s.Crew = []string{} }, "x.crew", "Give at least 1 entry."},
		"none":           {func(s *sized) { s.Needed = nil }, "x.needed", "This is needed."},
		"inside another": {func(s *sized) { s.Side = &side{"left"} }, "x.side.oar", "Say port or starboard."},
	} {
		s := good()
		c.spoil(&s)
		if said := saidOf(t, s); len(said) != 1 || said[c.field] != c.want {
			t.Errorf("%s: %q", name, said)
		}
	}
}

// TestMembersAreFoundByTheirPlace, through pointers and structs that stand in the
// place of the one around them.
func TestMembersAreFoundByTheirPlace(t *testing.T) {
	for _, c := range []struct {
		at   wire.Place
		name string
		ok   bool
	}{
		{wire.At("pin"), "Pin", true}, {wire.At("side"), "Side", true}, {wire.At("side", "oar"), "Oar", true},
		{wire.At("none"), "", false}, {wire.At("side", "none"), "", false}, {wire.At("pin", "none"), "", false},
	} {
		for _, request := range []any{sized{}, &sized{}} {
			if f, ok := wire.MemberAt(request, c.at); ok != c.ok || ok && f.Name != c.name {
				t.Errorf("%v: %s %v", c.at, f.Name, ok)
			}
		}
	}
}

// TestAmountsKeepWhatATapeCanTell: two digits below ten centimetres and for what
// would be rounded away, and no more than three for what makes no sense.
func TestAmountsKeepWhatATapeCanTell(t *testing.T) {
	length, mass := wire.Units[rigging.Length], wire.Units[rigging.Mass]
	for _, c := range []struct {
		si   float64
		unit wire.Unit
		want string
	}{
		{1.5874, length, "158.7 cm"}, {0.09994, length, "9.99 cm"}, {0.1, length, "10 cm"}, {-0.0166, length, "−1.66 cm"},
		{0.04, mass, "0.04 kg"}, {0.1, mass, "0.1 kg"}, {81.26, mass, "81.3 kg"}, {1e6, mass, "1e+06 kg"}, {999_999, mass, "999999 kg"},
	} {
		if got := wire.Amount(c.si, c.unit); got != c.want {
			t.Errorf("%g: %s, want %s", c.si, got, c.want)
		}
	}
}

// TestSecretPartsOfPathsAreLeftOut, and only those: a part is no secret for being
// first.
func TestSecretPartsOfPathsAreLeftOut(t *testing.T) {
	for path, want := range map[string]string{
		"join/abcdef": "join/…", "/join/abcdef": "/join/…", "/join/": "/join/", "/boats/12": "/boats/12", "/boats/Port Ellen": "/boats/…", "abc": "abc",
		"/see/12/picture.png": "/see/…/picture.png",
	} {
		if got := wire.LoggedPath(path); got != want {
			t.Errorf("%s: %s, want %s", path, got, want)
		}
	}
}

// TestItemsOfListsAreFound by number, the first one among them.
func TestItemsOfListsAreFound(t *testing.T) {
	list := wire.At("parts")
	for _, c := range []struct {
		at    wire.Place
		i     int
		inner string
		ok    bool
	}{
		{list.Item(0), 0, "", true}, {list.Item(0).Name("mass"), 0, "mass", true}, {list.Item(2).Name("mass"), 2, "mass", true},
		{list, 0, "", false}, {list.Name("mass"), 0, "", false}, {list.Name("-1"), 0, "", false}, {wire.At("others").Item(1), 0, "", false},
	} {
		i, inner, ok := c.at.ItemOf(list)
		if i != c.i || inner.First() != c.inner || ok != c.ok {
			t.Errorf("%v: %d %v %v", c.at, i, inner, ok)
		}
	}
	if got := wire.At("a").Join(wire.Place{}); got != wire.At("a") {
		t.Errorf("%+v", got)
	}
	if got := (wire.Place{}).Join(wire.At("a")); got != wire.At("a") {
		t.Errorf("%+v", got)
	}
	if got := wire.At("a").Join(wire.At("b")); got != wire.At("a", "b") {
		t.Errorf("%+v", got)
	}
}

func TestTimesOfMoreThanAYearAreSeconds(t *testing.T) {
	const year = 366 * 86_400
	for seconds, want := range map[float64]string{0: "0:00.0", year: "3.16224e+07 s", -1: "-1 s"} {
		if got := wire.FormatTime(seconds); got != want {
			t.Errorf("%g: %s", seconds, got)
		}
	}
	if got := wire.FormatTime(year - 0.5); got[len(got)-4:] != "59.5" {
		t.Errorf("a second less than a year: %s", got)
	}
}
