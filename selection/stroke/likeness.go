package stroke

import (
	"fmt"
	"math"

	"thole/rigging"
)

// Likeness compares two force curves f and g on one grid. Shift and ShiftedR
// keep timing apart from shape: two rowers who do the same a little apart
// have a low R and a high ShiftedR.
//
// Matched curves are a coach's hypothesis and no proven gain in speed. In one study
// neither power nor timing nor drag told which pairs were fast (A. Baudouin and D.
// Hawkins, Journal of Biomechanics 37:969, 2004), half a century of research has not
// settled on a best shape (J. Warmenhoven et al., Sports Medicine 48:2703, 2018), and
// in a pair the two rowers have to pull differently for the boat to run straight (R.
// Smith and C. Draper, ISBS).
type Likeness struct {
	R   float64 // Pearson's correlation, −1 to 1
	RMS float64 // root mean square of f − g, in the curves' unit
	// D is half the area between the two shapes, ½∫|f/A_f − g/A_g| du over
	// the drive: 0 for curves of one shape, 1 for curves that do not
	// overlap. Line-ups use this one.
	D float64
	// Shift is how many nodes f lies later than g where the two correlate
	// best, and ShiftedR the correlation there, over the nodes they share.
	Shift    int
	ShiftedR float64
	// Warp is the distance by dynamic time warping, in the curves' unit: the
	// root of the least sum of squared differences.
	Warp float64
}

// shiftPart is the part of the drive that Shift may reach to either side. A
// judgement of this package: no two rowers of a crew are further apart.
const shiftPart = 0.25

// Compare compares two curves of equal length. The warping may bend the drive
// by window nodes at most; a negative window sets no limit. It errs for a
// curve without force or without any change.
func Compare(f, g []float64, window int) (Likeness, error) {
	if err := sameLength(f, g); err != nil {
		return Likeness{}, err
	}
	a, err := ready(f)
	if err != nil {
		return Likeness{}, err
	}
	b, err := ready(g)
	if err != nil {
		return Likeness{}, err
	}
	return a.compare(b, window, make([]float64, len(g)+1)), nil
}

func sameLength(f, g []float64) error {
	if len(f) != len(g) {
		return wrong(rigging.ProblemMismatch, fmt.Sprintf("the curves have %d and %d nodes", len(f), len(g)), "curve")
	}
	return nil
}

// apart returns half the area between two shapes by the trapezoidal rule.
func apart(a, b []float64) float64 {
	last := len(a) - 1
	sum := -(math.Abs(a[0]-b[0]) + math.Abs(a[last]-b[last])) / 2
	for i := range a {
		sum += math.Abs(a[i] - b[i])
	}
	return sum / float64(last) / 2
}

func rms(f, g []float64) float64 {
	var sum float64
	for i := range f {
		sum += (f[i] - g[i]) * (f[i] - g[i])
	}
	return math.Sqrt(sum / float64(len(f)))
}

func mean(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// warp returns the distance of two series under dynamic time warping: the root
// of the least sum of squared differences along a path that runs through both
// without going back (H. Sakoe and S. Chiba, IEEE Transactions on Acoustics,
// Speech, and Signal Processing 26:43, 1978, the band; unit weights). The path
// may leave the diagonal by window nodes at most, which is no less than the
// difference of the lengths. row is room for len(g) + 1 numbers: one row of
// the table of partial sums is kept, row[j+1] being the sum up to g[j], of the
// line above until it is overwritten.
func warp(f, g []float64, window int, row []float64) float64 {
	for j := range row {
		row[j] = math.Inf(1)
	}
	row[0] = 0
	for i, x := range f {
		from, to := max(0, i-window), min(len(g), i+window+1)
		above := row[from+1 : to+1]
		diagonal, left := row[from], math.Inf(1)
		row[from] = left
		for j, y := range g[from:to] {
			up := above[j]
			left = (x-y)*(x-y) + min(left, min(diagonal, up))
			above[j], diagonal = left, up
		}
	}
	return math.Sqrt(row[len(g)])
}
