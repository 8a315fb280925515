package seatrace

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// design is the regression of −ln t on the athletes once pieces, hulls and
// trends are swept out.
type design struct {
	z       *mat.Dense // a row a boat and piece, a column an athlete
	y       []float64
	swept   int       // degrees of freedom the sweeping took
	hat     []float64 // leverage it took, by row
	crewsAt float64   // Frobenius norm of z before sweeping
}

// newDesign sets up the regression.
func newDesign(t *table, m Model) *design {
	n := len(t.rows)
	d := &design{z: crewMatrix(t), y: make([]float64, n), hat: make([]float64, n)}
	for i, r := range t.rows {
		d.y[i] = -math.Log(r.time)
	}
	d.crewsAt = mat.Norm(d.z, 2)
	blocks := blocksOf(t, m)
	d.centre(blocks)
	if extra := extraColumns(t, m); extra != nil {
		size := mat.Norm(extra, 2)
		centreColumns(extra, blocks)
		d.sweep(extra, size)
	}
	return d
}

// crewMatrix returns the indicators of the athletes, a row a boat and piece.
func crewMatrix(t *table) *mat.Dense {
	z := mat.NewDense(len(t.rows), len(t.ids), nil)
	for i, r := range t.rows {
		for _, j := range r.crew {
			z.Set(i, j, 1)
		}
	}
	return z
}

// blocksOf returns the rows that share a level: those of one piece, or all of
// them in the absolute view.
func blocksOf(t *table, m Model) [][]int {
	blocks := make([][]int, t.pieces)
	for i, r := range t.rows {
		k := r.piece
		if m.Absolute {
			k = 0
		}
		blocks[k] = append(blocks[k], i)
	}
	return blocks
}

// extraColumns returns an indicator of each boat and its line over the
// pieces, as the model asks; nil for none.
func extraColumns(t *table, m Model) *mat.Dense {
	boats := 0
	for _, r := range t.rows {
		boats = max(boats, r.boat+1)
	}
	var fill []func(row) float64
	if m.lanes() {
		fill = append(fill, func(row) float64 { return 1 })
	}
	if m.Trends {
		middle := float64(t.pieces-1) / 2
		fill = append(fill, func(r row) float64 { return float64(r.piece) - middle })
	}
	if len(fill)*boats == 0 {
		return nil
	}
	x := mat.NewDense(len(t.rows), len(fill)*boats, nil)
	for i, r := range t.rows {
		for k, f := range fill {
			x.Set(i, k*boats+r.boat, f(r))
		}
	}
	return x
}

// centre takes the mean of each block from the athletes and the times.
func (d *design) centre(blocks [][]int) {
	centreColumns(d.z, blocks)
	centreColumns(mat.NewDense(len(d.y), 1, d.y), blocks)
	for _, block := range blocks {
		for _, i := range block {
			d.hat[i] = 1 / float64(len(block))
		}
		d.swept += min(len(block), 1)
	}
}

// centreColumns takes the mean of each block of rows from each column.
func centreColumns(x *mat.Dense, blocks [][]int) {
	_, columns := x.Dims()
	for _, block := range blocks {
		for j := range columns {
			mean := 0.0
			for _, i := range block {
				mean += x.At(i, j) / float64(len(block))
			}
			for _, i := range block {
				x.Set(i, j, x.At(i, j)-mean)
			}
		}
	}
}

// sweep projects athletes and times off the columns of extra, which were
// centred from columns of the given norm.
func (d *design) sweep(extra *mat.Dense, size float64) {
	s := leastSquares(extra, d.y, size)
	d.y = s.resid
	d.swept += s.rank
	for i, h := range s.hat {
		d.hat[i] += h
	}
	if s.rank > 0 {
		var shares, part mat.Dense
		shares.Mul(s.left.T(), d.z)
		part.Mul(s.left, &shares)
		d.z.Sub(d.z, &part)
	}
}

// solve returns the least-squares solution for the athletes.
func (d *design) solve() *solution { return leastSquares(d.z, d.y, d.crewsAt) }

// freedom returns the degrees of freedom left for the noise.
func (d *design) freedom(t *table, s *solution) int { return len(t.rows) - d.swept - s.rank }
