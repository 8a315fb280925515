package store

import (
	"context"
	"errors"
	"time"
)

// MeasuredArc is what was read of the handle with the rower in the seat, with
// the rig that it was read in: see rigging.Reading. A zero of the rig is not
// known.
type MeasuredArc struct {
	ID        int64
	AthleteID *int64 // nil for a guest
	SheetID   *int64
	Seat      int
	Key       string // names the reading: sent again it counts once
	ClassCode string
	// Middle of the handle to the line of work, towards the bow at the finish
	// and towards the stern at full reach; nil was not read.
	FinishCm, CatchCm *float64
	// HeelTargetCm is where the stretcher of the sheet is to go after the
	// reading; nil where the reading moves nothing.
	HeelTargetCm *float64
	Blade, Side  string
	Rig          Rig
	At           time.Time
	By           string
}

func (a *MeasuredArc) columns() []column {
	list := []column{
		{"athlete_id", &a.AthleteID}, {"sheet_id", &a.SheetID}, {"seat", &a.Seat}, {"client_key", &a.Key}, {"class_code", &a.ClassCode},
		{"finish_cm", &a.FinishCm}, {"catch_cm", &a.CatchCm}, {"heel_target_cm", &a.HeelTargetCm}, {"blade", &a.Blade}, {"side", &a.Side},
		{"at", (*stamp)(&a.At)}, {"by", &a.By},
	}
	for _, v := range a.Rig.values() {
		list = append(list, column{v.name, v.value})
	}
	return list
}

func (a *MeasuredArc) stored() []column { return append(a.columns(), column{"id", &a.ID}) }

// AddMeasuredArc keeps a reading of a work sheet. Where it says that the
// stretcher goes elsewhere, the sheet's line gets that target and is to be
// measured again. The same key counts once, however often it comes; with other
// content it is ErrKeyReused. A sheet that is done is ErrSheetDone.
func (s *Store) AddMeasuredArc(ctx context.Context, a MeasuredArc, by By) (MeasuredArc, error) {
	return write(ctx, s, func(t *tx) (MeasuredArc, error) {
		known, err := one(t, (*MeasuredArc).stored, "measured_arcs WHERE sheet_id = ? AND client_key = ?", *a.SheetID, a.Key)
		if err == nil {
			return known, known.checkSame(&a)
		}
		if !errors.Is(err, ErrNotFound) {
			return MeasuredArc{}, err
		}
		if err := t.checkOpen(*a.SheetID); err != nil {
			return MeasuredArc{}, err
		}
		a.At, a.By = t.moment(by.At), by.name(t)
		if a.ID, err = t.insert("measured_arcs", a.columns()); err != nil {
			return MeasuredArc{}, err
		}
		return a, t.moveStretcher(&a)
	})
}

// checkSame is ErrKeyReused unless both are the same reading.
func (a *MeasuredArc) checkSame(sent *MeasuredArc) error {
	same := func(x, y *float64) bool { return x == y || x != nil && y != nil && *x == *y }
	if a.Seat != sent.Seat || !same(a.FinishCm, sent.FinishCm) || !same(a.CatchCm, sent.CatchCm) {
		return ErrKeyReused
	}
	return nil
}

// moveStretcher gives the sheet's line the new target.
func (t *tx) moveStretcher(a *MeasuredArc) error {
	if a.HeelTargetCm == nil {
		return nil
	}
	return t.exec("UPDATE sheet_lines SET target = ?, measured = NULL, measured_at = NULL, measured_by = '' WHERE sheet_id = ? AND seat = ? AND setting = 'heel_to_pin_cm'",
		*a.HeelTargetCm, *a.SheetID, a.Seat)
}

// ArcsOfAthlete lists the arcs measured of an athlete until a moment, newest
// first; the zero moment is now.
func (s *Store) ArcsOfAthlete(ctx context.Context, athleteID int64, until time.Time, most int) ([]MeasuredArc, error) {
	return read(ctx, s, func(t *tx) ([]MeasuredArc, error) {
		at := stamp(t.moment(until))
		return list(t, (*MeasuredArc).stored, "measured_arcs WHERE athlete_id = ? AND at <= ? ORDER BY id DESC LIMIT ?", athleteID, at, most)
	})
}

// ArcsOfSheet lists the readings of a work sheet, oldest first.
func (s *Store) ArcsOfSheet(ctx context.Context, sheetID int64) ([]MeasuredArc, error) {
	return read(ctx, s, func(t *tx) ([]MeasuredArc, error) {
		return list(t, (*MeasuredArc).stored, "measured_arcs WHERE sheet_id = ? ORDER BY id", sheetID)
	})
}
