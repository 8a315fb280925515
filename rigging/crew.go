package rigging

import (
	"fmt"
	"maps"
	"slices"
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
	seats := PlaceOf(FieldSeats)
	if len(t.Seats) == 0 {
		return FieldErrors{problemAt(seats, ProblemMissing, Count, "give at least one seat with its rower")}
	}
	class := t.Seats[0].Case.Setup.Class
	var errs FieldErrors
	if len(t.Seats) > class.Rowers {
		errs = append(errs, problemAt(seats, ProblemMismatch, Count, fmt.Sprintf("%d seats for a boat of %d rowers", len(t.Seats), class.Rowers)))
	}
	for i := range t.Seats {
		errs = append(errs, t.Seats[i].check(seats.Item(i), class)...)
	}
	errs = append(errs, t.Targets.check()...)
	return append(errs, checkAdjustments(&t.Seats[0].Case.Setup, t.Adjust)...)
}

func (s *CrewSeat) check(at Place, class Class) FieldErrors {
	errs := checkAll(plausiblesIn(at, class, value{FieldStrength, s.Strength}))
	if s.Case.Body.Body.Arm == 0 {
		errs = append(errs, problemAt(at.Then(FieldRower), ProblemMissing, Count, "say who rows the seat"))
	}
	if s.Case.Setup.Class != class {
		errs = append(errs, problemAt(at.Then(FieldBoatClass), ProblemMismatch, Count, "all seats belong to one boat"))
	}
	return errs
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
	p, _ := c.relax(c.shared)
	return p.offs()
}
