package video_test

import (
	"errors"
	"testing"

	"thole/api/apitest"
	"thole/api/wire"
)

// TestTheGateOverTheWater: what stands on record of the seat plus the seat's own height
// over the water, 17 + 8 cm in the pair; in the single, whose seat stands where its class
// has it, 17 cm plus that, and the gate's difference of 1 cm more to starboard. A boat has
// no seat below 1 or beyond its last.
func TestTheGateOverTheWater(t *testing.T) {
	pair, single := apitest.Rigged(t)
	of := func(boat int64, seat int, side string) float64 {
		t.Helper()
		f, err := apitest.Service.Video.SeatFigures(t.Context(), boat, seat, side)
		if err != nil || f.GateOverWaterCm == nil {
			t.Fatalf("%+v, %v", f, err)
		}
		return *f.GateOverWaterCm
	}
	apitest.Near(t, "pair", of(pair, 1, "starboard"), 25, 1e-9)
	port := of(single, 1, "port")
	apitest.Near(t, "single, starboard", of(single, 1, "starboard"), port+1, 1e-9)
	if port <= 17 || port > 17+15 {
		t.Errorf("the port gate stands %g cm over the water", port)
	}
	for seat, want := range map[int]error{0: wire.ErrNotFound, 1: nil, 2: nil, 3: wire.ErrNotFound} {
		if f, err := apitest.Service.Video.SeatFigures(t.Context(), pair, seat, "port"); !errors.Is(err, want) || err == nil && (f.Seat != seat || f.Seats != 2) {
			t.Errorf("seat %d: %+v, %v", seat, f, err)
		}
	}
}
