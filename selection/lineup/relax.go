package lineup

import "math"

// relax shifts cost between the unary costs and the last term, so much for
// each unit of load, and prices the limit on the number of marked items into
// the unary costs: a completion that keeps the limit gets no dearer by
// μ·(marks − limit) with the sign of μ that goes with the limit. A limit on
// the load is in the box that the last term is bounded over, so that the shift
// prices it, too. The bound is concave in the shift and in μ; the best of each is
// found by steps that are halved, one after the other. It is for roots, where
// nothing is placed yet.
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
	n.lower -= p.allowance()
	n.perLoad += p.load
}

// prices are what is put on a unit of load and on a marked item.
type prices struct {
	load  float64 // s/kg
	mark  float64 // s each
	marks int     // the limit that mark goes with
}

// allowance is the price of the marks that the limit allows; it comes off again
// for all completions alike. That of the load does in the last term.
func (p prices) allowance() float64 { return p.mark * float64(p.marks) }

// charge is the price of choosing column c.
func (b *bounder) charge(n *node, p prices, c int) float64 {
	i := n.tab.item[c]
	cost := p.load * b.task.load[i]
	if b.task.marked[i] {
		cost += p.mark
	}
	return cost
}

// dearest is the most that a price may be, in s; engineering judgement: a race
// lasts some minutes, and no rule is worth half of one.
const dearest = 100

// priceLoad narrows the shift down to where the load of the assignment is the
// one that the last term is least at.
func (b *bounder) priceLoad(n *node, p prices) prices {
	p.load = 0
	if b.task.maxLoad == inf {
		return p // the tangent does, and a shift has cost more than it gained
	}
	keep, best := p, b.bound(n, p)
	for step := 0.5; step > 1e-4; step /= 2 {
		for _, by := range []float64{step, -step} {
			next := keep
			next.load = min(max(keep.load+by, -dearest), dearest)
			if v := b.bound(n, next); v > best {
				best, keep = v, next
			}
		}
	}
	return keep
}

// bound is the assignment bound under prices with the last term.
func (b *bounder) bound(n *node, p prices) float64 {
	lower, _ := b.priced(n, p)
	before := n.perLoad
	n.perLoad += p.load
	lower += b.rest(n)
	n.perLoad = before
	return lower
}

func (b *bounder) priceMarks(n *node, p prices) prices {
	p.mark, p.marks = 0, 0
	if b.task.markMin <= 0 && b.task.markMax >= b.task.seats {
		return p
	}
	best, marks := b.priced(n, p)
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
		v, marks := b.priced(n, p)
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

// priced is the assignment bound under prices, with the marks of the
// assignment.
func (b *bounder) priced(n *node, p prices) (lower float64, marks int) {
	cols := len(n.tab.item)
	buf := b.blank(len(n.rows), cols)
	for a := range n.rows {
		for x, c := range n.dom[a] {
			buf[a*cols+c] = n.un[a][x] - n.bench[c] + b.charge(n, p, c)
		}
	}
	lower, ok := b.asg.solve(buf, len(n.rows), cols)
	if !ok {
		return math.Inf(-1), 0
	}
	for _, c := range b.asg.colOf[:len(n.rows)] {
		if b.task.marked[n.tab.item[c]] {
			marks++
		}
	}
	return lower - p.allowance(), marks
}
