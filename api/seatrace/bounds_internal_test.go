package seatrace

import (
	"testing"

	"thole/api/clock"
	"thole/api/wire"
)

// TestThePiecesShortestTimeIsTheFirst; a boat that did not finish has none.
func TestThePiecesShortestTimeIsTheFirst(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	for want, times := range map[float64][]*float64{188: {nil, v(190), v(188), v(189)}, 190: {v(190)}, 187: {v(187), v(187), nil}} {
		if got := (&RacePiece{TimesS: times}).first(); got != want {
			t.Errorf("%g, want %g", got, want)
		}
	}
}

// TestMarginsAreTakenUpToTheWidest, behind the first boat and not before it.
func TestMarginsAreTakenUpToTheWidest(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	var p wire.Problems
	times := clockless(&p, wire.At("margins_s"), []*float64{v(0), v(clock.MaxMargin), nil, v(-0.1), v(clock.MaxMargin + 0.1)}, 200)
	if *times[0] != 200 || *times[1] != 200+clock.MaxMargin || times[2] != nil || times[3] != nil || times[4] != nil {
		t.Errorf("%v", times)
	}
	if len(p.Fields) != 2 || p.Fields[0].Field != "margins_s[3]" || p.Fields[1].Field != "margins_s[4]" {
		t.Errorf("%+v", p.Fields)
	}
}

// TestATimeIsExpectedOfAClassOverADistance, and of nothing else.
func TestATimeIsExpectedOfAClassOverADistance(t *testing.T) {
	for _, c := range []struct {
		class    string
		distance float64
		told     bool
	}{{"1x", 1000, true}, {"1x", 0, false}, {"9x", 1000, false}} {
		if got := usualTerms(c.class, c.distance).ExpectedTimeS; (got > 0) != c.told {
			t.Errorf("%+v: %g s", c, got)
		}
	}
}
