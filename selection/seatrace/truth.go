package seatrace

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"thole/selection"
)

// truth returns sentences on what the schedule cannot show.
func (s *Setup) truth(f *Forecast, schedule []selection.Piece) []string {
	var out []string
	if f.Missing > 0 {
		wanted, first := 0, ""
		for _, e := range f.Differences {
			if e.Asked {
				wanted++
			}
			if e.Asked && !e.Estimable && first == "" {
				first = fmt.Sprintf("%s against %s: %s", e.First, e.Second, e.Why)
			}
		}
		out = append(out, fmt.Sprintf("%d of the %d comparisons stay open (%s)", f.Missing, wanted, first))
	}
	if least := s.leastPieces(); least > len(schedule) {
		out = append(out, fmt.Sprintf("no schedule of fewer than %d pieces can make all the comparisons; there are %d", least, len(schedule)))
	}
	if hardest := f.hardest(); hardest.Pieces > len(schedule) {
		out = append(out, fmt.Sprintf("to show %s between %s and %s would need about %d pieces of this kind; there are %d",
			s.smallestText(), hardest.First, hardest.Second, hardest.Pieces, len(schedule)))
	}
	return out
}

// leastPieces returns how many pieces it takes at the least to settle the
// wanted differences that any crews could: one independent margin for each,
// besides those that hulls and trends take up. Where nobody rows both sides,
// ports and starboards are left out.
func (s *Setup) leastPieces() int {
	ids, only := s.ids(), s.sides()
	t := newTable(nil, ids, s.Class.Rowers)
	linked := make([]int, len(ids))
	for i := range linked {
		linked[i] = i
	}
	need := 0
	for _, p := range t.pairs(s.Asked) {
		split := len(only) == len(ids) && only[ids[p[0]]] != only[ids[p[1]]]
		if a, b := linked[p[0]], linked[p[1]]; a != b && !split {
			relabel(linked, a, b)
			need++
		}
	}
	margins, taken := s.Boats-1, 0
	if s.Model.Absolute {
		margins, taken = s.Boats, 1
	}
	if s.Model.lanes() {
		taken += s.Boats - 1
	}
	if s.Model.Trends {
		taken += margins
	}
	return (need + taken + margins - 1) / margins
}

// hardest returns the wanted difference that needs most pieces.
func (f *Forecast) hardest() Expected {
	var out Expected
	for _, e := range f.Differences {
		if e.Asked && e.Pieces > out.Pieces {
			out = e
		}
	}
	return out
}

// smallestText names the difference to show.
func (s *Setup) smallestText() string {
	text := fmt.Sprintf("%.2f s", s.Smallest)
	if s.Conversion.check() == nil {
		text = fmt.Sprintf("%.0f W (%s)", s.Conversion.Watts(s.Smallest), text)
	}
	return text
}

// shownFactor is how many standard errors a difference must measure to be
// shown: a 95 % interval then leaves out zero with a chance of 80 %, the usual
// terms of a sample size (common practice).
var shownFactor = distuv.UnitNormal.Quantile(0.975) + distuv.UnitNormal.Quantile(0.8)

// PiecesToShow returns how many pieces it takes to show a difference when so
// many pieces give it the standard deviation sd: its variance falls with the
// number of pieces rowed. A difference counts as shown when a 95 % interval
// leaves out zero with a chance of 80 %. It panics unless the difference is
// above 0.
func PiecesToShow(difference, sd float64, pieces int) int {
	if !(difference > 0) {
		panic("seatrace: the difference to show must be above 0")
	}
	ratio := shownFactor * sd / difference
	need := math.Ceil(float64(pieces)*ratio*ratio - 1e-9)
	return int(min(max(need, 1), math.MaxInt32))
}
