package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
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

func (r *SeatRace) columns() []column {
	return []column{
		{"name", &r.Name}, {"held_on", &r.HeldOn}, {"distance_m", &r.DistanceM}, {"class_code", &r.ClassCode}, {"terms", &r.Terms},
		{"note", &r.Note}, {"archived", &r.Archived},
	}
}

func (r *SeatRace) stored() []column {
	return append(r.columns(), column{"id", &r.ID}, column{"version", &r.Version})
}

func (a *SeatRaceAthlete) columns() []column {
	return []column{{"athlete_id", &a.AthleteID}, {"side", &a.Side}}
}

func (p *Piece) columns() []column {
	return []column{
		{"number", &p.Number}, {"state", &p.State}, {"rerun_of", &p.RerunOf}, {"margins_only", &p.MarginsOnly}, {"note", &p.Note},
		{"entered_by", &p.EnteredBy}, {"entered_at", (*stamp)(&p.EnteredAt)},
	}
}

func (r *SeatRace) record() record {
	rec := record{subject: SeatRaceRecord, id: r.ID, version: r.Version, name: r.Name, columns: r.columns()}
	for i := range r.Athletes {
		a := &r.Athletes[i]
		rec.details = append(rec.details, detail{Part{Field: "side", Athlete: a.AthleteID}, &a.Side})
	}
	for i := range r.Pieces {
		rec.details = append(rec.details, r.Pieces[i].details()...)
	}
	return rec
}

func (p *Piece) details() []detail {
	of := func(field string, value any) detail { return detail{Part{Field: field, Piece: p.Number}, value} }
	details := []detail{of("state", &p.State), of("rerun_of", &p.RerunOf), of("margins_only", &p.MarginsOnly), of("note", &p.Note)}
	for i := range p.Boats {
		b := &p.Boats[i]
		crew := strings.Trim(fmt.Sprint(b.Crew), "[]")
		part := Part{Field: "crew", Piece: p.Number, PieceBoat: i + 1}
		details = append(details, detail{part, &crew})
		part.Field = "time_s"
		details = append(details, detail{part, &b.TimeS})
	}
	return details
}

// AddSeatRace puts a seat race with athletes and pieces on record and returns the id.
// An athlete in a crew who does not take part is ErrNotFound, one in two seats
// of a piece ErrInvalid.
func (s *Store) AddSeatRace(ctx context.Context, r SeatRace, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) { return t.addSeatRace(&r, by) })
}

func (t *tx) addSeatRace(r *SeatRace, by By) (int64, error) {
	id, err := t.create(r.record(), by)
	if err != nil {
		return 0, err
	}
	r.ID = id
	return id, t.addToSeatRace(r)
}

// addToSeatRace writes the rows that belong to a seat race.
func (t *tx) addToSeatRace(r *SeatRace) error {
	for i := range r.Athletes {
		if _, err := t.insert("seat_race_athletes", append(r.Athletes[i].columns(), column{"seat_race_id", &r.ID})); err != nil {
			return err
		}
	}
	for i := range r.Pieces {
		if err := t.addPiece(r.ID, &r.Pieces[i]); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) addPiece(seatRaceID int64, p *Piece) error {
	if _, err := t.insert("seat_race_pieces", append(p.columns(), column{"seat_race_id", &seatRaceID})); err != nil {
		return err
	}
	for i, b := range p.Boats {
		boat := i + 1
		key := []column{{"seat_race_id", &seatRaceID}, {"piece", &p.Number}, {"boat", &boat}}
		if _, err := t.insert("seat_race_boats", append(key, column{"time_s", &b.TimeS})); err != nil {
			return err
		}
		for j, athlete := range b.Crew {
			seat := j + 1
			if _, err := t.insert("seat_race_seats", append(key, column{"seat", &seat}, column{"athlete_id", &athlete})); err != nil {
				return err
			}
		}
	}
	return nil
}

// UpdateSeatRace writes a seat race read at r.Version with its athletes and pieces and
// returns the new version.
func (s *Store) UpdateSeatRace(ctx context.Context, r SeatRace, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) { return t.updateSeatRace(&r, by) })
}

func (t *tx) updateSeatRace(r *SeatRace, by By) (int64, error) {
	old, err := t.seatRace(r.ID)
	if err != nil {
		return 0, err
	}
	return t.rewriteSeatRace(&old, r, by)
}

func (t *tx) rewriteSeatRace(old, next *SeatRace, by By) (int64, error) {
	version, err := t.revise(old.record(), next.record(), by)
	if err != nil || version == old.Version {
		return version, err
	}
	for _, table := range []string{"seat_race_pieces", "seat_race_athletes"} {
		if err := t.exec("DELETE FROM "+table+" WHERE seat_race_id = ?", next.ID); err != nil {
			return 0, err
		}
	}
	return version, t.addToSeatRace(next)
}

// SeatRace returns one seat race.
func (s *Store) SeatRace(ctx context.Context, id int64) (SeatRace, error) {
	return read(ctx, s, func(t *tx) (SeatRace, error) { return t.seatRace(id) })
}

func (t *tx) seatRace(id int64) (SeatRace, error) {
	r, err := one(t, (*SeatRace).stored, "seat_races WHERE id = ?", id)
	if err != nil {
		return SeatRace{}, err
	}
	r.Athletes, err = list(t, (*SeatRaceAthlete).columns, "seat_race_athletes WHERE seat_race_id = ? ORDER BY athlete_id", id)
	if err != nil {
		return SeatRace{}, err
	}
	r.Pieces, err = list(t, (*Piece).columns, "seat_race_pieces WHERE seat_race_id = ? ORDER BY number", id)
	if err != nil {
		return SeatRace{}, err
	}
	return r, t.loadPieceBoats(&r)
}

// loadPieceBoats reads the boats of all pieces in two queries.
func (t *tx) loadPieceBoats(r *SeatRace) error {
	type row struct {
		piece, boat int
		athlete     int64
		time        *float64
	}
	key := func(w *row) []column { return []column{{"piece", &w.piece}, {"boat", &w.boat}} }
	boats, err := list(t, func(w *row) []column { return append(key(w), column{"time_s", &w.time}) },
		"seat_race_boats WHERE seat_race_id = ? ORDER BY piece, boat", r.ID)
	if err != nil {
		return err
	}
	for _, w := range boats {
		p := r.piece(w.piece)
		p.Boats = append(p.Boats, PieceBoat{TimeS: w.time})
	}
	seats, err := list(t, func(w *row) []column { return append(key(w), column{"athlete_id", &w.athlete}) },
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

// SeatRaces lists seat races by name, without athletes and pieces.
func (s *Store) SeatRaces(ctx context.Context, f Filter) ([]SeatRace, error) {
	return read(ctx, s, func(t *tx) ([]SeatRace, error) {
		return list(t, (*SeatRace).stored, "seat_races"+filtered, f.args()...)
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
func (s *Store) RecordPiece(ctx context.Context, seatRaceID int64, e PieceEntry, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		old, err := t.seatRace(seatRaceID)
		if err != nil {
			return 0, err
		}
		known, err := t.knownEntry(seatRaceID, &e)
		if err != nil || known {
			return old.Version, err
		}
		if err := t.checkEntry(&old, &e); err != nil {
			return 0, err
		}
		e.EnteredBy, e.EnteredAt = by.name(t), t.moment(by.At)
		next := old.with(e.Piece)
		return t.rewriteSeatRace(&old, &next, by)
	})
}

// knownEntry reports whether the entry came before, and keeps it if not.
func (t *tx) knownEntry(seatRaceID int64, e *PieceEntry) (bool, error) {
	content := *e
	content.EnteredBy, content.EnteredAt = "", time.Time{}
	sent, err := json.Marshal(content)
	if err != nil {
		return false, refuse("%v", err)
	}
	var kept string
	err = t.scan("SELECT content FROM seat_race_entries WHERE seat_race_id = ? AND client_key = ?", []any{seatRaceID, e.Key}, &kept)
	switch {
	case errors.Is(err, ErrNotFound):
		return false, t.exec("INSERT INTO seat_race_entries (seat_race_id, client_key, content) VALUES (?, ?, ?)", seatRaceID, e.Key, string(sent))
	case err != nil:
		return false, err
	case !sameEntry(kept, string(sent)):
		return false, ErrKeyReused
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
func (t *tx) checkEntry(r *SeatRace, e *PieceEntry) error {
	there := r.piece(e.Number)
	if e.Version == r.Version || e.Version == 0 && (there == nil || there.State == Planned) {
		return nil
	}
	err := t.conflict(SeatRaceRecord, r.ID, e.Version, r.Version)
	var conflict *ErrConflict
	if e.Version == 0 && errors.As(err, &conflict) {
		conflict.Changes = slices.DeleteFunc(conflict.Changes, func(c Change) bool { return c.Piece != there.Number })
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
