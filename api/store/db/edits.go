package db

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"time"
)

// By says who did something, and when; a zero At is the present.
type By struct {
	Name string
	At   time.Time
}

// Subject is a kind of record that carries a version.
type Subject string

// The subjects.
const (
	AthleteRecord  Subject = "athlete"
	BoatRecord     Subject = "boat"
	OarSetRecord   Subject = "oar_set"
	LineupRecord   Subject = "lineup"
	SeatRaceRecord Subject = "seat_race"

	RecordingRecord Subject = "recording"
)

func (s Subject) table() string { return string(s) + "s" }

// owner is the column of edits that refers to the subject's table. It is built
// into queries, so that nothing unknown may pass.
func (s Subject) owner() string {
	switch s {
	case AthleteRecord, BoatRecord, OarSetRecord, LineupRecord, SeatRaceRecord, RecordingRecord:
		return string(s) + "_id"
	}
	panic("db: unknown subject " + string(s))
}

// edits is the table of the subject's history.
func (s Subject) edits() string {
	if s == RecordingRecord {
		return "recording_edits"
	}
	return "edits"
}

// Change is one value of a record that was changed.
type Change struct {
	Version int64 // of the record, after the change
	At      time.Time
	By      string
	Part
	From, To *string // the value as text, as JSON of a range; nil is no value
}

// Part says what of a record a value belongs to; a zero stands for no part of
// the kind.
type Part struct {
	Field     string // with its unit, such as hull_mass_kg
	Seat      int    // of a boat or a line-up, 1 is bow
	Ranged    bool   // of what Field can be set to, not of Field itself
	Piece     int    // of a seat race
	PieceBoat int    // of the piece, from 1
	Athlete   int64  // who takes part in the seat race
	TestedOn  string // of an ergometer test, YYYY-MM-DD
}

// ErgometerTest is the field of a whole test.
const ErgometerTest = "ergometer_test"

// What describes the part in one line, such as seat 3 span_cm.
func (p Part) What() string {
	field := p.Field
	switch {
	case p.TestedOn != "":
		return "ergometer test " + p.TestedOn
	case p.Athlete != 0:
		return fmt.Sprintf("%s of athlete %d", field, p.Athlete)
	case p.Ranged:
		field = "range of " + field
	case p.PieceBoat != 0:
		field = fmt.Sprintf("boat %d %s", p.PieceBoat, field)
	}
	switch {
	case p.Seat != 0:
		return fmt.Sprintf("seat %d %s", p.Seat, field)
	case p.Piece != 0:
		return fmt.Sprintf("piece %d %s", p.Piece, field)
	}
	return field
}

func (c *Change) Columns() []Column {
	return []Column{
		{"version", &c.Version}, {"at", (*Stamp)(&c.At)}, {"by", &c.By}, {"field", &c.Field}, {"seat", &c.Seat}, {"ranged", &c.Ranged},
		{"piece", &c.Piece}, {"piece_boat", &c.PieceBoat}, {"of_athlete", &c.Athlete}, {"tested_on", &c.TestedOn},
		{"from_value", &c.From}, {"to_value", &c.To},
	}
}

// Adjustment says from where to where a setting of a seat can be moved.
type Adjustment struct {
	Setting        string // a name of Settings; the numbers are in its unit
	Min, Max, Step float64
	Cost           float64 // of moving it, as package api uses it
}

func (a *Adjustment) Columns() []Column {
	return []Column{{"setting", &a.Setting}, {"min", &a.Min}, {"max", &a.Max}, {"step", &a.Step}, {"cost", &a.Cost}}
}

// Ranges returns the values of a change of what a setting can be set to; nil is
// no range.
func (c *Change) Ranges() (from, to *Adjustment) {
	return c.readRange(c.From), c.readRange(c.To)
}

func (c *Change) readRange(text *string) *Adjustment {
	var r rangeValue
	if !c.Ranged || text == nil || json.Unmarshal([]byte(*text), &r) != nil {
		return nil
	}
	return &Adjustment{Setting: c.Field, Min: r.Min, Max: r.Max, Step: r.Step, Cost: r.Cost}
}

// rangeValue is a range as the history keeps it.
type rangeValue struct {
	Min  float64 `json:"min"`
	Max  float64 `json:"max"`
	Step float64 `json:"step"`
	Cost float64 `json:"cost"`
}

// String writes the range as it is kept.
func (r rangeValue) String() string {
	text, err := json.Marshal(r)
	if err != nil {
		return "null" // no number: the row itself is refused
	}
	return string(text)
}

// Changes returns what was changed in a record after the given version, oldest
// first; from version 0 on it is the whole history. A boat's include the
// changes of its rig.
func (s *DB) Changes(ctx context.Context, subject Subject, id, after int64) ([]Change, error) {
	return Read(ctx, s, func(t *Tx) ([]Change, error) { return t.changes(subject, id, after) })
}

func (t *Tx) changes(subject Subject, id, after int64) ([]Change, error) {
	query := subject.edits() + " WHERE " + subject.owner() + " = ? AND version > ?"
	args := []any{id, after}
	if subject == BoatRecord {
		query += " UNION ALL SELECT " + Names(new(Change).Columns()) + " FROM " + RigEdits + " WHERE boat_id = ? AND version > ?"
		args = append(args, id, after)
	}
	return List(t, (*Change).Columns, query+" ORDER BY version", args...)
}

// RigEdits shows the changes of the rig as edits.
const RigEdits = "(SELECT *, setting AS field, 0 AS ranged, 0 AS piece, 0 AS piece_boat, 0 AS of_athlete, '' AS tested_on FROM rig_changes)"

// Conflict builds the error for a caller who knows the record as of a version.
func (t *Tx) Conflict(subject Subject, id, known, current int64) error {
	changes, err := t.changes(subject, id, known)
	if err != nil {
		return err
	}
	return &ErrConflict{Subject: subject, ID: id, Version: current, Changes: changes}
}

// Record is a versioned row as these functions see it.
//
// A kind of record is a struct with a method that lists its columns beside its fields.
// [Tx.Insert], [Tx.Update], [List] and [One] work on that list, and [Tx.Create] and
// [Tx.Revise] on a Record made of it, which carries a version and leaves a trace of
// what changed.
type Record struct {
	Subject     Subject
	ID, Version int64
	Name        string   // the search key is made from it
	Columns     []Column // of the row itself
	Details     []Detail // of rows that belong to it, only to be compared
}

// Detail is a value of a record that is compared.
type Detail struct {
	Part
	Value any // pointer to it
}

// Of returns a value as the part of a record that is compared.
func Of(part Part, value any) Detail { return Detail{part, value} }

// Detail returns the range of a seat's setting as it is compared and kept.
func (a *Adjustment) Detail(seat int) Detail {
	return Detail{Part{Field: a.Setting, Seat: seat, Ranged: true}, &rangeValue{a.Min, a.Max, a.Step, a.Cost}}
}

// Detailed lists columns of the record itself.
func Detailed(columns []Column) []Detail {
	list := make([]Detail, len(columns))
	for i, c := range columns {
		list[i] = Detail{Part{Field: c.Name}, c.Field}
	}
	return list
}

func (r Record) row() []Column {
	key := NameKey(r.Name)
	return append(r.Columns, Column{"name_key", &key}, Column{"version", &r.Version})
}

func (r Record) all() []Detail { return append(Detailed(r.Columns), r.Details...) }

// Create inserts the row at version 1 and returns its id.
func (t *Tx) Create(r Record, by By) (int64, error) {
	r.Version = 1
	id, err := t.Insert(r.Subject.table(), t.Marked(r.Subject.table(), r.row()))
	if err != nil {
		return 0, Taken(err)
	}
	r.ID = id
	return id, t.Note(r, by, []Change{{Part: Part{Field: "name"}, To: &r.Name}})
}

// Revise writes the row of next, made from the version it carries, over old and
// keeps what changed. It returns the version now and leaves the rows that
// belong to the record to the caller.
func (t *Tx) Revise(old, next Record, by By) (int64, error) {
	if next.Version != old.Version {
		return 0, t.Conflict(old.Subject, old.ID, next.Version, old.Version)
	}
	edits := whole(Diff(old.all(), next.all()))
	if len(edits) == 0 {
		return old.Version, nil
	}
	next.Version++
	if err := t.Update(next.Subject.table(), next.ID, next.row()); err != nil {
		return 0, Taken(err)
	}
	return next.Version, t.Note(next, by, edits)
}

// Note keeps edits under the version of r.
func (t *Tx) Note(r Record, by By, edits []Change) error {
	at := t.Moment(by.At)
	for i := range edits {
		e := &edits[i]
		e.Version, e.At, e.By = r.Version, at, by.Signer(t)
		if _, err := t.Insert(r.Subject.edits(), append(e.Columns(), Column{r.Subject.owner(), &r.ID})); err != nil {
			return err
		}
	}
	return nil
}

// whole leaves the parts of a name out where the name itself has changed.
func whole(edits []Change) []Change {
	if !slices.ContainsFunc(edits, func(c Change) bool { return c.Field == "name" }) {
		return edits
	}
	return slices.DeleteFunc(edits, func(c Change) bool { return c.Field == "given_name" || c.Field == "family_name" })
}

// Diff lists the values that differ, those that are gone last.
func Diff(old, next []Detail) []Change {
	was := map[Part]*string{}
	for _, d := range old {
		was[d.Part] = text(d.Value)
	}
	var edits []Change
	for _, d := range next {
		if from, to := was[d.Part], text(d.Value); !same(from, to) {
			edits = append(edits, Change{Part: d.Part, From: from, To: to})
		}
		delete(was, d.Part)
	}
	for _, d := range old {
		if from := was[d.Part]; from != nil {
			edits = append(edits, Change{Part: d.Part, From: from})
		}
	}
	return edits
}

func same(a, b *string) bool {
	return a == b || a != nil && b != nil && *a == *b
}

// text writes the value a field points to; nil for a value that is not known.
func text(field any) *string {
	v := reflect.ValueOf(field).Elem()
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return nil
		}
		v = v.Elem()
	}
	s := fmt.Sprint(v.Interface())
	return &s
}
