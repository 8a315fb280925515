package stroke

import (
	"fmt"
	"math"

	"thole/rigging"
)

// Likeness compares two force curves f and g on one grid. Shift and ShiftedR
// keep timing apart from shape: two rowers who do the same a little apart
// have a low R and a high ShiftedR.
type Likeness struct {
	R   float64 // Pearson's correlation, −1 to 1
	RMS float64 // root mean square of f − g, in the curves' unit
	// D is half the area between the two shapes, ½∫|f/A_f − g/A_g| du over
	// the drive: 0 for curves of one shape, 1 for curves that do not
	// overlap. Seat orders use this one.
	D float64
	// Shift is how many nodes f lies later than g where the two correlate
	// best, and ShiftedR the correlation there, over the nodes they share.
	Shift    int
	ShiftedR float64
	Warp     float64 // distance by dynamic time warping, see Warp
}

// shiftPart is the part of the drive that Shift may reach to either side.
const shiftPart = 0.25

// Compare compares two curves of equal length; window limits the warping as
// in [Warp]. It errs for a curve without force or without any change.
func Compare(f, g []float64, window int) (Likeness, error) {
	d, err := Difference(f, g)
	if err != nil {
		return Likeness{}, err
	}
	r, ok := correlation(f, g)
	if !ok {
		return Likeness{}, wrong("curve", rigging.ProblemMismatch, "a curve that never changes has no shape to compare")
	}
	l := Likeness{R: r, RMS: rms(f, g), D: d}
	l.Shift, l.ShiftedR = bestShift(f, g)
	l.Warp, err = Warp(f, g, window)
	return l, err
}

// Difference returns the D of [Likeness].
func Difference(f, g []float64) (float64, error) {
	if len(f) != len(g) {
		return 0, wrong("curve", rigging.ProblemMismatch, fmt.Sprintf("the curves have %d and %d nodes", len(f), len(g)))
	}
	a, err := Shape(f)
	if err != nil {
		return 0, err
	}
	b, err := Shape(g)
	if err != nil {
		return 0, err
	}
	for i := range a {
		a[i] = math.Abs(a[i] - b[i])
	}
	return nodeMean(a) / 2, nil
}

// nodeMean returns ∫ y du over [0, 1] by the trapezoidal rule.
func nodeMean(y []float64) float64 {
	var sum float64
	for i := 1; i < len(y); i++ {
		sum += (y[i-1] + y[i]) / 2
	}
	return sum / float64(len(y)-1)
}

func rms(f, g []float64) float64 {
	var sum float64
	for i := range f {
		sum += (f[i] - g[i]) * (f[i] - g[i])
	}
	return math.Sqrt(sum / float64(len(f)))
}

// correlation returns Pearson's r; ok is false when one of the two is
// constant.
func correlation(f, g []float64) (r float64, ok bool) {
	mf, mg := mean(f), mean(g)
	var ff, gg, fg float64
	for i := range f {
		a, b := f[i]-mf, g[i]-mg
		ff, gg, fg = ff+a*a, gg+b*b, fg+a*b
	}
	if ff == 0 || gg == 0 {
		return 0, false
	}
	return min(max(fg/math.Sqrt(ff*gg), -1), 1), true
}

func mean(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// bestShift slides f along g; of equal correlations the smaller shift counts.
func bestShift(f, g []float64) (shift int, r float64) {
	n := len(f)
	r = math.Inf(-1)
	for size := range int(shiftPart*float64(n)) + 1 {
		for _, k := range [2]int{size, -size} {
			a, b := f[max(k, 0):n+min(k, 0)], g[max(-k, 0):n-max(k, 0)]
			if c, ok := correlation(a, b); ok && c > r {
				shift, r = k, c
			}
		}
	}
	return shift, r
}

// Warp returns the distance of two series under dynamic time warping: the
// root of the least sum of squared differences along a path that runs through
// both without going back (H. Sakoe and S. Chiba, IEEE Transactions on
// Acoustics, Speech, and Signal Processing 26:43, 1978, the band; unit
// weights). The path may leave the diagonal by window nodes at most; a
// negative window sets no limit. It errs for an empty series and for a window
// smaller than the difference of the lengths.
func Warp(f, g []float64, window int) (float64, error) {
	n, m := len(f), len(g)
	if n == 0 || m == 0 {
		return 0, wrong("curve", rigging.ProblemMissing, "there is nothing to warp")
	}
	if window < 0 {
		window = max(n, m)
	}
	if window < n-m || window < m-n {
		return 0, wrong("window", rigging.ProblemMismatch, "the window is smaller than the difference of the lengths")
	}
	above, row := make([]float64, m+1), make([]float64, m+1)
	for j := range above {
		above[j] = math.Inf(1)
	}
	above[0] = 0
	for i := range n {
		for j := range row {
			row[j] = math.Inf(1)
		}
		for j := max(0, i-window); j < min(m, i+window+1); j++ {
			d := f[i] - g[j]
			row[j+1] = d*d + min(above[j], above[j+1], row[j])
		}
		above, row = row, above
	}
	return math.Sqrt(above[m]), nil
}
