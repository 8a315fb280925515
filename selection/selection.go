// Package selection holds the vocabulary of crew selection: the athlete, the line-up
// and the piece. Its children hold the methods and import this package but never each
// other: erg (ergometer scores), speed (how fast a crew moves a boat), stroke
// (measured force curves), evidence (what several sources say of a power), lineup
// (exact seat orders) and seatrace (planning and judging seat races). Like package
// rigging it is pure, and SI inside.
package selection

import "thole/rigging"

// CurveNodes is the number of nodes on which a stroke's force curve is given,
// evenly spaced over the drive from catch to finish, both ends included: by
// convention one for each per cent.
const CurveNodes = 101

// RaceDistance is the distance in m that race power and costs in seconds refer to,
// that of championships by the international rules (common practice).
const RaceDistance = 2000

// Athlete is one candidate for a seat.
type Athlete struct {
	ID      string
	Name    string
	Female  bool
	Mass    float64 // kg
	Power   float64 // race power over 2000 m, W
	PowerSD float64 // standard deviation of Power, W; 0 when held certain

	// SideCost is the athlete's own cost in seconds over 2000 m of rowing a
	// side: 0 for the preferred one. A side that is missing cannot be rowed.
	// Sculling boats do not use it.
	SideCost map[rigging.Side]float64

	// Curve holds the force at CurveNodes nodes of the drive, in any unit
	// (only its shape counts); nil when no stroke was measured.
	Curve []float64
}

// Lineup is a crew in its seats, bow first: Seats[0] is bow, the last is
// stroke. Sides is empty for a sculling boat.
type Lineup struct {
	Seats []string // athlete IDs
	Sides []rigging.Side
}

// Piece is one timed stretch of side-by-side racing: Crews[b] holds the
// athletes of boat b and Times[b] its time in seconds.
type Piece struct {
	Crews [][]string
	Times []float64
}
