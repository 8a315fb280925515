package lineup

import (
	"cmp"
	"math"
	"slices"
)

// node is a partial assignment with a lower bound of all its completions. It
// stands for the same problem as the task, rewritten: with a row for every
// open seat and a column for every item in play, a completion costs
//
//	lower + Σ un of the chosen values + Σ pair of the chosen pairs
//	      + Σ bench of the columns not chosen
//	      + Σ bench(value, column) of the chosen values and columns not chosen
//	      + what the square of the moment has over its tangent (see touch)
//	      + rest
//
// where everything but lower and rest is ≥ 0 once settled, so that lower +
// rest is a bound. All rewriting keeps the sum, for every completion, to the last term;
// what is left of pair and bench is what the bound has not used yet.
//
// This is the dual of the first-level reformulation–linearisation of the
// quadratic assignment problem, approached by dual ascent (P. Hahn and
// T. Grant, "Lower bounds for the quadratic assignment problem based upon a
// dual formulation", Operations Research 46, 1998, p. 912), here with columns
// that may stay empty, and with each row passing its share on to the rows
// ahead as in sequential message passing (V. Kolmogorov, "Convergent
// tree-reweighted message passing for energy minimization", IEEE Trans.
// Pattern Anal. Mach. Intell. 28, 2006, p. 1568).
type node struct {
	tab   *table
	rows  []int       // rows of tab that are open
	dom   [][]int     // [row] columns of tab left to it, ascending
	un    [][]float64 // [row] along dom
	bench []float64   // [column]
	alive []bool      // [column] whether some row may still choose it
	lower float64
	at    touch // the tangent of the moment term that lower and un contain

	perLoad float64 // what lower and un contain for each unit of load, which rest takes off

	placed      []bool  // [seat]
	power, load float64 // summed over the items placed
	marks       int     // marked items placed
}

// table holds the pair costs of a node and its descendants.
type table struct {
	seat    []int     // of each row
	item    []int     // of each column
	pair    []float64 // see pairOf
	bench   []float64 // see benchOf
	byPower []int     // columns by power
	byLoad  []int     // columns by load
}

// pairOf returns the pair costs of rows a < b, flat columns × columns.
func (t *table) pairOf(a, b int) []float64 {
	n := len(t.item)
	return t.pair[triangle(a, b, len(t.seat))*n*n:][:n*n]
}

// line returns the pair costs of row a in column c with row b ≠ a: in column
// d, line[d·stride].
func (t *table) line(a, c, b int) (line []float64, stride int) {
	n := len(t.item)
	if a < b {
		return t.pairOf(a, b)[c*n:][:n], 1
	}
	return t.pairOf(b, a)[c:], n
}

// benchOf returns, by column, the cost of the column staying empty while row
// a chooses column c.
func (t *table) benchOf(a, c int) []float64 {
	n := len(t.item)
	return t.bench[(a*n+c)*n:][:n]
}

// completions is the number of ways to choose a value for each row.
func (n *node) completions() float64 {
	product := 1.0
	for _, dom := range n.dom {
		product *= float64(len(dom))
	}
	return product
}

// bounder computes bounds for one task; it holds the work space.
type bounder struct {
	task    *task
	limit   func() float64 // no completion above it is wanted
	asg     *assigner
	buf     []float64
	cols    []int
	colOf   []int
	shift   []float64
	x       []int // the items placed, by seat
	whole   []int // a whole assignment
	to      touch // a tangent to move to
	peak    touch // the tangent of the best bound of a move
	corners []corner
}

func newBounder(seats, items int) *bounder {
	return &bounder{
		asg: newAssigner(seats, items), buf: make([]float64, seats*items),
		cols: make([]int, 0, items), colOf: make([]int, items), shift: make([]float64, items),
		x: make([]int, seats), whole: make([]int, seats),
		to: touch{pull: make([]float64, items)}, corners: make([]corner, 0, rootMoves),
	}
}

// assign moves the assignment bound of the unary and bench costs into lower;
// false when there is no assignment.
func (b *bounder) assign(n *node) bool {
	b.number(n)
	width := len(b.cols)
	if width < len(n.rows) {
		return false
	}
	buf := b.blank(len(n.rows), width)
	for a, dom := range n.dom {
		for x, c := range dom {
			buf[a*width+b.colOf[c]] = n.un[a][x] - n.bench[c]
		}
	}
	total, ok := b.asg.solve(buf, len(n.rows), width)
	if !ok {
		return false
	}
	n.lower += total
	for k, c := range b.cols {
		n.lower += n.bench[c]
		b.shift[c] = n.bench[c] + b.asg.v[k]
		n.bench[c] = -b.asg.v[k]
	}
	for a, dom := range n.dom {
		for x, c := range dom {
			n.un[a][x] -= b.asg.u[a] + b.shift[c]
		}
	}
	return true
}

// number lists the columns in play in b.cols, and in b.colOf where.
func (b *bounder) number(n *node) {
	b.cols = b.cols[:0]
	for c, alive := range n.alive {
		if alive {
			b.colOf[c] = len(b.cols)
			b.cols = append(b.cols, c)
		}
	}
}

// blank is a matrix that forbids everything.
func (b *bounder) blank(rows, cols int) []float64 {
	buf := b.buf[:rows*cols]
	for k := range buf {
		buf[k] = inf
	}
	return buf
}

// rest bounds the last term of the task over the completions of n; +Inf when
// the load is over the limit in all of them.
func (b *bounder) rest(n *node) float64 {
	t, task := n.tab, b.task
	need := len(n.rows)
	loadLo := n.load + n.least(t.byLoad, task.load, need)
	loadHi := n.load + n.most(t.byLoad, task.load, need)
	if loadLo > task.maxLoad+loadSlack {
		return inf
	}
	powerLo := n.power + n.least(t.byPower, task.power, need)
	powerHi := n.power + n.most(t.byPower, task.power, need)
	return task.rest(n.perLoad, box{powerLo, powerHi, loadLo, min(loadHi, task.maxLoad)})
}

// least sums the count smallest values of the columns in play.
func (n *node) least(by []int, value []float64, count int) (sum float64) {
	for _, c := range by {
		if count == 0 {
			return sum
		}
		if n.alive[c] {
			sum += value[n.tab.item[c]]
			count--
		}
	}
	return sum
}

// most sums the count largest.
func (n *node) most(by []int, value []float64, count int) (sum float64) {
	for k := len(by) - 1; k >= 0 && count > 0; k-- {
		if n.alive[by[k]] {
			sum += value[n.tab.item[by[k]]]
			count--
		}
	}
	return sum
}

// slack is how far a completion may lie above the bound and still be wanted;
// it is finite, and below 0 when none is.
func (b *bounder) slack(n *node) float64 {
	rest := b.rest(n)
	if rest == inf {
		return -1
	}
	return min(b.limit()-n.lower-rest, math.MaxFloat64)
}

// settle alternates the assignment bound with dropping values that are too
// dear, until nothing changes; false when no wanted completion is left.
func (b *bounder) settle(n *node) bool {
	for {
		if !b.assign(n) || !b.approach(n, nodeMoves) {
			return false
		}
		slack := b.slack(n)
		if slack < 0 || !b.filter(n, slack) {
			return false
		}
		if !b.benchEmpty(n) {
			return true
		}
	}
}

// filter removes the values that cost more than slack, and those that the rules
// about the whole crew leave no room for; false when a row has none left.
func (b *bounder) filter(n *node, slack float64) bool {
	needed := 0 // columns too dear to leave out
	for c, alive := range n.alive {
		if alive && n.bench[c] > slack {
			needed++
		}
	}
	rows := len(n.rows)
	if needed > rows || n.marks > b.task.markMax || n.marks+rows < b.task.markMin {
		return false
	}
	full, noMore, noOther := needed == rows, n.marks == b.task.markMax, n.marks+rows == b.task.markMin
	for a := range n.dom {
		if !n.keepIf(a, func(c int, cost float64) bool {
			marked := b.task.marked[n.tab.item[c]]
			return cost <= slack && !(full && n.bench[c] <= slack) && !(noMore && marked) && !(noOther && !marked)
		}) {
			return false
		}
	}
	return true
}

// keepIf keeps the values of a row that pass; false when none do.
func (n *node) keepIf(a int, passes func(c int, cost float64) bool) bool {
	dom, un := n.dom[a], n.un[a]
	k := 0
	for x, c := range dom {
		if passes(c, un[x]) {
			dom[k], un[k] = c, un[x]
			k++
		}
	}
	n.dom[a], n.un[a] = dom[:k], un[:k]
	return k > 0
}

// benchEmpty books the columns that no row may choose any more as not chosen,
// and reports whether there were any.
func (b *bounder) benchEmpty(n *node) bool {
	for c := range n.alive {
		b.colOf[c] = -1
	}
	for _, dom := range n.dom {
		for _, c := range dom {
			b.colOf[c] = 0
		}
	}
	any := false
	for c, alive := range n.alive {
		if alive && b.colOf[c] < 0 {
			n.leaveOut(c)
			any = true
		}
	}
	return any
}

// leaveOut books column c as not chosen.
func (n *node) leaveOut(c int) {
	n.alive[c] = false
	n.lower += n.bench[c]
	for a, r := range n.rows {
		for x, d := range n.dom[a] {
			n.un[a][x] += n.tab.benchOf(r, d)[c]
		}
	}
}

// sweep runs one round of dual ascent, from the first row to the last or
// back, over a node whose table is its own: it has the rows and columns of
// the node and no others.
func (b *bounder) sweep(n *node, back bool) bool {
	rows := len(n.rows)
	for step := range rows {
		a := step
		if back {
			a = rows - 1 - step
		}
		b.collect(n, a)
		if !b.assign(n) {
			return false
		}
		n.pass(a, rows-1-step, back)
	}
	return true
}

// collect draws, for each value of row a, the assignment bound of its pair
// costs into its unary cost.
func (b *bounder) collect(n *node, a int) {
	t := n.tab
	rows, cols := len(t.seat), len(t.item)
	buf := b.blank(rows-1, cols)
	for x, c := range n.dom[a] {
		bench := t.benchOf(a, c)
		b.gather(n, a, c, bench)
		total, ok := b.asg.solve(buf, rows-1, cols)
		if !ok {
			n.un[a][x] = inf
			continue
		}
		for j := range bench {
			total += bench[j]
			b.shift[j] = bench[j] + b.asg.v[j]
			bench[j] = -b.asg.v[j]
		}
		n.un[a][x] += total
		b.reduce(n, a, c)
	}
}

// gather writes the pair costs of value c of row a, less what the columns
// save on the bench, into buf, one line for each other row.
func (b *bounder) gather(n *node, a, c int, bench []float64) {
	to := b.buf
	for o, dom := range n.dom {
		if o == a {
			continue
		}
		line, stride := n.tab.line(a, c, o)
		for _, j := range dom {
			to[j] = line[j*stride] - bench[j]
		}
		to[c] = inf
		to = to[len(n.tab.item):]
	}
}

// reduce takes the duals of the last assignment off the pair costs of value c
// of row a.
func (b *bounder) reduce(n *node, a, c int) {
	k := 0
	for o, dom := range n.dom {
		if o == a {
			continue
		}
		line, stride := n.tab.line(a, c, o)
		for _, j := range dom {
			line[j*stride] -= b.asg.u[k] + b.shift[j]
		}
		k++
	}
}

// pass hands even shares of the unary costs of row a on to the pair costs
// with each of the rows ahead, and keeps one.
func (n *node) pass(a, ahead int, back bool) {
	for x, c := range n.dom[a] {
		if n.un[a][x] == inf {
			continue
		}
		share := n.un[a][x] / float64(ahead+1)
		n.un[a][x] = share
		for o, dom := range n.dom {
			if o == a || (o < a) != back {
				continue
			}
			line, stride := n.tab.line(a, c, o)
			for _, j := range dom {
				line[j*stride] += share
			}
		}
	}
}

// filterPairs forbids the pairs that cost more than slack.
func (b *bounder) filterPairs(n *node, slack float64) {
	cols := len(n.tab.item)
	for a := range n.rows {
		for o := a + 1; o < len(n.rows); o++ {
			m := n.tab.pairOf(a, o)
			for x, c := range n.dom[a] {
				row, left := m[c*cols:][:cols], slack-n.un[a][x]
				for y, d := range n.dom[o] {
					if row[d]+n.un[o][y] > left {
						row[d] = inf
					}
				}
			}
		}
	}
}

// fill makes t the table of n's open rows and columns in play, copied from
// n's own, and n its owner.
func (t *table) fill(n *node, task *task) {
	old := n.tab
	t.seat, t.item = t.seat[:0], t.item[:0]
	cols := make([]int, 0, len(old.item)) // of old, by column of t
	back := make([]int, len(old.item))    // of t, by column of old
	for c, alive := range n.alive {
		if alive {
			back[c] = len(cols)
			cols = append(cols, c)
			t.item = append(t.item, old.item[c])
		}
	}
	for _, r := range n.rows {
		t.seat = append(t.seat, old.seat[r])
	}
	t.resize()
	for a := range n.rows {
		t.fillBench(n, a, cols, back)
		for b := a + 1; b < len(n.rows); b++ {
			t.fillPair(n, a, b, back)
		}
	}
	t.sort(task)
	n.moveTo(t, cols, back)
}

func (t *table) fillBench(n *node, a int, cols, back []int) {
	for _, c := range n.dom[a] {
		to, from := t.benchOf(a, back[c]), n.tab.benchOf(n.rows[a], c)
		for k, j := range cols {
			to[k] = from[j]
		}
	}
}

func (t *table) fillPair(n *node, a, b int, back []int) {
	to, from := t.pairOf(a, b), n.tab.pairOf(n.rows[a], n.rows[b])
	for _, c := range n.dom[a] {
		row, line := to[back[c]*len(t.item):], from[c*len(n.tab.item):]
		for _, d := range n.dom[b] {
			row[back[d]] = line[d]
		}
	}
}

// moveTo renumbers n's rows and columns for its new table t, whose column k
// was cols[k].
func (n *node) moveTo(t *table, cols, back []int) {
	for a := range n.rows {
		n.rows[a] = a
		for x, c := range n.dom[a] {
			n.dom[a][x] = back[c]
		}
	}
	for k, c := range cols {
		n.bench[k], n.alive[k] = n.bench[c], true
	}
	n.bench, n.alive = n.bench[:len(cols)], n.alive[:len(cols)]
	n.tab = t
}

// resize gives the table room for its rows and columns.
func (t *table) resize() {
	rows, cols := len(t.seat), len(t.item)
	t.pair = slices.Grow(t.pair[:0], rows*(rows-1)/2*cols*cols)[:rows*(rows-1)/2*cols*cols]
	t.bench = slices.Grow(t.bench[:0], rows*cols*cols)[:rows*cols*cols]
}

// sort orders the columns by what their items weigh and pull.
func (t *table) sort(task *task) {
	t.byPower = t.sorted(t.byPower, task.power)
	t.byLoad = t.sorted(t.byLoad, task.load)
}

func (t *table) sorted(cols []int, value []float64) []int {
	cols = cols[:0]
	for c := range t.item {
		cols = append(cols, c)
	}
	slices.SortFunc(cols, func(c, d int) int {
		return cmp.Or(cmp.Compare(value[t.item[c]], value[t.item[d]]), c-d)
	})
	return cols
}
