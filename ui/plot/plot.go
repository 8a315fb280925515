// Package plot draws curves over two scales, the gearing of a stroke and the window of
// gate heights, as points and paths that the templates write as SVG, and holds what
// other drawings are made of: spots, boxes, paths, round steps. How they look is in the
// style sheets; rowers and boats are drawn in ui/figure.
package plot

import (
	"fmt"
	"math"

	"thole/api/wire"
)

// Plot is a drawing of curves over two scales, as wide as the page allows: y is
// in px, x in thousandths of the width, so that type keeps its size.
type Plot struct {
	Height       float64 // px
	Title        string  // said in place of the drawing
	Axis         string
	XTicks       []xTick
	YTicks       []tick
	XName, YName string
	Unit         string `json:",omitempty"` // of both axes, as data-m: "tick" for cm
	Areas        []Shape
	Lines        []Shape
	Dots         []Dot
	Notes        []Label

	X, Y Scale
}

// Shape is a path with the class that dresses it.
type Shape struct{ Class, Path string }

// Dot is one value.
type Dot struct {
	At    Spot
	Class string
	Words string
}

// Left is where the dot of a plot stands, as a share of the width.
func (d Dot) Left() string { return share(d.At.X) }

// xTick names a value of x; the odd ones make room on a narrow page.
type xTick struct {
	tick
	Odd bool
}

// Left is where the tick stands, as a share of the width.
func (t xTick) Left() string { return share(t.At) }

// Label is a word beside a place of the plot, DX px to its right.
type Label struct {
	X, DX, Y     float64
	Anchor, Text string
}

// Left is where the note stands, as a share of the width.
func (n Label) Left() string { return share(n.X) }

func share(thousandths float64) string { return Coord(thousandths/10) + "%" }

// Scale runs from low to high along a side of the drawing.
type Scale struct{ Low, High, From, To float64 }

// At is where a value stands along the side.
func (s Scale) At(v float64) float64 { return s.From + (v-s.Low)/(s.High-s.Low)*(s.To-s.From) }

// Frame of a plot: what is over and under its scales, px, and its width; our judgement.
const plotTop, plotUnder, plotWidth = 36, 48, 1000

// New lays out the scales: ticks at round values, the scales from the first
// tick to the last on the y axis and over the data on the x axis.
func New(title string, height float64, x, y [2]float64, xName, yName string) *Plot {
	p := &Plot{Title: title, XName: xName, YName: yName, Height: plotTop + height + plotUnder}
	if x[1]-x[0] < 1e-9 {
		x[0], x[1] = x[0]-1, x[1]+1
	}
	step := RoundStep((y[1] - y[0]) / 5)
	if y[0] < 0 && y[0] > -0.05*y[1] {
		y[0] = 0 // what little a filter swings below the axis may stick out
	}
	y[0], y[1] = math.Floor(y[0]/step)*step, math.Ceil(y[1]/step)*step
	if y[0] == y[1] {
		y[1] += step
	}
	p.X = Scale{x[0], x[1], 0, plotWidth}
	p.Y = Scale{y[0], y[1], plotTop + height, plotTop}
	for v := y[0]; v <= y[1]+step/2; v += step {
		p.YTicks = append(p.YTicks, tick{p.Y.At(v), tickText(v, step)})
	}
	xStep := RoundStep((x[1] - x[0]) / 8)
	for v := math.Ceil(x[0]/xStep-1e-9) * xStep; v <= x[1]+1e-9*xStep; v += xStep {
		p.XTicks = append(p.XTicks, xTick{tick{p.X.At(v), tickText(v, xStep)}, len(p.XTicks)%2 == 1})
	}
	p.Axis = Trace(Spot{0, plotTop}, Spot{0, plotTop + height}, Spot{plotWidth, plotTop + height})
	return p
}

// Under is where the names of the x ticks stand.
func (p *Plot) Under() float64 { return p.Height - plotUnder + 18 }

// Foot is where the name of the x scale stands.
func (p *Plot) Foot() float64 { return p.Height - 6 }

// tickText writes a value with the digits of the step.
func tickText(v, step float64) string {
	digits := 0
	if step < 1 {
		digits = int(math.Ceil(-math.Log10(step) - 1e-9))
	}
	return wire.Fix(digits, v)
}

// RoundStep is 1, 2 or 5 times a power of ten, at least v.
func RoundStep(v float64) float64 {
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

func (p *Plot) spots(x, y []float64) []Spot {
	list := make([]Spot, len(x))
	for i := range x {
		list[i] = Spot{p.X.At(x[i]), p.Y.At(y[i])}
	}
	return list
}

// Line draws y over x.
func (p *Plot) Line(class string, x, y []float64) {
	if len(x) > 0 {
		p.Lines = append(p.Lines, Shape{class, Trace(p.spots(x, y)...)})
	}
}

// Band fills between low and high.
func (p *Plot) Band(class string, x, low, high []float64) {
	upper, lower := p.spots(x, high), p.spots(x, low)
	for i := range lower {
		upper = append(upper, lower[len(lower)-1-i])
	}
	p.Areas = append(p.Areas, Shape{class, Trace(upper...) + "Z"})
}

// Below fills what lies under a value of y.
func (p *Plot) Below(class string, y float64) {
	p.Areas = append(p.Areas, Shape{class, Rectangle(0, p.Y.At(y), plotWidth, p.Y.From)})
}

// Level draws a line at a value of y.
func (p *Plot) Level(class string, y float64, text string) {
	p.Lines = append(p.Lines, Shape{class, Trace(Spot{0, p.Y.At(y)}, Spot{plotWidth, p.Y.At(y)})})
	if text != "" {
		p.Notes = append(p.Notes, Label{plotWidth, 0, p.Y.At(y) - 4, "end", text})
	}
}

// Upright draws a line at a value of x.
func (p *Plot) Upright(class string, x float64) {
	p.Lines = append(p.Lines, Shape{class, Trace(Spot{p.X.At(x), p.Y.To}, Spot{p.X.At(x), p.Y.From})})
}

// Dot marks one value.
func (p *Plot) Dot(class string, x, y float64) {
	p.Dots = append(p.Dots, Dot{At: p.spots([]float64{x}, []float64{y})[0], Class: class})
}

// Note writes beside a value, dx and dy px from it.
func (p *Plot) Note(x, y, dx, dy float64, anchor, text string) {
	p.Notes = append(p.Notes, Label{p.X.At(x), dx, p.Y.At(y) + dy, anchor, text})
}

// Extent returns the smallest and the largest of some values, with lows and
// highs that must be inside.
func Extent(ends [2]float64, lists ...[]float64) [2]float64 {
	for _, list := range lists {
		for _, v := range list {
			ends[0], ends[1] = min(ends[0], v), max(ends[1], v)
		}
	}
	return ends
}

// PlusMinus returns the mean less and plus the deviation.
func PlusMinus(mean, sd []float64) (low, high []float64) {
	for i := range mean {
		low, high = append(low, mean[i]-sd[i]), append(high, mean[i]+sd[i])
	}
	return low, high
}

// Evenly returns n values from first to last.
func Evenly(n int, first, last float64) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = first + (last-first)*float64(i)/float64(n-1)
	}
	return list
}

// Dash numbers the classes of several curves: each has a colour and a dash.
func Dash(i int) string { return fmt.Sprintf("series s%d", i%8) }
