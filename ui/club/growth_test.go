package club

import (
	"math"
	"testing"

	"thole/api/club"
	"thole/api/ergometer"
	"thole/ui/page"
)

// grown is the chart of heights, cm, by day, the newest first, as records list them.
func grown(days []string, heights ...float64) *growthChart {
	var list []club.Measures
	for i := range days {
		m := club.Measures{MeasuredOn: days[i]}
		m.StatureCm = &heights[i]
		list = append(list, m)
	}
	return newGrowthChart("Height", "cm", list, func(b *club.MeasuredBody) *float64 { return b.StatureCm })
}

// TestAMeasureIsDrawnFromTwoDaysOn: of two entries of a day the later one counts.
func TestAMeasureIsDrawnFromTwoDaysOn(t *testing.T) {
	is(t, "one day", grown([]string{"2026-01-01"}, 181), nil)
	is(t, "twice on a day", grown([]string{"2026-01-01", "2026-01-01"}, 181, 182), nil)
	c := grown([]string{"2026-01-01", "2026-01-01", "2025-01-01"}, 181, 170, 180)
	is(t, "words", c.Words, "Height from 180 to 181 cm between 1 Jan 2025 and 1 Jan 2026")
	is(t, "dots", len(c.Dots), 2)
	is(t, "the last is labelled", c.Dots[1].Last && !c.Dots[0].Last, true)
	is(t, "last", c.Dots[1].Value, "181")
}

// TestSmallGrowthIsNoMountain: the axis spans 4 cm at least, about what was measured, and
// all of it where that is more.
func TestSmallGrowthIsNoMountain(t *testing.T) {
	days := []string{"2026-01-01", "2025-07-02", "2025-01-01"} // 182 and 183 days apart
	c := grown(days, 181, 180.5, 180)
	top, foot := growthTop, growthTall-growthFoot
	is(t, "the middle", math.Abs(c.Dots[1].At.Y-(top+foot)/2) < 1e-9, true)
	// 180.5 ± 2 cm: from 178.5 to 182.5, marked at whole centimetres within; 181 lies 1.5 of 4 cm below the top.
	is(t, "marks", c.YTicks[0].Text+" "+c.YTicks[1].Text, "179 182")
	is(t, "the highest", math.Abs(c.Dots[2].At.Y-(top+(foot-top)*1.5/4)) < 1e-9, true)
	is(t, "first and last", [2]float64{c.Dots[0].At.X, c.Dots[2].At.X}, [2]float64{growthLeft, growthWide - growthEnd})
	is(t, "by days", math.Abs(c.Dots[1].At.X-(growthLeft+(growthWide-growthLeft-growthEnd)*182/365)) < 1e-9, true)
	c = grown(days, 186, 183, 180)
	is(t, "all of 6 cm", [2]float64{c.Dots[0].At.Y, c.Dots[2].At.Y}, [2]float64{foot, top})
	is(t, "marks", c.YTicks[0].Text+" "+c.YTicks[1].Text, "180 186")
	is(t, "labels stand right of their dots", c.Dots[2].Label.X > c.Dots[2].At.X, true)
}

// TestPredictionsStandByDistance: one line a distance, with both rules side by side.
func TestPredictionsStandByDistance(t *testing.T) {
	p := &ergPanel{}
	p.Predictions = []ergometer.ErgometerPrediction{
		{DistanceM: 2000, Rule: "critical_power", TimeS: 400}, {DistanceM: 5000, Rule: "critical_power", TimeS: 1100}, {DistanceM: 2000, Rule: "doubling", TimeS: 410},
	}
	p.addPredicted()
	is(t, "distances", len(p.Predicted), 2)
	is(t, "both rules", p.Predicted[0].Critical.Time+" "+p.Predicted[0].Doubling.Time, page.Clock(400)+" "+page.Clock(410))
	is(t, "one rule", p.Predicted[1].Doubling, nil)
}
