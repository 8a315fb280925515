package lineup

import (
	"context"
	"fmt"
	"math"

	"thole/rigging"
)

// Shortage is one thing that is needed and not there.
type Shortage struct {
	Side       rigging.Side // zero when any side will do
	Seat       int          // the seat that nobody may take; 0 when it is not one seat
	Sex        rigging.Sex  // of a quota that cannot be filled; zero for rowers of either sex
	Seats      bool         // whether it is seats that are short, and not rowers
	Quotas     bool         // whether the quotas leave too few, and not the squad
	Need, Have int          // rowers, or seats

	// Lightest is the least that a crew which keeps the other rules weighs on
	// average, kg, where that is more than allowed; 0 when it is not that.
	Lightest float64
}

// String reports the shortage in words.
func (s Shortage) String() string {
	switch {
	case s.Lightest > 0:
		// Rounded up, so that it is not shown as the limit that it is above.
		return fmt.Sprintf("the lightest crew weighs %.2f kg on average", math.Ceil(s.Lightest*100-1e-6)/100)
	case s.Seat > 0:
		return fmt.Sprintf("nobody may take seat %d", s.Seat)
	case s.Side != 0:
		return fmt.Sprintf("%d on %s %s needed and %d can row there", s.Need, s.Side, are(s.Need), s.Have)
	case s.Seats:
		return fmt.Sprintf("%d rowers are needed and the boat has %d %s", s.Need, s.Have, counted(s.Have, "seat", "seats"))
	case s.Quotas:
		return fmt.Sprintf("%d rowers are needed and the quotas leave %d", s.Need, s.Have)
	case s.Sex == rigging.Female:
		return fmt.Sprintf("%d %s %s needed and at most %d can be seated", s.Need, counted(s.Need, "woman", "women"), are(s.Need), s.Have)
	case s.Sex == rigging.Male:
		return fmt.Sprintf("%d %s %s needed and at most %d can be seated", s.Need, counted(s.Need, "man", "men"), are(s.Need), s.Have)
	}
	return fmt.Sprintf("%d %s %s needed and there %s %d", s.Need, counted(s.Need, "rower", "rowers"), are(s.Need), are(s.Have), s.Have)
}

// counted is the form of a word that goes with n.
func counted(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func are(n int) string { return counted(n, "is", "are") }

// shortages counts what the rules leave too little of.
func (q *squad) shortages(ctx context.Context) []Shortage {
	l := q.limits(q.p.Rules)
	if have := q.able(l, 0); have < q.seats {
		return []Shortage{{Need: q.seats, Have: have}}
	}
	if out := q.shortOnSides(l); len(out) > 0 {
		return out
	}
	if r := q.p.Rules; r.WomenMin+r.MenMin > q.seats {
		return []Shortage{{Seats: true, Need: r.WomenMin + r.MenMin, Have: q.seats}}
	}
	if r := q.p.Rules; r.WomenMax != nil && r.MenMax != nil && *r.WomenMax+*r.MenMax < q.seats {
		return []Shortage{{Quotas: true, Need: q.seats, Have: *r.WomenMax + *r.MenMax}}
	}
	if out := q.shortOfSex(ctx, l); len(out) > 0 {
		return out
	}
	return q.tooHeavy(ctx, l)
}

// shortOnSides names the sides and seats without enough rowers.
func (q *squad) shortOnSides(l *limits) (out []Shortage) {
	if !q.sweep() {
		return q.emptySeats(l, nil)
	}
	rigs := q.rigs()
	for _, side := range []rigging.Side{rigging.Starboard, rigging.Port} {
		// Every rig that is left has the same number of each.
		if need, have := count(rigs[0].sides, side), q.able(l, side); have < need {
			out = append(out, Shortage{Side: side, Need: need, Have: have})
		}
	}
	if len(out) == 0 && len(rigs) == 1 {
		return q.emptySeats(l, rigs[0].sides)
	}
	return out
}

// shortOfSex names the quotas that cannot be filled from those who may row.
func (q *squad) shortOfSex(ctx context.Context, l *limits) (out []Shortage) {
	least, most := q.womenSeated(ctx, l)
	if ctx.Err() != nil {
		return nil
	}
	if need := q.p.Rules.WomenMin; need > most && most >= 0 {
		out = append(out, Shortage{Sex: rigging.Female, Need: need, Have: most})
	}
	if need := q.p.Rules.MenMin; most >= 0 && need > q.seats-least {
		out = append(out, Shortage{Sex: rigging.Male, Need: need, Have: q.seats - least})
	}
	return out
}

// womenSeated returns the least and the most women that a crew may have if
// neither quotas nor masses count; most is -1 when there is no crew.
func (q *squad) womenSeated(ctx context.Context, l *limits) (least, most int) {
	free := *l
	free.maxLoad, least, most = inf, q.seats, -1
	for women := range q.seats + 1 {
		free.womenMin, free.womenMax = women, women
		if crew, _ := q.crewWithin(ctx, &free); crew != nil {
			least, most = min(least, women), women
		}
	}
	return least, most
}

// tooHeavy returns what the lightest crew weighs when that is more than allowed.
func (q *squad) tooHeavy(ctx context.Context, l *limits) []Shortage {
	if q.p.Rules.MeanMass == 0 {
		return nil
	}
	heavy := *l
	lo, hi := l.maxLoad, 500*float64(q.seats) // the most that masses may sum to
	if heavy.maxLoad = hi; !q.within(ctx, &heavy) {
		return nil
	}
	for hi-lo > 0.01 {
		heavy.maxLoad = (lo + hi) / 2
		if crew, _ := q.crewWithin(ctx, &heavy); crew != nil {
			_, hi = q.crewSum(crew) // often the lightest at once
		} else {
			lo = heavy.maxLoad
		}
	}
	if ctx.Err() != nil {
		return nil
	}
	return []Shortage{{Lightest: hi / float64(q.seats)}}
}

func (q *squad) within(ctx context.Context, l *limits) bool {
	crew, _ := q.crewWithin(ctx, l)
	return crew != nil
}

// emptySeats names the seats that nobody may take.
func (q *squad) emptySeats(l *limits, sides []rigging.Side) (out []Shortage) {
	for s := range q.seats {
		free := false
		for i := range q.athletes {
			free = free || l.allowed[s][i] && (sides == nil || q.canRow(i, sides[s]))
		}
		if !free {
			out = append(out, Shortage{Seat: s + 1, Need: 1})
		}
	}
	return out
}

// able counts the athletes who may row a side (any for 0) in some seat.
func (q *squad) able(l *limits, side rigging.Side) int {
	have := 0
	for i := range q.athletes {
		if l.somewhere(i) && (side == 0 || q.canRow(i, side)) {
			have++
		}
	}
	return have
}

func count(sides []rigging.Side, side rigging.Side) (n int) {
	for _, s := range sides {
		if s == side {
			n++
		}
	}
	return n
}
