package lineup

import (
	"cmp"
	"math"
	"slices"
)

// Two boats at once are searched by branch and bound. That nobody rows in both
// is priced: with a price λ_i ≥ 0 on each athlete, paid by each boat that takes
// them and given back once, each boat finds its best line-up for itself, and the
// two add up to a bound of every two line-ups that share nobody (A. M. Geoffrion,
// "Lagrangean relaxation for integer programming", Mathematical Programming Study
// 2, 1974, p. 82). Where the boat that gives up more counts, the two are weighed μ
// and 1 − μ, which is a bound whatever μ is. Prices and weight rise to where the
// bound is best by subgradient steps (M. Held, P. Wolfe and H. P. Crowder,
// "Validation of subgradient optimization", Mathematical Programming 6, 1974,
// p. 62). Whoever is wanted by both is then kept out of one or the other.

// part are the pairs of line-ups within strict, with the bound of all of them.
type part struct {
	strict [2]strict
	price  []float64 // λ
	share  float64   // μ of the first boat
	lower  float64
	duo    duo  // good line-ups of each boat under the prices
	lost   bool // a boat may have a line-up that was not found
}

// Steps of the prices, by trial on the benchmarks (engineering judgement).
const (
	relaxNodes = 1    // of the search of one boat under prices
	sharpNodes = 3000 // of the same, once, at the prices found best
	rootSteps  = 60
	partSteps  = 6
	climbs     = 8 // steps of the prices from one climb to the next, at the root
)

// balance searches for the two boats that do best by an aim for both.
func (w *two) balance() {
	root := part{strict: w.start, price: make([]float64, w.n), share: 0.5, lower: -inf}
	if !w.bound(&root, rootSteps) {
		w.lower, w.ended = root.lower, w.ctx.Err() == nil
		return
	}
	open := []part{root}
	for len(open) > 0 {
		w.lower = math.Inf(1)
		for k := range open {
			w.lower = min(w.lower, open[k].lower)
		}
		w.progress()
		if w.lower > w.value-Certain {
			w.ended = true
			return
		}
		if w.ctx.Err() != nil {
			return
		}
		k := leastPart(open)
		one := open[k]
		open = slices.Delete(open, k, k+1)
		var stopped bool
		for _, next := range w.branch(&one) {
			if w.bound(&next, partSteps) {
				open = append(open, next)
			} else if w.ctx.Err() != nil {
				open, stopped = append(open, next), true
			}
		}
		if stopped {
			one.lower = max(one.lower, w.lower)
			w.lower = min(one.lower, w.value)
			return
		}
	}
	w.lower, w.ended = w.value, true
}

func leastPart(open []part) int {
	least := 0
	for k := range open {
		if open[k].lower < open[least].lower {
			least = k
		}
	}
	return least
}

// bound raises the bound of a part by so many steps of its prices; false when no
// two line-ups of it can be better than the best found.
func (w *two) bound(p *part, steps int) bool {
	theta, best := 1.0, *p
	if w.aim == AimSlower {
		// Neither boat can do better than by itself.
		for k := range w.boats {
			alone := part{strict: p.strict, price: make([]float64, w.n), share: float64(1 - k)}
			v, ok := w.relax(&alone, w.patience(&alone))
			if !ok && !alone.lost {
				return false
			}
			best.lower = max(best.lower, v)
		}
	}
	now := *p
	stale := 0
	for step := range steps {
		v, ok := w.relax(&now, w.patience(&now))
		if now.lost {
			break
		}
		if !ok {
			return false
		}
		if v > best.lower+tie {
			stale = 0
		} else if stale++; stale == 3 {
			theta, stale = theta/2, 0
		}
		if v >= best.lower {
			best.lower, best.price, best.share = v, slices.Clone(now.price), now.share
		}
		best.duo = now.duo
		if step%climbs == 0 {
			w.climbFrom(&now)
		}
		if steps == rootSteps {
			w.lower = best.lower
			w.progress()
		}
		if best.lower > w.value-Certain || w.ctx.Err() != nil {
			break
		}
		if !w.raise(&now, theta, v) {
			break
		}
	}
	if steps == rootSteps && best.lower <= w.value-Certain {
		sharp := best
		if v, ok := w.relax(&sharp, sharpNodes); ok && v > best.lower {
			best.lower, best.duo = v, sharp.duo
		}
	}
	p.lower, p.price, p.share, p.duo = best.lower, best.price, best.share, best.duo
	return p.lower <= w.value-Certain
}

// weights are what a second that a boat gives up counts for in a part.
func (w *two) weights(p *part) [2]float64 {
	if w.aim == AimSlower {
		return [2]float64{p.share, 1 - p.share}
	}
	return [2]float64{1, 1}
}

// patience is how many nodes the search for one boat may take in a part. A search
// that is cut short has a bound, too, and a part whose places are all taken has
// little to search.
func (w *two) patience(p *part) int {
	if w.undecided(p) < 0 {
		return math.MaxInt
	}
	return relaxNodes
}

// relax finds good line-ups of each boat under the prices of a part, and the
// bound that the boats make; false when a boat has none, or none was found.
func (w *two) relax(p *part, nodes int) (bound float64, ok bool) {
	weight := w.weights(p)
	var found [2]outcome
	inParallel(2, func(k int) {
		if weight[k] == 0 {
			return
		}
		for i, price := range p.price {
			w.boats[k].price[i] = price / weight[k]
		}
		found[k] = w.boats[k].within(w.ctx, p.strict[k], nodes)
	})
	for _, price := range p.price {
		bound -= price
	}
	for k, b := range w.boats {
		if weight[k] == 0 {
			continue
		}
		w.nodes += found[k].nodes
		if len(found[k].list) == 0 {
			p.lost = !found[k].proven
			return -inf, false
		}
		e := found[k].list[0]
		bound += weight[k] * (found[k].lower - b.alone)
		p.duo.crew[k], p.duo.rig[k] = e.x, b.rigs[e.order]
	}
	return bound, true
}

// raise moves the prices of a part towards a better bound; false when they are
// best.
func (w *two) raise(p *part, theta, bound float64) bool {
	wanted := make([]float64, w.n)
	for i := range wanted {
		wanted[i] = -1
	}
	for _, crew := range p.duo.crew {
		for _, i := range crew {
			wanted[i]++
		}
	}
	square := 0.0
	for i, g := range wanted {
		if g > 0 || g < 0 && p.price[i] > 0 {
			square += g * g
		} else {
			wanted[i] = 0
		}
	}
	tilt := 0.0
	if w.aim == AimSlower {
		tilt = w.boats[0].cost(p.duo.crew[0], p.duo.rig[0]) - w.boats[0].alone - w.boats[1].cost(p.duo.crew[1], p.duo.rig[1]) + w.boats[1].alone
	}
	if square == 0 && tilt == 0 {
		return false
	}
	goal := w.value
	if goal == inf {
		goal = bound + 1
	}
	length := theta * (goal - bound) / (square + tilt*tilt)
	p.price = slices.Clone(p.price)
	for i, g := range wanted {
		p.price[i] = max(0, p.price[i]+length*g)
	}
	p.share = min(max(p.share+length*tilt, 0.02), 0.98)
	return true
}

// branch sorts the pairs of a part into parts: by an athlete whom both boats want,
// or else by one whose place is open.
func (w *two) branch(p *part) []part {
	with := func(i int, in [2]int8) part {
		next := *p
		for k := range next.strict {
			next.strict[k] = slices.Clone(p.strict[k])
			if in[k] != 0 {
				next.strict[k][i] = in[k]
			}
		}
		return next
	}
	for _, i := range w.boats[0].q.byWorth(p.duo.crew[0]) {
		if slices.Contains(p.duo.crew[1], i) {
			return []part{with(i, [2]int8{-1, 0}), with(i, [2]int8{0, -1})}
		}
	}
	if i := w.undecided(p); i >= 0 {
		return []part{with(i, [2]int8{1, -1}), with(i, [2]int8{-1, 1}), with(i, [2]int8{-1, -1})}
	}
	return nil
}

// undecided is the athlete whose place is open that matters most: of the highest
// price, or of those without the one worth most to the first boat; −1 for none.
func (w *two) undecided(p *part) int {
	var open []int
	for i := range w.n {
		if p.strict[0][i] == 0 && p.strict[1][i] == 0 || p.strict[0][i] == 0 && p.strict[1][i] < 0 || p.strict[0][i] < 0 && p.strict[1][i] == 0 {
			open = append(open, i)
		}
	}
	if len(open) == 0 {
		return -1
	}
	order := w.boats[0].q.byWorth(open)
	return slices.MaxFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(p.price[i], p.price[j]), slices.Index(order, j)-slices.Index(order, i))
	})
}

// climbFrom makes two line-ups of what the boats want for themselves, and
// improves them by exchanges of athletes as long as that helps.
func (w *two) climbFrom(p *part) {
	for k := range w.boats {
		if d := w.mend(p, k); d != nil {
			w.climb(d)
		}
	}
}

// mend keeps the crew of boat k and gives the other boat others for whom it shares;
// nil when that cannot be.
func (w *two) mend(p *part, k int) *duo {
	d := &duo{rig: p.duo.rig}
	d.crew[k], d.crew[1-k] = slices.Clone(p.duo.crew[k]), slices.Clone(p.duo.crew[1-k])
	shares := slices.ContainsFunc(d.crew[1-k], func(i int) bool { return slices.Contains(d.crew[k], i) })
	if !shares {
		return d
	}
	b := w.boats[1-k]
	s := slices.Clone(p.strict[1-k])
	for _, i := range d.crew[k] {
		if s[i] > 0 {
			return nil
		}
		s[i] = -1
	}
	clear(b.price)
	found := b.best(w.ctx, s)
	w.nodes += found.nodes
	if len(found.list) == 0 {
		return nil
	}
	d.crew[1-k], d.rig[1-k] = found.list[0].x, b.rigs[found.list[0].order]
	return d
}

// climb exchanges athletes between the boats and with those in neither, one pair
// at a time, as long as the aim gains by it; then each boat's order is searched.
func (w *two) climb(d *duo) {
	if !w.keep(d) && w.found != nil && w.worth(d) > w.value+1 {
		return
	}
	best := w.worth(d)
	for w.ctx.Err() == nil {
		next, v := w.bestStep(d)
		if next == nil || v >= best-tie {
			break
		}
		d, best = next, v
	}
	w.keep(w.reordered(d))
}

// bestStep is the best exchange of two athletes; nil when the rules allow none.
func (w *two) bestStep(d *duo) (best *duo, value float64) {
	value = inf
	cost := [2]float64{w.boats[0].cost(d.crew[0], d.rig[0]), w.boats[1].cost(d.crew[1], d.rig[1])}
	try := func(next [2][]int, changed ...int) {
		after := cost
		for _, k := range changed {
			if !w.boats[k].permits(next[k], d.rig[k], w.start[k]) {
				return
			}
			after[k] = w.boats[k].cost(next[k], d.rig[k])
		}
		if v := w.judge(after); v < value {
			best, value = &duo{[2][]int{slices.Clone(next[0]), slices.Clone(next[1])}, d.rig}, v
		}
	}
	next := [2][]int{slices.Clone(d.crew[0]), slices.Clone(d.crew[1])}
	for s, i := range d.crew[0] {
		for u, j := range d.crew[1] {
			next[0][s], next[1][u] = j, i
			try(next, 0, 1)
			next[0][s], next[1][u] = i, j
		}
	}
	for k, crew := range d.crew {
		for s, i := range crew {
			for j := range w.n {
				if slices.Contains(d.crew[0], j) || slices.Contains(d.crew[1], j) {
					continue
				}
				next[k][s] = j
				try(next, k)
				next[k][s] = i
			}
		}
	}
	return best, value
}

// permits reports whether a line-up of the boat keeps its rules, and strict.
func (b *boatSearch) permits(crew []int, r *rig, s strict) bool {
	for seat, i := range crew {
		if s[i] < 0 || b.q.sweep() && !b.q.canRow(i, r.sides[seat]) {
			return false
		}
	}
	return len(b.q.broken(crew, r)) == 0
}

// reordered gives the crews their best orders.
func (w *two) reordered(d *duo) *duo {
	out := &duo{}
	for k, b := range w.boats {
		s := make(strict, w.n)
		for i := range s {
			s[i] = -1
		}
		for _, i := range d.crew[k] {
			s[i] = 1
		}
		clear(b.price)
		found := b.best(w.ctx, s)
		w.nodes += found.nodes
		out.crew[k], out.rig[k] = d.crew[k], d.rig[k]
		if len(found.list) > 0 {
			out.crew[k], out.rig[k] = found.list[0].x, b.rigs[found.list[0].order]
		}
	}
	return out
}
