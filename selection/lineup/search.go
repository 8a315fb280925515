package lineup

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// The search is depth first: the open row with the fewest values left is
// decided next, cheapest value first. A node with many completions is given a
// table of its own and a few rounds of dual ascent; the others use what the tables
// of the nodes above them have left. The numbers are numerical: they change how long
// a search takes, not what it finds, and were chosen by the package's benchmarks.
const (
	rootSweeps  = 12
	nodeSweeps  = 3
	manyWays    = 10000 // completions from which a node is worth sweeps
	fewWays     = 300   // completions at which sweeps stop
	worthASweep = 0.1   // share of the slack a sweep has to gain to be followed by another
)

// searcher runs tasks of one size, one after the other, against one board.
type searcher struct {
	*bounder
	ctx     context.Context
	board   *board
	items   []int   // what an item is called on the board; nil for itself
	fold    bool    // whether images share a place on the board
	rivals  *rivals // what a line-up has to beat besides the board; nil for nothing
	scratch *task   // of the joint search, for the next one
	images  []image // what each assignment found is listed as, itself first
	floor   float64 // no assignment of any task still to come costs less
	levels  []level
	nodes   int
	most    int  // nodes allowed
	over    bool // whether the search was stopped
	report  func(nodes int, best, lower float64)
}

// level is the work space of one depth.
type level struct {
	node    node
	tables  [2]table
	dom     []int
	un      []float64
	values  []int
	pending float64 // bound of what is left to do at this level
}

func newSearcher(ctx context.Context, seats, items, room int) *searcher {
	s := &searcher{
		bounder: newBounder(seats, items), ctx: ctx, board: &board{room: room},
		images: []image{{}}, levels: make([]level, seats+1), most: math.MaxInt,
	}
	s.limitBy()
	s.forget()
	return s
}

// limitBy lets the searcher's own board and rivals limit what is wanted.
func (s *searcher) limitBy() {
	s.limit = func() float64 {
		last, _ := s.board.full()
		return min(last.cost, s.rivals.limit()) + tie
	}
}

// forget removes what an earlier search left to do.
func (s *searcher) forget() {
	s.floor = inf
	for d := range s.levels {
		s.levels[d].pending = inf
	}
}

// run searches one task; it may be called again with another of the same size.
func (s *searcher) run(t *task) {
	s.task = t
	root := s.root()
	if s.ready(root) && s.tighten(root, 0, rootSweeps) {
		s.explore(root, 0)
	}
}

// ready makes a root fit for filtering: as long as a pair cost is negative,
// the unary costs alone bound nothing.
func (s *searcher) ready(root *node) bool {
	if !s.assign(root) || !s.approach(root, rootMoves) {
		return false
	}
	if slices.ContainsFunc(s.task.pair, isNegative) && !s.sweep(root, false) {
		return false
	}
	s.relax(root)
	return s.settle(root)
}

// root turns the task into the first node.
func (s *searcher) root() *node {
	n := s.bare()
	tab := n.tab
	tab.resize()
	copy(tab.pair, s.task.pair)
	clear(tab.bench)
	return n
}

// bare is the root but for the pair costs, which the assignment bound does
// not ask for.
func (s *searcher) bare() *node {
	t, l := s.task, &s.levels[0]
	tab := &l.tables[0]
	tab.seat, tab.item = tab.seat[:0], tab.item[:0]
	for a := range t.seats {
		tab.seat = append(tab.seat, a)
	}
	for i := range t.items {
		tab.item = append(tab.item, i)
	}
	tab.sort(t)
	n := s.reset(0, tab)
	n.at = touch{pull: make([]float64, t.items)}
	for a := range t.seats {
		n.open(l, a)
		for i, cost := range t.unary[a] {
			if cost < inf {
				n.keep(i, cost)
				n.alive[i] = true
			}
		}
	}
	for i, must := range t.must {
		if must {
			n.bench[i] = mustCost
		}
	}
	return n
}

// mustCost is the cost in s of leaving out an item that must not be. What it
// is does not matter to the answer, which is checked, but to the bound: it lies
// above any sum of likely costs (engineering judgement).
const mustCost = 1e4

// reset empties the node of a depth for a table.
func (s *searcher) reset(depth int, tab *table) *node {
	l := &s.levels[depth]
	if l.dom == nil {
		l.dom, l.un = make([]int, s.task.seats*s.task.items), make([]float64, s.task.seats*s.task.items)
	}
	n := &l.node
	cols := len(tab.item)
	n.tab, n.rows, n.dom, n.un = tab, n.rows[:0], n.dom[:0], n.un[:0]
	n.bench = append(n.bench[:0], make([]float64, cols)...)
	n.alive = append(n.alive[:0], make([]bool, cols)...)
	n.placed = append(n.placed[:0], make([]bool, s.task.seats)...)
	n.lower, n.perLoad, n.power, n.load, n.marks = 0, 0, 0, 0, 0
	return n
}

// open appends an empty row.
func (n *node) open(l *level, row int) {
	k, cols := len(n.rows), len(n.tab.item)
	n.rows = append(n.rows, row)
	n.dom = append(n.dom, l.dom[k*cols:][:0:cols])
	n.un = append(n.un, l.un[k*cols:][:0:cols])
}

// keep appends a value to the last row.
func (n *node) keep(c int, cost float64) {
	last := len(n.rows) - 1
	n.dom[last] = append(n.dom[last], c)
	n.un[last] = append(n.un[last], cost)
}

// tighten runs sweeps over a node; false when no wanted completion is left.
func (s *searcher) tighten(n *node, depth, sweeps int) bool {
	if len(n.rows) < 2 {
		return true
	}
	before := math.Inf(-1)
	for k := range sweeps {
		s.ownTable(n, depth)
		if !s.sweep(n, k%2 == 1) || !s.settle(n) {
			return false
		}
		slack := s.slack(n)
		s.filterPairs(n, slack)
		now := n.lower + s.rest(n)
		if n.completions() < fewWays || now-before < worthASweep*slack {
			break
		}
		before = now
	}
	return true
}

// ownTable gives the node a table of its own.
func (s *searcher) ownTable(n *node, depth int) {
	l := &s.levels[depth]
	to := &l.tables[0]
	if n.tab == to {
		to = &l.tables[1]
	}
	to.fill(n, s.task)
}

// explore searches the completions of n.
func (s *searcher) explore(n *node, depth int) {
	s.nodes++
	l := &s.levels[depth]
	l.pending = n.lower + s.rest(n)
	if s.stop() {
		return
	}
	if len(n.rows) == 0 {
		s.found()
		l.pending = inf
		return
	}
	a := s.narrowest(n)
	for _, x := range l.byCost(n.un[a]) {
		if n.un[a][x] > s.slack(n) {
			break
		}
		l.pending = n.lower + s.rest(n) + n.un[a][x]
		if c, ok := s.child(n, depth, a, x); ok {
			s.explore(c, depth+1)
			if s.over {
				return
			}
		}
	}
	l.pending = inf
}

// within runs a search for so many nodes at the most, and reports whether it came
// to its end. If only they ran out, the search is not over.
func (s *searcher) within(nodes int, search func()) bool {
	most := s.most
	s.most = min(most, s.nodes+nodes)
	search()
	ended := !s.over
	s.over = s.over && (s.ctx.Err() != nil || s.nodes > most)
	s.most = most
	return ended
}

// stop notes whether the search has to end, and reports progress.
func (s *searcher) stop() bool {
	if s.nodes > s.most || s.ctx.Err() != nil {
		s.over = true
	}
	if s.report != nil && s.nodes%64 == 0 {
		s.report(s.nodes, s.best(), s.lower())
	}
	return s.over
}

func (s *searcher) best() float64 {
	if len(s.board.list) == 0 {
		return inf
	}
	return s.board.list[0].cost
}

// lower bounds every assignment, seen or not.
func (s *searcher) lower() float64 {
	low := min(s.best(), s.floor)
	for d := range s.levels {
		low = min(low, s.levels[d].pending)
	}
	return low
}

// found lists the assignment in x and, when it is the best so far, what is
// near it.
func (s *searcher) found() {
	if s.list(s.task.cost(s.x), s.x) {
		s.climb(slices.Clone(s.x))
	}
}

// list puts an assignment and its images on the board, and reports whether one
// of them is now the best there.
func (s *searcher) list(cost float64, x []int) (best bool) {
	if s.rivals != nil && cost <= s.rivals.limit()+tie {
		for _, m := range s.images {
			s.rivals.add(entry{cost: cost, x: s.called(m.of(x)), order: m.order})
		}
	}
	if cost > s.limit() {
		return false
	}
	put := func(e entry) { best = s.board.add(e) && s.board.list[0].compare(e) == 0 || best }
	all := make([]entry, 0, 4)
	for _, m := range s.images {
		all = append(all, entry{cost: cost, x: s.called(m.of(x)), order: m.order})
	}
	if s.fold {
		put(slices.MinFunc(all, entry.compare))
		return best
	}
	for _, e := range all {
		put(e)
	}
	return best
}

// called returns what an assignment is on the board.
func (s *searcher) called(x []int) []int {
	if s.items == nil {
		return x
	}
	y := make([]int, len(x))
	for k, i := range x {
		y[k] = s.items[i]
	}
	return y
}

// narrowest returns the open row with the fewest values. Of those that are
// level it is the first from the bow, or from either end where a line-up is
// also listed end for end: what ties is known by its names from there.
func (s *searcher) narrowest(n *node) int {
	turned := slices.ContainsFunc(s.images, func(m image) bool { return m.turned })
	best, first := 0, math.MaxInt
	for a, dom := range n.dom {
		seat := n.tab.seat[n.rows[a]]
		if turned {
			seat = min(seat, s.task.seats-1-seat)
		}
		if width := len(dom) - len(n.dom[best]); width < 0 || width == 0 && seat < first {
			best, first = a, seat
		}
	}
	return best
}

// byCost orders the values of a row by cost; those that tie keep their order,
// which is by name.
func (l *level) byCost(un []float64) []int {
	l.values = l.values[:0]
	for x := range un {
		l.values = append(l.values, x)
	}
	slices.SortFunc(l.values, func(x, y int) int {
		return cmp.Or(cmp.Compare(math.Round(un[x]/tie), math.Round(un[y]/tie)), x-y)
	})
	return l.values
}

// child returns n with value x of row a chosen; false when that leaves no
// completion worth listing.
func (s *searcher) child(n *node, depth, a, x int) (*node, bool) {
	k := s.reset(depth+1, n.tab)
	s.place(k, n, a, x)
	r, c := n.rows[a], n.dom[a][x]
	for o := range n.rows {
		if o != a && !k.condition(&s.levels[depth+1], n, o, r, c) {
			return nil, false
		}
	}
	s.benchEmpty(k)
	if len(k.rows) == 0 {
		return k, s.slack(k) >= 0 && !s.beaten(k)
	}
	if !s.settle(k) || s.beaten(k) {
		return nil, false
	}
	if len(k.rows) >= 3 && k.completions() > manyWays {
		return k, s.tighten(k, depth+1, nodeSweeps)
	}
	return k, true
}

// place makes k, still without rows, the node n with value x of row a chosen.
func (s *searcher) place(k, n *node, a, x int) {
	t := n.tab
	r, c := n.rows[a], n.dom[a][x]
	seat, item := t.seat[r], t.item[c]
	s.x[seat] = item
	copy(k.placed, n.placed)
	k.placed[seat] = true
	k.lower = n.lower + n.un[a][x]
	k.perLoad = n.perLoad
	k.power = n.power + s.task.power[item]
	k.load = n.load + s.task.load[item]
	k.marks = n.marks
	if s.task.marked[item] {
		k.marks++
	}
	copy(k.alive, n.alive)
	k.alive[c] = false
	for j, cost := range t.benchOf(r, c) {
		k.bench[j] = n.bench[j] + cost
	}
	n.at.copyTo(&k.at)
}

// condition opens row o of n in k, with what its values cost beside column c
// in table row r; false when none is left.
func (k *node) condition(l *level, n *node, o, r, c int) bool {
	k.open(l, n.rows[o])
	line, stride := n.tab.line(r, c, n.rows[o])
	for y, d := range n.dom[o] {
		if cost := line[d*stride]; d != c && cost < inf {
			k.keep(d, n.un[o][y]+cost)
		}
	}
	return len(k.dom[len(k.dom)-1]) > 0
}

// beaten reports whether every completion of n, at best, ties with the last
// entry of a full board and comes after it by name, and so do all its images.
func (s *searcher) beaten(n *node) bool {
	last, full := s.board.full()
	if !full || n.lower+s.rest(n) < last.cost-tie {
		return false
	}
	for a, r := range n.rows {
		least := len(s.task.load)
		for _, c := range n.dom[a] {
			least = min(least, n.tab.item[c])
		}
		s.x[n.tab.seat[r]] = least
	}
	return !slices.ContainsFunc(s.images, func(m image) bool {
		first := entry{cost: last.cost, x: s.called(m.of(s.x)), order: m.order}
		return first.compare(last) < 0
	})
}

func isNegative(v float64) bool { return v < 0 }
