package boats

import (
	"context"
	"thole/api/store/db"
)

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
// ids in their order. It is [Records.AddBoat], or [Records.UpdateBoat] and
// [Records.ChangeRig], and the same of oars, in one transaction.
func (s *Records) SaveFleet(ctx context.Context, f Fleet, by db.By) (boats, oars []int64, err error) {
	type ids struct{ boats, oars []int64 }
	saved, err := db.Write(ctx, s.file, func(t *db.Tx) (ids, error) {
		var done ids
		for i := range f.Oars {
			id, err := saveOarSet(t, &f.Oars[i], by)
			if err != nil {
				return ids{}, err
			}
			done.oars = append(done.oars, id)
		}
		for i := range f.Boats {
			id, err := saveBoat(t, &f.Boats[i], cause{By: by, why: f.Why})
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
func saveBoat(t *db.Tx, b *FleetBoat, c cause) (int64, error) {
	if b.Boat.ID == 0 {
		return addBoat(t, &b.Boat, c)
	}
	version, err := updateBoat(t, &b.Boat, c.By)
	if err != nil {
		return 0, err
	}
	_, err = changeRig(t, b.Boat.ID, version, b.Rig, c)
	return b.Boat.ID, err
}

// saveOarSet adds a new set or writes over one as read.
func saveOarSet(t *db.Tx, o *OarSet, by db.By) (int64, error) {
	if o.ID == 0 {
		return t.Create(o.record(), by)
	}
	old, err := oarSet(t, o.ID)
	if err != nil {
		return 0, err
	}
	_, err = t.Revise(old.record(), o.record(), by)
	return o.ID, err
}
