package store

import (
	"context"
	"database/sql"
	"encoding/base64"
	"fmt"
	"strconv"
	"time"
)

// adult is the age, in years, from which an athlete answers for themselves: that of
// Article 1 of the Convention on the Rights of the Child (1989).
const adult = 18

// Minor tells whether an athlete is, or may be, under 18 on a day, YYYY-MM-DD. Of
// one whose year alone is known the birthday may be the last of the year; of one
// whose age is not known nothing can be said, and it is no.
func (a *Athlete) Minor(day string) bool {
	to, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return false
	}
	if a.BirthDate != nil {
		born, err := time.Parse(time.DateOnly, *a.BirthDate)
		return err == nil && born.AddDate(adult, 0, 0).After(to)
	}
	return a.BirthYear != nil && int64(to.Year())-*a.BirthYear <= adult
}

type shieldKey struct{}

// WithoutMinors returns a context in which athletes under 18 are read without
// their names: for pages that leave the club.
func WithoutMinors(ctx context.Context) context.Context {
	return context.WithValue(ctx, shieldKey{}, true)
}

// shield takes the name and the note of a minor out where the context asks for
// it. The number tells two of them apart.
func (t *tx) shield(a *Athlete) {
	if on, _ := t.ctx.Value(shieldKey{}).(bool); !on || !a.Minor(t.now().In(t.zone).Format(time.DateOnly)) {
		return
	}
	a.Given, a.Family, a.Note = "", "Junior "+strconv.FormatInt(a.ID, 10), ""
	a.Name = a.Family
}

// Consent is what an athlete, or who speaks for one under age, said to the
// keeping of their records.
type Consent struct {
	ID, AthleteID int64
	Given         bool   // or withdrawn
	SaidOn        string // YYYY-MM-DD
	Guardian      string // who said it for an athlete under age; empty for the athlete
	Note          string
	EnteredBy     string
	EnteredAt     time.Time
}

func (c *Consent) stored() []column {
	return []column{
		{"id", &c.ID}, {"athlete_id", &c.AthleteID}, {"given", &c.Given}, {"said_on", &c.SaidOn}, {"guardian", &c.Guardian}, {"note", &c.Note},
		{"entered_by", &c.EnteredBy}, {"entered_at", (*stamp)(&c.EnteredAt)},
	}
}

// States of a consent.
const (
	ConsentNone      = "none"
	ConsentGiven     = "given"
	ConsentWithdrawn = "withdrawn"
	ConsentRenew     = "renew" // a guardian gave it for somebody who has come of age
)

// ConsentState tells where an athlete stands whose newest consent is the first of
// those said. What an athlete under age said alone does not count: the birth date
// may have been entered later.
func ConsentState(said []Consent, minor bool) string {
	switch {
	case len(said) == 0:
		return ConsentNone
	case !said[0].Given:
		return ConsentWithdrawn
	case said[0].Guardian != "" && !minor:
		return ConsentRenew
	case said[0].Guardian == "" && minor:
		return ConsentNone
	}
	return ConsentGiven
}

// AddConsent puts what was said on record and returns its id.
func (s *Store) AddConsent(ctx context.Context, c Consent, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		if err := t.exists("athletes", c.AthleteID); err != nil {
			return 0, err
		}
		c.EnteredBy, c.EnteredAt = by.name(t), t.moment(by.At)
		return t.insert("consents", c.stored()[1:])
	})
}

// ConsentsOf lists what was said of an athlete, the newest first.
func (s *Store) ConsentsOf(ctx context.Context, athlete int64) ([]Consent, error) {
	return read(ctx, s, func(t *tx) ([]Consent, error) {
		if err := t.exists("athletes", athlete); err != nil {
			return nil, err
		}
		return list(t, (*Consent).stored, "consents WHERE athlete_id = ? ORDER BY said_on DESC, id DESC", athlete)
	})
}

// Row is a row of a table by its columns.
type Row = map[string]any

// Dossier is all that is on record about one athlete, by the tables' names. Series
// of samples are base64 of 64-bit little-endian floating-point numbers, pictures
// base64 of the JPEG.
type Dossier map[string][]Row

// partsOf are the tables with rows of an athlete, and how their rows are found. ?1
// stands for the athlete.
var partsOf = []struct{ table, where string }{
	{"athletes", "id = ?1"},
	{"measures", "athlete_id = ?1"},
	{"postures", "athlete_id = ?1"},
	{"erg_tests", "athlete_id = ?1"},
	{"opinions", "athlete_id = ?1"},
	{"recordings", "athlete_id = ?1"},
	{"recording_features", "recording_id IN (SELECT id FROM recordings WHERE athlete_id = ?1)"},
	{"recording_series", "recording_id IN (SELECT id FROM recordings WHERE athlete_id = ?1)"},
	{"recording_edits", "recording_id IN (SELECT id FROM recordings WHERE athlete_id = ?1)"},
	{"recording_marks", "recording_id IN (SELECT id FROM recordings WHERE athlete_id = ?1)"},
	{"filmed_readings", "athlete_id = ?1"},
	{"filmed_stills", "filmed_reading_id IN (SELECT id FROM filmed_readings WHERE athlete_id = ?1)"},
	{"measured_arcs", "athlete_id = ?1"},
	{"saved_seats", "athlete_id = ?1"},
	{"tasks", "saved_seat_id IN (SELECT id FROM saved_seats WHERE athlete_id = ?1)"},
	{"squad_athletes", "athlete_id = ?1"},
	{"boat_crews", "athlete_id = ?1"},
	{"lineup_seats", "athlete_id = ?1"},
	{"sheets", "crew IS NOT NULL AND EXISTS (SELECT 1 FROM json_each(crew) WHERE json_extract(value, '$.athlete_id') = ?1)"},
	{"seat_race_athletes", "athlete_id = ?1"},
	{"seat_race_seats", "athlete_id = ?1"},
	{"consents", "athlete_id = ?1"},
	{"edits", "athlete_id = ?1 OR of_athlete = ?1"},
	{"accounts", "athlete_id = ?1"},
	{"tokens", "account_id IN (SELECT id FROM accounts WHERE athlete_id = ?1)"},
	{"links", "athlete_id = ?1 OR account_id IN (SELECT id FROM accounts WHERE athlete_id = ?1)"},
}

// keptBack are columns that say nothing of a person: what makes passwords and
// links secret, keys to search by, and who else sits on a sheet.
var keptBack = map[string]bool{"hash": true, "name_key": true, "crew": true}

// Dossier returns all that is on record about an athlete.
func (s *Store) Dossier(ctx context.Context, athlete int64) (Dossier, error) {
	return read(ctx, s, func(t *tx) (Dossier, error) {
		if err := t.exists("athletes", athlete); err != nil {
			return nil, err
		}
		all := Dossier{}
		for _, part := range partsOf {
			rows, err := t.rows(fmt.Sprintf("SELECT * FROM %s WHERE %s", part.table, part.where), athlete)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", part.table, err)
			}
			if len(rows) > 0 {
				all[part.table] = rows
			}
		}
		return all, nil
	})
}

// rows reads whole rows, without the columns that are kept back.
func (t *tx) rows(query string, args ...any) ([]Row, error) {
	found, err := t.QueryContext(t.ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer found.Close()
	columns, err := found.Columns()
	if err != nil {
		return nil, err
	}
	var all []Row
	for found.Next() {
		row, err := rowOf(found, columns)
		if err != nil {
			return nil, err
		}
		all = append(all, row)
	}
	return all, found.Err()
}

func rowOf(found *sql.Rows, columns []string) (Row, error) {
	values, into := make([]any, len(columns)), make([]any, len(columns))
	for i := range values {
		into[i] = &values[i]
	}
	if err := found.Scan(into...); err != nil {
		return nil, err
	}
	row := Row{}
	for i, name := range columns {
		if keptBack[name] {
			continue
		}
		if bytes, ok := values[i].([]byte); ok {
			values[i] = base64.StdEncoding.EncodeToString(bytes)
		}
		row[name] = values[i]
	}
	return row, nil
}
