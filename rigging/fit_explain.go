package rigging

import "slices"

// Why says what keeps a target away.
type Why string

// The reasons for a miss.
const (
	WhyIdle     Why = "nothing_moves_it" // no setting that may move has a part in it
	WhyJunior   Why = "junior"           // it would take a heavier gearing than a junior's present one
	WhySteps    Why = "steps"            // the steps of the settings that move are too coarse
	WhyCost     Why = "cost"             // moving more settings would meet it, but costs more than it earns
	WhyRange    Why = "range"            // the ranges in Fit.Binding end too soon
	WhyConflict Why = "conflict"         // coming nearer takes another target further away
)

// whyTexts holds one sentence a reason.
var whyTexts = map[Why]string{
	WhyIdle:     "none of the settings that may be moved has a part in it",
	WhyJunior:   "it would take a heavier gearing than the present one, which is not advised for juniors",
	WhySteps:    "the steps of what is moved are too coarse to hit it",
	WhyCost:     "moving more would meet it, but costs more than it brings",
	WhyRange:    "the range of what is moved ends too soon",
	WhyConflict: "coming nearer to it would take another target further away",
}

// Text returns the sentence that explains the reason.
func (w Why) Text() string { return whyTexts[w] }

// worthTelling is the least gain in tolerances that makes a limit worth naming.
const worthTelling = 0.05

// explain returns the goals missed by the best rig, as placed and solved, with
// the ends of ranges that bind.
func (s *search) explain() ([]Miss, []Stop) {
	seat := s.seat
	if seat.met() {
		return nil, nil
	}
	misses := slices.Clone(seat.misses)
	stops := s.stops()
	var list []Miss
	for i, g := range seat.goals {
		if !g.holds(misses[i]) {
			list = append(list, Miss{g.target, misses[i] * g.tolerance / g.weight, s.why(i, len(stops) > 0)})
		}
	}
	return list, stops
}

// moved returns the options that move in the best rig.
func (s *search) moved() set {
	var moved set
	for i := range s.options {
		if o := &s.options[i]; o.outside || differ(s.best.values[i], o.base) {
			moved = moved.with(i)
		}
	}
	return moved
}

// stops returns the ends of ranges at which the best rig has an option and
// beyond which it would come nearer to its goals.
func (s *search) stops() []Stop {
	var list []Stop
	for i := range s.options {
		o := &s.options[i]
		low := s.best.values[i] < o.Min+o.Step*(1-1e-6)
		high := s.best.values[i] > o.Max-o.Step*(1-1e-6)
		for _, end := range [...]struct{ at, high bool }{{low, false}, {high, true}} {
			if !end.at {
				continue
			}
			if gain := s.gainBeyond(i, end.high); gain > worthTelling {
				list = append(list, Stop{o.setting, end.high, gain})
			}
		}
	}
	return list
}

// stopReach is how far beyond its end a range that binds is taken to go on, in
// cm or degrees.
const stopReach = 5

// gainBeyond returns how much nearer the relaxation over what has moved and
// option i comes when one end of the option's range lies further out.
func (s *search) gainBeyond(i int, high bool) float64 {
	moving := s.moved().with(i)
	held := s.relax(moving & s.movable)
	knobs := s.knobs(moving)
	k, o := &knobs[(moving&(set(1)<<i-1)).size()], &s.options[i]
	possible := s.seat.found.possible(o.setting)
	if high {
		k.high = min(possible.high, k.high+stopReach*o.unit)
	} else {
		k.low = max(possible.low, k.low-stopReach*o.unit)
	}
	return held.off - s.solve(knobs, nil).off
}

// why returns what keeps goal i away.
func (s *search) why(i int, stopped bool) Why {
	g := &s.seat.goals[i]
	switch {
	case g.target == TargetLeverRatio && g.want > s.seat.leverCap:
		return WhyJunior
	case !s.moves(i):
		return WhyIdle
	case s.meets(s.moved()&s.movable, i):
		return WhySteps
	case s.meets(s.movable, i):
		return WhyCost
	case stopped:
		return WhyRange
	}
	return WhyConflict
}

// meets tells whether the relaxation over the set meets goal i.
func (s *search) meets(moving set, i int) bool {
	r := s.relax(moving)
	if !r.ok {
		return false
	}
	s.place(s.bases())
	for n, v := range r.values {
		o := &s.options[nth(moving, n)]
		s.seat.c.Setup.SetValue(o.setting, v)
	}
	return s.seat.solve() && s.seat.goals[i].holds(s.seat.misses[i])
}

// moves tells whether any option changes goal i about the best rig.
func (s *search) moves(i int) bool {
	for n := range s.options {
		k := s.options[n].knob()
		var miss [2]float64
		for j, step := range [2]float64{-k.probe, k.probe} {
			s.place(s.best.values)
			k.move(s.seat, s.best.values[n]+step)
			if !s.seat.solve() {
				return true
			}
			miss[j] = s.seat.misses[i]
		}
		if differ(miss[0], miss[1]) {
			return true
		}
	}
	return false
}

// unreachable returns why no rig can be rowed, going by the one to start from.
func (s *search) unreachable() error {
	s.place(s.bases())
	if errs := s.seat.c.Setup.checkOar(); errs != nil {
		return errs
	}
	if _, err := s.seat.c.Solve(); err != nil {
		return err
	}
	return FieldErrors{{Field: "adjust", Problem: ProblemMismatch,
		Detail: "every rig in these ranges is geared heavier than the present one, which is not advised for a junior"}}
}
