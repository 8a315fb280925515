package fleet_test

import (
	"strings"
	"testing"

	"thole/api"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/storetest"
)

func num(v float64) *float64 { return &v }

// TestASetOfOarsBelongsToABoat: choosing a set brings its length, inboard, ranges and
// blade to every seat with a word in the history; a collar set anew on the set is
// entered in the boat; the boat tells where it and the set do not agree.
func TestASetOfOarsBelongsToABoat(t *testing.T) {
	s := api.NewService(storetest.Open(t))
	t.Cleanup(s.Close)
	ctx := t.Context()
	fields := fleet.OarFields{Name: "Blue", Kind: "sweep", Count: 1, Blade: "Big", BladeKind: "macon", LengthCm: num(376), LengthMinCm: num(376), LengthMaxCm: num(376), InboardCm: num(114.5), InboardMinCm: num(112), InboardMaxCm: num(117)}
	set, err := s.Fleet.AddOarSet(ctx, fleet.NewOarSet{OarFields: fields, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	sculls, err := s.Fleet.AddOarSet(ctx, fleet.NewOarSet{OarFields: fleet.OarFields{Name: "Red", Kind: "scull"}, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	boat, err := s.Fleet.AddBoat(ctx, fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Owl", BoatClass: "2-"}, By: "Ines", Rig: []fleet.RigSetting{{Seat: 1, Setting: "inboard_cm", Value: num(115)}}})
	if err != nil {
		t.Fatal(err)
	}
	choose := func(id int64) error {
		edit := fleet.BoatEdit{ID: boat.ID, Version: boat.Version, BoatFields: boat.BoatFields, Seats: boat.SeatFields(), By: "Udo"}
		edit.OarSetID = &id
		changed, err := s.Fleet.UpdateBoat(ctx, edit)
		if err == nil {
			boat = changed
		}
		return err
	}
	if err := choose(sculls.ID); err == nil || !strings.Contains(err.Error(), "A 2- does not go with sculls") {
		t.Errorf("sculls: %v", err)
	}
	if err := choose(99); err == nil {
		t.Error("a set that is not there is chosen")
	}
	if err := choose(set.ID); err != nil {
		t.Fatal(err)
	}
	for i, seat := range boat.Seats {
		_, fixed := seat.Adjust["oar_length_cm"]
		if a := seat.Adjust["inboard_cm"]; *seat.Seat.OarLengthCm != 376 || *seat.Seat.InboardCm != 114.5 || seat.Blade != "macon" || fixed || a.Min != 112 || a.Max != 117 || a.Step != 0.5 {
			t.Errorf("seat %d: %+v", i+1, seat)
		}
	}
	history, err := s.Fleet.RigHistory(ctx, fleet.RigHistoryRequest{ID: boat.ID, Seat: 1, Setting: "inboard_cm"})
	if err != nil || len(history.Changes) != 2 || history.Changes[0].Why != "oars: Blue" || *history.Changes[0].From != 115 {
		t.Errorf("%v %+v", err, history.Changes)
	}
	fields.InboardCm = num(113)
	if set, err = s.Fleet.UpdateOarSet(ctx, fleet.OarSetEdit{ID: set.ID, Version: set.Version, OarFields: fields, By: "Udo"}); err != nil {
		t.Fatal(err)
	}
	if boat, err = s.Fleet.Boat(ctx, records.IDRequest{ID: boat.ID}); err != nil || *boat.Seats[1].Seat.InboardCm != 113 {
		t.Errorf("%v, stroke at %g", err, *boat.Seats[1].Seat.InboardCm)
	}
	if o, differ, err := s.Fleet.OarsOf(ctx, &boat); err != nil || o.Name != "Blue" || differ != "The boat needs 2 oars; Blue has 1." {
		t.Errorf("%v %q", err, differ)
	}
	if boat, err = s.Fleet.UpdateRig(ctx, fleet.RigEdit{ID: boat.ID, Version: boat.Version, By: "Udo", Settings: []fleet.RigSetting{{Seat: 2, Setting: "inboard_cm", Value: num(114)}}}); err != nil {
		t.Fatal(err)
	}
	if _, differ, _ := s.Fleet.OarsOf(ctx, &boat); differ != "At seat 2 the inboard is 114 cm, and Blue says 113 cm." {
		t.Errorf("%q", differ)
	}
	note := fleet.BoatEdit{ID: boat.ID, Version: boat.Version, BoatFields: boat.BoatFields, Seats: boat.SeatFields(), By: "Udo"}
	note.Note = "dry"
	if boat, err = s.Fleet.UpdateBoat(ctx, note); err != nil || *boat.Seats[1].Seat.InboardCm != 114 { // the same set: what was measured since stays
		t.Errorf("%v, stroke at %g", err, *boat.Seats[1].Seat.InboardCm)
	}
	fields.LengthCm, fields.LengthMinCm, fields.LengthMaxCm, fields.InboardCm = nil, nil, nil, num(113.5)
	if set, err = s.Fleet.UpdateOarSet(ctx, fleet.OarSetEdit{ID: set.ID, Version: set.Version, OarFields: fields, By: "Udo"}); err != nil {
		t.Fatal(err)
	}
	if boat, err = s.Fleet.Boat(ctx, records.IDRequest{ID: boat.ID}); err != nil || *boat.Seats[0].Seat.OarLengthCm != 376 || *boat.Seats[0].Seat.InboardCm != 113.5 { // nobody measured another length
		t.Errorf("%v, bow %g and %g", err, *boat.Seats[0].Seat.OarLengthCm, *boat.Seats[0].Seat.InboardCm)
	}
	if list, err := s.Fleet.OarSetBoats(ctx, records.IDRequest{ID: set.ID}); err != nil || len(list.Boats) != 1 || list.Boats[0].Name != "Owl" {
		t.Errorf("%v %+v", err, list)
	}
	if _, err := s.Fleet.DeleteOarSet(ctx, records.IDRequest{ID: set.ID}); err != nil {
		t.Fatal(err)
	}
	if boat, err = s.Fleet.Boat(ctx, records.IDRequest{ID: boat.ID}); err != nil || boat.OarSetID != nil || *boat.Seats[0].Seat.OarLengthCm != 376 {
		t.Errorf("%v: the boat lost more than the set", err)
	}
}
