package store

import (
	"context"
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
	panic("store: unknown subject " + string(s))
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
	Version  int64 // of the record, after the change
	At       time.Time
	By       string
	What     string  // the field's name with its unit, such as "hull_mass_kg" or "seat 3 span_cm"
	From, To *string // the value as text; nil is no value
}

func (c *Change) columns() []column {
	return []column{{"version", &c.Version}, {"at", (*stamp)(&c.At)}, {"by", &c.By}, {"what", &c.What}, {"from_value", &c.From}, {"to_value", &c.To}}
}

// Changes returns what was changed in a record after the given version, oldest
// first; from version 0 on it is the whole history. A boat's include the
// changes of its rig.
func (s *Store) Changes(ctx context.Context, subject Subject, id, after int64) ([]Change, error) {
	return read(ctx, s, func(t *tx) ([]Change, error) { return t.changes(subject, id, after) })
}

func (t *tx) changes(subject Subject, id, after int64) ([]Change, error) {
	query := subject.edits() + " WHERE " + subject.owner() + " = ? AND version > ?"
	args := []any{id, after}
	if subject == BoatRecord {
		query += " UNION ALL SELECT " + names(new(Change).columns()) + " FROM " + rigEdits + " WHERE boat_id = ? AND version > ?"
		args = append(args, id, after)
	}
	return list(t, (*Change).columns, query+" ORDER BY version", args...)
}

// rigEdits shows the changes of the rig as edits.
const rigEdits = "(SELECT *, printf('seat %d %s', seat, setting) AS what FROM rig_changes)"

// conflict builds the error for a caller who knows the record as of a version.
func (t *tx) conflict(subject Subject, id, known, current int64) error {
	changes, err := t.changes(subject, id, known)
	if err != nil {
		return err
	}
	return &ErrConflict{Subject: subject, ID: id, Version: current, Changes: changes}
}

// record is a versioned row as these functions see it.
type record struct {
	subject     Subject
	id, version int64
	name        string   // the search key is made from it
	columns     []column // of the row itself
	details     []column // of rows that belong to it, only to be compared
}

func (r record) row() []column {
	key := searchKey(r.name)
	return append(r.columns, column{"name_key", &key}, column{"version", &r.version})
}

func (r record) all() []column { return slices.Concat(r.columns, r.details) }

// create inserts the row at version 1 and returns its id.
func (t *tx) create(r record, by By) (int64, error) {
	r.version = 1
	id, err := t.insert(r.subject.table(), r.row())
	if err != nil {
		return 0, taken(err)
	}
	r.id = id
	return id, t.note(r, by, []Change{{What: "name", To: &r.name}})
}

// revise writes the row of next, made from the version it carries, over old and
// keeps what changed. It returns the version now and leaves the rows that
// belong to the record to the caller.
func (t *tx) revise(old, next record, by By) (int64, error) {
	if next.version != old.version {
		return 0, t.conflict(old.subject, old.id, next.version, old.version)
	}
	edits := diff(old.all(), next.all())
	if len(edits) == 0 {
		return old.version, nil
	}
	next.version++
	if err := t.update(next.subject.table(), next.id, next.row()); err != nil {
		return 0, taken(err)
	}
	return next.version, t.note(next, by, edits)
}

// note keeps edits under the version of r.
func (t *tx) note(r record, by By, edits []Change) error {
	at := t.moment(by.At)
	for i := range edits {
		e := &edits[i]
		e.Version, e.At, e.By = r.version, at, by.Name
		if _, err := t.insert(r.subject.edits(), append(e.columns(), column{r.subject.owner(), &r.id})); err != nil {
			return err
		}
	}
	return nil
}

// diff lists the columns whose values differ, those that are gone last.
func diff(old, next []column) []Change {
	was := map[string]*string{}
	for _, c := range old {
		was[c.name] = text(c.field)
	}
	var edits []Change
	for _, c := range next {
		if from, to := was[c.name], text(c.field); !same(from, to) {
			edits = append(edits, Change{What: c.name, From: from, To: to})
		}
		delete(was, c.name)
	}
	for _, c := range old {
		if from := was[c.name]; from != nil {
			edits = append(edits, Change{What: c.name, From: from})
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
