package rig

import (
	"thole/api/fleet"
	"thole/rigging"
	"thole/ui/page"
)

// riggersField chooses the sides of all riggers.
func riggersField(boat *fleet.Boat) page.Value {
	options := []page.Option{{Value: string(rigging.StandardRiggers), Label: "standard: stroke on port"}, {Value: string(rigging.MirroredRiggers), Label: "mirrored: stroke on starboard"}}
	if len(boat.Seats) >= rigging.FewestForTandem {
		options = append(options, page.Option{Value: string(rigging.TandemRiggers), Label: "tandem: stroke on port"}, page.Option{Value: string(rigging.TandemMirrored), Label: "tandem: stroke on starboard"})
	}
	options = append(options, page.Option{Value: string(rigging.FreeRiggers), Label: "free: seat by seat"})
	return page.TextField("riggers", "Riggers", "").Choose(options...).As("select")
}

// riggersOf names the way in which the riggers of a boat stand.
func riggersOf(boat *fleet.Boat) string {
	sides := make([]rigging.Side, len(boat.Seats))
	for i := range boat.Seats {
		sides[i], _ = rigging.ParseSide(boat.Seats[i].Side)
	}
	return string(rigging.RiggersOf(sides))
}

// setSides puts the sides of a way that was newly chosen into the form. Where none
// was, those of the seats stand.
func setSides(f *page.RecordForm, boat *fleet.Boat) {
	if boat.Class.Scull || f.Text("riggers") == f.Text("riggers_was") {
		return
	}
	for i, side := range rigging.Riggers(f.Text("riggers")).Sides(len(boat.Seats)) {
		f.Typed.Set(page.SeatField(i+1, "side"), side.String())
	}
	f.Typed.Set("riggers_was", f.Text("riggers"))
}
