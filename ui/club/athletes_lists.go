package club

import (
	"math"
	"slices"
	"time"

	"thole/api/club"
	"thole/ui/page"
	"thole/ui/plot"
)

// growthChart is one measure of an athlete over time.
type growthChart struct {
	Title, Unit    string
	Box            plot.Box
	Curve          string
	Dots           []growthDot
	XTicks, YTicks []tickMark
	Axis           string
	Words          string
}

// growthDot is one day's value.
type growthDot struct {
	At    plot.Spot
	Words string
	Last  bool
	Label plot.Spot
	Value string
}

// tickMark is a label on an axis.
type tickMark struct {
	At   float64
	Text string
}

// Sizes of the chart; our judgement.
const (
	growthWide = 360.0
	growthTall = 150.0
	growthLeft = 40.0
	growthTop  = 22.0
	growthFoot = 26.0
	growthEnd  = 48.0
	leastRange = 4.0 // of the value's axis, so that a millimetre is no mountain
)

// growthPoint is a value on a day.
type growthPoint struct {
	at    time.Time
	value float64
}

// growthPoints lists the values of one measure, oldest first. Of two entries of
// a day the first in the list, the later one, counts.
func growthPoints(list []club.Measures, of func(*club.MeasuredBody) *float64) []growthPoint {
	var points []growthPoint
	for i := range list {
		v := of(&list[i].MeasuredBody)
		at, err := time.Parse(time.DateOnly, list[i].MeasuredOn)
		if v == nil || err != nil || len(points) > 0 && points[len(points)-1].at.Equal(at) {
			continue
		}
		points = append(points, growthPoint{at, *v})
	}
	slices.Reverse(points)
	return points
}

// growthScale places values on the drawing.
type growthScale struct {
	first, last time.Time
	low, high   float64
}

func newGrowthScale(points []growthPoint) growthScale {
	s := growthScale{first: points[0].at, last: points[len(points)-1].at, low: points[0].value, high: points[0].value}
	for _, p := range points {
		s.low, s.high = min(s.low, p.value), max(s.high, p.value)
	}
	if s.high-s.low < leastRange {
		middle := (s.low + s.high) / 2
		s.low, s.high = middle-leastRange/2, middle+leastRange/2
	}
	return s
}

func (s *growthScale) x(at time.Time) float64 {
	return growthLeft + (growthWide-growthLeft-growthEnd)*at.Sub(s.first).Hours()/s.last.Sub(s.first).Hours()
}

func (s *growthScale) y(v float64) float64 {
	return growthTop + (growthTall-growthTop-growthFoot)*(s.high-v)/(s.high-s.low)
}

// newGrowthChart draws what was measured on two days or more; nil else.
func newGrowthChart(title, unit string, list []club.Measures, of func(*club.MeasuredBody) *float64) *growthChart {
	points := growthPoints(list, of)
	if len(points) < 2 {
		return nil
	}
	s := newGrowthScale(points)
	foot := growthTall - growthFoot + 6
	c := &growthChart{
		Title: title, Unit: unit, Box: plot.Box{X: 0, Y: 0, W: growthWide, H: growthTall},
		Axis:   plot.Trace(plot.Spot{X: growthLeft, Y: growthTop - 6}, plot.Spot{X: growthLeft, Y: foot}, plot.Spot{X: growthWide - growthEnd + 6, Y: foot}),
		XTicks: []tickMark{{s.x(s.first), s.first.Format("Jan 2006")}, {s.x(s.last), s.last.Format("Jan 2006")}},
		Words: title + " from " + page.Plain(points[0].value) + " to " + page.Plain(points[len(points)-1].value) + " " + unit +
			" between " + s.first.Format("2 Jan 2006") + " and " + s.last.Format("2 Jan 2006"),
	}
	for _, v := range []float64{math.Ceil(s.low), math.Floor(s.high)} {
		c.YTicks = append(c.YTicks, tickMark{s.y(v), page.Plain(v)})
	}
	var spots []plot.Spot
	for i, p := range points {
		at := plot.Spot{X: s.x(p.at), Y: s.y(p.value)}
		spots = append(spots, at)
		c.Dots = append(c.Dots, growthDot{
			At: at, Words: p.at.Format("2 Jan 2006") + ": " + page.Plain(p.value) + " " + unit,
			Last: i == len(points)-1, Label: plot.Spot{X: at.X + 8, Y: at.Y + 4}, Value: page.Plain(p.value),
		})
	}
	c.Curve = plot.Trace(spots...)
	return c
}
