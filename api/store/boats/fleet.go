package store

import "context"

// FleetBoat is one boat of several that come in as a whole.
type FleetBoat struct {
	Boat Boat         // without an ID a new one, with its rig; else as read and changed
	Rig  []RigSetting // to be set in a boat on record
}

// Fleet is boats and sets of oars that come in as a whole, and why.
type Fleet struct {
	Boats []FleetBoat
	Oars  []OarSet // without an ID a new one, else as read and changed
	Why   string   // stands in the history of the rigs
}

// SaveFleet puts boats and sets of oars on record, all or none, and returns the
// ids in their order. It is [Store.AddBoat], or [Store.UpdateBoat] and
// [Store.ChangeRig], and the same of oars, in one transaction.
func (s *Store) SaveFleet(ctx context.Context, f Fleet, by By) (boats, oars []int64, err error) {
	type ids struct{ boats, oars []int64 }
	saved, err := write(ctx, s, func(t *tx) (ids, error) {
		var done ids
		for i := range f.Oars {
			id, err := t.saveOarSet(&f.Oars[i], by)
			if err != nil {
				return ids{}, err
			}
			done.oars = append(done.oars, id)
		}
		for i := range f.Boats {
			id, err := t.saveBoat(&f.Boats[i], cause{By: by, why: f.Why})
			if err != nil {
				return ids{}, err
			}
			done.boats = append(done.boats, id)
		}
		return done, nil
	})
	return saved.boats, saved.oars, err
}

// saveBoat adds a new boat or writes over one as read, with the rig.
func (t *tx) saveBoat(b *FleetBoat, c cause) (int64, error) {
	if b.Boat.ID == 0 {
		return t.addBoat(&b.Boat, c)
	}
	version, err := t.updateBoat(&b.Boat, c.By)
	if err != nil {
		return 0, err
	}
	_, err = t.changeRig(b.Boat.ID, version, b.Rig, c)
	return b.Boat.ID, err
}

// saveOarSet adds a new set or writes over one as read.
func (t *tx) saveOarSet(o *OarSet, by By) (int64, error) {
	if o.ID == 0 {
		return t.create(o.record(), by)
	}
	old, err := t.oarSet(o.ID)
	if err != nil {
		return 0, err
	}
	_, err = t.revise(old.record(), o.record(), by)
	return o.ID, err
}
