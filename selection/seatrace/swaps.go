package seatrace

import (
	"slices"

	"thole/selection"
)

// Swap is a bare seat race: two pieces between which two athletes exchanged
// boats and nobody else of those boats moved.
type Swap struct {
	Before, After int // pieces, counted from 0
	Boats         [2]int
	// First rowed in Boats[0] before and in Boats[1] after; Second the other
	// way round.
	First, Second string
	// Margin is the margin of Boats[0] over Boats[1] before and after, s.
	MarginBefore, MarginAfter float64
	// ByMargin is the boat's gain by First over Second, half the change of
	// the margin, s.
	ByMargin float64
	// ByTimes is what each boat's own times say of First over Second, s. Their
	// mean is ByMargin; wind or fatigue between the pieces adds to one what it
	// takes from the other.
	ByTimes [2]float64
	// Agree is false when the times of one boat contradict the margin.
	Agree bool
}

// Swaps finds every bare seat race among the pieces.
func Swaps(pieces []selection.Piece, distance float64) ([]Swap, error) {
	if _, errs := checkRaces(pieces, Options{Distance: distance}); errs != nil {
		return nil, errs
	}
	var out []Swap
	for r := range pieces {
		for s := r + 1; s < len(pieces); s++ {
			out = append(out, swapsBetween(pieces, r, s)...)
		}
	}
	return out, nil
}

// swapsBetween finds the exchanges between two pieces.
func swapsBetween(pieces []selection.Piece, r, s int) []Swap {
	var out []Swap
	boats := min(len(pieces[r].Crews), len(pieces[s].Crews))
	for a := range boats {
		for b := a + 1; b < boats; b++ {
			first, second, ok := exchanged(pieces[r], pieces[s], a, b)
			if ok && finished(pieces[r], a, b) && finished(pieces[s], a, b) {
				swap := Swap{Before: r, After: s, Boats: [2]int{a, b}, First: first, Second: second}
				swap.weigh(pieces[r].Times, pieces[s].Times)
				out = append(out, swap)
			}
		}
	}
	return out
}

// exchanged returns the one athlete who went from boat a to boat b and the one
// who came back, if that is all that changed in the two.
func exchanged(before, after selection.Piece, a, b int) (first, second string, ok bool) {
	left := missing(before.Crews[a], after.Crews[a])
	came := missing(after.Crews[a], before.Crews[a])
	if len(left) != 1 || len(came) != 1 {
		return "", "", false
	}
	gone, new := missing(before.Crews[b], after.Crews[b]), missing(after.Crews[b], before.Crews[b])
	return left[0], came[0], slices.Equal(gone, came) && slices.Equal(new, left)
}

// missing lists who is in one crew and not in another.
func missing(crew, from []string) []string {
	var out []string
	for _, id := range crew {
		if !slices.Contains(from, id) {
			out = append(out, id)
		}
	}
	return out
}

// finished reports whether two boats of a piece have times.
func finished(p selection.Piece, a, b int) bool { return timed(p.Times[a]) && timed(p.Times[b]) }

// weigh fills the verdicts from the times of the two pieces.
func (w *Swap) weigh(before, after []float64) {
	a, b := w.Boats[0], w.Boats[1]
	w.MarginBefore, w.MarginAfter = before[b]-before[a], after[b]-after[a]
	w.ByMargin = (w.MarginBefore - w.MarginAfter) / 2
	w.ByTimes = [2]float64{after[a] - before[a], before[b] - after[b]}
	w.Agree = sign(w.ByTimes[0]) == sign(w.ByMargin) && sign(w.ByTimes[1]) == sign(w.ByMargin)
}

// ReadSwap returns what one bare seat race says by itself, all other pieces
// serving to find the scatter only: the standard error of its ByMargin, s, and the
// chance that its first athlete is the faster. A margin scatters √2 times as much
// as a boat's time, and half the change of two margins as much as one time.
func (r *Result) ReadSwap(w Swap) (sd, chance float64) {
	sd = r.Noise.SD
	return sd, r.Racing.law.CDF(w.ByMargin / sd)
}

// Contradictions lists the pairs that two judgements of the same pieces rank
// in opposite order, such as the views of the margins and of the absolute
// times. It panics when the athletes differ.
func Contradictions(a, b *Result) []Pair {
	var out []Pair
	for _, d := range a.Final().Differences() {
		if sign(d.Seconds)*sign(b.Final().Difference(d.First, d.Second).Seconds) < 0 {
			out = append(out, Pair{d.First, d.Second})
		}
	}
	return out
}
