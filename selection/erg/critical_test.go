package erg

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func fitted(t rapid.TB, tests ...Effort) CriticalPower {
	t.Helper()
	c, err := FitCriticalPower(tests)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCriticalPowerFromTwoTests(t *testing.T) {
	// Derived by hand from P = CP + W′/t (Monod and Scherrer 1965) and the
	// published relation of pace and power: P1 = 302.3432 W over 420 s,
	// P2 = 245.8162 W over 1350 s. Tolerance half a unit of the last digit.
	c := fitted(t, Effort{2000, 420}, Effort{6000, 1350})
	near(t, "CP", c.CP, 220.2879, 0.00005)
	near(t, "W′", c.WPrime, 34463.22, 0.005)
	if !c.Exact || len(c.Outside) != 1 || c.Outside[0] != 1 {
		t.Errorf("exact %v, outside %v; want the 1350 s test flagged", c.Exact, c.Outside)
	}
}

// power returns the mean power in W to expect over a time in s.
func (c CriticalPower) power(time float64) float64 { return c.CP + c.WPrime/time }

// distance returns the distance in m to expect in a time in s.
func (c CriticalPower) distance(time float64) float64 { return time / Pace(c.power(time)) }

func TestCriticalPowerFollowsTimeForDistance(t *testing.T) {
	c := CriticalPower{CP: 272, WPrime: 12_000}
	// Derived: the root of 272 t³ + 12000 t² = 2.80 d³, found by bisection.
	// Tolerance half a unit of the last digit.
	for distance, time := range map[float64]float64{500: 95.8736, 2000: 420.8506, 6000: 1290.6703} {
		near(t, fmt.Sprint("time over ", distance), c.Time(distance), time, 0.00005)
	}
	near(t, "power over 2000 m", c.power(c.Time(2000)), 300.514, 0.0005)
}

func TestCriticalPowerTimeInvertsDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := CriticalPower{
			CP:     rapid.Float64Range(60, 500).Draw(t, "CP"),
			WPrime: rapid.Float64Range(0, 60_000).Draw(t, "W′"),
		}
		time := rapid.Float64Range(5, 20_000).Draw(t, "time")
		near(t, "time", c.Time(c.distance(time))/time, 1, 1e-12)
	})
}

func TestCriticalPowerIsRecoveredFromItsOwnPredictions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := CriticalPower{
			CP:     rapid.Float64Range(100, 400).Draw(t, "CP"),
			WPrime: rapid.Float64Range(3_000, 50_000).Draw(t, "W′"),
		}
		var tests []Effort
		for _, time := range []float64{150, 300, 500, 800} {
			tests = append(tests, Effort{c.distance(time), time})
		}
		got := fitted(t, tests...)
		near(t, "CP", got.CP/c.CP, 1, 1e-9)
		near(t, "W′", got.WPrime/c.WPrime, 1, 1e-8)
		if len(got.Outside) != 0 || got.Exact {
			t.Fatalf("outside %v, exact %v", got.Outside, got.Exact)
		}
	})
}

func TestLineAgreesWithAnscombe(t *testing.T) {
	// F. J. Anscombe, "Graphs in statistical analysis", The American
	// Statistician 27 (1973) 17–21, first data set: y = 3 + 0.5 x, standard
	// error of the slope 0.118, residual sum of squares 13.75 (9 degrees of
	// freedom): one figure for all four sets, which differ by a few hundredths.
	// The standard errors of the intercept, 1.125, and about the line, 1.237,
	// are those of statistical handbooks for this set (from memory). Tolerances
	// follow the digits.
	x := []float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}
	y := []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}
	l := fitLine(x, y)
	near(t, "intercept", l.intercept, 3.0, 0.05)
	near(t, "slope", l.slope, 0.5, 0.0005)
	near(t, "SE of the slope", l.slopeSD, 0.118, 0.0005)
	near(t, "SE of the intercept", l.interceptSD, 1.125, 0.0005)
	near(t, "SE about the line", l.residualSD, 1.237, 0.0005)
	near(t, "residual sum of squares", 9*l.residualSD*l.residualSD, 13.75, 0.02)
}

func TestCriticalPowerReportsScatter(t *testing.T) {
	c := fitted(t, Effort{800, 150}, Effort{2000, 420}, Effort{3500, 760}, Effort{4000, 900})
	if c.CPSD <= 0 || c.WPrimeSD <= 0 || c.ResidualSD <= 0 || c.Exact {
		t.Errorf("no scatter reported: %+v", c)
	}
}

func TestCriticalPowerRefusesWhatContradictsIt(t *testing.T) {
	bad := map[string][]Effort{
		"one test":              {{2000, 420}},
		"one duration":          {{2000, 420}, {2010, 421}},
		"longer is harder":      {{2000, 480}, {6000, 1260}},
		"falls like 1/t":        {{1000, 150}, {2000, 480}},
		"short one far too low": {{1000, 300}, {2000, 420}, {5000, 1150}},
	}
	for name, tests := range bad {
		t.Run(name, func(t *testing.T) {
			_, err := FitCriticalPower(tests)
			wantField(t, err, "tests")
		})
	}
	_, err := FitCriticalPower([]Effort{{2000, 420}, {-1, 900}})
	wantField(t, err, "tests[1].distance")
}

func TestCriticalPowerPanicsOnMisuse(t *testing.T) {
	mustPanic(t, "CP 0", func() { CriticalPower{WPrime: 1}.Time(2000) })
	mustPanic(t, "W′ below 0", func() { CriticalPower{CP: 200, WPrime: -1}.Time(2000) })
	mustPanic(t, "NaN distance", func() { CriticalPower{CP: 200}.Time(math.NaN()) })
}

func TestCriticalRangeIsTwoToFifteenMinutes(t *testing.T) {
	// Common practice.
	for time, in := range map[float64]bool{119.9: false, 120: true, 900: true, 900.1: false} {
		if InCriticalRange(time) != in {
			t.Errorf("%g s in range: %v", time, !in)
		}
	}
}

func BenchmarkFitCriticalPower(b *testing.B) {
	tests := []Effort{{800, 150}, {2000, 420}, {3500, 760}, {4000, 900}}
	for b.Loop() {
		fitted(b, tests...)
	}
}

func BenchmarkCriticalPowerTime(b *testing.B) {
	c := CriticalPower{CP: 272, WPrime: 12_000}
	for b.Loop() {
		c.Time(2000)
	}
}
