package figure

import (
	"math"
	"strconv"
	"strings"

	"thole/ui/figure/plane"
)

// Kind says what a shape is, for whoever must keep clear of it. Kinds are
// bits, so that a label can list the ones it may touch.
type Kind uint32

// The kinds of shapes.
const (
	Trunk Kind = 1 << iota
	Head
	Thigh
	Shank
	Shoe
	Arm
	Seat
	Plate
	Gate
	Oar
	Ghost
	Hull
	Water
	Dimension // lines that measure: arcs, arrows, upright lines
	Mark      // marks, bars and ticks of a scale
	Hatching  // the part of a scale past its end

	// Limb is any part of the rower.
	Limb = Trunk | Head | Thigh | Shank | Shoe | Arm
)

// Shape is one path of a drawing.
type Shape struct {
	Class string
	D     string
	Kind  Kind
	// Lines are the path's pieces as polylines; of a closed shape each is an
	// outline.
	Lines  [][]Point
	Closed bool
}

// Text is one line of type.
type Text struct {
	Class  string
	At     Point // the baseline's start, middle or end
	Anchor string
	Text   string
	Size   float64 // px
	Bold   bool
}

// Label is a piece of type that stands clear of the drawing.
type Label struct {
	Texts  []Text
	Box    Box     // what the type takes at most
	Leader []Point // from the label to its anchor; empty when it stands beside it
	Plain  bool    // the leader ends without a dot
}

// Drawing is a finished picture.
//
// It holds paths with classes of the style sheet, labels with the boxes they take, and
// a title and a description. Coordinates are pixels at the width asked for, because
// type has a smallest size and a label that fits at one width does not at another: see
// [Responsive]. The bow lies left or at the top.
type Drawing struct {
	ID            string // unique in its page; the title's and the description's ids begin with it
	Class         string
	Width, Height float64 // px
	Title, Desc   string
	Shapes        []Shape
	Marks         []Text // letters and numbers inside a shape of their own
	Labels        []Label
	Caption       string // what must stand under the drawing; may be empty
}

// View is the view box.
func (d *Drawing) View() string { return "0 0 " + coord(d.Width) + " " + coord(d.Height) }

// Box is the frame.
func (d *Drawing) Box() Box { return Box{X: 0, Y: 0, W: d.Width, H: d.Height} }

func (d *Drawing) add(s Shape) { d.Shapes = append(d.Shapes, s) }

// Path is the path data of the leader.
func (l *Label) Path() string { return trace(l.Leader...) }

// Dot is the path data of the dot at the leader's end.
func (l *Label) Dot() string { return ring(l.Leader[len(l.Leader)-1], 2.2).D }

// X and Y are the coordinates as attributes have them.
func (t Text) X() string { return coord(t.At.X) }

// Y is the baseline.
func (t Text) Y() string { return coord(t.At.Y) }

// coord writes a coordinate to a tenth of a pixel.
func coord(v float64) string {
	s := strconv.FormatFloat(math.Round(v*10)/10+0, 'f', 1, 64)
	return strings.TrimSuffix(s, ".0")
}

// pair writes a point.
func pair(p Point) string { return coord(p.X) + " " + coord(p.Y) }

// trace is the path data of a polyline.
func trace(points ...Point) string {
	var b strings.Builder
	for i, p := range points {
		b.WriteByte("LM"[btoi(i == 0)])
		b.WriteString(pair(p))
	}
	return b.String()
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// line is an open polyline.
func line(class string, kind Kind, points ...Point) Shape {
	return Shape{Class: class, D: trace(points...), Kind: kind, Lines: [][]Point{points}}
}

// polygon is a closed polyline.
func polygon(class string, kind Kind, points ...Point) Shape {
	return Shape{Class: class, D: trace(points...) + "Z", Kind: kind, Lines: [][]Point{points}, Closed: true}
}

// rectangle is a box as a shape.
func rectangle(class string, kind Kind, b Box) Shape { return polygon(class, kind, b.Corners()...) }

// join puts the pieces of several shapes into one path.
func join(class string, kind Kind, parts ...Shape) Shape {
	whole := Shape{Class: class, Kind: kind, Closed: parts[0].Closed}
	for _, p := range parts {
		whole.D += p.D
		whole.Lines = append(whole.Lines, p.Lines...)
	}
	return whole
}

// as is the shape with another class and kind.
func (s Shape) as(class string, kind Kind) Shape {
	s.Class, s.Kind = class, kind
	return s
}

// curveSteps is how many pieces of a polyline stand for one piece of a curve; our judgement.
const curveSteps = 4

// blob is a smooth closed outline through points: a Catmull–Rom spline written
// as cubic Béziers.
func blob(points ...Point) Shape {
	points = plane.Clockwise(points)
	n := len(points)
	var w relative
	w.start(points[0])
	var flat []Point
	for i := range points {
		p0, p1, p2, p3 := points[(i+n-1)%n], points[i], points[(i+1)%n], points[(i+2)%n]
		c1, c2 := p1.Add(p2.Sub(p0).Times(1.0/6)), p2.Sub(p3.Sub(p1).Times(1.0/6))
		w.curve(c1, c2, p2)
		for k := range curveSteps {
			flat = append(flat, bezier(p1, c1, c2, p2, float64(k)/curveSteps))
		}
	}
	return Shape{D: w.String() + "Z", Lines: [][]Point{flat}, Closed: true}
}

// relative writes curves by their steps from the last point, in tenths of a
// pixel, which takes two thirds of the bytes. It counts in whole tenths, so
// that nothing drifts.
type relative struct {
	strings.Builder
	x, y int
}

func tenths(v float64) int { return int(math.Round(v * 10)) }

func (w *relative) start(p Point) {
	w.x, w.y = tenths(p.X), tenths(p.Y)
	w.WriteString("M" + pair(p) + "c")
}

func (w *relative) curve(points ...Point) {
	for _, p := range points {
		w.number(tenths(p.X) - w.x)
		w.number(tenths(p.Y) - w.y)
	}
	last := points[len(points)-1]
	w.x, w.y = tenths(last.X), tenths(last.Y)
}

// number writes tenths; a minus parts it from the number before.
func (w *relative) number(n int) {
	if n >= 0 {
		w.WriteByte(' ')
	} else {
		w.WriteByte('-')
		n = -n
	}
	if n >= 10 || n == 0 {
		w.WriteString(strconv.Itoa(n / 10))
	}
	if n%10 != 0 {
		w.WriteString("." + strconv.Itoa(n%10))
	}
}

func bezier(a, b, c, d Point, t float64) Point {
	u := 1 - t
	return a.Times(u * u * u).Add(b.Times(3 * u * u * t)).Add(c.Times(3 * u * t * t)).Add(d.Times(t * t * t))
}

// ring is a circle.
func ring(at Point, r float64) Shape {
	const steps = 20
	var flat []Point
	for i := range steps {
		flat = append(flat, at.Add(plane.Direction(-360*float64(i)/steps).Times(r)))
	}
	left, right := Point{X: at.X - r, Y: at.Y}, Point{X: at.X + r, Y: at.Y}
	arc := "A" + coord(r) + " " + coord(r) + " 0 1 1 "
	return Shape{D: "M" + pair(left) + arc + pair(right) + arc + pair(left) + "Z", Lines: [][]Point{flat}, Closed: true}
}

// arc is the part of a circle between two angles, degrees.
func arc(class string, kind Kind, at Point, r, from, to float64) Shape {
	steps := max(2, int(math.Abs(to-from)/5))
	var flat []Point
	for i := range steps + 1 {
		flat = append(flat, at.Add(plane.Direction(from+(to-from)*float64(i)/float64(steps)).Times(r)))
	}
	turn := "1 "
	if to > from {
		turn = "0 "
	}
	big := " 0 0 "
	if math.Abs(to-from) > 180 {
		big = " 0 1 "
	}
	d := "M" + pair(flat[0]) + "A" + coord(r) + " " + coord(r) + big + turn + pair(flat[steps])
	return Shape{Class: class, Kind: kind, D: d, Lines: [][]Point{flat}}
}

// arrow is the head of an arrow at tip, pointing along to.
func arrow(class string, tip, to Point, size float64) Shape {
	side := to.Turned().Times(size * 0.35)
	foot := tip.Sub(to.Times(size))
	return polygon(class, Dimension, tip, foot.Add(side), foot.Sub(side))
}
