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

// nodeMoves and rootMoves are how often a node and the root move their tangent;
// numerical: they change how long a search takes, not what it finds.
const (
	nodeMoves = 3
	rootMoves = 6
)

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

// corner is an assignment met on the way of a tangent.
type corner struct {
	touch
	x      []int
	linear float64            // its cost in lower and un, without any tangent
	share  float64            // in the mixture of corners
	with   [rootMoves]float64 // product of its moment with each corner's
}

// approach moves the tangent of a node whose assignment was just solved to
// where it bounds better; false when no assignment is left. Each assignment
// met is a corner; the tangent goes to the mixture of them that costs least,
// and the assignment found there is the next.
func (b *bounder) approach(n *node, moves int) bool {
	if b.task.lever == nil {
		return true
	}
	b.corners = b.corners[:0]
	best := n.lower
	for k := range min(moves, rootMoves) {
		if b.corner(n) < touchGap {
			break
		}
		if k == 0 {
			n.at.copyTo(&b.peak)
			b.halfway(n)
		} else {
			b.mix()
		}
		b.tilt(n)
		if !b.assign(n) {
			return false
		}
		if n.lower > best {
			best = n.lower
			n.at.copyTo(&b.peak)
		}
	}
	if n.lower < best {
		b.peak.copyTo(&b.to)
		b.tilt(n)
		return b.assign(n)
	}
	return true
}

// touchGap is the gain in s below which a tangent is left alone: less than any
// watch reads (engineering judgement).
const touchGap = 1e-5

// corner notes the assignment just found and returns the square of the
// distance of its moment from the tangent's.
func (b *bounder) corner(n *node) float64 {
	k := len(b.corners)
	b.corners = b.corners[:k+1]
	c := &b.corners[k]
	if c.x == nil {
		c.x, c.pull = make([]int, b.task.seats), make([]float64, b.task.items)
	}
	b.complete(n)
	copy(c.x, b.whole)
	c.norm = b.task.pullOf(c.x, c.pull)
	cross := b.task.along(c.x, n.at.pull)
	c.linear = n.lower - 2*cross + n.at.norm
	c.share = 0
	for l := range b.corners {
		d := &b.corners[l]
		c.with[l] = b.task.along(c.x, d.pull)
		d.with[k] = c.with[l]
	}
	return c.norm - 2*cross + n.at.norm
}

// halfway is the mean of the tangent and the last corner.
func (b *bounder) halfway(n *node) {
	c := &b.corners[len(b.corners)-1]
	c.share = 1
	for j, p := range n.at.pull {
		b.to.pull[j] = (p + c.pull[j]) / 2
	}
	b.to.norm = (n.at.norm + 2*b.task.along(c.x, n.at.pull) + c.norm) / 4
}

// mix is the mixture of the corners of which linear cost and square moment
// sum to the least, found by shifting share between two corners at a time.
func (b *bounder) mix() {
	for range mixRounds {
		for k := range b.corners {
			for l := range k {
				b.shiftShare(k, l)
			}
		}
	}
	clear(b.to.pull)
	b.to.norm = 0
	for k := range b.corners {
		c := &b.corners[k]
		for j, p := range c.pull {
			b.to.pull[j] += c.share * p
		}
		b.to.norm += c.share * b.mixed(k)
	}
}

// mixRounds is how often the mixture of tangents is moved; later moves gain less
// than touchGap (engineering judgement).
const mixRounds = 10

// mixed is the product of the mixture's moment with corner k's.
func (b *bounder) mixed(k int) (sum float64) {
	for l, v := range b.corners[k].with[:len(b.corners)] {
		sum += b.corners[l].share * v
	}
	return sum
}

// shiftShare moves share from corner l to corner k, or back, to where the
// mixture costs least.
func (b *bounder) shiftShare(k, l int) {
	to, from := &b.corners[k], &b.corners[l]
	way := to.norm - 2*to.with[l] + from.norm
	if way < touchGap*touchGap {
		return
	}
	step := -((to.linear-from.linear)/2 + b.mixed(k) - b.mixed(l)) / way
	step = min(max(step, -to.share), from.share)
	to.share += step
	from.share -= step
}

// copyTo makes the tangent u the same.
func (t *touch) copyTo(u *touch) {
	u.norm = t.norm
	u.pull = append(u.pull[:0], t.pull...)
}

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
