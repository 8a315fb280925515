package lineup

import "math"

// relax prices the limits on the load and on the number of marked items into
// the unary costs: a completion that keeps the limits gets no dearer by
// λ·(load − limit) with λ ≥ 0, nor by μ·(marks − limit) with the sign of μ
// that goes with the limit. The prices are the best for the assignment bound,
// found one after the other by bisection, for that bound is concave in each.
func (b *bounder) relax(n *node) {
	p := prices{}
	for range 3 {
		p = b.priceLoad(n, p)
		p = b.priceMarks(n, p)
	}
	if p == (prices{}) {
		return
	}
	for a := range n.rows {
		for x, c := range n.dom[a] {
			n.un[a][x] += b.charge(n, p, c)
		}
	}
	n.lower -= b.allowance(n, p)
}

// prices are the multipliers of the two limits.
type prices struct {
	load  float64 // s/kg
	mark  float64 // s each
	marks int     // the limit that mark goes with
}

// charge is the price of choosing column c.
func (b *bounder) charge(n *node, p prices, c int) float64 {
	i := n.tab.item[c]
	cost := p.load * b.task.load[i]
	if b.task.marked[i] {
		cost += p.mark
	}
	return cost
}

// allowance is the price of what the limits leave to the open rows.
func (b *bounder) allowance(n *node, p prices) float64 {
	sum := p.mark * float64(p.marks-n.marks)
	if p.load > 0 {
		sum += p.load * (b.task.maxLoad - n.load)
	}
	return sum
}

// dearest is the most that a price may be, in s; a race lasts some minutes.
const dearest = 100

func (b *bounder) priceLoad(n *node, p prices) prices {
	if b.task.maxLoad == inf {
		return p
	}
	p.load = 0
	best, load, _ := b.priced(n, p)
	if load <= b.task.maxLoad {
		return p
	}
	keep := p
	for lo, hi := 0.0, float64(dearest); hi-lo > 1e-6*dearest; {
		p.load = (lo + hi) / 2
		v, load, _ := b.priced(n, p)
		if v > best {
			best, keep = v, p
		}
		if load > b.task.maxLoad {
			lo = p.load
		} else {
			hi = p.load
		}
	}
	return keep
}

func (b *bounder) priceMarks(n *node, p prices) prices {
	p.mark, p.marks = 0, 0
	if b.task.markMin <= 0 && b.task.markMax >= b.task.seats {
		return p
	}
	best, _, marks := b.priced(n, p)
	lo, hi := 0.0, float64(dearest)
	switch {
	case marks > b.task.markMax:
		p.marks = b.task.markMax
	case marks < b.task.markMin:
		p.marks, lo, hi = b.task.markMin, -dearest, 0
	default:
		return p
	}
	keep := p
	for hi-lo > 1e-6*dearest {
		p.mark = (lo + hi) / 2
		v, _, marks := b.priced(n, p)
		if v > best {
			best, keep = v, p
		}
		if marks > p.marks {
			lo = p.mark
		} else {
			hi = p.mark
		}
	}
	return keep
}

// priced is the assignment bound under prices, with the load and the marks of
// the assignment.
func (b *bounder) priced(n *node, p prices) (lower, load float64, marks int) {
	cols := len(n.tab.item)
	buf := b.blank(len(n.rows), cols)
	for a := range n.rows {
		for x, c := range n.dom[a] {
			buf[a*cols+c] = n.un[a][x] - n.bench[c] + b.charge(n, p, c)
		}
	}
	lower, ok := b.asg.solve(buf, len(n.rows), cols)
	if !ok {
		return math.Inf(-1), 0, 0
	}
	load, marks = n.load, n.marks
	for _, c := range b.asg.colOf[:len(n.rows)] {
		load += b.task.load[n.tab.item[c]]
		if b.task.marked[n.tab.item[c]] {
			marks++
		}
	}
	return lower - b.allowance(n, p), load, marks
}
