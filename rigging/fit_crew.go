package rigging

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// crewSearch looks for the shared settings that make the sum of the seats'
// scores least.
type crewSearch struct {
	task    *CrewTask
	targets FitTargets
	chosen  []Target
	seats   []*fitSeat
	private map[Setting]Adjustment
	shared  []option
	best    crewRig

	before []map[set]relaxed // relaxations of each seat in an earlier rig
	moved  [][]set           // what moved at each seat in earlier rigs
}

// crewRig is one choice of the shared settings with the seats fitted to it.
type crewRig struct {
	values []float64 // of the shared options
	at     []int     // steps of those that move
	seats  []*search
	bound  float64 // the score is no less
	score  float64
}

func newCrewSearch(task *CrewTask) *crewSearch {
	c := &crewSearch{task: task, targets: maps.Clone(task.Targets), private: maps.Clone(task.Adjust)}
	c.best.score = math.Inf(1)
	c.before, c.moved = make([]map[set]relaxed, len(task.Seats)), make([][]set, len(task.Seats))
	for _, name := range []Setting{SettingOarLength, SettingInboard} {
		a, ok := task.Adjust[name]
		if !ok || name == SettingInboard && task.OwnInboard {
			continue
		}
		delete(c.private, name)
		c.shared = append(c.shared, c.sharedOption(name, a))
	}
	c.fillTargets()
	levers := c.levers()
	for i := range task.Seats {
		seat := newFitSeat(&task.Seats[i].Case, c.targets.resolved(&task.Seats[i].Case, task.Adjust))
		if levers != nil {
			seat.aim(TargetLeverRatio, levers[i])
		}
		c.seats = append(c.seats, seat)
	}
	c.shareBases()
	return c
}

// sharedOption returns the option of a setting that all seats share. It starts
// from their mean; if they differ it has to move.
func (c *crewSearch) sharedOption(name Setting, a Adjustment) option {
	first, sum := c.task.Seats[0].Case.Setup.Value(name), 0.0
	same := true
	for i := range c.task.Seats {
		v := c.task.Seats[i].Case.Setup.Value(name)
		same = same && !differ(v, first)
		sum += v
	}
	if same {
		return newOption(name, a, first)
	}
	o := newOption(name, a, sum/float64(len(c.task.Seats)))
	o.outside, o.base, o.Cost = true, a.at(a.nearest(o.base)), 0
	return o
}

// fillTargets adds the ends of the arc that are to be chosen, at the class's
// defaults, and the lever ratio where the load is to be shared out.
func (c *crewSearch) fillTargets() {
	if c.targets == nil {
		c.targets = FitTargets{}
	}
	ends := DefaultTargets(c.task.Seats[0].Case.Setup.Class)
	for target, value := range map[Target]Angle{TargetCatch: ends.Catch, TargetFinish: ends.Finish} {
		if _, ok := c.targets[target]; !ok {
			c.targets[target] = Goal{Value: float64(value)}
			c.chosen = append(c.chosen, target)
		}
	}
	slices.Sort(c.chosen)
	if _, asked := c.targets[TargetLeverRatio]; !asked && c.ownInboard() {
		c.targets[TargetLeverRatio] = Goal{Value: c.meanLever()}
	}
}

func (c *crewSearch) ownInboard() bool {
	_, adjustable := c.private[SettingInboard]
	return adjustable
}

func (c *crewSearch) meanLever() float64 {
	sum := 0.0
	for i := range c.task.Seats {
		sum += c.task.Seats[i].Case.Setup.leverRatio()
	}
	return sum / float64(len(c.task.Seats))
}

// levers returns the lever ratio wanted of each seat, or nil when all want the
// same.
func (c *crewSearch) levers() []float64 {
	sum, known := 0.0, 0
	for _, s := range c.task.Seats {
		if s.Strength > 0 {
			sum += s.Strength
			known++
		}
	}
	if known == 0 || !c.ownInboard() {
		return nil
	}
	levers := make([]float64, len(c.task.Seats))
	for i, s := range c.task.Seats {
		levers[i] = c.targets[TargetLeverRatio].Value * orDefault(s.Strength*float64(known)/sum, 1)
	}
	return levers
}

// aim changes the value wanted of a target that the seat has.
func (s *fitSeat) aim(target Target, want float64) {
	for i := range s.goals {
		if s.goals[i].target == target {
			s.goals[i].want = want
		}
	}
}

// The pulls while common targets are chosen: a degree off the class's ends
// counts like a miss of half a tolerance in every seat, and a move of a
// centimetre or a degree like a twentieth for each unit of its cost;
// engineering judgement.
const (
	choosePull = 0.5
	movePull   = 0.05
)

// choose sets the common targets that were not asked for.
func (c *crewSearch) choose() {
	if len(c.chosen) == 0 {
		return
	}
	knobs := c.knobs(c.shared, func(o *option) float64 { return movePull * o.Cost })
	for _, target := range c.chosen {
		knobs = append(knobs, c.targetKnob(target))
	}
	r := newRelaxation(c.seats, knobs).solve(nil)
	for i, target := range c.chosen {
		goal := c.targets[target]
		if r.ok {
			goal.Value = roundTo(r.values[len(knobs)-len(c.chosen)+i], float64(Degree/2))
		}
		c.targets[target] = goal
		for _, seat := range c.seats {
			seat.aim(target, goal.Value)
		}
	}
}

// targetKnob returns the knob that moves an end of the arc for all seats.
func (c *crewSearch) targetKnob(target Target) knob {
	trait := targetTraits[target.index()]
	return knob{
		low: trait.low, high: trait.high, probe: float64(1e-3 * Degree), seats: c.everySeat(),
		home: c.targets[target].Value, pull: choosePull * math.Sqrt(float64(len(c.seats))) / float64(Degree),
		move: func(seat *fitSeat, v float64) { seat.aim(target, v) },
	}
}

func roundTo(v, step float64) float64 { return math.Round(v/step) * step }

func (c *crewSearch) everySeat() []int {
	list := make([]int, len(c.seats))
	for i := range list {
		list[i] = i
	}
	return list
}

// knobs returns the knobs of the shared options and of every seat's private
// settings, leaving out those without a choice. pull is for each cm or degree.
func (c *crewSearch) knobs(shared []option, pull func(*option) float64) []knob {
	var list []knob
	add := func(o *option, seats []int) {
		if o.Min < o.Max {
			k := o.knob(seats)
			k.pull = pull(o) / o.unit
			list = append(list, k)
		}
	}
	for i := range shared {
		add(&shared[i], c.everySeat())
	}
	for i, seat := range c.seats {
		for _, o := range newSearch(seat, c.private).options {
			add(&o, []int{i})
		}
	}
	return list
}

func faint(*option) float64 { return faintPull }

// run searches. The shared settings stay as found, or some of them move: about
// the steps nearest to the relaxation of the whole crew, and from there on step
// by step while that helps. The error is a *SeatError.
func (c *crewSearch) run() error {
	first := c.begin(c.bases())
	c.finish(first)
	c.best = *first
	for moving := set(1); moving < 1<<len(c.shared); moving++ {
		c.walk(moving)
	}
	if math.IsInf(c.best.score, 1) {
		return c.stuck()
	}
	return nil
}

// bases returns the values of the shared settings to start from.
func (c *crewSearch) bases() []float64 {
	v := make([]float64, len(c.shared))
	for i := range c.shared {
		v[i] = c.shared[i].base
	}
	return v
}

// share sets the shared settings of one seat.
func (c *crewSearch) share(seat *fitSeat, values []float64) {
	for i, v := range values {
		seat.c.Setup.SetValue(c.shared[i].setting, v)
	}
}

func (c *crewSearch) shareBases() {
	for _, seat := range c.seats {
		c.share(seat, c.bases())
	}
}

// cost returns what the shared settings add to the score.
func (c *crewSearch) cost(values []float64) float64 {
	sum := 0.0
	for i := range c.shared {
		sum += c.shared[i].charge(values[i])
	}
	return sum * float64(len(c.seats))
}

// begin starts to fit every seat with the shared values.
func (c *crewSearch) begin(values []float64) *crewRig {
	rig := crewRig{values: values, seats: make([]*search, len(c.seats))}
	bounds := make([]float64, len(c.seats))
	c.eachSeat(func(i int) {
		c.share(c.seats[i], values)
		rig.seats[i] = newSearch(c.seats[i], c.private)
		rig.seats[i].before = c.before[i]
		bounds[i] = rig.seats[i].begin()
	})
	rig.bound = c.cost(values) + floats.Sum(bounds)
	return &rig
}

// finish searches every seat of the rig to the end, and notes what moves.
func (c *crewSearch) finish(rig *crewRig) {
	c.eachSeat(func(i int) {
		s := rig.seats[i]
		c.share(c.seats[i], rig.values)
		if s.run() {
			c.before[i] = s.relaxed
			if moved := s.moved() & s.movable; !slices.Contains(c.moved[i], moved) {
				c.moved[i] = append(c.moved[i], moved)
			}
		}
	})
	c.add(rig)
}

// hurry fits every seat of the rig by moving what moved in rigs before.
func (c *crewSearch) hurry(rig *crewRig) {
	c.eachSeat(func(i int) {
		c.share(c.seats[i], rig.values)
		for _, moved := range c.moved[i] {
			rig.seats[i].round(moved)
		}
	})
	c.add(rig)
}

// add sums the rig's score.
func (c *crewSearch) add(rig *crewRig) {
	rig.score = c.cost(rig.values)
	for _, s := range rig.seats {
		rig.score += s.best.score
	}
}

// eachSeat does something for all seats at once; what it does for one seat must
// not touch another. A panic in one of them is raised again here.
func (c *crewSearch) eachSeat(do func(i int)) {
	atOnce(len(c.seats), do)
}

// walk looks for a better rig with the shared settings in moving off their
// bases.
func (c *crewSearch) walk(moving set) {
	var shared []option
	least := c.bases()
	for i := range c.shared {
		if o := c.shared[i]; moving.has(i) {
			shared = append(shared, o)
			least[i] += o.Step
		}
	}
	if c.cost(least) >= c.best.score {
		return
	}
	_, r := c.relax(shared)
	if !r.ok || c.cost(least)+c.bound(r.off) >= c.best.score {
		return
	}
	at := make([]int, len(shared))
	for i := range shared {
		at[i] = shared[i].nearest(r.values[i])
	}
	for c.lookAbout(moving, at) {
		c.finish(&c.best)
	}
}

// walkReach is how many steps either way a shared setting is tried when it
// moves alone.
const walkReach = 3

// lookAbout tries the steps about at and puts at where the best of them is;
// false when none is better than the best rig so far. Only the one with the
// least bound is searched to the end, the others in a hurry.
func (c *crewSearch) lookAbout(moving set, at []int) bool {
	var rigs []*crewRig
	for _, here := range c.around(moving, at) {
		rig := c.begin(c.valuesAt(moving, here))
		rig.at = here
		rigs = append(rigs, rig)
	}
	slices.SortStableFunc(rigs, func(a, b *crewRig) int { return cmp.Compare(a.bound, b.bound) })
	better := false
	for n, rig := range rigs {
		if rig.bound >= c.best.score {
			break
		}
		if n == 0 {
			c.finish(rig)
		} else {
			c.hurry(rig)
		}
		if rig.score < c.best.score-1e-9 {
			c.best, better = *rig, true
			copy(at, rig.at)
		}
	}
	return better
}

// around lists the steps within reach of at.
func (c *crewSearch) around(moving set, at []int) [][]int {
	list := [][]int{slices.Clone(at)}
	reach := walkReach / len(at)
	for i := range at {
		last := c.shared[nth(moving, i)].count() - 1
		var longer [][]int
		for _, here := range list {
			for k := max(0, at[i]-reach); k <= min(last, at[i]+reach); k++ {
				next := slices.Clone(here)
				next[i] = k
				longer = append(longer, next)
			}
		}
		list = longer
	}
	return list
}

// valuesAt returns the shared values with those in moving at their steps.
func (c *crewSearch) valuesAt(moving set, at []int) []float64 {
	v := c.bases()
	for i, k := range at {
		o := nth(moving, i)
		v[o] = c.shared[o].at(k)
	}
	return v
}

// relax returns the relaxation of the whole crew over the private settings and
// the shared ones listed, with its solution.
func (c *crewSearch) relax(shared []option) (*relaxation, relaxed) {
	c.shareBases()
	p := newRelaxation(c.seats, c.knobs(shared, faint))
	return p, p.solve(nil)
}

// bound returns a lower bound of the sum of the seats' scores when the root of
// all their squared misses is at least off: a seat that meets its targets takes
// up no more than its slack of it.
func (c *crewSearch) bound(off float64) float64 {
	rest := off * off
	for _, seat := range c.seats {
		rest -= seat.slack * seat.slack
	}
	return math.Sqrt(max(0, rest))
}

// stuck returns which seat cannot be rowed with the oars as found.
func (c *crewSearch) stuck() error {
	c.shareBases()
	for i, seat := range c.seats {
		s := newSearch(seat, c.private)
		if s.begin(); !s.run() {
			return &SeatError{i, s.unreachable()}
		}
	}
	panic("rigging: a crew that can row every seat has no fit")
}
