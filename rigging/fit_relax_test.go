package rigging

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// relaxSeat returns a sculling or a sweep seat with goals that its settings may
// or may not reach.
func relaxSeat(r *rand.Rand) (*fitSeat, map[Setting]Adjustment) {
	in := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	setup := Setup{
		OarLength: 3.75, Inboard: 1.15, GateHeight: in(0.14, 0.19), Side: Port,
		HeelToPin: in(0.15, 0.30), HeelDepth: in(0.14, 0.20), PlateAngle: 42 * Degree, SeatOverWater: DefaultSeatOverWater,
	}
	setup.Class, _ = ClassByCode("8+")
	setup.Spread = in(0.83, 0.88)
	if r.IntN(2) == 0 {
		setup.Class, _ = ClassByCode("1x")
		setup.Span, setup.Spread, setup.OarLength, setup.Inboard = in(1.56, 1.60), 0, 2.88, 0.88
		setup.GateDifference = 0.01
	}
	c := NewCase(setup, &Measures{Sex: Male, Stature: in(1.65, 2.00)})
	ends := DefaultTargets(setup.Class)
	targets := FitTargets{
		TargetCatch:      {Value: float64(ends.Catch) + deg(in(-8, 8)), Weight: in(0.5, 2)},
		TargetFinish:     {Value: float64(ends.Finish) + deg(in(-8, 8))},
		TargetLeverRatio: {Value: in(2.0, 2.3)},
		TargetDrawHeight: {},
	}
	adjust := setup.Adjustments()
	return newFitSeat(&c, targets.resolved(&c, adjust)), adjust
}

func someRelaxation(seed uint64) *relaxation {
	r := rand.New(rand.NewPCG(seed, 7))
	seat, adjust := relaxSeat(r)
	s := newSearch(seat, adjust)
	return newRelaxation(seat, s.knobs(s.movable))
}

// TestRelaxationGradient holds the slope and the Jacobian against difference
// quotients of another library at another step.
func TestRelaxationGradient(t *testing.T) {
	for seed := range uint64(20) {
		p := someRelaxation(seed)
		values, ok := p.start()
		if !ok {
			t.Fatalf("seed %d cannot be rowed", seed)
		}
		p.linearise(values)
		slope, jac := append([]float64(nil), p.slope...), mat.DenseCopyOf(p.jac)
		// Both formulas are of second order: errors go with the squares of
		// the steps, 1e-5 and 2e-5 m.
		want := fd.Gradient(nil, p.sum, values, &fd.Settings{Formula: fd.Central, Step: 2e-5})
		for i := range want {
			if math.Abs(slope[i]-want[i]) > 1e-5*(1+math.Abs(want[i])) {
				t.Errorf("seed %d: slope %d = %.9g, difference quotient %.9g", seed, i, slope[i], want[i])
			}
		}
		wantJac := mat.NewDense(len(p.rows), len(values), nil)
		fd.Jacobian(wantJac, func(rows, values []float64) {
			p.sum(values)
			copy(rows, p.rows)
		}, values, &fd.JacobianSettings{Formula: fd.Central, Step: 2e-5})
		if !mat.EqualApprox(jac, wantJac, 1e-4) {
			t.Errorf("seed %d: the Jacobian differs from its difference quotients", seed)
		}
	}
}

// TestRelaxationAgreesWithGeneralOptimiser solves the same problems with
// gonum's BFGS method, which knows no bounds: v = mid + half·sin u frees it.
func TestRelaxationAgreesWithGeneralOptimiser(t *testing.T) {
	bound := 0
	for seed := range uint64(15) {
		p := someRelaxation(seed)
		got := p.solve(nil)
		least := p.sum(got.values)
		other := sineMinimum(p)
		if least > other*(1+1e-6)+1e-6 {
			t.Errorf("seed %d: half the sum of squares %.9g, a general optimiser finds %.9g", seed, least, other)
		}
		for i, k := range p.knobs {
			if got.values[i] < k.low || got.values[i] > k.high {
				t.Errorf("seed %d: knob %d at %g is outside %g to %g", seed, i, got.values[i], k.low, k.high)
			}
			if got.values[i] == k.low || got.values[i] == k.high {
				bound++
			}
		}
	}
	if bound == 0 {
		t.Error("no problem has its answer at a bound")
	}
}

// sineProblem is the relaxation over u with v = mid + half·sin u.
func sineProblem(p *relaxation) optimize.Problem {
	values := func(u []float64) []float64 {
		v := make([]float64, len(u))
		for i, k := range p.knobs {
			v[i] = (k.low+k.high)/2 + (k.high-k.low)/2*math.Sin(u[i])
		}
		return v
	}
	return optimize.Problem{
		Func: func(u []float64) float64 { return p.sum(values(u)) },
		Grad: func(g, u []float64) {
			p.linearise(values(u))
			for i, k := range p.knobs {
				g[i] = p.slope[i] * (k.high - k.low) / 2 * math.Cos(u[i])
			}
		},
	}
}

// sineMinimum minimises the relaxation over u from several starts.
func sineMinimum(p *relaxation) float64 {
	problem := sineProblem(p)
	least := math.Inf(1)
	r := rand.New(rand.NewPCG(3, 5))
	for range 6 {
		u := make([]float64, len(p.knobs))
		for i := range u {
			u[i] = 2 * (r.Float64() - 0.5)
		}
		// A line search may end with an error at the rounding of the
		// gradient; what it has found by then still counts.
		result, _ := optimize.Minimize(problem, u, nil, &optimize.BFGS{})
		if result != nil {
			least = min(least, result.F)
		}
	}
	return least
}

// TestRelaxationKeepsToLeverCap holds a junior's relaxation to the present
// lever ratio.
func TestRelaxationKeepsToLeverCap(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	seat, adjust := relaxSeat(r)
	seat.leverCap = seat.found.leverRatio()
	for i := range seat.goals {
		if g := &seat.goals[i]; g.target == TargetLeverRatio {
			g.want = seat.leverCap + 0.3
		}
	}
	s := newSearch(seat, adjust)
	p := newRelaxation(seat, s.knobs(s.movable))
	p.place(p.solve(nil).values)
	if got := seat.c.Setup.leverRatio(); got > seat.leverCap+0.001 {
		t.Errorf("lever ratio %.4f is above the cap %.4f", got, seat.leverCap)
	}
}

// relaxationProblems is how many problems the comparison with a general
// optimiser runs over.
const relaxationProblems = 60

// BenchmarkRelaxation solves the same problems by the strides of this package
// and by gonum's BFGS and L-BFGS over u with v = mid + half·sin u, from the same
// start. Besides the time it reports how many come out worse than the best of
// the three by more than a hundredth of half a squared tolerance.
func BenchmarkRelaxation(b *testing.B) {
	best := make([]float64, relaxationProblems)
	methods := map[string]func(p *relaxation) float64{
		"strides": func(p *relaxation) float64 { return p.sum(p.solve(nil).values) },
		"BFGS":    func(p *relaxation) float64 { return sineFromStart(p, &optimize.BFGS{}) },
		"LBFGS":   func(p *relaxation) float64 { return sineFromStart(p, &optimize.LBFGS{}) },
	}
	for i := range best {
		best[i] = math.Inf(1)
		for _, solve := range methods {
			best[i] = min(best[i], solve(someRelaxation(uint64(i))))
		}
	}
	for name, solve := range methods {
		b.Run(name, func(b *testing.B) {
			worse, n := 0, 0
			for b.Loop() {
				if solve(someRelaxation(uint64(n%relaxationProblems))) > best[n%relaxationProblems]+0.01 {
					worse++
				}
				n++
			}
			b.ReportMetric(100*float64(worse)/float64(n), "%worse")
		})
	}
}

// sineFromStart is sineMinimum from the relaxation's own start.
func sineFromStart(p *relaxation, method optimize.Method) float64 {
	start, ok := p.start()
	if !ok {
		return unreachable
	}
	problem, u := sineProblem(p), make([]float64, len(start))
	for i, k := range p.knobs {
		share := 2*(start[i]-k.low)/(k.high-k.low) - 1
		u[i] = math.Asin(min(0.99, max(-0.99, share))) // at ±1 there is no slope
	}
	result, _ := optimize.Minimize(problem, u, nil, method)
	if result == nil {
		return unreachable
	}
	return result.F
}
