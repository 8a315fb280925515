package plot

import (
	"fmt"
	"math"
	"strings"

	"thole/api/seat"
	"thole/api/wire"
)

// Drawings are SVG to scale in centimetres, built here as points and paths and
// dressed by the style sheet. Every number drawn stands in the page as text
// too.

// Spot is a place on a drawing, y downwards.
type Spot struct{ X, Y float64 }

// Line is a straight stroke.
type Line struct{ X1, Y1, X2, Y2 float64 }

// Box is a view box.
type Box struct{ X, Y, W, H float64 }

// String writes the box as the viewBox attribute has it.
func (b Box) String() string {
	return fmt.Sprintf("%s %s %s %s", Coord(b.X), Coord(b.Y), Coord(b.W), Coord(b.H))
}

// Coord writes a coordinate to a tenth of a millimetre or of a unit.
func Coord(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v+0), "0"), ".")
}

// Trace is the path along some spots.
func Trace(points ...Spot) string {
	var b strings.Builder
	for i, p := range points {
		b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0])
		b.WriteString(Coord(p.X) + " " + Coord(p.Y))
	}
	return b.String()
}

// Note is a number beside the joint it belongs to.
type Note struct {
	At     Spot
	Anchor string
	Text   string
}

// Chart is the gearing through the stroke.
type Chart struct {
	Box            Box
	Axis           string
	XTicks, YTicks []tick
	Curves         []curve
}

type tick struct {
	At   float64
	Text string
}

type curve struct {
	Class, Path string
	Ends        []Note
}

// Frame of the chart, in its own units; our judgement.
const (
	chartLeft, chartTop     = 46, 14
	chartWidth, chartHeight = 500, 190
)

// NewChart draws the gearing of one or two set-ups.
func NewChart(solutions ...*seat.SeatSolution) Chart {
	low, high, most := 0.0, 0.0, 0.0
	for _, s := range solutions {
		low, high = min(low, s.CatchDeg), max(high, s.FinishDeg)
		most = max(most, s.Gearing.AtCatch, s.Gearing.AtFinish)
	}
	low, high = math.Floor(low/10)*10, math.Ceil(high/10)*10
	top := math.Ceil(most)
	x := func(deg float64) float64 { return chartLeft + chartWidth*(deg-low)/(high-low) }
	y := func(ratio float64) float64 { return chartTop + chartHeight*(1-ratio/top) }
	c := Chart{Box: Box{0, 0, chartLeft + chartWidth + 40, chartTop + chartHeight + 44}}
	c.Axis = Trace(Spot{chartLeft, chartTop}, Spot{chartLeft, chartTop + chartHeight}, Spot{chartLeft + chartWidth, chartTop + chartHeight})
	for deg := low; deg <= high; deg += 20 {
		c.XTicks = append(c.XTicks, tick{x(deg), wire.Fix(0, math.Abs(deg)) + "°"})
	}
	for ratio := 0.0; ratio <= top; ratio += math.Ceil(top / 6) {
		c.YTicks = append(c.YTicks, tick{y(ratio), wire.Fix(0, ratio)})
	}
	for i, s := range solutions {
		c.Curves = append(c.Curves, newCurve(i, s, x, y))
	}
	return c
}

func newCurve(i int, s *seat.SeatSolution, x, y func(float64) float64) curve {
	var points []Spot
	for _, p := range s.Gearing.Curve {
		points = append(points, Spot{x(p.AngleDeg), y(p.Ratio)})
	}
	w := curve{Class: [...]string{"one", "two"}[i], Path: Trace(points...)}
	w.Ends = []Note{
		{Spot{x(s.CatchDeg) + 8, y(s.Gearing.AtCatch) + 4}, "start", wire.Fix(1, s.Gearing.AtCatch) + " at the catch"},
		{Spot{x(0), y(s.Gearing.LeverRatio) + 16}, "middle", wire.Fix(2, s.Gearing.LeverRatio) + " square"},
		{Spot{x(s.FinishDeg) - 2, y(s.Gearing.AtFinish) - 8}, "end", wire.Fix(1, s.Gearing.AtFinish) + " at the finish"},
	}
	if i == 1 {
		w.Ends = nil
	}
	return w
}

// Gate is the window of gate heights with the gate in it.
type Gate struct {
	Box           Box
	Window, Doubt Box
	Empty         bool
	Gate          float64
	Ticks         []tick
	Title         string
}

// NewGate draws the scale of gate heights, a centimetre 24 units wide.
func NewGate(s *seat.SeatSolution) Gate {
	w, gate := s.Heights.Window, s.Drawing.GateCm
	low := math.Floor(min(w.LowCm-2*w.SdCm, w.HighCm, gate) - 1)
	high := math.Ceil(max(w.HighCm+2*w.SdCm, w.LowCm, gate) + 1)
	const cm = 24
	x := func(v float64) float64 { return (v - low) * cm }
	d := Gate{
		Box: Box{-14, 0, x(high) + 28, 78}, Gate: x(gate), Empty: w.LowCm > w.HighCm,
		Title: "Gate heights that suit: " + wire.Fix(1, w.LowCm) + " to " + wire.Fix(1, w.HighCm) + " cm; the gate stands at " + wire.Fix(1, gate) + " cm",
	}
	if !d.Empty {
		d.Window = Box{x(w.LowCm), 22, x(w.HighCm) - x(w.LowCm), 22}
		d.Doubt = Box{x(w.LowCm - w.SdCm), 26, x(w.HighCm+w.SdCm) - x(w.LowCm-w.SdCm), 14}
	}
	for v := low; v <= high; v++ {
		d.Ticks = append(d.Ticks, tick{x(v), wire.Fix(0, v)})
	}
	return d
}

// Word is a text of a drawing.
type Word struct {
	At            Spot
	Anchor, Class string
	Text          string
}

// Rectangle is the path of a box.
func Rectangle(left, top, right, bottom float64) string {
	return fmt.Sprintf("M%s %sH%sV%sH%sZ", Coord(left), Coord(top), Coord(right), Coord(bottom), Coord(left))
}
