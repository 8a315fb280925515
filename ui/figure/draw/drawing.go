package draw

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
	Lines  [][]plane.Point
	Closed bool
}

// Text is one line of type.
type Text struct {
	Class  string
	At     plane.Point // the baseline's start, middle or end
	Anchor string
	Text   string
	Size   float64 // px
	Bold   bool
}

// Label is a piece of type that stands clear of the drawing.
type Label struct {
	Texts  []Text
	Box    plane.Box     // what the type takes at most
	Leader []plane.Point // from the label to its anchor; empty when it stands beside it
	Plain  bool          // the leader ends without a dot
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
func (d *Drawing) View() string { return "0 0 " + Coord(d.Width) + " " + Coord(d.Height) }

// Box is the frame.
func (d *Drawing) Box() plane.Box { return plane.Box{X: 0, Y: 0, W: d.Width, H: d.Height} }

// Add puts a shape over those that are there.
func (d *Drawing) Add(s Shape) { d.Shapes = append(d.Shapes, s) }

// Path is the path data of the leader.
func (l *Label) Path() string { return Trace(l.Leader...) }

// Dot is the path data of the dot at the leader's end.
func (l *Label) Dot() string { return Ring(l.Leader[len(l.Leader)-1], 2.2).D }

// X and Y are the coordinates as attributes have them.
func (t Text) X() string { return Coord(t.At.X) }

// Y is the baseline.
func (t Text) Y() string { return Coord(t.At.Y) }

// Coord writes a coordinate to a tenth of a pixel.
func Coord(v float64) string {
	s := strconv.FormatFloat(math.Round(v*10)/10+0, 'f', 1, 64)
	return strings.TrimSuffix(s, ".0")
}

// pair writes a point.
func pair(p plane.Point) string { return Coord(p.X) + " " + Coord(p.Y) }

// Trace is the path data of a polyline.
func Trace(points ...plane.Point) string {
	var b strings.Builder
	for i, p := range points {
		if i == 0 {
			b.WriteByte('M')
		} else {
			b.WriteByte('L')
		}
		b.WriteString(pair(p))
	}
	return b.String()
}

// Line is an open polyline.
func Line(class string, kind Kind, points ...plane.Point) Shape {
	return Shape{Class: class, D: Trace(points...), Kind: kind, Lines: [][]plane.Point{points}}
}

// Polygon is a closed polyline.
func Polygon(class string, kind Kind, points ...plane.Point) Shape {
	return Shape{Class: class, D: Trace(points...) + "Z", Kind: kind, Lines: [][]plane.Point{points}, Closed: true}
}

// Rectangle is a box as a shape.
func Rectangle(class string, kind Kind, b plane.Box) Shape {
	return Polygon(class, kind, b.Corners()...)
}

// Join puts the pieces of several shapes into one path.
func Join(class string, kind Kind, parts ...Shape) Shape {
	whole := Shape{Class: class, Kind: kind, Closed: parts[0].Closed}
	for _, p := range parts {
		whole.D += p.D
		whole.Lines = append(whole.Lines, p.Lines...)
	}
	return whole
}

// As is the shape with another class and kind.
func (s Shape) As(class string, kind Kind) Shape {
	s.Class, s.Kind = class, kind
	return s
}

// curveSteps is how many pieces of a polyline stand for one piece of a curve; our judgement.
const curveSteps = 4

// Blob is a smooth closed outline through points: a Catmull–Rom spline written
// as cubic Béziers.
func Blob(points ...plane.Point) Shape {
	points = plane.Clockwise(points)
	n := len(points)
	var w relative
	w.start(points[0])
	var flat []plane.Point
	for i := range points {
		p0, p1, p2, p3 := points[(i+n-1)%n], points[i], points[(i+1)%n], points[(i+2)%n]
		c1, c2 := p1.Add(p2.Sub(p0).Times(1.0/6)), p2.Sub(p3.Sub(p1).Times(1.0/6))
		w.curve(c1, c2, p2)
		for k := range curveSteps {
			flat = append(flat, bezier(p1, c1, c2, p2, float64(k)/curveSteps))
		}
	}
	return Shape{D: w.String() + "Z", Lines: [][]plane.Point{flat}, Closed: true}
}

// relative writes curves by their steps from the last point, in tenths of a
// pixel, which takes two thirds of the bytes. It counts in whole tenths, so
// that nothing drifts.
type relative struct {
	strings.Builder
	x, y int
}

func tenths(v float64) int { return int(math.Round(v * 10)) }

func (w *relative) start(p plane.Point) {
	w.x, w.y = tenths(p.X), tenths(p.Y)
	w.WriteString("M" + pair(p) + "c")
}

func (w *relative) curve(points ...plane.Point) {
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

func bezier(a, b, c, d plane.Point, t float64) plane.Point {
	u := 1 - t
	return a.Times(u * u * u).Add(b.Times(3 * u * u * t)).Add(c.Times(3 * u * t * t)).Add(d.Times(t * t * t))
}

// Ring is a circle.
func Ring(at plane.Point, r float64) Shape {
	const steps = 20
	var flat []plane.Point
	for i := range steps {
		flat = append(flat, at.Add(plane.Direction(-360*float64(i)/steps).Times(r)))
	}
	left, right := plane.Point{X: at.X - r, Y: at.Y}, plane.Point{X: at.X + r, Y: at.Y}
	arc := "A" + Coord(r) + " " + Coord(r) + " 0 1 1 "
	return Shape{D: "M" + pair(left) + arc + pair(right) + arc + pair(left) + "Z", Lines: [][]plane.Point{flat}, Closed: true}
}

// Arc is the part of a circle between two angles, degrees.
func Arc(class string, kind Kind, at plane.Point, r, from, to float64) Shape {
	steps := max(2, int(math.Abs(to-from)/5))
	var flat []plane.Point
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
	d := "M" + pair(flat[0]) + "A" + Coord(r) + " " + Coord(r) + big + turn + pair(flat[steps])
	return Shape{Class: class, Kind: kind, D: d, Lines: [][]plane.Point{flat}}
}

// Arrow is the head of an arrow at tip, pointing along to.
func Arrow(class string, tip, to plane.Point, size float64) Shape {
	side := to.Turned().Times(size * 0.35)
	foot := tip.Sub(to.Times(size))
	return Polygon(class, Dimension, tip, foot.Add(side), foot.Sub(side))
}
