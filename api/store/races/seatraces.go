package races

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"thole/api/store/db"
	"time"
)

// States of a piece.
const (
	Planned   = "planned"
	Raced     = "raced"
	Abandoned = "abandoned"
)

// SeatRace is one seat race: who takes part, what is planned and what was
// raced.
type SeatRace struct {
	ID, Version int64
	Name        string
	HeldOn      string // YYYY-MM-DD
	DistanceM   float64
	ClassCode   string  // as in package rigging, such as "4-"
	Terms       *string // on which it is planned and judged, as JSON; nil: as usual
	Note        string
	Archived    bool
	Athletes    []SeatRaceAthlete // nil in lists
	Pieces      []Piece           // by number; nil in lists
}

// SeatRaceAthlete is an athlete who takes part.
type SeatRaceAthlete struct {
	AthleteID int64
	Side      string // rowed in the seat race: port, starboard or empty
}

// Piece is one stretch raced side by side.
type Piece struct {
	Number  int    // from 1
	State   string // Planned, Raced or Abandoned
	RerunOf *int   // the piece that this one repeats
	// MarginsOnly says that no clock was read: the times are the margins put on
	// the time expected.
	MarginsOnly bool
	Note        string
	EnteredBy   string    // who entered the result
	EnteredAt   time.Time // zero while it is planned
	Boats       []PieceBoat
}

// PieceBoat is one boat in a piece.
type PieceBoat struct {
	Crew  []int64  // athletes, bow first
	TimeS *float64 // nil: not raced or not finished
}

func (r *SeatRace) columns() []db.Column {
	return []db.Column{
		{"name", &r.Name}, {"held_on", &r.HeldOn}, {"distance_m", &r.DistanceM}, {"class_code", &r.ClassCode}, {"terms", &r.Terms},
		{"note", &r.Note}, {"archived", &r.Archived},
	}
}

func (r *SeatRace) stored() []db.Column {
	return append(r.columns(), db.Column{"id", &r.ID}, db.Column{"version", &r.Version})
}

func (a *SeatRaceAthlete) columns() []db.Column {
	return []db.Column{{"athlete_id", &a.AthleteID}, {"side", &a.Side}}
}

func (p *Piece) columns() []db.Column {
	return []db.Column{
		{"number", &p.Number}, {"state", &p.State}, {"rerun_of", &p.RerunOf}, {"margins_only", &p.MarginsOnly}, {"note", &p.Note},
		{"entered_by", &p.EnteredBy}, {"entered_at", (*db.Stamp)(&p.EnteredAt)},
	}
}

func (r *SeatRace) record() db.Record {
	rec := db.Record{Subject: db.SeatRaceRecord, ID: r.ID, Version: r.Version, Name: r.Name, Columns: r.columns()}
	for i := range r.Athletes {
		a := &r.Athletes[i]
		rec.Details = append(rec.Details, db.Of(db.Part{Field: "side", Athlete: a.AthleteID}, &a.Side))
	}
	for i := range r.Pieces {
		rec.Details = append(rec.Details, r.Pieces[i].details()...)
	}
	return rec
}

func (p *Piece) details() []db.Detail {
	of := func(field string, value any) db.Detail {
		return db.Of(db.Part{Field: field, Piece: p.Number}, value)
	}
	details := []db.Detail{of("state", &p.State), of("rerun_of", &p.RerunOf), of("margins_only", &p.MarginsOnly), of("note", &p.Note)}
	for i := range p.Boats {
		b := &p.Boats[i]
		crew := strings.Trim(fmt.Sprint(b.Crew), "[]")
		part := db.Part{Field: "crew", Piece: p.Number, PieceBoat: i + 1}
		details = append(details, db.Of(part, &crew))
		part.Field = "time_s"
		details = append(details, db.Of(part, &b.TimeS))
	}
	return details
}

// addSeatRace puts a seat race with athletes and pieces on record and returns the id.
// An athlete in a crew who does not take part is ErrNotFound, one in two seats
// of a piece ErrInvalid.
func addSeatRace(t *db.Tx, r *SeatRace, by db.By) (int64, error) {
	id, err := t.Create(r.record(), by)
	if err != nil {
		return 0, err
	}
	r.ID = id
	return id, addToSeatRace(t, r)
}

// addToSeatRace writes the rows that belong to a seat race.
func addToSeatRace(t *db.Tx, r *SeatRace) error {
	for i := range r.Athletes {
		if _, err := t.Insert("seat_race_athletes", append(r.Athletes[i].columns(), db.Column{"seat_race_id", &r.ID})); err != nil {
			return err
		}
	}
	for i := range r.Pieces {
		if err := addPiece(t, r.ID, &r.Pieces[i]); err != nil {
			return err
		}
	}
	return nil
}

func addPiece(t *db.Tx, seatRaceID int64, p *Piece) error {
	if _, err := t.Insert("seat_race_pieces", append(p.columns(), db.Column{"seat_race_id", &seatRaceID})); err != nil {
		return err
	}
	for i, b := range p.Boats {
		boat := i + 1
		key := []db.Column{{"seat_race_id", &seatRaceID}, {"piece", &p.Number}, {"boat", &boat}}
		if _, err := t.Insert("seat_race_boats", append(key, db.Column{"time_s", &b.TimeS})); err != nil {
			return err
		}
		for j, athlete := range b.Crew {
			seat := j + 1
			if _, err := t.Insert("seat_race_seats", append(key, db.Column{"seat", &seat}, db.Column{"athlete_id", &athlete})); err != nil {
				return err
			}
		}
	}
	return nil
}

// updateSeatRace writes a seat race read at r.Version with its athletes and pieces and
// returns the new version.
func updateSeatRace(t *db.Tx, r *SeatRace, by db.By) (int64, error) {
	old, err := seatRace(t, r.ID)
	if err != nil {
		return 0, err
	}
	return rewriteSeatRace(t, &old, r, by)
}

func rewriteSeatRace(t *db.Tx, old, next *SeatRace, by db.By) (int64, error) {
	version, err := t.Revise(old.record(), next.record(), by)
	if err != nil || version == old.Version {
		return version, err
	}
	for _, table := range []string{"seat_race_pieces", "seat_race_athletes"} {
		if err := t.Exec("DELETE FROM "+table+" WHERE seat_race_id = ?", next.ID); err != nil {
			return 0, err
		}
	}
	return version, addToSeatRace(t, next)
}

// SeatRace returns one seat race.
func (s *Records) SeatRace(ctx context.Context, id int64) (SeatRace, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (SeatRace, error) { return seatRace(t, id) })
}

func seatRace(t *db.Tx, id int64) (SeatRace, error) {
	r, err := db.One(t, (*SeatRace).stored, "seat_races WHERE id = ?", id)
	if err != nil {
		return SeatRace{}, err
	}
	r.Athletes, err = db.List(t, (*SeatRaceAthlete).columns, "seat_race_athletes WHERE seat_race_id = ? ORDER BY athlete_id", id)
	if err != nil {
		return SeatRace{}, err
	}
	r.Pieces, err = db.List(t, (*Piece).columns, "seat_race_pieces WHERE seat_race_id = ? ORDER BY number", id)
	if err != nil {
		return SeatRace{}, err
	}
	return r, loadPieceBoats(t, &r)
}

// loadPieceBoats reads the boats of all pieces in two queries.
func loadPieceBoats(t *db.Tx, r *SeatRace) error {
	type row struct {
		piece, boat int
		athlete     int64
		time        *float64
	}
	key := func(w *row) []db.Column { return []db.Column{{"piece", &w.piece}, {"boat", &w.boat}} }
	boats, err := db.List(t, func(w *row) []db.Column { return append(key(w), db.Column{"time_s", &w.time}) },
		"seat_race_boats WHERE seat_race_id = ? ORDER BY piece, boat", r.ID)
	if err != nil {
		return err
	}
	for _, w := range boats {
		p := r.piece(w.piece)
		p.Boats = append(p.Boats, PieceBoat{TimeS: w.time})
	}
	seats, err := db.List(t, func(w *row) []db.Column { return append(key(w), db.Column{"athlete_id", &w.athlete}) },
		"seat_race_seats WHERE seat_race_id = ? ORDER BY piece, boat, seat", r.ID)
	for _, w := range seats {
		b := &r.piece(w.piece).Boats[w.boat-1]
		b.Crew = append(b.Crew, w.athlete)
	}
	return err
}

// piece returns the piece with the number, nil when there is none.
func (r *SeatRace) piece(number int) *Piece {
	for i := range r.Pieces {
		if r.Pieces[i].Number == number {
			return &r.Pieces[i]
		}
	}
	return nil
}

// SeatRaces lists seat races without athletes and pieces, the latest first.
func (s *Records) SeatRaces(ctx context.Context, f db.Filter) ([]SeatRace, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]SeatRace, error) {
		return db.Page(t, (*SeatRace).stored, "seat_races"+db.Picked+" ORDER BY held_on DESC, id DESC", f.Args()...)
	})
}

// PieceEntry is the result of one piece as it is sent in.
type PieceEntry struct {
	Piece // EnteredBy and EnteredAt are filled from By
	// Key names this entry. The sender chooses it, one an entry, and sends it
	// again with every attempt.
	Key string
	// Version is 0 for a first result. To set right a piece that has a result
	// it is the version of the seat race that was looked at.
	Version int64
}

// RecordPiece enters the result of a piece, planned or not, and returns the
// seat race's new version. The same key counts once, however often it comes; with
// other content it is ErrKeyReused. First results of different pieces do not
// stand in each other's way; a piece that already has a result is refused with
// an ErrConflict unless the entry carries the seat race's version.
func (s *Records) RecordPiece(ctx context.Context, seatRaceID int64, e PieceEntry, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		old, err := seatRace(t, seatRaceID)
		if err != nil {
			return 0, err
		}
		known, err := knownEntry(t, seatRaceID, &e)
		if err != nil || known {
			return old.Version, err
		}
		if err := checkEntry(t, &old, &e); err != nil {
			return 0, err
		}
		e.EnteredBy, e.EnteredAt = by.Signer(t), t.Moment(by.At)
		next := old.with(e.Piece)
		return rewriteSeatRace(t, &old, &next, by)
	})
}

// knownEntry reports whether the entry came before, and keeps it if not.
func knownEntry(t *db.Tx, seatRaceID int64, e *PieceEntry) (bool, error) {
	content := *e
	content.EnteredBy, content.EnteredAt = "", time.Time{}
	sent, err := json.Marshal(content)
	if err != nil {
		return false, db.Refuse("%v", err)
	}
	var kept string
	err = t.Scan("SELECT content FROM seat_race_entries WHERE seat_race_id = ? AND client_key = ?", []any{seatRaceID, e.Key}, &kept)
	switch {
	case errors.Is(err, db.ErrNotFound):
		return false, t.Exec("INSERT INTO seat_race_entries (seat_race_id, client_key, content) VALUES (?, ?, ?)", seatRaceID, e.Key, string(sent))
	case err != nil:
		return false, err
	case !sameEntry(kept, string(sent)):
		return false, db.ErrKeyReused
	}
	return true, nil
}

// sameEntry reports whether what was kept says the same as what was sent. An
// older version of the program wrote fewer fields, which count as empty.
func sameEntry(kept, sent string) bool {
	var e PieceEntry
	if json.Unmarshal([]byte(kept), &e) != nil {
		return kept == sent
	}
	again, err := json.Marshal(e)
	return err == nil && string(again) == sent
}

// checkEntry refuses to overwrite a result unseen.
func checkEntry(t *db.Tx, r *SeatRace, e *PieceEntry) error {
	there := r.piece(e.Number)
	if e.Version == r.Version || e.Version == 0 && (there == nil || there.State == Planned) {
		return nil
	}
	err := t.Conflict(db.SeatRaceRecord, r.ID, e.Version, r.Version)
	var conflict *db.ErrConflict
	if e.Version == 0 && errors.As(err, &conflict) {
		conflict.Changes = slices.DeleteFunc(conflict.Changes, func(c db.Change) bool { return c.Piece != there.Number })
	}
	return err
}

// with returns the seat race with a piece put in or replaced.
func (r *SeatRace) with(p Piece) SeatRace {
	next := *r
	next.Pieces = slices.Clone(r.Pieces)
	if there := next.piece(p.Number); there != nil {
		*there = p
	} else {
		next.Pieces = append(next.Pieces, p)
	}
	return next
}
