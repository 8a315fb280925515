package store

import (
	"context"
	"errors"
	"time"
)

// SavedSeat is a rig of one seat that was kept for an athlete.
type SavedSeat struct {
	ID        int64
	AthleteID int64
	BoatID    *int64 // nil where it is of no boat on record
	Seat      int    // 1 is bow; 0 without a boat
	Name      string
	Address   string // path and query of the page that shows it
	Note      string
	SavedBy   string
	SavedAt   time.Time
	// SentAt is when the boatman was asked for it last, DoneAt when that was done,
	// by DoneBy; zero before.
	SentAt, DoneAt time.Time
	DoneBy         string
}

func (k *SavedSeat) columns() []column {
	return []column{
		{"athlete_id", &k.AthleteID}, {"boat_id", &k.BoatID}, {"seat", &k.Seat}, {"name", &k.Name}, {"address", &k.Address},
		{"note", &k.Note}, {"saved_by", &k.SavedBy}, {"saved_at", (*stamp)(&k.SavedAt)},
	}
}

func (k *SavedSeat) stored() []column {
	return append(k.columns(), column{"id", &k.ID}, column{"(" + lastTask("sent_at") + ")", (*stamp)(&k.SentAt)},
		column{"(" + lastTask("done_at") + ")", (*stamp)(&k.DoneAt)}, column{"ifnull((" + lastTask("done_by") + "), '')", &k.DoneBy})
}

// lastTask asks for a column of the newest task of a saved seat.
func lastTask(what string) string {
	return "SELECT " + what + " FROM tasks WHERE saved_seat_id = saved_seats.id ORDER BY id DESC LIMIT 1"
}

// SaveSeat keeps a rig for an athlete and returns the id; the same rig of the
// same athlete is kept once, with the newest name and note. An athlete or boat
// that is not there is ErrNotFound.
func (s *Store) SaveSeat(ctx context.Context, k SavedSeat, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (id int64, err error) {
		if err := t.exists("athletes", k.AthleteID); err != nil {
			return 0, err
		}
		if k.BoatID != nil {
			if err := t.exists("boats", *k.BoatID); err != nil {
				return 0, err
			}
		}
		err = t.scan("UPDATE saved_seats SET name = ?, note = ? WHERE athlete_id = ? AND address = ? RETURNING id", []any{k.Name, k.Note, k.AthleteID, k.Address}, &id)
		if !errors.Is(err, ErrNotFound) {
			return id, err
		}
		k.SavedBy, k.SavedAt = by.name(t), t.moment(by.At)
		return t.insert("saved_seats", k.columns())
	})
}

// SavedSeats lists what was kept for an athlete, newest first.
func (s *Store) SavedSeats(ctx context.Context, athlete int64) ([]SavedSeat, error) {
	return read(ctx, s, func(t *tx) ([]SavedSeat, error) {
		if err := t.exists("athletes", athlete); err != nil {
			return nil, err
		}
		return list(t, (*SavedSeat).stored, "saved_seats WHERE athlete_id = ? ORDER BY id DESC", athlete)
	})
}

// SavedSeat returns one that was kept for an athlete.
func (s *Store) SavedSeat(ctx context.Context, athlete, id int64) (SavedSeat, error) {
	return read(ctx, s, func(t *tx) (SavedSeat, error) { return t.savedSeat(athlete, id) })
}

func (t *tx) savedSeat(athlete, id int64) (SavedSeat, error) {
	return one(t, (*SavedSeat).stored, "saved_seats WHERE athlete_id = ? AND id = ?", athlete, id)
}

// SendSavedSeat asks the boatman for a rig that was kept, with the fields of the
// task but for who asks. What was asked for already and is open is not asked for
// twice.
func (s *Store) SendSavedSeat(ctx context.Context, athlete, id int64, task Task, by By) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) {
		if _, err := t.savedSeat(athlete, id); err != nil {
			return struct{}{}, err
		}
		_, err := t.addTask(task, &id, by)
		return struct{}{}, err
	})
	return err
}

// DeleteSavedSeat removes what was kept, with the task it was sent as.
func (s *Store) DeleteSavedSeat(ctx context.Context, athlete, id int64) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) {
		return struct{}{}, t.scan("DELETE FROM saved_seats WHERE athlete_id = ? AND id = ? RETURNING id", []any{athlete, id}, &id)
	})
	return err
}
