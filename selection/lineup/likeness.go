package lineup

import (
	"math"

	"thole/rigging"
)

// shape returns the curve scaled to unit mean over its nodes, negative values
// taken as 0. Something has to be left.
func shape(curve []float64) []float64 {
	out := make([]float64, len(curve))
	for u, f := range curve {
		out[u] = math.Max(f, 0)
	}
	mean := mean(out)
	for u := range out {
		out[u] /= mean
	}
	return out
}

// mean is the trapezoid mean of f over evenly spaced nodes.
func mean(f []float64) float64 {
	sum := (f[0] + f[len(f)-1]) / 2
	for _, v := range f[1 : len(f)-1] {
		sum += v
	}
	return sum / float64(len(f)-1)
}

// distance is D(f, g) = ½∫|f − g| of two shapes of unit mean: 0 for equal
// ones, 1 for two that never pull at the same time.
func distance(f, g []float64) float64 {
	last := len(f) - 1
	sum := -(math.Abs(f[0]-g[0]) + math.Abs(f[last]-g[last])) / 2
	for u := range f {
		sum += math.Abs(f[u] - g[u])
	}
	return sum / float64(2*last)
}

// squadShapes returns the shape of every curve, with the mean shape in place
// of those that are missing, and the mean shape. Without any curve the shape
// is flat: the terms depend on differences alone.
func squadShapes(curves [][]float64, nodes int) (shapes [][]float64, average []float64) {
	shapes = make([][]float64, len(curves))
	average = make([]float64, nodes)
	known := 0
	for i, c := range curves {
		if c == nil {
			continue
		}
		shapes[i] = shape(c)
		known++
		for u, f := range shapes[i] {
			average[u] += f
		}
	}
	for u := range average {
		if known > 0 {
			average[u] /= float64(known)
		} else {
			average[u] = 1
		}
	}
	for i := range shapes {
		if shapes[i] == nil {
			shapes[i] = average
		}
	}
	return shapes, average
}

// kinship returns how much each pair of seats counts in the likeness, as
// shares of 1: [s][t] for s < t. In a sweep boat, whose sides are given, the
// neighbours in rhythm are consecutive seats of one side; in a sculling boat
// they are adjacent seats.
func kinship(seats int, sides []rigging.Side) [][]float64 {
	a := make([][]float64, seats)
	var sum float64
	for s := range seats {
		a[s] = make([]float64, seats)
		for t := s + 1; t < seats; t++ {
			a[s][t] = closeness(sides, s, t)
			sum += a[s][t]
		}
	}
	for s := range a {
		for t := s + 1; t < seats; t++ {
			a[s][t] /= sum
		}
	}
	return a
}

// closeness is how much the likeness of two seats counts: in full for
// neighbours in rhythm, half for neighbours on opposite sides, a tenth for
// others (engineering judgement: no study weighs seats against each other).
func closeness(sides []rigging.Side, s, t int) float64 {
	const rhythm, neighbour, other = 1, 0.5, 0.1 // our judgement, as above
	switch {
	case len(sides) == 0 && t == s+1:
		return rhythm
	case len(sides) == 0:
		return other
	case sides[s] == sides[t] && !between(sides, s, t):
		return rhythm
	case t == s+1:
		return neighbour
	}
	return other
}

// between reports whether a seat between s and t has their side.
func between(sides []rigging.Side, s, t int) bool {
	for k := s + 1; k < t; k++ {
		if sides[k] == sides[s] {
			return true
		}
	}
	return false
}
