package boats

import (
	"context"
	"errors"
	"thole/api/store/db"
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

func (a *MeasuredArc) columns() []db.Column {
	list := []db.Column{
		{"athlete_id", &a.AthleteID}, {"sheet_id", &a.SheetID}, {"seat", &a.Seat}, {"client_key", &a.Key}, {"class_code", &a.ClassCode},
		{"finish_cm", &a.FinishCm}, {"catch_cm", &a.CatchCm}, {"heel_target_cm", &a.HeelTargetCm}, {"blade", &a.Blade}, {"side", &a.Side},
		{"at", (*db.Stamp)(&a.At)}, {"by", &a.By},
	}
	for _, v := range a.Rig.Values() {
		list = append(list, db.Column{v.Name, v.Value})
	}
	return list
}

func (a *MeasuredArc) stored() []db.Column { return append(a.columns(), db.Column{"id", &a.ID}) }

// AddMeasuredArc keeps a reading of a work sheet. Where it says that the
// stretcher goes elsewhere, the sheet's line gets that target and is to be
// measured again. The same key counts once, however often it comes; with other
// content it is ErrKeyReused. A sheet that is done is ErrSheetDone.
func (s *Records) AddMeasuredArc(ctx context.Context, a MeasuredArc, by db.By) (MeasuredArc, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (MeasuredArc, error) {
		known, err := db.One(t, (*MeasuredArc).stored, "measured_arcs WHERE sheet_id = ? AND client_key = ?", *a.SheetID, a.Key)
		if err == nil {
			return known, known.checkSame(&a)
		}
		if !errors.Is(err, db.ErrNotFound) {
			return MeasuredArc{}, err
		}
		if err := checkOpen(t, *a.SheetID); err != nil {
			return MeasuredArc{}, err
		}
		a.At, a.By = t.Moment(by.At), by.Signer(t)
		if a.ID, err = t.Insert("measured_arcs", a.columns()); err != nil {
			return MeasuredArc{}, err
		}
		return a, moveStretcher(t, &a)
	})
}

// checkSame is ErrKeyReused unless both are the same reading.
func (a *MeasuredArc) checkSame(sent *MeasuredArc) error {
	same := func(x, y *float64) bool { return x == y || x != nil && y != nil && *x == *y }
	if a.Seat != sent.Seat || !same(a.FinishCm, sent.FinishCm) || !same(a.CatchCm, sent.CatchCm) {
		return db.ErrKeyReused
	}
	return nil
}

// moveStretcher gives the sheet's line the new target.
func moveStretcher(t *db.Tx, a *MeasuredArc) error {
	if a.HeelTargetCm == nil {
		return nil
	}
	return t.Exec("UPDATE sheet_lines SET target = ?, measured = NULL, measured_at = NULL, measured_by = '' WHERE sheet_id = ? AND seat = ? AND setting = 'heel_to_pin_cm'",
		*a.HeelTargetCm, *a.SheetID, a.Seat)
}

// ArcsOfAthlete lists the arcs measured of an athlete until a moment, newest
// first; all for the zero moment.
func (s *Records) ArcsOfAthlete(ctx context.Context, athleteID int64, until time.Time, most int) ([]MeasuredArc, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]MeasuredArc, error) {
		return db.List(t, (*MeasuredArc).stored, "measured_arcs WHERE athlete_id = ?1 AND (?2 IS NULL OR at <= ?2) ORDER BY id DESC LIMIT ?3", athleteID, db.Stamp(until), most)
	})
}

// ArcsOfSheet lists the readings of a work sheet, oldest first.
func (s *Records) ArcsOfSheet(ctx context.Context, sheetID int64) ([]MeasuredArc, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]MeasuredArc, error) {
		return db.List(t, (*MeasuredArc).stored, "measured_arcs WHERE sheet_id = ? ORDER BY id", sheetID)
	})
}
