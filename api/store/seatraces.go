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

// Trial is one seat-race trial: who takes part, what is planned and what was
// raced.
type Trial struct {
	ID, Version int64
	Name        string
	HeldOn      string // YYYY-MM-DD
	DistanceM   float64
	ClassCode   string  // as in package rigging, such as "4-"
	Prior       *string // what is held of the athletes before they race, as JSON
	Note        string
	Archived    bool
	Athletes    []TrialAthlete // nil in lists
	Pieces      []Piece        // by number; nil in lists
}

// TrialAthlete is an athlete who takes part.
type TrialAthlete struct {
	AthleteID int64
	Side      string // rowed in the trial: port, starboard or empty
}

// Piece is one stretch raced side by side.
type Piece struct {
	Number    int    // from 1
	State     string // Planned, Raced or Abandoned
	RerunOf   *int   // the piece that this one repeats
	Note      string
	EnteredBy string    // who entered the result
	EnteredAt time.Time // zero while it is planned
	Boats     []PieceBoat
}

// PieceBoat is one boat in a piece.
type PieceBoat struct {
	Crew  []int64  // athletes, bow first
	TimeS *float64 // nil: not raced or not finished
}

func (r *Trial) columns() []column {
	return []column{
		{"name", &r.Name}, {"held_on", &r.HeldOn}, {"distance_m", &r.DistanceM}, {"class_code", &r.ClassCode}, {"prior", &r.Prior},
		{"note", &r.Note}, {"archived", &r.Archived},
	}
}

func (r *Trial) stored() []column {
	return append(r.columns(), column{"id", &r.ID}, column{"version", &r.Version})
}

func (a *TrialAthlete) columns() []column {
	return []column{{"athlete_id", &a.AthleteID}, {"side", &a.Side}}
}

func (p *Piece) columns() []column {
	return []column{
		{"number", &p.Number}, {"state", &p.State}, {"rerun_of", &p.RerunOf}, {"note", &p.Note},
		{"entered_by", &p.EnteredBy}, {"entered_at", (*stamp)(&p.EnteredAt)},
	}
}

func (r *Trial) record() record {
	rec := record{subject: TrialRecord, id: r.ID, version: r.Version, name: r.Name, columns: r.columns()}
	for i := range r.Athletes {
		a := &r.Athletes[i]
		rec.details = append(rec.details, column{fmt.Sprintf("side of athlete %d", a.AthleteID), &a.Side})
	}
	for i := range r.Pieces {
		rec.details = append(rec.details, r.Pieces[i].details()...)
	}
	return rec
}

// prefix begins the names of everything about the piece in a history.
func (p *Piece) prefix() string { return fmt.Sprintf("piece %d ", p.Number) }

func (p *Piece) details() []column {
	details := []column{{p.prefix() + "state", &p.State}, {p.prefix() + "rerun_of", &p.RerunOf}, {p.prefix() + "note", &p.Note}}
	for i := range p.Boats {
		b := &p.Boats[i]
		name := fmt.Sprintf("%sboat %d ", p.prefix(), i+1)
		crew := strings.Trim(fmt.Sprint(b.Crew), "[]")
		details = append(details, column{name + "crew", &crew}, column{name + "time_s", &b.TimeS})
	}
	return details
}

// AddTrial puts a trial with athletes and pieces on record and returns the id.
// An athlete in a crew who does not take part is ErrNotFound, one in two seats
// of a piece ErrInvalid.
func (s *Store) AddTrial(ctx context.Context, r Trial, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		id, err := t.create(r.record(), by)
		if err != nil {
			return 0, err
		}
		r.ID = id
		return id, t.addToTrial(&r)
	})
}

// addToTrial writes the rows that belong to a trial.
func (t *tx) addToTrial(r *Trial) error {
	for i := range r.Athletes {
		if _, err := t.insert("trial_athletes", append(r.Athletes[i].columns(), column{"trial_id", &r.ID})); err != nil {
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

func (t *tx) addPiece(trialID int64, p *Piece) error {
	if _, err := t.insert("trial_pieces", append(p.columns(), column{"trial_id", &trialID})); err != nil {
		return err
	}
	for i, b := range p.Boats {
		boat := i + 1
		key := []column{{"trial_id", &trialID}, {"piece", &p.Number}, {"boat", &boat}}
		if _, err := t.insert("trial_boats", append(key, column{"time_s", &b.TimeS})); err != nil {
			return err
		}
		for j, athlete := range b.Crew {
			seat := j + 1
			if _, err := t.insert("trial_seats", append(key, column{"seat", &seat}, column{"athlete_id", &athlete})); err != nil {
				return err
			}
		}
	}
	return nil
}

// UpdateTrial writes a trial read at r.Version with its athletes and pieces and
// returns the new version.
func (s *Store) UpdateTrial(ctx context.Context, r Trial, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		old, err := t.trial(r.ID)
		if err != nil {
			return 0, err
		}
		return t.rewriteTrial(&old, &r, by)
	})
}

func (t *tx) rewriteTrial(old, next *Trial, by By) (int64, error) {
	version, err := t.revise(old.record(), next.record(), by)
	if err != nil || version == old.Version {
		return version, err
	}
	for _, table := range []string{"trial_pieces", "trial_athletes"} {
		if err := t.exec("DELETE FROM "+table+" WHERE trial_id = ?", next.ID); err != nil {
			return 0, err
		}
	}
	return version, t.addToTrial(next)
}

// Trial returns one trial.
func (s *Store) Trial(ctx context.Context, id int64) (Trial, error) {
	return read(ctx, s, func(t *tx) (Trial, error) { return t.trial(id) })
}

func (t *tx) trial(id int64) (Trial, error) {
	r, err := one(t, (*Trial).stored, "trials WHERE id = ?", id)
	if err != nil {
		return Trial{}, err
	}
	r.Athletes, err = list(t, (*TrialAthlete).columns, "trial_athletes WHERE trial_id = ? ORDER BY athlete_id", id)
	if err != nil {
		return Trial{}, err
	}
	r.Pieces, err = list(t, (*Piece).columns, "trial_pieces WHERE trial_id = ? ORDER BY number", id)
	if err != nil {
		return Trial{}, err
	}
	return r, t.loadPieceBoats(&r)
}

// loadPieceBoats reads the boats of all pieces in two queries.
func (t *tx) loadPieceBoats(r *Trial) error {
	type row struct {
		piece, boat int
		athlete     int64
		time        *float64
	}
	key := func(w *row) []column { return []column{{"piece", &w.piece}, {"boat", &w.boat}} }
	boats, err := list(t, func(w *row) []column { return append(key(w), column{"time_s", &w.time}) },
		"trial_boats WHERE trial_id = ? ORDER BY piece, boat", r.ID)
	if err != nil {
		return err
	}
	for _, w := range boats {
		p := r.piece(w.piece)
		p.Boats = append(p.Boats, PieceBoat{TimeS: w.time})
	}
	seats, err := list(t, func(w *row) []column { return append(key(w), column{"athlete_id", &w.athlete}) },
		"trial_seats WHERE trial_id = ? ORDER BY piece, boat, seat", r.ID)
	for _, w := range seats {
		b := &r.piece(w.piece).Boats[w.boat-1]
		b.Crew = append(b.Crew, w.athlete)
	}
	return err
}

// piece returns the piece with the number, nil when there is none.
func (r *Trial) piece(number int) *Piece {
	for i := range r.Pieces {
		if r.Pieces[i].Number == number {
			return &r.Pieces[i]
		}
	}
	return nil
}

// Trials lists trials by name, without athletes and pieces.
func (s *Store) Trials(ctx context.Context, f Filter) ([]Trial, error) {
	return read(ctx, s, func(t *tx) ([]Trial, error) {
		return list(t, (*Trial).stored, "trials"+filtered, f.args()...)
	})
}

// DeleteTrial removes a trial.
func (s *Store) DeleteTrial(ctx context.Context, id int64) error {
	return s.erase(ctx, "trials", id)
}

// PieceEntry is the result of one piece as it is sent in.
type PieceEntry struct {
	Piece // EnteredBy and EnteredAt are filled from By
	// Key names this entry. The sender chooses it, one an entry, and sends it
	// again with every attempt.
	Key string
	// Version is 0 for a first result. To set right a piece that has a result
	// it is the version of the trial that was looked at.
	Version int64
}

// RecordPiece enters the result of a piece, planned or not, and returns the
// trial's new version. The same key counts once, however often it comes; with
// other content it is ErrKeyReused. First results of different pieces do not
// stand in each other's way; a piece that already has a result is refused with
// an ErrConflict unless the entry carries the trial's version.
func (s *Store) RecordPiece(ctx context.Context, trialID int64, e PieceEntry, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		old, err := t.trial(trialID)
		if err != nil {
			return 0, err
		}
		known, err := t.knownEntry(trialID, &e)
		if err != nil || known {
			return old.Version, err
		}
		if err := t.checkEntry(&old, &e); err != nil {
			return 0, err
		}
		e.EnteredBy, e.EnteredAt = by.Name, t.moment(by.At)
		next := old.with(e.Piece)
		return t.rewriteTrial(&old, &next, by)
	})
}

// knownEntry tells whether the entry came before, and keeps it if not.
func (t *tx) knownEntry(trialID int64, e *PieceEntry) (bool, error) {
	content := *e
	content.EnteredBy, content.EnteredAt = "", time.Time{}
	sent, err := json.Marshal(content)
	if err != nil {
		return false, refuse("%v", err)
	}
	var kept string
	err = t.scan("SELECT content FROM trial_entries WHERE trial_id = ? AND client_key = ?", []any{trialID, e.Key}, &kept)
	switch {
	case errors.Is(err, ErrNotFound):
		return false, t.exec("INSERT INTO trial_entries (trial_id, client_key, content) VALUES (?, ?, ?)", trialID, e.Key, string(sent))
	case err == nil && kept != string(sent):
		return false, ErrKeyReused
	}
	return true, err
}

// checkEntry refuses to overwrite a result unseen.
func (t *tx) checkEntry(r *Trial, e *PieceEntry) error {
	there := r.piece(e.Number)
	if e.Version == r.Version || e.Version == 0 && (there == nil || there.State == Planned) {
		return nil
	}
	err := t.conflict(TrialRecord, r.ID, e.Version, r.Version)
	var conflict *ErrConflict
	if e.Version == 0 && errors.As(err, &conflict) {
		conflict.Changes = slices.DeleteFunc(conflict.Changes, func(c Change) bool { return !strings.HasPrefix(c.What, there.prefix()) })
	}
	return err
}

// with returns the trial with a piece put in or replaced.
func (r *Trial) with(p Piece) Trial {
	next := *r
	next.Pieces = slices.Clone(r.Pieces)
	if there := next.piece(p.Number); there != nil {
		*there = p
	} else {
		next.Pieces = append(next.Pieces, p)
	}
	return next
}
