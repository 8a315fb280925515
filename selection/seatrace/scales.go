package seatrace

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// scales judges two scales from data in independent directions: the standard
// deviation σ of a boat's time, and the factor s by which the standard
// deviations of a prior have to be multiplied. Of the data, df directions hold
// noise alone, with the sum of squares rss; the k-th of the others was turned
// to hold a value of variance σ² + s²λ_k. With flat beliefs the weight is the
// restricted likelihood of a model with one random factor (H. D. Patterson and
// R. Thompson, "Recovery of inter-block information when block sizes are
// unequal", Biometrika 58:545, 1971).
type scales struct {
	df             int
	rss            float64   // s²
	lambda, square []float64 // λ_k > 0 and the squared value, s²
	noise, spread  belief    // of ln σ and ln s
}

// belief is a normal distribution of the logarithm of a scale. With sd 0 the
// scale is known, with sd +Inf nothing is held of it.
type belief struct{ mean, sd float64 }

// known is the belief in one value.
func known(value float64) belief { return belief{mean: math.Log(value)} }

// about is the belief in a scale whose mean square is that of the given value
// and whose logarithm has the standard deviation sd.
func about(value, sd float64) belief { return belief{math.Log(value) - sd*sd, sd} }

// logDensity returns the logarithm of the density at x, up to a constant.
func (b belief) logDensity(x float64) float64 {
	if b.sd == 0 {
		return 0
	}
	z := (x - b.mean) / b.sd
	return -z * z / 2
}

// logWeight returns the logarithm of the weight of ln σ = u and ln s = v.
func (q *scales) logWeight(u, v float64) float64 {
	noise, spread := math.Exp(2*u), math.Exp(2*v)
	out := q.noise.logDensity(u) + q.spread.logDensity(v)
	if q.df > 0 {
		out -= float64(q.df)*u + q.rss/(2*noise)
	}
	for k, l := range q.lambda {
		variance := noise + spread*l
		out -= math.Log(variance)/2 + q.square[k]/(2*variance)
	}
	return out
}

// free reports which of ln σ and ln s are open.
func (q *scales) free() (places []int) {
	if q.noise.sd > 0 {
		places = append(places, 0)
	}
	if q.spread.sd > 0 && len(q.lambda) > 0 {
		places = append(places, 1)
	}
	return places
}

// point returns ln σ and ln s, of which those at the free places are in x.
func (q *scales) point(free []int, x []float64) (u, v float64) {
	at := [2]float64{q.noise.mean, q.spread.mean}
	for k, place := range free {
		at[place] = x[k]
	}
	return at[0], at[1]
}

// The bounds of the logarithms within which the peak is searched; numerical: beyond
// them, a factor of 7·10¹⁰, a scale counts as nothing or as everything.
const leastLog, greatestLog = -25, 25

// peak returns the point of the greatest weight, by the free places.
func (q *scales) peak(free []int) []float64 {
	start := make([]float64, len(free))
	u, v := q.point(nil, nil)
	for k, place := range free {
		start[k] = [2]float64{u, v}[place]
	}
	loss := func(x []float64) float64 {
		out := 0.0
		for _, l := range x {
			if l < leastLog || l > greatestLog {
				out = math.Inf(1)
			}
		}
		u, v := q.point(free, x)
		return out - q.logWeight(u, v)
	}
	settings := optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-10, Iterations: 20}}
	best, err := optimize.Minimize(optimize.Problem{Func: loss}, start, &settings, &optimize.NelderMead{})
	if err != nil {
		panic("seatrace: peak of the scales: " + err.Error())
	}
	return best.X
}

// node is one value of the scales with its share of the weight, by spreadBelief
// and by spreadGuard.
type node struct {
	weight, guard float64
	noise, spread float64 // noise in s
}

// grid says how nodes are laid out: their distance in standard deviations of
// the peak, how many stand on either side of it, and how far below the peak in
// logarithms a node is left out.
type grid struct {
	step  float64
	reach int
	faint float64
}

// grids holds the layout by the number of open scales; numerical. Along one the sums are off by some 1e-4;
// with two, chances and coverage by less than 1e-3, for a quarter of the work
// that the finer steps would take.
var grids = [...]grid{1: {1, 9, 9}, 2: {1.6, 5, 7}}

// nodes spreads values of the scales over all that the weight allows.
func (q *scales) nodes() []node {
	free := q.free()
	if len(free) == 0 {
		return []node{{1, 1, math.Exp(q.noise.mean), math.Exp(q.spread.mean)}}
	}
	top := q.peak(free)
	axes := q.axes(free, top)
	u, v := q.point(free, top)
	best := q.logWeight(u, v)
	var out []node
	layout := grids[len(free)]
	for _, step := range layout.places(len(free)) {
		u, v := q.point(free, along(top, axes, step))
		if log := q.logWeight(u, v) - best; log > -layout.faint {
			log -= q.spread.logDensity(v)
			weight, guard := math.Exp(log+spreadBelief.logDensity(v)), math.Exp(log+spreadGuard.logDensity(v))
			out = append(out, node{weight, guard, math.Exp(u), math.Exp(v)})
		}
	}
	normalise(out)
	return out
}

// along returns the point at so many steps along the axes.
func along(from []float64, axes *mat.TriDense, steps []float64) []float64 {
	x := append([]float64(nil), from...)
	for i := range x {
		for j, s := range steps {
			x[i] += axes.At(i, j) * s
		}
	}
	return x
}

// normalise makes the weights of nodes add up to 1.
func normalise(nodes []node) {
	weight, guard := 0.0, 0.0
	for _, n := range nodes {
		weight, guard = weight+n.weight, guard+n.guard
	}
	for k := range nodes {
		nodes[k].weight /= weight
		nodes[k].guard /= guard
	}
}

// places lists the steps to every node of a grid of one or two dimensions.
func (g grid) places(dimensions int) (out [][]float64) {
	for i := -g.reach; i <= g.reach; i++ {
		if dimensions == 1 {
			out = append(out, []float64{g.step * float64(i)})
			continue
		}
		for j := -g.reach; j <= g.reach; j++ {
			out = append(out, []float64{g.step * float64(i), g.step * float64(j)})
		}
	}
	return out
}

// axes returns the triangular root of the covariance that the curvature at the
// peak stands for.
func (q *scales) axes(free []int, top []float64) *mat.TriDense {
	n := len(free)
	const h = 0.02 // of a logarithm; numerical: the quotients' error is of its square
	value := func(i, j int, a, b float64) float64 {
		x := append([]float64(nil), top...)
		x[i] += a * h
		x[j] += b * h
		u, v := q.point(free, x)
		return q.logWeight(u, v)
	}
	bend := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			bend.SetSym(i, j, -(value(i, j, 1, 1)-value(i, j, 1, -1)-value(i, j, -1, 1)+value(i, j, -1, -1))/(4*h*h))
		}
	}
	var curve mat.Cholesky
	var cov mat.SymDense
	if !curve.Factorize(bend) || curve.InverseTo(&cov) != nil || !curve.Factorize(&cov) {
		panic("seatrace: the weight of the scales has no peak")
	}
	var root mat.TriDense
	curve.LTo(&root)
	return &root
}
