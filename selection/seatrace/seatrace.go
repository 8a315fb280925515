// Package seatrace plans seat races and judges them: two or more boats race side by
// side over several pieces, athletes change boats between the pieces, and the times
// show who moves a boat. It reports seconds over the distance with their uncertainty,
// and what cannot be told; it knows no rig, no curve and no ergometer but as a prior.
package seatrace

import (
	"math"
	"strings"

	"thole/selection"
)

// DefaultLevel is the coverage of intervals when none is asked for
// (common practice).
const DefaultLevel = 0.95

// Model says what moves the times besides the athletes. The zero value is the
// view of the margins: every piece has an effect of its own and the hulls are
// alike.
//
// With t the time of boat b in piece r, n the crew size and β_i the effect of
// athlete i,
//
//	−ln t = piece_r (+ hull_b) (+ trend_b·(r − r̄)) + Σ β_i/n + error.
//
// The effect of the piece takes up wind, stream and a drift that both boats
// share. Errors of the boats are independent with one standard deviation, so
// that a margin between two boats has √2 times that. Effects are reported in
// seconds the boat gains over the pieces' distance by having the athlete,
// T·β_i/n with T the geometric mean of the times; positive is faster.
// Exchanging two athletes between two boats moves the margin by twice the
// difference of their effects.
type Model struct {
	// Absolute compares the times as they stand, without effects of the
	// pieces. Wind, stream and fatigue then count as differences of crews.
	Absolute bool
	// Hulls gives each boat, by its place in Piece.Crews, its own effect.
	Hulls bool
	// Trends lets each boat drift linearly over the pieces, as when the wind
	// rises on one lane. A lane that slows from the first piece also is slower
	// on the mean of all, so that trends bring the effects of Hulls with them.
	Trends bool
}

// lanes reports whether each boat has its own effect.
func (m Model) lanes() bool { return m.Hulls || m.Trends }

// Pair names two athletes whose difference matters.
type Pair struct{ First, Second string }

// nameList writes names as "a", "a and b" or "a, b and c".
func nameList(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// crewsOnly removes the times of pieces.
func crewsOnly(pieces []selection.Piece) []selection.Piece {
	out := make([]selection.Piece, len(pieces))
	for i, p := range pieces {
		out[i].Crews = p.Crews
	}
	return out
}

// roughlyZero reports whether a squared length that rounding alone may have
// filled counts as zero. The designs hold counts of order one, for which
// genuine values stay above 1e-4.
func roughlyZero(square float64) bool { return math.Abs(square) < 1e-9 }
