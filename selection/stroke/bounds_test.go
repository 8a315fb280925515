package stroke

import (
	"math"
	"testing"
)

// TestPartsOfDaysAreWholeNumbers without a sign.
func TestPartsOfDaysAreWholeNumbers(t *testing.T) {
	for text, want := range map[string]int{"7": 7, "07": 7, "2026": 2026, "0": 0, "-3": -1, "+3": -1, "": -1, "3x": -1, "3.5": -1, " 3": -1, "99999999999999999999": -1} {
		if got := number([]byte(text)); got != want {
			t.Errorf("%q: %d, want %d", text, got, want)
		}
	}
}

// TestClocksStandBehindADayOrAlone.
func TestClocksStandBehindADayOrAlone(t *testing.T) {
	for text, want := range map[string]float64{
		"1:02.5": 62.5, " 1:02.5": 62.5, "2026-05-01 10:00:00": 36_000, "2026-05-01T10:00:01.5Z": 36_001.5, "T0:59": 59, "0:59": 59, "1:00:59.999": 3659.999,
		"1:60": -1, "1:60:00": -1, "59": -1, "1:2:3:4": -1, "-1:02": -1, "1.5:02": -1, "": -1,
	} {
		got, ok := parseClock([]byte(text), '.')
		if ok != (want >= 0) || ok && math.Abs(got-want) > 1e-9 {
			t.Errorf("%q: %g %v, want %g", text, got, ok, want)
		}
	}
}

// TestAWindowHoldsWhatLiesWithinIt, its ends included, and as many on either side as are
// asked for, as far as there are any.
func TestAWindowHoldsWhatLiesWithinIt(t *testing.T) {
	times := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	for _, c := range []struct {
		at, half float64
		least    int
		from, to int
	}{
		{5, 1, 0, 4, 7}, {5, 0.9, 0, 5, 6}, {5.5, 1, 0, 5, 7}, {5, 1, 3, 2, 8}, {5, 0, 2, 3, 7}, {0, 1, 0, 0, 2}, {10, 1, 0, 9, 11}, {0, 0, 3, 0, 3}, {10, 0, 3, 7, 11}, {5, 20, 0, 0, 11}, {20, 1, 0, 11, 11}, {5, 1, 100, 0, 11},
	} {
		if from, to := window(times, c.at, c.half, c.least); from != c.from || to != c.to {
			t.Errorf("%+v: %d to %d", c, from, to)
		}
	}
}

// TestExtentsAreMeasured from the least to the most.
func TestExtentsAreMeasured(t *testing.T) {
	if got := span([2]float64{100, 150}); got != 50 {
		t.Errorf("from 100 to 150 are %g", got)
	}
	for _, c := range []struct {
		force  [2]float64
		pushes bool
	}{{[2]float64{-500, 100}, true}, {[2]float64{-100, 500}, false}, {[2]float64{-300, 300}, false}, {[2]float64{0, 0}, false}} {
		if got := (&extent{force: c.force}).pushes(); got != c.pushes {
			t.Errorf("%v pushes: %v", c.force, got)
		}
	}
}

// TestScatterIsAboutTheLineOverTime: by hand, 0, 0 and 3 at days 0, 1 and 2 lie ½, 1 and ½
// off their line, which are squares of 1.5; of one day they lie 1, 1 and 2 off their mean,
// which are squares of 6. What lies on a line does not scatter.
func TestScatterIsAboutTheLineOverTime(t *testing.T) {
	at := func(day, mean float64) Session { return Session{Day: day, N: 9, Mean: mean} }
	for _, c := range []struct {
		list []Session
		want float64
	}{
		{[]Session{at(0, 0), at(1, 0), at(2, 3)}, 1.5}, {[]Session{at(7, 0), at(7, 0), at(7, 3)}, 6}, {[]Session{at(0, 1), at(1, 3), at(4, 9)}, 0}, {[]Session{at(5, 2)}, 0},
	} {
		if got := scatter(c.list); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%+v: %g, want %g", c.list, got, c.want)
		}
	}
}

// TestOwnDaysJoinTheUsualNoise as many as there are less two: with strokes that do not scatter
// only the sensor is left of the usual noise, and what the days scatter about their line is
// added to it by its degrees of freedom.
func TestOwnDaysJoinTheUsualNoise(t *testing.T) {
	const sensor = 0.5
	var list []Session
	for day := range fewestOwnDays {
		list = append(list, Session{Day: float64(day), N: 9, Mean: []float64{1, -1}[day%2]})
	}
	noise := NoiseOf(list, sensor)
	own := float64(fewestOwnDays - 2)
	if want := math.Sqrt((usualFreedom*sensor*sensor + scatter(list)) / (usualFreedom + own)); math.Abs(noise.SD-want) > 1e-12 || !noise.Own || noise.Freedom != usualFreedom+own {
		t.Errorf("%+v, want %g", noise, want)
	}
	if noise := NoiseOf(list[1:], sensor); math.Abs(noise.SD-sensor) > 1e-12 || noise.Own || noise.Freedom != usualFreedom {
		t.Errorf("one day less: %+v", noise)
	}
}
