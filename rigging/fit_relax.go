package rigging

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// A relaxation is a fit without steps and without costs: the bounded least
// squares problem that makes the sum of the squared misses of a seat as small as
// it can. It is solved by damped Gauss–Newton steps (Levenberg and Marquardt)
// each of which keeps to the bounds: see [relaxation.stride].
//
// A general optimiser needs the bounds transformed away. Over the 60 problems of
// BenchmarkRelaxation gonum's BFGS and L-BFGS behind v = mid + half·sin u come to
// the same sums within a hundredth, but take 15 to 25 times as long, and a fit
// solves dozens. The estimate of habits, which has no bounds that bind, uses
// gonum's Newton method.
type relaxation struct {
	seat  *fitSeat
	knobs []knob

	// rows holds the misses of the seat with the excess over its lever cap,
	// then one pull for each knob.
	rows []float64

	jac    *mat.Dense    // derivatives of the rows by the values
	slope  []float64     // derivative of half the sum by the values
	normal *mat.SymDense // JᵀJ
	trial  [2][]float64  // misses on both sides of a difference quotient
}

// knob is one variable: a setting of the seat.
type knob struct {
	low, high float64
	probe     float64 // step of the difference quotients
	move      func(seat *fitSeat, v float64)
	// A pull draws the value home by pull·(v − home). A faint one picks, of
	// equal answers, the nearest to home.
	home, pull float64
}

// capPull is the pull of the lever ratio back under its cap, in tolerances of
// the lever ratio.
const capPull = 30

// unreachable stands for the sum of squares where a body cannot row.
const unreachable = 1e12

// relaxed is the solution of a relaxation.
type relaxed struct {
	ok     bool      // some rig in the ranges can be rowed
	values []float64 // of the knobs
	off    float64   // root of the sum of the squared misses, pulls left out
}

func newRelaxation(seat *fitSeat, knobs []knob) *relaxation {
	p := &relaxation{seat: seat, knobs: knobs, slope: make([]float64, len(knobs))}
	misses := len(seat.goals) + 1
	p.rows = make([]float64, misses+len(knobs))
	p.trial = [2][]float64{make([]float64, misses), make([]float64, misses)}
	if len(knobs) > 0 {
		p.jac = mat.NewDense(len(p.rows), len(knobs), nil)
		p.normal = mat.NewSymDense(len(knobs), nil)
	}
	return p
}

// place moves every knob to its value and fills the pulls.
func (p *relaxation) place(values []float64) {
	pulls := p.rows[len(p.misses()):]
	for i, v := range values {
		k := &p.knobs[i]
		k.move(p.seat, v)
		pulls[i] = k.pull * (v - k.home)
	}
}

// misses returns the rows without the pulls.
func (p *relaxation) misses() []float64 { return p.rows[:len(p.seat.goals)+1] }

// sum returns half the sum of squares at values, and fills rows.
func (p *relaxation) sum(values []float64) float64 {
	p.place(values)
	if !p.seat.relaxedMisses(p.misses()) {
		return unreachable
	}
	return sumSquares(p.rows) / 2
}

// relaxedMisses solves the seat and copies its misses with the excess over the
// lever cap into rows; false when the body cannot row it.
func (s *fitSeat) relaxedMisses(rows []float64) bool {
	if !s.solve() {
		return false
	}
	copy(rows, s.misses)
	excess := max(0, s.c.Setup.leverRatio()-s.leverCap)
	rows[len(s.misses)] = capPull * excess / TargetLeverRatio.Tolerance()
	return true
}

// linearise solves at values and fills rows, jac, slope and normal.
func (p *relaxation) linearise(values []float64) {
	p.sum(values)
	p.jac.Zero()
	pulls := len(p.misses())
	for i, v := range values {
		p.differentiate(i, v)
		p.jac.Set(pulls+i, i, p.knobs[i].pull)
	}
	mat.NewVecDense(len(p.slope), p.slope).MulVec(p.jac.T(), mat.NewVecDense(len(p.rows), p.rows))
	p.normal.SymOuterK(1, p.jac.T())
}

// differentiate fills column i of jac but for the pull with difference
// quotients about v: central ones, or one-sided where one side cannot be rowed.
func (p *relaxation) differentiate(i int, v float64) {
	k, base := &p.knobs[i], p.misses()
	width := 0.0
	for j, step := range [2]float64{k.probe, -k.probe} {
		k.move(p.seat, v+step)
		if p.seat.relaxedMisses(p.trial[j]) {
			width += k.probe
		} else {
			copy(p.trial[j], base)
		}
	}
	k.move(p.seat, v)
	for row := range base {
		if width > 0 {
			p.jac.Set(row, i, (p.trial[0][row]-p.trial[1][row])/width)
		}
	}
}

// solve minimises the sum from near, the solution of a problem next to this
// one, or without it from the best of several starts.
func (p *relaxation) solve(near []float64) relaxed {
	values := slices.Clone(near)
	if near == nil || p.sum(values) == unreachable {
		var ok bool
		if values, ok = p.start(); !ok {
			return relaxed{}
		}
	}
	if len(values) == 0 {
		return relaxed{ok: true, values: values, off: p.off()}
	}
	sum := p.sum(values)
	for range mostStrides {
		p.linearise(values)
		next, less := p.improve(values, sum)
		if next == nil {
			break
		}
		gain := sum - less
		values, sum = next, less
		if gain < enough*(1+sum) {
			break
		}
	}
	p.sum(values)
	return relaxed{ok: true, values: values, off: p.off()}
}

const (
	mostStrides  = 50
	mostHalvings = 8
	// enough ends the descent: a gain in squared tolerances, for each one left.
	enough = 1e-8
)

// improve returns the values after one step that lessens the sum, damping it
// more and more until it does; nil when no step does.
func (p *relaxation) improve(values []float64, sum float64) (next []float64, less float64) {
	for damping := 0.0; damping < 1e6; damping = max(1e-4, 10*damping) {
		next = p.stride(values, damping, nobody)
		if less = p.sum(next); less == unreachable {
			next, less = p.retreat(values, next, damping)
		}
		if less < sum {
			return next, less
		}
	}
	return nil, sum
}

// retreat returns the best way on where the step to next leads out of a body's
// reach: part of the step, or the step with one knob held.
func (p *relaxation) retreat(values, next []float64, damping float64) (best []float64, less float64) {
	best, less = slices.Clone(next), unreachable
	for n := 0; n < mostHalvings && less == unreachable; n++ {
		floats.Add(best, values)
		floats.Scale(0.5, best)
		less = p.sum(best)
	}
	for i := range p.knobs {
		other := p.stride(values, damping, i)
		if sum := p.sum(other); sum < less {
			best, less = other, sum
		}
	}
	return best, less
}

// nobody is the place of no knob.
const nobody = -1

// stride returns values + d, with d the least point of the damped model
//
//	slope·d + dᵀ(JᵀJ + damping·diag JᵀJ)d/2
//
// over the knobs that are free: knobs at a bound that pushes outwards are held
// there, as is the one named, and those that the step would take beyond a bound
// stop at it and are held in turn.
func (p *relaxation) stride(values []float64, damping float64, held int) []float64 {
	next := slices.Clone(values)
	free := make([]int, 0, len(values))
	for i, k := range p.knobs {
		pushed := values[i] <= k.low && p.slope[i] > 0 || values[i] >= k.high && p.slope[i] < 0
		if !pushed && i != held {
			free = append(free, i)
		}
	}
	for len(free) > 0 {
		step, ok := p.newton(values, next, free, damping)
		if !ok {
			break
		}
		inside := free[:0]
		stopped := false
		for n, i := range free {
			to, k := values[i]+step.AtVec(n), &p.knobs[i]
			next[i] = min(k.high, max(k.low, to))
			if next[i] == to {
				inside = append(inside, i)
			} else {
				stopped = true
			}
		}
		if !stopped {
			break
		}
		free = inside
	}
	return next
}

// newton returns the step of the free knobs to the least point of the damped
// model while the others go to next; false where the model has none.
func (p *relaxation) newton(values, next []float64, free []int, damping float64) (*mat.VecDense, bool) {
	a, b := mat.NewSymDense(len(free), nil), mat.NewVecDense(len(free), nil)
	held := make([]float64, len(values))
	for i := range values {
		held[i] = next[i] - values[i]
	}
	for _, i := range free {
		held[i] = 0
	}
	for n, i := range free {
		down := -p.slope[i]
		for j, d := range held {
			down -= p.normal.At(i, j) * d
		}
		b.SetVec(n, down)
		for m, j := range free[:n+1] {
			a.SetSym(n, m, p.normal.At(i, j))
		}
		a.SetSym(n, n, p.normal.At(i, i)*(1+damping))
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return nil, false
	}
	var step mat.VecDense
	return &step, chol.SolveVecTo(&step, b) == nil
}

// off returns the root of the sum of squares without the pulls.
func (p *relaxation) off() float64 { return math.Sqrt(sumSquares(p.misses())) }

// The number of starts spread over the ranges: as a rule, and while the
// seat cannot be rowed.
const (
	spreadStarts = 8
	mostStarts   = 64
)

// start returns the best of the starts; false when the seat cannot be rowed.
// The starts are the homes, points spread over the ranges and, where none of
// these will do, the ranges' ends.
func (p *relaxation) start() (best []float64, ok bool) {
	best = p.homes()
	least := p.missesAt(best)
	try := func(values []float64) {
		if sum := p.missesAt(values); sum < least {
			best, least = values, sum
		}
	}
	for n := 0; n < spreadStarts || n < mostStarts && least == unreachable; n++ {
		try(p.spreadStart(n))
	}
	for i := 0; i < len(p.knobs) && least == unreachable; i++ {
		for _, end := range [...]float64{p.knobs[i].low, p.knobs[i].high} {
			values := p.homes()
			values[i] = end
			try(values)
		}
	}
	return best, p.sum(best) < unreachable
}

// homes returns the home of every knob, or the end of its range next to it.
func (p *relaxation) homes() []float64 {
	values := make([]float64, len(p.knobs))
	for i, k := range p.knobs {
		values[i] = min(k.high, max(k.low, k.home))
	}
	return values
}

// spreadStart returns point n of an additive recurrence with the powers of the
// golden ratio, over the ranges.
func (p *relaxation) spreadStart(n int) []float64 {
	values := make([]float64, len(p.knobs))
	for i, k := range p.knobs {
		_, share := math.Modf(0.5 + float64(n)*math.Pow(math.Phi, -float64(i+1)))
		values[i] = k.low + share*(k.high-k.low)
	}
	return values
}

// missesAt returns the sum of the squared misses at values.
func (p *relaxation) missesAt(values []float64) float64 {
	p.place(values)
	if !p.seat.relaxedMisses(p.misses()) {
		return unreachable
	}
	return sumSquares(p.misses())
}
