package speed

import (
	"math"

	"thole/rigging"
)

// EntryCost is what an entry costs against the free catch, at which every
// blade is covered once it matches the water: no entry costs less.
type EntryCost struct {
	Start float64 // s against the reversal of the hands

	ForceTime  float64 // s over the distance, at equal force
	PowerTime  float64 // s at equal power
	PowerForce float64 // how much harder each stroke is pulled at equal power, in parts of one
}

// BestEntry holds the best moments for a blade to start down.
type BestEntry struct {
	Force EntryCost // the cheapest at equal force: for a rower short of force
	Power EntryCost // the cheapest at equal power: for a rower short of power
}

// EntryCosts returns the cost of one way into the water, in every seat, at each
// moment of starts. It errs like Price.
func (s *Stroke) EntryCosts(distance float64, e Entry, starts []float64) ([]EntryCost, error) {
	c, err := s.costing(distance, e)
	if err != nil {
		return nil, err
	}
	out := make([]EntryCost, len(starts))
	for i, start := range starts {
		if out[i], err = c.at(start); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// The search for the best moment; engineering judgement: a millisecond is below
// what anybody can time.
const (
	entryGrid   = 0.025 // s, in which the best moment is first sought
	latestEntry = 0.12  // s after the reversal; no later one was found best
	entryTight  = 0.001 // s, how closely it is found
)

// BestEntry finds the best moments for a blade carried at e.Height to start
// down at e.Sink, in every seat; e.Start is not read. It errs like Price.
func (s *Stroke) BestEntry(distance float64, e Entry) (BestEntry, error) {
	c, err := s.costing(distance, e)
	if err != nil {
		return BestEntry{}, err
	}
	first := -(e.Height + s.Seats[0].BladeHeight) / e.Sink
	var costs []EntryCost
	for start := first; start <= latestEntry; start += entryGrid {
		cost, err := c.at(start)
		if err == ErrNoStroke {
			break // so late that nothing is left to pull
		}
		if err != nil {
			return BestEntry{}, err
		}
		costs = append(costs, cost)
	}
	force, err := c.finest(costs, func(e EntryCost) float64 { return e.ForceTime })
	if err != nil {
		return BestEntry{}, err
	}
	power, err := c.finest(costs, func(e EntryCost) float64 { return e.PowerTime })
	return BestEntry{force, power}, err
}

// costing prices entries against the free catch.
type costing struct {
	pricer pricer
	base   *baseline
	entry  Entry
}

func (s *Stroke) costing(distance float64, e Entry) (*costing, error) {
	free := s.with(EverySeat, func(seat Seat) Seat { seat.Entry = Entry{}; return seat })
	if errs := outside("distance", distance, minDistance, maxDistance, rigging.Count); len(errs) > 0 {
		return nil, errs
	}
	c := &costing{pricer: pricer{distance: distance}, entry: e}
	if e.Start = 0; e == (Entry{}) {
		return nil, refusal("entry", "an entry needs the height of the blade and its speed downwards")
	}
	base, err := c.pricer.base(free)
	if err != nil {
		return nil, err
	}
	entered := free.with(EverySeat, Enter(e))
	c.base = base
	return c, entered.check()
}

// at returns the cost at one moment.
func (c *costing) at(start float64) (EntryCost, error) {
	e := c.entry
	e.Start = start
	q, err := c.pricer.quote(c.base, EverySeat, Enter(e))
	return EntryCost{start, q.forceTime, q.powerTime, q.powerForce}, err
}

// finest narrows the cheapest of the costs between its neighbours by golden
// sections. There is always one: the free catch bounds them all.
func (c *costing) finest(costs []EntryCost, of func(EntryCost) float64) (EntryCost, error) {
	if len(costs) == 0 {
		return EntryCost{}, ErrNoStroke
	}
	best := costs[0]
	for _, cost := range costs {
		if of(cost) < of(best) {
			best = cost
		}
	}
	low, high := best.Start-entryGrid, best.Start+entryGrid
	golden := (math.Sqrt(5) - 1) / 2
	for high-low > entryTight {
		a, errA := c.at(high - golden*(high-low))
		b, errB := c.at(low + golden*(high-low))
		if errA != nil || errB != nil {
			return best, nil
		}
		if of(a) < of(b) {
			high = b.Start
		} else {
			low = a.Start
		}
		for _, cost := range [...]EntryCost{a, b} {
			if of(cost) < of(best) {
				best = cost
			}
		}
	}
	return best, nil
}
