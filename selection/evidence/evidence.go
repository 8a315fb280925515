// Package evidence joins what several sources say of athletes' power on the water into
// one estimate each. It does not ask where a figure comes from or what it is used for:
// each source is a normal distribution of some of the natural logarithms of the mean
// power in W that athletes move over 2000 m in a boat, or of their differences.
package evidence

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Source names a kind of evidence.
type Source string

// The sources.
const (
	Ergometer Source = "ergometer"
	Racing    Source = "racing"
	Strokes   Source = "strokes"
	Coach     Source = "coach"
)

// Sources lists the sources in the order in which they are told.
func Sources() []Source { return []Source{Ergometer, Racing, Strokes, Coach} }

// Block is what one source says of some athletes, independently of all other
// blocks.
type Block struct {
	Source   Source
	Athletes []int         // places in the squad, each once
	Mean     []float64     // ln W; where Level is false, about any zero
	Cov      mat.Symmetric // of Mean
	// Level says that the figures are powers. Without it only differences
	// between the athletes of the block mean something, as racing and crews
	// leave them.
	Level bool
}

// StandInSD is the standard deviation of ln power of athletes about the mean of
// a squad (engineering judgement: the spread of a club's squad, and what the
// ergometer leaves open). Whom no source gives a level is drawn from there; the
// mean of k athletes adds 1/k to the variance.
const StandInSD = 0.12

// ErrNoLevel is the error of evidence that gives nobody a level: differences
// alone say no powers.
var ErrNoLevel = errors.New("evidence: no source gives a power")

// ErrCovariance is the error of a block whose covariance is not positive
// definite over what the block says.
var ErrCovariance = errors.New("evidence: a covariance is not positive definite")

// Joined is what all blocks together say.
type Joined struct {
	Mean, SD []float64 // ln W
	// StandIn says that no source gives the athlete a level, and that the mean
	// of the squad stands in, by StandInSD.
	StandIn []bool

	part  []int // of each athlete
	place []int // within it
	cov   []*mat.SymDense
}

// Cov returns the covariance of two athletes' ln powers, 0 for those that no
// block connects.
func (j *Joined) Cov(first, second int) float64 {
	if j.part[first] != j.part[second] {
		return 0
	}
	return j.cov[j.part[first]].At(j.place[first], j.place[second])
}

// Join joins the blocks about a squad of n. It errs on a covariance that is not
// positive definite and where no block has a level, and panics on blocks that
// are not of one size, name an athlete twice or one who is not there, or hold
// what is not finite.
//
// With b the logarithms of the powers, and sources that are independent of one another
// given b, the precisions add:
//
//	Λ = Σ Hₛᵀ Sₛ⁻¹ Hₛ,  b̂ = Λ⁻¹ Σ Hₛᵀ Sₛ⁻¹ yₛ,  cov b̂ = Λ⁻¹
//
// with y the figures of a source, S their covariance, and H that picks the athletes, or
// the differences, they are about (the best linear unbiased estimate: A. C. Aitken, Proc R
// Soc Edinb 55 (1935) 42–48).
func Join(n int, blocks []Block) (*Joined, error) {
	mustFit(n, blocks)
	usual, standIn := standIns(n, blocks)
	if usual == nil {
		return nil, ErrNoLevel
	}
	j := &Joined{Mean: make([]float64, n), SD: make([]float64, n), StandIn: standIn, part: make([]int, n), place: make([]int, n)}
	for _, members := range connected(n, blocks, false) {
		s := newSystem(members)
		for _, i := range members {
			if standIn[i] {
				usual.Athletes[0] = i
				if err := s.addBlock(usual); err != nil {
					return nil, err
				}
			}
		}
		for k := range blocks {
			if err := s.addBlock(&blocks[k]); err != nil {
				return nil, err
			}
		}
		if err := s.solve(j); err != nil {
			return nil, err
		}
	}
	return j, nil
}

// Without returns the blocks of all other sources.
func Without(blocks []Block, source Source) []Block {
	var list []Block
	for _, b := range blocks {
		if b.Source != source {
			list = append(list, b)
		}
	}
	return list
}

// Only returns the blocks of one source.
func Only(blocks []Block, source Source) []Block {
	var list []Block
	for _, b := range blocks {
		if b.Source == source {
			list = append(list, b)
		}
	}
	return list
}

// standIns finds who has no level, and what stands in for one of them: the mean
// of those who have one. It is nil where there is nobody.
func standIns(n int, blocks []Block) (usual *Block, standIn []bool) {
	standIn = make([]bool, n)
	for i := range standIn {
		standIn[i] = true
	}
	sum, count, known := 0.0, 0, 0
	for _, b := range blocks {
		if !b.Level {
			continue
		}
		for k, i := range b.Athletes {
			if standIn[i] {
				known++
			}
			standIn[i] = false
			sum, count = sum+b.Mean[k], count+1
		}
	}
	if count == 0 {
		return nil, nil
	}
	variance := StandInSD * StandInSD * (1 + 1/float64(known))
	return &Block{Athletes: make([]int, 1), Mean: []float64{sum / float64(count)}, Cov: mat.NewSymDense(1, []float64{variance}), Level: true}, standIn
}

// connected groups the athletes that blocks make depend on one another, each
// group in rising order; by differences alone where that is asked for.
func connected(n int, blocks []Block, differences bool) [][]int {
	root := make([]int, n)
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			i = root[i]
		}
		return i
	}
	for _, b := range blocks {
		if differences && b.Level {
			continue
		}
		for _, i := range b.Athletes {
			a, z := find(b.Athletes[0]), find(i)
			root[max(a, z)] = min(a, z)
		}
	}
	at, groups := map[int]int{}, [][]int(nil)
	for i := range root {
		top := find(i)
		if _, known := at[top]; !known {
			at[top] = len(groups)
			groups = append(groups, nil)
		}
		groups[at[top]] = append(groups[at[top]], i)
	}
	return groups
}

// system is the normal equations of connected athletes.
type system struct {
	members []int
	at      map[int]int
	lambda  *mat.SymDense
	pull    *mat.VecDense
}

func newSystem(members []int) *system {
	s := &system{members: members, at: map[int]int{}, lambda: mat.NewSymDense(len(members), nil), pull: mat.NewVecDense(len(members), nil)}
	for k, i := range members {
		s.at[i] = k
	}
	return s
}

// addBlock adds a block where it is about these athletes.
func (s *system) addBlock(b *Block) error {
	if len(b.Athletes) == 0 {
		return nil
	}
	if _, ours := s.at[b.Athletes[0]]; !ours {
		return nil
	}
	if b.Level {
		return s.add(b.Athletes, b.Mean, b.Cov, nil)
	}
	if len(b.Athletes) == 1 {
		return nil // compared with nobody
	}
	return s.add(b.Athletes, b.Mean, b.Cov, contrasts(len(b.Athletes)))
}

// add adds H S⁻¹ Hᵀ and H S⁻¹ y, where the columns of h, if there is one, are
// what of the athletes is told.
func (s *system) add(athletes []int, mean []float64, cov mat.Symmetric, h *mat.Dense) error {
	y := mat.NewVecDense(len(mean), mean)
	told := cov
	if h != nil {
		told, y = turned(cov, h), vector(h.T(), y)
	}
	pull, precision, err := solved(told, y)
	if err != nil {
		return err
	}
	if h != nil {
		precision, pull = turned(precision, transposed(h)), vector(h, pull)
	}
	for k, i := range athletes {
		a := s.at[i]
		s.pull.SetVec(a, s.pull.AtVec(a)+pull.AtVec(k))
		for l, o := range athletes[:k+1] {
			b := s.at[o]
			s.lambda.SetSym(a, b, s.lambda.At(a, b)+precision.At(k, l))
		}
	}
	return nil
}

// solve writes what the system says of its athletes.
func (s *system) solve(j *Joined) error {
	mean, cov, err := solved(s.lambda, s.pull)
	if err != nil {
		return err
	}
	for k, i := range s.members {
		j.Mean[i], j.SD[i] = mean.AtVec(k), root(cov.At(k, k))
		j.part[i], j.place[i] = len(j.cov), k
	}
	j.cov = append(j.cov, cov)
	return nil
}

// solved returns Λ⁻¹·pull and Λ⁻¹.
func solved(lambda mat.Symmetric, pull *mat.VecDense) (mean *mat.VecDense, cov *mat.SymDense, err error) {
	var chol mat.Cholesky
	if !chol.Factorize(lambda) {
		return nil, nil, ErrCovariance
	}
	mean, cov = new(mat.VecDense), new(mat.SymDense)
	if errors.Join(chol.InverseTo(cov), chol.SolveVecTo(mean, pull)) != nil {
		return nil, nil, ErrCovariance
	}
	return mean, cov, nil
}

// contrasts returns n−1 orthonormal columns that sum to 0 (Helmert's).
func contrasts(n int) *mat.Dense {
	h := mat.NewDense(n, n-1, nil)
	for k := 1; k < n; k++ {
		scale := 1 / math.Sqrt(float64(k*(k+1)))
		for i := range k {
			h.Set(i, k-1, scale)
		}
		h.Set(k, k-1, -float64(k)*scale)
	}
	return h
}

// turned returns hᵀ·a·h.
func turned(a mat.Symmetric, h *mat.Dense) *mat.SymDense {
	var half, whole mat.Dense
	half.Mul(h.T(), a)
	whole.Mul(&half, h)
	n, _ := whole.Dims()
	out := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			out.SetSym(i, j, (whole.At(i, j)+whole.At(j, i))/2)
		}
	}
	return out
}

func transposed(h *mat.Dense) *mat.Dense { return mat.DenseCopyOf(h.T()) }

// root is the square root of a variance, which rounding may leave below 0.
func root(variance float64) float64 { return math.Sqrt(max(0, variance)) }

func vector(a mat.Matrix, x mat.Vector) *mat.VecDense {
	out := new(mat.VecDense)
	out.MulVec(a, x)
	return out
}

// mustFit panics on what no source can say.
func mustFit(n int, blocks []Block) {
	for _, b := range blocks {
		if len(b.Mean) != len(b.Athletes) || len(b.Athletes) > 0 && b.Cov.SymmetricDim() != len(b.Athletes) {
			panic("evidence: a block's figures are not of one size")
		}
		seen := map[int]bool{}
		for k, i := range b.Athletes {
			if i < 0 || i >= n || seen[i] {
				panic("evidence: a block names an athlete twice, or one who is not there")
			}
			seen[i] = true
			for l := range b.Athletes {
				if c := b.Mean[k] + b.Cov.At(k, l); math.IsNaN(c) || math.IsInf(c, 0) {
					panic("evidence: a block holds what is not finite")
				}
			}
		}
	}
}
