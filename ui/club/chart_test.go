package club

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"thole/api/ergometer"
	"thole/ui/plot"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestDeviationsInWords(t *testing.T) {
	is(t, "with", plusMinusText(34463, new(1200.0), 1000, 1, "kJ"), "34.5 ± 1.2 kJ")
	is(t, "without", plusMinusText(220.3, nil, 1, 0, "W"), "220 W")
	is(t, "ended", ended("x")+ended("x?")+ended("x."), "x.x?x.")
	panel := &ergPanel{}
	is(t, "a range", strings.Contains(panel.Range(ergometer.ErgometerAgreement{Measure: "r", Low: 0.72, High: 0.78}), "0.78"), true)
	is(t, "one value", panel.Range(ergometer.ErgometerAgreement{Measure: "r", Low: 0.72, High: 0.72}), "r 0.72")
}

// tested is an athlete with tests of durations in s and powers in W.
func tested(list ...[2]float64) *ergometer.Ergometer {
	e := &ergometer.Ergometer{CriticalFromS: 120, CriticalToS: 900}
	for _, x := range list {
		var test ergometer.ErgometerTest
		test.TimeS, test.PowerW, test.Fixed, test.TestedOn, test.DistanceM = x[0], &x[1], "distance", "2026-05-03", x[0]
		e.Tests = append(e.Tests, test)
	}
	return e
}

func TestTheChartOfPowers(t *testing.T) {
	is(t, "nothing", newErgChart(tested()), nil)
	e := tested([2]float64{300, 300}, [2]float64{300, 310}, [2]float64{600, 250}, [2]float64{2000, 200})
	e.Tests[1].Doubt, e.Tests[3].Critical = "odd", "outside"
	c := newErgChart(e)
	is(t, "shortest", math.Abs(math.Exp(c.x.Low)-75) < 1e-9, true)
	is(t, "a fifth beyond the longest", math.Abs(math.Exp(c.x.High)-2400) < 1e-9, true)
	is(t, "powers", c.y.Low <= 0.95*200 && c.y.High >= 1.05*310 && c.y.High < 400, true)
	is(t, "more is up", c.y.At(300) < c.y.At(200), true)
	is(t, "kinds", c.Dots[0].Kind+c.Dots[1].Kind+c.Dots[2].Kind+c.Dots[3].Kind, "fulldoubtfullring")
	is(t, "told", c.Doubts && c.Rings, true)
	is(t, "one label for one distance", c.Dots[0].Label != "" && c.Dots[1].Label == "" && c.Dots[2].Label != "", true)
	is(t, "labels up and down", c.Dots[0].LabelAt.Y < c.Dots[0].At.Y && c.Dots[2].LabelAt.Y > c.Dots[2].At.Y, true)
	at := c.Dots[1].At
	is(t, "diamond", c.Dots[1].Diamond, "M"+plot.Coord(at.X)+" "+plot.Coord(at.Y-8)+"l8 8l-8 8l-8 -8Z")
	is(t, "minutes", c.XTicks[0].Text+" "+c.XTicks[len(c.XTicks)-1].Text, "2 20")
	is(t, "band", c.BandText, "2 to 15 min")
	is(t, "band's middle", math.Abs(c.BandAt.X-(c.x.At(math.Log(120))+c.x.At(math.Log(900)))/2) < 1e-9, true)
	is(t, "no curve", c.Curve, "")
	for i, tick := range c.YTicks[1:] {
		is(t, "ticks go up", tick.At < c.YTicks[i].At, true)
	}
	e.Tests[0].LeftOut = "typing error"
	is(t, "left out", len(newErgChart(e).Dots), 3)
}

// TestTheCurveFallsTowardsCriticalPower: W′ over the duration comes on top of it, and only
// what lies within the drawing is drawn.
func TestTheCurveFallsTowardsCriticalPower(t *testing.T) {
	e := tested([2]float64{300, 300}, [2]float64{600, 260})
	e.CriticalPower = &ergometer.CriticalPower{CpW: 220, WPrimeJ: 24000} // 300 W at 300 s, 260 W at 600 s
	c := newErgChart(e)
	for _, d := range c.Dots {
		is(t, d.Words, onCurve(c, d.At), true)
	}
	is(t, "told", strings.HasSuffix(c.Words, "; the curve of critical power, 220 W"), true)
	c.Curve, e.CriticalPower = "", &ergometer.CriticalPower{CpW: 2 * c.y.High}
	c.curve(e)
	is(t, "over the drawing", c.Curve, "")
}

// onCurve reports whether the curve passes within half a pixel of a place.
func onCurve(c *ergChart, at plot.Spot) bool {
	var before plot.Spot
	for i, text := range strings.FieldsFunc(c.Curve, func(r rune) bool { return r == 'M' || r == 'L' }) {
		var p plot.Spot
		if _, err := fmt.Sscanf(text, "%g %g", &p.X, &p.Y); err != nil {
			return false
		}
		if i > 0 && before.X <= at.X && at.X <= p.X {
			return math.Abs(before.Y+(p.Y-before.Y)*(at.X-before.X)/(p.X-before.X)-at.Y) < 0.5
		}
		before = p
	}
	return false
}
