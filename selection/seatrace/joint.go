package seatrace

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// joint is the regression y = Z g + error, y in seconds, together with a
// normal prior of mean m and standard deviations D, turned so that every
// noise is quick: D ZᵀZ D = Q Λ Qᵀ.
type joint struct {
	mean   []float64
	turned *mat.Dense // D Q
	lambda []float64
	pull   []float64 // Qᵀ D Zᵀ(y − Z m)
}

// newJoint prepares the joint evidence.
func newJoint(z *mat.Dense, y, mean, sd []float64) *joint {
	p := len(mean)
	scale := mat.NewDiagDense(p, sd)
	var zd mat.Dense
	zd.Mul(z, scale)
	var info mat.SymDense
	info.SymOuterK(1, zd.T())
	var eig mat.EigenSym
	if !eig.Factorize(&info, true) {
		panic("seatrace: eigenvalues did not converge")
	}
	var q, turned mat.Dense
	eig.VectorsTo(&q)
	turned.Mul(scale, &q)
	var rest, half, pull mat.VecDense
	rest.MulVec(z, mat.NewVecDense(p, mean))
	rest.SubVec(mat.NewVecDense(len(y), y), &rest)
	half.MulVec(zd.T(), &rest)
	pull.MulVec(q.T(), &half)
	j := &joint{mean: mean, turned: &turned, lambda: eig.Values(nil), pull: pull.RawVector().Data}
	for k, l := range j.lambda {
		if l < 1e-12*j.lambda[p-1] {
			j.lambda[k] = 0 // rounding: nothing was raced in this direction
		}
	}
	return j
}

// at returns the posterior for a variance of the noise,
//
//	cov = (ZᵀZ/noise + D⁻²)⁻¹ = D Q diag(noise/(noise + λ)) Qᵀ D,
//	mean = m + cov Zᵀ(y − Z m)/noise.
//
// No scale of prior or noise upsets it.
func (j *joint) at(noise float64) (mean []float64, cov *mat.SymDense) {
	p := len(j.mean)
	shift := mat.NewVecDense(p, nil)
	half := mat.DenseCopyOf(j.turned)
	for k, l := range j.lambda {
		shift.SetVec(k, j.pull[k]/(noise+l))
		for i := range p {
			half.Set(i, k, half.At(i, k)*noise/(noise+l))
		}
	}
	var moved mat.VecDense
	moved.MulVec(j.turned, shift)
	moved.AddVec(&moved, mat.NewVecDense(p, j.mean))
	var full mat.Dense
	full.Mul(half, j.turned.T())
	return moved.RawVector().Data, symmetric(&full, 1)
}

// atNoise is the joint evidence at one noise, with the weight of that noise.
type atNoise struct {
	weight float64
	mean   []float64
	cov    *mat.SymDense
}

// overNoise returns the joint evidence at every noise that the pieces leave
// open, when they estimate it as sigma with df degrees of freedom, 1 or more.
// With the prior dσ/σ and z_k the data along the k-th direction, of variance
// σ² + λ_k, the weight of ln σ is
//
//	σ^−df exp(−df·sigma²/2σ²) Π (σ² + λ_k)^−½ exp(−z_k²/2(σ² + λ_k)),
//
// which turns into Student's distribution as the prior widens. The grid is
// even in ln σ, its step within the standard deviation 1/√(2 df) of the peak:
// with it and with what is faint left out, chances are off by some 1e-6.
func (j *joint) overNoise(df int, sigma float64) []atNoise {
	rss := float64(df) * sigma * sigma
	step := min(0.3, 0.8/math.Sqrt(2*float64(df)))
	total := rss
	for k, l := range j.lambda {
		if l > 0 {
			total += j.pull[k] * j.pull[k] / l
		}
	}
	high := 1 + math.Log(total/(sigma*sigma))/2 + faint/float64(df)
	var noise, log []float64
	for u := -4.0; u < high; u += step {
		v := sigma * sigma * math.Exp(2*u)
		noise, log = append(noise, v), append(log, j.logWeight(v, df, rss))
	}
	top, sum := slices.Max(log), 0.0
	var out []atNoise
	for k, v := range noise {
		if weight := math.Exp(log[k] - top); weight > math.Exp(-faint) {
			mean, cov := j.at(v)
			out, sum = append(out, atNoise{weight, mean, cov}), sum+weight
		}
	}
	for k := range out {
		out[k].weight /= sum
	}
	return out
}

// faint is how far below the peak, in logarithms, a noise is let go.
const faint = 16.0

// logWeight returns the logarithm of the weight in overNoise.
func (j *joint) logWeight(noise float64, df int, rss float64) float64 {
	out := -float64(df)/2*math.Log(noise) - rss/(2*noise)
	for k, l := range j.lambda {
		if l > 0 {
			out -= math.Log(noise+l)/2 + j.pull[k]*j.pull[k]/(2*l*(noise+l))
		}
	}
	return out
}

// mixture is a weighted sum of normal distributions.
type mixture struct{ weight, mean, sd []float64 }

// mixtureOf returns the distribution of a contrast over the noises.
func mixtureOf(noises []atNoise, i, j int) mixture {
	n := len(noises)
	m := mixture{make([]float64, n), make([]float64, n), make([]float64, n)}
	for k, at := range noises {
		m.weight[k], m.mean[k] = at.weight, contrast(at.mean, i, j)
		m.sd[k] = max(spread(at.cov, i, j), math.SmallestNonzeroFloat32)
	}
	return m
}

// cdf returns the chance of a value up to x.
func (m mixture) cdf(x float64) float64 {
	sum := 0.0
	for k, w := range m.weight {
		sum += w * math.Erfc((m.mean[k]-x)/(m.sd[k]*math.Sqrt2)) / 2
	}
	return sum
}

// density returns the derivative of cdf.
func (m mixture) density(x float64) float64 {
	sum := 0.0
	for k, w := range m.weight {
		z := (x - m.mean[k]) / m.sd[k]
		sum += w * math.Exp(-z*z/2) / m.sd[k]
	}
	return sum / math.Sqrt(2*math.Pi)
}

// quantile inverts cdf by Newton's steps kept between bounds that close in.
func (m mixture) quantile(p float64) float64 {
	z := distuv.UnitNormal.Quantile(p)
	low, high, x := math.Inf(1), math.Inf(-1), 0.0
	for k, w := range m.weight {
		at := m.mean[k] + z*m.sd[k]
		low, high, x = min(low, at), max(high, at), x+w*at
	}
	for range 60 {
		off := m.cdf(x) - p
		if math.Abs(off) < 1e-10 {
			break
		}
		if off > 0 {
			high = x
		} else {
			low = x
		}
		if x -= off / m.density(x); !(x > low && x < high) {
			x = (low + high) / 2
		}
	}
	return x
}
