package stroke

import (
	"math"
	"slices"
	"sort"

	"thole/rigging"
)

// entry measures how the blade meets the water about the catch. A blade counts
// as covered when its upper edge is at the water, at the vertical angle of
// [Thresholds.Covered]; its lower edge then lies as far below the water as it
// is above when the centre stands as much above it, so that the lower edge is
// over the water by the outboard times (sin of the vertical angle − sin of the
// angle of covering), and meets it where that is 0. The blade is taken as
// square.
func (g *gauge) entry(s *Stroke, k *track, catch, finish, next turn) {
	edge := -g.thresholds.covered()
	recovery := next.t - finish.t // that before the catch took about as long
	covered, ok := downAt(k, g.coveredBy(), -edge, catch.t-recovery/2)
	height := func(v float64) float64 { return g.levers.Out * (math.Sin(v) - math.Sin(edge)) }
	if g.levers.Out > 0 {
		s.set(EdgeHeight, height(interpolate(k.t, k.vertical, catch.t)))
		if v, ok := carried(k, catch.t-recovery/2, catch.t); ok {
			s.set(CarryHeight, height(v))
		}
	}
	if !ok {
		return
	}
	if g.levers.In > 0 {
		s.set(CoverSpeed, g.levers.In*turning(k, covered, g.duration()))
	}
	met, ok := downAt(k, covered, edge, catch.t-recovery/2)
	if !ok {
		return
	}
	s.set(EntryMoment, met-catch.t)
	if g.levers.Out > 0 && covered > met {
		s.set(SinkSpeed, 2*g.levers.Out*math.Sin(edge)/(covered-met))
	}
}

// coveredBy returns a time in the drive by which the blade is covered; where
// it never is, NaN.
func (g *gauge) coveredBy() float64 {
	at, ok := g.rise(g.drive.t, g.deep, -g.thresholds.covered())
	if !ok {
		return math.NaN()
	}
	return at
}

// downAt goes back from a time at which the vertical angle is below a level to
// where it came down to it, not before the time earliest.
func downAt(k *track, from, level, earliest float64) (at float64, ok bool) {
	if math.IsNaN(from) {
		return 0, false
	}
	i := sort.SearchFloat64s(k.t, from)
	for i < k.len() && k.vertical[i] > level { // noise about the crossing
		i++
	}
	for i > 0 && k.vertical[i-1] < level && k.t[i-1] >= earliest {
		i--
	}
	if i == 0 || i >= k.len() || !(k.vertical[i-1] >= level) {
		return 0, false
	}
	return between(k.vertical[i-1], k.t[i-1], k.vertical[i], k.t[i], level), true
}

// carryHalf is half the time over which the carried height is a mean, so that
// the highest of noisy samples does not stand for it; engineering judgement: four
// samples at 50 Hz, a small part of a recovery.
const carryHalf = 0.04 // s

// carried returns the vertical angle at which the blade is carried highest
// between two times; ok is false when they are not measured throughout.
func carried(k *track, from, to float64) (v float64, ok bool) {
	i, j := sort.SearchFloat64s(k.t, from), sort.SearchFloat64s(k.t, to)
	if i == 0 || j-i < 3 || slices.ContainsFunc(k.vertical[i:j], math.IsNaN) {
		return 0, false
	}
	t, y := k.t[i:j], k.vertical[i:j]
	a, b := window(t, crest(t, y, carryHalf), carryHalf, 1)
	return mean(y[a:b]), true
}

// turning returns how fast the oar turns at a time, rad/s.
func turning(k *track, at, drive float64) float64 {
	from, to := window(k.t, at, 0.05*drive, 3)
	c, ok := parabola(k.t[from:to], k.angle[from:to], at)
	if !ok {
		return math.NaN()
	}
	return c[1]
}

// leaving measures how the blade comes out: WashOut is the arc that is still
// pulled, with more than DefaultShare of the peak, when it is no longer
// covered.
func (g *gauge) leaving(s *Stroke, peak float64) {
	uncovered, ok := g.fall(g.drive.t, g.deep, -g.thresholds.covered())
	if !ok {
		return
	}
	released, ok := g.fall(g.drive.t, g.drive.force, DefaultShare*peak)
	if ok {
		s.set(WashOut, max(g.angleAt(released)-g.angleAt(uncovered), 0))
	}
}

// Habit is what the trade calls a path of the blade.
type Habit string

// The habits that are named.
const (
	TooDeep    Habit = "too deep"
	DownAndUp  Habit = "down-and-up"
	WashingOut Habit = "washing out"
)

// HabitSeen is a habit with the measure that shows it and the bound it is
// over, both in the unit of the measure.
type HabitSeen struct {
	Habit   Habit
	Feature Feature
	Mean    float64
	Bound   float64
}

// The bounds of the habits, judgements of this package: a blade is about 6°
// high as seen from the pin, and three quarters of its height deeper than it
// need be is a detour; a blade that is level for less than a third of the arc
// that works goes down and up again; some degrees of arc between force and cover are within
// what a release varies by.
const (
	deepBound   = 4.5 * float64(rigging.Degree)
	washBound   = 5 * float64(rigging.Degree)
	downUpBound = 2.0 / 3
)

// Habits names what the mean path of the blade shows; it is empty without
// vertical angle.
func (o *OarReport) Habits() []HabitSeen {
	var out []HabitSeen
	for _, h := range []HabitSeen{{TooDeep, Detour, 0, deepBound}, {DownAndUp, DownUpShare, 0, downUpBound}, {WashingOut, WashOut, 0, washBound}} {
		if s := o.Features[h.Feature]; s.N > 0 && s.Mean > h.Bound {
			h.Mean = s.Mean
			out = append(out, h)
		}
	}
	return out
}
