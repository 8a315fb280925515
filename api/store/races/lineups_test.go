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

func TestALineupTellsWhoSavedIt(t *testing.T) {
	s := open(t)
	evening := noon.Add(7 * time.Hour)
	id := must(s.AddLineup(ctx, Lineup{Name: "Alone", ClassCode: "1x", SavedBy: "nobody: this is not written"}, By{Name: "Cleo", At: evening}))
	addPair(t, s)
	got := must(s.Lineup(ctx, id))
	wantEqual(t, got.SavedBy, "Cleo")
	wantEqual(t, got.SavedAt, evening)
	all := must(s.Lineups(ctx, Filter{Archived: true}))
	wantEqual(t, []string{all[0].SavedBy, all[1].SavedBy}, []string{"Cleo", "Anna"})
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

func TestANoteOfALineup(t *testing.T) {
	s := open(t)
	edda := addNamed(t, s, "Edda")
	id := must(s.AddLineup(ctx, Lineup{Name: "Spring", ClassCode: "1x", Source: "by hand", Seats: []LineupSeat{{AthleteID: &edda}}}, anna))
	wantEqual(t, must(s.SetLineupNote(ctx, id, 1, "calm at the start", anna)), int64(2))
	l := must(s.Lineup(ctx, id))
	wantEqual(t, []any{l.Note, l.Name, len(l.Seats)}, []any{"calm at the start", "Spring", 1})
	_, err := s.SetLineupNote(ctx, id, 1, "late", anna)
	wantConflict(t, err, 2)
	_, err = s.SetLineupNote(ctx, 99, 1, "nobody", anna)
	wantError(t, err, ErrNotFound)
}
