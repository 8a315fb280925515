package fleet

import (
	"context"
	"strings"

	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// BoatWrite is a whole boat with its seats and what is to be set of its rig.
type BoatWrite struct {
	BoatFields
	Seats []SeatFields `json:"seats" validate:"required,omitempty,max=8" description:"All seats, bow first."`
	Rig   []RigSetting `json:"rig" validate:"omitempty,max=200" description:"Values to be set, all of them or none."`
}

// PlanBoat checks a whole boat and tells what writing it would do. old is the boat
// as it is on record, nil for a new one. The error is an *Invalid with all that is
// wrong: of the hull by its fields, of the seats at seats, of the rig at rig.
func PlanBoat(old *Boat, w *BoatWrite) (store.FleetBoat, error) {
	var p wire.Problems
	class, known := rigging.ClassByCode(w.BoatClass)
	w.Stretcher.Problems(&p)
	p.Check(wire.At(), &w.BoatFields)
	if !known {
		return store.FleetBoat{}, p.OrNil()
	}
	if old != nil {
		if was, _ := rigging.ClassByCode(old.BoatClass); was.Rowers != class.Rowers || was.Scull != class.Scull {
			return store.FleetBoat{}, riggedOtherwise(old.BoatClass)
		}
	}
	plan := store.FleetBoat{Boat: w.stored()}
	seats, err := storedSeats(class, w.Seats)
	p.Merge(wire.At(), err)
	if err == nil {
		plan.Boat.Seats = seats
		planRig(&p, class, &plan, old, w)
	}
	return plan, p.OrNil()
}

// planRig checks the values that are to be set against the rest of their seats.
func planRig(p *wire.Problems, class rigging.Class, plan *store.FleetBoat, old *Boat, w *BoatWrite) {
	b := Boat{BoatFields: w.BoatFields}
	for i := range plan.Boat.Seats {
		b.Seats = append(b.Seats, wireSeat(class, &plan.Boat, &plan.Boat.Seats[i]))
		if old != nil {
			rig := storedRig(&old.Seats[i].Seat)
			b.Seats[i].Seat = foundSeat(&rig)
		}
	}
	checkEntries(p, wire.At("rig"), w.Rig, class, &b)
	p.Check(wire.At(), &struct {
		Rig []RigSetting `json:"rig"`
	}{w.Rig})
	if old == nil {
		for i := range plan.Boat.Seats {
			plan.Boat.Seats[i].Rig = storedRig(&b.Seats[i].Seat)
		}
		return
	}
	plan.Boat.ID, plan.Boat.Version = old.ID, old.Version
	for _, v := range w.Rig {
		if v.Value != nil {
			plan.Rig = append(plan.Rig, store.RigSetting{Seat: v.Seat, Setting: v.Setting, Value: *v.Value})
		}
	}
}

// Planned is a boat as it would stand once it is written, to be looked at.
func Planned(old *Boat, w *BoatWrite, plan *store.FleetBoat) Boat {
	class, _ := rigging.ClassByCode(w.BoatClass)
	b := Boat{BoatFields: w.BoatFields, Class: classFigures(class)}
	for i := range plan.Boat.Seats {
		stored := plan.Boat.Seats[i]
		if old != nil {
			stored.Rig = storedRig(&old.Seats[i].Seat)
		}
		b.Seats = append(b.Seats, wireSeat(class, &plan.Boat, &stored))
	}
	for _, v := range plan.Rig {
		value := v.Value
		*b.Seats[v.Seat-1].Seat.SettingField(v.Setting) = &value
	}
	for i := range b.Seats {
		b.Seats[i].Missing = Unmeasured(class, &b.Seats[i].Seat)
	}
	b.Cautions = b.cautions()
	return b
}

func riggedOtherwise(code string) error {
	return wire.At("boat_class").Invalid("This boat is on record as a " + code + " with the rig of its seats: add a hull that is rigged in another way as another boat.")
}

// BoatTable writes the seats of a boat, all of them at once, with what was measured.
type BoatTable struct {
	ID      int64        `path:"id" json:"-" validate:"gte=1"`
	Version int64        `json:"version" validate:"required,gte=0" description:"That was read and edited."`
	Seats   []SeatFields `json:"seats" validate:"required,omitempty,max=8" description:"All seats, bow first."`
	Rig     []RigSetting `json:"rig" validate:"omitempty,max=200" description:"Values as measured, of any seats."`
	Why     string       `json:"why" validate:"omitempty,max=2000" description:"Stands in the history."`
	By      string       `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who measured, for the history."`
}

// SaveBoatTable writes seats and rig of a boat in one go, all or nothing.
func (s *Service) SaveBoatTable(ctx context.Context, r BoatTable) (Boat, error) {
	plan, err := s.planTable(ctx, &r)
	if err != nil {
		return Boat{}, err
	}
	if _, _, err := s.Save(ctx, store.Fleet{Boats: []store.FleetBoat{plan}, Why: r.Why}, r.By); err != nil {
		return Boat{}, err
	}
	return s.Boat(ctx, records.IDRequest{ID: r.ID})
}

// CheckBoatTable returns what is wrong with a table, or nil, and saves nothing.
func (s *Service) CheckBoatTable(ctx context.Context, r BoatTable) error {
	_, err := s.planTable(ctx, &r)
	return err
}

func (s *Service) planTable(ctx context.Context, r *BoatTable) (store.FleetBoat, error) {
	boat, err := s.Boat(ctx, records.IDRequest{ID: r.ID})
	if err != nil {
		return store.FleetBoat{}, err
	}
	if r.Version != boat.Version {
		return store.FleetBoat{}, s.MovedOn(ctx, &boat, r.Version)
	}
	plan, err := PlanBoat(&boat, &BoatWrite{BoatFields: boat.BoatFields, Seats: r.Seats, Rig: r.Rig})
	var p wire.Problems
	p.Merge(wire.At(), err)
	p.Author(r.By)
	p.Note(wire.At("why"), r.Why)
	return plan, p.OrNil()
}

// Save puts boats and sets of oars on record as they were planned, all or none.
// What somebody else wrote since is a *Conflict, a name that is taken an *Invalid.
func (s *Service) Save(ctx context.Context, f store.Fleet, by string) (boats, oars []int64, err error) {
	var p wire.Problems
	p.Author(by)
	if err := p.OrNil(); err != nil {
		return nil, nil, err
	}
	f.Why = strings.TrimSpace(f.Why)
	boats, oars, err = s.Store.SaveFleet(ctx, f, s.Signed(by))
	return boats, oars, records.RecordError(err)
}

// PlanOars checks a set of oars and returns it as it is stored.
func PlanOars(f *OarFields) (store.OarSet, error) {
	p := f.problems()
	return f.stored(), p.OrNil()
}
