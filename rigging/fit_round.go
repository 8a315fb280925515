package rigging

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// lattice looks for the best rig on the steps of the options that move. From
// their relaxation a linear model carries the misses on over many steps; the
// rigs that look best by it are scored, and from the best of them the search
// goes on step by step while that helps.
type lattice struct {
	*search
	axes    []axis
	guesses []guess // the best, in order
}

// axis is an option that moves, about the relaxation.
type axis struct {
	option int
	from   float64   // its relaxed value
	column []float64 // change of the misses with its value
}

// steps holds the step of each axis.
type steps [len(fitted)]int

// guess is a rig with the score that the linear model gives it, moves left out.
type guess struct {
	at    steps
	score float64
}

const (
	// mostGuesses bounds how far about the relaxation the guesses reach, all
	// axes but the last taken together, and mostReach on each of them.
	mostGuesses = 150
	mostReach   = 12
	// mostScored is the number of guesses that are scored.
	mostScored = 24
)

// round considers the best rig it finds in which the options in moving are on
// their steps.
func (s *search) round(moving set) {
	if moving == 0 {
		return // the rig to start from, which is scored already
	}
	r := lattice{search: s}
	misses := r.linearise(moving)
	r.guess(0, steps{}, misses)
	best := r.nearest()
	least := r.scoreAt(best)
	for _, g := range r.guesses {
		if score := r.scoreAt(g.at); score < least {
			best, least = g.at, score
		}
	}
	for {
		next, score := r.neighbour(best, least)
		if score >= least {
			break
		}
		best, least = next, score
	}
	s.consider(r.valuesAt(best))
}

// linearise fills the axes and returns the misses, both at the relaxation over
// moving. The axis whose steps change the misses most comes last.
func (r *lattice) linearise(moving set) []float64 {
	from := r.relax(moving).values
	r.place(r.bases())
	p := newRelaxation(r.seat, r.knobs(moving))
	p.linearise(from)
	for n, v := range from {
		column := mat.Col(nil, n, p.jac)
		r.axes = append(r.axes, axis{nth(moving, n), v, column[:len(p.misses())]})
	}
	effect := func(a axis) float64 { return floats.Norm(a.column, 2) * r.options[a.option].Step }
	slices.SortStableFunc(r.axes, func(a, b axis) int { return cmp.Compare(effect(a), effect(b)) })
	return p.misses()
}

// nearest returns the steps nearest to the relaxation.
func (r *lattice) nearest() steps {
	var at steps
	for i, a := range r.axes {
		at[i] = r.options[a.option].nearest(a.from)
	}
	return at
}

// guess lists the rigs whose axes from n on are within reach of the
// relaxation, misses being those of the axes before n. The last axis closes: it
// takes the steps about the value that leaves the least.
func (r *lattice) guess(n int, at steps, misses []float64) {
	a := &r.axes[n]
	o := &r.options[a.option]
	low, high := 0, 0
	if n == len(r.axes)-1 {
		best := a.from
		if square := floats.Dot(a.column, a.column); square > 0 {
			best -= floats.Dot(a.column, misses) / square
		}
		below := math.Floor((best - o.Min) / o.Step)
		low, high = o.clamp(below-1), o.clamp(below+2)
	} else {
		reach := r.reach()
		low, high = o.clamp(float64(o.nearest(a.from)-reach)), o.clamp(float64(o.nearest(a.from)+reach))
	}
	after := make([]float64, len(misses))
	for at[n] = low; at[n] <= high; at[n]++ {
		floats.AddScaledTo(after, misses, o.Adjustment.at(at[n])-a.from, a.column)
		if n == len(r.axes)-1 {
			r.keep(guess{at, r.seat.count(after)})
		} else {
			r.guess(n+1, at, after)
		}
	}
}

// keep takes the guess if it is among the best so far.
func (r *lattice) keep(g guess) {
	i, _ := slices.BinarySearchFunc(r.guesses, g, func(a, b guess) int { return cmp.Compare(a.score, b.score) })
	if i == mostScored {
		return
	}
	r.guesses = slices.Insert(r.guesses, i, g)
	r.guesses = r.guesses[:min(mostScored, len(r.guesses))]
}

// reach returns how many steps either way the guesses go on every axis but the
// last.
func (r *lattice) reach() int {
	side := math.Pow(mostGuesses, 1/float64(len(r.axes)-1))
	return min(mostReach, max(1, int(side-1)/2))
}

// clamp returns the step next to k.
func (a *Adjustment) clamp(k float64) int { return int(min(max(k, 0), float64(a.count()-1))) }

// asFound is the step of an axis whose option does not move after all.
const asFound = -1

// neighbour returns the best rig that one or two options away, by one step or
// back to where they started, with its score; at and score when none is better.
func (r *lattice) neighbour(at steps, score float64) (steps, float64) {
	best := at
	try := func(next steps) {
		if s := r.scoreAt(next); s < score-1e-12 {
			best, score = next, s
		}
	}
	for i := range r.axes {
		for _, k := range r.beside(i, at[i]) {
			one := at
			one[i] = k
			try(one)
			for j := range i {
				for _, l := range r.beside(j, at[j]) {
					two := one
					two[j] = l
					try(two)
				}
			}
		}
	}
	return best, score
}

// beside lists the steps next to step k of axis i, and asFound.
func (r *lattice) beside(i, k int) [3]int {
	if k == asFound {
		o := &r.options[r.axes[i].option]
		k = o.nearest(o.base)
	}
	return [...]int{k - 1, k + 1, asFound}
}

// scoreAt returns the score of the rig at the steps; infinite off the ranges.
func (r *lattice) scoreAt(at steps) float64 {
	for i := range r.axes {
		if at[i] < asFound || at[i] >= r.options[r.axes[i].option].count() {
			return math.Inf(1)
		}
	}
	_, score := r.score(r.valuesAt(at))
	return score
}

// valuesAt returns the options' values with the axes at their steps.
func (r *lattice) valuesAt(at steps) []float64 {
	values := r.bases()
	for i, a := range r.axes {
		if at[i] != asFound {
			values[a.option] = r.options[a.option].Adjustment.at(at[i])
		}
	}
	return values
}
