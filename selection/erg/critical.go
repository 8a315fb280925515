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

	// CPSD and WPrimeSD are standard errors and ResidualSD the scatter of the
	// powers about the line, in W, J and W. Two tests leave nothing to judge
	// them by: then all three are 0 and Exact is true.
	CPSD, WPrimeSD, ResidualSD float64
	Exact                      bool

	// Outside lists the tests, by index, whose duration lies outside the 2 to
	// 15 minutes for which the model is meant: a warning to show.
	Outside []int
}

// InCriticalRange reports whether a duration in s lies in the 2 to 15 minutes
// for which the critical-power model is meant.
func InCriticalRange(time float64) bool {
	return time >= MinCriticalTime && time <= MaxCriticalTime
}

// FitCriticalPower finds CP and W′ from two tests exactly and from more by
// least squares of power on 1/time, each power weighing the same. It errs on
// fewer than two different durations, and on tests the model contradicts: a
// longer one rowed harder than a shorter one, or one implying CP ≤ 0.
func FitCriticalPower(tests []Effort) (CriticalPower, error) {
	if err := checkEfforts(tests); err != nil {
		return CriticalPower{}, err
	}
	rates, powers := make([]float64, len(tests)), make([]float64, len(tests))
	var beyond []int
	for i, e := range tests {
		rates[i], powers[i] = 1/e.Time, e.Power()
		if !InCriticalRange(e.Time) {
			beyond = append(beyond, i)
		}
	}
	if !apart(rates) {
		return CriticalPower{}, contradiction("two tests of clearly different duration are needed")
	}
	l := fitLine(rates, powers)
	if l.intercept <= 0 || l.slope < 0 {
		return CriticalPower{}, contradiction("they contradict the model: power must fall with duration, but slower than in proportion")
	}
	return CriticalPower{
		CP: l.intercept, WPrime: l.slope,
		CPSD: l.interceptSD, WPrimeSD: l.slopeSD, ResidualSD: l.residualSD,
		Exact: len(tests) == 2, Outside: beyond,
	}, nil
}

// contradiction returns an error about the tests as a whole.
func contradiction(detail string) error {
	return selection.ErrorAt(rigging.PlaceOf(selection.FieldTests), rigging.ProblemMismatch, "%s", detail)
}

// apart reports whether the values differ by more than 5 %: from closer
// durations the line would be drawn by the noise alone (engineering
// judgement).
func apart(values []float64) bool {
	low, high := values[0], values[0]
	for _, v := range values {
		low, high = min(low, v), max(high, v)
	}
	return high > 1.05*low
}

// line is a least-squares line with its standard errors.
type line struct{ intercept, slope, interceptSD, slopeSD, residualSD float64 }

func fitLine(x, y []float64) line {
	var l line
	l.intercept, l.slope = stat.LinearRegression(x, y, nil, false)
	if len(x) < 3 {
		return l
	}
	mean := stat.Mean(x, nil)
	var sxx, rss float64
	for i := range x {
		sxx += (x[i] - mean) * (x[i] - mean)
		r := y[i] - l.intercept - l.slope*x[i]
		rss += r * r
	}
	n := float64(len(x))
	l.residualSD = math.Sqrt(rss / (n - 2))
	l.slopeSD = l.residualSD / math.Sqrt(sxx)
	l.interceptSD = l.residualSD * math.Sqrt(1/n+mean*mean/sxx)
	return l
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

func (c CriticalPower) mustBeSound() {
	mustBePositive("CP", c.CP)
	if !(c.WPrime >= 0) || math.IsInf(c.WPrime, 1) {
		panic("erg: W′ must be at least 0 and finite")
	}
}
