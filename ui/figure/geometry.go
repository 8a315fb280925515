package figure

import (
	"math"
	"slices"
)

// Point is a place on a drawing, px, y downwards.
type Point struct{ X, Y float64 }

func (p Point) add(q Point) Point               { return Point{p.X + q.X, p.Y + q.Y} }
func (p Point) sub(q Point) Point               { return Point{p.X - q.X, p.Y - q.Y} }
func (p Point) times(k float64) Point           { return Point{k * p.X, k * p.Y} }
func (p Point) norm() float64                   { return math.Hypot(p.X, p.Y) }
func (p Point) toward(q Point, t float64) Point { return p.add(q.sub(p).times(t)) }

// unit is the direction from p to q; the zero vector when they coincide.
func (p Point) unit(q Point) Point {
	d := q.sub(p)
	if n := d.norm(); n > 0 {
		return d.times(1 / n)
	}
	return Point{}
}

// turned is p turned by a quarter towards −y from +x, seen on the screen to
// the left of the direction p.
func (p Point) turned() Point { return Point{p.Y, -p.X} }

// Box is a rectangle on a drawing, px; X and Y are its left and top.
type Box struct{ X, Y, W, H float64 }

// Right and Bottom are the far edges.
func (b Box) Right() float64 { return b.X + b.W }

// Bottom is the lower edge.
func (b Box) Bottom() float64 { return b.Y + b.H }

// Meets tells whether two boxes share more than an edge.
func (b Box) Meets(c Box) bool {
	return b.X < c.Right() && c.X < b.Right() && b.Y < c.Bottom() && c.Y < b.Bottom()
}

// Grown is the box with a margin of d on every side.
func (b Box) Grown(d float64) Box { return Box{b.X - d, b.Y - d, b.W + 2*d, b.H + 2*d} }

// Contains tells whether p lies in the box.
func (b Box) Contains(p Point) bool {
	return p.X >= b.X && p.X <= b.Right() && p.Y >= b.Y && p.Y <= b.Bottom()
}

func (b Box) corners() []Point {
	return []Point{{b.X, b.Y}, {b.Right(), b.Y}, {b.Right(), b.Bottom()}, {b.X, b.Bottom()}}
}

// boxAround is the smallest box around points.
func boxAround(points []Point) Box {
	low, high := points[0], points[0]
	for _, p := range points {
		low = Point{min(low.X, p.X), min(low.Y, p.Y)}
		high = Point{max(high.X, p.X), max(high.Y, p.Y)}
	}
	return Box{low.X, low.Y, high.X - low.X, high.Y - low.Y}
}

// cross is the sign of the turn a→b→c.
func cross(a, b, c Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

// segmentsMeet tells whether two segments cross; touching ends do not count.
func segmentsMeet(a, b, c, d Point) bool {
	return cross(a, b, c)*cross(a, b, d) < 0 && cross(c, d, a)*cross(c, d, b) < 0
}

// inside tells whether p lies in a closed outline, by crossings.
func inside(outline []Point, p Point) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// lineMeetsBox tells whether a polyline enters a box.
func lineMeetsBox(line []Point, b Box) bool {
	for i, p := range line {
		if b.Contains(p) {
			return true
		}
		if i > 0 && segmentMeetsBox(line[i-1], p, b) {
			return true
		}
	}
	return false
}

func segmentMeetsBox(p, q Point, b Box) bool {
	c := b.corners()
	for i := range c {
		if segmentsMeet(p, q, c[i], c[(i+1)%4]) {
			return true
		}
	}
	return false
}

// clockwise returns the outline in one sense of turning, so that overlapping
// parts of one path fill each other and do not cut holes.
func clockwise(outline []Point) []Point {
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

func rad(deg float64) float64 { return deg * math.Pi / 180 }
func deg(rad float64) float64 { return rad * 180 / math.Pi }

// direction is the unit vector at an angle, degrees from +x towards −y (up).
func direction(angle float64) Point {
	sin, cos := math.Sincos(rad(angle))
	return Point{cos, -sin}
}

// finite panics when a number is none.
func finite(what string, values ...float64) {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			panic("figure: " + what + " is not finite")
		}
	}
}
