package setup_test

import (
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/setup"
)

// TestNothingIsMovedFromAValueToStartFrom: a boat of which the stretcher and the
// inboard alone were measured is set up with a usual rig standing in; what stands in
// is to be measured, never to be moved, also on the sheet and after another rig was
// chosen to start from.
func TestNothingIsMovedFromAValueToStartFrom(t *testing.T) {
	s := demoClub(t)
	boat, err := s.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Owl", BoatClass: "1x"}, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	fields := setup.SetupFields{Crew: crewNamed(t, s, []string{"Sanna Pirkola"}), Job: "full_rerig"}
	heel, inboard := 40.0, 88.0
	rig := []fleet.RigSetting{{Seat: 1, Setting: "heel_to_pin_cm", Value: &heel}, {Seat: 1, Setting: "inboard_cm", Value: &inboard}}
	table := func(starts map[string]float64, rig []fleet.RigSetting) {
		t.Helper()
		seats := boat.SeatFields()
		seats[0].Starts = starts
		if boat, err = s.Fleet.SaveBoatTable(t.Context(), fleet.BoatTable{ID: boat.ID, Version: boat.Version, Seats: seats, Rig: rig, By: "Ines"}); err != nil {
			t.Fatal(err)
		}
	}
	table(nil, rig)
	if _, err := s.Setup.SetUp(t.Context(), setup.SetupRequest{BoatID: boat.ID, SetupFields: fields}); err == nil || !strings.Contains(err.Error(), "Measure this at seat 1 first: span, oar length") {
		t.Errorf("nothing to start from: %v", err)
	}
	usual := fleet.UsualStarts("1x")
	usual["span_cm"], usual["gate_height_cm"] = 158.333, 14
	table(usual, nil)
	w := setUp(t, s, boat, fields)
	moved := 0
	for _, l := range w.Seats[0].Lines {
		measured := l.Setting == "heel_to_pin_cm" || l.Setting == "inboard_cm"
		if l.Moves {
			moved++
		}
		if l.Moves && !measured || l.Measure == measured || (l.StandsOn == nil) != measured {
			t.Errorf("%s: %+v", l.Setting, l)
		}
	}
	if moved == 0 {
		t.Error("not even the stretcher, 16 cm out, moves")
	}
	h := demoSheet(t, s, boat, "Sanna Pirkola")
	table(map[string]float64{"span_cm": 162, "oar_length_cm": 285}, nil)
	h, err = s.Setup.Sheet(t.Context(), records.IDRequest{ID: h.ID})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range h.Seats[0].Lines {
		if l.AsFound == nil && (l.Moves || !l.Measure) {
			t.Errorf("on the sheet %s: %+v", l.Setting, l)
		}
	}
}
