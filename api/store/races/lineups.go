package races

import (
	"context"
	"thole/api/store/db"
	"time"
)

// Lineup is a crew in its seats. Names may repeat: crews are named by the
// boat and the day.
type Lineup struct {
	ID, Version int64
	Name        string
	ClassCode   string // as in package rigging, such as "4+"
	BoatID      *int64
	CoxMassKg   *float64
	RowsOn      *string // YYYY-MM-DD
	Source      string  // how the seats were chosen, such as "by hand"
	Note        string
	Archived    bool
	Seats       []LineupSeat // bow first
	SavedBy     string       // who wrote it as it stands, as Changes tells; ignored in writing
	SavedAt     time.Time    // the same: when
}

// LineupSeat is one seat of a line-up, numbered by its place in the list.
type LineupSeat struct {
	AthleteID *int64 // nil: the seat is empty
	Side      string // port, starboard or empty
}

func (l *Lineup) columns() []db.Column {
	return []db.Column{
		{"name", &l.Name}, {"class_code", &l.ClassCode}, {"boat_id", &l.BoatID}, {"cox_mass_kg", &l.CoxMassKg},
		{"rows_on", &l.RowsOn}, {"source", &l.Source}, {"note", &l.Note}, {"archived", &l.Archived},
	}
}

func (l *Lineup) stored() []db.Column {
	return append(l.columns(), db.Column{"id", &l.ID}, db.Column{"version", &l.Version}, db.Column{"saved_by", &l.SavedBy}, db.Column{"saved_at", (*db.Stamp)(&l.SavedAt)})
}

// signedLineups shows line-ups with the author and the moment of their last
// edit; the edits of one version are of one author and moment.
const signedLineups = "(SELECT lineups.*, " +
	"(SELECT by FROM edits WHERE lineup_id = lineups.id ORDER BY version DESC LIMIT 1) AS saved_by, " +
	"(SELECT at FROM edits WHERE lineup_id = lineups.id ORDER BY version DESC LIMIT 1) AS saved_at FROM lineups)"

// record leaves the seats out: the crew of a line-up does not change.
func (l *Lineup) record() db.Record {
	return db.Record{Subject: db.LineupRecord, ID: l.ID, Version: l.Version, Name: l.Name, Columns: l.columns()}
}

// AddLineup puts a line-up on record and returns the id. An athlete in two
// seats is ErrInvalid.
func (s *Records) AddLineup(ctx context.Context, l Lineup, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		id, err := t.Create(l.record(), by)
		if err != nil {
			return 0, err
		}
		return id, addLineupSeats(t, id, l.Seats)
	})
}

func (s *LineupSeat) columns() []db.Column {
	return []db.Column{{"athlete_id", &s.AthleteID}, {"side", &s.Side}}
}

func addLineupSeats(t *db.Tx, lineupID int64, seats []LineupSeat) error {
	for i, seat := range seats {
		number := i + 1
		if _, err := t.Insert("lineup_seats", append(seat.columns(), db.Column{"lineup_id", &lineupID}, db.Column{"number", &number})); err != nil {
			return err
		}
	}
	return nil
}

// Lineup returns one line-up.
func (s *Records) Lineup(ctx context.Context, id int64) (Lineup, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Lineup, error) { return lineup(t, id) })
}

func lineup(t *db.Tx, id int64) (Lineup, error) {
	l, err := db.One(t, (*Lineup).stored, signedLineups+" WHERE id = ?", id)
	if err != nil {
		return Lineup{}, err
	}
	l.Seats, err = db.List(t, (*LineupSeat).columns, "lineup_seats WHERE lineup_id = ? ORDER BY number", id)
	return l, err
}

// Lineups lists line-ups by name, without their seats.
func (s *Records) Lineups(ctx context.Context, f db.Filter) ([]Lineup, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Lineup, error) {
		return db.Page(t, (*Lineup).stored, signedLineups+db.Filtered, f.Args()...)
	})
}

// SetLineupNote writes the note of a line-up read at a version and returns the
// version now. Errors: ErrNotFound, and ErrConflict where it has moved on.
func (s *Records) SetLineupNote(ctx context.Context, id, version int64, note string, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		old, err := lineup(t, id)
		if err != nil {
			return 0, err
		}
		next := old
		next.Version, next.Note = version, note
		return t.Revise(old.record(), next.record(), by)
	})
}

// DeleteLineup removes a line-up. Work sheets made for it stay.
func (s *Records) DeleteLineup(ctx context.Context, id int64) error {
	return db.EraseQuietly(ctx, s.file, "lineups", id)
}
