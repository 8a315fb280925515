package erg

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"thole/rigging"
	"thole/selection"
)

// The durations in s between which the two-parameter model holds, 2 to 15
// minutes (common practice). Shorter efforts do not exhaust the oxygen
// uptake's rise, longer ones fall below the line.
const (
	MinCriticalTime = 2 * 60
	MaxCriticalTime = 15 * 60
)

// CriticalPower is the two-parameter model of power against duration,
// P(t) = CP + W′/t (H. Monod, J. Scherrer, Ergonomics 8 (1965) 329–338).
type CriticalPower struct {
	CP     float64 // W
	WPrime float64 // J, the work that can be done above CP

	// CPSD and WPrimeSD are standard errors, Cov the covariance of the two and
	// ResidualSD the scatter of the powers about the line, in W, J, W·J and W.
	// Two tests leave nothing to judge them by: then all four are 0 and Exact is
	// true.
	CPSD, WPrimeSD, Cov, ResidualSD float64
	Exact                           bool

	// Outside lists the tests, by index, whose duration lies outside the 2 to
	// 15 minutes for which the model is meant. They are left out of the fit,
	// unless Rough says that too few lie within, and that all were taken.
	Outside []int
	Rough   bool

	line fittedLine
}

// InCriticalRange reports whether a duration in s lies in the 2 to 15 minutes
// for which the critical-power model is meant.
func InCriticalRange(time float64) bool {
	return time >= MinCriticalTime && time <= MaxCriticalTime
}

// FitCriticalPower finds CP and W′ from two tests exactly and from more by
// least squares of power on 1/time, each power weighing the same. It takes the
// tests of 2 to 15 minutes alone where at least two of them differ clearly in
// duration, and all tests otherwise. It errs on fewer than two clearly
// different durations, and on tests the model contradicts: a longer one rowed
// harder than a shorter one, or one implying CP ≤ 0.
func FitCriticalPower(tests []Effort) (CriticalPower, error) {
	if err := checkEfforts(tests); err != nil {
		return CriticalPower{}, err
	}
	taken, beyond := withinRange(tests)
	rough := len(beyond) > 0 && !apart(taken)
	if rough {
		taken = tests
	}
	if !apart(taken) {
		return CriticalPower{}, contradiction("two tests of clearly different duration are needed")
	}
	l := fitPowers(taken)
	if l.intercept <= 0 || l.slope < 0 {
		return CriticalPower{}, contradiction("they contradict the model: power must fall with duration, but slower than in proportion")
	}
	return CriticalPower{
		CP: l.intercept, WPrime: l.slope,
		CPSD: l.interceptSD, WPrimeSD: l.slopeSD, Cov: l.cov, ResidualSD: l.residualSD,
		Exact: len(taken) == 2, Outside: beyond, Rough: rough, line: l,
	}, nil
}

// withinRange returns the tests of 2 to 15 minutes, and the others by index.
func withinRange(tests []Effort) (within []Effort, beyond []int) {
	for i, e := range tests {
		if InCriticalRange(e.Time) {
			within = append(within, e)
		} else {
			beyond = append(beyond, i)
		}
	}
	return within, beyond
}

// contradiction returns an error about the tests as a whole.
func contradiction(detail string) error {
	return selection.ErrorAt(rigging.PlaceOf(selection.FieldTests), rigging.ProblemMismatch, "%s", detail)
}

// clearlyLonger is the least ratio of the longest duration to the shortest.
// Two tests of 300 W that repeat within 2 % leave W′ an SD of
// .02·√2·300 W/(1/t₁ − 1/t₂): 10.7 kJ for 315 and 420 s, half of a usual W′,
// and 71 kJ for 400 and 420 s, which is nothing known (engineering judgement).
const clearlyLonger = 4.0 / 3

// apart reports whether the tests differ clearly in duration: from closer ones
// the line would be drawn by the noise alone.
func apart(tests []Effort) bool {
	low, high := math.Inf(1), 0.0
	for _, e := range tests {
		low, high = min(low, e.Time), max(high, e.Time)
	}
	return high >= clearlyLonger*low
}

func fitPowers(tests []Effort) fittedLine {
	rates, powers := make([]float64, len(tests)), make([]float64, len(tests))
	for i, e := range tests {
		rates[i], powers[i] = 1/e.Time, e.Power()
	}
	return fitLine(rates, powers)
}

// fittedLine is a least-squares line with its standard errors, the covariance
// of intercept and slope, and what they were found from.
type fittedLine struct {
	intercept, slope                       float64
	interceptSD, slopeSD, cov, residualSD  float64
	meanX, meanY, squaresX, squaresLeft, n float64
}

func fitLine(x, y []float64) fittedLine {
	l := fittedLine{meanX: stat.Mean(x, nil), meanY: stat.Mean(y, nil), n: float64(len(x))}
	l.intercept, l.slope = stat.LinearRegression(x, y, nil, false)
	for i := range x {
		l.squaresX += (x[i] - l.meanX) * (x[i] - l.meanX)
		r := y[i] - l.intercept - l.slope*x[i]
		l.squaresLeft += r * r
	}
	if len(x) < 3 {
		return l
	}
	variance := l.squaresLeft / (l.n - 2)
	l.residualSD, l.slopeSD = math.Sqrt(variance), math.Sqrt(variance/l.squaresX)
	l.interceptSD = math.Sqrt(variance * (1/l.n + l.meanX*l.meanX/l.squaresX))
	l.cov = -variance * l.meanX / l.squaresX
	return l
}

// degrees are those of the scatter that the line and the documented one have
// together.
func (l *fittedLine) degrees() float64 { return DefaultModel().PriorDegrees + l.n - 2 }

// scatter is the SD in W of one test about the line: what the tests show,
// joined with the documented SD of a test repeated, weighed as in the model of
// race power. Alone, one or two residuals say next to nothing, and two tests
// leave none.
func (l *fittedLine) scatter() float64 {
	m := DefaultModel()
	documented := m.TestSD * l.meanY
	return math.Sqrt(((m.PriorDegrees-2)*documented*documented + l.squaresLeft) / (l.degrees() - 2))
}

// Time returns the time in s to expect over a distance in m: that in which a
// mean power of CP + W′/time covers the distance.
func (c CriticalPower) Time(distance float64) float64 {
	c.mustBeSound()
	mustBePositive("distance", distance)
	// f(t) = CP·t³ + W′·t² − 2.80·d³ grows and is convex for t > 0, so Newton
	// steps fall towards the root from the time that W′ = 0 would give.
	t := distance * Pace(c.CP)
	for {
		f := (c.CP*t+c.WPrime)*t*t - AirBrake*distance*distance*distance
		next := t - f/((3*c.CP*t+2*c.WPrime)*t)
		if !(next < t) {
			return t
		}
		t = next
	}
}

// Predicted is a time over a distance in s. SD is that of one test to come
// about it, and Low and High the ends of the 90 % interval: what the fit leaves
// open of CP and W′, correlated as they are, and the scatter of one test.
type Predicted struct{ Time, SD, Low, High float64 }

// Predict returns the time over a distance in m; false where the model is not
// meant for it: a time outside 2 to 15 minutes, or a Rough fit. The SD is
// linear in the errors. It panics on a model that was not fitted to tests.
func (c CriticalPower) Predict(distance float64) (p Predicted, ok bool) {
	if c.line.n < 2 {
		panic("erg: a prediction with its SD needs a fit")
	}
	t := c.Time(distance)
	if c.Rough || !InCriticalRange(t) {
		return Predicted{}, false
	}
	l, off := &c.line, 1/t-c.line.meanX
	sd := l.scatter() * math.Sqrt(1+1/l.n+off*off/l.squaresX)
	// CP·t³ + W′·t² = 2.80·d³ shifts by t³ for each W of power.
	p = Predicted{Time: t, SD: sd * t * t / (3*c.CP*t + 2*c.WPrime)}
	half := p.SD * studentFactor(l.degrees())
	p.Low, p.High = t-half, t+half
	return p, true
}

func (c CriticalPower) mustBeSound() {
	mustBePositive("CP", c.CP)
	if !(c.WPrime >= 0) || math.IsInf(c.WPrime, 1) {
		panic("erg: W′ must be at least 0 and finite")
	}
}
