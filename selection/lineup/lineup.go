// Package lineup finds who should sit where: the best seat orders of a squad for one
// boat or two, proven best, with what each costs in seconds over the race, how firm
// the choice is, and which rules are to blame where they cannot be met. It takes
// powers, curves and costs as given, and draws no random number but from a source that
// its caller seeds.
package lineup

import (
	"thole/rigging"
	"thole/selection"
)

// Problem is a squad, a boat and what counts.
type Problem struct {
	Class rigging.Class

	// Pattern gives the side of every seat, bow first, in a sweep boat. Empty
	// means free: any order with as many ports as starboards. A zero entry
	// leaves that one seat free. Sculling boats take none.
	Pattern []rigging.Side

	// Rigged gives the side of every seat as the boat stands, bow first, and
	// Rerig what each seat costs, in s, that a line-up has on the other side.
	// Empty and 0 where any rig is as good as another.
	Rigged []rigging.Side
	Rerig  float64

	Candidates []selection.Athlete
	Pace       Pace
	SeatCosts  []SeatCost
	Weights    Weights

	// Catch and Finish are the oar angles at the ends of the drive in rad,
	// negative towards the catch; only the yaw term of a sweep boat needs
	// them.
	Catch, Finish rigging.Angle

	// Spacing is the distance from seat to seat in m; only the yaw term needs
	// it.
	Spacing float64

	Rules Rules
}

// The arc and spacing to take when nothing was measured (common practice for
// sweep boats), and the weights to start from (a judgement).
const (
	DefaultCatch   = -55 * rigging.Degree
	DefaultFinish  = 34 * rigging.Degree
	DefaultSpacing = 1.4 // m
)

// DefaultWeights are a starting point, not a finding: no study says what either
// criterion is worth, so both are our judgement.
var DefaultWeights = Weights{Likeness: 5, Yaw: 0.5}

// Weights say what the two criteria without a measured effect are worth.
//
// Neither is a measured gain in speed: matched curves are a coaching hypothesis that
// pairs on the water did not bear out (A. Baudouin and D. Hawkins, "Investigation of
// biomechanical factors affecting rowing performance", J. Biomech. 37, 2004, p. 969),
// and no gain has been published for any order of the sides. Say so wherever the
// numbers are shown.
type Weights struct {
	Likeness float64 // s for a mean distance D of 1 between stroke shapes
	Yaw      float64 // s for the mean-square moment of the alternating rig
}

// SeatCost is the coach's cost in s of an athlete in a seat.
type SeatCost struct {
	ID   string
	Seat int // 1 is bow
	Cost float64
}

// Rules are what a line-up has to respect. The zero value asks for nothing.
type Rules struct {
	Pins []Pin
	Must []string // athletes that have to row
	Out  []string // athletes that must not row

	Apart    []Pair // never in neighbouring seats
	Adjacent []Pair // in neighbouring seats when both row
	Never    []Pair // never both in the boat

	MeanMass float64 // most the crew may weigh on average, kg; 0 for no limit
	MaxMass  float64 // most any rower may weigh, kg; 0 for no limit

	WomenMin, MenMin int
	WomenMax, MenMax *int // nil for no limit
}

// Pin puts an athlete in a seat.
type Pin struct {
	ID   string
	Seat int // 1 is bow
}

// Pair names two athletes, in either order.
type Pair struct{ First, Second string }

// Terms are the parts of a line-up's cost in s over the race.
//
//   - Pace is the time the crew's summed power and mass predict ([Pace]);
//   - Side is each athlete's own cost of rowing the side they are given;
//   - Seat is the coach's table of costs of an athlete in a seat;
//   - Likeness is Weights.Likeness times the weighted mean of the distance
//     D(f, g) = ½∫|f − g| between the stroke shapes (unit area) of all pairs,
//     with weight 1 for neighbours in rhythm, ½ for neighbours in the boat
//     that are not, and 1/10 for all others;
//   - Yaw is Weights.Yaw times the mean square over the drive of the moment
//     about the vertical axis, against that of the alternating rig with equal
//     rowers;
//   - Rig is Problem.Rerig for every seat whose rigger has to change sides.
type Terms struct{ Pace, Side, Seat, Likeness, Yaw, Rig float64 }

// Total is the sum of the terms in s.
func (t Terms) Total() float64 { return t.Pace + t.Side + t.Seat + t.Likeness + t.Yaw + t.Rig }

// Scored is a line-up with what it costs.
type Scored struct {
	Lineup selection.Lineup
	Terms  Terms
	Speed  float64 // m/s, from the pace alone

	// Rerigged are the seats whose rigger has to change sides, 1 for bow.
	Rerigged []int

	// Images are the line-ups that cost the same by symmetry alone: with every
	// oar on the other side, or the crew and its sides end for end. They are
	// listed where [Options] folds them.
	Images []selection.Lineup
}

// Options steer [Solve]. The zero value asks for the best line-up alone.
type Options struct {
	Count    int  // how many line-ups to list; 0 means 1
	Fold     bool // whether a line-up and its images take one place, the first by name
	MaxNodes int  // stop after so many nodes of the search; 0 for no limit

	// Progress, when given, is called from time to time from the goroutine
	// that called Solve.
	Progress func(Progress)
}

// Progress reports how far a search has come.
type Progress struct {
	Nodes      int
	Best       float64 // s, the best total so far; +Inf before the first
	LowerBound float64 // s, no line-up can cost less
}

// Result is the answer of [Solve].
type Result struct {
	Lineups []Scored // best first

	// Proven reports that nothing outside Lineups beats anything in it. A
	// search that was cancelled is not proven, and its gap is
	// Lineups[0].Terms.Total() − LowerBound.
	Proven     bool
	LowerBound float64 // s; the best total itself when proven
	Nodes      int     // of the search, a measure of the work

	// NoCurve lists the candidates judged by the squad's mean curve for want
	// of their own.
	NoCurve []string
}
