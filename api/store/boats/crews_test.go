package boats_test

import (
	"errors"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

func TestTheUsualCrewOfABoat(t *testing.T) {
	s := storetest.New(t)
	boat := storetest.Must(s.AddBoat(storetest.Ctx, storetest.Swallow(), storetest.Anna))
	edda, frieda := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Edda"}, storetest.Anna)), storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Frieda"}, storetest.Anna))
	storetest.WantEqual(t, len(storetest.Must(s.BoatCrew(storetest.Ctx, boat))), 0)
	crew := []store.CrewSeat{{Seat: 1, AthleteID: frieda}, {Seat: 2, AthleteID: edda}}
	storetest.Check(t, s.SetBoatCrew(storetest.Ctx, boat, []store.CrewSeat{{Seat: 2, AthleteID: edda}, {Seat: 1, AthleteID: frieda}}))
	storetest.WantEqual(t, storetest.Must(s.BoatCrew(storetest.Ctx, boat)), crew)
	for name, bad := range map[string][]store.CrewSeat{"no such seat": {{Seat: 3, AthleteID: edda}}, "no such athlete": {{Seat: 1, AthleteID: 999}}} {
		if err := s.SetBoatCrew(storetest.Ctx, boat, bad); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := s.SetBoatCrew(storetest.Ctx, boat, []store.CrewSeat{{Seat: 1, AthleteID: edda}, {Seat: 2, AthleteID: edda}}); err == nil {
		t.Error("one rows two seats")
	}
	storetest.WantEqual(t, storetest.Must(s.BoatCrew(storetest.Ctx, boat)), crew) // what was refused changed nothing
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, edda))
	storetest.WantEqual(t, storetest.Must(s.BoatCrew(storetest.Ctx, boat)), crew[:1])
	storetest.Check(t, s.SetBoatCrew(storetest.Ctx, boat, nil))
	storetest.WantEqual(t, len(storetest.Must(s.BoatCrew(storetest.Ctx, boat))), 0)
	if err := s.SetBoatCrew(storetest.Ctx, 999, nil); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("no such boat: %v", err)
	}
	if _, err := s.BoatCrew(storetest.Ctx, 999); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("crew of no boat: %v", err)
	}
}
