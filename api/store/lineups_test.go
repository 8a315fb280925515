package store

import (
	"testing"
	"time"
)

// addPair puts a line-up of two on record.
func addPair(t testing.TB, s *Store) Lineup {
	t.Helper()
	boat := must(s.AddBoat(ctx, swallow(), anna))
	l := Lineup{
		Name: "Swallow on Sunday", ClassCode: "2+", BoatID: &boat, CoxMassKg: ptr(55.0), RowsOn: ptr("2026-03-15"), Source: "by hand", Note: "try out", Archived: true,
		Seats: []LineupSeat{{ptr(addNamed(t, s, "Edda")), "starboard"}, {ptr(addNamed(t, s, "Frieda")), "port"}},
	}
	var err error
	l.ID, err = s.AddLineup(ctx, l, anna)
	check(t, err)
	l.Version, l.SavedBy, l.SavedAt = 1, "Anna", noon
	return l
}

func TestALineupOutlivesARestart(t *testing.T) {
	s := open(t)
	l := addPair(t, s)
	wantFull(t, l)
	s = reopen(t, s)
	wantEqual(t, must(s.Lineup(ctx, l.ID)), l)
	l.Seats = nil
	wantEqual(t, must(s.Lineups(ctx, Filter{Archived: true})), []Lineup{l})
	wantEqual(t, must(s.Lineups(ctx, Filter{})), []Lineup{})
}

func TestCrewsCanChangeSeats(t *testing.T) {
	s := open(t)
	l := addPair(t, s)
	l.Seats[0].AthleteID, l.Seats[1].AthleteID = l.Seats[1].AthleteID, nil
	l.Version = must(s.UpdateLineup(ctx, l, anna))
	wantEqual(t, must(s.Lineup(ctx, l.ID)), l)
	wantEqual(t, shown(must(s.Changes(ctx, LineupRecord, l.ID, 1))), []string{"seat 1 athlete_id 1 2 Anna", "seat 2 athlete_id 2 - Anna"})
}

func TestALineupCanLoseASeat(t *testing.T) {
	s := open(t)
	l := addPair(t, s)
	l.Seats = l.Seats[:1]
	l.Version = must(s.UpdateLineup(ctx, l, anna))
	wantEqual(t, must(s.Lineup(ctx, l.ID)), l)
}

func TestAStaleLineupOverwritesNothing(t *testing.T) {
	s := open(t)
	l := addPair(t, s)
	theirs := l
	theirs.Note = "settled"
	must(s.UpdateLineup(ctx, theirs, By{Name: "Bert"}))
	_, err := s.UpdateLineup(ctx, l, anna)
	wantEqual(t, wantConflict(t, err, 2), []string{"note try out settled Bert"})
}

func TestALineupTellsWhoSavedItLast(t *testing.T) {
	s := open(t)
	l := addPair(t, s)
	must(s.AddLineup(ctx, Lineup{Name: "Alone", ClassCode: "1x"}, By{Name: "Cleo"}))
	l.Note, l.SavedBy = "settled", "nobody: this is not written"
	evening := noon.Add(7 * time.Hour)
	must(s.UpdateLineup(ctx, l, By{Name: "Bert", At: evening}))
	got := must(s.Lineup(ctx, l.ID))
	wantEqual(t, got.SavedBy, "Bert")
	wantEqual(t, got.SavedAt, evening)
	all := must(s.Lineups(ctx, Filter{Archived: true}))
	wantEqual(t, []string{all[0].SavedBy, all[1].SavedBy}, []string{"Cleo", "Bert"})
	wantEqual(t, shown(must(s.Changes(ctx, LineupRecord, l.ID, 1))), []string{"note try out settled Bert"})
}

func TestAnAthleteHasOneSeat(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	_, err := s.AddLineup(ctx, Lineup{Name: "A", ClassCode: "2x", Seats: []LineupSeat{{AthleteID: &id}, {AthleteID: &id}}}, anna)
	wantError(t, err, ErrInvalid)
	must(s.AddLineup(ctx, Lineup{Name: "A", ClassCode: "4x", Seats: []LineupSeat{{AthleteID: &id}, {}, {}}}, anna)) // several can be empty
}

func TestALineupThatIsNotThere(t *testing.T) {
	s := open(t)
	_, err := s.Lineup(ctx, 7)
	wantError(t, err, ErrNotFound)
	_, err = s.UpdateLineup(ctx, Lineup{ID: 7}, anna)
	wantError(t, err, ErrNotFound)
	_, err = s.AddLineup(ctx, Lineup{Name: "A", ClassCode: "1x", Seats: []LineupSeat{{AthleteID: ptr(int64(7))}}}, anna)
	wantError(t, err, ErrNotFound)
}

func TestADeletedLineupLeavesItsSheets(t *testing.T) {
	s := open(t)
	l := addPair(t, s)
	sheet := must(s.AddSheet(ctx, Sheet{BoatID: *l.BoatID, BoatVersion: 1, LineupID: &l.ID}, anna))
	check(t, s.DeleteLineup(ctx, l.ID))
	if must(s.Sheet(ctx, sheet)).LineupID != nil {
		t.Error("the sheet refers to a line-up that is gone")
	}
}
