package seatrace

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// search looks for a schedule by annealing. Its state x holds the boat of each
// athlete in each piece, -1 ashore.
type search struct {
	p, boats, size, pieces int
	movers                 int       // most athletes who change place between pieces
	bound                  [2][]bool // by side: who rows that side only
	pairs                  [][2]int
	model                  Model
	rng                    *rand.Rand

	x              [][]int
	info           []float64 // p×p information matrix, then its inverse
	work           []float64 // scratch: of invert,
	count          [2][]int  // of fits,
	mean           [][]float64
	row, sum, line []float64 // and of fillInformation
}

// Constants of the search, dimensionless. ridge makes an open contrast cost
// about 1/ridge; openCost caps what one open difference costs, above the
// variance (in units of the noise) of any difference a sane schedule settles
// (engineering judgement, by the published designs that the search has to reach).
const (
	ridge    = 1e-7
	openCost = 50.0
)

// cost returns the mean variance of the comparisons asked for for unit noise,
// each open one counted as openCost.
func (s *search) cost() float64 {
	s.fillInformation()
	for i := range s.p {
		s.info[i*s.p+i] += ridge
	}
	invert(s.info, s.work, s.p)
	total := 0.0
	for _, q := range s.pairs {
		i, j := q[0], q[1]
		v := s.info[i*s.p+i] + s.info[j*s.p+j] - 2*s.info[i*s.p+j]
		total += min(v, openCost)
	}
	return total / float64(len(s.pairs))
}

// fillInformation sets info to ZᵀZ of the swept design. With z the 0/1 row of
// a boat and w = z less the mean over its block, sweeping hulls takes
// (1/R) Σ_b s_b s_bᵀ, s_b = Σ_r w_rb, and sweeping trends takes
// Σ_b u_b u_bᵀ/Σ(r−r̄)², u_b = Σ_r (r−r̄) w_rb, off Σ w wᵀ: every boat races in
// every piece.
func (s *search) fillInformation() {
	clear(s.info)
	n, middle, square := float64(s.pieces), float64(s.pieces-1)/2, 0.0
	for r := range s.pieces {
		square += (float64(r) - middle) * (float64(r) - middle)
	}
	s.fillMeans()
	for b := range s.boats {
		clear(s.sum)
		clear(s.line)
		for r, at := range s.x {
			for i, boat := range at {
				w := -s.mean[r][i]
				if boat == b {
					w++
				}
				s.row[i] = w
				s.sum[i] += w
				s.line[i] += (float64(r) - middle) * w
			}
			addOuter(s.info, s.row, 1)
		}
		if s.model.lanes() {
			addOuter(s.info, s.sum, -1/n)
		}
		if s.model.Trends && square > 0 {
			addOuter(s.info, s.line, -1/square)
		}
	}
}

// fillMeans sets for each piece the mean of the boats' indicators over the
// piece, or over all pieces in the absolute view.
func (s *search) fillMeans() {
	share := 1 / float64(s.boats)
	if s.model.Absolute {
		share /= float64(s.pieces)
	}
	for r := range s.mean {
		clear(s.mean[r])
	}
	for r, at := range s.x {
		for i, boat := range at {
			if boat >= 0 {
				s.mean[r][i] += share // in the absolute view every r is the same slice
			}
		}
	}
}

// addOuter adds f·w wᵀ to the lower triangle of a.
func addOuter(a, w []float64, f float64) {
	p := len(w)
	for i, v := range w {
		if v == 0 {
			continue
		}
		g := f * v
		row := a[i*p : i*p+i+1]
		for j := range row {
			row[j] += g * w[j]
		}
	}
}

// invert replaces a positive definite p×p matrix, given by its lower triangle,
// by its full inverse, with room for p×p numbers in l. It is own code because
// it runs in every step of the search, where the library's allocations count.
func invert(a, l []float64, p int) {
	factor(a, l, p)
	invertFactor(a, l, p)
	for i := range p { // A⁻¹ = L⁻ᵀ L⁻¹
		for j := range i + 1 {
			sum := 0.0
			for k := i; k < p; k++ {
				sum += l[k*p+i] * l[k*p+j]
			}
			a[i*p+j], a[j*p+i] = sum, sum
		}
	}
}

// factor sets l to Cholesky's L of A = L Lᵀ.
func factor(a, l []float64, p int) {
	for i := range p {
		for j := range i + 1 {
			sum := a[i*p+j]
			for k, v := range l[i*p : i*p+j] {
				sum -= v * l[j*p+k]
			}
			if i == j {
				l[i*p+i] = math.Sqrt(max(sum, 1e-300))
			} else {
				l[i*p+j] = sum / l[j*p+j]
			}
		}
	}
}

// invertFactor replaces l by L⁻¹, with the lower triangle of a for scratch.
func invertFactor(a, l []float64, p int) {
	for i := range p {
		d := 1 / l[i*p+i]
		for j := range i {
			sum := 0.0
			for k := j; k < i; k++ {
				sum += l[i*p+k] * l[k*p+j]
			}
			a[i*p+j] = -sum * d
		}
		copy(l[i*p:i*p+i], a[i*p:i*p+i])
		l[i*p+i] = d
	}
}

// fits reports whether the boats of a piece can be manned side by side: no
// more than half of a crew may be bound to one side.
func (s *search) fits(at []int) bool {
	if s.bound[0] == nil {
		return true
	}
	for side, bound := range s.bound {
		count := s.count[side]
		clear(count)
		for i, b := range at {
			if b >= 0 && bound[i] {
				if count[b]++; 2*count[b] > s.size {
					return false
				}
			}
		}
	}
	return true
}

// stepAllowed reports whether few enough move before piece r.
func (s *search) stepAllowed(r int) bool {
	if s.movers == 0 || r < 1 || r >= s.pieces {
		return true
	}
	n := 0
	for i, b := range s.x[r] {
		if b != s.x[r-1][i] {
			n++
		}
	}
	return n <= s.movers
}

// move is a trade of athletes i and j over some pieces; it undoes itself.
type move struct{ i, j, from, to int }

// do exchanges the places of the two.
func (s *search) do(m move) {
	for r := m.from; r <= m.to; r++ {
		s.x[r][m.i], s.x[r][m.j] = s.x[r][m.j], s.x[r][m.i]
	}
}

// propose makes a random trade that keeps the rules; ok is false when the one
// tried does not, and nothing is changed then.
func (s *search) propose() (m move, ok bool) {
	m.from, m.to = s.stretch()
	m.i, m.j = s.someone(m.from), s.rng.IntN(s.p)
	s.do(m)
	if m.i != m.j && s.stepAllowed(m.from) && s.stepAllowed(m.to+1) && s.allFit(m.from, m.to) {
		return m, true
	}
	s.do(m)
	return m, false
}

// stretch picks the pieces that a trade touches: one, or all that follow, or
// some in between.
func (s *search) stretch() (from, to int) {
	from = s.rng.IntN(s.pieces)
	kind := s.rng.IntN(4)
	switch {
	case s.movers == 0 && kind < 3:
		return from, from
	case kind < 3:
		return from, s.pieces - 1
	}
	return from, from + s.rng.IntN(s.pieces-from)
}

// someone picks an athlete, where moves are few more often one who moves
// before the piece, since only such a trade can keep the count.
func (s *search) someone(r int) int {
	i := s.rng.IntN(s.p)
	if s.movers == 0 || r == 0 || s.rng.IntN(4) == 0 {
		return i
	}
	for k := range s.p {
		c := (i + k) % s.p
		if s.x[r][c] != s.x[r-1][c] {
			return c
		}
	}
	return i
}

// allFit reports whether every piece of a stretch can be manned.
func (s *search) allFit(from, to int) bool {
	for r := from; r <= to; r++ {
		if !s.fits(s.x[r]) {
			return false
		}
	}
	return true
}

// Each restart cools from hot to cold, in mean variance for unit noise, over a
// number of steps that falls with the work a step takes; numerical. Four of them
// found the best designs of eight athletes from every seed tried.
const (
	restarts            = 4
	hot, cold           = 5.0, 0.005
	mostSteps, fewSteps = 40000, 5000
	workOfAll           = 160_000_000 // multiplications of a restart, roughly
)

// steps returns how long a restart lasts.
func (s *search) steps() int {
	work := s.p * s.p * (s.p + s.pieces*s.boats)
	return min(max(workOfAll/work, fewSteps), mostSteps)
}

// anneal improves the state until ctx ends and returns the best found with its
// cost.
func (s *search) anneal(ctx context.Context) ([][]int, float64) {
	now, steps := s.cost(), s.steps()
	best, bestCost := clone(s.x), now
	for k := range steps {
		if k%64 == 0 && ctx.Err() != nil {
			break
		}
		m, ok := s.propose()
		if !ok {
			continue
		}
		next := s.cost()
		heat := hot * math.Pow(cold/hot, float64(k)/float64(steps))
		if next > now && s.rng.Float64() >= math.Exp((now-next)/heat) {
			s.do(m)
			continue
		}
		if now = next; now < bestCost-1e-9 {
			best, bestCost = clone(s.x), now
		}
	}
	return best, bestCost
}

// clone copies a state.
func clone(x [][]int) [][]int {
	out := make([][]int, len(x))
	for r := range x {
		out[r] = slices.Clone(x[r])
	}
	return out
}
