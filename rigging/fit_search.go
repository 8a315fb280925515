package rigging

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// The parts of a fit's score, see [Case.Fit].
const (
	// pullWithin is what Off counts for once every target is met.
	pullWithin = 0.01
	// perCost is what one unit of cost counts for, in tolerances.
	perCost = 0.1
	// perMove is what the square of a move in cm or degrees counts for.
	perMove = 1e-5
)

// option is one setting that a fit may move.
type option struct {
	Adjustment
	setting Setting
	base    float64 // where it starts: as found, or the nearest step inside the range
	unit    float64 // 1 cm or 1°
	outside bool    // as found, it lay outside the range
}

// rig is one choice of values of the options with its score.
type rig struct {
	values     []float64
	off, score float64
}

// set is a set of options by their place in the list.
type set uint32

func (s set) has(i int) bool { return s>>i&1 != 0 }
func (s set) with(i int) set { return s | 1<<i }
func (s set) less(o set) set { return s &^ o }
func (s set) size() int      { return bits.OnesCount32(uint32(s)) }

// search looks for the rig of least score. Which settings move is decided by
// branch and bound over their sets: what moves costs the same however far it
// moves, and a relaxation over what has moved or still may bounds Off from
// below.
type search struct {
	seat    *fitSeat
	options []option // the dearest last
	movable set      // those whose range leaves a choice
	relaxed map[set]relaxed
	best    rig
}

func newSearch(seat *fitSeat, adjust map[Setting]Adjustment) *search {
	s := &search{seat: seat, relaxed: map[set]relaxed{}}
	for _, name := range fitted {
		if a, ok := adjust[name]; ok {
			s.options = append(s.options, newOption(name, a, seat.found.Value(name)))
		}
	}
	slices.SortStableFunc(s.options, func(a, b option) int { return cmp.Compare(a.Cost, b.Cost) })
	for i := range s.options {
		if s.options[i].Min < s.options[i].Max {
			s.movable = s.movable.with(i)
		}
	}
	return s
}

func newOption(name Setting, a Adjustment, found float64) option {
	o := option{Adjustment: a, setting: name, base: found, unit: SensitivityStep(name.Quantity())}
	if !a.holds(found) {
		o.outside, o.base, o.Cost = true, a.at(a.nearest(found)), 0
	}
	return o
}

// outside lists the settings that lay outside their range.
func (s *search) outside() []Setting {
	var list []Setting
	for i := range s.options {
		if s.options[i].outside {
			list = append(list, s.options[i].setting)
		}
	}
	return list
}

// bases returns the values to start from.
func (s *search) bases() []float64 {
	v := make([]float64, len(s.options))
	for i := range s.options {
		v[i] = s.options[i].base
	}
	return v
}

// place moves the seat to the values.
func (s *search) place(values []float64) {
	for i := range s.options {
		s.seat.c.Setup.SetValue(s.options[i].setting, values[i])
	}
}

// score solves the seat with the values; the score is infinite where it cannot
// be rowed or is geared too heavily.
func (s *search) score(values []float64) (off, score float64) {
	s.place(values)
	if !s.seat.solve() || s.seat.tooHeavy() {
		return math.Inf(1), math.Inf(1)
	}
	off, score = math.Sqrt(sumSquares(s.seat.misses)), s.seat.count(s.seat.misses)
	for i := range s.options {
		score += s.options[i].charge(values[i])
	}
	return off, score
}

// charge returns what moving the option to v adds to the score.
func (o *option) charge(v float64) float64 {
	if !differ(v, o.base) {
		return 0
	}
	z := (v - o.base) / o.unit
	return perCost*o.Cost + perMove*z*z
}

// consider takes the values if they score better than the best so far.
func (s *search) consider(values []float64) bool {
	off, score := s.score(values)
	if score >= s.best.score-1e-12 {
		return false
	}
	s.best = rig{slices.Clone(values), off, score}
	return true
}

// run searches from the rig to start from, of which nothing need move when it
// meets the targets; false when no rig can be rowed.
func (s *search) run() bool {
	s.best.score = math.Inf(1)
	if s.consider(s.bases()) && s.seat.met() {
		return true
	}
	s.branch(s.free(), s.movable.less(s.free()))
	return s.best.values != nil
}

// free returns the movable options that cost nothing.
func (s *search) free() set {
	var free set
	for i := range s.options {
		if s.options[i].Cost == 0 && s.movable.has(i) {
			free = free.with(i)
		}
	}
	return free
}

// branch searches the sets that hold in and any of open. It leaves out the
// dearest of open first.
func (s *search) branch(in, open set) {
	if r := s.relax(in | open); !r.ok || s.bound(in, r.off) >= s.best.score {
		return
	}
	if open == 0 {
		s.round(in)
		return
	}
	dearest := bits.Len32(uint32(open)) - 1
	rest := open.less(set(1) << dearest)
	s.branch(in, rest)
	s.branch(in.with(dearest), rest)
}

// bound returns a lower bound of the score when at least the options in move
// and Off can be no less than off.
func (s *search) bound(in set, off float64) float64 {
	score := off
	if off <= s.seat.slack*(1+1e-9) {
		score *= pullWithin
	}
	for i := range s.options {
		if in.has(i) {
			score += perCost * s.options[i].Cost
		}
	}
	return score
}

// relax returns the solution of the relaxation over the set, the other options
// at their bases.
func (s *search) relax(moving set) relaxed {
	r, ok := s.relaxed[moving]
	if !ok {
		r = s.solve(s.knobs(moving), s.near(moving))
		s.relaxed[moving] = r
	}
	return r
}

// near returns the solution next to that over the set: over one option more;
// nil when there is none.
func (s *search) near(moving set) []float64 {
	for i := range s.options {
		if r := s.relaxed[moving.with(i)]; r.ok && !moving.has(i) {
			place := (moving & (set(1)<<i - 1)).size()
			return slices.Delete(slices.Clone(r.values), place, place+1)
		}
	}
	return nil
}

// solve returns the solution of the relaxation over knobs.
func (s *search) solve(knobs []knob, near []float64) relaxed {
	s.place(s.bases())
	return newRelaxation(s.seat, knobs).solve(near)
}

// faintPull is the pull of settings to where they start, for each centimetre
// or degree.
const faintPull = 1e-3

// knobs returns the knobs of the options in moving, in their order.
func (s *search) knobs(moving set) []knob {
	list := make([]knob, 0, moving.size())
	for i := range s.options {
		if o := &s.options[i]; moving.has(i) {
			list = append(list, o.knob())
		}
	}
	return list
}

// knob returns the knob that moves the option.
func (o *option) knob() knob {
	return knob{
		low: o.Min, high: o.Max, probe: 1e-3 * o.unit, home: o.base, pull: faintPull / o.unit,
		move: func(seat *fitSeat, v float64) { seat.c.Setup.SetValue(o.setting, v) },
	}
}

// nth returns the place of the n-th option in the set.
func nth(s set, n int) int {
	for range n {
		s &= s - 1
	}
	return bits.TrailingZeros32(uint32(s))
}
