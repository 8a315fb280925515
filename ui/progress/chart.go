package progress

import (
	"fmt"
	"math"
	"time"

	"thole/api/progress"
	"thole/api/wire"
	"thole/ui/page"
	"thole/ui/plot"
)

// chart is one measure over dates: each recording with its noise, the trend with
// its band, and where the rig was changed.
type chart struct {
	Box          plot.Box
	Class, Title string
	Areas, Lines []plot.Shape
	Dots         []point
	Words        []plot.Word
	x, y         plot.Scale
	digits       int
	unit         string
}

// point is one recording.
type point struct {
	At    plot.Spot
	Link  string
	Words string
}

// size is how a chart is laid out, px at the size shown.
type size struct {
	class       string
	width, high float64
	left, right float64 // of the dates
	mostTicks   float64 // least way between two dates that are written
}

// The sizes of the chart, px; our judgement of what reads well.
var (
	wideChart   = size{"wide", 560, 190, 52, 472, 74}
	narrowChart = size{"narrow", 350, 170, 46, 268, 66}
)

// Bands kept free above and below the dates: the numbers of changes stand above
// the plot, the dates below; our judgement.
const (
	chartTop   = 46.0
	chartUnder = 30.0
)

// newChart draws a line of progress; marks are the days on which something was
// changed, numbered from 1.
func newChart(line *progress.ProgressLine, marks []string, z size) *chart {
	c := &chart{
		Box: plot.Box{W: z.width, H: chartTop + z.high + chartUnder}, Class: z.class, digits: digitsOf(line), unit: line.Unit,
	}
	first, last := dayOf(line.Points[0].RecordedOn), dayOf(line.Points[len(line.Points)-1].RecordedOn)
	for _, day := range marks {
		last = max(last, dayOf(day))
	}
	if last-first < 1 {
		first, last = first-1, last+1
	}
	c.x = plot.Scale{Low: first, High: last, From: z.left, To: z.right}
	c.scale(line, z)
	c.drawMarks(marks, z)
	c.drawTrend(line)
	c.drawPoints(line)
	c.drawDates(line, z)
	c.label(line)
	c.Title = chartTitle(line, c.digits)
	return c
}

// chartTitle returns the drawing in words.
func chartTitle(line *progress.ProgressLine, digits int) string {
	text := line.Label
	for i, p := range line.Points {
		sep := ", "
		if i == 0 {
			sep = ": "
		}
		text += sep + withUnit(page.Fix(digits, p.Mean), line.Unit) + " on " + page.Day(p.RecordedOn)
	}
	return text + "."
}

// digitsOf says with how many digits a line is written.
func digitsOf(line *progress.ProgressLine) int {
	switch line.Unit {
	case "°", "cm":
		return 1
	case "":
		return 2
	}
	return 0
}

func withUnit(text, unit string) string {
	switch unit {
	case "":
		return text
	case "°":
		return text + unit
	}
	return text + " " + unit
}

// dayOf counts days.
func dayOf(text string) float64 {
	t, err := time.Parse(wire.DayLayout, text)
	if err != nil {
		return 0 // no recording has a day that is none
	}
	return float64(t.Unix()) / 86400
}

// scale chooses the values: all that is drawn, on round steps.
func (c *chart) scale(line *progress.ProgressLine, z size) {
	low, high := extentOf(line)
	c.values(low, high, line.Points[0].Mean >= 0, z)
}

// extentOf is all that is drawn of a line.
func extentOf(line *progress.ProgressLine) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range line.Points {
		low, high = min(low, p.Mean-p.NoiseSD), max(high, p.Mean+p.NoiseSD)
	}
	if t := line.Trend; t != nil {
		low, high = min(low, t.First-t.HalfBand, t.Last-t.HalfBand), max(high, t.First+t.HalfBand, t.Last+t.HalfBand)
	}
	return low, high
}

// values lays out the scale of values with its unit; positive ones begin no
// lower than 0.
func (c *chart) values(low, high float64, positive bool, z size) {
	step := plot.RoundStep(max((high-low)/4, math.Pow(10, -float64(c.digits))))
	low, high = math.Floor(low/step)*step, math.Ceil(high/step)*step
	if low < 0 && positive && low > -step*1.01 {
		low = 0
	}
	floor := chartTop + z.high
	c.y = plot.Scale{Low: low, High: high, From: floor, To: chartTop}
	digits := max(int(math.Ceil(-math.Log10(step)-1e-9)), 0)
	for v := low; v <= high+step/2; v += step {
		y := c.y.At(v)
		c.line("grid", plot.Spot{X: z.left, Y: y}, plot.Spot{X: z.right + 6, Y: y})
		c.word(z.left-8, y+4, "end", "tick", page.Fix(digits, v))
	}
	unit := c.unit
	if unit == "" {
		unit = "drive : recovery"
	}
	c.word(2, 14, "start", "tick", unit)
}

func (c *chart) line(class string, spots ...plot.Spot) {
	c.Lines = append(c.Lines, plot.Shape{Class: class, Path: plot.Trace(spots...)})
}

func (c *chart) word(x, y float64, anchor, class, text string) {
	c.Words = append(c.Words, plot.Word{At: plot.Spot{X: x, Y: y}, Anchor: anchor, Class: class, Text: text})
}

// held keeps a value within the scale.
func (c *chart) held(v float64) float64 { return c.y.At(min(max(v, c.y.Low), c.y.High)) }

// drawTrend draws the line with its band.
func (c *chart) drawTrend(line *progress.ProgressLine) {
	t := line.Trend
	if t == nil {
		return
	}
	from, to := c.x.At(dayOf(line.Points[0].RecordedOn)), c.x.At(dayOf(line.Points[len(line.Points)-1].RecordedOn))
	c.Areas = append(c.Areas, plot.Shape{Class: "band", Path: plot.Trace(
		plot.Spot{X: from, Y: c.held(t.First + t.HalfBand)}, plot.Spot{X: to, Y: c.held(t.Last + t.HalfBand)},
		plot.Spot{X: to, Y: c.held(t.Last - t.HalfBand)}, plot.Spot{X: from, Y: c.held(t.First - t.HalfBand)}) + "Z"})
	c.line("trend", plot.Spot{X: from, Y: c.held(t.First)}, plot.Spot{X: to, Y: c.held(t.Last)})
}

// drawPoints draws the recordings, each with ± 1 SD of its noise.
func (c *chart) drawPoints(line *progress.ProgressLine) {
	for _, p := range line.Points {
		x := c.x.At(dayOf(p.RecordedOn))
		c.line("noise", plot.Spot{X: x, Y: c.held(p.Mean - p.NoiseSD)}, plot.Spot{X: x, Y: c.held(p.Mean + p.NoiseSD)})
		c.Dots = append(c.Dots, point{
			At: plot.Spot{X: x, Y: c.y.At(p.Mean)}, Link: fmt.Sprintf("/recordings/%d", p.RecordingID),
			Words: page.Day(p.RecordedOn) + ": " + withUnit(page.Fix(c.digits, p.Mean), c.unit) + " ± " + withUnit(page.Scatter(c.digits, p.NoiseSD), c.unit),
		})
	}
}

// label writes the last value beside its dot.
func (c *chart) label(line *progress.ProgressLine) {
	n := len(line.Points)
	p, at := line.Points[n-1], c.Dots[n-1].At
	x := c.x.To + 12 // no dot stands beyond the last day
	y := min(max(at.Y, c.y.To+6), c.y.From-12)
	c.word(x, y+2, "start", "end strong", page.Fix(c.digits, p.Mean)+short(c.unit))
	c.word(x, y+18, "start", "tick", "± "+page.Scatter(c.digits, p.NoiseSD))
}

// short is a unit as it stands at a figure in the drawing.
func short(unit string) string {
	switch unit {
	case "°", "":
		return unit
	case "% of the arc":
		return " %"
	}
	return " " + unit
}

// drawMarks draws a line for each day of changes, numbered; numbers that would
// meet stand in two rows.
func (c *chart) drawMarks(days []string, z size) {
	before, row := math.Inf(-1), 0
	for i, day := range days {
		x := c.x.At(dayOf(day))
		if x < z.left {
			continue
		}
		if row = 1 - row; x-before > 22 {
			row = 0
		}
		before = x
		y := chartTop - 8 - 15*float64(row)
		c.line("change", plot.Spot{X: x, Y: y + 3}, plot.Spot{X: x, Y: chartTop + z.high})
		c.word(x, y, "middle", "tick", fmt.Sprint(i+1))
	}
}

// drawDates writes days or months, as many as have room.
func (c *chart) drawDates(line *progress.ProgressLine, z size) {
	floor := chartTop + z.high
	c.line("floor", plot.Spot{X: z.left, Y: floor}, plot.Spot{X: z.right + 6, Y: floor})
	most := math.Floor((z.right - z.left) / z.mostTicks)
	span := c.x.High - c.x.Low
	first := time.Unix(int64(c.x.Low*86400), 0).UTC()
	if span < fewDays {
		c.drawDays(line, z, floor)
		return
	}
	months := int(math.Ceil(span / 30.4 / most))
	for at := time.Date(first.Year(), first.Month(), 1, 0, 0, 0, 0, time.UTC); ; at = at.AddDate(0, months, 0) {
		day := float64(at.Unix()) / 86400
		if day > c.x.High {
			return
		}
		if day >= c.x.Low-1 {
			c.date(at, "Jan 2006", floor)
		}
	}
}

// fewDays is up to what span the days of the recordings are written in place of
// the months; our judgement.
const fewDays = 60

// drawDays writes the days of recordings, those that have room.
func (c *chart) drawDays(line *progress.ProgressLine, z size, floor float64) {
	before := math.Inf(-1)
	for i := range line.Points {
		day := dayOf(line.Points[i].RecordedOn)
		if x := c.x.At(day); x-before >= z.mostTicks*0.75 {
			c.date(time.Unix(int64(day*86400), 0).UTC(), "2 Jan", floor)
			before = x
		}
	}
}

func (c *chart) date(t time.Time, layout string, floor float64) {
	x := c.x.At(float64(t.Unix()) / 86400)
	c.line("floor", plot.Spot{X: x, Y: floor}, plot.Spot{X: x, Y: floor + 5})
	c.word(x, floor+20, "middle", "tick", t.Format(layout))
}

// newEach draws a measure stroke by stroke.
func newEach(name featureName, x, y []float64, z size) *chart {
	c := &chart{Box: plot.Box{W: z.width, H: chartTop + z.high + chartUnder}, Class: z.class, digits: name.digits, unit: name.unit}
	ends := plot.Extent([2]float64{y[0], y[0]}, y)
	c.Title = fmt.Sprintf("%s in each of %d strokes, from %s to %s", name.label, len(y), page.Fix(name.digits, ends[0]), withUnit(page.Fix(name.digits, ends[1]), name.unit))
	c.x = plot.Scale{Low: 0.5, High: x[len(x)-1] + 0.5, From: z.left, To: z.width - 12}
	z.right = z.width - 18
	c.values(ends[0], ends[1], ends[0] >= 0, z)
	spots := make([]plot.Spot, len(x))
	for i := range x {
		spots[i] = plot.Spot{X: c.x.At(x[i]), Y: c.y.At(y[i])}
		if len(x) <= mostDots {
			c.Dots = append(c.Dots, point{At: spots[i], Words: fmt.Sprintf("stroke %.0f: %s", x[i], withUnit(page.Fix(name.digits, y[i]), name.unit))})
		}
	}
	c.line("noise", spots...)
	floor := chartTop + z.high
	c.line("floor", plot.Spot{X: z.left, Y: floor}, plot.Spot{X: z.right + 6, Y: floor})
	step := plot.RoundStep(x[len(x)-1] / 6)
	for v := step; v <= x[len(x)-1]; v += step {
		c.word(c.x.At(v), floor+20, "middle", "tick", page.Fix(0, v))
	}
	c.word((z.left+z.right)/2, floor+36, "middle", "tick", "stroke")
	c.Box.H += 14
	return c
}

// mostDots is how many strokes are drawn as dots; more would run together; our judgement.
const mostDots = 120
