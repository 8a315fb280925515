package store

import "context"

// OarSet is a set of oars that is adjusted as one. Lengths run along the shaft
// to the end of the blade; a value left out is not known, and equal ends of a
// range mean that it cannot be adjusted.
type OarSet struct {
	ID, Version                               int64
	Example                                   bool // see [AsExample]; never written with the record
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

func (o *OarSet) columns() []column {
	return []column{
		{"name", &o.Name}, {"kind", &o.Kind}, {"count", &o.Count}, {"blade", &o.Blade}, {"blade_kind", &o.BladeKind},
		{"length_min_cm", &o.LengthMinCm}, {"length_max_cm", &o.LengthMaxCm}, {"length_step_cm", &o.LengthStepCm}, {"length_cm", &o.LengthCm},
		{"inboard_min_cm", &o.InboardMinCm}, {"inboard_max_cm", &o.InboardMaxCm}, {"inboard_step_cm", &o.InboardStepCm}, {"inboard_cm", &o.InboardCm},
		{"note", &o.Note}, {"archived", &o.Archived},
	}
}

func (o *OarSet) stored() []column {
	return append(o.columns(), column{"id", &o.ID}, column{"version", &o.Version}, column{"example", &o.Example})
}

func (o *OarSet) record() record {
	return record{subject: OarSetRecord, id: o.ID, version: o.Version, name: o.Name, columns: o.columns()}
}

// AddOarSet puts a set of oars on record and returns the id. A name that
// another set has is ErrTaken.
func (s *Store) AddOarSet(ctx context.Context, o OarSet, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) { return t.create(o.record(), by) })
}

// UpdateOarSet writes every field of a set read at o.Version and returns the
// new version.
func (s *Store) UpdateOarSet(ctx context.Context, o OarSet, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		old, err := t.oarSet(o.ID)
		if err != nil {
			return 0, err
		}
		return t.revise(old.record(), o.record(), by)
	})
}

// OarSet returns one set of oars.
func (s *Store) OarSet(ctx context.Context, id int64) (OarSet, error) {
	return read(ctx, s, func(t *tx) (OarSet, error) { return t.oarSet(id) })
}

func (t *tx) oarSet(id int64) (OarSet, error) {
	return one(t, (*OarSet).stored, "oar_sets WHERE id = ?", id)
}

// OarSets lists sets of oars by name.
func (s *Store) OarSets(ctx context.Context, f Filter) ([]OarSet, error) {
	return read(ctx, s, func(t *tx) ([]OarSet, error) {
		return list(t, (*OarSet).stored, "oar_sets"+filtered, f.args()...)
	})
}

// DeleteOarSet removes a set of oars.
func (s *Store) DeleteOarSet(ctx context.Context, id int64) error {
	return erase(ctx, s, "oar_sets", id)
}
