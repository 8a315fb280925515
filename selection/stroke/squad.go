package stroke

import (
	"math"
	"slices"

	"thole/rigging"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Arrange orders the members of a squad so that alike ones stand together: it
// clusters them by average linkage and, of all orders the tree allows, takes
// one with the least sum of differences between neighbours (Z. Bar-Joseph,
// D. K. Gifford and T. S. Jaakkola, Bioinformatics 17 suppl. 1:S22, 2001). Of
// an order and its reverse the one counts whose first member comes earlier in
// d. It panics when d is not a symmetric matrix of numbers.
func Arrange(d [][]float64) []int {
	checkSymmetric(d)
	if len(d) == 0 {
		return nil
	}
	s := seriation{d: d, best: make([][]float64, len(d))}
	for i := range s.best {
		s.best[i] = make([]float64, len(d))
	}
	root := cluster(d)
	s.solve(root)
	order := s.unroll(root)
	if order[0] > order[len(order)-1] {
		slices.Reverse(order)
	}
	return order
}

func checkSymmetric(d [][]float64) {
	for i := range d {
		if len(d[i]) != len(d) {
			panic("stroke: the matrix of differences is not square")
		}
		for j := range i {
			if d[i][j] != d[j][i] {
				panic("stroke: the matrix of differences is not symmetric")
			}
		}
	}
}

// branch is a node of the clustering; a leaf has no children.
type branch struct {
	left, right *branch
	leaves      []int
}

// cluster joins the two clusters of least mean difference until one is left.
func cluster(d [][]float64) *branch {
	var open []*branch
	for i := range d {
		open = append(open, &branch{leaves: []int{i}})
	}
	for len(open) > 1 {
		i, j := closest(d, open)
		joined := &branch{open[i], open[j], slices.Concat(open[i].leaves, open[j].leaves)}
		open[i] = joined
		open = slices.Delete(open, j, j+1)
	}
	return open[0]
}

func closest(d [][]float64, open []*branch) (i, j int) {
	i, j = 0, 1
	least := math.Inf(1)
	for b := range open {
		for a := range b {
			if x := linkage(d, open[a], open[b]); x < least {
				i, j, least = a, b, x
			}
		}
	}
	return i, j
}

// linkage is the mean difference between the members of two clusters.
func linkage(d [][]float64, a, b *branch) float64 {
	var sum float64
	for _, i := range a.leaves {
		for _, j := range b.leaves {
			sum += d[i][j]
		}
	}
	return sum / float64(len(a.leaves)*len(b.leaves))
}

// seriation solves for the best order of a tree. best[i][j] is the least
// length of an order of the smallest cluster with both i and j that begins
// with the one and ends with the other.
type seriation struct{ d, best [][]float64 }

// others returns the leaves at which an order of b that begins with i can
// end: those of the child without i.
func (b *branch) others(i int) []int {
	switch {
	case b.left == nil:
		return b.leaves
	case slices.Contains(b.left.leaves, i):
		return b.right.leaves
	}
	return b.left.leaves
}

func (s *seriation) solve(b *branch) {
	if b.left == nil {
		return
	}
	s.solve(b.left)
	s.solve(b.right)
	for _, i := range b.left.leaves {
		for _, j := range b.right.leaves {
			_, _, length := s.joint(b, i, j)
			s.best[i][j], s.best[j][i] = length, length
		}
	}
}

// joint returns the neighbours k of b.left and l of b.right at which the two
// halves meet best, in an order from i of b.left to j of b.right.
func (s *seriation) joint(b *branch, i, j int) (k, l int, length float64) {
	length = math.Inf(1)
	for _, p := range b.left.others(i) {
		for _, q := range b.right.others(j) {
			if x := s.best[i][p] + s.d[p][q] + s.best[q][j]; x < length {
				k, l, length = p, q, x
			}
		}
	}
	return k, l, length
}

// unroll returns the best order of the tree.
func (s *seriation) unroll(b *branch) []int {
	if b.left == nil {
		return b.leaves
	}
	first, last := b.left.leaves[0], b.right.leaves[0]
	for _, i := range b.left.leaves {
		for _, j := range b.right.leaves {
			if s.best[i][j] < s.best[first][last] {
				first, last = i, j
			}
		}
	}
	return s.between(b, first, last)
}

// between returns the best order of b from i to j, one on each side of it.
func (s *seriation) between(b *branch, i, j int) []int {
	if b.left == nil {
		return []int{i}
	}
	if !slices.Contains(b.left.leaves, i) {
		order := s.between(b, j, i)
		slices.Reverse(order)
		return order
	}
	k, l, _ := s.joint(b, i, j)
	return append(s.between(b.left, i, k), s.between(b.right, l, j)...)
}

// Components are the principal components of a squad's curves: the ways in
// which they differ, the largest first.
type Components struct {
	Mean    []float64
	Share   []float64   // of the variance, 0 to 1
	Vectors [][]float64 // of unit length, the entry of largest size positive
	Scores  [][]float64 // Scores[i][c]: how far curve i goes along vector c
}

// Principal returns the first count components of the curves, fewer when
// there are not so many. The curves go in as they are: give [Shape]s to leave
// size out. It errs below two curves, for curves of unequal length and for
// curves that are all the same.
func Principal(curves [][]float64, count int) (Components, error) {
	m, err := curveMatrix(curves)
	if err != nil {
		return Components{}, err
	}
	var pc stat.PC
	if ok := pc.PrincipalComponents(m, nil); !ok {
		return Components{}, wrong(rigging.ProblemMismatch, "the components of these curves cannot be found", "curves")
	}
	vars := pc.VarsTo(nil)
	total := 0.0
	for _, v := range vars {
		total += v
	}
	if total <= 0 {
		return Components{}, wrong(rigging.ProblemMismatch, "the curves are all the same", "curves")
	}
	var vectors mat.Dense
	pc.VectorsTo(&vectors)
	c := Components{Mean: columnMeans(curves)}
	for k := range min(count, len(vars), len(curves)-1) {
		c.Share = append(c.Share, vars[k]/total)
		c.Vectors = append(c.Vectors, upright(mat.Col(nil, k, &vectors)))
	}
	c.score(curves)
	return c, nil
}

func curveMatrix(curves [][]float64) (*mat.Dense, error) {
	if len(curves) < 2 || len(curves[0]) < 2 {
		return nil, wrong(rigging.ProblemMissing, "at least two curves of at least two nodes are needed", "curves")
	}
	m := mat.NewDense(len(curves), len(curves[0]), nil)
	for i, c := range curves {
		if len(c) != len(curves[0]) {
			return nil, wrong(rigging.ProblemMismatch, "the curves have different numbers of nodes", "curves")
		}
		for j, x := range c {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return nil, wrong(rigging.ProblemMismatch, "a node is not a finite number", "curves")
			}
			m.Set(i, j, x)
		}
	}
	return m, nil
}

func columnMeans(curves [][]float64) []float64 {
	means := make([]float64, len(curves[0]))
	for _, c := range curves {
		for j, x := range c {
			means[j] += x / float64(len(curves))
		}
	}
	return means
}

// upright turns a vector so that its largest entry is positive: the sign of a
// component is arbitrary.
func upright(v []float64) []float64 {
	largest := 0
	for i := range v {
		if math.Abs(v[i]) > math.Abs(v[largest]) {
			largest = i
		}
	}
	if v[largest] < 0 {
		for i := range v {
			v[i] = -v[i]
		}
	}
	return v
}

// score projects the curves on the vectors.
func (c *Components) score(curves [][]float64) {
	for _, curve := range curves {
		row := make([]float64, len(c.Vectors))
		for k, v := range c.Vectors {
			for j := range v {
				row[k] += (curve[j] - c.Mean[j]) * v[j]
			}
		}
		c.Scores = append(c.Scores, row)
	}
}
