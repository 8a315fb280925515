package boats

import (
	"context"
	"errors"
	"thole/api/store/db"
	"time"
)

// Sheet is a list of work on the rig of one boat for one crew.
type Sheet struct {
	ID, BoatID int64
	// BoatVersion is the boat's version that the targets were found for.
	BoatVersion int64
	LineupID    *int64
	Crew        *string  // who sits where, as JSON
	CoxMassKg   *float64 // nil: no cox, or one of the usual mass
	// What the crew is to row with; nil where no target was set.
	TargetCatchDeg, TargetFinishDeg *float64
	TargetLeverRatio                *float64
	TargetDrawHeightCm              *float64
	ChosenTargets                   *string // names of the targets that nobody stated, as a JSON list; nil: none
	// How the set-up was asked for.
	Job   string // everyday or full_rerig
	Level string // club, championship, novice or empty
	Light bool
	// Limits of the bodies that were set; nil stands for the usual one.
	LimitLeanDeg, LimitLaybackDeg           *float64
	LimitKneeFlexionDeg, LimitTrunkThighDeg *float64
	Note                                    string
	CreatedBy                               string
	CreatedAt                               time.Time
	DoneBy                                  string
	DoneAt                                  time.Time   // zero while the sheet is open
	Lines                                   []SheetLine // in the order of work; nil in lists
}

// SheetLine is one setting to be moved, in the setting's unit.
type SheetLine struct {
	Seat       int
	Setting    string // a name of Settings
	AsFound    *float64
	StandsOn   *float64 // what was calculated with in place of a value as found
	Target     float64
	Tolerance  float64
	Measured   *float64 // after the work; nil while it is not done
	MeasuredAt time.Time
	MeasuredBy string
}

func (h *Sheet) columns() []db.Column {
	return []db.Column{
		{"boat_id", &h.BoatID}, {"boat_version", &h.BoatVersion}, {"lineup_id", &h.LineupID}, {"crew", &h.Crew}, {"cox_mass_kg", &h.CoxMassKg},
		{"target_catch_deg", &h.TargetCatchDeg}, {"target_finish_deg", &h.TargetFinishDeg},
		{"target_lever_ratio", &h.TargetLeverRatio}, {"target_draw_height_cm", &h.TargetDrawHeightCm}, {"chosen_targets", &h.ChosenTargets}, {"note", &h.Note},
		{"job", &h.Job}, {"level", &h.Level}, {"light", &h.Light},
		{"limit_lean_deg", &h.LimitLeanDeg}, {"limit_layback_deg", &h.LimitLaybackDeg},
		{"limit_knee_flexion_deg", &h.LimitKneeFlexionDeg}, {"limit_trunk_thigh_deg", &h.LimitTrunkThighDeg},
		{"created_by", &h.CreatedBy}, {"created_at", (*db.Stamp)(&h.CreatedAt)},
		{"done_by", &h.DoneBy}, {"done_at", (*db.Stamp)(&h.DoneAt)},
	}
}

func (h *Sheet) stored() []db.Column { return append(h.columns(), db.Column{"id", &h.ID}) }

func (l *SheetLine) columns() []db.Column {
	return []db.Column{
		{"seat", &l.Seat}, {"setting", &l.Setting}, {"as_found", &l.AsFound}, {"stands_on", &l.StandsOn}, {"target", &l.Target}, {"tolerance", &l.Tolerance},
		{"measured", &l.Measured}, {"measured_at", (*db.Stamp)(&l.MeasuredAt)}, {"measured_by", &l.MeasuredBy},
	}
}

// AddSheet puts a work sheet with its lines on record and returns the id. Who
// made it and when is in by; what was found is taken from the boat, and what
// was measured is left out. The boat must still stand at h.BoatVersion: the
// targets were found for the rig of that version.
func (s *Records) AddSheet(ctx context.Context, h Sheet, by db.By) (int64, error) {
	return s.AddSheetWithOars(ctx, h, nil, by)
}

// AddSheetWithOars is [Records.AddSheet] for a boat that goes with another set of oars
// from then on, as its targets were found: the boat is written first; nil: it keeps its
// own.
func (s *Records) AddSheetWithOars(ctx context.Context, h Sheet, oars *FleetBoat, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		current, err := versionOf(t, h.BoatID)
		if err != nil {
			return 0, err
		}
		if current != h.BoatVersion {
			return 0, t.Conflict(db.BoatRecord, h.BoatID, h.BoatVersion, current)
		}
		if oars != nil {
			if _, err := saveBoat(t, oars, cause{By: by, why: "oars of a work sheet"}); err != nil {
				return 0, err
			}
			if h.BoatVersion, err = versionOf(t, h.BoatID); err != nil {
				return 0, err
			}
		}
		if h.Job == "" {
			h.Job = "everyday"
		}
		h.CreatedBy, h.CreatedAt, h.DoneBy, h.DoneAt = by.Signer(t), t.Moment(by.At), "", time.Time{}
		if h.ID, err = t.Insert("sheets", h.columns()); err != nil {
			return 0, err
		}
		return h.ID, addLines(t, &h)
	})
}

func addLines(t *db.Tx, h *Sheet) error {
	for i, l := range h.Lines {
		if err := checkLine(t, h.BoatID, &l); err != nil {
			return err
		}
		found, _, err := setting(t, h.BoatID, l.Seat, l.Setting)
		if err != nil {
			return err
		}
		l = SheetLine{Seat: l.Seat, Setting: l.Setting, AsFound: found, StandsOn: l.StandsOn, Target: l.Target, Tolerance: l.Tolerance}
		if _, err := t.Insert("sheet_lines", append(l.columns(), db.Column{"sheet_id", &h.ID}, db.Column{"position", &i})); err != nil {
			return err
		}
	}
	return nil
}

func checkLine(t *db.Tx, boatID int64, l *SheetLine) error {
	if err := checkSetting(l.Setting); err != nil {
		return err
	}
	return t.Scan("SELECT number FROM seats WHERE boat_id = ? AND number = ?", []any{boatID, l.Seat}, new(int))
}

// Sheet returns a work sheet with its lines.
func (s *Records) Sheet(ctx context.Context, id int64) (Sheet, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Sheet, error) { return sheet(t, id) })
}

func sheet(t *db.Tx, id int64) (Sheet, error) {
	h, err := db.One(t, (*Sheet).stored, "sheets WHERE id = ?", id)
	if err != nil {
		return Sheet{}, err
	}
	h.Lines, err = db.List(t, (*SheetLine).columns, "sheet_lines WHERE sheet_id = ? ORDER BY position", id)
	return h, err
}

// SheetFilter picks work sheets. Zero values pick everything.
type SheetFilter struct {
	BoatID int64
	Open   bool // only those that are not done
}

// Sheets lists work sheets without their lines, newest first.
func (s *Records) Sheets(ctx context.Context, f SheetFilter) ([]Sheet, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Sheet, error) {
		return db.Page(t, (*Sheet).stored, "sheets WHERE ? IN (0, boat_id) AND NOT (? AND done_at IS NOT NULL) ORDER BY id DESC", f.BoatID, f.Open)
	})
}

// Reading is a value measured for a line of a work sheet.
type Reading struct {
	Seat    int
	Setting string
	Value   float64 // in the setting's unit
	// Key names this reading. The sender chooses it, one a reading, and sends
	// it again with every attempt.
	Key string
}

// RecordReading keeps a measured value and returns the line as it stands. The
// same key counts once, however often it comes; with other content it is
// ErrKeyReused. A line holds the value that was measured last, by the moment
// given, and not the one that came last. A sheet that is done is ErrSheetDone.
func (s *Records) RecordReading(ctx context.Context, sheetID int64, r Reading, by db.By) (SheetLine, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (SheetLine, error) {
		lineID, err := lineID(t, sheetID, r.Seat, r.Setting)
		if err != nil {
			return SheetLine{}, err
		}
		known, err := knownReading(t, sheetID, lineID, r)
		if err == nil && !known {
			err = addReading(t, sheetID, lineID, r, by)
		}
		if err != nil {
			return SheetLine{}, err
		}
		return db.One(t, (*SheetLine).columns, "sheet_lines WHERE id = ?", lineID)
	})
}

func lineID(t *db.Tx, sheetID int64, seat int, setting string) (id int64, err error) {
	return id, t.Scan("SELECT id FROM sheet_lines WHERE sheet_id = ? AND seat = ? AND setting = ?", []any{sheetID, seat, setting}, &id)
}

// knownReading reports whether the reading came before.
func knownReading(t *db.Tx, sheetID, lineID int64, r Reading) (bool, error) {
	var line int64
	var value float64
	err := t.Scan("SELECT line_id, value FROM sheet_readings WHERE sheet_id = ? AND client_key = ?", []any{sheetID, r.Key}, &line, &value)
	switch {
	case errors.Is(err, db.ErrNotFound):
		return false, nil
	case err == nil && (line != lineID || value != r.Value):
		return false, db.ErrKeyReused
	}
	return true, err
}

func addReading(t *db.Tx, sheetID, lineID int64, r Reading, by db.By) error {
	if err := checkOpen(t, sheetID); err != nil {
		return err
	}
	at, who := db.Stamp(t.Moment(by.At)), by.Signer(t)
	columns := []db.Column{{"sheet_id", &sheetID}, {"client_key", &r.Key}, {"line_id", &lineID}, {"value", &r.Value}, {"at", &at}, {"by", &who}}
	if _, err := t.Insert("sheet_readings", columns); err != nil {
		return err
	}
	return t.Exec("UPDATE sheet_lines SET measured = ?, measured_at = ?, measured_by = ? WHERE id = ? AND (measured_at IS NULL OR measured_at <= ?)",
		r.Value, at, who, lineID, at)
}

func checkOpen(t *db.Tx, sheetID int64) error {
	var done bool
	err := t.Scan("SELECT done_at IS NOT NULL FROM sheets WHERE id = ?", []any{sheetID}, &done)
	if err == nil && done {
		err = db.ErrSheetDone
	}
	return err
}

// FinishSheet closes a work sheet and takes what was measured into the history
// of the boat's rig, under the sheet's id. It returns the boat's new version.
// The boat must stand at the given version, so that nobody's later work is
// overwritten unseen. Finishing again changes nothing.
func (s *Records) FinishSheet(ctx context.Context, sheetID, boatVersion int64, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		h, err := sheet(t, sheetID)
		if err != nil {
			return 0, err
		}
		if !h.DoneAt.IsZero() {
			return versionOf(t, h.BoatID)
		}
		version, err := changeRig(t, h.BoatID, boatVersion, h.measured(), cause{By: by, sheetID: &sheetID})
		if err != nil {
			return 0, err
		}
		return version, t.Exec("UPDATE sheets SET done_by = ?, done_at = ? WHERE id = ?", by.Signer(t), db.Stamp(t.Moment(by.At)), sheetID)
	})
}

// measured lists the values that were measured.
func (h *Sheet) measured() []RigSetting {
	var settings []RigSetting
	for _, l := range h.Lines {
		if l.Measured != nil {
			settings = append(settings, RigSetting{l.Seat, l.Setting, *l.Measured})
		}
	}
	return settings
}

// DeleteSheet removes a work sheet. One that has changed a rig is ErrInUse.
func (s *Records) DeleteSheet(ctx context.Context, id int64) error {
	return db.EraseQuietly(ctx, s.file, "sheets", id)
}
