package accounts_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

// TestASavedSeatIsKeptOnceAndGoesWithItsAthlete: saved again it takes the newest
// name, its task tells what became of it, and both go with the athlete.
func TestASavedSeatIsKeptOnceAndGoesWithItsAthlete(t *testing.T) {
	s := storetest.New(t)
	edda, frieda := storetest.AddNamed(t, s, "Edda"), storetest.AddNamed(t, s, "Frieda")
	kept := store.SavedSeat{AthleteID: edda, Name: "Double", Address: "/seat?class=2x", Note: "soon"}
	id := storetest.Must(s.SaveSeat(storetest.Ctx, kept, store.By{Name: "edda", At: storetest.Noon}))
	kept.Name = "The double"
	storetest.WantEqual(t, storetest.Must(s.SaveSeat(storetest.Ctx, kept, store.By{Name: "Anna", At: storetest.Noon.Add(time.Hour)})), id)
	kept.ID, kept.SavedBy, kept.SavedAt = id, "edda", storetest.Noon
	storetest.WantEqual(t, storetest.Must(s.SavedSeats(storetest.Ctx, edda)), []store.SavedSeat{kept})
	for _, wrong := range []store.SavedSeat{{AthleteID: 99, Name: "x", Address: "/seat"}, {AthleteID: edda, BoatID: storetest.Ptr(int64(99)), Seat: 1, Name: "x", Address: "/seat"}} {
		_, err := s.SaveSeat(storetest.Ctx, wrong, store.By{Name: "edda"})
		storetest.WantError(t, err, store.ErrNotFound)
	}
	_, err := s.SavedSeat(storetest.Ctx, frieda, id)
	storetest.WantError(t, err, store.ErrNotFound)
	storetest.WantError(t, s.SendSavedSeat(storetest.Ctx, frieda, id, store.Task{}, store.By{Name: "frieda"}), store.ErrNotFound)
	storetest.WantError(t, s.DeleteSavedSeat(storetest.Ctx, frieda, id), store.ErrNotFound)

	task := store.Task{What: "Edda: the double", Address: "/athletes/1/seats/1", Note: "soon"}
	for range 2 {
		storetest.Check(t, s.SendSavedSeat(storetest.Ctx, edda, id, task, store.By{Name: "edda", At: storetest.Noon}))
	}
	todo, _, err := s.Tasks(storetest.Ctx)
	storetest.Check(t, err)
	storetest.WantEqual(t, len(todo), 1)
	storetest.Check(t, s.FinishTask(storetest.Ctx, todo[0].ID, store.By{Name: "Bert", At: storetest.Noon.Add(2 * time.Hour)}))
	kept.SentAt, kept.DoneAt, kept.DoneBy = storetest.Noon, storetest.Noon.Add(2*time.Hour), "Bert"
	storetest.WantEqual(t, storetest.Must(s.SavedSeat(storetest.Ctx, edda, id)), kept)

	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, edda))
	open, done, err := s.Tasks(storetest.Ctx)
	storetest.Check(t, err)
	storetest.WantEqual(t, len(open)+len(done), 0)
	_, err = s.SavedSeats(storetest.Ctx, edda)
	storetest.WantError(t, err, store.ErrNotFound)
}
