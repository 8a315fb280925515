package fleet

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"thole/api/records"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// A set of oars is set as one: its length and its collars are decided for the set,
// and every seat of the boats that go with it has them.

// chosenOars is a set that a boat goes with.
type chosenOars struct{ store.OarSet }

// oarsFor finds the set that a boat of the class goes with; nil for none.
func (s *Service) oarsFor(ctx context.Context, class rigging.Class, id *int64) (*chosenOars, error) {
	if id == nil {
		return nil, nil
	}
	at := wire.At("oar_set_id")
	o, err := s.Store.OarSet(ctx, *id)
	switch {
	case errors.Is(err, store.ErrNotFound):
		return nil, at.Invalid("This set of oars is not on record.")
	case err != nil:
		return nil, records.RecordError(err)
	case (o.Kind == store.Scull) != class.Scull:
		return nil, at.Invalid(fmt.Sprintf("A %s does not go with %s.", class.Code, map[string]string{store.Scull: "sculls", store.Sweep: "sweep oars"}[o.Kind]))
	}
	return &chosenOars{o}, nil
}

// lengths lists what the set says of the settings of a seat.
func (o *chosenOars) lengths() []oarLength {
	return []oarLength{
		{"oar_length_cm", o.LengthCm, o.LengthMinCm, o.LengthMaxCm, o.LengthStepCm},
		{"inboard_cm", o.InboardCm, o.InboardMinCm, o.InboardMaxCm, o.InboardStepCm},
	}
}

// oarLength is one measure of a set, and what it can be set to.
type oarLength struct {
	setting                  string
	value, least, most, step *float64
}

// usualOarStep is the step of a set that says none, cm; common practice.
const usualOarStep = 0.5

// dress gives every seat what the set can be set to, and its blade.
func (o *chosenOars) dress(class rigging.Class, b *store.Boat) {
	for i := range b.Seats {
		s := &b.Seats[i]
		if o.BladeKind != "" {
			s.Blade = o.BladeKind
		}
		for _, l := range o.ranges(class) {
			cost := 1.0
			s.Adjustments = slices.DeleteFunc(slices.Clone(s.Adjustments), func(a store.Adjustment) bool {
				if a.Setting == l.setting {
					cost = a.Cost
				}
				return a.Setting == l.setting
			})
			if *l.least < *l.most { // else it is fixed
				s.Adjustments = append(s.Adjustments, store.Adjustment{Setting: l.setting, Min: *l.least, Max: *l.most, Step: wire.Or(l.step, usualOarStep), Cost: cost})
			}
		}
	}
}

// settings are the length and the inboard of the set at every seat.
func (o *chosenOars) settings(class rigging.Class) (list []store.RigSetting) {
	for n := 1; n <= class.Rowers; n++ {
		for _, l := range o.lengths() {
			if l.value != nil {
				list = append(list, store.RigSetting{Seat: n, Setting: l.setting, Value: *l.value})
			}
		}
	}
	return list
}

// enter puts length and inboard into the rig of a new boat, where nothing else is
// said.
func (o *chosenOars) enter(r *store.Rig) {
	for _, l := range o.lengths() {
		field := map[string]**float64{"oar_length_cm": &r.OarLengthCm, "inboard_cm": &r.InboardCm}[l.setting]
		if *field == nil {
			*field = l.value
		}
	}
}

// Dress makes a boat that is written go with the set: its length and its inboard at
// every seat that w says none of, what they can be set to, and its blade.
func (o *OarSet) Dress(w *BoatWrite) {
	class, _ := rigging.ClassByCode(w.BoatClass)
	chosen := chosenOars{o.stored()}
	for i := range w.Seats {
		s := &w.Seats[i]
		if o.BladeKind != "" {
			s.Blade = o.BladeKind
		}
		adjust := maps.Clone(s.Adjust)
		for _, l := range chosen.ranges(class) {
			a := settings.Adjustment{Min: *l.least, Max: *l.most, Step: wire.Or(l.step, usualOarStep), Cost: 1}
			if was, ok := s.Adjust[l.setting]; ok {
				a.Cost = was.Cost
			}
			if adjust == nil {
				adjust = map[string]settings.Adjustment{}
			}
			if adjust[l.setting] = a; a.Min == a.Max {
				delete(adjust, l.setting)
			}
		}
		s.Adjust = adjust
		for _, l := range chosen.lengths() {
			if l.value != nil && !slices.ContainsFunc(w.Rig, func(v RigSetting) bool { return v.Seat == s.Number && v.Setting == l.setting }) {
				w.Rig = append(w.Rig, RigSetting{Seat: s.Number, Setting: l.setting, Value: l.value})
			}
		}
	}
}

// WithOars is a boat as it would stand with a set of oars at every seat, and what is to
// be written for it. The error is an *Invalid at oar_set_id.
func (s *Service) WithOars(ctx context.Context, boat *Boat, id int64) (Boat, store.FleetBoat, error) {
	class, _ := rigging.ClassByCode(boat.BoatClass)
	chosen, err := s.oarsFor(ctx, class, &id)
	if err != nil {
		return Boat{}, store.FleetBoat{}, err
	}
	set := wireOarSet(&chosen.OarSet)
	w := BoatWrite{BoatFields: boat.BoatFields, Seats: boat.SeatFields()}
	w.OarSetID = &id
	set.Dress(&w)
	plan, err := PlanBoat(boat, &w)
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		return Boat{}, plan, wire.At("oar_set_id").Invalid(set.Name + " does not go with the rig: " + bad.Fields[0].Detail)
	}
	next := Planned(boat, &w, &plan)
	next.ID, next.Version, next.Example = boat.ID, boat.Version, boat.Example
	return next, plan, err
}

// ranges are the measures of the set whose ends are known and that count in the class.
func (o *chosenOars) ranges(class rigging.Class) []oarLength {
	return slices.DeleteFunc(o.lengths(), func(l oarLength) bool {
		return l.least == nil || l.most == nil || !slices.Contains(adjustableSettings(class), l.setting)
	})
}

// BoatsToFollow are the boats that go with a set whose length or inboard is set anew,
// with the same at every seat.
func (s *Service) BoatsToFollow(ctx context.Context, next *store.OarSet) (list []store.FleetBoat, err error) {
	old, err := s.Store.OarSet(ctx, next.ID)
	if err != nil {
		return nil, records.RecordError(err)
	}
	moved := chosenOars{*next}
	if sameNumber(old.LengthCm, next.LengthCm) {
		moved.LengthCm = nil
	}
	if sameNumber(old.InboardCm, next.InboardCm) {
		moved.InboardCm = nil
	}
	if moved.LengthCm == nil && moved.InboardCm == nil {
		return nil, nil
	}
	boats, err := s.Store.BoatsWithOars(ctx, next.ID)
	for i := range boats {
		b, err := s.Store.Boat(ctx, boats[i].ID)
		if err != nil {
			return nil, records.RecordError(err)
		}
		class, err := seat.ClassOf(b.ClassCode)
		if err != nil {
			return nil, err
		}
		list = append(list, store.FleetBoat{Boat: b, Rig: moved.settings(class)})
	}
	return list, records.RecordError(err)
}

func sameNumber(a, b *float64) bool { return a == b || a != nil && b != nil && *a == *b }

// OarSetBoats lists the boats that usually go with a set.
func (s *Service) OarSetBoats(ctx context.Context, r records.IDRequest) (BoatList, error) {
	boats, err := s.Store.BoatsWithOars(ctx, r.ID)
	list := BoatList{Boats: []BoatSummary{}}
	for i := range boats {
		list.Boats = append(list.Boats, BoatSummary{ID: boats[i].ID, BoatFields: boatFields(&boats[i])})
	}
	return list, records.RecordError(err)
}

// OarsOf returns the set that a boat usually goes with, and what is to be looked at
// where the boat and the set do not agree; nil for a boat without one.
func (s *Service) OarsOf(ctx context.Context, b *Boat) (set *OarSet, differ string, err error) {
	if b.OarSetID == nil {
		return nil, "", nil
	}
	o, err := s.OarSet(ctx, records.IDRequest{ID: *b.OarSetID})
	if err != nil {
		return nil, "", err
	}
	chosen := chosenOars{o.stored()}
	for i := range b.Seats {
		for _, l := range chosen.lengths() {
			if v := b.Seats[i].Seat.Setting(l.setting); l.value != nil && v != nil && *v != *l.value {
				return &o, fmt.Sprintf("At seat %d the %s is %s, and %s says %s.", i+1, strings.ToLower(wire.SettingLabel(l.setting)), inCm(*v), o.Name, inCm(*l.value)), nil
			}
		}
	}
	if need := b.Class.Rowers * map[bool]int{true: 2, false: 1}[b.Class.Scull]; o.Count > 0 && o.Count < need {
		differ = fmt.Sprintf("The boat needs %d oars; %s has %d.", need, o.Name, o.Count)
	}
	return &o, differ, nil
}

func inCm(v float64) string { return fmt.Sprintf("%g cm", wire.Round(v, 100)) }
