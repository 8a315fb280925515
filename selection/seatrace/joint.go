package seatrace

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// joint is the regression y = Z g + error, y in seconds, together with a
// normal prior of mean m and standard deviations D, turned so that every
// scale is quick: D ZᵀZ D = Q Λ Qᵀ.
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

// scales returns the judgement of noise and spread by df residuals of the sum
// of squares rss and by what the athletes' directions show. Where nothing was
// raced the prior's standard deviations stand as they are.
func (j *joint) scales(df int, rss float64, noise, spread belief) *scales {
	q := &scales{df: df, rss: rss, noise: noise, spread: spread}
	for k, l := range j.lambda {
		if l > 0 {
			q.lambda, q.square = append(q.lambda, l), append(q.square, j.pull[k]*j.pull[k]/l)
		}
	}
	if q.lambda == nil {
		q.spread = known(1)
	}
	return q
}

// turn returns what the posterior at one node is, along the turned
// directions: with the prior's standard deviations multiplied by s,
//
//	cov = (ZᵀZ/σ² + D⁻²/s²)⁻¹ = D Q diag(σ²/(σ²/s² + λ)) Qᵀ D,
//	mean = m + cov Zᵀ(y − Z m)/σ² = m + D Q diag(1/(σ²/s² + λ)) pull.
//
// No scale of prior or noise upsets it.
func (j *joint) turn(at node) (shift, variance []float64) {
	noise := at.noise * at.noise
	ratio := noise / (at.spread * at.spread)
	shift, variance = make([]float64, len(j.lambda)), make([]float64, len(j.lambda))
	for k, l := range j.lambda {
		shift[k] = j.pull[k] / (ratio + l)
		variance[k] = noise / (ratio + l)
	}
	return shift, variance
}

// atNode is the joint evidence at one node.
type atNode struct {
	weight, guard float64
	mean          []float64
	cov           *mat.SymDense
}

// at returns the joint evidence at one node.
func (j *joint) at(n node) atNode {
	p := len(j.mean)
	shift, variance := j.turn(n)
	var moved mat.VecDense
	moved.MulVec(j.turned, mat.NewVecDense(p, shift))
	moved.AddVec(&moved, mat.NewVecDense(p, j.mean))
	root := mat.DenseCopyOf(j.turned)
	for k, v := range variance {
		v = math.Sqrt(v)
		for i := range p {
			root.Set(i, k, root.At(i, k)*v)
		}
	}
	var cov mat.SymDense
	cov.SymOuterK(1, root)
	return atNode{n.weight, n.guard, moved.RawVector().Data, &cov}
}

// over returns the joint evidence at every node, and mean and covariance over
// all of them.
func (j *joint) over(nodes []node) (each []atNode, mean []float64, cov *mat.SymDense) {
	p := len(j.mean)
	mean, cov = make([]float64, p), mat.NewSymDense(p, nil)
	for _, n := range nodes {
		at := j.at(n)
		each = append(each, at)
		for i, m := range at.mean {
			mean[i] += n.weight * m
		}
	}
	off := mat.NewVecDense(p, nil)
	for _, at := range each {
		for i, m := range at.mean {
			off.SetVec(i, m-mean[i])
		}
		cov.AddSym(cov, scaled(at.weight, at.cov))
		cov.SymRankOne(cov, at.weight, off)
	}
	return each, mean, cov
}
