package seatrace

import (
	"testing"

	"thole/api/seatrace"
)

// TestABoatWithoutATimeDidNotFinish once the piece was raced, and is yet to race
// before that.
func TestABoatWithoutATimeDidNotFinish(t *testing.T) {
	for state, want := range map[string]string{"raced": "dnf", "planned": ""} {
		piece := &seatrace.RacePiece{State: state, Crews: [][]string{{"Ann"}, {"Bea"}}, TimesS: timed(190, 0).TimesS}
		e := &entryForm{}
		e.fill(piece, nil)
		is(t, state, e.Boats[1].Value, want)
		is(t, state+" with a time", e.Boats[0].Value, "3:10")
	}
}

// TestWhatWasTypedIsPutBack, the crews only where there are some.
func TestWhatWasTypedIsPutBack(t *testing.T) {
	e := &entryForm{Crews: "Ann\nBea"}
	e.retype(map[string][]string{"key": {"k"}, "crews": {" "}, "note": {"wind"}})
	is(t, "kept", e.Key+e.Note+e.Crews, "kwindAnn\nBea")
	e.retype(map[string][]string{"crews": {"Bea\nAnn"}})
	is(t, "put back", e.Crews, "Bea\nAnn")
}
