package rigging

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// MeasuredArc is one arc measured on the water, by an angle sensor at the gate
// or on a photograph from above, with the rig it was rowed in. A zero Catch or
// Finish was not measured.
type MeasuredArc struct {
	Setup         Setup
	Handle        *Handle // nil: from the heights of gate and water
	Displacement  float64 // kg; 0: the class's with this rower
	Catch, Finish Angle
	SD            Angle // standard deviation of each angle; 0 stands for DefaultArcSD
}

// DefaultArcSD is the standard deviation assumed of a measured angle;
// engineering judgement, a gate sensor's scatter over a few strokes.
const DefaultArcSD = 0.5 * Degree

// habit indexes the posture's parameters that calibration fits.
const (
	habitLean = iota
	habitLayback
	habitProtraction
	habitCount
)

// habitSD is how much the habits differ between rowers: the spread of the
// prior, rad, rad and m; engineering judgement.
var habitSD = [habitCount]float64{float64(6 * Degree), float64(6 * Degree), 0.025}

// Calibration is the posture that explains measured arcs best.
type Calibration struct {
	Posture Posture
	// Standard deviations that remain.
	LeanSD, LaybackSD Angle
	ProtractionSD     float64 // m
	// CatchMiss and FinishMiss are modelled less measured angles, one for
	// each arc; zero where nothing was measured.
	CatchMiss, FinishMiss []Angle
	// Doubtful is true when the measured arcs ask for a posture more than
	// three standard deviations from the prior: check rig, body and sensor.
	Doubtful bool
}

// Calibrate fits lean, layback and protraction to measured arcs by least
// squares with a prior about the stated posture. Each residual counts in its
// own standard deviations; the minimum is found by damped Gauss–Newton steps.
// A measured arc that the body cannot row in its rig yields a *ReachError, an
// empty list a *FieldError.
func Calibrate(body Estimate, prior Posture, arcs []MeasuredArc) (Calibration, error) {
	f := habitFit{body: body, prior: prior, arcs: arcs}
	if f.count() == 0 {
		return Calibration{}, &FieldError{Field: "arcs", Problem: ProblemMissing, Detail: "give at least one measured catch or finish"}
	}
	x := habitsOf(&prior)
	r, err := f.residuals(x)
	if err != nil {
		return Calibration{}, err
	}
	for range 60 {
		next, nr, ok := f.improve(x, r)
		if !ok {
			break
		}
		x, r = next, nr
	}
	return f.report(x, r)
}

func habitsOf(p *Posture) [habitCount]float64 {
	return [...]float64{float64(p.Lean), float64(p.Layback), p.Protraction}
}

type habitFit struct {
	body  Estimate
	prior Posture
	arcs  []MeasuredArc
}

// count returns the number of angles measured.
func (f *habitFit) count() int {
	n := 0
	for i := range f.arcs {
		if f.arcs[i].Catch != 0 {
			n++
		}
		if f.arcs[i].Finish != 0 {
			n++
		}
	}
	return n
}

func (f *habitFit) posture(x [habitCount]float64) Posture {
	p := f.prior
	within := func(v, low, high float64) float64 { return min(high, max(low, v)) }
	// Never a posture that Check would refuse, whatever the arcs ask for.
	p.Lean = Angle(within(x[habitLean], float64(leanLow), float64(leanHigh)))
	p.Layback = Angle(within(x[habitLayback], float64(laybackLow), float64(laybackHigh)))
	p.Protraction = within(x[habitProtraction], 0, protractionHigh)
	return p
}

// solve returns the stroke of one arc with habits x.
func (f *habitFit) solve(arc *MeasuredArc, x [habitCount]float64) (Stroke, error) {
	c := Case{Setup: arc.Setup, Body: f.body, Posture: f.posture(x), Handle: arc.Handle, Displacement: arc.Displacement}
	return c.Solve()
}

// residuals returns the misses of the angles and of the prior, each in
// standard deviations.
func (f *habitFit) residuals(x [habitCount]float64) ([]float64, error) {
	r := make([]float64, 0, f.count()+habitCount)
	for i := range f.arcs {
		arc := &f.arcs[i]
		s, err := f.solve(arc, x)
		if err != nil {
			return nil, err
		}
		if arc.Catch != 0 {
			r = append(r, float64((s.Catch-arc.Catch)/arc.sd()))
		}
		if arc.Finish != 0 {
			r = append(r, float64((s.Finish-arc.Finish)/arc.sd()))
		}
	}
	for i, at := range habitsOf(&f.prior) {
		r = append(r, (x[i]-at)/habitSD[i])
	}
	return r, nil
}

func (a *MeasuredArc) sd() Angle {
	if a.SD > 0 {
		return a.SD
	}
	return DefaultArcSD
}

// jacobian returns the central difference quotients of the residuals, with
// steps of a ten-thousandth of each habit's spread; false where the body
// cannot row on both sides.
func (f *habitFit) jacobian(x [habitCount]float64, rows int) (*mat.Dense, bool) {
	j := mat.NewDense(rows, habitCount, nil)
	for k := range x {
		h := 1e-4 * habitSD[k]
		up, down := x, x
		up[k] += h
		down[k] -= h
		ru, err := f.residuals(up)
		if err != nil {
			return nil, false
		}
		rd, err := f.residuals(down)
		if err != nil {
			return nil, false
		}
		for i := range ru {
			j.Set(i, k, (ru[i]-rd[i])/(2*h))
		}
	}
	return j, true
}

// improve takes one Gauss–Newton step, halved until the sum of squares falls;
// false when it does not fall any more.
func (f *habitFit) improve(x [habitCount]float64, r []float64) ([habitCount]float64, []float64, bool) {
	j, ok := f.jacobian(x, len(r))
	if !ok {
		return x, r, false
	}
	var step mat.VecDense
	if err := step.SolveVec(j, mat.NewVecDense(len(r), r)); err != nil {
		return x, r, false
	}
	for scale := 1.0; scale > 1e-6; scale /= 2 {
		next := x
		for k := range next {
			next[k] -= scale * step.AtVec(k)
		}
		if nr, err := f.residuals(next); err == nil && sumSquares(nr) < sumSquares(r) {
			return next, nr, true
		}
	}
	return x, r, false
}

func sumSquares(r []float64) float64 {
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	return sum
}

// report turns the solution into a Calibration; the covariance of the habits
// is the inverse of JᵀJ, the residuals being in standard deviations.
func (f *habitFit) report(x [habitCount]float64, r []float64) (Calibration, error) {
	c := Calibration{
		Posture: f.posture(x), // and the prior's spread, unless the arcs narrow it
		LeanSD:  Angle(habitSD[habitLean]), LaybackSD: Angle(habitSD[habitLayback]), ProtractionSD: habitSD[habitProtraction],
	}
	for i := range f.arcs {
		arc := &f.arcs[i]
		s, err := f.solve(arc, x)
		if err != nil {
			return Calibration{}, err
		}
		c.CatchMiss = append(c.CatchMiss, missOf(s.Catch, arc.Catch))
		c.FinishMiss = append(c.FinishMiss, missOf(s.Finish, arc.Finish))
	}
	for _, v := range r[len(r)-habitCount:] {
		c.Doubtful = c.Doubtful || math.Abs(v) > 3
	}
	if j, ok := f.jacobian(x, len(r)); ok {
		var normal, cov mat.Dense
		normal.Mul(j.T(), j)
		if err := cov.Inverse(&normal); err == nil {
			c.LeanSD, c.LaybackSD = rootAngle(cov.At(habitLean, habitLean)), rootAngle(cov.At(habitLayback, habitLayback))
			c.ProtractionSD = math.Sqrt(cov.At(habitProtraction, habitProtraction))
		}
	}
	return c, nil
}

func missOf(model, measured Angle) Angle {
	if measured == 0 {
		return 0
	}
	return model - measured
}
