package wire_test

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"strings"
	"testing"

	"thole/api/wire"
	"thole/rigging"
)

// fields are the places that are complained of, in their order.
func fields(p *wire.Problems) string {
	var names []string
	for _, f := range p.Fields {
		names = append(names, f.Field)
	}
	return strings.Join(names, " ")
}

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestNumbersOnTheWay(t *testing.T) {
	is(t, "half up", wire.Round(2.5, 1), 3)
	is(t, "half away from zero", wire.Round(-2.5, 1), -3)
	is(t, "no negative zero", math.Signbit(wire.Round(-0.001, 100)), false)
	is(t, "cm", wire.ToCm(1.59006), 159.01)
	is(t, "m", wire.ToM(1.23456), 1.2346)
	is(t, "°", wire.ToDeg(rigging.Angle(math.Pi/2)), 90)
	is(t, "kg", wire.ToKg(85.126), 85.13)
	is(t, "W", wire.ToWatts(302.555), 302.56)
	is(t, "ratio", wire.ToRatio(2.27275), 2.2728)
	is(t, "m/s", wire.ToSpeed(5.00006), 5.0001)
	is(t, "s", wire.ToSeconds(420.00006), 420.0001)
	is(t, "°/s", wire.ToDegPerSec(math.Pi), 180)
	is(t, "°/cm", wire.PerCm(math.Pi), 1.8)
	is(t, "from cm", wire.FromCm(159), 1.59)
	is(t, "from °", wire.FromDeg(180), rigging.Angle(math.Pi))
}

// TestWhatIsLeftOutAndWhatIsZero are told apart: a zero that was stated must meet
// the range check, and the domain takes a zero as not given.
func TestWhatIsLeftOutAndWhatIsZero(t *testing.T) {
	zero, some := 0.0, 25.0
	is(t, "cm left out", wire.CmKnown(nil), 0)
	is(t, "cm stated", wire.CmKnown(&some), 0.25)
	is(t, "cm of zero", wire.CmKnown(&zero) > 0, true)
	is(t, "cm or", wire.CmKnownOr(nil, 0.17), 0.17)
	is(t, "° left out", wire.DegKnown(nil), 0)
	is(t, "° stated", wire.DegKnown(&some), rigging.Angle(25)*rigging.Degree)
	is(t, "° of zero", wire.DegKnown(&zero) > 0, true)
	is(t, "° or", wire.DegKnownOr(nil, 1), 1)
	is(t, "plain cm", wire.CmOr(&zero, 5), 0)
	is(t, "plain cm left out", wire.CmOr(nil, 5), 5)
	is(t, "plain °", wire.DegOr(&zero, 5), 0)
	is(t, "plain ° left out", wire.DegOr(nil, 5), 5)
	is(t, "any", wire.Or(&zero, 5), 0)
	is(t, "any left out", wire.Or(nil, 5.0), 5)
	is(t, "some of nothing", wire.SomeOf(0), nil)
	is(t, "some of less", wire.SomeOf(-1), nil)
	is(t, "some", *wire.SomeOf(0.5), 0.5)
	is(t, "known at its own", wire.Known(&some, 2), 50)
}

// TestNumbersInText have the digits that a tape can tell, a true minus sign and
// no noughts behind the point.
func TestNumbersInText(t *testing.T) {
	cm, deg, kg, count := wire.Units[rigging.Length], wire.Units[rigging.Plane], wire.Units[rigging.Mass], wire.Units[rigging.Count]
	for _, c := range []struct {
		si   float64
		u    wire.Unit
		want string
	}{
		{1.594, cm, "159.4 cm"}, {1.59, cm, "159 cm"}, {1.5946, cm, "159.5 cm"}, {0.0725, cm, "7.25 cm"}, {0.1, cm, "10 cm"}, {0.0999, cm, "9.99 cm"},
		{-0.64, cm, "−64 cm"}, {0, cm, "0 cm"}, {0.0004, cm, "0.04 cm"},
		{math.Pi / 3, deg, "60°"}, {-math.Pi / 3, deg, "−60°"}, {85.04, kg, "85 kg"}, {85.06, kg, "85.1 kg"},
		{2, count, "2"}, {2.2549, count, "2.25"}, {0.004, count, "0"}, {100, count, "100"},
		{1e4, cm, "1e+06 cm"}, {9999.9, cm, "999990 cm"}, {math.Inf(1), count, "+Inf"},
	} {
		if got := wire.Amount(c.si, c.u); got != c.want {
			t.Errorf("%g: %q, want %q", c.si, got, c.want)
		}
	}
	is(t, "bare", wire.Bare(-1.594, cm), "−159.4")
}

func TestPlacesAndPointers(t *testing.T) {
	at := wire.Place{}.Name("seats").Item(2).Name("a/b~c d")
	is(t, "field", at.Field, "seats[2].a/b~c d")
	is(t, "pointer", at.Problem("x").Pointer, "#/seats/2/a~1b~0c%20d")
	is(t, "detail", at.Problem("x").Detail, "x")
	is(t, "problem at", wire.At("seat", "span_cm").Problem("x"), wire.FieldProblem{Field: "seat.span_cm", Pointer: "#/seat/span_cm", Detail: "x"})
	is(t, "invalid at", wire.At("a").Invalid("b").Fields[0].Pointer, "#/a")
}

// outside is a complaint of the domain about a value out of range.
func outside(at rigging.Place, q rigging.Quantity, v, low, high float64) *rigging.FieldError {
	return &rigging.FieldError{Place: at, Problem: rigging.ProblemRange, Quantity: q, Value: v, Low: low, High: high}
}

func TestFieldsCarryTheirUnit(t *testing.T) {
	for _, c := range []struct {
		place rigging.Place
		want  string
	}{
		{rigging.PlaceOf("seat", "span"), "seat.span_cm"}, {rigging.PlaceOf("rower", "mass"), "rower.mass_kg"}, {rigging.PlaceOf("targets", "catch"), "targets.catch_deg"},
		{rigging.PlaceOf("rower", "age"), "rower.age_years"}, {rigging.PlaceOf("approach", "boat_speed"), "approach.boat_speed_m_s"},
		{rigging.PlaceOf("seat", "side"), "seat.side"}, {rigging.PlaceOf("rower", "segments", "shank"), "rower.segments_cm.shank"},
	} {
		is(t, c.place.String(), wire.Place{}.At(c.place).Field, c.want)
	}
}

// TestValuesOutOfRangeAreDescribed with value and ends in people's units, and
// with what it might have been meant as.
func TestValuesOutOfRangeAreDescribed(t *testing.T) {
	for _, c := range []struct {
		e     *rigging.FieldError
		holds []string
		lacks string
	}{
		{outside(rigging.PlaceOf("a"), rigging.Length, 0.0159, 1.4, 1.7), []string{"1.59 cm", "140", "170 cm", "metres", ": 159 cm?"}, "inches"},
		{outside(rigging.PlaceOf("a"), rigging.Length, 0.626, 1.4, 1.7), []string{"inches", "159 cm?"}, "feet"},
		{outside(rigging.PlaceOf("a"), rigging.Length, 15.9, 1.4, 1.7), []string{"millimetres", "159 cm?"}, "inches"},
		{outside(rigging.PlaceOf("a"), rigging.Plane, math.Pi/3, -1.4, -0.7), []string{"60°", "the other sign: −60°?"}, "radians"},
		{outside(rigging.PlaceOf("a"), rigging.Plane, 1.05*math.Pi/180, 0.7, 1.4), []string{"1.1°", "80.2°"}, "looks like"},
		{outside(rigging.PlaceOf("a"), rigging.Mass, 176, 40, 120), []string{"pounds", "79.8 kg?"}, "stones"},
		{outside(rigging.PlaceOf("a"), rigging.Mass, 12.5, 40, 120), []string{"stones"}, "grams"},
		{outside(rigging.PlaceOf("a"), rigging.Length, 999, 1.4, 1.7), []string{"99900 cm"}, "looks like"},
		{outside(rigging.PlaceOf("cost"), rigging.Count, 700, 1, 600), []string{"700 s", "600 s"}, "looks like"},
		{outside(rigging.PlaceOf("power"), rigging.Count, 700, 1, 600), []string{"700 W", "600 W"}, "looks like"},
		{outside(rigging.PlaceOf("x"), rigging.Count, 700, 1, 600), []string{"700 ", "600."}, "600 "},
	} {
		text := wire.Describe(c.e)
		for _, want := range c.holds {
			if !strings.Contains(text, want) {
				t.Errorf("%q lacks %q", text, want)
			}
		}
		if strings.Contains(text, c.lacks) {
			t.Errorf("%q holds %q", text, c.lacks)
		}
	}
	// The ends of the range are in it.
	is(t, "lower end", strings.Contains(wire.Describe(outside(rigging.PlaceOf("a"), rigging.Length, 0.014, 1.4, 1.7)), "140 cm?"), true)
	is(t, "upper end", strings.Contains(wire.Describe(outside(rigging.PlaceOf("a"), rigging.Length, 0.02, 1.4, 2)), "200 cm?"), true)
	missing := &rigging.FieldError{Problem: rigging.ProblemMissing, Quantity: rigging.Length, Low: 1.4, High: 1.7, Detail: "is needed"}
	text := wire.Describe(missing)
	is(t, "missing", strings.Contains(text, "140") && strings.Contains(text, "170 cm"), true)
	missing.Low = missing.High
	is(t, "missing without a range", wire.Describe(missing), "Is needed.")
}

func TestSentences(t *testing.T) {
	is(t, "plain", wire.Sentence("not found"), "Not found.")
	is(t, "whole", wire.Sentence("Not found."), "Not found.")
}

func TestProblemsAreOneAFieldAndBounded(t *testing.T) {
	var p wire.Problems
	is(t, "none", p.OrNil(), nil)
	p.Add(wire.At("a").Problem("first"))
	p.Add(wire.At("a").Problem("second"))
	is(t, "kept", len(p.Fields) == 1 && p.Fields[0].Detail == "first", true)
	for i := range 2 * wire.MaxProblems {
		if p.Full() != (len(p.Fields) == wire.MaxProblems) {
			t.Fatalf("full with %d", len(p.Fields))
		}
		p.Add(wire.At(fmt.Sprint("b", i)).Problem("x"))
	}
	is(t, "bounded", len(p.Fields), wire.MaxProblems)
	var bad *wire.Invalid
	is(t, "as an error", errors.As(p.OrNil(), &bad) && len(bad.Fields) == wire.MaxProblems, true)
}

func TestErrorsOfTheDomainAreTakenIn(t *testing.T) {
	var p wire.Problems
	is(t, "nothing", p.AddError(wire.At("x"), nil), true)
	fault := errors.New("a fault")
	is(t, "a fault", p.AddError(wire.At("x"), fault), false)
	is(t, "so far", fields(&p), "")
	one := outside(rigging.PlaceOf("seat", "span"), rigging.Length, 9, 1.4, 1.7)
	is(t, "one", p.AddError(wire.At("boats").Item(1), one), true)
	is(t, "many", p.AddError(wire.Place{}, rigging.FieldErrors{outside(rigging.PlaceOf("rower", "mass"), rigging.Mass, 1, 2, 3), outside(rigging.PlaceOf("b"), rigging.Count, 1, 2, 3)}), true)
	is(t, "fields", fields(&p), "boats[1].seat.span_cm rower.mass_kg b")
	p = wire.Problems{}
	p.AddError(wire.Place{}, one, wire.Names{rigging.FieldSeat: {"rig"}})
	is(t, "renamed", fields(&p), "rig.span_cm")
	p = wire.Problems{}
	p.Merge(wire.At("crew"), wire.At("name").Invalid("x"))
	p.Merge(wire.At("crew"), fault)
	is(t, "merged", fields(&p), "crew.name")
	is(t, "over the edge", errors.Is(wire.DomainError(fault), fault), true)
	is(t, "nothing over the edge", wire.DomainError(nil), nil)
}

func TestFailuresSayHowTheyAreAnswered(t *testing.T) {
	for _, c := range []struct {
		err    wire.Failure
		status int
		detail string
	}{
		{&wire.Refusal{Status: http.StatusConflict, Text: "taken"}, http.StatusConflict, "Taken."},
		{&wire.Unreadable{Text: "No table."}, http.StatusUnprocessableEntity, "No table."},
		{&wire.Unreachable{Limit: "legs", Text: "Too far."}, http.StatusUnprocessableEntity, "Too far."},
		{wire.ErrNotFound, http.StatusNotFound, "Not found."},
	} {
		p := c.err.Problem()
		if p.Status != c.status || p.Detail != c.detail || c.err.Error() == "" {
			t.Errorf("%v: %d %q", c.err, p.Status, p.Detail)
		}
	}
	bad := &wire.Invalid{Fields: []wire.FieldProblem{wire.At("a").Problem("x"), wire.At("b").Problem("y")}}
	is(t, "invalid", bad.Error(), "a: x; b: y")
	is(t, "invalid on the wire", bad.Problem().Status == http.StatusUnprocessableEntity && len(bad.Problem().Errors) == 2, true)
	is(t, "limit on the wire", (&wire.Unreachable{Limit: "legs"}).Problem().Limit, "legs")
}

// complains reports whether a rule finds something to complain of.
func complains(rule func(*wire.Problems)) bool {
	var p wire.Problems
	rule(&p)
	return len(p.Fields) > 0
}

func TestRulesOfTextsDaysAndRanges(t *testing.T) {
	within := func(v float64) func(*wire.Problems) {
		return func(p *wire.Problems) { p.Within(wire.At("a_cm"), rigging.Length, &v, 10, 20) }
	}
	name := func(text string) func(*wire.Problems) {
		return func(p *wire.Problems) { p.Name(wire.At("name"), text, "Missing.") }
	}
	note := func(n int) func(*wire.Problems) {
		return func(p *wire.Problems) { p.Note(wire.At("note"), strings.Repeat("ü", n)) }
	}
	sign := func(text, allowed string) func(*wire.Problems) {
		return func(p *wire.Problems) { p.Printable(wire.At("name"), text, allowed) }
	}
	day := func(text string) func(*wire.Problems) {
		return func(p *wire.Problems) { p.PastDay(wire.At("on"), text, "1900-01-02", "2026-05-03") }
	}
	for what, c := range map[string]struct {
		rule func(*wire.Problems)
		want bool
	}{
		"within": {within(15), false}, "at the lower end": {within(10), false}, "at the upper end": {within(20), false}, "below": {within(9.99), true}, "above": {within(20.01), true},
		"not given":  {func(p *wire.Problems) { p.Within(wire.At("a"), rigging.Length, nil, 10, 20) }, false},
		"within NaN": {within(math.NaN()), true},
		"a name":     {name("Ann"), false}, "blanks": {name(" \t"), true}, "the longest name": {name(strings.Repeat("ü", wire.LongestName)), false},
		"a longer name": {name(strings.Repeat("ü", wire.LongestName+1)), true}, "the longest note": {note(2000), false}, "a longer note": {note(2001), true},
		"unsigned": {func(p *wire.Problems) { p.Author("") }, true}, "signed": {func(p *wire.Problems) { p.Author("Ann") }, false},
		"letters": {sign("Zoë", ""), false}, "a bell": {sign("a\ab", ""), true}, "a line": {sign("a\nb", "\n"), false}, "a forbidden line": {sign("a\nb", ""), true},
		"no letter": {sign("a\ufffd", ""), true}, "no character": {sign("a\ufffe", ""), true},
		"today": {day("2026-05-03"), false}, "tomorrow": {day("2026-05-04"), true}, "the earliest": {day("1900-01-02"), false}, "too early": {day("1900-01-01"), true},
		"no day": {day("2026-02-30"), true}, "no text": {day(""), true},
	} {
		if got := complains(c.rule); got != c.want {
			t.Errorf("%s: complaint %t, want %t", what, got, c.want)
		}
	}
	var p wire.Problems
	p.Within(wire.At("a_cm"), rigging.Length, new(25.0), 10, 20)
	if text := p.Fields[0].Detail; !strings.Contains(text, "25 cm") || !strings.Contains(text, "20 cm") {
		t.Errorf("%q", text)
	}
}
