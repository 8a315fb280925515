package seatrace

import (
	"gonum.org/v1/gonum/mat"
)

// solution is the minimum-norm least-squares solution of X b = y.
type solution struct {
	coef  []float64
	cov   *mat.SymDense // (XᵀX)⁺, the covariance for unit noise
	basis *mat.Dense    // orthonormal basis of the row space in its columns; nil at rank 0
	left  *mat.Dense    // the same of the column space
	rank  int
	resid []float64
	hat   []float64 // diagonal of the projector onto the columns of X
	rss   float64   // residual sum of squares
}

// leastSquares solves by singular values. Those below the rounding of a matrix
// of the given size (its largest singular value, or more if X is what is left
// of a larger matrix) count as zero.
func leastSquares(x *mat.Dense, y []float64, size float64) *solution {
	n, p := x.Dims()
	var svd mat.SVD
	if !svd.Factorize(x, mat.SVDThin) {
		panic("seatrace: singular values did not converge")
	}
	values := svd.Values(nil)
	const unit = 0x1p-52 // spacing of float64 at 1, by definition
	floor := 10 * float64(max(n, p)) * unit * max(size, values[0])
	s := &solution{rank: len(values)}
	for s.rank > 0 && values[s.rank-1] <= floor {
		s.rank--
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	s.solve(&u, &v, values, y)
	return s
}

// solve fills the solution from the decomposition X = U diag(values) Vᵀ.
func (s *solution) solve(u, v *mat.Dense, values, y []float64) {
	n, _ := u.Dims()
	p, _ := v.Dims()
	s.coef = make([]float64, p)
	s.resid = append([]float64(nil), y...)
	s.hat = make([]float64, n)
	s.cov = mat.NewSymDense(p, nil)
	for k := range s.rank {
		part := 0.0
		for i := range n {
			part += u.At(i, k) * y[i]
		}
		for i := range n {
			s.resid[i] -= u.At(i, k) * part
			s.hat[i] += u.At(i, k) * u.At(i, k)
		}
		for j := range p {
			s.coef[j] += v.At(j, k) * part / values[k]
		}
		s.cov.SymRankOne(s.cov, 1/(values[k]*values[k]), v.ColView(k))
	}
	for _, e := range s.resid {
		s.rss += e * e
	}
	if s.rank > 0 {
		s.basis = mat.DenseCopyOf(v.Slice(0, p, 0, s.rank))
		s.left = mat.DenseCopyOf(u.Slice(0, n, 0, s.rank))
	}
}

// open returns the projector onto what X leaves open, I − V Vᵀ.
func (s *solution) open() *mat.SymDense {
	p := len(s.coef)
	out := mat.NewSymDense(p, nil)
	for i := range p {
		out.SetSym(i, i, 1)
	}
	for k := range s.rank {
		out.SymRankOne(out, -1, s.basis.ColView(k))
	}
	return out
}

// pairForm returns (e_i − e_j)ᵀ A (e_i − e_j).
func pairForm(a mat.Symmetric, i, j int) float64 {
	return a.At(i, i) + a.At(j, j) - 2*a.At(i, j)
}

// scaled returns f·A.
func scaled(f float64, a *mat.SymDense) *mat.SymDense {
	var out mat.SymDense
	out.ScaleSym(f, a)
	return &out
}
