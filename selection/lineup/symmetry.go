package lineup

import (
	"slices"

	"thole/rigging"
	"thole/selection"
)

// Two changes may leave every cost and rule as it is. One is the mirror, which
// takes every oar to the other side: the moment turns the other way and its
// square stays. The other is the turn, which seats the crew and its sides end
// for end: arms and moment change their sign, and who is next to whom stays.
// Rigs that are images of each other are therefore searched once, and of a rig
// that is its own turn only the half in which the athlete in the bow comes by
// name before the one at stroke; whatever is found is listed with its images.

// image is how a line-up of one rig becomes one of another.
type image struct {
	order  int  // of the rig it belongs to
	turned bool // end for end
}

// of returns the items of the image of x; x itself when it is not turned.
func (m image) of(x []int) []int {
	if !m.turned {
		return x
	}
	y := slices.Clone(x)
	slices.Reverse(y)
	return y
}

// family is a rig with its images, of which the first is the rig itself.
type family struct {
	rig    *rig
	images []image
}

// families sorts the rigs into sets of images; each is stood for by the rig
// that comes first.
func (q *squad) families(l *limits, rigs []*rig) []family {
	changes := q.changes(l)
	var out []family
	taken := make([]bool, len(rigs))
	for k, r := range rigs {
		if taken[k] {
			continue
		}
		f := family{rig: r, images: r.images(rigs, changes)}
		for _, m := range f.images {
			taken[m.order] = true
		}
		out = append(out, f)
	}
	return out
}

// change is what may be done to a line-up without a change of its cost.
type change struct{ mirror, turn bool }

// changes lists what may be done, to begin with nothing.
func (q *squad) changes(l *limits) []change {
	all := []change{{}}
	mirrors, turns := q.mirrors(l), q.turns(l)
	if mirrors {
		all = append(all, change{mirror: true})
	}
	if turns {
		all = append(all, change{turn: true})
	}
	if mirrors && turns {
		all = append(all, change{true, true})
	}
	return all
}

// images lists what the changes make of a line-up of the rig, as far as the
// sides are allowed.
func (r *rig) images(rigs []*rig, changes []change) (out []image) {
	for _, c := range changes {
		if at := rigWith(rigs, r.changed(c)); at >= 0 {
			out = append(out, image{at, c.turn})
		}
	}
	return out
}

// images returns the line-ups that cost as much as e by symmetry, in the order
// in which they would be listed.
func (q *squad) images(l *limits, rigs []*rig, e entry) (out []selection.Lineup) {
	var all []entry
	for _, m := range rigs[e.order].images(rigs, q.changes(l))[1:] {
		all = append(all, entry{cost: e.cost, x: m.of(e.x), order: m.order})
	}
	slices.SortFunc(all, entry.compare)
	for _, image := range all {
		out = append(out, q.scored(image.x, rigs[image.order]).Lineup)
	}
	return out
}

// rigWith finds the rig with the given sides, -1 when it is not allowed.
func rigWith(rigs []*rig, sides []rigging.Side) int {
	return slices.IndexFunc(rigs, func(r *rig) bool { return slices.Equal(r.sides, sides) })
}

// changed returns the sides of the rig after a change.
func (r *rig) changed(c change) []rigging.Side {
	sides := slices.Clone(r.sides)
	if c.turn {
		slices.Reverse(sides)
	}
	for s := range sides {
		if c.mirror {
			sides[s] = sides[s].Other()
		}
	}
	return sides
}

// mirrors reports whether the mirror changes no cost: either side is the same to
// everybody who may row, and to the boat.
func (q *squad) mirrors(l *limits) bool {
	if !q.sweep() || q.pricesRigs() {
		return false
	}
	for i := range q.athletes {
		if l.somewhere(i) && q.sideCost(i, rigging.Port) != q.sideCost(i, rigging.Starboard) {
			return false
		}
	}
	return true
}

// pricesRigs reports whether some rig costs more than another by itself.
func (q *squad) pricesRigs() bool { return len(q.p.Rigged) > 0 && q.p.Rerig > 0 }

// turns reports whether the turn changes no cost and no limit: a seat is the
// same to everybody as the one as far from the other end. Rules about
// neighbours are the same both ways.
func (q *squad) turns(l *limits) bool {
	n := len(q.athletes)
	if q.pricesRigs() {
		return false
	}
	for s := range q.seats / 2 {
		o := q.seats - 1 - s
		if !slices.Equal(l.allowed[s], l.allowed[o]) || !slices.Equal(q.seatCost[s*n:][:n], q.seatCost[o*n:][:n]) {
			return false
		}
	}
	return q.seats > 1
}

// ownTurn reports whether the turn takes line-ups of the rig to others of it.
func (f *family) ownTurn() bool {
	return slices.ContainsFunc(f.images, func(m image) bool { return m.turned && m.order == f.images[0].order })
}

// halve leaves of an assignment and its turn the one whose first item comes
// before its last.
func (t *task) halve() {
	t.halved = true
	ends := t.pairOf(0, t.seats-1)
	for i := range t.items {
		for j := range i {
			ends[i*t.items+j] = inf
		}
	}
}

// chosen turns x, where need be, into the one of the two that a halved task
// allows.
func (t *task) chosen(x []int) {
	if t.halved && x[0] > x[len(x)-1] {
		slices.Reverse(x)
	}
}
