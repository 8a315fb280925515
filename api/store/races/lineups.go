package store

import (
	"context"
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

func (l *Lineup) columns() []column {
	return []column{
		{"name", &l.Name}, {"class_code", &l.ClassCode}, {"boat_id", &l.BoatID}, {"cox_mass_kg", &l.CoxMassKg},
		{"rows_on", &l.RowsOn}, {"source", &l.Source}, {"note", &l.Note}, {"archived", &l.Archived},
	}
}

func (l *Lineup) stored() []column {
	return append(l.columns(), column{"id", &l.ID}, column{"version", &l.Version}, column{"saved_by", &l.SavedBy}, column{"saved_at", (*stamp)(&l.SavedAt)})
}

// signedLineups shows line-ups with the author and the moment of their last
// edit; the edits of one version are of one author and moment.
const signedLineups = "(SELECT lineups.*, " +
	"(SELECT by FROM edits WHERE lineup_id = lineups.id ORDER BY version DESC LIMIT 1) AS saved_by, " +
	"(SELECT at FROM edits WHERE lineup_id = lineups.id ORDER BY version DESC LIMIT 1) AS saved_at FROM lineups)"

func (l *Lineup) record() record {
	r := record{subject: LineupRecord, id: l.ID, version: l.Version, name: l.Name, columns: l.columns()}
	for i := range l.Seats {
		r.details = append(r.details, detail{Part{Field: "athlete_id", Seat: i + 1}, &l.Seats[i].AthleteID}, detail{Part{Field: "side", Seat: i + 1}, &l.Seats[i].Side})
	}
	return r
}

// AddLineup puts a line-up on record and returns the id. An athlete in two
// seats is ErrInvalid.
func (s *Store) AddLineup(ctx context.Context, l Lineup, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		id, err := t.create(l.record(), by)
		if err != nil {
			return 0, err
		}
		return id, t.addLineupSeats(id, l.Seats)
	})
}

func (s *LineupSeat) columns() []column {
	return []column{{"athlete_id", &s.AthleteID}, {"side", &s.Side}}
}

func (t *tx) addLineupSeats(lineupID int64, seats []LineupSeat) error {
	for i, seat := range seats {
		number := i + 1
		if _, err := t.insert("lineup_seats", append(seat.columns(), column{"lineup_id", &lineupID}, column{"number", &number})); err != nil {
			return err
		}
	}
	return nil
}

// Lineup returns one line-up.
func (s *Store) Lineup(ctx context.Context, id int64) (Lineup, error) {
	return read(ctx, s, func(t *tx) (Lineup, error) { return t.lineup(id) })
}

func (t *tx) lineup(id int64) (Lineup, error) {
	l, err := one(t, (*Lineup).stored, signedLineups+" WHERE id = ?", id)
	if err != nil {
		return Lineup{}, err
	}
	l.Seats, err = list(t, (*LineupSeat).columns, "lineup_seats WHERE lineup_id = ? ORDER BY number", id)
	return l, err
}

// Lineups lists line-ups by name, without their seats.
func (s *Store) Lineups(ctx context.Context, f Filter) ([]Lineup, error) {
	return read(ctx, s, func(t *tx) ([]Lineup, error) {
		return list(t, (*Lineup).stored, signedLineups+filtered, f.args()...)
	})
}

// SetLineupNote writes the note of a line-up read at a version and returns the
// version now. Errors: ErrNotFound, and ErrConflict where it has moved on.
func (s *Store) SetLineupNote(ctx context.Context, id, version int64, note string, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		old, err := t.lineup(id)
		if err != nil {
			return 0, err
		}
		next := old
		next.Version, next.Note = version, note
		return t.revise(old.record(), next.record(), by)
	})
}

// DeleteLineup removes a line-up. Work sheets made for it stay.
func (s *Store) DeleteLineup(ctx context.Context, id int64) error {
	return eraseQuietly(ctx, s, "lineups", id)
}
