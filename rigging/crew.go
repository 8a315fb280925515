package rigging

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/floats"
)

// CrewSeat is one seat of a boat to be fitted.
type CrewSeat struct {
	Case Case
	// Strength is what the rower can do, in any unit that is the same for
	// the whole crew, such as W. 0: not known, taken as the crew's mean.
	Strength float64
}

// CrewTask says what a whole boat is fitted to.
type CrewTask struct {
	Seats []CrewSeat
	// Targets are common to all seats. A catch or finish that is left out is
	// chosen: the best ends for this crew.
	Targets FitTargets
	// Adjust says what may be moved at every seat.
	Adjust map[Setting]Adjustment
	// OwnInboard lets the inboards differ from seat to seat. The oars' length
	// is always that of one set, and without OwnInboard so is the inboard.
	OwnInboard bool
}

// CrewFit is the rig of a whole boat that brings its crew nearest to common
// targets.
type CrewFit struct {
	Targets FitTargets // common to all seats, with what was chosen
	Chosen  []Target   // those that were not asked for
	Seats   []Fit
	// Reliefs tell what would bring the seats that miss a target nearer.
	Reliefs []Relief
	Score   float64 // sum of the seats' scores and of the costs of the shared settings
}

// ReliefKind names what could be changed beyond what may be adjusted.
type ReliefKind string

// The kinds of relief.
const (
	ReliefStretcher  ReliefKind = "stretcher"   // stretcher boards further fore or aft, higher or lower
	ReliefPins       ReliefKind = "pins"        // another span or spread
	ReliefOars       ReliefKind = "oars"        // another set of oars
	ReliefOwnInboard ReliefKind = "own_inboard" // inboards that differ between the seats
)

// Relief is what one kind of change beyond the ranges would bring.
type Relief struct {
	Kind ReliefKind
	// Gains holds how much nearer each seat would come to its targets, in
	// tolerances, steps and costs left out.
	Gains []float64
}

// SeatError is an error of one seat of a crew, counted from 0 in the order the
// seats were given.
type SeatError struct {
	Seat int
	Err  error
}

// Error names the seat's place in the list, from 1.
func (e *SeatError) Error() string { return fmt.Sprintf("seat %d of the list: %v", e.Seat+1, e.Err) }

// Unwrap returns the seat's own error.
func (e *SeatError) Unwrap() error { return e.Err }

// FitCrew fits every seat of a boat to the same catch and finish with one set
// of oars. Each seat is fitted as by [Case.Fit]; settings that are shared have
// one value in all seats and their cost counts for each seat. The sum of the
// seats' scores is made as small as it can.
//
// Where inboards may differ, the load is shared out: with the blade's force
// equal, the force at the handle grows with the lever ratio R_out/R_in, and so
// the lever ratio wanted of seat i with strength s_i is L·s_i/s̄, with s̄ the
// crew's mean and L the lever ratio asked for, or else the mean of those found.
//
// Ends of the arc that are not asked for are chosen by least squares over every
// setting that may move: the misses of all seats against a pull towards
// [DefaultTargets] and against the cost of the moves, and then rounded to half
// degrees.
//
// The error is FieldErrors, or a *SeatError with a *ReachError for a rower who
// cannot row any rig in the ranges.
func FitCrew(task *CrewTask) (CrewFit, error) {
	if errs := task.check(); len(errs) > 0 {
		return CrewFit{}, errs
	}
	crew := newCrewSearch(task)
	crew.choose()
	if err := crew.run(); err != nil {
		return CrewFit{}, err
	}
	return crew.report(), nil
}

func (t *CrewTask) check() FieldErrors {
	if len(t.Seats) == 0 {
		return FieldErrors{{Field: "seats", Problem: ProblemMissing, Detail: "give at least one seat with its rower"}}
	}
	class := t.Seats[0].Case.Setup.Class
	var errs FieldErrors
	if len(t.Seats) > class.Rowers {
		errs = append(errs, &FieldError{Field: "seats", Problem: ProblemMismatch, Detail: fmt.Sprintf("%d seats for a boat of %d rowers", len(t.Seats), class.Rowers)})
	}
	for i := range t.Seats {
		errs = append(errs, t.Seats[i].check(fmt.Sprintf("seats[%d].", i), class)...)
	}
	errs = append(errs, t.Targets.check()...)
	return append(errs, checkAdjustments(&t.Seats[0].Case.Setup, t.Adjust)...)
}

// largestStrength bounds a strength, in whatever unit.
const largestStrength = 1e5

func (s *CrewSeat) check(field string, class Class) FieldErrors {
	errs := checkAll([]plausible{{field: field + "strength", high: largestStrength, value: s.Strength}})
	if s.Case.Body.Body.Arm == 0 {
		errs = append(errs, &FieldError{Field: field + "rower", Problem: ProblemMissing, Detail: "say who rows the seat"})
	}
	if s.Case.Setup.Class != class {
		errs = append(errs, &FieldError{Field: field + "boat_class", Problem: ProblemMismatch, Detail: "all seats belong to one boat"})
	}
	return errs
}

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
}

// crewRig is one choice of the shared settings with the seats fitted to it.
type crewRig struct {
	values []float64 // of the shared options
	seats  []*search
	score  float64
}

func newCrewSearch(task *CrewTask) *crewSearch {
	c := &crewSearch{task: task, targets: maps.Clone(task.Targets), private: maps.Clone(task.Adjust)}
	c.best.score = math.Inf(1)
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
	knobs := c.knobs(c.private, c.shared, func(o *option) float64 { return movePull * o.Cost })
	for _, target := range c.chosen {
		knobs = append(knobs, c.targetKnob(target))
	}
	r := newRelaxation(c.seats, knobs).solve()
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
func (c *crewSearch) knobs(private map[Setting]Adjustment, shared []option, pull func(*option) float64) []knob {
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
		for _, o := range newSearch(seat, private).options {
			add(&o, []int{i})
		}
	}
	return list
}

func faint(*option) float64 { return faintPull }

// run searches. The shared settings stay as found, or some of them move: to the
// steps nearest to the relaxation of the whole crew, and from there on step by
// step while that helps. The error is a *SeatError.
func (c *crewSearch) run() error {
	c.consider(c.bases())
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

// consider fits every seat with the shared values and takes the result if it
// scores better than the best so far.
func (c *crewSearch) consider(values []float64) bool {
	rig := crewRig{values: slices.Clone(values), seats: make([]*search, len(c.seats)), score: c.cost(values)}
	bounds := make([]float64, len(c.seats))
	c.eachSeat(func(i int) {
		c.share(c.seats[i], values)
		rig.seats[i] = newSearch(c.seats[i], c.private)
		bounds[i] = rig.seats[i].begin()
	})
	if rig.score+floats.Sum(bounds) >= c.best.score-1e-12 {
		return false
	}
	c.eachSeat(func(i int) { rig.seats[i].run() })
	for _, s := range rig.seats {
		rig.score += s.best.score
	}
	if rig.score >= c.best.score-1e-12 {
		return false
	}
	c.best = rig
	return true
}

// eachSeat does something for all seats at once; what it does for one seat must
// not touch another.
func (c *crewSearch) eachSeat(do func(i int)) {
	var wg sync.WaitGroup
	for i := range c.seats {
		wg.Go(func() { do(i) })
	}
	wg.Wait()
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
	_, r := c.relax(c.private, shared)
	if !r.ok || c.cost(least)+c.bound(r.off) >= c.best.score {
		return
	}
	at := make([]int, len(shared))
	for i := range shared {
		at[i] = shared[i].nearest(r.values[i])
	}
	c.consider(c.valuesAt(moving, at))
	for c.step(moving, at) {
	}
}

// step takes the first neighbour of at, one step away in one shared setting,
// that is better than the best rig so far; false when there is none.
func (c *crewSearch) step(moving set, at []int) bool {
	for i := range at {
		o := &c.shared[nth(moving, i)]
		for _, d := range [...]int{-1, 1} {
			at[i] += d
			if at[i] >= 0 && at[i] < o.count() && c.consider(c.valuesAt(moving, at)) {
				return true
			}
			at[i] -= d
		}
	}
	return false
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
func (c *crewSearch) relax(private map[Setting]Adjustment, shared []option) (*relaxation, relaxed) {
	c.shareBases()
	p := newRelaxation(c.seats, c.knobs(private, shared, faint))
	return p, p.solve()
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

// report describes the best rig found.
func (c *crewSearch) report() CrewFit {
	f := CrewFit{Targets: c.targets, Chosen: c.chosen, Score: c.best.score, Seats: make([]Fit, len(c.seats))}
	c.eachSeat(func(i int) {
		c.share(c.seats[i], c.best.values)
		f.Seats[i] = c.best.seats[i].report()
		for j := range c.shared {
			if o := &c.shared[j]; !o.holds(c.seats[i].found.Value(o.setting)) {
				f.Seats[i].Outside = append(f.Seats[i].Outside, o.setting)
			}
		}
	})
	if slices.ContainsFunc(f.Seats, func(s Fit) bool { return len(s.Unmet) > 0 }) {
		f.Reliefs = c.reliefs()
	}
	return f
}

// reliefSettings lists the settings whose ranges each kind of relief widens.
var reliefSettings = map[ReliefKind][]Setting{
	ReliefStretcher: {SettingHeelToPin, SettingHeelDepth},
	ReliefPins:      {SettingSpan, SettingSpread},
	ReliefOars:      {SettingOarLength, SettingInboard},
}

// reliefs returns the kinds of relief that bring a seat nearer to its targets
// by an amount worth telling.
func (c *crewSearch) reliefs() []Relief {
	task := *c.task
	task.Targets = c.targets
	held := task.offs()
	var list []Relief
	for _, kind := range []ReliefKind{ReliefStretcher, ReliefPins, ReliefOars, ReliefOwnInboard} {
		relief := Relief{Kind: kind}
		for i, off := range task.eased(kind).offs() {
			relief.Gains = append(relief.Gains, held[i]-off)
		}
		if slices.Max(relief.Gains) > worthTelling {
			list = append(list, relief)
		}
	}
	return list
}

// eased returns the task with one kind of relief: ranges as wide as is usual in
// any boat, or inboards that may differ.
func (t CrewTask) eased(kind ReliefKind) *CrewTask {
	setup := &t.Seats[0].Case.Setup
	t.Adjust = maps.Clone(t.Adjust)
	t.OwnInboard = t.OwnInboard || kind == ReliefOwnInboard
	for _, name := range reliefSettings[kind] {
		if !setup.Class.has(name) {
			continue
		}
		usual := setup.possible(name)
		a, ok := t.Adjust[name]
		if !ok {
			a = Adjustment{Min: setup.Value(name), Max: setup.Value(name), Step: 0.005}
		}
		a.Min, a.Max = min(a.Min, usual.usualLow), max(a.Max, usual.usualHigh)
		t.Adjust[name] = a
	}
	return &t
}

// offs returns how far each seat stays from its targets, see [Fit], when the
// whole crew comes as near as it can with steps and costs left out.
func (t *CrewTask) offs() []float64 {
	c := newCrewSearch(t)
	p, _ := c.relax(c.private, c.shared)
	return p.offs()
}
