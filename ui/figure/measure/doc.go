// Package measure draws how each measure of a boat, an oar and a body is taken:
// one drawing a measure, at one width that fits a phone, in the classes of
// package draw. Nothing is to scale; what matters is from where to where the
// tape goes.
package measure

import (
	"math"

	"thole/ui/figure/draw"
	"thole/ui/figure/letters"
	"thole/ui/figure/plane"
)

// Width is that of every drawing, px: what a phone of 390 px leaves; our judgement.
const Width = 340

// Sizes of type and of the arrows of a dimension line, px; our judgement.
const (
	typeSize  = 14
	arrowSize = 7
	labelGap  = 5
)

// Keys lists the drawings in the order of the guide.
func Keys() []string {
	keys := make([]string, len(drawings))
	for i, d := range drawings {
		keys[i] = d.key
	}
	return keys
}

// Draw returns the drawing of a measure. The key must be one of [Keys].
func Draw(key string) *draw.Drawing {
	for _, d := range drawings {
		if d.key == key {
			s := &sheet{Drawing: draw.Drawing{ID: "how-" + key, Class: "fig-how", Width: Width, Height: d.height, Title: d.title, Desc: d.desc}}
			d.draw(s)
			return &s.Drawing
		}
	}
	panic("measure: no drawing " + key)
}

type drawing struct {
	key, title, desc string
	height           float64
	draw             func(*sheet)
}

type point = plane.Point

// sheet is a drawing being made.
type sheet struct{ draw.Drawing }

func (s *sheet) add(class string, kind draw.Kind, closed bool, points ...point) {
	path := draw.Shape{Class: class, Kind: kind, Lines: [][]point{points}, Closed: closed, D: trace(points)}
	if closed {
		path.D += "Z"
	}
	s.Shapes = append(s.Shapes, path)
}

func (s *sheet) line(class string, kind draw.Kind, points ...point) {
	s.add(class, kind, false, points...)
}

func (s *sheet) area(class string, kind draw.Kind, points ...point) {
	s.add(class, kind, true, points...)
}

func (s *sheet) box(class string, kind draw.Kind, x, y, w, h float64) {
	s.area(class, kind, point{X: x, Y: y}, point{X: x + w, Y: y}, point{X: x + w, Y: y + h}, point{X: x, Y: y + h})
}

func (s *sheet) disc(class string, kind draw.Kind, at point, r float64) {
	s.area(class, kind, around(at, r, 0, 360)...)
}

// bow draws an arc between two angles, in degrees from +x, counted upwards.
func (s *sheet) bow(class string, at point, r, from, to float64) {
	s.line(class, draw.Dimension, around(at, r, from, to)...)
}

// limb is a bone with flesh: a bar with round ends.
func (s *sheet) limb(class string, from, to point, breadth float64) {
	turn := plane.Deg(math.Atan2(-(to.Y - from.Y), to.X-from.X))
	outline := append(around(from, breadth/2, turn+90, turn+270), around(to, breadth/2, turn-90, turn+90)...)
	s.area(class, draw.Trunk, outline...)
}

// around lists the points of an arc, a step 6°.
func around(at point, r, from, to float64) []point {
	steps := max(1, int(math.Abs(to-from)/6))
	points := make([]point, steps+1)
	for i := range points {
		sin, cos := math.Sincos(plane.Rad(from + (to-from)*float64(i)/float64(steps)))
		points[i] = point{X: at.X + r*cos, Y: at.Y - r*sin}
	}
	return points
}

// span draws a dimension line with arrows, and its name, if any, on the side given by
// anchor: start to the right, end to the left, below under it.
func (s *sheet) span(from, to point, name, anchor string) {
	s.line("fig-thin", draw.Dimension, from, to)
	along := from.Unit(to)
	s.head(from, along.Times(-1))
	s.head(to, along)
	s.tick(from, along)
	s.tick(to, along)
	if name == "" {
		return
	}
	m := from.Toward(to, 0.5)
	switch anchor {
	case "start":
		s.text(m.X+labelGap+3, m.Y+5, anchor, name, true)
	case "end":
		s.text(m.X-labelGap-3, m.Y+5, anchor, name, true)
	case "below":
		s.text(m.X, m.Y+labelGap+typeSize, "middle", name, true)
	}
}

func (s *sheet) head(tip, along point) {
	back, side := tip.Sub(along.Times(arrowSize)), along.Turned().Times(arrowSize*0.4)
	s.area("fig-head", draw.Dimension, tip, back.Add(side), back.Sub(side))
}

func (s *sheet) tick(at, along point) {
	side := along.Turned().Times(6)
	s.line("fig-thin", draw.Dimension, at.Add(side), at.Sub(side))
}

// text sets a name; bold is what is measured.
func (s *sheet) text(x, y float64, anchor, name string, bold bool) {
	s.Labels = append(s.Labels, label(x, y, anchor, name, bold))
}

// named sets a name with a leader to what it names.
func (s *sheet) named(x, y float64, anchor, name string, to point) {
	l := label(x, y, anchor, name, false)
	from := point{X: l.Box.X + l.Box.W/2, Y: l.Box.Bottom()}
	switch {
	case to.Y < l.Box.Y:
		from.Y = l.Box.Y
	case to.Y <= l.Box.Bottom() && to.X < l.Box.X:
		from = point{X: l.Box.X - 2, Y: l.Box.Y + l.Box.H/2}
	case to.Y <= l.Box.Bottom():
		from = point{X: l.Box.Right() + 2, Y: l.Box.Y + l.Box.H/2}
	}
	l.Leader = []point{from, to}
	s.Labels = append(s.Labels, l)
}

func label(x, y float64, anchor, name string, bold bool) draw.Label {
	class, w := "fig-term", letters.Width(name, typeSize, bold)
	if bold {
		class = "fig-value"
	}
	left := map[string]float64{"start": x, "middle": x - w/2, "end": x - w}[anchor]
	return draw.Label{
		Texts: []draw.Text{{Class: class, At: point{X: x, Y: y}, Anchor: anchor, Text: name, Size: typeSize, Bold: bold}},
		Box:   plane.Box{X: left, Y: y - 0.86*typeSize, W: w, H: 1.1 * typeSize},
	}
}

// stern marks at the foot of the sheet which way the boat’s stern lies.
func (s *sheet) stern() {
	x, y := Width-50.0, s.Height-10
	s.line("fig-thin fig-soft", draw.Dimension, point{X: x, Y: y}, point{X: x + 34, Y: y})
	s.area("fig-softhead", draw.Dimension, point{X: x + 40, Y: y}, point{X: x + 33, Y: y - 3}, point{X: x + 33, Y: y + 3})
	s.text(x-5, y+5, "end", "stern", false)
}
