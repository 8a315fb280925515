package seatrace

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"thole/rigging"
	"thole/selection"
)

// Spread is how much athletes differ against how much the times scatter.
type Spread struct {
	AthleteSD float64 // of the effects, s
	NoiseSD   float64 // of one boat's time, s
}

// SpreadOf estimates the spread of the athletes and of the noise from the
// pieces themselves by restricted maximum likelihood, taking the effects as
// drawn from one normal distribution. Its AthleteSD can serve as Prior.SD when
// no ergometer tells one. Options.Prior and Options.NoiseSD are not used.
func SpreadOf(pieces []selection.Piece, o Options) (Spread, error) {
	o.Prior, o.NoiseSD = nil, 0
	t, errs := checkRaces(pieces, o)
	if errs != nil {
		return Spread{}, errs
	}
	d := newDesign(t, o.Model)
	s := d.solve()
	if s.rank < 1 || d.freedom(t, s) < 1 {
		return Spread{}, &rigging.FieldError{Field: "pieces", Problem: rigging.ProblemMissing, Detail: "too few pieces to tell the athletes' spread from the noise: row more, with other crews"}
	}
	noise, parts := restricted(fixedColumns(t, o.Model), []*mat.Dense{crewMatrix(t)}, d.y)
	time := meanTime(t)
	return Spread{AthleteSD: time * parts[0], NoiseSD: time * noise}, nil
}

// fixedColumns returns the indicators of the blocks and the extra columns.
func fixedColumns(t *table, m Model) *mat.Dense {
	blocks := blocksOf(t, m)
	x := mat.NewDense(len(t.rows), len(blocks), nil)
	for k, block := range blocks {
		for _, i := range block {
			x.Set(i, k, 1)
		}
	}
	return withExtra(x, t, m)
}

// restricted maximises the restricted likelihood of
//
//	y = X b + Σ Z_k u_k + e,  u_k ~ N(0, σ_k² I),  e ~ N(0, σ² I),
//
// and returns σ and the σ_k. With w = Kᵀy for an orthonormal basis K of what
// X leaves, λ_k = σ_k²/σ² and W = I + Σ λ_k KᵀZ_k Z_kᵀK, the σ² that fits
// best is wᵀW⁻¹w/m and −2 ln L = m ln(wᵀW⁻¹w) + ln|W| + constant
// (H. D. Patterson and R. Thompson, Biometrika 58:545, 1971).
func restricted(x *mat.Dense, random []*mat.Dense, y []float64) (sigma float64, parts []float64) {
	k := complement(x)
	_, m := k.Dims()
	var w mat.VecDense
	w.MulVec(k.T(), mat.NewVecDense(len(y), y))
	shapes := make([]*mat.SymDense, len(random))
	for i, z := range random {
		var kz mat.Dense
		kz.Mul(k.T(), z)
		shapes[i] = new(mat.SymDense)
		shapes[i].SymOuterK(1, &kz)
	}
	deviance := func(logRatio []float64) float64 {
		square, logDet := quadratic(shapes, logRatio, &w)
		return float64(m)*math.Log(square) + logDet
	}
	best, err := optimize.Minimize(optimize.Problem{Func: deviance}, make([]float64, len(random)), nil, &optimize.NelderMead{})
	if err != nil {
		panic("seatrace: restricted likelihood: " + err.Error())
	}
	square, _ := quadratic(shapes, best.X, &w)
	sigma = math.Sqrt(square / float64(m))
	for _, l := range best.X {
		parts = append(parts, sigma*math.Sqrt(ratioOf(l)))
	}
	return sigma, parts
}

// ratioOf returns the ratio of variances whose logarithm is l, kept between 0
// and a bound beyond which nothing changes.
func ratioOf(l float64) float64 {
	if l < -25 {
		return 0
	}
	return math.Exp(min(l, 25))
}

// quadratic returns wᵀW⁻¹w and ln|W| for W = I + Σ exp(l_k) A_k.
func quadratic(shapes []*mat.SymDense, logRatio []float64, w *mat.VecDense) (square, logDet float64) {
	m := w.Len()
	sum := mat.NewSymDense(m, nil)
	for i := range m {
		sum.SetSym(i, i, 1)
	}
	for k, a := range shapes {
		sum.AddSym(sum, scaled(ratioOf(logRatio[k]), a))
	}
	var c mat.Cholesky
	if !c.Factorize(sum) {
		panic("seatrace: covariance is not positive definite")
	}
	var v mat.VecDense
	if err := c.SolveVecTo(&v, w); err != nil {
		panic("seatrace: covariance is singular")
	}
	return mat.Dot(w, &v), c.LogDet()
}

// complement returns an orthonormal basis of what the columns of x leave.
func complement(x *mat.Dense) *mat.Dense {
	n, _ := x.Dims()
	var svd mat.SVD
	if !svd.Factorize(x, mat.SVDFullU) {
		panic("seatrace: singular values did not converge")
	}
	var u mat.Dense
	svd.UTo(&u)
	return mat.DenseCopyOf(u.Slice(0, n, svd.Rank(1e-10), n))
}
