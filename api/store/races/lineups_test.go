package races_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

func TestALineupOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	l := storetest.AddPair(t, s)
	storetest.WantFull(t, l)
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.Lineup(storetest.Ctx, l.ID)), l)
	l.Seats = nil
	storetest.WantEqual(t, storetest.Must(s.Lineups(storetest.Ctx, store.Filter{Archived: true})), []store.Lineup{l})
	storetest.WantEqual(t, storetest.Must(s.Lineups(storetest.Ctx, store.Filter{})), []store.Lineup{})
}

func TestALineupTellsWhoSavedIt(t *testing.T) {
	s := storetest.New(t)
	evening := storetest.Noon.Add(7 * time.Hour)
	id := storetest.Must(s.AddLineup(storetest.Ctx, store.Lineup{Name: "Alone", ClassCode: "1x", SavedBy: "nobody: this is not written"}, store.By{Name: "Cleo", At: evening}))
	storetest.AddPair(t, s)
	got := storetest.Must(s.Lineup(storetest.Ctx, id))
	storetest.WantEqual(t, got.SavedBy, "Cleo")
	storetest.WantEqual(t, got.SavedAt, evening)
	all := storetest.Must(s.Lineups(storetest.Ctx, store.Filter{Archived: true}))
	storetest.WantEqual(t, []string{all[0].SavedBy, all[1].SavedBy}, []string{"Cleo", "Anna"})
}

func TestAnAthleteHasOneSeat(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	_, err := s.AddLineup(storetest.Ctx, store.Lineup{Name: "A", ClassCode: "2x", Seats: []store.LineupSeat{{AthleteID: &id}, {AthleteID: &id}}}, storetest.Anna)
	storetest.WantError(t, err, store.ErrInvalid)
	storetest.Must(s.AddLineup(storetest.Ctx, store.Lineup{Name: "A", ClassCode: "4x", Seats: []store.LineupSeat{{AthleteID: &id}, {}, {}}}, storetest.Anna)) // several can be empty
}

func TestALineupThatIsNotThere(t *testing.T) {
	s := storetest.New(t)
	_, err := s.Lineup(storetest.Ctx, 7)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.AddLineup(storetest.Ctx, store.Lineup{Name: "A", ClassCode: "1x", Seats: []store.LineupSeat{{AthleteID: storetest.Ptr(int64(7))}}}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestADeletedLineupLeavesItsSheets(t *testing.T) {
	s := storetest.New(t)
	l := storetest.AddPair(t, s)
	sheet := storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: *l.BoatID, BoatVersion: 1, LineupID: &l.ID}, storetest.Anna))
	storetest.Check(t, s.DeleteLineup(storetest.Ctx, l.ID))
	if storetest.Must(s.Sheet(storetest.Ctx, sheet)).LineupID != nil {
		t.Error("the sheet refers to a line-up that is gone")
	}
}

func TestANoteOfALineup(t *testing.T) {
	s := storetest.New(t)
	edda := storetest.AddNamed(t, s, "Edda")
	id := storetest.Must(s.AddLineup(storetest.Ctx, store.Lineup{Name: "Spring", ClassCode: "1x", Source: "by hand", Seats: []store.LineupSeat{{AthleteID: &edda}}}, storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.SetLineupNote(storetest.Ctx, id, 1, "calm at the start", storetest.Anna)), int64(2))
	l := storetest.Must(s.Lineup(storetest.Ctx, id))
	storetest.WantEqual(t, []any{l.Note, l.Name, len(l.Seats)}, []any{"calm at the start", "Spring", 1})
	_, err := s.SetLineupNote(storetest.Ctx, id, 1, "late", storetest.Anna)
	storetest.WantConflict(t, err, 2)
	_, err = s.SetLineupNote(storetest.Ctx, 99, 1, "nobody", storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
}
