package lineup

import "math"

// assigner solves the assignment problem of rows to columns, with more
// columns than rows allowed: every row gets a column of its own at least
// total cost. It holds its work space, so that repeated calls allocate
// nothing.
//
// The method is the shortest augmenting path (R. Jonker and A. Volgenant,
// "A shortest augmenting path algorithm for dense and sparse linear
// assignment problems", Computing 38, 1987, p. 325).
type assigner struct {
	u, v  []float64 // dual of each row and of each column; v ≤ 0
	colOf []int     // column of each row
	rowOf []int     // row of each column, -1 when free
	dist  []float64
	from  []int
	todo  []int
	done  []int
}

func newAssigner(rows, cols int) *assigner {
	return &assigner{
		u: make([]float64, rows), v: make([]float64, cols),
		colOf: make([]int, rows), rowOf: make([]int, cols),
		dist: make([]float64, cols), from: make([]int, cols),
		todo: make([]int, cols), done: make([]int, 0, cols),
	}
}

// solve assigns the rows of cost, rows × cols in row-major order with +Inf
// for what is forbidden, and returns the least total; ok is false when no
// assignment is allowed. Afterwards cost[r][c] - u[r] - v[c] ≥ 0 up to
// rounding, with equality on the assignment, v ≤ 0, and the total is the sum
// of all u and v.
func (a *assigner) solve(cost []float64, rows, cols int) (total float64, ok bool) {
	v, rowOf := a.v[:cols], a.rowOf[:cols]
	for c := range v {
		v[c], rowOf[c] = 0, -1
	}
	for r := range rows {
		if !a.augment(cost, r, cols) {
			return 0, false
		}
	}
	for r := range rows {
		c := a.colOf[r]
		total += cost[r*cols+c]
		a.u[r] = cost[r*cols+c] - v[c]
	}
	return total, true
}

// augment gives row r a column, moving earlier rows along the shortest path.
func (a *assigner) augment(cost []float64, r, cols int) bool {
	v, dist, from := a.v[:cols], a.dist[:cols], a.from[:cols]
	row := cost[r*cols:][:cols]
	best, at := math.Inf(1), -1
	for c := range v {
		d := row[c] - v[c]
		dist[c], from[c] = d, r
		if d < best {
			best, at = d, c
		}
	}
	if at < 0 {
		return false
	}
	if a.rowOf[at] < 0 {
		a.rowOf[at], a.colOf[r] = r, at
		return true
	}
	end := a.path(cost, cols, at)
	if end < 0 {
		return false
	}
	for c := end; ; {
		i := from[c]
		a.rowOf[c] = i
		c, a.colOf[i] = a.colOf[i], c
		if i == r {
			return true
		}
	}
}

// path grows the tree of shortest paths from column at until it meets a free
// column, returns that column (-1 when there is none) and updates v.
func (a *assigner) path(cost []float64, cols, at int) int {
	v, dist, from := a.v[:cols], a.dist[:cols], a.from[:cols]
	todo, done := a.todo[:0], a.done[:0]
	for c := range cols {
		if c != at {
			todo = append(todo, c)
		}
	}
	for a.rowOf[at] >= 0 {
		i, here := a.rowOf[at], dist[at]
		done = append(done, at)
		row := cost[i*cols:][:cols]
		slack := row[at] - v[at] - here
		best, next := math.Inf(1), -1
		for k, c := range todo {
			if d := row[c] - v[c] - slack; d < dist[c] {
				dist[c], from[c] = d, i
			}
			if dist[c] < best {
				best, next = dist[c], k
			}
		}
		if next < 0 {
			return -1
		}
		at = todo[next]
		todo[next] = todo[len(todo)-1]
		todo = todo[:len(todo)-1]
	}
	for _, c := range done {
		v[c] += dist[c] - dist[at]
	}
	return at
}
