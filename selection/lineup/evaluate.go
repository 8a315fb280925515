package lineup

import (
	"slices"

	"thole/rigging"
	"thole/selection"
)

// Evaluate returns what a given line-up costs, whether or not it keeps the
// rules of the problem; [Broken] returns which ones it does not. The sides may
// be left out where the pattern gives them all. An athlete on a side they
// cannot row is an error.
func Evaluate(p Problem, l selection.Lineup) (Scored, error) {
	q, crew, r, err := place(p, l)
	if err != nil {
		return Scored{}, err
	}
	return q.scored(crew, r), nil
}

// Broken returns the rules that a line-up does not keep.
func Broken(p Problem, l selection.Lineup) ([]Rule, error) {
	q, crew, r, err := place(p, l)
	if err != nil {
		return nil, err
	}
	return q.broken(crew, r), nil
}

// place checks a problem and a line-up and turns both into numbers.
func place(p Problem, l selection.Lineup) (q *squad, crew []int, r *rig, err error) {
	if q, err = prepare(p); err != nil {
		return nil, nil, nil, err
	}
	c := &checker{p: p, known: map[string]bool{}}
	sides := l.Sides
	if len(sides) == 0 && q.sweep() {
		sides = p.Pattern
	}
	c.lineup(q, l.Seats, sides)
	if len(c.errors) > 0 {
		return nil, nil, nil, c.errors
	}
	for _, id := range l.Seats {
		crew = append(crew, q.index[id])
	}
	return q, crew, q.rig(slices.Clone(sides)), nil
}

// lineup checks that the athletes and their sides make a crew.
func (c *checker) lineup(q *squad, ids []string, sides []rigging.Side) {
	if len(ids) != q.seats {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(selection.FieldLineup, rigging.FieldSeats), "%d athletes are given for %d seats", len(ids), q.seats)
		return
	}
	want := q.seats
	if !q.sweep() {
		want = 0
	}
	if len(sides) != want {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(selection.FieldLineup, selection.FieldSides), "%d sides are given and %d are needed", len(sides), want)
		return
	}
	for s, id := range ids {
		at := rigging.PlaceOf(selection.FieldLineup, rigging.FieldSeats).Item(s)
		i, ok := q.index[id]
		switch {
		case !ok:
			c.add(rigging.ProblemUnknown, at, "no candidate is called %q", id)
		case c.known[id]:
			c.add(rigging.ProblemMismatch, at, "%s has two seats", calledBy(q.athletes[i]))
		case q.sweep() && !q.canRow(i, sides[s]):
			c.add(rigging.ProblemMismatch, at, "%s cannot row on the side of seat %d", calledBy(q.athletes[i]), s+1)
		}
		c.known[id] = true
	}
}
