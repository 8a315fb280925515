package stroke

import "math"

// extent is the range of what an oar's sensors wrote, and the area of force
// over angle that says which way the oar is pulled.
type extent struct {
	last         sample
	angle, force [2]float64 // lowest and highest
	area, size   float64    // ∫F dθ and ∫|F dθ|
	lift         covariance // of vertical angle and force
}

// covariance gathers how two measures go together.
type covariance struct{ n, x, y, xy float64 }

func (c *covariance) add(x, y float64) {
	c.n, c.x, c.y, c.xy = c.n+1, c.x+x, c.y+y, c.xy+x*y
}

func (c *covariance) positive() bool { return c.n > 0 && c.xy > c.x*c.y/c.n }

func newExtent() extent {
	none := [2]float64{math.Inf(1), math.Inf(-1)}
	return extent{angle: none, force: none, last: sample{t: math.NaN()}}
}

func (e *extent) add(s sample) {
	widen(&e.angle, s.angle)
	widen(&e.force, s.force)
	if s.t-e.last.t <= longestGap {
		step := (s.angle - e.last.angle) * (s.force + e.last.force) / 2
		e.area += step
		e.size += math.Abs(step)
	}
	if !math.IsNaN(s.vertical) {
		e.lift.add(s.vertical, s.force)
	}
	e.last = s
}

func widen(r *[2]float64, v float64) {
	r[0], r[1] = min(r[0], v), max(r[1], v)
}

// backwardPart is the part of all work that has to go the wrong way before a
// sign is said to be swapped; noise and a dragging blade do less. A judgement
// of this package.
const backwardPart = 0.2

// backwards reports whether the force works against the way the angle runs, as
// when the sign of one of them is swapped.
func (e *extent) backwards() bool { return e.area < -backwardPart*e.size }

// pushes reports whether the force is mostly negative.
func (e *extent) pushes() bool { return -e.force[0] > e.force[1] }

func constant(r [2]float64) bool { return r[0] == r[1] }

func span(r [2]float64) float64 { return r[1] - r[0] }
