package selection

import (
	"testing"

	"thole/rigging"
)

func TestErrorsKnowTheirPlace(t *testing.T) {
	at := rigging.PlaceOf(FieldPieces).Item(2).Then(FieldTimes).Item(0)
	e := ErrorAt(at, rigging.ProblemMismatch, "%d times for %d boats", 1, 2)
	if e.Place.String() != "pieces[2].times[0]" || e.Place.Key() != "pieces.times" || e.Problem != rigging.ProblemMismatch || e.Detail != "1 times for 2 boats" {
		t.Errorf("%+v", e)
	}
	e = RangeAt(at, 3, 1, 2, rigging.Mass)
	if e.Place.String() != "pieces[2].times[0]" || e.Place.Key() != "pieces.times" || e.Problem != rigging.ProblemRange || e.Value != 3 || e.Low != 1 || e.High != 2 || e.Quantity != rigging.Mass {
		t.Errorf("%+v", e)
	}
}
