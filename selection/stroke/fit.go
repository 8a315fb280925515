package stroke

import (
	"math"
	"sort"
)

// interpolate returns y at x on the broken line through (xs, ys), xs
// ascending and x within it.
func interpolate(xs, ys []float64, x float64) float64 {
	i := sort.SearchFloat64s(xs, x)
	switch {
	case i == 0:
		return ys[0]
	case i == len(xs):
		return ys[len(ys)-1]
	}
	return between(xs[i-1], ys[i-1], xs[i], ys[i], x)
}

// between returns y at x on the line through two points.
func between(x0, y0, x1, y1, x float64) float64 {
	if x1 == x0 {
		return (y0 + y1) / 2
	}
	w := (x - x0) / (x1 - x0)
	return y0*(1-w) + y1*w
}

// trapezoid returns ∫ y dx by the trapezoidal rule.
func trapezoid(x, y []float64) float64 {
	var sum float64
	for i := 1; i < len(x); i++ {
		sum += (x[i] - x[i-1]) * (y[i] + y[i-1]) / 2
	}
	return sum
}

// window returns the range of samples whose time is within half of at, and at
// least least samples on either side of it, as far as there are any.
func window(t []float64, at, half float64, least int) (from, to int) {
	mid := sort.SearchFloat64s(t, at)
	from, to = mid, mid
	for from > 0 && (t[from-1] >= at-half || mid-from < least) {
		from--
	}
	for to < len(t) && (t[to] <= at+half || to-mid < least) {
		to++
	}
	return from, to
}

// parabola fits y ≈ c0 + c1·x + c2·x², x = t − at, by least squares; ok is
// false when the points do not determine it.
func parabola(t, y []float64, at float64) (c [3]float64, ok bool) {
	if len(t) < 3 {
		return c, false
	}
	// Centred and scaled abscissae keep the normal equations well behaved.
	mean, half := (t[0]+t[len(t)-1])/2, (t[len(t)-1]-t[0])/2
	var s [5]float64
	var r [3]float64
	for i := range t {
		x := (t[i] - mean) / half
		p := [5]float64{1, x, x * x, x * x * x, x * x * x * x}
		for k := range s {
			s[k] += p[k]
		}
		for k := range r {
			r[k] += p[k] * y[i]
		}
	}
	q, ok := solve(&[4][5]float64{{s[0], s[1], s[2], r[0]}, {s[1], s[2], s[3], r[1]}, {s[2], s[3], s[4], r[2]}}, 3)
	if !ok {
		return c, false
	}
	// From powers of (t−mean)/half back to powers of t−at.
	d := (at - mean) / half
	return [3]float64{q[0] + q[1]*d + q[2]*d*d, (q[1] + 2*q[2]*d) / half, q[2] / (half * half)}, true
}

// solve solves the first n of up to four linear equations, rows holding the
// coefficients and, behind the n-th, the right-hand side, by elimination with
// pivots.
func solve(m *[4][5]float64, n int) (x [4]float64, ok bool) {
	for col := range n {
		pivot := col
		for row := col + 1; row < n; row++ {
			if math.Abs(m[row][col]) > math.Abs(m[pivot][col]) {
				pivot = row
			}
		}
		if math.Abs(m[pivot][col]) < 1e-9 {
			return x, false
		}
		m[col], m[pivot] = m[pivot], m[col]
		for row := col + 1; row < n; row++ {
			f := m[row][col] / m[col][col]
			for k := col; k <= n; k++ {
				m[row][k] -= f * m[col][k]
			}
		}
	}
	for row := n - 1; row >= 0; row-- {
		x[row] = m[row][n]
		for k := row + 1; k < n; k++ {
			x[row] -= m[row][k] * x[k]
		}
		x[row] /= m[row][row]
	}
	return x, true
}

// vertex finds the extreme of y near sample i: sense +1 a minimum, −1 a
// maximum. A parabola through the samples within half of it, two on each side
// at least, averages the noise; when it has no vertex there the sample itself
// stands.
func vertex(t, y []float64, i int, half, sense float64) (at, value float64) {
	at, value = t[i], y[i]
	for range 3 {
		from, to := window(t, at, half, 2)
		c, ok := parabola(t[from:to], y[from:to], at)
		if !ok || sense*c[2] <= 0 {
			break
		}
		move := -c[1] / (2 * c[2])
		if at+move < t[from] || at+move > t[to-1] {
			break
		}
		at, value = at+move, c[0]-c[1]*c[1]/(4*c[2])
	}
	return at, value
}

// crest returns the time about which the mean of y within half is largest.
func crest(t, y []float64, half float64) float64 {
	best, at, sum, from, to := math.Inf(-1), t[0], 0.0, 0, 0
	for _, mid := range t {
		for ; to < len(t) && t[to] <= mid+half; to++ {
			sum += y[to]
		}
		for ; t[from] < mid-half; from++ {
			sum -= y[from]
		}
		if m := sum / float64(to-from); m > best {
			best, at = m, mid
		}
	}
	return at
}

// bend sharpens the extreme of y near the time at: sense +1 a minimum, −1 a
// maximum. Two half parabolas that meet at the extreme are fitted to the
// samples about it, each with its own curvature: an oar leaves a
// turn faster than it comes to it, or the other way round, and the vertex of
// one parabola through both lies on the slower side. The time is improved
// step by step to first order (Gauss and Newton). reach is the time before
// and after it from which samples count. ok is false when they hold no such
// extreme.
func bend(t, y []float64, at float64, reach [2]float64, sense float64) (when, value float64, ok bool) {
	before, after := 1.0, 1.0 // curvatures, of which the larger is 1
	half := max(reach[0], reach[1])
	if half <= 0 {
		return at, 0, false
	}
	var from, to int
	for step := range 8 {
		if step < 2 { // then the same samples, so that the steps end
			from, _ = window(t, at, reach[0], 3)
			_, to = window(t, at, reach[1], 3)
		}
		c, fits := halfParabolas(t[from:to], y[from:to], at, half, before, after)
		before, after = sense*c[1], sense*c[2]
		most := max(before, after)
		if !fits || !(before > 0) || !(after > 0) {
			return at, value, false
		}
		move := -sense * c[3] * half / (2 * most)
		move = min(max(move, -half/3), half/3)
		before, after = before/most, after/most
		at, value = at+move, c[0]
		if at < t[from] || at > t[to-1] {
			return at, value, false
		}
		if step > 1 && math.Abs(move) < 1e-3*half {
			break
		}
	}
	return at, value, true
}

// halfParabolas fits y ≈ c0 + c1·x² before x = 0 and c0 + c2·x² after it, with
// x = (t − at)/half, by least squares, and with c3 the slope by which the two
// say that they meet elsewhere, weighted by their curvatures.
func halfParabolas(t, y []float64, at, half, before, after float64) ([4]float64, bool) {
	mid := sort.SearchFloat64s(t, at)
	b, a := sumPowers(t[:mid], y[:mid], at, half), sumPowers(t[mid:], y[mid:], at, half)
	slope := before*b.x[1] + after*a.x[1]
	return solve(&[4][5]float64{
		{b.x[0] + a.x[0], b.x[2], a.x[2], slope, b.y[0] + a.y[0]},
		{b.x[2], b.x[4], 0, before * b.x[3], b.y[2]},
		{a.x[2], 0, a.x[4], after * a.x[3], a.y[2]},
		{slope, before * b.x[3], after * a.x[3], before*before*b.x[2] + after*after*a.x[2], before*b.y[1] + after*a.y[1]},
	}, 4)
}

// powers holds Σ xᵏ and Σ y·xᵏ over some samples.
type powers struct {
	x [5]float64
	y [3]float64
}

func sumPowers(t, y []float64, at, half float64) (p powers) {
	p.x[0] = float64(len(t))
	for i, v := range y {
		x := (t[i] - at) / half
		xx := x * x
		p.x[1] += x
		p.x[2] += xx
		p.x[3] += x * xx
		p.x[4] += xx * xx
		p.y[0] += v
		p.y[1] += v * x
		p.y[2] += v * xx
	}
	return p
}

// noise estimates the standard deviation of white noise on y from third
// differences, in which a smooth motion all but vanishes: their variance is
// 1 + 9 + 9 + 1 = 20 times that of the noise.
func noise(y []float64) float64 {
	if len(y) < 5 {
		return 0
	}
	var sum float64
	for i := 3; i < len(y); i++ {
		d := y[i] - 3*y[i-1] + 3*y[i-2] - y[i-3]
		sum += d * d
	}
	return math.Sqrt(sum / (20 * float64(len(y)-3)))
}

// firstRise returns the first time at which y comes up to level and holds it
// on average for the time hold. Where several samples lie within half of the
// crossing a straight line through them averages the noise. ok is false when
// y never does.
func firstRise(t, y []float64, level, hold, half float64) (at float64, ok bool) {
	for i := range t {
		if y[i] < level || !holds(t, y, i, level, hold) {
			continue
		}
		if i == 0 {
			return t[0], true
		}
		at = t[i]
		if y[i-1] < level {
			at = between(y[i-1], t[i-1], y[i], t[i], level)
		}
		return throughLine(t, y, at, level, half), true
	}
	return 0, false
}

func holds(t, y []float64, i int, level, hold float64) bool {
	var sum float64
	j := i
	for ; j < len(t) && t[j] <= t[i]+hold; j++ {
		sum += y[j] - level
	}
	return sum >= 0
}

// throughLine sharpens a crossing with the line through the samples about it.
func throughLine(t, y []float64, at, level, half float64) float64 {
	from, to := window(t, at, half, 1)
	if to-from < 4 {
		return at
	}
	var n, st, sy, stt, sty float64
	for i := from; i < to; i++ {
		x := t[i] - at
		n, st, sy, stt, sty = n+1, st+x, sy+y[i]-level, stt+x*x, sty+x*(y[i]-level)
	}
	slope := (n*sty - st*sy) / (n*stt - st*st)
	move := (st*slope - sy) / (n * slope)
	if slope > 0 && math.Abs(move) <= half {
		return at + move
	}
	return at
}

// isotonic writes into fit the ascending sequence nearest to y in the sense
// of least squares, by pooling neighbours that are out of order (R. E. Barlow
// et al., Statistical Inference under Order Restrictions, 1972, chapter 1).
func isotonic(y []float64, pool *[]run, fit []float64) {
	runs := (*pool)[:0]
	for i, v := range y {
		runs = append(runs, run{v, 1, i})
		for n := len(runs); n > 1 && runs[n-2].sum*runs[n-1].n > runs[n-1].sum*runs[n-2].n; n-- {
			runs[n-2].sum += runs[n-1].sum
			runs[n-2].n += runs[n-1].n
			runs = runs[:n-1]
		}
	}
	for k, r := range runs {
		end := len(y)
		if k+1 < len(runs) {
			end = runs[k+1].from
		}
		for i := r.from; i < end; i++ {
			fit[i] = r.sum / r.n
		}
	}
	*pool = runs
}

// run is a stretch of pooled values.
type run struct {
	sum, n float64
	from   int
}
