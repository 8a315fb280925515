package stroke

import (
	"cmp"
	"strconv"
	"strings"

	"thole/rigging"
)

// Oar names one channel of measurements: the seat as the file calls it, and
// the side where one rower has two oars. Side is 0 where the file names none.
type Oar struct {
	Seat string
	Side rigging.Side
}

// String returns "3", or "3 port" where the side is known.
func (o Oar) String() string {
	return strings.TrimSpace(o.Seat + " " + o.Side.String())
}

// compareOars orders by seat, numbers first and by value, then by side with
// port before starboard.
func compareOars(a, b Oar) int {
	x, errX := strconv.Atoi(a.Seat)
	y, errY := strconv.Atoi(b.Seat)
	if errX == nil && errY == nil {
		return cmp.Or(cmp.Compare(x, y), cmp.Compare(a.Seat, b.Seat), cmp.Compare(a.Side, b.Side))
	}
	if (errX == nil) != (errY == nil) {
		if errX == nil {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(a.Seat, b.Seat), cmp.Compare(a.Side, b.Side))
}

// Site is the place on the oar where the force was measured.
//
// Force is positive when the rower pulls and is taken as the part that stands at right
// angles to the oar in the horizontal plane; a logger that writes the part along the
// boat has to be corrected by 1/cos of the oar angle before the import.
type Site int

// The sites of a force sensor. Which it is has to be said: the same reading is
// a third less work at the gate, and no file tells for certain.
const (
	NoSite Site = iota // not said yet
	Handle             // the rower's hands
	Gate               // the gate (the pin)
)

// String returns "handle" or "gate", "" while it is not said.
func (s Site) String() string {
	switch s {
	case Handle:
		return "handle"
	case Gate:
		return "gate"
	}
	return ""
}

// Levers are the two arms of an oar about the pin in m: In to the middle of
// the hands, Out to the middle of the blade. A force at the handle needs In
// only.
//
// The work of a stroke is ∫ M dθ over the drive, with M the moment about the pin: the
// force times the arm that follows from where the force was measured ([Site]). Without
// levers there is no work and no power.
type Levers struct{ In, Out float64 }

// arm returns what a force measured at the site is multiplied with to give
// the moment about the pin; ok is false when a lever that is needed is not
// known.
//
// The handle's moment is F·In. An oar whose own inertia is neglected has
// F_handle·In = F_blade·Out and F_gate = F_handle + F_blade, hence the moment
// F_gate·In·Out/(In + Out).
func (l Levers) arm(s Site) (arm float64, ok bool) {
	if l.In <= 0 || s == Gate && l.Out <= 0 {
		return 0, false
	}
	if s == Gate {
		return l.In * l.Out / (l.In + l.Out), true
	}
	return l.In, true
}
