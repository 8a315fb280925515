package store

import (
	"errors"
	"testing"
)

func TestTheUsualCrewOfABoat(t *testing.T) {
	s := open(t)
	boat := must(s.AddBoat(ctx, swallow(), anna))
	edda, frieda := must(s.AddAthlete(ctx, Athlete{Name: "Edda"}, anna)), must(s.AddAthlete(ctx, Athlete{Name: "Frieda"}, anna))
	wantEqual(t, len(must(s.BoatCrew(ctx, boat))), 0)
	crew := []CrewSeat{{1, frieda}, {2, edda}}
	check(t, s.SetBoatCrew(ctx, boat, []CrewSeat{{2, edda}, {1, frieda}}))
	wantEqual(t, must(s.BoatCrew(ctx, boat)), crew)
	for name, bad := range map[string][]CrewSeat{"no such seat": {{3, edda}}, "no such athlete": {{1, 999}}} {
		if err := s.SetBoatCrew(ctx, boat, bad); !errors.Is(err, ErrNotFound) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := s.SetBoatCrew(ctx, boat, []CrewSeat{{1, edda}, {2, edda}}); err == nil {
		t.Error("one rows two seats")
	}
	wantEqual(t, must(s.BoatCrew(ctx, boat)), crew) // what was refused changed nothing
	check(t, s.DeleteAthlete(ctx, edda))
	wantEqual(t, must(s.BoatCrew(ctx, boat)), crew[:1])
	check(t, s.SetBoatCrew(ctx, boat, nil))
	wantEqual(t, len(must(s.BoatCrew(ctx, boat))), 0)
	if err := s.SetBoatCrew(ctx, 999, nil); !errors.Is(err, ErrNotFound) {
		t.Errorf("no such boat: %v", err)
	}
	if _, err := s.BoatCrew(ctx, 999); !errors.Is(err, ErrNotFound) {
		t.Errorf("crew of no boat: %v", err)
	}
}
