package setup

import (
	"errors"
	"math"
	"slices"

	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// mostArcs is how many of the newest measured arcs of an athlete count; older
// ones tell of another body or another way of rowing. Engineering judgement.
const mostArcs = 12

// Verdict is the one verdict on a seat, as rigging.Case.Judge gives it.
type Verdict struct {
	Verdict       string  `json:"verdict" enum:"on_target,nearly,off,measure_first"`
	FinishByDeg   float64 `json:"finish_by_deg" description:"Expected finish less the target."`
	FinishSdDeg   float64 `json:"finish_sd_deg"`
	CatchShortDeg float64 `json:"catch_short_deg" description:"How far the body stays short of the target catch; 0 where it reaches it."`
	CatchOdds     string  `json:"catch_odds" enum:"likely,too_close_to_tell,unlikely," description:"That the target catch lies within the body's reach."`
	ToleranceDeg  float64 `json:"tolerance_deg" description:"Up to which the finish counts as on target; twice that as nearly."`
	Proven        bool    `json:"proven" description:"Arcs of this rower were measured."`
	MeasureRower  bool    `json:"measure_rower" description:"The rower's height is not known: an average body stands in."`
	MeasureDraw   bool    `json:"measure_draw" description:"The draw height is not known, and the height of the gate depends on it."`
}

// SeatOutcome is what a rower does in a rig.
type SeatOutcome struct {
	Verdict
	CatchDeg        float64 `json:"catch_deg" description:"To expect, if the rower comes as far forward as expected; negative."`
	ReachedCatchDeg float64 `json:"reached_catch_deg" description:"Rowed to the target: the target, or where the body ends before it."`
	FinishDeg       float64 `json:"finish_deg"`
	CatchSdDeg      float64 `json:"catch_sd_deg" description:"Standard deviation from body, tape and posture."`
	LeverRatio      float64 `json:"lever_ratio"`
	OverlapCm       float64 `json:"overlap_cm" description:"Measured, without the gates' width."`
	Proof           Proof   `json:"proof" description:"How the stretcher's place is checked at the boat."`
	HeelToPinCm     float64 `json:"heel_to_pin_aim_cm" description:"Where the heel belongs, steps left out."`
	HeelSdCm        float64 `json:"heel_to_pin_aim_sd_cm" description:"What body and posture leave open of it."`

	NewCautions []string `json:"new_cautions" description:"Codes of the cautions that this rig has and the present one has not."`

	cautions []rigging.Caution
}

// Proof is where the middle of the handle stands with the rower in the seat, read
// with a tape along the boat from the line of work.
type Proof struct {
	FinishCm float64 `json:"finish_cm" description:"Legs down, hands at the body: towards the bow."`
	CatchCm  float64 `json:"catch_cm" description:"At full reach, of the target or where the body ends before it: towards the stern."`
}

// ArcEnds are the ends of an arc.
type ArcEnds struct {
	CatchDeg  float64 `json:"catch_deg"`
	FinishDeg float64 `json:"finish_deg"`
}

// chair is one seat as found with what is expected of who rows it. Set-up and
// sheet judge a rig through it, and so say the same.
type chair struct {
	in      *seat.SolveInput
	blade   rigging.BladeKind
	arc     rigging.ClassArc
	missing rigging.Missing
	// before holds what the rig as found gives reason to heed, as it is rowed;
	// nil where it cannot be rowed.
	before map[string]bool
}

// chair reads one place. A posture that was stated or calibrated stands, unless
// arcs were measured since; else the posture is the one to expect of such a
// rower.
func (p *plan) chair(m *crewMember, in *seat.SolveInput) *chair {
	found := &p.boat.Seats[m.Seat-1]
	c := &chair{in: in, blade: rigging.BladeKind(found.Blade)}
	c.dress(p, &in.Seat.Setup)
	for _, s := range p.class.Settings() {
		if found.Seat.Setting(settings.Name(s)) == nil {
			c.missing.Settings = append(c.missing.Settings, s)
		}
	}
	c.missing.Rower = in.Measures.Sizeless()
	group := rigging.Group{Class: p.class, Sex: in.Measures.Sex, Age: in.Measures.Age, Light: p.request.Light, Level: p.request.level()}
	c.arc = group.Arc()
	arcs := append(p.measuredArcs(m.arcs, in.Seat.Displacement), p.filmedArcs(m.filmed, in.Seat.Displacement)...)
	if m.posture == nil || len(arcs) > 0 {
		if e, _ := in.Seat.Expect(c.arc, p.limits, arcs); e.Belief != nil { // known also where the rig as found cannot be rowed
			e.Apply(&in.Seat)
		}
	}
	if stroke, err := in.Seat.Solve(); err == nil {
		c.before = map[string]bool{}
		for _, a := range in.Seat.Cautions(&stroke, &in.Measures) {
			c.before[alarm(&a)] = true
		}
	}
	return c
}

// alarm names a caution by what it is about.
func alarm(a *rigging.Caution) string {
	if a.Range != nil {
		return a.Code + " " + a.Range.Place.String()
	}
	return a.Code
}

// added lists the codes of the cautions that the present rig does not give
// reason for.
func (c *chair) added(list []rigging.Caution) []string {
	codes := []string{}
	for i := range list {
		if c.before != nil && list[i].Weight != rigging.Standing && !c.before[alarm(&list[i])] {
			codes = append(codes, list[i].Code)
		}
	}
	return codes
}

// dress puts what the boat adds into a rig.
func (c *chair) dress(p *plan, s *rigging.Setup) {
	s.Blade = c.blade
	if p.boat.BuiltForKg != nil {
		s.BuiltFor = *p.boat.BuiltForKg
	}
}

// measuredArcs converts the arcs of the same kind of rowing.
func (p *plan) measuredArcs(stored []store.MeasuredArc, displacement float64) []rigging.MeasuredArc {
	var arcs []rigging.MeasuredArc
	for i := range stored {
		a := &stored[i]
		class, ok := rigging.ClassByCode(a.ClassCode)
		if !ok || class.Scull != p.class.Scull {
			continue
		}
		setup := arcRig(class, a)
		arc := readingOf(a).Arc(&setup)
		if class.Code == p.class.Code {
			arc.Displacement = displacement
		}
		arcs = append(arcs, arc)
	}
	return arcs
}

// arcRig is the rig that an arc was read in.
func arcRig(class rigging.Class, a *store.MeasuredArc) rigging.Setup {
	s := fleet.SeatOfRig(&a.Rig, a.Side)
	setup := s.Setup(class)
	setup.Blade = rigging.BladeKind(a.Blade)
	return setup
}

// strokeScatter is how far the catch and the finish of one filmed stroke lie from
// the rower's usual ones; engineering judgement: good crews repeat theirs to
// about a degree.
const strokeScatter = 1 * rigging.Degree

// filmedArcs converts the filmed angles of the same kind of rowing that are known
// well enough, of rigs that were measured.
func (p *plan) filmedArcs(stored []store.FilmedReading, displacement float64) []rigging.MeasuredArc {
	var arcs []rigging.MeasuredArc
	for i := range stored {
		f := &stored[i]
		class, ok := rigging.ClassByCode(f.ClassCode)
		if !ok || class.Scull != p.class.Scull || !f.Tells || f.AngleDeg == nil || len(arcs) == mostArcs {
			continue
		}
		s := fleet.SeatOfRig(&f.Rig, f.Side)
		if len(fleet.Unmeasured(class, &s)) > 0 {
			continue
		}
		arc := rigging.MeasuredArc{Setup: s.Setup(class), SD: rigging.Angle(math.Hypot(float64(wire.FromDeg(*f.AngleSdDeg)), float64(strokeScatter)))}
		arc.Setup.Blade = rigging.BladeKind(f.Blade)
		if class.Code == p.class.Code {
			arc.Displacement = displacement
		}
		if arc.Catch = wire.FromDeg(*f.AngleDeg); f.End == "finish" {
			arc.Catch, arc.Finish = 0, arc.Catch
		}
		if arc.Check() == nil && arc.Setup.Check() == nil {
			arcs = append(arcs, arc)
		}
	}
	return arcs
}

func readingOf(a *store.MeasuredArc) *rigging.Reading {
	return &rigging.Reading{Finish: wire.CmOr(a.FinishCm, 0), Catch: wire.CmOr(a.CatchCm, 0)}
}

// outcomeAs judges a rig on the wire; what is wrong with it is reported in words.
func (c *chair) outcomeAs(rig *seat.Seat, targets rigging.Targets, limits rigging.Limits) (*SeatOutcome, error) {
	setup := rig.Setup(c.in.Seat.Setup.Class)
	setup.Blade, setup.BuiltFor = c.in.Seat.Setup.Blade, c.in.Seat.Setup.BuiltFor
	var p wire.Problems
	if p.AddError(wire.Place{}, setup.Check()); len(p.Fields) > 0 {
		return nil, errors.New(p.Fields[0].Detail)
	}
	o, err := c.outcome(&setup, targets, limits)
	return o, wire.DomainError(err)
}

// outcome judges a rig. The error is a *rigging.ReachError.
func (c *chair) outcome(setup *rigging.Setup, targets rigging.Targets, limits rigging.Limits) (*SeatOutcome, error) {
	set := c.in.Seat
	set.Setup = *setup
	stroke, err := set.Solve()
	if err != nil {
		return nil, err
	}
	j, err := set.Judge(&stroke, targets, limits, c.missing)
	if err != nil {
		return nil, err
	}
	cautions := c.rowed(&set, targets)
	// Nobody is told to reach further than the body goes.
	proof := setup.Proof(rigging.Targets{Catch: targets.Catch + j.CatchShort, Finish: targets.Finish})
	u := set.Uncertainty(&stroke)
	o := &SeatOutcome{
		Verdict: verdict(&j), CatchDeg: wire.ToDeg(stroke.Catch), ReachedCatchDeg: wire.ToDeg(targets.Catch + j.CatchShort), FinishDeg: wire.ToDeg(stroke.Finish),
		CatchSdDeg: wire.ToDeg(u.Catch), LeverRatio: wire.ToRatio(setup.Gearing().LeverRatio), OverlapCm: wire.ToCm(setup.Overlap().Raw),
		Proof:    Proof{FinishCm: wire.ToCm(proof.FinishMiddle), CatchCm: wire.ToCm(proof.CatchMiddle)},
		HeelSdCm: wire.ToCm(setup.HeelSD(stroke.Finish, j.FinishSD)), cautions: cautions, NewCautions: c.added(cautions),
	}
	o.MeasureDraw = c.in.Measures.DrawHeight == 0 && slices.ContainsFunc(o.cautions, func(a rigging.Caution) bool { return a.Code == "gate_high" })
	reading := rigging.Reading{Finish: setup.Levers().Inner * sin(stroke.Finish)}
	o.HeelToPinCm = wire.ToCm(reading.Correct(setup, targets.Finish))
	return o, nil
}

// rowed returns what the case gives reason to heed, rowed to the targets: coming
// forward as far as they ask, unless that alone brings a caution.
func (c *chair) rowed(set *rigging.Case, targets rigging.Targets) []rigging.Caution {
	_, list, err := set.RowedCautions(set.Rowed(targets), &c.in.Measures)
	if err == nil && len(c.added(list)) == 0 {
		return list
	}
	_, less, _ := set.RowedCautions(set.Posture, &c.in.Measures)
	if err != nil || len(c.added(less)) < len(c.added(list)) {
		return less
	}
	return list
}

func verdict(j *rigging.SeatJudgement) Verdict {
	return Verdict{
		Verdict: string(j.Verdict), FinishByDeg: wire.ToDeg(j.FinishBy), FinishSdDeg: wire.ToDeg(j.FinishSD),
		CatchShortDeg: wire.ToDeg(j.CatchShort), CatchOdds: string(j.CatchOdds), ToleranceDeg: wire.ToDeg(rigging.FinishTolerance),
		Proven: j.Proven, MeasureRower: j.MeasureRower,
	}
}

// makePlan works the set-up out.
func (p *plan) makePlan() error {
	task := rigging.PlanTask{Job: p.request.job(), Targets: p.request.Targets.Domain(), Adjust: p.adjust(), Limits: p.limits}
	for i, c := range p.chairs {
		task.Seats = append(task.Seats, rigging.PlanSeat{
			Case: c.in.Seat, Measures: c.in.Measures, Arc: c.arc, Missing: c.missing, Stays: !p.request.sets(p.places[i].Seat),
		})
	}
	var err error
	if p.work, err = rigging.MakePlan(&task); err != nil {
		return p.planError(err)
	}
	p.targets = writtenTargets(p.work.Targets)
	return nil
}

// writtenTargets are the targets as they are written down, so that set-up and
// sheet judge by the same.
func writtenTargets(t rigging.Targets) rigging.Targets {
	return rigging.Targets{Catch: wire.FromDeg(wire.ToDeg(t.Catch)), Finish: wire.FromDeg(wire.ToDeg(t.Finish))}
}

// planError names the seat that a plan fails at.
func (p *plan) planError(err error) error {
	var at *rigging.SeatError
	if !errors.As(err, &at) {
		var bad wire.Problems
		if bad.AddError(wire.Place{}, err) {
			return bad.OrNil()
		}
		return err
	}
	var stuck *wire.Unreachable
	told := wire.DomainError(at.Err)
	if errors.As(told, &stuck) {
		return &wire.Unreachable{Limit: stuck.Limit, Text: p.seatWord(at.Seat) + ": " + stuck.Text}
	}
	return told
}
