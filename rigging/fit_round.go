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
	guesses []guess
}

// axis is an option that moves, about the relaxation.
type axis struct {
	option int
	from   float64   // its relaxed value
	column []float64 // change of the misses with its value
}

// steps holds the step of each axis.
type steps [len(fitted)]int

// guess is a rig with the Off that the linear model gives it.
type guess struct {
	at  steps
	off float64
}

const (
	// mostGuesses bounds how far about the relaxation the guesses reach.
	mostGuesses = 500
	// scored is the number of guesses that are scored.
	scored = 24
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
	slices.SortStableFunc(r.guesses, func(a, b guess) int { return cmp.Compare(a.off, b.off) })
	best := r.nearest()
	least := r.scoreAt(best)
	for _, g := range r.guesses[:min(scored, len(r.guesses))] {
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
	p := newRelaxation([]*fitSeat{r.seat}, r.knobs(moving))
	p.linearise(from)
	for n, v := range from {
		column := mat.Col(nil, n, p.jac)
		r.axes = append(r.axes, axis{nth(moving, n), v, column[:len(p.seatRows(0))]})
	}
	effect := func(a axis) float64 { return floats.Norm(a.column, 2) * r.options[a.option].Step }
	slices.SortStableFunc(r.axes, func(a, b axis) int { return cmp.Compare(effect(a), effect(b)) })
	return p.seatRows(0)
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
// takes the two steps about the value that leaves the least.
func (r *lattice) guess(n int, at steps, misses []float64) {
	a := &r.axes[n]
	o := &r.options[a.option]
	low, high := 0, 0
	if n == len(r.axes)-1 {
		best := a.from
		if square := floats.Dot(a.column, a.column); square > 0 {
			best -= floats.Dot(a.column, misses) / square
		}
		low = o.clamp(math.Floor((best - o.Min) / o.Step))
		high = o.clamp(float64(low) + 1)
	} else {
		reach := r.reach()
		low, high = o.clamp(float64(o.nearest(a.from)-reach)), o.clamp(float64(o.nearest(a.from)+reach))
	}
	after := make([]float64, len(misses))
	for at[n] = low; at[n] <= high; at[n]++ {
		floats.AddScaledTo(after, misses, o.Adjustment.at(at[n])-a.from, a.column)
		if n == len(r.axes)-1 {
			r.guesses = append(r.guesses, guess{at, floats.Norm(after, 2)})
		} else {
			r.guess(n+1, at, after)
		}
	}
}

// reach returns how many steps either way the guesses go on every axis but the
// last.
func (r *lattice) reach() int {
	if len(r.axes) == 1 {
		return 0
	}
	return max(1, int(math.Pow(mostGuesses, 1/float64(len(r.axes)-1))-1)/2)
}

// clamp returns the step next to k.
func (a *Adjustment) clamp(k float64) int { return int(min(max(k, 0), float64(a.count()-1))) }

// neighbour returns the best rig one step away in one or two options, with its
// score; at and score when none is better.
func (r *lattice) neighbour(at steps, score float64) (steps, float64) {
	best := at
	try := func(next steps) {
		if s := r.scoreAt(next); s < score-1e-12 {
			best, score = next, s
		}
	}
	for i := range r.axes {
		for _, d := range [...]int{-1, 1} {
			one := at
			one[i] += d
			try(one)
			for j := range i {
				for _, e := range [...]int{-1, 1} {
					two := one
					two[j] += e
					try(two)
				}
			}
		}
	}
	return best, score
}

// scoreAt returns the score of the rig at the steps; infinite off the ranges.
func (r *lattice) scoreAt(at steps) float64 {
	for i := range r.axes {
		if at[i] < 0 || at[i] >= r.options[r.axes[i].option].count() {
			return math.Inf(1)
		}
	}
	_, score := r.score(r.valuesAt(at))
	return score
}

// valuesAt returns the options' values with the axes at their steps.
func (r *lattice) valuesAt(at steps) []float64 {
	values := r.bases()
	for i := range r.axes {
		o := r.axes[i].option
		values[o] = r.options[o].Adjustment.at(at[i])
	}
	return values
}
