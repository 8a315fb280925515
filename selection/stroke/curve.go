package stroke

import (
	"math"

	"thole/rigging"
	"thole/selection"
)

// Nodes is the number of nodes of a mean curve.
const Nodes = selection.CurveNodes

// Profile is a force over the drive at Nodes nodes, evenly spaced from catch
// to finish: the mean over the strokes and their standard deviation, N.
type Profile struct{ Mean, SD [Nodes]float64 }

// Curve is the mean force curve of an oar, twice: over the arc rowed, which
// takes the rate out, and over the time of the drive. Force is as measured,
// negative readings included.
type Curve struct {
	Strokes         int
	ByAngle, ByTime Profile
}

// Shape returns the curve's form without its size: negative forces set to
// zero, scaled to unit area over the drive. It errs when no force is left.
func Shape(curve []float64) ([]float64, error) {
	if len(curve) < 2 {
		return nil, wrong(rigging.ProblemMissing, "a curve has at least two nodes", "curve")
	}
	shape := make([]float64, len(curve))
	var area float64
	for i, f := range curve {
		if math.IsNaN(f) || math.IsInf(f, 0) {
			return nil, wrong(rigging.ProblemMismatch, "a node is not a finite number", "curve")
		}
		shape[i] = max(f, 0)
		area += shape[i]
	}
	area = (area - (shape[0]+shape[len(shape)-1])/2) / float64(len(shape)-1)
	if area <= 0 {
		return nil, wrong(rigging.ProblemMismatch, "the curve holds no force", "curve")
	}
	for i := range shape {
		shape[i] /= area
	}
	return shape, nil
}

// gather adds up mean curves.
type gather struct{ byAngle, byTime [Nodes]moments }

func (g *gather) add(byAngle, byTime *[Nodes]float64) {
	for i := range Nodes {
		g.byAngle[i].add(byAngle[i])
		g.byTime[i].add(byTime[i])
	}
}

func (g *gather) curve() Curve {
	c := Curve{Strokes: int(g.byAngle[0].n)}
	for i := range Nodes {
		c.ByAngle.Mean[i], c.ByAngle.SD[i] = g.byAngle[i].mean, g.byAngle[i].sd()
		c.ByTime.Mean[i], c.ByTime.SD[i] = g.byTime[i].mean, g.byTime[i].sd()
	}
	return c
}

// resample writes y over x, x ascending, to Nodes nodes evenly spaced from
// the first x to the last. Samples that share an x count as their mean.
func resample(x, y []float64, out *[Nodes]float64) {
	n := len(x)
	step := (x[n-1] - x[0]) / (Nodes - 1)
	from, x0, y0 := pooled(x, y, 0)
	next, x1, y1 := pooled(x, y, from)
	for k := range Nodes {
		at := x[0] + float64(k)*step
		for at > x1 && next < n {
			x0, y0 = x1, y1
			next, x1, y1 = pooled(x, y, next)
		}
		switch {
		case at <= x0:
			out[k] = y0
		case at >= x1:
			out[k] = y1
		default:
			out[k] = between(x0, y0, x1, y1, at)
		}
	}
}

// pooled returns the mean y of the samples that share the x of sample i, and
// where the next x begins.
func pooled(x, y []float64, i int) (next int, at, mean float64) {
	if i >= len(x) {
		i = len(x) - 1
	}
	next = i
	for next < len(x) && x[next] == x[i] {
		mean += y[next]
		next++
	}
	return next, x[i], mean / float64(next-i)
}
