package rigging

import (
	"cmp"
	"math"
	"slices"
)

// Job is how much of a boat is to be set.
type Job string

// The two jobs.
const (
	// JobEveryday sets stretchers, and gates that are out.
	JobEveryday Job = "everyday"
	// JobRerig also brings gates just outside their window in, heels and
	// plates where ankles, knees or hips ask for it, and a pitch that was
	// measured and is out.
	JobRerig Job = "full_rerig"
)

// PlanSeat is one seat of a boat to be planned for.
type PlanSeat struct {
	// Case holds the rig as found, and Posture and Belief of what is expected
	// of the rower: see [Case.Expect].
	Case     Case
	Measures Measures
	// Arc is the arc to expect of the rower: see [Group.Arc], or the coach's
	// own. It is the default target.
	Arc ClassArc
	// Missing lists what nobody has measured: no instruction moves it.
	Missing Missing
	// Strength is what the rower can do, in any unit that is the same for the
	// whole crew; 0: not known.
	Strength float64
	// Stays says that nothing is moved at the seat: it counts for the targets and
	// is judged, as when somebody else is put into another seat.
	Stays bool
}

// PlanTask says what a boat is to be set to.
type PlanTask struct {
	Seats []PlanSeat
	Job   Job
	// Targets are common to all seats. An end left out is chosen: the mean of
	// the seats' arcs, and no catch that somebody's capacity does not hold.
	Targets Targets
	// Adjust says in which ranges and steps settings can be moved; a setting
	// that is left out has those of [Setup.Adjustments]. Costs are not used.
	Adjust map[Setting]Adjustment
	Limits Limits // the zero value stands for DefaultLimits
	// Keep lists settings that stay where they are although they are known.
	Keep []Setting
}

// Plan is the work on a boat.
type Plan struct {
	Targets Targets
	Chosen  []Target // those that were not asked for
	Seats   []SeatPlan
	// Limiting lists the seats whose capacity does not hold the catch, the
	// furthest first, and AllReach the catch that every seat's does; zero for
	// a crew without a seat that can be rowed.
	Limiting []int
	AllReach Angle
	// Offers lists what else would bring the seats that fall short nearer, in
	// the order of preference, each with its price. None is part of the work.
	Offers []Offer
}

// SeatPlan is the work on one seat.
type SeatPlan struct {
	Setup   Setup    // as it is to be set, on the boat's steps
	Changes []Change // from as found, in the order of the work
	// Before and After judge the seat as found and as set. Before is nil where
	// the rig as found cannot be rowed.
	Before *SeatJudgement
	After  SeatJudgement
	// Posture and Stroke are how the seat as set is rowed: as expected, and
	// with less lean where the catch would lie beyond the target, unless that
	// alone brings a caution.
	Posture Posture
	Stroke  Stroke
	Suits   Suits
	// HeelToPin is where the stretcher belongs, steps left out, m, with the
	// standard deviation that body and posture leave it, and Proof how the
	// place is checked at the boat with the rower in the seat. It is an aim,
	// also where nobody has measured the stretcher.
	HeelToPin, HeelSD float64
	Proof             Proof
	// Measure lists what to measure before an instruction can move the rest.
	Measure []Evidence
	// MeasureSettings lists the settings among it.
	MeasureSettings []Setting
	// Unmet lists the ends that stay off: see After. Binding lists the settings
	// whose ranges end before the place that would put them right, and HeldBy
	// the codes of the cautions that all of the work would have brought, where
	// less of it is done for them.
	Unmet   []Target
	Binding []Setting
	HeldBy  []string
}

// MakePlan returns the work that sets a boat as boatmen do: oars and pins stay
// as they are; the stretcher goes where the finish is right, when it is more
// than [FinishTolerance] off; a gate moves only when it stands outside its
// window, (see [GateWindow.Out]), apart from the arc; nothing that nobody measured is moved by an instruction,
// and nothing that brings a caution which the present rig does not have. A
// catch longer than the target is met. What else could help is an [Offer].
//
// So each seat has, gate and stretcher after each other, the least of: the
// gate's distance from its window beyond what counts as out, then how far it
// moves; the finish's miss beyond the tolerance, then whether the stretcher
// moves, then the miss.
//
// The error is FieldErrors, or a *SeatError with a *ReachError for a seat that
// no place of the stretcher lets its rower row.
func MakePlan(task *PlanTask) (Plan, error) {
	if errs := task.check(); len(errs) > 0 {
		return Plan{}, errs
	}
	p := planner{task: task, limits: task.Limits}
	if p.limits == (Limits{}) {
		p.limits = DefaultLimits()
	}
	if err := p.choose(); err != nil {
		return Plan{}, err
	}
	plan := Plan{Targets: p.targets, Chosen: p.chosen, Seats: make([]SeatPlan, len(task.Seats))}
	for i := range task.Seats {
		seat, err := p.seat(&task.Seats[i])
		if err != nil {
			return Plan{}, &SeatError{i, err}
		}
		plan.Seats[i] = seat
	}
	p.compare(&plan)
	if !slices.ContainsFunc(task.Seats, func(s PlanSeat) bool { return s.Stays }) { // offers move whole crews
		p.offers(&plan)
	}
	return plan, nil
}

func (t *PlanTask) check() FieldErrors {
	if len(t.Seats) == 0 {
		return FieldErrors{problemAt(PlaceOf(FieldSeats), ProblemMissing, Count, "give at least one seat with its rower")}
	}
	class := t.Seats[0].Case.Setup.Class
	var errs FieldErrors
	for i := range t.Seats {
		errs = append(errs, t.Seats[i].check(PlaceOf(FieldSeats).Item(i), class)...)
	}
	if err := t.Targets.Check(); err != nil {
		errs = append(errs, err.(FieldErrors)...)
	}
	if t.Job != JobEveryday && t.Job != JobRerig {
		errs = append(errs, problemAt(PlaceOf(FieldJob), ProblemUnknown, Count, "a boat gets the everyday job or a full re-rig"))
	}
	if len(t.Adjust) > 0 {
		errs = append(errs, checkAdjustments(&t.Seats[0].Case.Setup, t.Adjust)...)
	}
	return errs
}

func (s *PlanSeat) check(at Place, class Class) FieldErrors {
	errs := checkAll(plausiblesIn(at, class, value{FieldStrength, s.Strength}))
	if s.Case.Body.Body.Arm == 0 {
		errs = append(errs, problemAt(at.Then(FieldRower), ProblemMissing, Count, "say who rows the seat"))
	}
	if s.Case.Setup.Class != class {
		errs = append(errs, problemAt(at.Then(FieldBoatClass), ProblemMismatch, Count, "all seats belong to one boat"))
	}
	return errs
}

// planner works out a plan.
type planner struct {
	task    *PlanTask
	limits  Limits
	targets Targets
	chosen  []Target
}

// targetStep is what chosen targets are rounded to; common practice.
const targetStep = Degree / 2

// choose fills the targets that were not asked for.
func (p *planner) choose() error {
	p.targets = p.task.Targets
	var arc Targets
	for i := range p.task.Seats {
		n := Angle(len(p.task.Seats))
		arc.Catch += p.task.Seats[i].Arc.Catch / n
		arc.Finish += p.task.Seats[i].Arc.Finish / n
	}
	if p.targets.Finish == 0 {
		p.targets.Finish = Angle(roundTo(float64(arc.Finish), float64(targetStep)))
		p.chosen = append(p.chosen, TargetFinish)
	}
	if p.targets.Catch == 0 {
		p.targets.Catch = Angle(roundTo(float64(arc.Catch), float64(targetStep)))
		p.chosen = append(p.chosen, TargetCatch)
		return p.shorten()
	}
	return nil
}

// shorten brings the common catch within everybody's capacity.
func (p *planner) shorten() error {
	for i := range p.task.Seats {
		reach, err := p.capacity(&p.task.Seats[i], &p.task.Seats[i].Case.Setup)
		if err != nil {
			return &SeatError{i, err}
		}
		// Towards the shorter, so that the rounded catch is held as well.
		most := Angle(math.Ceil(float64(reach/targetStep)-1e-9)) * targetStep
		p.targets.Catch = max(p.targets.Catch, most)
	}
	return nil
}

// capacity returns the catch that a seat's rower reaches at the most in a rig
// with the stretcher where the finish is right.
func (p *planner) capacity(seat *PlanSeat, setup *Setup) (Angle, error) {
	c := seat.Case
	c.Setup = *setup
	heel, err := c.heelFor(p.targets.Finish)
	if err != nil {
		return 0, err
	}
	c.Setup.HeelToPin = heel
	return c.capacityCatch(p.limits)
}

// adjustment returns the range and steps of a setting, widened to hold it as
// found.
func (p *planner) adjustment(setup *Setup, name Setting) Adjustment {
	a, ok := p.task.Adjust[name]
	if !ok {
		a = setup.Adjustments()[name]
	}
	return a
}

// on returns the value on the steps next to v that least prefers, inside the
// range.
func (a *Adjustment) on(v float64, miss func(v float64) float64) float64 {
	k := a.nearest(v)
	best := a.at(k)
	for _, n := range [...]int{k - 1, k + 1} {
		if n >= 0 && n < a.count() && miss(a.at(n)) < miss(best)-1e-12 {
			best = a.at(n)
		}
	}
	return best
}

// part is a part of a seat's work.
type part struct{ gate, rest, stretcher bool }

// parts lists all the work and then less of it, in the order it is tried.
var parts = [...]part{{true, true, true}, {true, false, true}, {false, true, true}, {false, false, true}, {true, true, false}, {true, false, false}, {}}

// parts lists how much of the work is tried at the seat.
func (s *PlanSeat) parts() []part {
	if s.Stays {
		return parts[len(parts)-1:]
	}
	return parts[:]
}

// seat returns the plan of one seat: all the work, or as much of it as brings
// no caution that the present rig does not have.
func (p *planner) seat(seat *PlanSeat) (SeatPlan, error) {
	before := p.cautionsOf(seat, &seat.Case)
	setup, posture := seat.Case.Setup, seat.Case.Posture
	for _, less := range seat.parts() {
		s := p.work(seat, less)
		if q, ok := p.uncautioned(seat, s, before); ok {
			setup, posture = s, q
			break
		}
	}
	plan, err := p.describe(seat, setup, posture)
	if all := p.work(seat, seat.parts()[0]); err == nil && all != setup {
		c := seat.Case
		c.Setup = all
		plan.HeldBy = added(before, p.cautionsOf(seat, &c))
	}
	return plan, err
}

// added lists the codes of the cautions that after holds and before does not.
func added(before, after map[alarm]bool) []string {
	var list []string
	for a := range after {
		if !before[a] {
			list = append(list, a.code)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// uncautioned returns how the rower rows the rig without a caution that is not
// among before: to the target catch where the body reaches beyond it, or as
// expected. Anything is right where the rig as found cannot be rowed.
func (p *planner) uncautioned(seat *PlanSeat, setup Setup, before map[alarm]bool) (Posture, bool) {
	c := seat.Case
	c.Setup = setup
	expected := c.Posture
	rowed := c.comeForward(expected, p.furthest(&setup))
	for _, posture := range [...]Posture{rowed, expected} {
		if _, list, err := c.RowedCautions(posture, &seat.Measures); before == nil || err == nil && !adds(before, alarms(list)) {
			return posture, true
		}
	}
	return expected, false
}

// furthest returns the catch that a rower comes forward to at the most: the
// target, and never one that is cautioned as steep, so that an ambitious target
// leaves no less of the work to be done than a modest one.
func (p *planner) furthest(s *Setup) Angle {
	if s.Class.Scull {
		return max(p.targets.Catch, -steepScull)
	}
	return max(p.targets.Catch, -steepSweep)
}

// work returns the rig as it is to be set, as far as do says.
func (p *planner) work(seat *PlanSeat, do part) Setup {
	c := seat.Case
	if do.gate && !p.stays(seat, SettingGateHeight) {
		c.Setup.GateHeight = p.gate(seat)
	}
	if do.rest && p.task.Job == JobRerig {
		p.rerig(seat, &c)
	}
	if do.stretcher && !p.stays(seat, SettingHeelToPin) && !seat.Missing.Rower {
		c.Setup.HeelToPin = p.heel(&c)
	}
	return c.Setup
}

// stays reports whether nothing moves a setting of the seat: nobody has measured
// it, or it is to be kept.
func (p *planner) stays(seat *PlanSeat, name Setting) bool {
	return seat.Missing.has(name) || slices.Contains(p.task.Keep, name)
}

// heel returns where the stretcher goes: where it is while the finish lies
// within its tolerance.
func (p *planner) heel(c *Case) float64 {
	miss := func(heel float64) float64 {
		m := *c
		m.Setup.HeelToPin = heel
		finish, err := finishOf(&m.Setup, &m.Body.Body, &m.Posture, m.handle())
		if err != nil {
			return math.Inf(1)
		}
		return math.Abs(float64(finish - p.targets.Finish))
	}
	found := c.Setup.HeelToPin
	if miss(found) <= float64(FinishTolerance)+rounding {
		return found
	}
	exact, err := c.heelFor(p.targets.Finish)
	if err != nil {
		return found
	}
	a := p.adjustment(&c.Setup, SettingHeelToPin)
	if best := a.on(exact, miss); miss(best) < miss(found)-1e-12 {
		return best
	}
	return found
}

// describe fills the plan of a seat for the rig as it is to be set, and the
// posture it is rowed in.
func (p *planner) describe(seat *PlanSeat, setup Setup, posture Posture) (SeatPlan, error) {
	s := SeatPlan{Setup: setup, Changes: Changes(&seat.Case.Setup, &setup)}
	s.Before = p.judged(seat, seat.Case)
	c := seat.Case
	c.Setup = setup
	expected, err := c.Solve()
	if err != nil {
		return SeatPlan{}, err
	}
	if s.Suits, err = c.Suits(&expected, p.targets, p.limits); err != nil {
		return SeatPlan{}, err
	}
	s.After = c.judge(&expected, &s.Suits, p.targets, seat.Missing)
	if s.HeelToPin, err = c.heelFor(p.targets.Finish); err != nil {
		return SeatPlan{}, err
	}
	s.HeelSD = c.Setup.HeelSD(expected.Finish, s.After.FinishSD)
	s.Proof = c.Setup.Proof(p.targets)
	s.Posture, c.Posture = posture, posture
	if s.Stroke, err = c.Solve(); err != nil {
		return SeatPlan{}, err
	}
	s.lacks(seat, p.draws(seat))
	s.miss()
	a := p.adjustment(&setup, SettingHeelToPin)
	if slices.Contains(s.Unmet, TargetFinish) && (s.HeelToPin < a.Min-a.Step || s.HeelToPin > a.Max+a.Step) {
		s.Binding = append(s.Binding, SettingHeelToPin)
	}
	return s, nil
}

// judged returns the verdict on the rig as found, or nil where it cannot be
// rowed.
func (p *planner) judged(seat *PlanSeat, c Case) *SeatJudgement {
	stroke, err := c.Solve()
	if err != nil {
		return nil
	}
	j, err := c.Judge(&stroke, p.targets, p.limits, seat.Missing)
	if err != nil {
		return nil
	}
	return &j
}

// lacks fills what to measure. draws says that the gate is out by a draw height
// that stands for the rower's own.
func (s *SeatPlan) lacks(seat *PlanSeat, draws bool) {
	if seat.Missing.Rower {
		s.Measure = append(s.Measure, EvidenceRower)
	}
	if draws {
		s.Measure = append(s.Measure, EvidenceDraw)
	}
	s.MeasureSettings = slices.Clone(seat.Missing.Settings)
}

// miss fills the ends that stay off.
func (s *SeatPlan) miss() {
	if finishVerdict(s.After.FinishBy) != SeatOnTarget {
		s.Unmet = append(s.Unmet, TargetFinish)
	}
	if s.After.CatchOdds != "" && catchVerdict(s.After.CatchShort, s.After.CatchOdds) != SeatOnTarget {
		s.Unmet = append(s.Unmet, TargetCatch)
	}
}

// alarm is a caution by what it is about.
type alarm struct{ code, place string }

// cautionsOf returns the cautions of a case that are not standing, or nil where
// it cannot be rowed.
func (p *planner) cautionsOf(seat *PlanSeat, c *Case) map[alarm]bool {
	stroke, err := c.Solve()
	if err != nil {
		return nil
	}
	return alarms(c.Cautions(&stroke, &seat.Measures))
}

// alarms names the cautions that are not standing.
func alarms(cautions []Caution) map[alarm]bool {
	list := map[alarm]bool{}
	for _, a := range cautions {
		if a.Weight == Standing {
			continue
		}
		place := ""
		if a.Range != nil {
			place = a.Range.Place.String()
		}
		list[alarm{a.Code, place}] = true
	}
	return list
}

// adds reports whether after holds a caution that before does not, or cannot be
// rowed.
func adds(before, after map[alarm]bool) bool {
	return after == nil || len(added(before, after)) > 0
}

// compare fills who limits the catch and what all can reach.
func (p *planner) compare(plan *Plan) {
	for i := range plan.Seats {
		s := &plan.Seats[i]
		if s.Suits.Catch == nil {
			continue
		}
		if plan.AllReach == 0 || s.Suits.Catch.Capacity > plan.AllReach {
			plan.AllReach = s.Suits.Catch.Capacity
		}
		if s.After.CatchShort > 0 {
			plan.Limiting = append(plan.Limiting, i)
		}
	}
	slices.SortStableFunc(plan.Limiting, func(a, b int) int {
		return cmp.Compare(plan.Seats[b].After.CatchShort, plan.Seats[a].After.CatchShort)
	})
}
