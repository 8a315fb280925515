package athletes

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"thole/api/store/db"
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

func (e *ErgTest) columns() []db.Column {
	return []db.Column{
		{"athlete_id", &e.AthleteID}, {"tested_on", &e.TestedOn}, {"fixed", &e.Fixed},
		{"distance_m", &e.DistanceM}, {"time_s", &e.TimeS}, {"mass_kg", &e.MassKg}, {"note", &e.Note},
		{"entered_at", (*db.Stamp)(&e.EnteredAt)},
	}
}

func (e *ErgTest) stored() []db.Column { return append(e.columns(), db.Column{"id", &e.ID}) }

// content lists what two entries of the same test can differ in.
func (e *ErgTest) content() []db.Column {
	return []db.Column{{"distance_m", &e.DistanceM}, {"time_s", &e.TimeS}, {"mass_kg", &e.MassKg}, {"note", &e.Note}}
}

// amount is the fixed distance in m or the fixed time in s.
func (e *ErgTest) amount() float64 {
	if e.Fixed == FixedDistance {
		return e.DistanceM
	}
	return e.TimeS
}

// sameErgTest finds the test of the same athlete, day and fixed distance or
// time; same are its arguments.
const sameErgTest = "erg_tests WHERE athlete_id = ? AND tested_on = ? AND fixed = ? AND fixed_amount = ?"

func (e *ErgTest) same() []any { return []any{e.AthleteID, e.TestedOn, e.Fixed, e.amount()} }

// Saved counts what became of tests that were saved.
type Saved struct{ Added, Updated, Unchanged int }

// SaveErgTests puts tests on record, all or none. A test of the same athlete,
// day and fixed distance or time is updated, so that reading a file twice
// leaves no doubles.
func (s *Records) SaveErgTests(ctx context.Context, tests []ErgTest) (Saved, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (Saved, error) {
		var done Saved
		for i := range tests {
			if err := saveErgTest(t, tests[i], &done); err != nil {
				return Saved{}, err
			}
		}
		return done, nil
	})
}

func saveErgTest(t *db.Tx, e ErgTest, done *Saved) error {
	e.EnteredAt = t.Moment(e.EnteredAt)
	old, err := db.One(t, (*ErgTest).stored, sameErgTest, e.same()...)
	switch {
	case errors.Is(err, db.ErrNotFound):
		done.Added++
		_, err = t.Insert("erg_tests", e.columns())
		return err
	case err != nil:
		return err
	case len(db.Diff(db.Detailed(old.content()), db.Detailed(e.content()))) == 0:
		done.Unchanged++
		return nil
	}
	done.Updated++
	return t.Update("erg_tests", old.ID, e.columns())
}

// ErgTestsOf returns the tests of an athlete, newest first.
func (s *Records) ErgTestsOf(ctx context.Context, athleteID int64) ([]ErgTest, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]ErgTest, error) {
		return db.List(t, (*ErgTest).stored, "erg_tests WHERE athlete_id = ? ORDER BY tested_on DESC, id DESC", athleteID)
	})
}

// ErgTestsSince returns the tests of all athletes from a day (YYYY-MM-DD) on,
// newest first.
func (s *Records) ErgTestsSince(ctx context.Context, day string) ([]ErgTest, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]ErgTest, error) {
		return db.List(t, (*ErgTest).stored, "erg_tests WHERE tested_on >= ? ORDER BY tested_on DESC, id DESC", day)
	})
}

// AddErgTest puts one test on record, with an entry in the athlete's history,
// and returns its id. The same test again changes nothing; another result of
// the same day and fixed distance or time is ErrTaken.
func (s *Records) AddErgTest(ctx context.Context, e ErgTest, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		a, err := Find(t, e.AthleteID)
		if err != nil {
			return 0, err
		}
		old, err := db.One(t, (*ErgTest).stored, sameErgTest, e.same()...)
		switch {
		case err == nil && len(db.Diff(db.Detailed(old.content()), db.Detailed(e.content()))) == 0:
			return old.ID, nil
		case err == nil:
			return 0, fmt.Errorf("%w: %s", db.ErrTaken, old.words())
		case !errors.Is(err, db.ErrNotFound):
			return 0, err
		}
		e.EnteredAt = t.Moment(by.At)
		id, err := t.Insert("erg_tests", e.columns())
		if err != nil {
			return 0, err
		}
		return id, t.Note(a.Record(), by, []db.Change{{Part: e.part(), To: ptrTo(e.words())}})
	})
}

// RemoveErgTest takes a test of an athlete off record, and what it was out of the
// athlete's history, which keeps who removed a test of which day. An error that
// wraps [ErrTraces] says that the test is gone and may still be read in the file.
func (s *Records) RemoveErgTest(ctx context.Context, athleteID, id int64, by db.By) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		a, err := Find(t, athleteID)
		if err != nil {
			return struct{}{}, err
		}
		e, err := db.One(t, (*ErgTest).stored, "erg_tests WHERE id = ? AND athlete_id = ?", id, athleteID)
		if err != nil {
			return struct{}{}, err
		}
		if err := t.Remove("erg_tests", id); err != nil {
			return struct{}{}, err
		}
		if err := t.Note(a.Record(), by, []db.Change{{Part: e.part()}}); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, forgetTest(t, athleteID, &e)
	})
	if err != nil {
		return err
	}
	return db.EmptyLog(context.WithoutCancel(ctx), s.file)
}

// part names a test in the history. The entries stand under the version that
// the athlete has: an edit of the athlete does not meet them.
func (e *ErgTest) part() db.Part { return db.Part{Field: db.ErgometerTest, TestedOn: e.TestedOn} }

// words tell all there is to a test, so that it can be entered again: 2000 m in
// 7:02.4, 73 kg.
func (e *ErgTest) words() string {
	ms := int64(math.Round(e.TimeS * 1000))
	text := fmt.Sprintf("%d:%02d", ms/60_000, ms/1000%60)
	if part := ms % 1000; part > 0 {
		text += strings.TrimRight(fmt.Sprintf(".%03d", part), "0")
	}
	text = strconv.FormatFloat(e.DistanceM, 'f', -1, 64) + " m in " + text
	if e.Fixed == FixedTime {
		text += " (time set)"
	}
	if e.MassKg != nil {
		text += ", " + strconv.FormatFloat(*e.MassKg, 'f', -1, 64) + " kg"
	}
	if e.Note != "" {
		text += ", " + e.Note
	}
	return text
}

func ptrTo(text string) *string { return &text }
