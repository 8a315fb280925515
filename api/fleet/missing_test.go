package fleet_test

import (
	"slices"
	"testing"

	"thole/api/apitest"
	"thole/api/fleet"
	"thole/api/wire"
)

// TestWhatIsStillToBeMeasured: of a seat, the settings that nobody entered, and
// only those.
func TestWhatIsStillToBeMeasured(t *testing.T) {
	bare, err := apitest.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Bare", BoatClass: "2x"}, By: "Ann"})
	if err != nil {
		t.Fatal(err)
	}
	needed := bare.Seats[0].Missing
	if !slices.Contains(needed, "span_cm") || slices.Contains(needed, "spread_cm") {
		t.Fatalf("a scull of which nothing is known needs %q", needed)
	}
	boat, err := apitest.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{
		BoatFields: fleet.BoatFields{Name: "Half known", BoatClass: "2x"}, By: "Ann",
		Rig: []fleet.RigSetting{{Seat: 2, Setting: "span_cm", Value: wire.Ptr(159.0)}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := boat.Seats[0].Missing; !slices.Equal(got, needed) {
		t.Errorf("the other seat misses %q, want %q", got, needed)
	}
	rest := slices.DeleteFunc(slices.Clone(needed), func(name string) bool { return name == "span_cm" })
	if got := boat.Seats[1].Missing; !slices.Equal(got, rest) {
		t.Errorf("the seat with a span misses %q, want %q", got, rest)
	}
}
