package store

import (
	"errors"
	"testing"
)

// withGuests is a seat race of two athletes on record against two guests.
func withGuests(known ...int64) MakeSeatRace {
	return func(guests []int64) (SeatRace, error) {
		r := SeatRace{Name: "Autumn", HeldOn: "2026-09-20", DistanceM: 1000, ClassCode: "2-"}
		for _, id := range append(append([]int64(nil), known...), guests...) {
			r.Athletes = append(r.Athletes, SeatRaceAthlete{AthleteID: id})
		}
		r.Pieces = []Piece{{Number: 1, State: Planned, Boats: []PieceBoat{{Crew: known}, {Crew: guests}}}}
		return r, nil
	}
}

var twoGuests = []Athlete{{Name: "Gerda", Guest: true, Archived: true}, {Name: "Hugo", Guest: true, Archived: true}}

func everybody(t *testing.T, s *Store) (names []string) {
	t.Helper()
	for _, a := range must(s.Athletes(ctx, Filter{Archived: true})) {
		names = append(names, a.Name)
	}
	return names
}

// TestGuestsComeAndGoWithTheirSeatRace, those of another seat race excepted.
func TestGuestsComeAndGoWithTheirSeatRace(t *testing.T) {
	s := open(t)
	known := []int64{addNamed(t, s, "Ann"), addNamed(t, s, "Ben")}
	first := must(s.AddSeatRaceWithGuests(ctx, twoGuests, withGuests(known...), anna))
	wantEqual(t, everybody(t, s), []string{"Ann", "Ben", "Gerda", "Hugo"})
	r := must(s.SeatRace(ctx, first))
	wantEqual(t, r.Pieces[0].Boats[1].Crew, []int64{known[1] + 1, known[1] + 2})

	// A guest whose name is there is the one who has it.
	second := must(s.AddSeatRaceWithGuests(ctx, []Athlete{twoGuests[0], {Name: "Ida", Guest: true, Archived: true}}, withGuests(known...), anna))
	wantEqual(t, everybody(t, s), []string{"Ann", "Ben", "Gerda", "Hugo", "Ida"})
	wantEqual(t, must(s.SeatRace(ctx, second)).Pieces[0].Boats[1].Crew[0], r.Pieces[0].Boats[1].Crew[0])

	check(t, s.DeleteSeatRace(ctx, first))
	wantEqual(t, everybody(t, s), []string{"Ann", "Ben", "Gerda", "Ida"})
	check(t, s.DeleteSeatRace(ctx, second))
	wantEqual(t, everybody(t, s), []string{"Ann", "Ben"})
	wantError(t, s.DeleteSeatRace(ctx, second), ErrNotFound)
}

// TestGuestsOfARefusedSeatRaceAreNotKept, whether it is refused before it reaches
// the tables or by them.
func TestGuestsOfARefusedSeatRaceAreNotKept(t *testing.T) {
	s := open(t)
	known := []int64{addNamed(t, s, "Ann"), addNamed(t, s, "Ben")}
	refused := errors.New("refused")
	none := func([]int64) (SeatRace, error) { return SeatRace{}, refused }
	_, err := s.AddSeatRaceWithGuests(ctx, twoGuests, none, anna)
	wantError(t, err, refused)
	_, err = s.AddSeatRaceWithGuests(ctx, twoGuests, withGuests(known[0], 99), anna)
	wantError(t, err, ErrNotFound)
	id := must(s.AddSeatRaceWithGuests(ctx, nil, withGuests(known...), anna))
	stale := func(guests []int64) (SeatRace, error) {
		r, err := withGuests(known...)(guests)
		r.ID, r.Version = id, 7
		return r, err
	}
	var moved *ErrConflict
	if _, err = s.UpdateSeatRaceWithGuests(ctx, twoGuests, stale, anna); !errors.As(err, &moved) {
		t.Errorf("an old version: %v", err)
	}
	wantEqual(t, everybody(t, s), []string{"Ann", "Ben"})
}
