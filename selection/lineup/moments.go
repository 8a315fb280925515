package lineup

// The square of the moment M = Σ_s lever_s·(vector of the item in s) is
// convex, and lies above its tangent at any moment N:
//
//	‖M‖² ≥ 2M·N − ‖N‖²
//
// The right-hand side is linear in the choice of items, so that the
// assignment bound can carry it. A node keeps the N of its own: the bound is
// best where N is the moment of the (fractional) assignment that attains it,
// and is approached by moving N towards the moment of the assignment found
// last, as in the method of Frank and Wolfe (Naval Research Logistics
// Quarterly 3, 1956, p. 95). Vectors are never needed, only their products
// with the items' vectors.
type touch struct {
	pull []float64 // [item] its vector times N
	norm float64   // ‖N‖²
}

// touches is how often a node moves its tangent.
const touches = 3

// pullOf returns the products of the moment of an assignment with every item's
// vector, written into pull, and its square.
func (t *task) pullOf(x []int, pull []float64) (norm float64) {
	clear(pull)
	for s, i := range x {
		for j, g := range t.gram[i*t.items:][:t.items] {
			pull[j] += t.lever[s] * g
		}
	}
	return t.along(x, pull)
}

// along is the product of the moment of x with the moment behind pull.
func (t *task) along(x []int, pull []float64) (sum float64) {
	for s, i := range x {
		sum += t.lever[s] * pull[i]
	}
	return sum
}

// approach moves the tangent of a node whose assignment was just solved to
// where it bounds better; false when no assignment is left.
func (b *bounder) approach(n *node, tries int) bool {
	if b.task.lever == nil {
		return true
	}
	step := 1.0
	for range tries {
		b.complete(n)
		norm := b.task.pullOf(b.whole, b.to.pull)
		cross := b.task.along(b.whole, n.at.pull)
		if gap := norm - 2*cross + n.at.norm; gap < touchGap {
			return true
		}
		for j, p := range n.at.pull {
			b.to.pull[j] = p + step*(b.to.pull[j]-p)
		}
		b.to.norm = (1-step)*(1-step)*n.at.norm + 2*step*(1-step)*cross + step*step*norm
		before := n.lower
		b.tilt(n)
		if !b.assign(n) {
			return false
		}
		if n.lower <= before {
			b.tilt(n)
			if !b.assign(n) {
				return false
			}
			step /= 3
		}
	}
	return true
}

// touchGap is the gain in s below which a tangent is left alone.
const touchGap = 1e-5

// complete writes the items placed and those of the last assignment into
// b.whole.
func (b *bounder) complete(n *node) {
	copy(b.whole, b.x)
	for a, r := range n.rows {
		b.whole[n.tab.seat[r]] = n.tab.item[b.cols[b.asg.colOf[a]]]
	}
}

// tilt exchanges the tangent of n with b.to.
func (b *bounder) tilt(n *node) {
	for s, i := range b.x {
		if n.placed[s] {
			n.lower += 2 * b.task.lever[s] * (b.to.pull[i] - n.at.pull[i])
		}
	}
	for a, r := range n.rows {
		lever := 2 * b.task.lever[n.tab.seat[r]]
		for x, c := range n.dom[a] {
			i := n.tab.item[c]
			n.un[a][x] += lever * (b.to.pull[i] - n.at.pull[i])
		}
	}
	n.lower -= b.to.norm - n.at.norm
	n.at.norm, b.to.norm = b.to.norm, n.at.norm
	n.at.pull, b.to.pull = b.to.pull, n.at.pull
}

// copyTo makes the tangent u the same.
func (t *touch) copyTo(u *touch) {
	u.norm = t.norm
	u.pull = append(u.pull[:0], t.pull...)
}
