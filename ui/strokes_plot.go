package ui

import (
	"fmt"
	"math"
	"strings"
)

// plot is a drawing of curves over two scales.
type plot struct {
	Box            box
	Title          string // said in place of the drawing
	Axis           string
	XTicks, YTicks []tick
	XName, YName   string
	Areas          []shape
	Lines          []shape
	Dots           []dot
	Notes          []note

	x, y scale
}

// shape is a path with the class that dresses it.
type shape struct{ Class, Path string }

// dot is one value.
type dot struct {
	At    spot
	Class string
	Words string
}

// scale runs from low to high along a side of the drawing.
type scale struct{ low, high, from, to float64 }

func (s scale) at(v float64) float64 { return s.from + (v-s.low)/(s.high-s.low)*(s.to-s.from) }

// Frame of a plot, in its own units.
const (
	plotLeft, plotTop, plotWidth = 54, 36, 540
	plotUnder, plotRight         = 48, 14
)

// newPlot lays out the scales: ticks at round values, the scales from the first
// tick to the last on the y axis and over the data on the x axis.
func newPlot(title string, height float64, x, y [2]float64, xName, yName string) *plot {
	p := &plot{Title: title, XName: xName, YName: yName, Box: box{0, 0, plotLeft + plotWidth + plotRight, plotTop + height + plotUnder}}
	if x[1]-x[0] < 1e-9 {
		x[0], x[1] = x[0]-1, x[1]+1
	}
	step := roundStep((y[1] - y[0]) / 5)
	if y[0] < 0 && y[0] > -0.05*y[1] {
		y[0] = 0 // what little a filter swings below the axis may stick out
	}
	y[0], y[1] = math.Floor(y[0]/step)*step, math.Ceil(y[1]/step)*step
	if y[0] == y[1] {
		y[1] += step
	}
	p.x = scale{x[0], x[1], plotLeft, plotLeft + plotWidth}
	p.y = scale{y[0], y[1], plotTop + height, plotTop}
	for v := y[0]; v <= y[1]+step/2; v += step {
		p.YTicks = append(p.YTicks, tick{p.y.at(v), tickText(v, step)})
	}
	xStep := roundStep((x[1] - x[0]) / 8)
	for v := math.Ceil(x[0]/xStep-1e-9) * xStep; v <= x[1]+1e-9*xStep; v += xStep {
		p.XTicks = append(p.XTicks, tick{p.x.at(v), tickText(v, xStep)})
	}
	p.Axis = trace(spot{plotLeft, plotTop}, spot{plotLeft, plotTop + height}, spot{plotLeft + plotWidth, plotTop + height})
	return p
}

// Under is where the names of the x ticks stand, Foot where that of the scale
// does, and Right where the drawing ends.
func (p *plot) Under() float64 { return p.Box.H - plotUnder + 18 }
func (p *plot) Foot() float64  { return p.Box.H - 6 }
func (p *plot) Right() float64 { return plotLeft + plotWidth }

// tickText writes a value with the digits of the step.
func tickText(v, step float64) string {
	digits := 0
	if step < 1 {
		digits = int(math.Ceil(-math.Log10(step) - 1e-9))
	}
	return fix(digits, v)
}

// roundStep is 1, 2 or 5 times a power of ten, at least v.
func roundStep(v float64) float64 {
	if !(v > 1e-9) {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range [...]float64{1, 2, 5} {
		if m*power >= v*0.999 {
			return m * power
		}
	}
	return 10 * power
}

func (p *plot) spots(x, y []float64) []spot {
	list := make([]spot, len(x))
	for i := range x {
		list[i] = spot{p.x.at(x[i]), p.y.at(y[i])}
	}
	return list
}

// line draws y over x.
func (p *plot) line(class string, x, y []float64) {
	if len(x) > 0 {
		p.Lines = append(p.Lines, shape{class, trace(p.spots(x, y)...)})
	}
}

// band fills between low and high.
func (p *plot) band(class string, x, low, high []float64) {
	upper, lower := p.spots(x, high), p.spots(x, low)
	for i := range lower {
		upper = append(upper, lower[len(lower)-1-i])
	}
	p.Areas = append(p.Areas, shape{class, trace(upper...) + "Z"})
}

// strip fills the whole height between two places of x.
func (p *plot) strip(class string, from, to float64) {
	if to > from {
		p.Areas = append(p.Areas, shape{class, fmt.Sprintf("M%s %sH%sV%sH%sZ", coord(p.x.at(from)), coord(p.y.to), coord(p.x.at(to)), coord(p.y.from), coord(p.x.at(from)))})
	}
}

// level draws a line at a value of y.
func (p *plot) level(class string, y float64, text string) {
	p.Lines = append(p.Lines, shape{class, trace(spot{plotLeft, p.y.at(y)}, spot{plotLeft + plotWidth, p.y.at(y)})})
	if text != "" {
		p.Notes = append(p.Notes, note{spot{plotLeft + plotWidth, p.y.at(y) - 4}, "end", text})
	}
}

func (p *plot) note(x, y, dx, dy float64, anchor, text string) {
	p.Notes = append(p.Notes, note{spot{p.x.at(x) + dx, p.y.at(y) + dy}, anchor, text})
}

// extent returns the smallest and the largest of some values, with lows and
// highs that must be inside.
func extent(ends [2]float64, lists ...[]float64) [2]float64 {
	for _, list := range lists {
		for _, v := range list {
			ends[0], ends[1] = min(ends[0], v), max(ends[1], v)
		}
	}
	return ends
}

// plusMinus returns the mean less and plus the deviation.
func plusMinus(mean, sd []float64) (low, high []float64) {
	for i := range mean {
		low, high = append(low, mean[i]-sd[i]), append(high, mean[i]+sd[i])
	}
	return low, high
}

// evenly returns n values from first to last.
func evenly(n int, first, last float64) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = first + (last-first)*float64(i)/float64(n-1)
	}
	return list
}

// dash numbers the classes of several curves: each has a colour and a dash.
func dash(i int) string { return fmt.Sprintf("series s%d", i%8) }

// capital writes the first letter large.
func capital(text string) string {
	if text == "" {
		return text
	}
	r := []rune(text)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
