package rigging_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

func TestPlaces(t *testing.T) {
	rower := rigging.PlaceOf(rigging.FieldSeats).Item(2).Then(rigging.FieldRower)
	for _, row := range []struct {
		place     rigging.Place
		text, key string
	}{
		{rigging.PlaceOf(rigging.FieldSeat, rigging.FieldSpan), "seat.span", "seat.span"},
		{rower, "seats[2].rower", "seats.rower"},
		{rigging.PlaceOf(rigging.FieldSegments, rigging.FieldShank).In(rower), "seats[2].rower.segments.shank", "seats.rower.segments.shank"},
		{rigging.PlaceOf(rigging.FieldMasses).Item(0), "masses[0]", "masses"},
		{nil, "", ""},
	} {
		if row.place.String() != row.text || row.place.Key() != row.key {
			t.Errorf("%v: %q, key %q, want %q, %q", []rigging.Step(row.place), row.place, row.place.Key(), row.text, row.key)
		}
	}
}

// TestPlacesDoNotShareSteps: making a place out of another leaves that as it
// was.
func TestPlacesDoNotShareSteps(t *testing.T) {
	base := rigging.PlaceOf(rigging.FieldSeats)
	first, second := base.Item(0), base.Item(1)
	a, b := first.Then(rigging.FieldRower), first.Then(rigging.FieldStrength)
	if base.String() != "seats" || second.String() != "seats[1]" || a.String() != "seats[0].rower" || b.String() != "seats[0].strength" {
		t.Errorf("%s %s %s %s", base, second, a, b)
	}
}

// TestWhereReadsTheField of errors that were made without a place.
func TestWhereReadsTheField(t *testing.T) {
	for text, want := range map[string]rigging.Place{
		"seat.span":         {{Field: "seat"}, {Field: "span"}},
		"seats[2].strength": {{Field: "seats", Number: 3}, {Field: "strength"}},
		"masses[0]":         {{Field: "masses", Number: 1}},
		"odd[x].y":          {{Field: "odd[x]"}, {Field: "y"}},
		"odd[-1]":           {{Field: "odd[-1]"}},
		"odd[01]":           {{Field: "odd[01]"}},
	} {
		if got := (&rigging.FieldError{Field: text}).Where(); !slices.Equal(got, want) {
			t.Errorf("%q: %v, want %v", text, []rigging.Step(got), []rigging.Step(want))
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-z_.\[\]0-9]{0,20}`).Draw(t, "text")
		if got := (&rigging.FieldError{Field: text}).Where().String(); got != text {
			t.Errorf("%q is placed at %q", text, got)
		}
	})
}

// TestErrorsKnowTheirPlace: what the checks make carries the path and the text
// that says the same; the item of a list is counted.
func TestErrorsKnowTheirPlace(t *testing.T) {
	blank := rigging.Setup{Class: class("4-"), Span: 1.59, GateDifference: 0.01, Blade: "spoon"}
	for _, e := range fieldErrors(t, blank.Check()) {
		if len(e.Place) != 2 || e.Place[0].Field != rigging.FieldSeat || e.Where().String() != e.Field {
			t.Errorf("%s: place %v", e.Field, []rigging.Step(e.Place))
		}
	}
	crew := rigging.Crew{Class: class("2-"), Masses: []float64{80, 8}}
	list := fieldErrors(t, crew.Check())
	if len(list) != 1 || list[0].Where().String() != "masses[1]" || list[0].Field != "masses" {
		t.Errorf("the second mass: %v at %v", list, list[0].Where())
	}
}

// TestCrewErrorsTellTheSeat by number, for the edge to point at.
func TestCrewErrorsTellTheSeat(t *testing.T) {
	task := pair()
	task.Seats[1].Strength = -1
	task.Seats[1].Case.Setup.Class = class("8+")
	_, err := rigging.MakePlan(task)
	want := []rigging.Place{
		{{Field: rigging.FieldSeats, Number: 2}, {Field: rigging.FieldStrength}},
		{{Field: rigging.FieldSeats, Number: 2}, {Field: rigging.FieldBoatClass}},
	}
	list := fieldErrors(t, err)
	if len(list) != len(want) {
		t.Fatalf("%v", err)
	}
	for i, e := range list {
		if !slices.Equal(e.Place, want[i]) || e.Field != e.Place.String() {
			t.Errorf("%s: %v, want %v", e.Field, e.Where(), want[i])
		}
	}
}
