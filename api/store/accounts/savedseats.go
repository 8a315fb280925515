package accounts

import (
	"context"
	"errors"
	"thole/api/store/db"
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

func (k *SavedSeat) columns() []db.Column {
	return []db.Column{
		{"athlete_id", &k.AthleteID}, {"boat_id", &k.BoatID}, {"seat", &k.Seat}, {"name", &k.Name}, {"address", &k.Address},
		{"note", &k.Note}, {"saved_by", &k.SavedBy}, {"saved_at", (*db.Stamp)(&k.SavedAt)},
	}
}

func (k *SavedSeat) stored() []db.Column {
	return append(k.columns(), db.Column{"id", &k.ID}, db.Column{"(" + lastTask("sent_at") + ")", (*db.Stamp)(&k.SentAt)},
		db.Column{"(" + lastTask("done_at") + ")", (*db.Stamp)(&k.DoneAt)}, db.Column{"ifnull((" + lastTask("done_by") + "), '')", &k.DoneBy})
}

// lastTask asks for a column of the newest task of a saved seat.
func lastTask(what string) string {
	return "SELECT " + what + " FROM tasks WHERE saved_seat_id = saved_seats.id ORDER BY id DESC LIMIT 1"
}

// SaveSeat keeps a rig for an athlete and returns the id; the same rig of the
// same athlete is kept once, with the newest name and note. An athlete or boat
// that is not there is ErrNotFound.
func (s *Records) SaveSeat(ctx context.Context, k SavedSeat, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (id int64, err error) {
		if err := t.Exists("athletes", k.AthleteID); err != nil {
			return 0, err
		}
		if k.BoatID != nil {
			if err := t.Exists("boats", *k.BoatID); err != nil {
				return 0, err
			}
		}
		err = t.Scan("UPDATE saved_seats SET name = ?, note = ? WHERE athlete_id = ? AND address = ? RETURNING id", []any{k.Name, k.Note, k.AthleteID, k.Address}, &id)
		if !errors.Is(err, db.ErrNotFound) {
			return id, err
		}
		k.SavedBy, k.SavedAt = by.Signer(t), t.Moment(by.At)
		return t.Insert("saved_seats", k.columns())
	})
}

// SavedSeats lists what was kept for an athlete, newest first.
func (s *Records) SavedSeats(ctx context.Context, athlete int64) ([]SavedSeat, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]SavedSeat, error) {
		if err := t.Exists("athletes", athlete); err != nil {
			return nil, err
		}
		return db.List(t, (*SavedSeat).stored, "saved_seats WHERE athlete_id = ? ORDER BY id DESC", athlete)
	})
}

// SavedSeat returns one that was kept for an athlete.
func (s *Records) SavedSeat(ctx context.Context, athlete, id int64) (SavedSeat, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (SavedSeat, error) { return savedSeat(t, athlete, id) })
}

func savedSeat(t *db.Tx, athlete, id int64) (SavedSeat, error) {
	return db.One(t, (*SavedSeat).stored, "saved_seats WHERE athlete_id = ? AND id = ?", athlete, id)
}

// SendSavedSeat asks the boatman for a rig that was kept, with the fields of the
// task but for who asks. What was asked for already and is open is not asked for
// twice.
func (s *Records) SendSavedSeat(ctx context.Context, athlete, id int64, task Task, by db.By) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		if _, err := savedSeat(t, athlete, id); err != nil {
			return struct{}{}, err
		}
		_, err := addTask(t, task, &id, by)
		return struct{}{}, err
	})
	return err
}

// DeleteSavedSeat removes what was kept, with the task it was sent as.
func (s *Records) DeleteSavedSeat(ctx context.Context, athlete, id int64) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		return struct{}{}, t.Scan("DELETE FROM saved_seats WHERE athlete_id = ? AND id = ? RETURNING id", []any{athlete, id}, &id)
	})
	return err
}
