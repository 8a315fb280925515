package seatrace

import (
	"fmt"
	"math"
	"slices"

	"thole/rigging"
	"thole/selection"
)

// Expected is how certain a schedule will make one difference.
type Expected struct {
	First, Second string
	Asked         bool
	Estimable     bool
	SD            float64 // standard error, s; 0 when not estimable
	Why           string  // why it is not estimable
	// Pieces is how many pieces of this kind it takes to show Setup.Smallest;
	// 0 when there is nothing to show or the schedule cannot show it.
	Pieces int
}

// Change lists who changes place between two pieces.
type Change struct {
	Movers []string
	Swaps  int // pairs, an odd mover counting as one
}

// Forecast is what a schedule will show, before anyone rows.
type Forecast struct {
	Differences []Expected // every two athletes of the squad
	// Missing counts the wanted differences that stay open.
	Missing int
	// SD is the root mean variance of the other comparisons, s.
	SD float64
	// Rank is the number of independent differences settled.
	Rank int
	// NotEstimable says in words what stays open, and why.
	NotEstimable []string
	// Changes holds the step to every piece from the one before; one fewer
	// than pieces.
	Changes []Change
	// Faults says where the schedule breaks the rules of the setup.
	Faults []string
	// Truth says in words what the schedule cannot show.
	Truth []string
}

// Evaluate predicts what a schedule will show. Times in it are ignored. It
// returns rigging.FieldErrors for crews that cannot be; too many changes and
// sides that cannot be filled are answered in Faults.
func Evaluate(schedule []selection.Piece, s Setup) (*Forecast, error) {
	schedule = crewsOnly(schedule)
	errs := append(s.check(), s.checkSchedule(schedule)...)
	if errs != nil {
		return nil, errs
	}
	return s.forecast(schedule), nil
}

// forecast evaluates a sound schedule.
func (s *Setup) forecast(schedule []selection.Piece) *Forecast {
	t := newTable(schedule, s.ids(), s.Class.Rowers)
	d := newDesign(t, s.Model)
	sol := d.solve()
	groups := newComparison(t, d, sol, s.Model, s.sides())
	f := &Forecast{Rank: sol.rank, NotEstimable: groups.sentences()}
	wanted := map[[2]int]bool{}
	for _, p := range t.pairs(s.Asked) {
		wanted[[2]int{min(p[0], p[1]), max(p[0], p[1])}] = true
	}
	for i := range t.ids {
		for j := i + 1; j < len(t.ids); j++ {
			f.add(s.expect(groups, sol, i, j, len(schedule)), wanted[[2]int{i, j}])
		}
	}
	f.SD = math.Sqrt(f.SD / float64(max(len(wanted)-f.Missing, 1)))
	f.changes(schedule, t.ids)
	s.fault(f, schedule)
	f.Truth = s.truth(f, schedule)
	return f
}

// expect predicts one difference.
func (s *Setup) expect(groups *comparison, sol *solution, i, j, pieces int) Expected {
	e := Expected{First: groups.ids[i], Second: groups.ids[j], Estimable: groups.same(i, j)}
	if !e.Estimable {
		e.Why = groups.why(i, j)
		return e
	}
	e.SD = s.NoiseSD * math.Sqrt(max(pairForm(sol.cov, i, j), 0))
	if s.Smallest > 0 {
		e.Pieces = PiecesToShow(s.Smallest, e.SD, pieces)
	}
	return e
}

// add enters one difference; f.SD gathers the wanted variances.
func (f *Forecast) add(e Expected, wanted bool) {
	e.Asked = wanted
	f.Differences = append(f.Differences, e)
	switch {
	case wanted && e.Estimable:
		f.SD += e.SD * e.SD
	case wanted:
		f.Missing++
	}
}

// changes lists who moves between the pieces.
func (f *Forecast) changes(schedule []selection.Piece, ids []string) {
	for r := 1; r < len(schedule); r++ {
		var c Change
		for _, id := range ids {
			if boatOf(schedule[r-1], id) != boatOf(schedule[r], id) {
				c.Movers = append(c.Movers, id)
			}
		}
		c.Swaps = (len(c.Movers) + 1) / 2
		f.Changes = append(f.Changes, c)
	}
}

// boatOf returns the boat of an athlete, -1 ashore.
func boatOf(p selection.Piece, id string) int {
	return slices.IndexFunc(p.Crews, func(crew []string) bool { return slices.Contains(crew, id) })
}

// fault notes where the schedule breaks the rules.
func (s *Setup) fault(f *Forecast, schedule []selection.Piece) {
	for k, c := range f.Changes {
		if s.Swaps > 0 && c.Swaps > s.Swaps {
			f.Faults = append(f.Faults, fmt.Sprintf("before piece %d %s change places: more than the %d allowed", k+2, nameList(c.Movers), 2*s.Swaps))
		}
	}
	if s.Class.Scull {
		return
	}
	athletes := map[string]selection.Athlete{}
	for _, a := range s.Athletes {
		athletes[a.ID] = a
	}
	for r, p := range schedule {
		for b, crew := range p.Crews {
			f.faultSides(r, b, crew, athletes, s.Class.Rowers)
		}
	}
}

// faultSides notes a boat that has too many rowers of one side; half of the
// seats are on each.
func (f *Forecast) faultSides(r, b int, crew []string, athletes map[string]selection.Athlete, seats int) {
	for _, side := range []rigging.Side{rigging.Port, rigging.Starboard} {
		var bound []string
		for _, id := range crew {
			if !rows(athletes[id], side.Other()) {
				bound = append(bound, id)
			}
		}
		if len(bound) > seats/2 {
			f.Faults = append(f.Faults, fmt.Sprintf("piece %d, boat %d: %s row %s only, for %d such seats", r+1, b+1, nameList(bound), side, seats/2))
		}
	}
}
