// Package camera reads angles, heights and moments from marks in a picture or a clip:
// it fits the camera and the oar to them together. It knows nothing of files, of
// pixels but their places, or of who is in the picture. Lengths are metres, angles
// radians.
package camera

import "math"

// Vector is a place or a direction in m.
//
// The frame has its origin on the line joining the pins, on the centreline, at the
// water; x points towards the stern, y towards starboard, z up.
type Vector [3]float64

func (a Vector) minus(b Vector) Vector { return Vector{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (a Vector) dot(b Vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func (a Vector) cross(b Vector) Vector {
	return Vector{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a Vector) times(s float64) Vector { return Vector{a[0] * s, a[1] * s, a[2] * s} }

func (a Vector) unit() Vector { return a.times(1 / math.Sqrt(a.dot(a))) }

// Camera is a pinhole camera (Hartley and Zisserman, Multiple View Geometry in
// Computer Vision, 2nd ed. 2004, ch. 6) with square pixels.
type Camera struct {
	Place Vector
	// Right, Down and Forward are its axes, unit vectors square to each other.
	Right, Down, Forward Vector
	Focal                float64 // pixels
	Width, Height        float64 // of the picture, pixels
}

// LookAt returns a camera at a place that looks at a target, turned by roll
// (rad, clockwise as seen from behind it). Up is the world's; a camera that
// looks straight down has the bow at the upper edge before the roll.
func LookAt(place, target Vector, roll, focal, width, height float64) Camera {
	forward := target.minus(place).unit()
	up := Vector{0, 0, 1}
	if math.Abs(forward[2]) > 0.999 { // within 2.6° of straight up or down, where "up" says nothing
		up = Vector{-1, 0, 0}
	}
	right := forward.cross(up).unit()
	down := forward.cross(right)
	c := Camera{Place: place, Right: right, Down: down, Forward: forward, Focal: focal, Width: width, Height: height}
	return c.turned(Vector{0, 0, roll})
}

// turned returns the camera turned by a rotation vector in its own axes.
func (c Camera) turned(w Vector) Camera {
	angle := math.Sqrt(w.dot(w))
	if angle == 0 {
		return c
	}
	axis := w.times(1 / angle)
	world := func(q Vector) Vector {
		q = rotate(q, axis, angle)
		var p Vector
		for i := range p {
			p[i] = c.Right[i]*q[0] + c.Down[i]*q[1] + c.Forward[i]*q[2]
		}
		return p
	}
	out := c
	out.Right, out.Down, out.Forward = world(Vector{1, 0, 0}), world(Vector{0, 1, 0}), world(Vector{0, 0, 1})
	return out
}

// rotate turns q about a unit axis (Rodrigues's formula).
func rotate(q, axis Vector, angle float64) Vector {
	sin, cos := math.Sincos(angle)
	cross, along := axis.cross(q), axis.dot(q)*(1-cos)
	var out Vector
	for i := range out {
		out[i] = q[i]*cos + cross[i]*sin + axis[i]*along
	}
	return out
}

// inside returns a place in the camera's axes.
func (c *Camera) inside(p Vector) Vector {
	d := p.minus(c.Place)
	return Vector{c.Right.dot(d), c.Down.dot(d), c.Forward.dot(d)}
}

// nearest is the least distance before the lens, in m, at which a point is
// projected; nearer ones and those behind are drawn as if there, so that a
// search can leave a wrong start.
const nearest = 0.05

// Project returns where a place stands in the picture, and false when it lies
// behind the camera.
func (c *Camera) Project(p Vector) (u, v float64, ok bool) {
	q := c.inside(p)
	depth := max(q[2], nearest)
	return c.Width/2 + c.Focal*q[0]/depth, c.Height/2 + c.Focal*q[1]/depth, q[2] > nearest
}

// slopes returns the change of u and v with the place of the point in the
// world, with the camera's rotation in its own axes, and with the logarithm of
// the focal length. The change with the camera's place is that of the point's
// with the other sign.
func (c *Camera) slopes(p Vector) (place, turn [2]Vector, zoom [2]float64) {
	q := c.inside(p)
	depth := max(q[2], nearest)
	s := c.Focal / depth
	a, b := q[0]/depth, q[1]/depth
	in := [2]Vector{{s, 0, -s * a}, {0, s, -s * b}}
	for i, g := range in {
		for k := range 3 {
			place[i][k] = g[0]*c.Right[k] + g[1]*c.Down[k] + g[2]*c.Forward[k]
		}
		turn[i] = g.cross(q)
	}
	return place, turn, [2]float64{c.Focal * a, c.Focal * b}
}

// PerMetre returns how many pixels a metre across the line of sight takes at a
// place (similar triangles); 0 behind the camera.
func (c *Camera) PerMetre(p Vector) float64 {
	q := c.inside(p)
	if q[2] <= nearest {
		return 0
	}
	return c.Focal / q[2]
}
