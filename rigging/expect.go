package rigging

import "slices"

// usualLean is the lean expected of a rower before any arc: less than the
// default of a stated posture, since people reach less far than they can. With
// it and usualKnee the class means of [Group.Arc] come out without bias;
// engineering judgement tuned on them.
const usualLean = 22 * Degree

// usualKnee is the bend of the knees at which the slide usually stops, from the
// straight leg: with shins upright the tall would bend further, and do not.
// Engineering judgement, tuned as usualLean.
const usualKnee = 130 * Degree

// The stretcher and gates that a rower would be given, in which the usual posture
// is learnt. Heel depth (15 to 18 cm typical) and the difference of a sculler's gates
// (0.5 to 1.5 cm) are common practice, the plate's 42° is from memory, the gate height
// that to start from of V. Nolte, "A primer on sweep rigging".
const (
	givenHeelDepth  = 0.17
	givenPlateAngle = 42 * Degree
	givenGateHeight = 0.17
	givenGateStep   = 0.01
)

// Expectation is what a person will probably row in a rig.
type Expectation struct {
	// Posture is the one expected in the rig at hand, its limits held, and
	// Stroke what comes of it.
	Posture Posture
	Stroke  Stroke
	// Uncertainty contains body, tape and posture.
	Uncertainty Uncertainty
	// Belief is what is known of habits and body; with Measured set it rests
	// on arcs of this person, else on the group's.
	Belief *Belief
	// Calibration says how well the measured arcs are explained; nil
	// without any.
	Calibration *Calibration
}

// Expect returns what the person of the case will probably row in its rig. The
// posture is learnt in the rig the person would be given: oars and pins near
// those of the case that are usual, and a stretcher where the usual layback gives the finish of the
// group. There the group's catch, ± [ClassArc.SD], joins the prior of the
// posture as weak evidence; a catch measured of this person replaces it, a finish
// alone stands beside it, and says nothing of the catch. Learnt so,
// the posture is carried over to the rig at hand, where whoever reaches a limit
// stops. A stretcher out of place moves the arc, then, and is not explained
// away. The case's own lean and shin are not used; its layback and protraction
// are what is usual of this rower, unless they come from an expectation
// themselves (the case has a Belief), and the rest of its posture stays.
//
// The error is a *ReachError. Where the body cannot row the rig at hand, as with
// a stretcher far out of place, Posture and Belief are filled all the same, and
// a [Plan] can put it right.
func (c *Case) Expect(arc ClassArc, limits Limits, arcs []MeasuredArc) (Expectation, error) {
	given, err := c.given(arc.Finish)
	if err != nil {
		return Expectation{}, err
	}
	evidence, caught := arcs, catchMeasured(arcs)
	if !caught {
		evidence = append(slices.Clone(arcs), MeasuredArc{Setup: given.Setup, Displacement: given.Displacement, Catch: arc.Catch, SD: arc.SD})
	}
	f := newHabitFit(&c.Body, given.Posture, evidence, given.effectiveSpread())
	start, err := f.start()
	if err != nil {
		return Expectation{}, err
	}
	learnt, err := f.calibrate(start)
	if err != nil {
		return Expectation{}, err
	}
	learnt.Belief.Measured, learnt.Belief.CatchMeasured = len(arcs) > 0, caught
	e := Expectation{Belief: learnt.Belief}
	if len(arcs) > 0 { // the group's arc, where it was used, is the last
		learnt.CatchMiss, learnt.FinishMiss = learnt.CatchMiss[:len(arcs)], learnt.FinishMiss[:len(arcs)]
		e.Calibration = &learnt
	}
	err = c.carry(&e, learnt.Posture, limits)
	return e, err
}

// catchMeasured reports whether a catch is among the angles measured.
func catchMeasured(arcs []MeasuredArc) bool {
	return slices.ContainsFunc(arcs, func(a MeasuredArc) bool { return a.Catch != 0 })
}

// Apply sets the case to the expectation: its posture, and what is known of it.
func (e *Expectation) Apply(c *Case) { c.Posture, c.Belief = e.Posture, e.Belief }

// given returns the case in the rig the person would be given, in the usual
// posture there. A crew's own displacement stays.
func (c *Case) given(finish Angle) (Case, error) {
	g := *c
	g.Handle = nil
	g.Setup.HeelDepth, g.Setup.PlateAngle, g.Setup.GateHeight = givenHeelDepth, givenPlateAngle, givenGateHeight
	if g.Setup.Class.Scull {
		g.Setup.GateDifference = givenGateStep
	}
	if g.Age == 0 || g.Age >= youngest {
		g.Setup.usualPins()
	}
	usual := DefaultPosture(g.Setup.Class)
	g.Posture.Lean, g.Posture.Shin = usualLean, usual.Shin
	if g.Belief != nil { // it has been through here
		g.Posture.Layback, g.Posture.Protraction = usual.Layback, usual.Protraction
		g.Belief = nil
	}
	g.Posture.Shin = g.shinAtKneeStop(&g.Posture, usualKnee)
	heel, err := g.heelFor(finish)
	g.Setup.HeelToPin = heel
	return g, err
}

// youngest is the age in years from which people row the usual oars and pins;
// engineering judgement. Those below are given what is at hand.
const youngest = 15

// usualPins brings span or spread and inboard to the nearest that the arcs of a
// class stand for: span 157 to 160 cm and spread 83 to 87 (S. Wilson, Rigging –
// Simplified, Rowing Australia), inboards that go with them by V. Nolte's rule
// (Rowing News, May 2023). On far shorter oars people row longer arcs than
// those: see the four rigs of V. Kleshnev's newsletter 121 (2011).
func (s *Setup) usualPins() {
	if s.Class.Scull {
		s.Span = min(1.60, max(1.57, s.Span))
		s.Inboard = min(0.895, max(0.865, s.Inboard))
		return
	}
	s.Spread = min(0.87, max(0.83, s.Spread))
	s.Inboard = min(1.18, max(1.12, s.Inboard))
}

// heelFor returns the heel's place for a finish in the case's posture: the
// whole body moves with the stretcher.
func (c *Case) heelFor(finish Angle) (float64, error) {
	var s Stroke
	s.AtFinish = footOn(&c.Setup, &c.Body.Body, 0)
	if err := s.seatAtFinish(&c.Body.Body, &c.Posture); err != nil {
		return 0, err
	}
	// The higher hand of a sculling seat draws its oar less far, and so sets
	// the finish, since the trunk leans back.
	lv := c.Setup.Levers()
	s.setOars(&c.Setup, &lv, c.handle())
	heel := c.Setup.HeelToPin
	least := 0.0
	for i := range s.Arcs() {
		x := s.drawX(&c.Body.Body, &c.Posture, s.Oars[i].Handle.Finish)
		if h := heel - x - lv.Hand*finish.sin(); i == 0 || h < least {
			least = h
		}
	}
	return least, nil
}

// carry fills what the learnt posture gives in the rig at hand.
func (c *Case) carry(e *Expectation, learnt Posture, limits Limits) error {
	here := *c
	here.Posture, here.Belief = learnt, e.Belief
	limits = here.shownLimits(limits)
	here.Posture = here.Within(learnt, limits)
	e.Posture = here.Posture
	furthest, err := here.capacityCatch(limits)
	if err != nil {
		return err
	}
	here.Posture = here.comeForward(here.Posture, furthest)
	e.Posture = here.Posture
	if e.Stroke, err = here.Solve(); err != nil {
		return err
	}
	e.Uncertainty = here.Uncertainty(&e.Stroke)
	return nil
}

// comeForward returns p leaning less, and then with the slide stopped earlier,
// where the catch would lie beyond the given one.
func (c *Case) comeForward(p Posture, furthest Angle) Posture {
	m := *c
	beyond := func(p Posture) bool {
		catch, err := m.catchIn(&p)
		return err == nil && catch < furthest-rounding
	}
	if !beyond(p) {
		return p
	}
	upright := p
	upright.Lean = min(p.Lean, leastLean)
	if !beyond(upright) {
		p.Lean = bisect(upright.Lean, p.Lean, func(lean Angle) bool { q := p; q.Lean = lean; return !beyond(q) })
		return p
	}
	p = upright
	p.Shin = bisect(-shinMost, -p.Shin, func(shin Angle) bool { q := p; q.Shin = -shin; return !beyond(q) })
	p.Shin = -p.Shin
	return p
}

// leastLean is how far the trunk swings over at the least before the slide is
// shortened instead; engineering judgement.
const leastLean = 10 * Degree

// catchIn returns the catch of a posture, clamped to the largest oar angle.
func (c *Case) catchIn(p *Posture) (Angle, error) {
	var s Stroke
	s.AtCatch = footOn(&c.Setup, &c.Body.Body, s.lift(&c.Setup, p))
	return s.catchOf(&c.Setup, &c.Body.Body, p, c.handle())
}
