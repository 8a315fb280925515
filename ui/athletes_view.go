package ui

import (
	"math"
	"slices"
	"time"

	"thole/api"
)

// growthChart is one measure of an athlete over time.
type growthChart struct {
	Title, Unit    string
	Box            box
	Curve          string
	Dots           []growthDot
	XTicks, YTicks []tickMark
	Axis           string
	Words          string
}

// growthDot is one day's value.
type growthDot struct {
	At    spot
	Words string
	Last  bool
	Label spot
	Value string
}

// tickMark is a label on an axis.
type tickMark struct {
	At   float64
	Text string
}

// Sizes of the chart.
const (
	growthWide = 360.0
	growthTall = 150.0
	growthLeft = 40.0
	growthTop  = 22.0
	growthFoot = 26.0
	growthEnd  = 48.0
	leastRange = 4.0 // of the value's axis, so that a millimetre is no mountain
)

// newGrowthChart draws what was measured on two days or more; nil else. Of two
// entries of a day the first in the list, the later one, counts.
func newGrowthChart(title, unit string, list []api.Measures, of func(*api.MeasuredBody) *float64) *growthChart {
	type point struct {
		at    time.Time
		value float64
	}
	var points []point
	for i := range list {
		v := of(&list[i].MeasuredBody)
		at, err := time.Parse(time.DateOnly, list[i].MeasuredOn)
		if v == nil || err != nil || len(points) > 0 && points[len(points)-1].at.Equal(at) {
			continue
		}
		points = append(points, point{at, *v})
	}
	slices.Reverse(points)
	if len(points) < 2 {
		return nil
	}
	low, high := points[0].value, points[0].value
	for _, p := range points {
		low, high = min(low, p.value), max(high, p.value)
	}
	if high-low < leastRange {
		middle := (low + high) / 2
		low, high = middle-leastRange/2, middle+leastRange/2
	}
	first, last := points[0].at, points[len(points)-1].at
	x := func(t time.Time) float64 {
		return growthLeft + (growthWide-growthLeft-growthEnd)*t.Sub(first).Hours()/last.Sub(first).Hours()
	}
	y := func(v float64) float64 {
		return growthTop + (growthTall-growthTop-growthFoot)*(high-v)/(high-low)
	}
	c := &growthChart{Title: title, Unit: unit, Box: box{0, 0, growthWide, growthTall}}
	var spots []spot
	for i, p := range points {
		at := spot{x(p.at), y(p.value)}
		spots = append(spots, at)
		c.Dots = append(c.Dots, growthDot{
			At: at, Words: p.at.Format("2 Jan 2006") + ": " + plain(p.value) + " " + unit,
			Last: i == len(points)-1, Label: spot{at.X + 8, at.Y + 4}, Value: plain(p.value),
		})
	}
	c.Curve = trace(spots...)
	foot := growthTall - growthFoot + 6
	c.Axis = trace(spot{growthLeft, growthTop - 6}, spot{growthLeft, foot}, spot{growthWide - growthEnd + 6, foot})
	c.XTicks = []tickMark{{x(first), first.Format("Jan 2006")}, {x(last), last.Format("Jan 2006")}}
	for _, v := range []float64{math.Ceil(low), math.Floor(high)} {
		c.YTicks = append(c.YTicks, tickMark{y(v), plain(v)})
	}
	c.Words = title + " from " + plain(points[0].value) + " to " + plain(points[len(points)-1].value) + " " + unit + " between " + first.Format("2 Jan 2006") + " and " + last.Format("2 Jan 2006")
	return c
}
