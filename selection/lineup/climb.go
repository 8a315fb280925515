package lineup

import "slices"

// climb lists a good assignment and its neighbours: from x it moves to the
// best exchange of two items, seated or not, as long as that helps.
func (s *searcher) climb(x []int) {
	cost := s.task.cost(x)
	s.board.add(entry{cost: cost, x: x, order: s.order})
	for {
		next, at := s.bestExchange(x)
		if !(at < cost) {
			return
		}
		copy(x, next)
		cost = at
	}
}

// bestExchange lists every assignment one exchange away from x and returns
// the cheapest with its cost.
func (s *searcher) bestExchange(x []int) (best []int, cost float64) {
	best, cost = slices.Clone(x), inf
	y := slices.Clone(x)
	for a := range x {
		for i := range s.task.items {
			o := slices.Index(x, i)
			if o >= 0 && o <= a || s.task.unary[a][i] == inf {
				continue
			}
			y[a] = i
			if o >= 0 {
				y[o] = x[a]
			}
			if c := s.task.cost(y); c < inf {
				s.board.add(entry{cost: c, x: y, order: s.order})
				if c < cost {
					cost = c
					copy(best, y)
				}
			}
			y[a] = x[a]
			if o >= 0 {
				y[o] = i
			}
		}
	}
	return best, cost
}
