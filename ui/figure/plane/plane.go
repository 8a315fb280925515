// Package plane holds the points, boxes and lines that drawings are made of, and
// says which of them meet.
package plane

import (
	"math"
	"slices"
)

// Point is a place on a drawing, px, y downwards.
type Point struct{ X, Y float64 }

// Add is the sum.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub is the difference.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Times is the multiple.
func (p Point) Times(k float64) Point { return Point{k * p.X, k * p.Y} }

// Norm is the length.
func (p Point) Norm() float64 { return math.Hypot(p.X, p.Y) }

// Toward is the point a share of the way to q.
func (p Point) Toward(q Point, t float64) Point { return p.Add(q.Sub(p).Times(t)) }

// Unit is the direction from p to q; the zero vector when they coincide.
func (p Point) Unit(q Point) Point {
	d := q.Sub(p)
	if n := d.Norm(); n > 0 {
		return d.Times(1 / n)
	}
	return Point{}
}

// Turned is p turned by a quarter towards −y from +x, seen on the screen to
// the left of the direction p.
func (p Point) Turned() Point { return Point{p.Y, -p.X} }

// Box is a rectangle on a drawing, px; X and Y are its left and top.
type Box struct{ X, Y, W, H float64 }

// Right and Bottom are the far edges.
func (b Box) Right() float64 { return b.X + b.W }

// Bottom is the lower edge.
func (b Box) Bottom() float64 { return b.Y + b.H }

// Meets reports whether two boxes share more than an edge.
func (b Box) Meets(c Box) bool {
	return b.X < c.Right() && c.X < b.Right() && b.Y < c.Bottom() && c.Y < b.Bottom()
}

// Grown is the box with a margin of d on every side.
func (b Box) Grown(d float64) Box { return Box{b.X - d, b.Y - d, b.W + 2*d, b.H + 2*d} }

// Contains reports whether p lies in the box.
func (b Box) Contains(p Point) bool {
	return p.X >= b.X && p.X <= b.Right() && p.Y >= b.Y && p.Y <= b.Bottom()
}

// Corners are the four corners, clockwise on the screen from the top left.
func (b Box) Corners() []Point {
	return []Point{{b.X, b.Y}, {b.Right(), b.Y}, {b.Right(), b.Bottom()}, {b.X, b.Bottom()}}
}

// Around is the smallest box around points.
func Around(points []Point) Box {
	low, high := points[0], points[0]
	for _, p := range points {
		low = Point{min(low.X, p.X), min(low.Y, p.Y)}
		high = Point{max(high.X, p.X), max(high.Y, p.Y)}
	}
	return Box{low.X, low.Y, high.X - low.X, high.Y - low.Y}
}

// cross is the sign of the turn a→b→c.
func cross(a, b, c Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

// SegmentsMeet reports whether two segments cross; touching ends do not count.
func SegmentsMeet(a, b, c, d Point) bool {
	return cross(a, b, c)*cross(a, b, d) < 0 && cross(c, d, a)*cross(c, d, b) < 0
}

// Inside reports whether p lies in a closed outline, by crossings.
func Inside(outline []Point, p Point) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// LinesMeet reports whether two polylines cross; touching ends do not count.
func LinesMeet(a, b []Point) bool {
	for i := range len(a) - 1 {
		for j := range len(b) - 1 {
			if SegmentsMeet(a[i], a[i+1], b[j], b[j+1]) {
				return true
			}
		}
	}
	return false
}

// LineMeetsBox reports whether a polyline enters a box.
func LineMeetsBox(line []Point, b Box) bool {
	for i, p := range line {
		if b.Contains(p) {
			return true
		}
		if i > 0 && SegmentMeetsBox(line[i-1], p, b) {
			return true
		}
	}
	return false
}

// SegmentMeetsBox reports whether a segment crosses an edge of a box.
func SegmentMeetsBox(p, q Point, b Box) bool {
	c := b.Corners()
	for i := range c {
		if SegmentsMeet(p, q, c[i], c[(i+1)%4]) {
			return true
		}
	}
	return false
}

// Clockwise returns the outline in one sense of turning, so that overlapping
// parts of one path fill each other and do not cut holes.
func Clockwise(outline []Point) []Point {
	area := 0.0
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		area += a.X*b.Y - b.X*a.Y
	}
	if area < 0 {
		outline = slices.Clone(outline)
		slices.Reverse(outline)
	}
	return outline
}

// Rad turns degrees into radians.
func Rad(deg float64) float64 { return deg * math.Pi / 180 }

// Deg turns radians into degrees.
func Deg(rad float64) float64 { return rad * 180 / math.Pi }

// Direction is the unit vector at an angle, degrees from +x towards −y (up).
func Direction(angle float64) Point {
	sin, cos := math.Sincos(Rad(angle))
	return Point{cos, -sin}
}

// Finite panics when a number is none.
func Finite(what string, values ...float64) {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			panic("figure: " + what + " is not finite")
		}
	}
}
