package page

import (
	"math"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/settings"
)

// sweepPair is a pair whose bow seat alone is measured.
func sweepPair() *fleet.Boat {
	b := &fleet.Boat{Seats: make([]fleet.BoatSeat, 2)}
	b.Name, b.BoatClass, b.Class.WaterlineLengthM, b.Class.WaterlineBeamM = "Marl", "2-", 10.25, 0.351
	b.Seats[0].Side, b.Seats[1].Side = "starboard", "port"
	rig := &b.Seats[0].Seat
	rig.SpreadCm, rig.OarLengthCm, rig.InboardCm = new(86.0), new(374.0), new(116.0)
	return b
}

// TestBoatFigureIsFilledFromTheRecord: measures are those of the record, then
// those of the class, then the usual.
func TestBoatFigureIsFilledFromTheRecord(t *testing.T) {
	b := sweepPair()
	b.WaterlineBeamM = new(0.4)
	c := BoatFigure{Boat: b}.crew()
	for name, v := range map[string][2]float64{
		"length": {c.HullLength, 10.25}, "own beam": {c.HullBeam, 0.4}, "pin": {c.PinOut, 0.86}, "outboard": {c.Outer, 2.58}, "inboard": {c.HandleEnd, 1.16},
	} {
		if math.Abs(v[0]-v[1]) > 1e-9 {
			t.Errorf("%s: %v, want %v", name, v[0], v[1])
		}
	}
	b.Seats[0].Seat.SpreadCm = nil
	is(t, "the usual pin", BoatFigure{Boat: b}.crew().PinOut, settings.StartRig("2-")["spread_cm"]/100)
	b.BoatClass, b.Class.Scull, b.Seats[1].Seat.SpanCm = "2x", true, new(160.0)
	is(t, "half of the span", BoatFigure{Boat: b}.crew().PinOut, 0.8)
}

// TestBoatFigureNamesItsCrew: names stand where a crew is known, an empty place
// is open, and a boat without a crew has neither.
func TestBoatFigureNamesItsCrew(t *testing.T) {
	b := sweepPair()
	body := string(BoatFigure{Boat: b, Widths: []float64{288, 868}, Names: []string{"Freya Lund", ""}}.HTML())
	for _, want := range []string{"1, starboard: Freya Lund. 2, port: open.", "Marl, a 2- from above", ">Freya Lund</text>", ">open</text>", `id="above-288"`, "Bow to the left"} {
		if !strings.Contains(body, want) {
			t.Errorf("no %q in %s", want, body)
		}
	}
	b.Class.Coxed = true
	bare := string(BoatFigure{Boat: b, Widths: []float64{288}, Here: 2}.HTML())
	for _, want := range []string{"1, starboard. 2, port. Cox. Seat 2 is marked.", "fig-onhere"} {
		if !strings.Contains(bare, want) {
			t.Errorf("no %q in %s", want, bare)
		}
	}
	if strings.Contains(bare, "open") {
		t.Errorf("open seats in %s", bare)
	}
}
