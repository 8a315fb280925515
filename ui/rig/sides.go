package rig

import (
	"slices"

	"thole/api/club"
	"thole/ui/page"
)

// The ways to stand the riggers of a sweep boat. A pair has no tandem, by definition.
const (
	freeRiggers      = "free"
	standardRiggers  = "standard"
	mirroredRiggers  = "mirrored"
	tandemRiggers    = "tandem"
	tandemMirrored   = "tandem_mirrored"
	port, starboard  = "port", "starboard"
	fewestForTandems = 4 // seats
)

// riggersField chooses the sides of all riggers.
func riggersField(boat *club.Boat) page.Value {
	options := []page.Option{{Value: standardRiggers, Label: "standard: stroke on port"}, {Value: mirroredRiggers, Label: "mirrored: stroke on starboard"}}
	if len(boat.Seats) >= fewestForTandems {
		options = append(options, page.Option{Value: tandemRiggers, Label: "tandem: stroke on port"}, page.Option{Value: tandemMirrored, Label: "tandem: stroke on starboard"})
	}
	options = append(options, page.Option{Value: freeRiggers, Label: "free: seat by seat"})
	return page.TextField("riggers", "Riggers", "").Choose(options...).As("select")
}

// sidesBy are the sides, bow first, of a way to stand the riggers; nil for free.
// Standard riggers alternate from a stroke on port. In tandem the two in the middle
// of each four are on one side, so that the boat runs straight: over a four of even
// spacing the moments of port, starboard, starboard, port cancel, as do those of two
// such fours in line; common practice.
func sidesBy(way string, seats int) []string {
	sides := make([]string, seats)
	for i := range sides {
		fromStroke := seats - 1 - i
		onPort := fromStroke%2 == 0
		switch way {
		case standardRiggers:
		case mirroredRiggers:
			onPort = !onPort
		case tandemRiggers:
			onPort = fromStroke%4 == 0 || fromStroke%4 == 3
		case tandemMirrored:
			onPort = fromStroke%4 == 1 || fromStroke%4 == 2
		default:
			return nil
		}
		if sides[i] = starboard; onPort {
			sides[i] = port
		}
	}
	return sides
}

// sidesOf are the sides of a boat, bow first.
func sidesOf(boat *club.Boat) (sides []string) {
	for i := range boat.Seats {
		sides = append(sides, boat.Seats[i].Side)
	}
	return sides
}

// pattern names the way in which riggers stand.
func pattern(boat *club.Boat, sides []string) string {
	for _, way := range []string{standardRiggers, mirroredRiggers, tandemRiggers, tandemMirrored} {
		if slices.Equal(sides, sidesBy(way, len(boat.Seats))) {
			return way
		}
	}
	return freeRiggers
}

// setSides puts the sides of a way that was newly chosen into the form. Where none
// was, those of the seats stand.
func setSides(f *page.RecordForm, boat *club.Boat) {
	if boat.Class.Scull || f.Text("riggers") == f.Text("riggers_was") {
		return
	}
	for i, side := range sidesBy(f.Text("riggers"), len(boat.Seats)) {
		f.Typed.Set(page.SeatField(i+1, "side"), side)
	}
	f.Typed.Set("riggers_was", f.Text("riggers"))
}
