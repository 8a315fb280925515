package lineup

import (
	"context"
	"slices"

	"thole/selection"
)

// Swap is what an exchange of two athletes would do to a line-up.
type Swap struct {
	First     string // the athlete in Seat
	Second    string // the athlete in OtherSeat, or on the bench
	Seat      int    // 1 is bow
	OtherSeat int    // 0 when Second is on the bench

	// Possible is false when one of them cannot row the other's side; then
	// there is nothing to compare.
	Possible bool
	Change   float64 // s, positive when the line-up gets worse
	Terms    Terms   // the change of each term
	Power    float64 // s, the part of the change of pace that is the power's
	Mass     float64 // s, and the part that is the mass's
	Breaks   []Rule  // that the changed line-up does not keep
}

// Swaps returns, for every pair of athletes in the boat and every athlete in
// it with every one on the bench, what their exchange would change. The sides
// stay with the seats. Seats come bow first, the bench by name.
func Swaps(p Problem, l selection.Lineup) ([]Swap, error) {
	q, crew, r, err := place(p, l)
	if err != nil {
		return nil, err
	}
	base := q.terms(crew, r)
	var swaps []Swap
	for s := range crew {
		for t := s + 1; t < len(crew); t++ {
			swaps = append(swaps, q.swap(crew, r, base, s, crew[t], t))
		}
		for j := range q.athletes {
			if !slices.Contains(crew, j) {
				swaps = append(swaps, q.swap(crew, r, base, s, j, -1))
			}
		}
	}
	return swaps, nil
}

// swap exchanges the athlete in seat s with athlete j, who has seat t or, for
// t < 0, none.
func (q *squad) swap(crew []int, r *rig, base Terms, s, j, t int) Swap {
	i := crew[s]
	out := Swap{First: q.athletes[i].ID, Second: q.athletes[j].ID, Seat: s + 1, OtherSeat: t + 1}
	next := slices.Clone(crew)
	next[s] = j
	if t >= 0 {
		next[t] = i
	}
	if q.sweep() && (!q.canRow(j, r.sides[s]) || t >= 0 && !q.canRow(i, r.sides[t])) {
		return out
	}
	out.Possible = true
	terms := q.terms(next, r)
	out.Change = terms.Total() - base.Total()
	out.Terms = Terms{
		Pace: terms.Pace - base.Pace, Side: terms.Side - base.Side, Seat: terms.Seat - base.Seat,
		Likeness: terms.Likeness - base.Likeness, Yaw: terms.Yaw - base.Yaw, Rig: terms.Rig - base.Rig,
	}
	out.Breaks = q.broken(next, r)
	if t < 0 {
		out.Power, out.Mass = q.apart(crew, next)
	}
	return out
}

// apart splits the change of pace from one crew to another into what the power
// does and what the mass does: the mean of what each does before and after the
// other has changed, so that the two add up (L. S. Shapley, "A value for n-person
// games", Contributions to the Theory of Games II, 1953, p. 307).
func (q *squad) apart(from, to []int) (power, mass float64) {
	p, m := q.crewSum(from)
	p2, m2 := q.crewSum(to)
	time := q.p.Pace.Time
	power = (time(p2, m) - time(p, m) + time(p2, m2) - time(p, m2)) / 2
	mass = (time(p, m2) - time(p, m) + time(p2, m2) - time(p2, m)) / 2
	return power, mass
}

// Loss is what the crew would lose without one athlete.
type Loss struct {
	ID       string
	Seat     int     // in the line-up asked about; 1 is bow
	Possible bool    // whether the rules can be kept without them
	Best     Scored  // the best line-up without them
	Cost     float64 // s by which Best is worse than the line-up asked about
	Proven   bool
}

// Without returns, for each athlete of a line-up, bow first, the best line-up
// that can do without them. The athlete's own pins and musts are dropped, all
// other rules kept. A search that ctx cut short is marked as not proven.
func Without(ctx context.Context, p Problem, l selection.Lineup) ([]Loss, error) {
	q, crew, r, err := place(p, l)
	if err != nil {
		return nil, err
	}
	base := q.terms(crew, r).Total()
	losses := make([]Loss, len(crew))
	inParallel(len(crew), func(s int) {
		losses[s] = q.without(ctx, crew[s])
		losses[s].Seat = s + 1
		losses[s].Cost = losses[s].Best.Terms.Total() - base
		if !losses[s].Possible {
			losses[s].Cost = 0
		}
	})
	return losses, nil
}

func (q *squad) without(ctx context.Context, i int) Loss {
	out := Loss{ID: q.athletes[i].ID}
	rules := q.p.Rules
	rules.Pins = slices.DeleteFunc(slices.Clone(rules.Pins), func(p Pin) bool { return p.ID == out.ID })
	rules.Must = slices.DeleteFunc(slices.Clone(rules.Must), func(id string) bool { return id == out.ID })
	rules.Out = append(slices.Clone(rules.Out), out.ID)
	found := q.search(ctx, q.limits(rules), Options{})
	out.Proven = found.proven
	if len(found.list) > 0 {
		out.Possible = true
		out.Best = q.scored(found.list[0].x, found.rigs[found.list[0].order])
	}
	return out
}

// NextCrew is the best line-up of other people.
type NextCrew struct {
	Possible bool    // whether the rules leave another crew
	Best     Scored  // its best line-up
	Cost     float64 // s by which Best is worse than the line-up asked about
	Proven   bool    // that no other crew is better
}

// NextBest returns the best line-up of a crew other than the one whose losses
// are given, as [Without] returns them for the problem. Every other crew lacks
// one of its athletes, so it is the least of the losses of those who do not
// have to row.
func NextBest(p Problem, losses []Loss) NextCrew {
	next := NextCrew{Proven: true}
	for i := range losses {
		l := &losses[i]
		if p.Rules.mustRow(l.ID) {
			continue
		}
		next.Proven = next.Proven && l.Proven
		if l.Possible && (!next.Possible || l.Cost < next.Cost-tie) {
			next.Possible, next.Best, next.Cost = true, l.Best, l.Cost
		}
	}
	return next
}

// mustRow reports whether an athlete has to row or has a seat.
func (r *Rules) mustRow(id string) bool {
	return slices.Contains(r.Must, id) || slices.ContainsFunc(r.Pins, func(p Pin) bool { return p.ID == id })
}
