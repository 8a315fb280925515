package club

import (
	"context"
	"fmt"
	"strings"

	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// OarFields are what people edit of a set of oars. A value left out is not
// known; equal ends of a range mean that it cannot be adjusted.
type OarFields struct {
	Name          string   `json:"name" required:"true"`
	Kind          string   `json:"kind" required:"true" enum:"scull,sweep"`
	Count         int      `json:"count" description:"Of oars, not of pairs."`
	Blade         string   `json:"blade" description:"What the blade is called."`
	LengthMinCm   *float64 `json:"length_min_cm" description:"Along the shaft to the end of the blade."`
	LengthMaxCm   *float64 `json:"length_max_cm"`
	LengthStepCm  *float64 `json:"length_step_cm"`
	LengthCm      *float64 `json:"length_cm" description:"As it is set."`
	InboardMinCm  *float64 `json:"inboard_min_cm" description:"Handle end to the face of the collar that bears on the gate."`
	InboardMaxCm  *float64 `json:"inboard_max_cm"`
	InboardStepCm *float64 `json:"inboard_step_cm"`
	InboardCm     *float64 `json:"inboard_cm" description:"As it is set."`
	Note          string   `json:"note"`
	Archived      bool     `json:"archived"`
}

// OarSet is a set of oars that is adjusted as one.
type OarSet struct {
	ID      int64 `json:"id"`
	Version int64 `json:"version"`
	OarFields
}

// OarSetList lists sets of oars by name.
type OarSetList struct {
	OarSets []OarSet `json:"oar_sets"`
}

// NewOarSet puts a set of oars on record.
type NewOarSet struct {
	OarFields
	By string `json:"by" required:"true" description:"Who enters this, for the history."`
}

// OarSetEdit writes every field of a set of oars.
type OarSetEdit struct {
	ID      int64 `path:"id" json:"-"`
	Version int64 `json:"version" required:"true" description:"That was read and edited."`
	OarFields
	By string `json:"by" required:"true" description:"Who edits, for the history."`
}

// OarSets lists the sets of oars on record.
func (s *Service) OarSets(ctx context.Context, r ListRequest) (OarSetList, error) {
	sets, err := s.Store.OarSets(ctx, r.Filter())
	list := OarSetList{OarSets: make([]OarSet, 0, len(sets))}
	for i := range sets {
		list.OarSets = append(list.OarSets, wireOarSet(&sets[i]))
	}
	return list, records.RecordError(err)
}

// OarSet returns one set of oars.
func (s *Service) OarSet(ctx context.Context, r IDRequest) (OarSet, error) {
	o, err := s.Store.OarSet(ctx, r.ID)
	return wireOarSet(&o), records.RecordError(err)
}

func wireOarSet(o *store.OarSet) OarSet {
	return OarSet{ID: o.ID, Version: o.Version, OarFields: OarFields{
		Name: o.Name, Kind: o.Kind, Count: o.Count, Blade: o.Blade,
		LengthMinCm: o.LengthMinCm, LengthMaxCm: o.LengthMaxCm, LengthStepCm: o.LengthStepCm, LengthCm: o.LengthCm,
		InboardMinCm: o.InboardMinCm, InboardMaxCm: o.InboardMaxCm, InboardStepCm: o.InboardStepCm, InboardCm: o.InboardCm,
		Note: o.Note, Archived: o.Archived,
	}}
}

func (f *OarFields) stored() store.OarSet {
	return store.OarSet{
		Name: strings.TrimSpace(f.Name), Kind: f.Kind, Count: f.Count, Blade: strings.TrimSpace(f.Blade),
		LengthMinCm: f.LengthMinCm, LengthMaxCm: f.LengthMaxCm, LengthStepCm: f.LengthStepCm, LengthCm: f.LengthCm,
		InboardMinCm: f.InboardMinCm, InboardMaxCm: f.InboardMaxCm, InboardStepCm: f.InboardStepCm, InboardCm: f.InboardCm,
		Note: f.Note, Archived: f.Archived,
	}
}

// AddOarSet puts a set of oars on record.
func (s *Service) AddOarSet(ctx context.Context, r NewOarSet) (OarSet, error) {
	if err := r.check(r.By); err != nil {
		return OarSet{}, err
	}
	id, err := s.Store.AddOarSet(ctx, r.stored(), s.Signed(r.By))
	if err != nil {
		return OarSet{}, records.TakenAs(err, sameOars)
	}
	return s.OarSet(ctx, IDRequest{ID: id})
}

const sameOars = "A set of oars of this name is on record."

// UpdateOarSet writes every field of a set of oars.
func (s *Service) UpdateOarSet(ctx context.Context, r OarSetEdit) (OarSet, error) {
	if err := r.check(r.By); err != nil {
		return OarSet{}, err
	}
	o := r.stored()
	o.ID, o.Version = r.ID, r.Version
	if _, err := s.Store.UpdateOarSet(ctx, o, s.Signed(r.By)); err != nil {
		return OarSet{}, records.TakenAs(err, sameOars)
	}
	return s.OarSet(ctx, IDRequest{ID: r.ID})
}

// DeleteOarSet removes a set of oars.
func (s *Service) DeleteOarSet(ctx context.Context, r IDRequest) (records.Removed, error) {
	return records.Removed(r), records.RecordError(s.Store.DeleteOarSet(ctx, r.ID))
}

// OarSetChanges returns the history of a set's record.
func (s *Service) OarSetChanges(ctx context.Context, r records.ChangesRequest) (records.Changes, error) {
	return s.Changes(ctx, store.OarSetRecord, r)
}

// mostOars bounds a set: two eights' worth of sculls with spares, and more
// than any club adjusts as one.
const mostOars = 60

func (f *OarFields) check(by string) error {
	var p wire.Problems
	p.Name("name", f.Name, "A name is needed.")
	if f.Count < 0 || f.Count > mostOars {
		p.Add(wire.ProblemAt("count", fmt.Sprintf("A set has from 0 to %d oars.", mostOars)))
	}
	if len([]rune(f.Blade)) > wire.LongestName {
		p.Add(wire.ProblemAt("blade", fmt.Sprintf("Use at most %d characters.", wire.LongestName)))
	}
	if class, ok := oarClass(f.Kind); ok {
		checkOarRange(&p, "length", class, "oar_length_cm", f.LengthMinCm, f.LengthMaxCm, f.LengthStepCm, f.LengthCm)
		checkOarRange(&p, "inboard", class, "inboard_cm", f.InboardMinCm, f.InboardMaxCm, f.InboardStepCm, f.InboardCm)
	} else {
		p.Add(wire.ProblemAt("kind", "Say scull or sweep."))
	}
	p.Note("note", f.Note)
	p.Author(by)
	return p.OrNil()
}

// oarClass returns a class that rows with oars of the kind.
func oarClass(kind string) (class rigging.Class, ok bool) {
	return rigging.ClassByCode(map[string]string{store.Scull: "1x", store.Sweep: "2-"}[kind])
}

// checkOarRange checks one measure of an oar as a seat's is checked.
func checkOarRange(p *wire.Problems, name string, class rigging.Class, setting string, low, high, step, value *float64) {
	for _, v := range []struct {
		field string
		value *float64
	}{{name + "_min_cm", low}, {name + "_max_cm", high}, {name + "_cm", value}} {
		seat := seat.Seat{Side: "port"}
		*seat.SettingField(setting) = v.value
		if fault, bad := RigFaults(class, &seat)[setting]; bad {
			p.Add(wire.ProblemAt(v.field, fault))
		}
	}
	p.Within(wire.At(name+"_step_cm"), rigging.Length, step, 0, largestStep)
	if low != nil && high != nil && *low > *high {
		p.Add(wire.ProblemAt(name+"_min_cm", "The least lies above the most: swap them."))
	}
}
