package fleet

import (
	"fmt"
	"net/url"
	"testing"

	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/wire"
	"thole/ui/page"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestAStretcherIsSaidByItsMark, with what the tape reads on the line through the pins
// where that is not 0.
func TestAStretcherIsSaidByItsMark(t *testing.T) {
	is(t, "none", scaleWords(nil), "heel")
	for want, s := range map[string]seat.Stretcher{
		"toe": {Mark: "toe", OffsetCm: wire.Ptr(0.)}, "heel": {Mark: "heel"}, "toe, from 3 cm": {Mark: "toe", OffsetCm: wire.Ptr(3.)}, "toe, from −3 cm": {Mark: "toe", OffsetCm: wire.Ptr(-3.)},
		"hole, 1.7 cm apart": {Mark: "hole", OffsetCm: wire.Ptr(12.), HolePitchCm: wire.Ptr(1.7)}, "hole, −1.7 cm apart": {Mark: "hole", HolePitchCm: wire.Ptr(-1.7)},
	} {
		is(t, want, scaleWords(&s), want)
	}
}

// TestWhatIsNotSetOfAMarkIsLeftOut of the address of a seat and of the form of a boat.
func TestWhatIsNotSetOfAMarkIsLeftOut(t *testing.T) {
	b := &fleet.Boat{}
	b.Stretcher = &seat.Stretcher{Mark: "toe", OffsetCm: wire.Ptr(0.), ToeAlongCm: wire.Ptr(26.), HolePitchCm: wire.Ptr(-1.5)}
	address, form := url.Values{}, url.Values{}
	markQuery(address, b, &fleet.BoatSeat{})
	setScale(form, b.Stretcher)
	is(t, "address", address.Encode(), "mark=toe&mark_pitch_cm=-1.5&mark_toe_cm=26")
	is(t, "form", form.Encode(), "stretcher_hole_pitch_cm=-1.5&stretcher_mark=toe&stretcher_toe_along_cm=26")
	none := url.Values{}
	markQuery(none, &fleet.Boat{}, &fleet.BoatSeat{})
	setScale(none, nil)
	is(t, "no mark", len(none), 0)
}

// TestTheRigsHistoryHasItsOwnTable: what was measured at a seat stands there, and what
// changed of the boat, and what a setting can be set to, here.
func TestTheRigsHistoryHasItsOwnTable(t *testing.T) {
	b := &fleet.Boat{}
	b.BoatClass = "1x"
	b.Class.Scull = true
	kept := recordOnly(b, []wire.RecordChange{
		{Seat: 1, Field: "span_cm"}, {Seat: 0, Field: "span_cm"}, {Seat: 1, Field: "side"}, {Seat: 1, Field: "span_cm", ToRange: &wire.ChangedRange{Min: 150, Max: 165}},
	})
	said := ""
	for _, c := range kept {
		said += fmt.Sprintf("%d %s %t; ", c.Seat, c.Field, c.Ranged())
	}
	is(t, "kept", said, "0 span_cm false; 1 side false; 1 span_cm true; ")
}

// TestTheNextSeatComesAfterThisOne, and the boat after the last; also where nobody asked
// for the next.
func TestTheNextSeatComesAfterThisOne(t *testing.T) {
	b := &fleet.Boat{ID: 9, Seats: make([]fleet.BoatSeat, 4)}
	for number, want := range map[int]string{1: "/boats/9/seats/2", 3: "/boats/9/seats/4", 4: "/boats/9"} {
		at := &fleet.BoatSeat{SeatFields: fleet.SeatFields{Number: number}}
		is(t, fmt.Sprint(number), afterRig(page.NewForm(url.Values{"then": {"next"}}), b, at), want)
		is(t, fmt.Sprint(number, " alone"), afterRig(page.NewForm(url.Values{}), b, at), "/boats/9")
	}
}

// TestRiggersThatFitBothSidesAreNamed, one or several.
func TestRiggersThatFitBothSidesAreNamed(t *testing.T) {
	for n, want := range []string{"", "The rigger of seat 1 fits both sides.", "The riggers of seats 1 and 2 fit both sides.", "The riggers of seats 1, 2 and 3 fit both sides."} {
		b := &fleet.Boat{}
		for i := range 4 {
			b.Seats = append(b.Seats, fleet.BoatSeat{SeatFields: fleet.SeatFields{Number: i + 1, CanChangeSides: i < n}})
		}
		is(t, fmt.Sprint(n), eitherSide(b), want)
	}
}

// TestAnOarIsSaidWithItsRange, where it can be set.
func TestAnOarIsSaidWithItsRange(t *testing.T) {
	now := wire.Ptr(288.)
	is(t, "no range", oarText(now, nil, wire.Ptr(290.)), "288 cm")
	is(t, "half a range", oarText(now, wire.Ptr(284.), nil), "288 cm")
	is(t, "fixed", oarText(now, wire.Ptr(288.), wire.Ptr(288.)), "288 cm, fixed")
	is(t, "a range", oarText(now, wire.Ptr(284.), wire.Ptr(290.)), "288 cm (284 to 290 cm)")
}
