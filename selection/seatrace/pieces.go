package seatrace

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// PieceCheck says how a piece fits the others and how much hangs on it.
type PieceCheck struct {
	// Leverage is the share of the piece's margins that the athletes'
	// effects can follow, from 0 to 1. At 1 the piece is the only witness of
	// something and nothing can check it.
	Leverage float64
	// Boats holds a check of each boat with a time.
	Boats []BoatCheck
	// Studentised is the largest of the boats' in size; 0 when unchecked.
	Studentised float64
	// Checked is false when no other piece speaks on this one.
	Checked bool
	// Outlying marks a piece that the others contradict: the chance of any
	// piece standing out so far is below 5 % (Bonferroni).
	Outlying bool
}

// BoatCheck compares a boat's time with what the model expects.
type BoatCheck struct {
	Boat int // place in Piece.Crews
	// Residual is how much faster the boat was than expected, s.
	Residual float64
	// Studentised is the residual over its standard error, found without
	// this boat's time (externally studentised) when the noise is estimated.
	Studentised float64
}

// checkPieces compares every piece with the others.
func checkPieces(t *table, d *design, s *solution, r *Result) []PieceCheck {
	out := make([]PieceCheck, t.pieces)
	for i, start := range t.rows {
		p := &out[start.piece]
		boat := BoatCheck{Boat: start.boat, Residual: r.Time * s.resid[i]}
		left := 1 - d.hat[i] - s.hat[i]
		if !roughlyZero(left) && r.Noise.tested() {
			boat.Studentised = studentised(boat.Residual, left, r.Noise)
			p.Checked = true
		}
		if math.Abs(boat.Studentised) > math.Abs(p.Studentised) {
			p.Studentised = boat.Studentised
		}
		p.Boats = append(p.Boats, boat)
		p.Leverage += s.hat[i]
	}
	limit := outlierLimit(t.pieces, r.Noise)
	for k, n := range t.raced() {
		if !r.options.Model.Absolute {
			n--
		}
		out[k].Leverage = min(out[k].Leverage/float64(max(n, 1)), 1)
		out[k].Outlying = math.Abs(out[k].Studentised) > limit
	}
	return out
}

// tested reports whether a residual can be held against noise that it did not
// set itself.
func (n Noise) tested() bool { return n.Source != NoiseEstimated || n.DF > 1 }

// leastResidual is the floor of the residuals' standard deviation, s; numerical: times
// that agree to rounding leave less, and no watch reads it.
const leastResidual = 1e-7

// studentised divides a residual by its standard error. With an estimated
// noise of df degrees of freedom, r the residual over s√(1−h), it is
// r√((df−1)/(df−r²)), Student's on df−1.
func studentised(residual, left float64, n Noise) float64 {
	if n.Source != NoiseEstimated {
		return residual / (n.SD * math.Sqrt(left))
	}
	r, df := residual/(max(n.Residual, leastResidual)*math.Sqrt(left)), float64(n.DF)
	return r * math.Sqrt((df-1)/max(df-r*r, 1e-12))
}

// outlierLimit returns the studentised residual that one piece of so many
// exceeds with a chance of 5 % or less.
func outlierLimit(pieces int, n Noise) float64 {
	tail := 1 - 0.05/float64(2*pieces)
	if n.Source != NoiseEstimated {
		return distuv.UnitNormal.Quantile(tail)
	}
	if !n.tested() {
		return math.Inf(1)
	}
	return distuv.StudentsT{Sigma: 1, Nu: float64(n.DF - 1)}.Quantile(tail)
}
