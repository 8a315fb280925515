package setup

import (
	"net/url"
	"testing"

	"thole/api/fleet"
	"thole/api/setup"
	"thole/api/wire"
)

// TestASeatOfThePlanIsToldFromSquare: angles are negative towards the catch inside, and on
// the page both ends count from square.
func TestASeatOfThePlanIsToldFromSquare(t *testing.T) {
	b := &fleet.Boat{}
	b.Seats = []fleet.BoatSeat{{SeatFields: fleet.SeatFields{Number: 1}}}
	s := &setup.SetupSeat{Number: 1, Found: &setup.ArcEnds{CatchDeg: -61, FinishDeg: 39}}
	s.Result = &setup.SeatOutcome{ReachedCatchDeg: -58.4, FinishDeg: 42.6}
	s.Result.FinishSdDeg = 2.2
	v := newPlanSeat(b, s)
	is(t, "as found", v.FoundText, "As found: catch 61°, finish 39°.")
	is(t, "to be expected", v.Catch+" and "+v.Finish+" "+v.Doubt, "58 and 43 ± 2")
	none := newPlanSeat(b, &setup.SetupSeat{Number: 1})
	is(t, "cannot be rowed as found", none.FoundText, "As found it cannot be rowed by this body.")
	is(t, "cannot be rowed", none.Catch+none.Finish+none.Doubt, "")
}

// TestThePlanIsAsSureAsItsWorstSeat: the widest ± at the finish, and of a stretcher; a seat
// is busy from its first move on.
func TestThePlanIsAsSureAsItsWorstSeat(t *testing.T) {
	b := &fleet.Boat{}
	b.BoatClass, b.Class.Rowers, b.Class.WaterlineLengthM, b.Class.WaterlineBeamM = "4x", 4, 11.8, 0.41
	s := &setup.Setup{}
	for i, sd := range []float64{2, 4, 3, 2} {
		b.Seats = append(b.Seats, fleet.BoatSeat{SeatFields: fleet.SeatFields{Number: i + 1}})
		seat := setup.SetupSeat{Number: i + 1, Result: &setup.SeatOutcome{}}
		seat.Result.FinishSdDeg, seat.Result.HeelSdCm = sd, 5-sd
		for range i % 3 { // none, one, two, none
			seat.Lines = append(seat.Lines, setup.SetupLine{Setting: "heel_to_pin_cm", LineText: setup.LineText{Moves: true}})
		}
		s.Seats = append(s.Seats, seat)
	}
	p := newCrewPlan(b, s)
	is(t, "finish", p.Sure, "± 4° at the finish")
	is(t, "stretcher", p.HeelWithin, "3")
	is(t, "moves", p.Moves, 3)
	is(t, "seats", p.Busy, 2)
	is(t, "short of the catch", p.Limit, "nobody")
	s.Limiting = []int{3}
	is(t, "short of the catch", newCrewPlan(b, s).Limit, "seat 3")
}

// TestAComplaintStandsAtItsField, at the seat that it is about, and nowhere else where
// there is no such one.
func TestAComplaintStandsAtItsField(t *testing.T) {
	p := &crewSetPage{}
	p.request.Crew = []setup.CrewPlace{{Seat: 2}, {Seat: 5}}
	p.request.ByHand = []fleet.RigSetting{{Seat: 2, Setting: "span_cm"}, {Seat: 5, Setting: "gate_height_cm"}}
	for _, c := range []struct {
		at   wire.Place
		want string
	}{
		{wire.At("crew").Item(0), "s2"}, {wire.At("crew").Item(1), "s5"}, {wire.At("crew").Item(2), "crew"},
		{wire.At("by_hand").Item(0), "h2_span_cm"}, {wire.At("by_hand").Item(1), "h5_gate_height_cm"}, {wire.At("by_hand").Item(2), "by_hand"},
		{wire.At("targets", "finish_deg"), "finish_deg"},
	} {
		is(t, c.at.Pointer, p.formName(c.at), c.want)
	}
}

// TestTheFirstComplaintHasTheFocus, and no other.
func TestTheFirstComplaintHasTheFocus(t *testing.T) {
	p := &crewSetPage{typed: url.Values{}, bad: map[string]string{"catch_deg": "too much", "finish_deg": "too little"}}
	is(t, "first", p.input(targetFields[0], "").Focus, true)
	is(t, "second", p.input(targetFields[1], "").Focus, false)
	is(t, "told", len(p.Problems), 2)
}
