package seatrace

import (
	"cmp"
	"math"
	"slices"

	"thole/rigging"
	"thole/selection"
)

// NextPiece is one more piece that could be rowed.
type NextPiece struct {
	Crews [][]string
	// Swapped names the two athletes who change places against the last
	// piece; empty for the same crews again.
	Swapped Pair
	// Missing counts the wanted differences that would stay open.
	Missing int
	// SD is the root mean variance of the other comparisons once the
	// piece is rowed, s.
	SD float64
}

// NextPieces lists the pieces that could follow the last one with at most one
// exchange of two athletes, the one that settles most of the wanted
// differences first: by the number left open, then by their mean variance. No
// wanted pair stands for all. Athletes who sat the last piece out may be
// exchanged in; nobody changes sides when Options.Sides names them.
func (r *Result) NextPieces(wanted []Pair) ([]NextPiece, error) {
	if errs := checkPairs(wanted, r.table.ids); errs != nil {
		return nil, errs
	}
	pairs := r.table.pairs(wanted)
	var out []NextPiece
	for _, n := range r.candidates() {
		n.Missing, n.SD = r.predict(n.Crews, pairs)
		out = append(out, n)
	}
	slices.SortStableFunc(out, func(a, b NextPiece) int {
		return cmp.Or(cmp.Compare(a.Missing, b.Missing), cmp.Compare(rounded(a.SD), rounded(b.SD)))
	})
	return out, nil
}

// rounded removes the digits of a standard deviation that rounding may have
// touched, so that equals stay in their order.
func rounded(sd float64) float64 { return math.Round(sd * 1e9) }

// candidates lists the last crews again and every exchange in them.
func (r *Result) candidates() []NextPiece {
	last := r.pieces[len(r.pieces)-1].Crews
	out := []NextPiece{{Crews: last}}
	boat := map[string]int{}
	for _, id := range r.table.ids {
		boat[id] = -1
	}
	for b, crew := range last {
		for _, id := range crew {
			boat[id] = b
		}
	}
	for i, a := range r.table.ids {
		for _, b := range r.table.ids[i+1:] {
			if boat[a] != boat[b] && sameSide(r.options.Sides, a, b) {
				out = append(out, NextPiece{Crews: exchange(last, a, b), Swapped: Pair{a, b}})
			}
		}
	}
	return out
}

// sameSide reports whether no known side keeps two athletes from exchanging.
func sameSide(sides map[string]rigging.Side, a, b string) bool {
	return sides[a] == 0 || sides[b] == 0 || sides[a] == sides[b]
}

// PairsOfOneSide lists the pairs of athletes who can take each other's seat: port
// with port and starboard with starboard, and who rows both sides, or no sweep
// boat, with everybody. It is nil where that is every pair, as in sculling boats.
func PairsOfOneSide(ids []string, sides map[string]rigging.Side) []Pair {
	var list []Pair
	apart := false
	for i, a := range ids {
		for _, b := range ids[i+1:] {
			if sameSide(sides, a, b) {
				list = append(list, Pair{a, b})
			} else {
				apart = true
			}
		}
	}
	if !apart {
		return nil
	}
	return list
}

// exchange returns crews with two athletes in each other's places.
func exchange(crews [][]string, a, b string) [][]string {
	out := make([][]string, len(crews))
	for k, crew := range crews {
		out[k] = slices.Clone(crew)
		for s, id := range crew {
			switch id {
			case a:
				out[k][s] = b
			case b:
				out[k][s] = a
			}
		}
	}
	return out
}

// predict returns how many of the pairs stay open and the root mean variance
// of the others after one more piece of the given crews.
func (r *Result) predict(crews [][]string, pairs [][2]int) (missing int, sd float64) {
	t := *r.table
	t.pieces++
	for b, crew := range crews {
		t.rows = append(slices.Clip(t.rows), row{t.pieces - 1, b, t.places(crew), 1})
	}
	d := newDesign(&t, r.options.Model)
	noise := r.Noise.SD * r.Noise.SD
	if r.options.Prior != nil {
		mean, sds := r.options.Prior.terms(t.ids)
		at := newJoint(d.z, d.y, mean, sds).at(node{1, 1, r.Noise.SD, r.PriorScale})
		return 0, rootMean(pairs, func(i, j int) float64 { return pairForm(at.cov, i, j) })
	}
	s := d.solve()
	open := s.open()
	var settled [][2]int
	for _, p := range pairs {
		if roughlyZero(pairForm(open, p[0], p[1])) {
			settled = append(settled, p)
		}
	}
	sd = rootMean(settled, func(i, j int) float64 { return noise * pairForm(s.cov, i, j) })
	return len(pairs) - len(settled), sd
}

// rootMean returns the root of the mean variance of pairs, 0 for none.
func rootMean(pairs [][2]int, variance func(i, j int) float64) float64 {
	sum := 0.0
	for _, p := range pairs {
		sum += variance(p[0], p[1])
	}
	return math.Sqrt(max(sum, 0) / float64(max(len(pairs), 1)))
}

// checkPairs returns what cannot be right in the wanted pairs.
func checkPairs(wanted []Pair, ids []string) rigging.FieldErrors {
	var errs rigging.FieldErrors
	for k, p := range wanted {
		for _, id := range []string{p.First, p.Second} {
			if _, ok := slices.BinarySearch(ids, id); !ok {
				errs = append(errs, selection.ErrorAt(rigging.PlaceOf(selection.FieldPairs).Item(k), rigging.ProblemUnknown, "pair %d: %q is not one of the athletes", k+1, id))
			}
		}
		if p.First == p.Second {
			errs = append(errs, selection.ErrorAt(rigging.PlaceOf(selection.FieldPairs).Item(k), rigging.ProblemMismatch, "pair %d names %s twice", k+1, p.First))
		}
	}
	return errs
}

// pairs returns the places of the wanted pairs, or every pair for none.
func (t *table) pairs(wanted []Pair) [][2]int {
	var out [][2]int
	for _, p := range wanted {
		out = append(out, [2]int{t.index[p.First], t.index[p.Second]})
	}
	if len(wanted) > 0 {
		return out
	}
	for i := range t.ids {
		for j := i + 1; j < len(t.ids); j++ {
			out = append(out, [2]int{i, j})
		}
	}
	return out
}
