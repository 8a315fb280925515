package stroke

import (
	"fmt"
	"strings"
	"testing"
)

// peaksOf returns the peak of each of some strokes of 750 N in per cent of the
// truth.
func peaksOf(form func(float64) float64, hz, noise float64) moments {
	o := sculler()
	o.form, o.peak, o.period = form, 750, 1.88 // 32 a minute, off the samples' beat
	strokes := 1000.0
	if hz > 50 {
		strokes = 200
	}
	var m moments
	for _, s := range strokesOf(o.record(strokes*o.period, disturbance{hz: hz, angle: 0.1 * deg, force: noise * o.peak, seed: 7}), Thresholds{}).Strokes {
		v, _ := s.Value(PeakForce)
		m.add(100 * v / o.peak)
	}
	return m
}

// The mean peak is right within 1 % whatever the sample rate and the noise.
func TestPeakForceHasNoBias(t *testing.T) {
	if testing.Short() {
		t.Skip("a statement about thousands of draws, in one goroutine")
	}
	noises := []float64{0, 0.02, 0.05, 0.1}
	for name, form := range map[string]func(float64) float64{"half sine": halfSine, "early peak": frontLoaded} {
		var table strings.Builder
		for _, hz := range []float64{20, 25, 50, 100, 200, 500} {
			fmt.Fprintf(&table, "\n%3g Hz", hz)
			for _, noise := range noises {
				m := peaksOf(form, hz, noise)
				fmt.Fprintf(&table, "  %+.2f ± %.2f", m.mean-100, m.sd())
				if noise == 0.05 && hz >= 100 && m.sd() > 2.1 {
					t.Errorf("%s, %g Hz: single peaks spread by %.2f %%", name, hz, m.sd())
				}
				if m.n < 198 || !near(m.mean, 100, 1) {
					t.Errorf("%s, %g Hz, noise %g of the peak: %.2f %% of the truth in %g strokes", name, hz, noise, m.mean, m.n)
				}
			}
		}
		t.Logf("%s: error of the peak in per cent, mean ± SD of a stroke, at noise of %v of the peak:%s", name, noises, table.String())
	}
}

// Two humps are two: the higher one is the peak, not the valley between them.
func TestThePeakOfTwoHumpsIsTheHigherOne(t *testing.T) {
	humps := func(u float64) float64 {
		return max(halfSine(min(u/0.5, 1)), 0.9*halfSine(max(u-0.45, 0)/0.55), 0)
	}
	for _, noise := range []float64{0, 0.02, 0.05} {
		o := sculler()
		o.form = humps
		got := strokesOf(o.record(400, disturbance{hz: 100, force: noise * o.peak, seed: 3}), Thresholds{})
		if f, at := got.Features[PeakForce], got.Features[PeakPlace]; !near(f.Mean, 600, 12) || !near(at.Mean, 0.25, 0.03) {
			t.Errorf("noise %g: %v at %v, want 600 N at 0.25", noise, f, at)
		}
	}
}

func TestAForceThatIsNeverPositiveHasNoPeak(t *testing.T) {
	o := sculler()
	o.peak = -100
	if got := strokesOf(o.record(20, disturbance{hz: 50}), Thresholds{}); got.Count != 0 || got.LeftOut.NoLoad < 8 {
		t.Errorf("%d strokes, %+v", got.Count, got.LeftOut)
	}
}
