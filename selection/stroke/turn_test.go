package stroke

import (
	"fmt"
	"strings"
	"testing"
)

// An oar that is driven faster than it comes back is not turned later than it
// is: the mean drive time is right within 1 % from 12 strokes a minute on.
func TestDriveTimeHasNoBias(t *testing.T) {
	var table strings.Builder
	for _, perMinute := range []float64{12, 20, 32} {
		for _, hz := range []float64{20, 50, 100, 500} {
			fmt.Fprintf(&table, "\n%g a minute, %3g Hz", perMinute, hz)
			for _, noise := range []float64{0, 0.1, 0.2, 0.5} {
				o := sculler()
				o.period, o.drive = 60/perMinute*1.003, 0.34+0.16*(perMinute-12)/33
				strokes := 102 - hz/8
				got := strokesOf(o.record(strokes*o.period, disturbance{hz: hz, angle: noise * deg, force: 5, seed: 7}), Thresholds{}).Features[DriveTime]
				want := o.drive * o.period
				fmt.Fprintf(&table, "  %+.2f ± %.2f", 100*(got.Mean/want-1), 100*got.SD/want)
				if float64(got.N) < strokes-2.5 || !near(got.Mean, want, 0.01*want) {
					t.Errorf("%g a minute, %g Hz, noise %g°: %v, want %v", perMinute, hz, noise, got, want)
				}
			}
		}
	}
	t.Log("error of the drive time in per cent, mean ± SD of a stroke, at noise of 0, 0.1, 0.2 and 0.5°:", table.String())
}

// A bend of two half parabolas is found exactly, whichever side is the steeper.
func TestABendOfTwoHalfParabolasIsExact(t *testing.T) {
	for _, side := range [][2]float64{{1, 1}, {1, 4}, {6, 1}, {0.2, 3}} {
		for _, sense := range []float64{1, -1} {
			var ts, y []float64
			for i := range 41 {
				x := float64(i)/20 - 1
				ts = append(ts, x)
				d := x - 0.137
				if d < 0 {
					y = append(y, 5+sense*side[0]*d*d)
				} else {
					y = append(y, 5+sense*side[1]*d*d)
				}
			}
			at, value, ok := bend(ts, y, 0.3, [2]float64{0.6, 0.5}, sense)
			if !ok || !near(at, 0.137, 1e-4) || !near(value, 5, 1e-4) {
				t.Errorf("%v, sense %v: %v %v %v", side, sense, at, value, ok)
			}
			if _, _, ok := bend(ts, y, 0.3, [2]float64{0.6, 0.5}, -sense); ok {
				t.Error("a minimum passes for a maximum")
			}
		}
	}
	if _, _, ok := bend([]float64{1, 2, 3}, []float64{1, 0, 1}, 2, [2]float64{}, 1); ok {
		t.Error("no reach, and a bend all the same")
	}
}

// Slow and fast rowing counts: 10 a minute is no pause and 60 no mistake,
// whatever the noise; what lies well beyond is left out with its reason.
func TestSlowAndFastRatesCount(t *testing.T) {
	for _, perMinute := range []float64{8.2, 10, 12, 45, 60, 65} {
		o := sculler()
		o.period, o.drive = 60/perMinute, 0.4
		for _, noise := range []float64{0, 0.5} {
			got := strokesOf(o.record(30.5*o.period, disturbance{hz: 100, angle: noise * deg, force: 5, seed: 4}), Thresholds{})
			if got.Count < 29 || got.LeftOut.whole() > 0 || hasCode(got.Warnings, "left_out") {
				t.Errorf("%g a minute, noise %g°: %d strokes, %+v", perMinute, noise, got.Count, got.LeftOut)
			}
		}
	}
	for perMinute, reason := range map[float64]func(LeftOut) int{7.7: func(l LeftOut) int { return l.Pause }, 69: func(l LeftOut) int { return l.Fast }} {
		o := sculler()
		o.period, o.drive = 60/perMinute, 0.4
		got := strokesOf(o.record(30.5*o.period, disturbance{hz: 100}), Thresholds{})
		if got.Count != 0 || reason(got.LeftOut) < 29 {
			t.Errorf("%g a minute: %d strokes, %+v", perMinute, got.Count, got.LeftOut)
		}
	}
}

// More than a tenth left out is reported with the reason; less is not.
func TestWhatIsLeftOutIsTold(t *testing.T) {
	record := func(gaps int) OarReport {
		readings := sculler().record(61, disturbance{hz: 100})
		for i := range gaps {
			from := slicesIndexTime(readings, 3+4*float64(i))
			readings = append(readings[:from:from], readings[from+30:]...)
		}
		return strokesOf(readings, Thresholds{})
	}
	few, many := record(2), record(4)
	if few.LeftOut.Gap != 2 || hasCode(few.Warnings, "left_out") {
		t.Errorf("%+v %v", few.LeftOut, few.Warnings)
	}
	if many.LeftOut.Gap != 4 || !hasCode(many.Warnings, "left_out") {
		t.Fatalf("%+v %v", many.LeftOut, many.Warnings)
	}
	for _, w := range many.Warnings {
		if w.Code == "left_out" && !strings.Contains(w.Text, "4 of 29 strokes are left out: 4 with samples missing") {
			t.Error(w.Text)
		}
	}
}

func slicesIndexTime(readings []sample, at float64) int {
	for i := range readings {
		if readings[i].t >= at {
			return i
		}
	}
	return len(readings)
}

func TestRoughSensorsAreTold(t *testing.T) {
	for code, d := range map[string]disturbance{"noisy_angle": {hz: 100, angle: 4 * deg, seed: 1}, "noisy_force": {hz: 100, force: 120, seed: 1}} {
		if got := strokesOf(sculler().record(60, d), Thresholds{}); !hasCode(got.Warnings, code) {
			t.Errorf("%s: %v", code, got.Warnings)
		}
	}
	got := strokesOf(sculler().record(60, disturbance{hz: 100, angle: 1 * deg, force: 40, seed: 1}), Thresholds{})
	if hasCode(got.Warnings, "noisy_angle") || hasCode(got.Warnings, "noisy_force") {
		t.Error(got.Warnings)
	}
}

// A spike is a spike on either side, and every one is counted.
func TestSpikesOfBothSignsAreTakenOut(t *testing.T) {
	for _, sign := range []float64{1, -1} {
		readings, planted := sculler().record(60, disturbance{hz: 100}), int64(0)
		want := strokesOf(readings, Thresholds{})
		for i := 37; i < len(readings)-1; i += 53 {
			readings[i].angle += sign * 40 * deg
			planted++
		}
		got := strokesOf(readings, Thresholds{})
		if got.Spikes != planted || got.Count != want.Count || !near(got.Features[CatchAngle].Mean, want.Features[CatchAngle].Mean, 0.02*deg) {
			t.Errorf("sign %v: %d of %d spikes, %d strokes of %d, catch %v", sign, got.Spikes, planted, got.Count, want.Count, got.Features[CatchAngle])
		}
	}
}
