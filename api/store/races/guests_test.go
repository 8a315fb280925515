package races_test

import (
	"errors"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/storetest"
)

// withGuests is a seat race of two athletes on record against two guests.
func withGuests(known ...int64) store.MakeSeatRace {
	return func(guests []int64) (store.SeatRace, error) {
		r := store.SeatRace{Name: "Autumn", HeldOn: "2026-09-20", DistanceM: 1000, ClassCode: "2-"}
		for _, id := range append(append([]int64(nil), known...), guests...) {
			r.Athletes = append(r.Athletes, store.SeatRaceAthlete{AthleteID: id})
		}
		r.Pieces = []store.Piece{{Number: 1, State: store.Planned, Boats: []store.PieceBoat{{Crew: known}, {Crew: guests}}}}
		return r, nil
	}
}

var twoGuests = []store.Athlete{{Name: "Gerda", Guest: true, Archived: true}, {Name: "Hugo", Guest: true, Archived: true}}

func everybody(t *testing.T, s *store.Store) (names []string) {
	t.Helper()
	for _, a := range storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Archived: true})) {
		names = append(names, a.Name)
	}
	return names
}

// TestGuestsComeAndGoWithTheirSeatRace, those of another seat race excepted.
func TestGuestsComeAndGoWithTheirSeatRace(t *testing.T) {
	s := storetest.New(t)
	known := []int64{storetest.AddNamed(t, s, "Ann"), storetest.AddNamed(t, s, "Ben")}
	first := storetest.Must(s.AddSeatRace(storetest.Ctx, twoGuests, withGuests(known...), storetest.Anna))
	storetest.WantEqual(t, everybody(t, s), []string{"Ann", "Ben", "Gerda", "Hugo"})
	r := storetest.Must(s.SeatRace(storetest.Ctx, first))
	storetest.WantEqual(t, r.Pieces[0].Boats[1].Crew, []int64{known[1] + 1, known[1] + 2})

	// A guest whose name is there is the one who has it.
	second := storetest.Must(s.AddSeatRace(storetest.Ctx, []store.Athlete{twoGuests[0], {Name: "Ida", Guest: true, Archived: true}}, withGuests(known...), storetest.Anna))
	storetest.WantEqual(t, everybody(t, s), []string{"Ann", "Ben", "Gerda", "Hugo", "Ida"})
	storetest.WantEqual(t, storetest.Must(s.SeatRace(storetest.Ctx, second)).Pieces[0].Boats[1].Crew[0], r.Pieces[0].Boats[1].Crew[0])

	storetest.Check(t, s.DeleteSeatRace(storetest.Ctx, first))
	storetest.WantEqual(t, everybody(t, s), []string{"Ann", "Ben", "Gerda", "Ida"})
	storetest.Check(t, s.DeleteSeatRace(storetest.Ctx, second))
	storetest.WantEqual(t, everybody(t, s), []string{"Ann", "Ben"})
	storetest.WantError(t, s.DeleteSeatRace(storetest.Ctx, second), store.ErrNotFound)
}

// TestGuestsOfARefusedSeatRaceAreNotKept, whether it is refused before it reaches
// the tables or by them.
func TestGuestsOfARefusedSeatRaceAreNotKept(t *testing.T) {
	s := storetest.New(t)
	known := []int64{storetest.AddNamed(t, s, "Ann"), storetest.AddNamed(t, s, "Ben")}
	refused := errors.New("refused")
	none := func([]int64) (store.SeatRace, error) { return store.SeatRace{}, refused }
	_, err := s.AddSeatRace(storetest.Ctx, twoGuests, none, storetest.Anna)
	storetest.WantError(t, err, refused)
	_, err = s.AddSeatRace(storetest.Ctx, twoGuests, withGuests(known[0], 99), storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	id := storetest.Must(s.AddSeatRace(storetest.Ctx, nil, withGuests(known...), storetest.Anna))
	stale := func(guests []int64) (store.SeatRace, error) {
		r, err := withGuests(known...)(guests)
		r.ID, r.Version = id, 7
		return r, err
	}
	var moved *store.ErrConflict
	if _, err = s.UpdateSeatRace(storetest.Ctx, twoGuests, stale, storetest.Anna); !errors.As(err, &moved) {
		t.Errorf("an old version: %v", err)
	}
	storetest.WantEqual(t, everybody(t, s), []string{"Ann", "Ben"})
}

// TestASeatRaceWithoutGuestsLeavesNothingToWipe: nobody went with it.
func TestASeatRaceWithoutGuestsLeavesNothingToWipe(t *testing.T) {
	s := storetest.New(t)
	known := []int64{storetest.AddNamed(t, s, "Ann"), storetest.AddNamed(t, s, "Ben")}
	storetest.Check(t, s.DeleteSeatRace(storetest.Ctx, storetest.Must(s.AddSeatRace(storetest.Ctx, nil, withGuests(known...), storetest.Anna))))
	if since := storetest.Must(s.Traces(storetest.Ctx)); !since.IsZero() {
		t.Errorf("to be wiped since %v", since)
	}
}

// TestAGuestIsTheOneOfThatNameExactly, not one whose longer name holds it, though that
// stands first in the list.
func TestAGuestIsTheOneOfThatNameExactly(t *testing.T) {
	s := storetest.New(t)
	known := []int64{storetest.AddNamed(t, s, "Ann"), storetest.AddNamed(t, s, "Ben")}
	storetest.AddNamed(t, s, "Alma Gerda")
	gerda := storetest.AddNamed(t, s, "Gerda")
	storetest.AddNamed(t, s, "Gerda Zorn")
	id := storetest.Must(s.AddSeatRace(storetest.Ctx, twoGuests[:1], withGuests(known...), storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.SeatRace(storetest.Ctx, id)).Pieces[0].Boats[1].Crew, []int64{gerda})
}

// TestGuestsThatGoAreWiped at once, or told as traces where a reader stands in the way.
func TestGuestsThatGoAreWiped(t *testing.T) {
	s := storetest.New(t)
	known := []int64{storetest.AddNamed(t, s, "Ann"), storetest.AddNamed(t, s, "Ben")}
	add := func() int64 {
		return storetest.Must(s.AddSeatRace(storetest.Ctx, twoGuests, withGuests(known...), storetest.Anna))
	}
	storetest.Check(t, s.DeleteSeatRace(storetest.Ctx, add()))
	if since := storetest.Must(s.Traces(storetest.Ctx)); !since.IsZero() {
		t.Errorf("to be wiped since %v", since)
	}
	id := add()
	storetest.Run(t, storetest.Writer(s), "PRAGMA busy_timeout = 1")
	_, err := db.Read(storetest.Ctx, s.File, func(r *db.Tx) (struct{}, error) {
		storetest.Check(t, r.Exists("seat_races", id))
		storetest.WantError(t, s.DeleteSeatRace(storetest.Ctx, id), store.ErrTraces)
		return struct{}{}, nil
	})
	storetest.Check(t, err)
	if storetest.Must(s.Traces(storetest.Ctx)).IsZero() {
		t.Error("nothing is left to be wiped")
	}
}
