package speed

import (
	"fmt"
	"math"

	"thole/selection"
)

// Nodes is the number of evenly spaced points of a measured force curve.
const Nodes = selection.CurveNodes

// Shape is how the handle force rises and falls over the loaded arc, in parts
// of its peak: a hump, or a curve of Nodes points. Shapes compare with ==; the
// zero Shape is none.
type Shape struct {
	place, fall, scale float64 // hump: scale·s·(1−s)^fall
	nodes              *[Nodes]float64
}

// Hump returns the shape s·(1−s)^b / (p·(1−p)^b) with b = (1−p)/p, which peaks
// at the share p of the loaded arc (our own choice of a curve with one
// parameter). It panics on a peak outside 0.1 to 0.9.
func Hump(peak float64) Shape {
	if !(peak >= 0.1 && peak <= 0.9) {
		panic(fmt.Sprintf("speed: no hump peaks at %g of its arc", peak))
	}
	fall := (1 - peak) / peak
	return Shape{place: peak, fall: fall, scale: 1 / (peak * math.Pow(1-peak, fall))}
}

// Curve returns the shape of a measured curve: Nodes forces in any unit, evenly
// spaced over the loaded arc, straight lines between them. Forces below zero
// count as none. It errs on another number of points, on values that are not
// finite, and on a curve without a peak.
func Curve(forces []float64) (Shape, error) {
	if len(forces) != Nodes {
		return Shape{}, refusal("curve", fmt.Sprintf("a curve has %d points, not %d", Nodes, len(forces)))
	}
	top, at := 0.0, 0
	for i, f := range forces {
		if math.IsNaN(f) || math.IsInf(f, 0) {
			return Shape{}, refusal("curve", "a force is no number")
		}
		if f > top {
			top, at = f, i
		}
	}
	if top == 0 {
		return Shape{}, refusal("curve", "the curve has no peak")
	}
	nodes := new([Nodes]float64)
	for i, f := range forces {
		nodes[i] = max(f, 0) / top
	}
	return Shape{place: float64(at) / (Nodes - 1), nodes: nodes}, nil
}

// At returns the force at the share s of the loaded arc in parts of the peak.
// Before and after the arc it is that of the arc's ends, so that a step of an
// integrator that looks past an end sees no jump.
func (f Shape) At(s float64) float64 {
	s = min(max(s, 0), 1)
	if f.nodes == nil {
		return f.scale * s * math.Exp(f.fall*math.Log(1-s)) // math.Pow, in two thirds of its time
	}
	return interpolate(f.nodes, s)
}

// interpolate reads straight lines between the nodes, s from 0 to 1.
func interpolate(nodes *[Nodes]float64, s float64) float64 {
	x := s * (Nodes - 1)
	i := min(int(x), Nodes-2)
	return nodes[i] + (x-float64(i))*(nodes[i+1]-nodes[i])
}

// Peak returns where the force peaks, as a share of the loaded arc.
func (f Shape) Peak() float64 { return f.place }

// Mean returns the mean of the shape over the loaded arc: mean over peak force.
func (f Shape) Mean() float64 {
	const parts = 4 * (Nodes - 1) // numerical: exact on the straight lines between nodes
	sum := 0.0
	for i := range parts {
		sum += f.At((float64(i) + 0.5) / parts)
	}
	return sum / parts
}

// The peak of a moved or fitted shape stays between these shares of its arc: nearer to
// an end a hump is no longer one that anybody rows (our judgement).
const minPlace, maxPlace = 0.15, 0.85

// Moved returns the shape with its peak moved by a share of the loaded arc. A
// hump stays a hump; a curve is read at s^γ, with γ such that the peak lands
// there. The place stays within 0.15 and 0.85.
func (f Shape) Moved(by float64) Shape {
	place := min(max(f.place+by, minPlace), maxPlace)
	if f.nodes == nil {
		return Hump(place)
	}
	from := min(max(f.place, 0.05), 0.95)
	power := math.Log(from) / math.Log(place)
	return f.resampled(place, func(s float64) float64 { return math.Pow(s, power) })
}

// resampled returns the shape read at source(s), with its peak at place.
func (f Shape) resampled(place float64, source func(s float64) float64) Shape {
	nodes := new([Nodes]float64)
	for i := range nodes {
		nodes[i] = f.At(source(float64(i) / (Nodes - 1)))
	}
	return Shape{place: place, nodes: nodes}
}

// crossings returns the first and last share of the arc at which the shape
// stands at a level in parts of its peak.
func (f Shape) crossings(level float64) (rise, fall float64) {
	rise = bisect(0, f.place, func(s float64) float64 { return f.At(s) - level })
	fall = bisect(1, f.place, func(s float64) float64 { return f.At(s) - level })
	return rise, fall
}

// bisect returns where f passes zero between a low place, f below zero or at
// it, and a high one.
func bisect(low, high float64, f func(float64) float64) float64 {
	for range 50 {
		mid := (low + high) / 2
		if f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// between returns the piece of the shape from share a to share b of its arc.
func (f Shape) between(a, b float64) Shape {
	place := min(max((f.place-a)/(b-a), 0), 1)
	return f.resampled(place, func(s float64) float64 { return a + s*(b-a) })
}

// valid reports whether the shape was built by Hump or Curve.
func (f Shape) valid() bool { return f.nodes != nil || f.scale > 0 }
