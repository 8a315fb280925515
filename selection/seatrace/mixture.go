package seatrace

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// mixture is a weighted sum of normal distributions. Chances go by weight,
// quantiles by guard; each adds up to 1.
type mixture struct{ weight, guard, mean, sd []float64 }

// mixtureOf returns the distribution of a contrast over the nodes.
func mixtureOf(nodes []atNode, i, j int) *mixture {
	all := make([]float64, 4*len(nodes))
	part := func(k int) []float64 { return all[k*len(nodes) : (k+1)*len(nodes)] }
	m := &mixture{part(0), part(1), part(2), part(3)}
	for k, at := range nodes {
		m.weight[k], m.guard[k], m.mean[k] = at.weight, at.guard, contrast(at.mean, i, j)
		m.sd[k] = max(spread(at.cov, i, j), math.SmallestNonzeroFloat32)
	}
	return m
}

// CDF returns the chance of a value up to x.
func (m *mixture) CDF(x float64) float64 {
	sum := 0.0
	for k, w := range m.weight {
		sum += w * math.Erfc((m.mean[k]-x)/(m.sd[k]*math.Sqrt2)) / 2
	}
	return sum
}

// guarded returns the chance of a value up to x by the guard, and the density
// there.
func (m *mixture) guarded(x float64) (chance, density float64) {
	for k, w := range m.guard {
		z := (x - m.mean[k]) / m.sd[k]
		chance += w * math.Erfc(-z/math.Sqrt2) / 2
		density += w * math.Exp(-z*z/2) / m.sd[k]
	}
	return chance, density / math.Sqrt(2*math.Pi)
}

// tolerance is the last of Newton's steps that is still taken; numerical, in standard
// normal quantiles. What is left after it is of the order of its square: an
// interval of 95 % then covers between 94.99 and 95.01 %.
const tolerance = 0.03

// start returns bounds of a quantile, z being that of the standard normal
// distribution, and a first value between them: the expansion of E. A. Cornish
// and R. A. Fisher (1938) in the first four moments.
func (m *mixture) start(z float64) (low, x, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	centre := 0.0
	for k, w := range m.guard {
		centre += w * m.mean[k]
		at := m.mean[k] + z*m.sd[k]
		low, high = min(low, at), max(high, at)
	}
	second, third, fourth := 0.0, 0.0, 0.0
	for k, w := range m.guard {
		d, v := m.mean[k]-centre, m.sd[k]*m.sd[k]
		second += w * (d*d + v)
		third += w * d * (d*d + 3*v)
		fourth += w * (d*d*d*d + 6*d*d*v + 3*v*v)
	}
	sd := math.Sqrt(second)
	skew, excess := third/(second*sd), fourth/(second*second)-3
	x = centre + sd*(z+(z*z-1)*skew/6+(z*z*z-3*z)*excess/24-(2*z*z*z-5*z)*skew*skew/36)
	return low, min(max(x, low), high), high
}

// Quantile inverts the chance by the guard. Newton's steps are taken on the
// normal quantile of the chance, which is nearly straight, and kept between
// bounds that close in.
func (m *mixture) Quantile(p float64) float64 {
	z := distuv.UnitNormal.Quantile(p)
	low, x, high := m.start(z)
	for range 60 {
		chance, density := m.guarded(x)
		if chance > p {
			high = x
		} else {
			low = x
		}
		at := distuv.UnitNormal.Quantile(chance)
		if x -= (at - z) * distuv.UnitNormal.Prob(at) / density; !(x >= low && x <= high) {
			x = (low + high) / 2
		} else if math.Abs(at-z) < tolerance {
			break
		}
	}
	return x
}
