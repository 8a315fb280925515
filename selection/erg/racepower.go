package erg

import (
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Model is a Gaussian model of the logarithm of an athlete's test powers:
//
//	ln P = μ + f(day) − b·x + c·x² + g·z + e
//
// with x = ln(distance/2000 m) and z = ln(mass then / mass now). Race power
// is exp(μ + f) on the day asked about. μ is left wholly to the tests; f is
// fitness, which wanders about 0 with SD FitnessSD and a correlation that
// halves every HalfLife; b, c and g are the athlete's own, spread about the
// means given; e is new for each test. So recent tests weigh more, tests near
// 2000 m weigh more, and what a few tests cannot show stays uncertain.
//
// Every SD is multiplied by one scale that is learned from how well the tests
// agree; its prior counts as PriorDegrees degrees of freedom and has mean 1
// for the variance. One test leaves it at 1.
type Model struct {
	TestSD          float64 // SD of e
	FitnessSD       float64 // SD of f
	HalfLife        float64 // days
	Exponent        float64 // mean of b
	ExponentSD      float64 // SD of b
	CurvatureSD     float64 // SD of c, whose mean is 0
	MassExponent    float64 // mean of g
	MassExponentSD  float64 // SD of g
	PriorDegrees    float64 // above 2
	DoubtedResidual float64 // standardised residual beyond which a test is asked about
}

// DefaultModel returns the model with the constants whose sources [Constants] gives.
func DefaultModel() Model {
	return Model{
		TestSD:          0.02,
		FitnessSD:       0.04,
		HalfLife:        120,
		Exponent:        0.20,
		ExponentSD:      0.04,
		CurvatureSD:     0.03,
		MassExponent:    1.0 / 3,
		MassExponentSD:  1.0 / 3,
		PriorDegrees:    6,
		DoubtedResidual: 4,
	}
}

// coverage is the probability that an interval [Low, High] claims; engineering
// judgement: of ten athletes one may lie outside.
const coverage = 0.90

// Estimate is an athlete's race power over 2000 m on one day.
type Estimate struct {
	Power     float64 // W, the median
	SD        float64 // W
	LogSD     float64 // SD of ln Power
	Low, High float64 // W, ends of the 90 % interval

	// Weights shows how much each test counted; they sum to 1. Weights below
	// 0 occur when a test serves mainly to correct others.
	Weights []float64
	// Expected is by test the power in W that the others lead one to expect of
	// it, at its distance, day and mass; nil where there are no others.
	Expected []float64
	// Doubts are the tests to ask about again; they were used all the same.
	Doubts []Doubt
}

// Doubt is a reason to look at one test again.
type Doubt struct {
	Test int    // index
	Text string // a sentence
}

// RacePower estimates an athlete's power over 2000 m on a day, counted like
// the days of the tests, from all of them. Mass is the athlete's mass in kg
// on that day; where it or a test's mass is 0, no change of mass is taken into
// account. It errs on values that are impossible and on tests after the day.
func (m Model) RacePower(tests []Test, day int, mass float64) (Estimate, error) {
	m.mustBeSound()
	if err := checkTests(tests, day, mass); err != nil {
		return Estimate{}, err
	}
	obs := m.observe(tests, day, mass)
	k := obs.krige()
	degrees := m.PriorDegrees + float64(len(tests)-1)
	scale := (m.PriorDegrees - 2 + k.misfit) / (degrees - 2)

	est := Estimate{Power: math.Exp(k.mean), LogSD: math.Sqrt(scale * k.variance), Weights: k.weights}
	est.SD = est.Power * est.LogSD
	est.setInterval(est.LogSD * studentFactor(degrees))
	est.Expected = k.expected(tests)
	est.Doubts = m.doubts(tests, est.Expected, k)
	return est, nil
}

// studentFactors holds the factors that were asked for, by their degrees of freedom:
// the quantile is found by iteration, and a squad asks for the same few again and again.
var studentFactors sync.Map

// studentFactor is the half-width of the interval in SDs of a Student t
// distribution with these degrees of freedom.
func studentFactor(degrees float64) float64 {
	found, ok := studentFactors.Load(degrees)
	if !ok {
		found, _ = studentFactors.LoadOrStore(degrees, findStudentFactor(degrees))
	}
	return found.(float64)
}

func findStudentFactor(degrees float64) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: degrees}
	return t.Quantile((1+coverage)/2) * math.Sqrt((degrees-2)/degrees)
}

func (e *Estimate) setInterval(half float64) {
	e.Low, e.High = e.Power*math.Exp(-half), e.Power*math.Exp(half)
}

// ByDoubling returns the time over a distance in m by the rule of 5 s per 500 m
// more for each doubling, from race power; false where the rule leads below any
// pace. Its SD is that of one test to come: race power, how far athletes part
// from the rule and bend away from it, and the scatter of a test, all as
// independent. It panics on an estimate without power.
func (m Model) ByDoubling(e Estimate, distance float64) (p Predicted, ok bool) {
	m.mustBeSound()
	mustBePositive("distance", distance)
	pace := PaceByDoubling(Pace(e.Power), RaceDistance, distance)
	if pace <= 0 {
		return Predicted{}, false
	}
	x := math.Log(distance / RaceDistance)
	logSD := math.Sqrt(e.LogSD*e.LogSD + math.Pow(m.ExponentSD*x, 2) + math.Pow(m.CurvatureSD*x*x, 2) + m.TestSD*m.TestSD)
	normal := distuv.UnitNormal.Quantile((1 + coverage) / 2)
	t, third := distance*pace, logSD/3 // time goes with the cube root of power
	return Predicted{Time: t, SD: t * third, Low: t * math.Exp(-normal*third), High: t * math.Exp(normal*third)}, true
}

// observations are the tests as the linear model sees them.
type observations struct {
	y       []float64     // ln power, moved to 2000 m and today's mass by the mean exponents
	cov     *mat.SymDense // of y, given μ
	toNow   []float64     // covariance of y with today's fitness
	nowSelf float64       // variance of today's fitness
}

func (m Model) observe(tests []Test, day int, mass float64) observations {
	n := len(tests)
	o := observations{y: make([]float64, n), cov: mat.NewSymDense(n, nil), toNow: make([]float64, n), nowSelf: m.FitnessSD * m.FitnessSD}
	x, z := make([]float64, n), make([]float64, n)
	for i, t := range tests {
		x[i], z[i] = math.Log(t.Distance/RaceDistance), massChange(t.Mass, mass)
		o.y[i] = math.Log(t.Power()) + m.Exponent*x[i] - m.MassExponent*z[i]
		o.toNow[i] = m.fitness(t.Day, day)
		for j := range i + 1 {
			o.cov.SetSym(i, j, m.fitness(t.Day, tests[j].Day)+
				m.ExponentSD*m.ExponentSD*x[i]*x[j]+
				m.CurvatureSD*m.CurvatureSD*x[i]*x[i]*x[j]*x[j]+
				m.MassExponentSD*m.MassExponentSD*z[i]*z[j])
		}
		o.cov.SetSym(i, i, o.cov.At(i, i)+m.TestSD*m.TestSD)
	}
	return o
}

// fitness is the covariance of fitness on two days.
func (m Model) fitness(a, b int) float64 {
	return m.FitnessSD * m.FitnessSD * math.Exp2(-math.Abs(float64(a)-float64(b))/m.HalfLife)
}

// Drift is the variance by which an athlete's ln power has changed between two
// days that lie so many days apart: 2·FitnessSD²·(1 − 2^(−days/HalfLife)). It
// panics on days below 0.
func (m Model) Drift(days int) float64 {
	m.mustBeSound()
	if days < 0 {
		panic("erg: a number of days is below 0")
	}
	return 2 * (m.fitness(0, 0) - m.fitness(0, days))
}

func massChange(then, now float64) float64 {
	if then == 0 || now == 0 {
		return 0
	}
	return math.Log(then / now)
}

// kriging is the best linear unbiased estimate of μ + f and what comes with
// it. Residuals and their SDs are those of each test against the prediction
// from all the others (O. Dubrule, Math Geol 15 (1983) 687–699).
type kriging struct {
	mean, variance float64
	weights        []float64
	misfit         float64 // generalised sum of squares about the fit, n−1 degrees of freedom
	left, leftSD   []float64
}

// krige solves min Var(w·y − μ − f) subject to Σw = 1.
func (o observations) krige() kriging {
	inv := inverse(o.cov)
	y, k := mat.NewVecDense(len(o.y), o.y), mat.NewVecDense(len(o.y), o.toNow)
	u := rowSums(inv)
	total, short := mat.Sum(u), 1-mat.Dot(u, k)

	var w, q mat.VecDense // w the weights; q the misfit's gradient, half of it
	w.MulVec(inv, k)
	w.AddScaledVec(&w, short/total, u)
	q.MulVec(inv, y)
	q.AddScaledVec(&q, -mat.Dot(u, y)/total, u)

	out := kriging{
		mean:     mat.Dot(&w, y),
		variance: o.nowSelf - mat.Inner(k, inv, k) + short*short/total,
		weights:  w.RawVector().Data,
		misfit:   max(0, mat.Dot(y, &q)),
	}
	if len(o.y) > 1 {
		out.leaveOut(inv, u, &q, total)
	}
	return out
}

func inverse(cov *mat.SymDense) *mat.SymDense {
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		panic("erg: covariance is not positive definite")
	}
	inv := new(mat.SymDense)
	if err := chol.InverseTo(inv); err != nil {
		panic("erg: " + err.Error())
	}
	return inv
}

func rowSums(m *mat.SymDense) *mat.VecDense {
	n := m.SymmetricDim()
	ones := make([]float64, n)
	for i := range ones {
		ones[i] = 1
	}
	sums := new(mat.VecDense)
	sums.MulVec(m, mat.NewVecDense(n, ones))
	return sums
}

func (k *kriging) leaveOut(inv *mat.SymDense, u, q *mat.VecDense, total float64) {
	for i := range u.Len() {
		precision := inv.At(i, i) - u.AtVec(i)*u.AtVec(i)/total
		k.left = append(k.left, q.AtVec(i)/precision)
		k.leftSD = append(k.leftSD, 1/math.Sqrt(precision))
	}
}

// expected gives what each test was predicted by the others, in W.
func (k *kriging) expected(tests []Test) []float64 {
	var powers []float64
	for i, left := range k.left {
		powers = append(powers, tests[i].Power()*math.Exp(-left))
	}
	return powers
}

func (m Model) doubts(tests []Test, expected []float64, k kriging) []Doubt {
	var found []Doubt
	for i, t := range tests {
		if text := t.Doubt(); text != "" {
			found = append(found, Doubt{i, text})
		}
		// The learned scale is left out: an outlier must not excuse itself.
		if i < len(k.left) && math.Abs(k.left[i]) > m.DoubtedResidual*k.leftSD[i] {
			found = append(found, Doubt{i, fmt.Sprintf("%.0f W where the other tests lead one to expect about %.0f W: check time, distance and date",
				t.Power(), expected[i])})
		}
	}
	return found
}

func (m Model) mustBeSound() {
	mustBePositive("TestSD", m.TestSD)
	mustBePositive("HalfLife", m.HalfLife)
	mustBePositive("PriorDegrees above 2", m.PriorDegrees-2)
	mustBePositive("DoubtedResidual", m.DoubtedResidual)
	for _, v := range []float64{m.FitnessSD, m.ExponentSD, m.CurvatureSD, m.MassExponentSD} {
		if !(v >= 0) || math.IsInf(v, 1) {
			panic("erg: an SD of the model is negative or not finite")
		}
	}
	if math.IsNaN(m.Exponent+m.MassExponent) || math.IsInf(m.Exponent+m.MassExponent, 0) {
		panic("erg: an exponent of the model is not finite")
	}
}
