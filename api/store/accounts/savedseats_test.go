package store

import (
	"testing"
	"time"
)

// TestASavedSeatIsKeptOnceAndGoesWithItsAthlete: saved again it takes the newest
// name, its task tells what became of it, and both go with the athlete.
func TestASavedSeatIsKeptOnceAndGoesWithItsAthlete(t *testing.T) {
	s := open(t)
	edda, frieda := addNamed(t, s, "Edda"), addNamed(t, s, "Frieda")
	kept := SavedSeat{AthleteID: edda, Name: "Double", Address: "/seat?class=2x", Note: "soon"}
	id := must(s.SaveSeat(ctx, kept, By{Name: "edda", At: noon}))
	kept.Name = "The double"
	wantEqual(t, must(s.SaveSeat(ctx, kept, By{Name: "Anna", At: noon.Add(time.Hour)})), id)
	kept.ID, kept.SavedBy, kept.SavedAt = id, "edda", noon
	wantEqual(t, must(s.SavedSeats(ctx, edda)), []SavedSeat{kept})
	for _, wrong := range []SavedSeat{{AthleteID: 99, Name: "x", Address: "/seat"}, {AthleteID: edda, BoatID: ptr(int64(99)), Seat: 1, Name: "x", Address: "/seat"}} {
		_, err := s.SaveSeat(ctx, wrong, By{Name: "edda"})
		wantError(t, err, ErrNotFound)
	}
	_, err := s.SavedSeat(ctx, frieda, id)
	wantError(t, err, ErrNotFound)
	wantError(t, s.SendSavedSeat(ctx, frieda, id, Task{}, By{Name: "frieda"}), ErrNotFound)
	wantError(t, s.DeleteSavedSeat(ctx, frieda, id), ErrNotFound)

	task := Task{What: "Edda: the double", Address: "/athletes/1/seats/1", Note: "soon"}
	for range 2 {
		check(t, s.SendSavedSeat(ctx, edda, id, task, By{Name: "edda", At: noon}))
	}
	todo, _, err := s.Tasks(ctx)
	check(t, err)
	wantEqual(t, len(todo), 1)
	check(t, s.FinishTask(ctx, todo[0].ID, By{Name: "Bert", At: noon.Add(2 * time.Hour)}))
	kept.SentAt, kept.DoneAt, kept.DoneBy = noon, noon.Add(2*time.Hour), "Bert"
	wantEqual(t, must(s.SavedSeat(ctx, edda, id)), kept)

	check(t, s.DeleteAthlete(ctx, edda))
	open, done, err := s.Tasks(ctx)
	check(t, err)
	wantEqual(t, len(open)+len(done), 0)
	_, err = s.SavedSeats(ctx, edda)
	wantError(t, err, ErrNotFound)
}
