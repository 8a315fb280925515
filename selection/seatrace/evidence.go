package seatrace

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Effect is how much an athlete moves the boat.
type Effect struct {
	ID string
	// Seconds the boat gains over the distance by having the athlete, against
	// the zero described in the package comment, with its standard deviation
	// and interval.
	Seconds, SD, Low, High float64
	// Group numbers the athletes that the pieces make comparable: equal
	// numbers can be compared.
	Group int
	// Estimable is false when the evidence compares the athlete with nobody;
	// the numbers are then 0.
	Estimable bool
}

// Difference compares two athletes.
type Difference struct {
	First, Second string
	// Seconds by which the boat is faster with the first, its standard
	// deviation and interval; 0 when the evidence says nothing.
	Seconds, SD, Low, High float64
	// ChanceFirstFaster is the chance that the first is the faster, 0.5 when
	// the evidence says nothing.
	ChanceFirstFaster float64
	// Estimable reports whether the pieces by themselves compare the two.
	Estimable bool
	// Why says in words why they do not.
	Why string
}

// Evidence is what one source says about the athletes.
//
// Racing shows differences only. The effects from racing alone are those of the
// minimum-norm least-squares solution within each group of athletes that the pieces
// make comparable: the mean of the group is zero. With a prior the effects stand on
// the prior's own zero.
type Evidence struct {
	Effects []Effect // in the order of the names

	mean   []float64     // s
	cov    *mat.SymDense // s²
	known  bool          // every difference is known, because of a prior
	law    law           // of (estimate − truth)/SD
	width  float64       // half width of an interval in standard deviations, by that law
	nodes  []atNode      // the evidence at each value of the scales, in place of the law
	level  float64       // coverage of intervals
	groups *comparison
}

// reading is what evidence says of one contrast.
type reading struct{ value, sd, low, high, chance float64 }

// read returns the contrast of athletes i and j, or the effect of i for j < 0.
func (e *Evidence) read(i, j int) reading {
	out := reading{value: contrast(e.mean, i, j), sd: spread(e.cov, i, j)}
	switch {
	case e.nodes != nil:
		m := mixtureOf(e.nodes, i, j)
		out.low, out.high = m.Quantile(0.5-e.level/2), m.Quantile(0.5+e.level/2)
		out.chance = 1 - m.CDF(0)
	case out.sd == 0:
		out.low, out.high, out.chance = out.value, out.value, 0.5+0.5*sign(out.value)
	default:
		half := out.sd * e.width
		out.low, out.high, out.chance = out.value-half, out.value+half, e.law.CDF(out.value/out.sd)
	}
	return out
}

// law is the distribution of an estimate in standard deviations.
type law interface {
	CDF(float64) float64
	Quantile(float64) float64
}

// newEvidence returns evidence with its effects listed.
func newEvidence(e Evidence) *Evidence {
	if e.law != nil {
		e.width = e.law.Quantile(0.5 + e.level/2)
	}
	e.list()
	return &e
}

// contrast returns x_i − x_j, or x_i for j < 0.
func contrast(x []float64, i, j int) float64 {
	if j < 0 {
		return x[i]
	}
	return x[i] - x[j]
}

// spread returns the standard deviation of a contrast.
func spread(cov *mat.SymDense, i, j int) float64 {
	if j < 0 {
		return math.Sqrt(max(cov.At(i, i), 0))
	}
	return math.Sqrt(max(pairForm(cov, i, j), 0))
}

// sign returns −1, 0 or 1.
func sign(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// list fills Effects from the mean and covariance.
func (e *Evidence) list() {
	for i, id := range e.groups.ids {
		out := Effect{ID: id, Group: e.groups.group[i], Estimable: e.known || e.groups.company(i)}
		if out.Estimable {
			r := e.read(i, -1)
			out.Seconds, out.SD, out.Low, out.High = r.value, r.sd, r.low, r.high
		}
		e.Effects = append(e.Effects, out)
	}
}

// Difference compares two athletes by their IDs. It panics when one of them
// rowed in no piece.
func (e *Evidence) Difference(first, second string) Difference {
	return e.difference(e.groups.place(first), e.groups.place(second))
}

// Differences compares every two athletes, in the order of the names.
func (e *Evidence) Differences() []Difference {
	var out []Difference
	for i := range e.mean {
		for j := i + 1; j < len(e.mean); j++ {
			out = append(out, e.difference(i, j))
		}
	}
	return out
}

// difference compares two athletes by their places.
func (e *Evidence) difference(i, j int) Difference {
	g := e.groups
	d := Difference{First: g.ids[i], Second: g.ids[j], Estimable: g.same(i, j), ChanceFirstFaster: 0.5}
	if !d.Estimable {
		d.Why = g.why(i, j)
	}
	if (d.Estimable || e.known) && i != j {
		r := e.read(i, j)
		d.Seconds, d.SD, d.Low, d.High, d.ChanceFirstFaster = r.value, r.sd, r.low, r.high, r.chance
	}
	return d
}

// Covariance returns the covariance of the effects in s², athletes in the
// order of Effects. From racing alone it is singular: the level of each group
// of comparable athletes is held at zero.
func (e *Evidence) Covariance() *mat.SymDense { return scaled(1, e.cov) }
