package seat

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// SeatWork is the work on one seat.
type SeatWork struct {
	Seat    SeatValues    `json:"seat" description:"The rig as it is to be set, every value filled in: it can be sent again."`
	Result  SeatSolution  `json:"result" description:"As it is rowed then: in the posture stated, or as expected, with less lean where the catch would lie beyond the target."`
	Targets []AimedTarget `json:"targets"`
	Changes []SeatChange  `json:"changes" description:"From the rig as sent to this one, in an order of work that does not undo itself. Nothing that was not sent is told to be moved."`
	Binding []string      `json:"binding" description:"Settings whose range ends before the place that would put the seat right."`
	Unmet   []UnmetTarget `json:"unmet"`
	Before  *Verdict      `json:"before" description:"On the rig as sent; null where it cannot be rowed."`
	Measure []string      `json:"measure" description:"What to measure first: stature, draw_height, or a setting that was not sent."`
	HeldBy  []string      `json:"held_by" description:"Codes of the cautions that more work would have brought, where less is done for them."`
}

// SeatFit is the work on one seat, with what else could be done.
type SeatFit struct {
	SeatWork
	Job    string  `json:"job" enum:"everyday,full_rerig"`
	Offers []Offer `json:"offers" description:"What else would bring the catch nearer, in the order of preference, each with its price. None is part of the work."`
}

// CrewSeatFit is the work on one seat of a crew.
type CrewSeatFit struct {
	Number int `json:"number"`
	SeatWork
}

// CrewFit is the work on a whole boat.
type CrewFit struct {
	Job         string         `json:"job" enum:"everyday,full_rerig"`
	Targets     []CommonTarget `json:"targets"`
	Seats       []CrewSeatFit  `json:"seats" description:"In the order sent."`
	Work        []Work         `json:"work" description:"What has to be moved, seat by seat, in an order that does not undo itself."`
	Limiting    []int          `json:"limiting" description:"Seats whose reach does not hold the common catch, the furthest first."`
	AllReachDeg float64        `json:"all_reach_deg" description:"The longest catch that the reach of every seat holds."`
	Offers      []Offer        `json:"offers" description:"What else would bring seats that fall short nearer, in the order of preference, each with its price."`
}

// Offer is something that could be done besides the work, with its price.
type Offer struct {
	Kind             string      `json:"kind" enum:"shorter_arc,heels,pins,oars,own_inboard"`
	Text             string      `json:"text"`
	CatchDeg         *float64    `json:"catch_deg" description:"The common catch offered; null where it stays."`
	Work             []Work      `json:"work" description:"What it moves, from the rig as it is to be set."`
	Brings           []OfferGain `json:"brings"`
	LeverRatioBefore float64     `json:"lever_ratio_before" description:"Mean of the seats."`
	LeverRatioAfter  float64     `json:"lever_ratio_after" description:"Mean of the seats."`
	LoadShare        float64     `json:"load_share" description:"How much heavier the oar becomes at the catch that is reached, as a share; negative: lighter."`
	OverlapCm        float64     `json:"overlap_cm" description:"Afterwards, without the gates' width."`
}

// OfferGain is what an offer brings one seat.
type OfferGain struct {
	Seat      int     `json:"seat"`
	NearerDeg float64 `json:"nearer_deg" description:"How much nearer the reach comes to the target catch."`
}

// jobNamed reads the name of a job, "" for the everyday one.
func jobNamed(p *wire.Problems, name string) rigging.Job {
	switch job := rigging.Job(name); job {
	case "":
		return rigging.JobEveryday
	case rigging.JobEveryday, rigging.JobRerig:
		return job
	}
	p.Add(wire.At("job").Problem("Say everyday or full_rerig, or leave it out."))
	return rigging.JobEveryday
}

// FitSeat describes the work on one seat. The error is an *Invalid or an
// *Unreachable.
func (s *Service) FitSeat(_ context.Context, r FitRequest) (SeatFit, error) {
	class, err := ClassOf(r.BoatClass)
	if err != nil {
		return SeatFit{}, err
	}
	var p wire.Problems
	job := jobNamed(&p, r.Job)
	r.Targets.check(&p, wire.Place{})
	r.SolveRequest.Targets = r.Targets.ends()
	in, err := r.read(class)
	p.Merge(wire.Place{}, err)
	adjust := settings.CheckAdjustments(&p, class, r.Adjust)
	if err := p.OrNil(); err != nil {
		return SeatFit{}, err
	}
	if err := in.expectSomewhere(); err != nil {
		return SeatFit{}, err
	}
	task := in.task(job)
	task.Adjust, task.Keep = adjust, kept(class, adjust)
	plan, err := rigging.MakePlan(task)
	if err != nil {
		return SeatFit{}, planError(err, nil)
	}
	work, err := in.work(&plan, 0, r.Targets.domain())
	return SeatFit{SeatWork: work, Job: string(job), Offers: WireOffers(&plan, []int{1})}, err
}

// expectSomewhere settles how the rower rows; a rig that cannot be rowed as
// found is no obstacle to a plan.
func (in *SolveInput) expectSomewhere() error {
	err := in.expect()
	var stuck *rigging.ReachError
	if errors.As(err, &stuck) && in.Seat.Belief != nil {
		return nil
	}
	return wire.DomainError(err)
}

// task is the work on this seat alone.
func (in *SolveInput) task(job rigging.Job) *rigging.PlanTask {
	return &rigging.PlanTask{Seats: []rigging.PlanSeat{in.PlanSeat()}, Job: job, Targets: in.targets, Limits: in.limits}
}

// PlanSeat is the seat as a plan of the boat takes it.
func (in *SolveInput) PlanSeat() rigging.PlanSeat {
	return rigging.PlanSeat{Case: in.Seat, Measures: in.Measures, Arc: in.arc, Missing: in.missing}
}

// kept lists what stays where it is: all that a list of what may be moved does
// not hold. Without a list nothing is kept.
func kept(class rigging.Class, adjust map[rigging.Setting]rigging.Adjustment) []rigging.Setting {
	if adjust == nil {
		return nil
	}
	return slices.DeleteFunc(class.Settings(), func(s rigging.Setting) bool { _, listed := adjust[s]; return listed })
}

// planError carries an error of a plan over to the edge; numbers names the
// seats, nil for one alone.
func planError(err error, numbers []int) error {
	var at *rigging.SeatError
	if !errors.As(err, &at) {
		return wire.DomainError(err)
	}
	err = wire.DomainError(at.Err)
	var stuck *wire.Unreachable
	if numbers != nil && errors.As(err, &stuck) {
		return &wire.Unreachable{Limit: stuck.Limit, Text: fmt.Sprintf("Seat %d: %s", numbers[at.Seat], stuck.Text)}
	}
	return err
}

// work puts the plan of one seat on the wire. wanted holds the targets as sent.
func (in *SolveInput) work(plan *rigging.Plan, i int, wanted rigging.Goals) (SeatWork, error) {
	s := &plan.Seats[i]
	at := *in
	at.Seat.Setup, at.targets = s.Setup, plan.Targets
	if in.basis != basisStated {
		at.Seat.Posture = s.Posture
	}
	stroke, err := at.Seat.Solve()
	if err != nil {
		return SeatWork{}, wire.DomainError(err)
	}
	result, err := at.answer(&stroke)
	if err != nil {
		return SeatWork{}, wire.DomainError(err)
	}
	result.Verdict = WireVerdict(&s.After)
	result.Targets.CatchBy, result.Targets.FinishBy = chosenBy(plan, rigging.TargetCatch), chosenBy(plan, rigging.TargetFinish)
	w := SeatWork{
		Seat: wireSetup(&s.Setup), Result: result, Changes: []SeatChange{}, Binding: []string{}, Unmet: []UnmetTarget{},
		Measure: []string{}, HeldBy: append([]string{}, s.HeldBy...),
	}
	if s.Before != nil {
		w.Before = wire.Ptr(WireVerdict(s.Before))
	}
	for _, c := range s.Changes {
		w.Changes = append(w.Changes, wireChange(s.Setup.Class, c))
	}
	for _, name := range s.Binding {
		w.Binding = append(w.Binding, settings.Name(name))
	}
	for _, e := range s.Measure {
		w.Measure = append(w.Measure, string(e))
	}
	for _, name := range s.MeasureSettings {
		w.Measure = append(w.Measure, settings.Name(name))
	}
	w.Targets, w.Unmet = at.aims(plan, s, &stroke, wanted)
	return w, nil
}

func chosenBy(plan *rigging.Plan, t rigging.Target) string {
	if slices.Contains(plan.Chosen, t) {
		return "group"
	}
	return "stated"
}

// aims lists the targets with what came of them, and those that were not met.
func (in *SolveInput) aims(plan *rigging.Plan, s *rigging.SeatPlan, stroke *rigging.Stroke, wanted rigging.Goals) ([]AimedTarget, []UnmetTarget) {
	goals := rigging.Goals{}
	for name, goal := range wanted {
		goals[name] = goal
	}
	goals[rigging.TargetCatch] = rigging.Goal{Value: float64(plan.Targets.Catch), Tolerance: float64(rigging.CatchTolerance)}
	goals[rigging.TargetFinish] = rigging.Goal{Value: float64(plan.Targets.Finish), Tolerance: float64(rigging.FinishTolerance)}
	list, unmet := []AimedTarget{}, []UnmetTarget{}
	for _, t := range TargetOrder {
		goal, ok := goals[t]
		if !ok {
			continue
		}
		by, why, text := in.miss(t, goal, s, stroke)
		list = append(list, AimedTarget{
			Target: WireTarget(t), Value: targetUnit(t, goal.Value), Reached: targetUnit(t, in.reached(t, stroke)),
			Tolerance: targetUnit(t, toleranceOf(t, goal)), Met: why == "",
		})
		if why != "" {
			unmet = append(unmet, UnmetTarget{WireTarget(t), targetUnit(t, by), why, text})
		}
	}
	return list, unmet
}

func toleranceOf(t rigging.Target, goal rigging.Goal) float64 {
	return cmp.Or(goal.Tolerance, t.Tolerance())
}

// miss says by how much a target is missed and why; why is empty for one that
// is met.
func (in *SolveInput) miss(t rigging.Target, goal rigging.Goal, s *rigging.SeatPlan, stroke *rigging.Stroke) (by float64, why, text string) {
	switch t {
	case rigging.TargetCatch, rigging.TargetFinish:
		if !slices.Contains(s.Unmet, t) {
			return 0, "", ""
		}
		if t == rigging.TargetCatch {
			return float64(s.After.CatchShort), "reach", "The reach ends short of it with every limit held; the offers tell what would help."
		}
		why, text = in.finishMiss(s)
		return float64(s.After.FinishBy), why, text
	}
	want := goal.Value
	if t == rigging.TargetDrawHeight && want == 0 {
		want = in.Seat.Heights(stroke).DrawHeight
	}
	by = in.reached(t, stroke) - want
	if math.Abs(by) <= toleranceOf(t, goal)+1e-9 {
		return 0, "", ""
	}
	return by, "kept", "Oars, pins and a gate inside its window stay as they are."
}

// finishMiss reports what keeps a finish off its target.
func (in *SolveInput) finishMiss(s *rigging.SeatPlan) (why, text string) {
	switch {
	case s.After.MeasureRower:
		return "measure", "The rower's size is not known: measure the height first."
	case slices.Contains(s.MeasureSettings, rigging.SettingHeelToPin):
		return "measure", "Nobody has measured the stretcher: read it first."
	case len(s.Binding) > 0:
		return "range", "The stretcher's range ends before the place that would put it right."
	case len(s.HeldBy) > 0:
		return "caution", "More work would bring a caution that the present rig does not have."
	}
	return "range", "The stretcher cannot be moved further on its steps."
}

// Names of what offers do.
var offerTexts = map[rigging.OfferKind]string{
	rigging.OfferShorterArc: "A shorter catch",
	rigging.OfferHeels:      "Deeper heels where the reach falls short",
	rigging.OfferPins:       "Pins and inboard in together, overlap and lever ratio kept",
	rigging.OfferOars:       "Shorter inboard and oar, lever ratio kept, less overlap",
	rigging.OfferOwnInboard: "Inboards by strength, at most a centimetre",
}

// WireOffers puts the offers of a plan on the wire; numbers names the seats.
func WireOffers(plan *rigging.Plan, numbers []int) []Offer {
	list := []Offer{}
	for i := range plan.Offers {
		list = append(list, wireOffer(&plan.Offers[i], plan, numbers))
	}
	return list
}

func wireOffer(o *rigging.Offer, plan *rigging.Plan, numbers []int) Offer {
	w := Offer{
		Kind: string(o.Kind), Work: []Work{}, Brings: []OfferGain{}, LeverRatioBefore: wire.ToRatio(o.LeverBefore), LeverRatioAfter: wire.ToRatio(o.LeverAfter),
		LoadShare: wire.ToRatio(o.Load), OverlapCm: wire.ToCm(o.OverlapAfter),
	}
	if o.Catch != 0 {
		w.CatchDeg = wire.Ptr(wire.ToDeg(o.Catch))
	}
	best := 0.0
	for i, list := range o.Changes {
		for _, c := range list {
			w.Work = append(w.Work, Work{numbers[i], wireChange(plan.Seats[i].Setup.Class, c)})
		}
	}
	for i, by := range o.Brings {
		if deg := wire.ToDeg(by); deg >= leastNearer {
			w.Brings = append(w.Brings, OfferGain{numbers[i], deg})
			best = max(best, deg)
		}
	}
	w.Text = offerTexts[o.Kind] + offerPrice(&w, best)
	return w
}

// leastNearer is the gain of a seat that is worth naming, degrees: half of the last
// digit that is shown, so that less shows no difference.
const leastNearer = 0.05

// offerPrice reports what an offer brings and what it costs in load.
func offerPrice(w *Offer, best float64) string {
	text := "."
	switch {
	case w.CatchDeg != nil:
		text = fmt.Sprintf(": %s°.", wire.Size(*w.CatchDeg))
	case best > 0:
		text = fmt.Sprintf(". Up to %s° nearer.", wire.Size(best))
	}
	load := 100 * w.LoadShare
	switch {
	case load >= 0.5:
		return fmt.Sprintf("%s Load at the catch %s %% heavier.", text, wire.Size(load))
	case load <= -0.5:
		return fmt.Sprintf("%s Load at the catch %s %% lighter.", text, wire.Size(load))
	}
	return text + " Load at the catch as before."
}

// FitCrew describes the work on a whole boat. The error is an *Invalid or an
// *Unreachable.
func (s *Service) FitCrew(_ context.Context, r CrewRequest) (CrewFit, error) {
	class, err := ClassOf(r.BoatClass)
	if err != nil {
		return CrewFit{}, err
	}
	var p wire.Problems
	job := jobNamed(&p, r.Job)
	crew, err := r.Read(class)
	p.Merge(wire.Place{}, err)
	if err := p.OrNil(); err != nil {
		return CrewFit{}, err
	}
	plan, err := crew.Plan(job, r.Targets)
	if err != nil {
		return CrewFit{}, err
	}
	return crew.planned(job, &plan, r.Targets.domain())
}

// Plan describes the work on the boat; an error of one seat names it.
func (c *CrewInput) Plan(job rigging.Job, targets *FitTargets) (rigging.Plan, error) {
	task := rigging.PlanTask{Job: job, Targets: targets.ends().targets()}
	for i, in := range c.Seats {
		if err := in.expectSomewhere(); err != nil {
			return rigging.Plan{}, planError(&rigging.SeatError{Seat: i, Err: err}, c.numbers)
		}
		seat := in.PlanSeat()
		seat.Strength = c.strengths[i]
		task.Seats = append(task.Seats, seat)
	}
	task.Adjust, task.Keep = c.adjust, kept(c.class, c.adjust)
	plan, err := rigging.MakePlan(&task)
	if err != nil {
		return plan, planError(err, c.numbers)
	}
	return plan, nil
}

// planned puts the work on the boat on the wire.
func (c *CrewInput) planned(job rigging.Job, plan *rigging.Plan, wanted rigging.Goals) (CrewFit, error) {
	w := CrewFit{
		Job: string(job), Targets: plannedTargets(plan), Work: []Work{}, Limiting: []int{},
		AllReachDeg: wire.ToDeg(plan.AllReach), Offers: WireOffers(plan, c.numbers),
	}
	for i := range plan.Seats {
		work, err := c.Seats[i].work(plan, i, wanted)
		if err != nil {
			return CrewFit{}, err
		}
		w.Seats = append(w.Seats, CrewSeatFit{Number: c.numbers[i], SeatWork: work})
		for _, change := range work.Changes {
			w.Work = append(w.Work, Work{c.numbers[i], change})
		}
	}
	for _, i := range plan.Limiting {
		w.Limiting = append(w.Limiting, c.numbers[i])
	}
	slices.SortStableFunc(w.Work, func(a, b Work) int { return cmp.Compare(a.Seat, b.Seat) })
	return w, nil
}

func plannedTargets(plan *rigging.Plan) []CommonTarget {
	chosen := func(t rigging.Target) bool { return slices.Contains(plan.Chosen, t) }
	return []CommonTarget{
		{WireTarget(rigging.TargetCatch), wire.ToDeg(plan.Targets.Catch), chosen(rigging.TargetCatch)},
		{WireTarget(rigging.TargetFinish), wire.ToDeg(plan.Targets.Finish), chosen(rigging.TargetFinish)},
	}
}
