package store

import (
	"context"
	"errors"
	"time"
)

// What an ergometer test holds fixed.
const (
	FixedDistance = "distance"
	FixedTime     = "time"
)

// ErgTest is one ergometer test. An athlete has one result a day over one fixed
// distance or time.
type ErgTest struct {
	ID, AthleteID int64
	TestedOn      string // YYYY-MM-DD
	Fixed         string // FixedDistance or FixedTime
	DistanceM     float64
	TimeS         float64
	MassKg        *float64 // on the day
	Note          string
	EnteredAt     time.Time // when this result was last written
}

func (e *ErgTest) columns() []column {
	return []column{
		{"athlete_id", &e.AthleteID}, {"tested_on", &e.TestedOn}, {"fixed", &e.Fixed},
		{"distance_m", &e.DistanceM}, {"time_s", &e.TimeS}, {"mass_kg", &e.MassKg}, {"note", &e.Note},
		{"entered_at", (*stamp)(&e.EnteredAt)},
	}
}

func (e *ErgTest) stored() []column { return append(e.columns(), column{"id", &e.ID}) }

// content lists what two entries of the same test can differ in.
func (e *ErgTest) content() []column {
	return []column{{"distance_m", &e.DistanceM}, {"time_s", &e.TimeS}, {"mass_kg", &e.MassKg}, {"note", &e.Note}}
}

// amount is the fixed distance in m or the fixed time in s.
func (e *ErgTest) amount() float64 {
	if e.Fixed == FixedDistance {
		return e.DistanceM
	}
	return e.TimeS
}

// Saved counts what became of tests that were saved.
type Saved struct{ Added, Updated, Unchanged int }

// SaveErgTests puts tests on record, all or none. A test of the same athlete,
// day and fixed distance or time is updated, so that reading a file twice
// leaves no doubles.
func (s *Store) SaveErgTests(ctx context.Context, tests []ErgTest) (Saved, error) {
	return write(ctx, s, func(t *tx) (Saved, error) {
		var done Saved
		for i := range tests {
			if err := t.saveErgTest(tests[i], &done); err != nil {
				return Saved{}, err
			}
		}
		return done, nil
	})
}

func (t *tx) saveErgTest(e ErgTest, done *Saved) error {
	e.EnteredAt = t.moment(e.EnteredAt)
	old, err := one(t, (*ErgTest).stored, "erg_tests WHERE athlete_id = ? AND tested_on = ? AND fixed = ? AND fixed_amount = ?",
		e.AthleteID, e.TestedOn, e.Fixed, e.amount())
	switch {
	case errors.Is(err, ErrNotFound):
		done.Added++
		_, err = t.insert("erg_tests", e.columns())
		return err
	case err != nil:
		return err
	case len(diff(old.content(), e.content())) == 0:
		done.Unchanged++
		return nil
	}
	done.Updated++
	return t.update("erg_tests", old.ID, e.columns())
}

// ErgTestsOf returns the tests of an athlete, newest first.
func (s *Store) ErgTestsOf(ctx context.Context, athleteID int64) ([]ErgTest, error) {
	return read(ctx, s, func(t *tx) ([]ErgTest, error) {
		return list(t, (*ErgTest).stored, "erg_tests WHERE athlete_id = ? ORDER BY tested_on DESC, id DESC", athleteID)
	})
}

// ErgTestsSince returns the tests of all athletes from a day (YYYY-MM-DD) on,
// newest first.
func (s *Store) ErgTestsSince(ctx context.Context, day string) ([]ErgTest, error) {
	return read(ctx, s, func(t *tx) ([]ErgTest, error) {
		return list(t, (*ErgTest).stored, "erg_tests WHERE tested_on >= ? ORDER BY tested_on DESC, id DESC", day)
	})
}

// DeleteErgTest removes one test.
func (s *Store) DeleteErgTest(ctx context.Context, id int64) error {
	return s.erase(ctx, "erg_tests", id)
}
