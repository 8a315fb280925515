package rigging_test

import (
	"slices"
	"testing"

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

// TestErrorsKnowTheirPlace: what the checks make carries the path and the text
// that says the same; the item of a list is counted.
func TestErrorsKnowTheirPlace(t *testing.T) {
	blank := rigging.Setup{Class: class("4-"), Span: 1.59, GateDifference: 0.01, Blade: "spoon"}
	for _, e := range fieldErrors(t, blank.Check()) {
		if len(e.Place) != 2 || e.Place[0].Field != rigging.FieldSeat {
			t.Errorf("%s: place %v", e.Place, []rigging.Step(e.Place))
		}
	}
	crew := rigging.Crew{Class: class("2-"), Masses: []float64{80, 8}}
	list := fieldErrors(t, crew.Check())
	if len(list) != 1 || list[0].Place.String() != "masses[1]" {
		t.Errorf("the second mass: %v at %v", list, list[0].Place)
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
		if !slices.Equal(e.Place, want[i]) {
			t.Errorf("%v, want %v", e.Place, want[i])
		}
	}
}
