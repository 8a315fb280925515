package rigging

import "slices"

// Riggers is a way to stand the riggers of a sweep boat.
type Riggers string

// The ways to stand the riggers. Standard riggers alternate from a stroke on port. In
// tandem the two in the middle of each four are on one side, so that the boat runs
// straight: over a four of even spacing the moments of port, starboard, starboard, port
// cancel, as do those of two such fours in line; common practice. Mirrored ones have
// stroke on starboard, and free ones stand otherwise.
const (
	StandardRiggers Riggers = "standard"
	MirroredRiggers Riggers = "mirrored"
	TandemRiggers   Riggers = "tandem"
	TandemMirrored  Riggers = "tandem_mirrored"
	FreeRiggers     Riggers = "free"
)

// FewestForTandem is how many seats a boat has in which two neighbours on one side can
// stand between others: a pair has no tandem, by definition.
const FewestForTandem = 4

// Sides returns the sides of the riggers of a boat, bow first; nil for [FreeRiggers] and
// whatever else is no way to stand them.
func (r Riggers) Sides(seats int) []Side {
	sides := make([]Side, seats)
	for i := range sides {
		fromStroke := seats - 1 - i
		onPort := fromStroke%2 == 0
		switch r {
		case StandardRiggers:
		case MirroredRiggers:
			onPort = !onPort
		case TandemRiggers:
			onPort = fromStroke%4 == 0 || fromStroke%4 == 3
		case TandemMirrored:
			onPort = fromStroke%4 == 1 || fromStroke%4 == 2
		default:
			return nil
		}
		if sides[i] = Starboard; onPort {
			sides[i] = Port
		}
	}
	return sides
}

// RiggersOf returns the way in which riggers stand, from their sides, bow first.
func RiggersOf(sides []Side) Riggers {
	for _, r := range []Riggers{StandardRiggers, MirroredRiggers, TandemRiggers, TandemMirrored} {
		if slices.Equal(sides, r.Sides(len(sides))) {
			return r
		}
	}
	return FreeRiggers
}
