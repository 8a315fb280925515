package lineup

import "slices"

// climb lists a good assignment and its neighbours: from x it moves to the
// best exchange of two items, seated or not, as long as that helps.
func (s *searcher) climb(x []int) {
	s.task.chosen(x)
	cost := s.task.cost(x)
	s.list(cost, x)
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
	y, z := slices.Clone(x), slices.Clone(x)
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
			copy(z, y)
			s.task.chosen(z)
			if c := s.task.cost(z); c < inf {
				s.list(c, z)
				if c < cost {
					cost = c
					copy(best, z)
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
