package wire_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"thole/api/wire"
	"thole/rigging"
)

func TestPlacesOfTheDomainOnTheWire(t *testing.T) {
	seats := rigging.PlaceOf(rigging.FieldSeats).Item(2)
	for name, c := range map[string]struct {
		at    wire.Place
		where rigging.Place
		own   wire.Names
		want  wire.Place
	}{
		"a length":           {wire.At(), rigging.PlaceOf(rigging.FieldSeat, rigging.FieldSpan), nil, wire.Place{Field: "seat.span_cm", Pointer: "/seat/span_cm"}},
		"an item of a list":  {wire.At(), seats.Then(rigging.FieldRower).Then(rigging.FieldMass), nil, wire.Place{Field: "seats[2].rower.mass_kg", Pointer: "/seats/2/rower/mass_kg"}},
		"a segment":          {wire.At(), rigging.PlaceOf(rigging.FieldRower, rigging.FieldSegments, rigging.FieldArm), nil, wire.Place{Field: "rower.segments_cm.arm", Pointer: "/rower/segments_cm/arm"}},
		"an end of a range":  {wire.At(), rigging.PlaceOf(rigging.FieldAdjust, rigging.FieldSpread, rigging.FieldMin), nil, wire.Place{Field: "adjust.spread_cm.min", Pointer: "/adjust/spread_cm/min"}},
		"inside another":     {wire.At("arcs").Item(1), rigging.PlaceOf(rigging.FieldCatch), nil, wire.Place{Field: "arcs[1].catch_deg", Pointer: "/arcs/1/catch_deg"}},
		"a group left out":   {wire.At(), rigging.PlaceOf(rigging.FieldPosture, rigging.FieldShin), wire.Names{rigging.FieldPosture: nil}, wire.Place{Field: "shin_deg", Pointer: "/shin_deg"}},
		"a group more":       {wire.At(), rigging.PlaceOf(rigging.FieldCatch), wire.Names{rigging.FieldCatch: {"arc", "catch_deg"}}, wire.Place{Field: "arc.catch_deg", Pointer: "/arc/catch_deg"}},
		"a name with a dash": {wire.At("means_s"), rigging.PlaceOf("a/b~c"), nil, wire.Place{Field: "means_s.a/b~c", Pointer: "/means_s/a~1b~0c"}},
	} {
		if got := c.at.At(c.where, c.own); got != c.want {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
}

func TestComplaintsMoveWithTheirPart(t *testing.T) {
	err := error(&wire.Invalid{Fields: []wire.FieldProblem{
		wire.At("seats").Item(1).Name("seat").Problem("x"), wire.At("seats").Item(10).Problem("y"), wire.At("by").Problem("z"),
	}})
	var bad *wire.Invalid
	if !errors.As(wire.Move(err, wire.At("seats").Item(1), wire.At("crew").Item(4)), &bad) {
		t.Fatal("no complaints are left")
	}
	want := []wire.FieldProblem{
		{Field: "crew[4].seat", Pointer: "#/crew/4/seat", Detail: "x"},
		{Field: "seats[10]", Pointer: "#/seats/10", Detail: "y"},
		{Field: "by", Pointer: "#/by", Detail: "z"},
	}
	if diff := cmp.Diff(want, bad.Fields); diff != "" {
		t.Error(diff)
	}
	other := errors.New("other")
	if got := wire.Move(other, wire.At("a"), wire.At("b")); got != other {
		t.Errorf("another error became %v", got)
	}
}

func TestMergedComplaintsStandInsideTheirPart(t *testing.T) {
	var p wire.Problems
	p.Merge(wire.At("seats").Item(3), &wire.Invalid{Fields: []wire.FieldProblem{wire.At("rower", "mass_kg").Problem("x")}})
	if len(p.Fields) != 1 || p.Fields[0].Field != "seats[3].rower.mass_kg" || p.Fields[0].Pointer != "#/seats/3/rower/mass_kg" {
		t.Errorf("%+v", p.Fields)
	}
}

func TestPlacesEndInANameOrANumber(t *testing.T) {
	for want, at := range map[string]wire.Place{"": {}, "a/b~c d": wire.At("x", "a/b~c d"), "2": wire.At("x").Item(2), "span_cm": wire.At("seats").Item(0).Name("span_cm")} {
		if got := at.Last(); got != want {
			t.Errorf("%s ends in %q, want %q", at.Pointer, got, want)
		}
	}
}

// TestItemsOfLists: which item a place stands in, and what is left of it.
func TestItemsOfLists(t *testing.T) {
	crew := wire.At("setup", "crew")
	for _, c := range []struct {
		at    wire.Place
		i     int
		inner string
		ok    bool
	}{
		{crew.Item(3).Name("rower").Name("mass_kg"), 3, "rower.mass_kg", true},
		{crew.Item(12), 12, "", true},
		{crew, 0, "", false},
		{crew.Name("size"), 0, "", false},
		{wire.At("setup", "crews").Item(2), 0, "", false},
	} {
		i, inner, ok := c.at.ItemOf(crew)
		if i != c.i || inner.Field != c.inner || ok != c.ok {
			t.Errorf("%s: item %d, %q, %v", c.at.Field, i, inner.Field, ok)
		}
	}
	is(t, "first", crew.Item(3).First(), "setup")
	is(t, "first of a name with a slash", wire.At("a/b", "c").First(), "a/b")
	is(t, "first of the document", wire.Place{}.First(), "")
}
