package fleet

import (
	"errors"
	"strings"
	"testing"

	"thole/api/wire"
)

// TestAFaultOfTheRestIsNamedAsOnTheScreen: an inboard that was measured before
// does not reach past a spread that is entered, and is called by its label.
func TestAFaultOfTheRestIsNamedAsOnTheScreen(t *testing.T) {
	boat := Boat{BoatFields: BoatFields{BoatClass: "2-"}, Seats: make([]BoatSeat, 2)}
	for i := range boat.Seats {
		boat.Seats[i].Number, boat.Seats[i].Side = i+1, "port"
		boat.Seats[i].Seat.Side = "port"
		boat.Seats[i].Seat.InboardCm, boat.Seats[i].Seat.OarLengthCm, boat.Seats[i].Seat.HeelToPinCm = wire.Ptr(140.0), wire.Ptr(376.0), wire.Ptr(25.0)
	}
	edit := RigEdit{Version: 1, By: "Ann", Settings: []RigSetting{{Seat: 2, Setting: "spread_cm", Value: wire.Ptr(78.0)}}}
	var bad *wire.Invalid
	if err := edit.check(&boat); !errors.As(err, &bad) {
		t.Fatalf("the rig is taken: %v", err)
	}
	p := bad.Fields[0]
	if p.Pointer != "#/settings/0/value" || !strings.HasPrefix(p.Detail, "With “Inboard” as it is: ") || strings.Contains(p.Detail, "_cm") {
		t.Errorf("told at %s: %s", p.Pointer, p.Detail)
	}
	if got := withRest("out"); strings.Contains(got, "out") {
		t.Errorf("a field that no screen has is named: %s", got)
	}
}
