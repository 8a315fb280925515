package boats

import (
	"context"
	"thole/api/store/db"
)

// OarSet is a set of oars that is adjusted as one. Lengths run along the shaft
// to the end of the blade; a value left out is not known, and equal ends of a
// range mean that it cannot be adjusted.
type OarSet struct {
	ID, Version                               int64
	Example                                   bool // see [db.AsExample]; never written with the record
	Name                                      string
	Kind                                      string // Scull or Sweep
	Count                                     int    // of oars, not pairs
	Blade                                     string // what the blade is called
	BladeKind                                 string // hatchet, macon or large; empty: not said
	LengthMinCm, LengthMaxCm, LengthStepCm    *float64
	LengthCm                                  *float64 // as it is set
	InboardMinCm, InboardMaxCm, InboardStepCm *float64
	InboardCm                                 *float64 // as it is set
	Note                                      string
	Archived                                  bool
}

func (o *OarSet) columns() []db.Column {
	return []db.Column{
		{"name", &o.Name}, {"kind", &o.Kind}, {"count", &o.Count}, {"blade", &o.Blade}, {"blade_kind", &o.BladeKind},
		{"length_min_cm", &o.LengthMinCm}, {"length_max_cm", &o.LengthMaxCm}, {"length_step_cm", &o.LengthStepCm}, {"length_cm", &o.LengthCm},
		{"inboard_min_cm", &o.InboardMinCm}, {"inboard_max_cm", &o.InboardMaxCm}, {"inboard_step_cm", &o.InboardStepCm}, {"inboard_cm", &o.InboardCm},
		{"note", &o.Note}, {"archived", &o.Archived},
	}
}

func (o *OarSet) stored() []db.Column {
	return append(o.columns(), db.Column{"id", &o.ID}, db.Column{"version", &o.Version}, db.Column{"example", &o.Example})
}

func (o *OarSet) record() db.Record {
	return db.Record{Subject: db.OarSetRecord, ID: o.ID, Version: o.Version, Name: o.Name, Columns: o.columns()}
}

// AddOarSet puts a set of oars on record and returns the id. A name that
// another set has is ErrTaken.
func (s *Records) AddOarSet(ctx context.Context, o OarSet, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) { return t.Create(o.record(), by) })
}

// UpdateOarSet writes every field of a set read at o.Version and returns the
// new version.
func (s *Records) UpdateOarSet(ctx context.Context, o OarSet, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		old, err := oarSet(t, o.ID)
		if err != nil {
			return 0, err
		}
		return t.Revise(old.record(), o.record(), by)
	})
}

// OarSet returns one set of oars.
func (s *Records) OarSet(ctx context.Context, id int64) (OarSet, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (OarSet, error) { return oarSet(t, id) })
}

func oarSet(t *db.Tx, id int64) (OarSet, error) {
	return db.One(t, (*OarSet).stored, "oar_sets WHERE id = ?", id)
}

// OarSets lists sets of oars by name.
func (s *Records) OarSets(ctx context.Context, f db.Filter) ([]OarSet, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]OarSet, error) {
		return db.Page(t, (*OarSet).stored, "oar_sets"+db.Filtered, f.Args()...)
	})
}

// DeleteOarSet removes a set of oars.
func (s *Records) DeleteOarSet(ctx context.Context, id int64) error {
	return db.Erase(ctx, s.file, "oar_sets", id)
}
