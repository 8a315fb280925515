package fleet

import (
	"context"
	"strings"

	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// OarFields are what people edit of a set of oars. A value left out is not
// known; equal ends of a range mean that it cannot be adjusted. A set has up to
// 60 oars: two eights' worth of sculls with spares, and more than any club
// adjusts as one (engineering judgement).
type OarFields struct {
	Name          string   `json:"name" validate:"filled,max=80" say:"A name is needed."`
	Kind          string   `json:"kind" validate:"required,oneof=scull sweep"`
	Count         int      `json:"count" validate:"gte=0,lte=60" say:"A set has from 0 to 60 oars." description:"Of oars, not of pairs."`
	Blade         string   `json:"blade" validate:"omitempty,max=80" description:"What the blade is called."`
	BladeKind     string   `json:"blade_kind" validate:"omitempty,oneof=hatchet macon large" description:"What is calculated with; empty: not said, taken as hatchet."`
	LengthMinCm   *float64 `json:"length_min_cm" validate:"omitempty,plausible=seat.oar_length" description:"Along the shaft to the end of the blade."`
	LengthMaxCm   *float64 `json:"length_max_cm" validate:"omitempty,plausible=seat.oar_length"`
	LengthStepCm  *float64 `json:"length_step_cm" validate:"omitempty,gte=0,lte=20"`
	LengthCm      *float64 `json:"length_cm" validate:"omitempty,plausible=seat.oar_length" description:"As it is set."`
	InboardMinCm  *float64 `json:"inboard_min_cm" validate:"omitempty,plausible=seat.inboard" description:"Handle end to the face of the collar that bears on the gate."`
	InboardMaxCm  *float64 `json:"inboard_max_cm" validate:"omitempty,plausible=seat.inboard"`
	InboardStepCm *float64 `json:"inboard_step_cm" validate:"omitempty,gte=0,lte=20"`
	InboardCm     *float64 `json:"inboard_cm" validate:"omitempty,plausible=seat.inboard" description:"As it is set."`
	Note          string   `json:"note" validate:"omitempty,max=2000"`
	Archived      bool     `json:"archived"`
}

// OarSet is a set of oars that is adjusted as one.
type OarSet struct {
	ID      int64 `json:"id"`
	Version int64 `json:"version"`
	Example bool  `json:"example" description:"Brought by the examples, and goes with them."`
	OarFields
}

// OarSetList lists sets of oars by name.
type OarSetList struct {
	OarSets []OarSet `json:"oar_sets"`
}

// NewOarSet puts a set of oars on record.
type NewOarSet struct {
	OarFields
	By string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who enters this, for the history."`
}

// OarSetEdit writes every field of a set of oars.
type OarSetEdit struct {
	ID      int64 `path:"id" json:"-" validate:"gte=1"`
	Version int64 `json:"version" validate:"required,gte=0" description:"That was read and edited."`
	OarFields
	By string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who edits, for the history."`
}

// OarSets lists the sets of oars on record.
func (s *Service) OarSets(ctx context.Context, r records.ListRequest) (OarSetList, error) {
	sets, err := s.Store.OarSets(store.Paged(ctx), r.Filter())
	list := OarSetList{OarSets: make([]OarSet, 0, len(sets))}
	for i := range sets {
		list.OarSets = append(list.OarSets, wireOarSet(&sets[i]))
	}
	return list, records.RecordError(err)
}

// OarSet returns one set of oars.
func (s *Service) OarSet(ctx context.Context, r records.IDRequest) (OarSet, error) {
	o, err := s.Store.OarSet(ctx, r.ID)
	return wireOarSet(&o), records.RecordError(err)
}

func wireOarSet(o *store.OarSet) OarSet {
	return OarSet{ID: o.ID, Version: o.Version, Example: o.Example, OarFields: OarFields{
		Name: o.Name, Kind: o.Kind, Count: o.Count, Blade: o.Blade, BladeKind: o.BladeKind,
		LengthMinCm: o.LengthMinCm, LengthMaxCm: o.LengthMaxCm, LengthStepCm: o.LengthStepCm, LengthCm: o.LengthCm,
		InboardMinCm: o.InboardMinCm, InboardMaxCm: o.InboardMaxCm, InboardStepCm: o.InboardStepCm, InboardCm: o.InboardCm,
		Note: o.Note, Archived: o.Archived,
	}}
}

func (f *OarFields) stored() store.OarSet {
	return store.OarSet{
		Name: strings.TrimSpace(f.Name), Kind: f.Kind, Count: f.Count, Blade: strings.TrimSpace(f.Blade), BladeKind: f.BladeKind,
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
	return s.OarSet(ctx, records.IDRequest{ID: id})
}

const sameOars = "A set of oars of this name is on record."

// UpdateOarSet writes every field of a set of oars.
func (s *Service) UpdateOarSet(ctx context.Context, r OarSetEdit) (OarSet, error) {
	if err := r.check(r.By); err != nil {
		return OarSet{}, err
	}
	o := r.stored()
	o.ID, o.Version = r.ID, r.Version
	boats, err := s.BoatsToFollow(ctx, &o)
	if err != nil {
		return OarSet{}, err
	}
	fleet := store.Fleet{Oars: []store.OarSet{o}, Boats: boats, Why: "oars: " + o.Name}
	if _, _, err := s.Store.SaveFleet(ctx, fleet, s.Signed(r.By)); err != nil {
		return OarSet{}, records.TakenAs(err, sameOars)
	}
	return s.OarSet(ctx, records.IDRequest{ID: r.ID})
}

// DeleteOarSet removes a set of oars.
func (s *Service) DeleteOarSet(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Gone(r.ID, s.Store.DeleteOarSet(ctx, r.ID))
}

// OarSetChanges returns the history of a set's record.
func (s *Service) OarSetChanges(ctx context.Context, r records.ChangesRequest) (records.Changes, error) {
	return s.Changes(ctx, store.OarSetRecord, r)
}

func (f *OarFields) check(by string) error {
	p := f.problems()
	p.Author(by)
	return p.OrNil()
}

// problems complains about what a set cannot be.
func (f *OarFields) problems() (p wire.Problems) {
	if class, ok := oarClass(f.Kind); ok {
		checkOarRange(&p, "length", class, "oar_length_cm", f.LengthMinCm, f.LengthMaxCm, f.LengthCm)
		checkOarRange(&p, "inboard", class, "inboard_cm", f.InboardMinCm, f.InboardMaxCm, f.InboardCm)
	}
	p.Check(wire.At(), f)
	return p
}

// oarClass returns a class that rows with oars of the kind.
func oarClass(kind string) (class rigging.Class, ok bool) {
	return rigging.ClassByCode(map[string]string{store.Scull: "1x", store.Sweep: "2-"}[kind])
}

// checkOarRange checks one measure of an oar as a seat's is checked.
func checkOarRange(p *wire.Problems, name string, class rigging.Class, setting string, low, high, value *float64) {
	for _, v := range []struct {
		field string
		value *float64
	}{{name + "_min_cm", low}, {name + "_max_cm", high}, {name + "_cm", value}} {
		seat := seat.Seat{Side: "port"}
		*seat.SettingField(setting) = v.value
		if fault, bad := RigFaults(class, &seat)[setting]; bad {
			p.Add(wire.At(v.field).Problem(fault))
		}
	}
	if low != nil && high != nil && *low > *high {
		p.Add(wire.At(name + "_min_cm").Problem("The least lies above the most: swap them."))
	}
}
