package rigging

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// habit indexes the parts of a posture that arcs tell about.
const (
	habitLean = iota
	habitLayback
	habitProtraction
	habitShin
	habitCount
)

// habitSD is how much the habits differ between rowers: the spread of the
// prior, rad and m. The shin's is that of 60 medallists (V. Kleshnev,
// row2k.com, March 2024: 91.6 ± 6.7°), the rest engineering judgement.
var habitSD = [habitCount]float64{float64(6 * Degree), float64(6 * Degree), 0.025, float64(6.7 * Degree)}

// unknownCount is the number of habits and segments together.
const unknownCount = habitCount + segmentCount

// Belief is what is known of a rower's habits and body together: their
// covariance, in the order lean, layback, protraction, shin and then the fields
// of Body, rad and m. A measured arc ties habits and body to each other: the
// longer the arms, the less the lean that explains it.
type Belief struct {
	Cov [unknownCount][unknownCount]float64
	// Measured says that arcs of this rower were measured, CatchMeasured that a
	// catch is among them: a finish alone shows how far the trunk swings back, and
	// no limit of the catch.
	Measured, CatchMeasured bool
}

// newBelief returns what is known before any arc: the prior of the habits, and
// the body's own covariance.
func newBelief(body *Estimate) *Belief {
	b := new(Belief)
	for i, sd := range habitSD {
		b.Cov[i][i] = sd * sd
	}
	for i := range segmentCount {
		copy(b.Cov[habitCount+i][habitCount:], body.Cov[i][:])
	}
	return b
}

// learn conditions the belief on a reading whose slopes over the unknowns are
// g and whose own standard deviation is sd.
func (b *Belief) learn(g *[unknownCount]float64, sd float64) {
	var gain [unknownCount]float64
	total := sd * sd
	for i := range gain {
		for j, slope := range g {
			gain[i] += b.Cov[i][j] * slope
		}
		total += g[i] * gain[i]
	}
	for i := range gain {
		for j := range gain {
			b.Cov[i][j] -= gain[i] * gain[j] / total
		}
	}
}

// habitFit finds the habits that explain arcs best: it makes half the sum of
// squares of what is missed least, every miss in its own standard deviations,
// the prior's among them. Habits are counted in their spreads from the prior.
type habitFit struct {
	body  *Estimate
	prior Posture
	arcs  []MeasuredArc
	sd    [habitCount]float64 // spread of the prior
	rows  int                 // angles measured

	at    [habitCount]float64 // where the following were looked up
	known bool
	miss  []float64             // of the angles
	slope [][habitCount]float64 // of the misses
	flat  bool                  // the body cannot row on both sides of at
}

func newHabitFit(body *Estimate, prior Posture, arcs []MeasuredArc, sd [habitCount]float64) *habitFit {
	f := &habitFit{body: body, prior: prior, arcs: arcs, sd: sd}
	for i := range arcs {
		if arcs[i].Catch != 0 {
			f.rows++
		}
		if arcs[i].Finish != 0 {
			f.rows++
		}
	}
	f.slope = make([][habitCount]float64, f.rows)
	return f
}

// posture returns the prior with habits x, never one that Check would refuse.
func (f *habitFit) posture(x [habitCount]float64) Posture {
	p := f.prior
	within := func(v, low, high float64) float64 { return min(high, max(low, v)) }
	p.Lean = Angle(within(float64(p.Lean)+x[habitLean]*f.sd[habitLean], float64(leanLow), float64(leanHigh)))
	p.Layback = Angle(within(float64(p.Layback)+x[habitLayback]*f.sd[habitLayback], float64(laybackLow), float64(laybackHigh)))
	p.Protraction = within(p.Protraction+x[habitProtraction]*f.sd[habitProtraction], 0, protractionHigh)
	p.Shin = Angle(within(float64(p.Shin)+x[habitShin]*f.sd[habitShin], float64(shinLow), float64(shinMost)))
	return p
}

// solve returns the stroke of one arc's rig with habits x.
func (f *habitFit) solve(arc *MeasuredArc, x [habitCount]float64) (Stroke, error) {
	c := Case{Setup: arc.Setup, Body: *f.body, Posture: f.posture(x), Handle: arc.Handle, Displacement: arc.Displacement}
	return c.Solve()
}

// misses appends the misses of the angles, each in its standard deviation.
func (f *habitFit) misses(list []float64, x [habitCount]float64) ([]float64, error) {
	for i := range f.arcs {
		arc := &f.arcs[i]
		s, err := f.solve(arc, x)
		if err != nil {
			return list, err
		}
		if arc.Catch != 0 {
			list = append(list, float64((s.Catch-arc.Catch)/arc.sd()))
		}
		if arc.Finish != 0 {
			list = append(list, float64((s.Finish-arc.Finish)/arc.finishSD()))
		}
	}
	return list, nil
}

// leanSearch is the step in which a start is looked for, in spreads of the
// lean, and leanSteps how often; numerical: together four spreads, 24°, which takes
// the tallest off every catch.
const (
	leanSearch = 0.5
	leanSteps  = 8
)

// start returns habits from which every arc's rig can be rowed: the prior's, or
// with the trunk further back where tall bodies reach past every catch.
func (f *habitFit) start() ([habitCount]float64, error) {
	var x [habitCount]float64
	_, first := f.misses(nil, x)
	for n := 0; first != nil && n < leanSteps; n++ {
		x[habitLean] -= leanSearch
		if _, err := f.misses(nil, x); err == nil {
			return x, nil
		}
	}
	return [habitCount]float64{}, first
}

// habitProbe is the step of the slopes, in spreads of the habits; numerical: less
// than a thousandth of a degree, and far above rounding.
const habitProbe = 1e-4

// look fills misses and slopes at x. Where the body cannot row on both sides
// the misses are taken as level, so that the search ends there.
func (f *habitFit) look(x [habitCount]float64) {
	if f.known && f.at == x {
		return
	}
	f.at, f.known, f.flat = x, true, false
	f.miss, _ = f.misses(f.miss[:0], x)
	var side [2][]float64
	for k := range x {
		for i, h := range [...]float64{habitProbe, -habitProbe} {
			moved := x
			moved[k] += h
			var err error
			side[i], err = f.misses(side[i][:0], moved)
			f.flat = f.flat || err != nil
		}
		if f.flat {
			clear(f.slope)
			return
		}
		for row := range f.slope {
			f.slope[row][k] = (side[0][row] - side[1][row]) / (2 * habitProbe)
		}
	}
}

// cost returns half the sum of squares; infinite where a rig cannot be rowed.
func (f *habitFit) cost(x []float64) float64 {
	miss, err := f.misses(nil, [habitCount]float64(x))
	if err != nil {
		return math.Inf(1)
	}
	return (sumSquares(miss) + sumSquares(x)) / 2
}

// gradient fills the derivatives of cost; level where there is no slope.
func (f *habitFit) gradient(grad, x []float64) {
	f.look([habitCount]float64(x))
	for k := range grad {
		grad[k] = x[k]
		if f.flat {
			grad[k] = 0
		}
		for row, m := range f.miss {
			grad[k] += f.slope[row][k] * m
		}
	}
}

// hessian fills the second derivatives of cost but for the curvature of the
// misses, which the prior outweighs.
func (f *habitFit) hessian(hess *mat.SymDense, x []float64) {
	f.look([habitCount]float64(x))
	for i := range habitCount {
		for j := i; j < habitCount; j++ {
			h := 0.0
			if i == j {
				h = 1
			}
			for row := range f.slope {
				h += f.slope[row][i] * f.slope[row][j]
			}
			hess.SetSym(i, j, h)
		}
	}
}

// settled ends the search: the norm of the gradient, in squared standard
// deviations for each spread of a habit; numerical, a habit is then off by less
// than a millionth of its spread.
const settled = 1e-9

// minimise returns the habits of least cost from a start. Newton's method stops
// short, at the best point so far, only where rounding hides any further gain.
func (f *habitFit) minimise(x [habitCount]float64) [habitCount]float64 {
	problem := optimize.Problem{Func: f.cost, Grad: f.gradient, Hess: f.hessian}
	settings := &optimize.Settings{GradientThreshold: settled, MajorIterations: 60, Converger: optimize.NeverTerminate{}}
	result, _ := optimize.Minimize(problem, x[:], settings, &optimize.Newton{Linesearcher: &optimize.Backtracking{}})
	if result == nil || math.IsInf(result.F, 0) || math.IsNaN(result.F) {
		return x
	}
	return [habitCount]float64(result.X)
}

// belief returns what is known of habits and body after the arcs, by the slopes
// where f was looked at last.
func (f *habitFit) belief() *Belief {
	b := newBelief(f.body)
	if f.flat {
		return b
	}
	for i := range f.arcs {
		arc := &f.arcs[i]
		c := Case{Setup: arc.Setup, Body: *f.body, Posture: f.posture(f.at), Handle: arc.Handle, Displacement: arc.Displacement}
		catch, finish := c.unknownSlopes()
		if arc.Catch != 0 {
			b.learn(catch, float64(arc.sd()))
		}
		if arc.Finish != 0 {
			b.learn(finish, float64(arc.finishSD()))
		}
	}
	return b
}

// habitSDs returns the standard deviations of the habits for the body as it
// stands, rad and m.
func (f *habitFit) habitSDs() [habitCount]float64 {
	hess := mat.NewSymDense(habitCount, nil)
	at := f.at
	f.hessian(hess, at[:])
	var chol mat.Cholesky
	if !chol.Factorize(hess) {
		panic("rigging: the prior of the habits is not positive")
	}
	var cov mat.SymDense
	if err := chol.InverseTo(&cov); err != nil {
		panic("rigging: inverting the habits' information: " + err.Error())
	}
	sd := f.sd
	for i := range sd {
		sd[i] *= math.Sqrt(cov.At(i, i))
	}
	return sd
}

// effectiveSpread returns the spread of the habits widened so that they stand
// for what the body leaves open too. The body stays as it was told or measured,
// and a posture that explains an arc for it has to take up what longer arms or
// legs would explain.
func (c *Case) effectiveSpread() [habitCount]float64 {
	catch, finish := c.unknownSlopes()
	sd := habitSD
	for end, g := range [...]*[unknownCount]float64{catch, finish} {
		var habits, body float64
		for i := range habitCount {
			habits += g[i] * g[i] * habitSD[i] * habitSD[i]
		}
		for i := range segmentCount {
			for j := range segmentCount {
				body += g[habitCount+i] * c.Body.Cov[i][j] * g[habitCount+j]
			}
		}
		if habits <= 0 {
			continue
		}
		wider := math.Sqrt(1 + max(0, body)/habits)
		for i := range sd {
			if (i == habitLayback) == (end == 1) {
				sd[i] *= wider
			}
		}
	}
	return sd
}

// angleProbe is the step of the difference quotients over angles, rad; numerical:
// six thousandths of a degree, far above rounding.
const angleProbe = 1e-4

// unknownSlopes returns the slopes of catch and finish over habits and
// segments, rad for each rad or m.
func (c *Case) unknownSlopes() (catch, finish *[unknownCount]float64) {
	catch, finish = new([unknownCount]float64), new([unknownCount]float64)
	m, hands := *c, c.handle()
	slots := m.unknowns()
	for i, s := range slots {
		was := s.get()
		step := probe
		if s.angle != nil {
			step = angleProbe
		}
		var side [2]Stroke
		rowed := true
		for j, h := range [...]float64{step, -step} {
			s.set(was + h)
			rowed = rowed && side[j].solve(&m.Setup, &m.Body.Body, &m.Posture, hands) == nil
		}
		s.set(was)
		if rowed {
			catch[i] = float64(side[0].Catch-side[1].Catch) / (2 * step)
			finish[i] = float64(side[0].Finish-side[1].Finish) / (2 * step)
		}
	}
	return catch, finish
}

// unknowns returns the places of the habits and segments in the case.
func (c *Case) unknowns() [unknownCount]slot {
	p := &c.Posture
	list := [unknownCount]slot{{angle: &p.Lean}, {angle: &p.Layback}, {length: &p.Protraction}, {angle: &p.Shin}}
	for i, length := range c.Body.Body.lengths() {
		list[habitCount+i] = slot{length: length}
	}
	return list
}

func sumSquares(r []float64) float64 {
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	return sum
}
