package stroke

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"thole/rigging"
)

// Alike returns the [Likeness] of every curve of a squad to every other, as
// [Compare] gives it: m[i][j] compares curve i with curve j, so that m[j][i]
// differs from it in the sign of Shift only. What one curve needs for every
// comparison is computed once. Errors are those of Compare and name the
// curve.
func Alike(curves [][]float64, window int) ([][]Likeness, error) {
	ready, err := readyAll(curves)
	if err != nil {
		return nil, err
	}
	m := make([][]Likeness, len(curves))
	for i := range m {
		m[i] = make([]Likeness, len(curves))
	}
	inRows(len(m), func(i int) {
		row := make([]float64, len(curves[i])+1)
		for j := range i + 1 {
			l := ready[i].compare(ready[j], window, row)
			m[i][j] = l
			l.Shift = -l.Shift
			m[j][i] = l
		}
	})
	return m, nil
}

func readyAll(curves [][]float64) ([]*compared, error) {
	all := make([]*compared, len(curves))
	for i, f := range curves {
		err := sameLength(f, curves[0])
		if err == nil {
			all[i], err = ready(f)
		}
		if err != nil {
			return nil, fmt.Errorf("curve %d: %w", i, err)
		}
	}
	return all, nil
}

// inRows does the work of each row, on all processors, the longest rows first.
// The rows write to different places, so that the result does not depend on
// the order.
func inRows(n int, work func(int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := n - int(next.Add(1)); i >= 0; i = n - int(next.Add(1)) {
				work(i)
			}
		})
	}
	wait.Wait()
}

// compared is a curve with what every comparison needs of it.
type compared struct {
	f, shape []float64
	centred  []float64 // f without its mean
	sum      []float64 // sum[k] of the first k centred values
	square   []float64 // the same of their squares
}

// ready prepares a curve; it errs for one without force or without change.
func ready(f []float64) (*compared, error) {
	shape, err := Shape(f)
	if err != nil {
		return nil, err
	}
	n := len(f)
	c := &compared{f: f, shape: shape, centred: make([]float64, n), sum: make([]float64, n+1), square: make([]float64, n+1)}
	m := mean(f)
	for i, v := range f {
		d := v - m
		c.centred[i] = d
		c.sum[i+1], c.square[i+1] = c.sum[i]+d, c.square[i]+d*d
	}
	if c.square[n] == 0 {
		return nil, wrong(rigging.ProblemMismatch, "a curve that never changes has no shape to compare", "curve")
	}
	return c, nil
}

// compare compares two prepared curves; row is room for the warping.
func (a *compared) compare(b *compared, window int, row []float64) Likeness {
	if window < 0 {
		window = len(a.f)
	}
	l := Likeness{RMS: rms(a.f, b.f), D: apart(a.shape, b.shape), Warp: warp(a.f, b.f, window, row)}
	l.R, _ = a.shifted(b, 0)
	l.Shift, l.ShiftedR = a.bestShift(b)
	return l
}

// bestShift slides a along b; of equal correlations the smaller shift counts.
func (a *compared) bestShift(b *compared) (shift int, r float64) {
	r = math.Inf(-1)
	for size := range int(shiftPart*float64(len(a.f))) + 1 {
		for _, k := range [2]int{size, -size} {
			if c, ok := a.shifted(b, k); ok && c > r {
				shift, r = k, c
			}
		}
	}
	return shift, r
}

// flat is the part of a curve's own variation below which a piece of it counts
// as constant; numerical: far above the rounding of sums, far below any force.
const flat = 1e-12

// shifted returns Pearson's r between a moved forward by k nodes and b, over
// the nodes they share; ok is false where one of them is constant there.
func (a *compared) shifted(b *compared, k int) (r float64, ok bool) {
	n := len(a.f)
	i, j := max(k, 0), max(-k, 0)
	m := n - i - j
	sa, sb := a.sum[i+m]-a.sum[i], b.sum[j+m]-b.sum[j]
	va := a.square[i+m] - a.square[i] - sa*sa/float64(m)
	vb := b.square[j+m] - b.square[j] - sb*sb/float64(m)
	if va <= flat*a.square[n] || vb <= flat*b.square[n] {
		return 0, false
	}
	both := dot(a.centred[i:i+m], b.centred[j:j+m]) - sa*sb/float64(m)
	return min(max(both/math.Sqrt(va*vb), -1), 1), true
}

// dot returns Σ x·y in four sums that do not wait for each other.
func dot(x, y []float64) float64 {
	var s [4]float64
	i := 0
	for ; i+4 <= len(x); i += 4 {
		p, q := x[i:i+4:i+4], y[i:i+4:i+4]
		s[0] += p[0] * q[0]
		s[1] += p[1] * q[1]
		s[2] += p[2] * q[2]
		s[3] += p[3] * q[3]
	}
	for ; i < len(x); i++ {
		s[0] += x[i] * y[i]
	}
	return s[0] + s[1] + s[2] + s[3]
}
