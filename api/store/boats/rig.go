package boats

import (
	"context"
	"errors"
	"thole/api/store/db"
	"time"
)

// RigSetting is a value for one setting of one seat.
type RigSetting struct {
	Seat    int
	Setting string // a name of Settings
	Value   float64
}

// RigChange is one entry of the history of a boat's rig.
type RigChange struct {
	ID, BoatID         int64
	Version            int64 // of the boat, after the change
	Seat               int
	Setting            string
	FromValue, ToValue *float64 // in the setting's unit; nil is not known
	At                 time.Time
	By                 string
	Why                string
	SheetID            *int64 // the work sheet that it came from
	UndoesID           *int64 // the change that it takes back
}

func (c *RigChange) columns() []db.Column {
	return []db.Column{
		{"boat_id", &c.BoatID}, {"version", &c.Version}, {"seat", &c.Seat}, {"setting", &c.Setting},
		{"from_value", &c.FromValue}, {"to_value", &c.ToValue}, {"at", (*db.Stamp)(&c.At)}, {"by", &c.By}, {"why", &c.Why},
		{"sheet_id", &c.SheetID}, {"undoes_id", &c.UndoesID},
	}
}

func (c *RigChange) stored() []db.Column { return append(c.columns(), db.Column{"id", &c.ID}) }

// RigOf lists what is known of the rig of seats.
func RigOf(seats []Seat) []RigSetting {
	var settings []RigSetting
	for i := range seats {
		for _, v := range seats[i].Rig.Values() {
			if *v.Value != nil {
				settings = append(settings, RigSetting{seats[i].Number, v.Name, **v.Value})
			}
		}
	}
	return settings
}

// cause is why the rig is changed.
type cause struct {
	db.By
	why             string
	sheetID, undoes *int64
}

// ChangeRig sets values in a boat read at the given version and returns the new
// one. All changes of a call make one version; a value that is as it was makes
// none. A seat that the boat does not have is ErrNotFound.
func (s *Records) ChangeRig(ctx context.Context, boatID, version int64, settings []RigSetting, why string, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		return changeRig(t, boatID, version, settings, cause{By: by, why: why})
	})
}

func changeRig(t *db.Tx, boatID, version int64, settings []RigSetting, c cause) (int64, error) {
	current, err := versionOf(t, boatID)
	if err != nil {
		return 0, err
	}
	if version != current {
		return 0, t.Conflict(db.BoatRecord, boatID, version, current)
	}
	changed, err := applyRig(t, boatID, version+1, settings, c)
	if err != nil || !changed {
		return version, err
	}
	return version + 1, setBoatVersion(t, boatID, version+1)
}

func versionOf(t *db.Tx, id int64) (version int64, err error) {
	return version, t.Scan("SELECT version FROM boats WHERE id = ?", []any{id}, &version)
}

func setBoatVersion(t *db.Tx, id, version int64) error {
	return t.Exec("UPDATE boats SET version = ? WHERE id = ?", version, id)
}

// applyRig appends the changes that are any, under a version of the boat.
func applyRig(t *db.Tx, boatID, version int64, settings []RigSetting, c cause) (changed bool, err error) {
	for _, s := range settings {
		if err := checkSetting(s.Setting); err != nil {
			return false, err
		}
		from, _, err := setting(t, boatID, s.Seat, s.Setting)
		if err != nil {
			return false, err
		}
		if from != nil && *from == s.Value {
			continue
		}
		change := RigChange{BoatID: boatID, Version: version, Seat: s.Seat, Setting: s.Setting, FromValue: from, ToValue: &s.Value}
		if err := appendRig(t, change, c); err != nil {
			return false, err
		}
		changed = true
	}
	return changed, nil
}

// setting returns the value of a setting and the change that made it; nil and 0
// when there was none.
func setting(t *db.Tx, boatID int64, seat int, setting string) (value *float64, changeID int64, err error) {
	err = t.Scan("SELECT value, change_id FROM rig WHERE boat_id = ? AND seat = ? AND setting = ?",
		[]any{boatID, seat, setting}, &value, &changeID)
	if errors.Is(err, db.ErrNotFound) {
		err = nil
	}
	return value, changeID, err
}

// appendRig writes one change and the value that it leaves.
func appendRig(t *db.Tx, change RigChange, c cause) error {
	change.At, change.By, change.Why = t.Moment(c.At), c.Signer(t), c.why
	change.SheetID, change.UndoesID = c.sheetID, c.undoes
	id, err := t.Insert("rig_changes", change.columns())
	if err != nil {
		return err
	}
	return t.Exec("INSERT OR REPLACE INTO rig (boat_id, seat, setting, value, change_id) VALUES (?, ?, ?, ?, ?)",
		change.BoatID, change.Seat, change.Setting, change.ToValue, id)
}

// UndoRigChange appends a change that brings back the value from before a
// change and returns the boat's new version. It needs no version of the boat:
// it is refused with an ErrConflict, which tells the later changes, when the
// setting was changed again. Undoing an undo does the change again.
func (s *Records) UndoRigChange(ctx context.Context, changeID int64, why string, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		undone, err := db.One(t, (*RigChange).stored, "rig_changes WHERE id = ?", changeID)
		if err != nil {
			return 0, err
		}
		version, err := versionOf(t, undone.BoatID)
		if err != nil {
			return 0, err
		}
		if err := undoOne(t, &undone, version, why, by); err != nil {
			return 0, err
		}
		return version + 1, setBoatVersion(t, undone.BoatID, version+1)
	})
}

// UndoSheetChanges takes back all that a work sheet changed of a boat's rig, or
// nothing: it is refused with an *ErrConflict when one of the settings was changed
// since, and with ErrNotFound when the sheet changed none.
func (s *Records) UndoSheetChanges(ctx context.Context, boatID, sheetID int64, why string, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		undone, err := db.List(t, (*RigChange).stored, "rig_changes WHERE boat_id = ? AND sheet_id = ? ORDER BY id", boatID, sheetID)
		if err != nil {
			return 0, err
		}
		if len(undone) == 0 {
			return 0, db.ErrNotFound
		}
		version, err := versionOf(t, boatID)
		if err != nil {
			return 0, err
		}
		for i := range undone {
			if err := undoOne(t, &undone[i], version, why, by); err != nil {
				return 0, err
			}
		}
		return version + 1, setBoatVersion(t, boatID, version+1)
	})
}

// undoOne appends the opposite of a change that is the last of its setting.
func undoOne(t *db.Tx, c *RigChange, version int64, why string, by db.By) error {
	_, last, err := setting(t, c.BoatID, c.Seat, c.Setting)
	if err != nil {
		return err
	}
	if last != c.ID {
		return undoConflict(t, c, version)
	}
	back := RigChange{BoatID: c.BoatID, Version: version + 1, Seat: c.Seat, Setting: c.Setting, FromValue: c.ToValue, ToValue: c.FromValue}
	return appendRig(t, back, cause{By: by, why: why, undoes: &c.ID})
}

func undoConflict(t *db.Tx, undone *RigChange, version int64) error {
	later, err := db.List(t, (*db.Change).Columns, db.RigEdits+" WHERE boat_id = ? AND seat = ? AND setting = ? AND id > ? ORDER BY id",
		undone.BoatID, undone.Seat, undone.Setting, undone.ID)
	if err != nil {
		return err
	}
	return &db.ErrConflict{Subject: db.BoatRecord, ID: undone.BoatID, Version: version, Changes: later}
}

// RigFilter picks entries of a history. Zero values pick everything.
type RigFilter struct {
	Seat    int
	Setting string
	SheetID int64
	Before  int64 // only entries with a lower id: the next page
	Limit   int
}

// RigHistory returns the changes of a boat's rig, newest first.
func (s *Records) RigHistory(ctx context.Context, boatID int64, f RigFilter) ([]RigChange, error) {
	where, args := "boat_id = ?", []any{boatID}
	pick := func(wanted bool, condition string, arg any) {
		if wanted {
			where, args = where+" AND "+condition, append(args, arg)
		}
	}
	pick(f.Seat != 0, "seat = ?", f.Seat)
	pick(f.Setting != "", "setting = ?", f.Setting)
	pick(f.SheetID != 0, "sheet_id = ?", f.SheetID)
	pick(f.Before != 0, "id < ?", f.Before)
	if f.Limit == 0 {
		f.Limit = -1 // no limit
	}
	return db.Read(ctx, s.file, func(t *db.Tx) ([]RigChange, error) {
		return db.List(t, (*RigChange).stored, "rig_changes WHERE "+where+" ORDER BY id DESC LIMIT ?", append(args, f.Limit)...)
	})
}
