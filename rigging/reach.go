package rigging

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ReachStop names what keeps a catch from being longer.
type ReachStop string

// What stops a catch.
const (
	StopLean         ReachStop = "lean"         // the trunk's own limit
	StopTrunkThigh   ReachStop = "trunk_thigh"  // the thighs meet the trunk
	StopKnee         ReachStop = "knee_flexion" // the knees
	StopDorsiflexion ReachStop = "dorsiflexion" // the ankle, with the heel as high as it may rise
	StopShin         ReachStop = "shin"         // the shin stands as far over as the posture has it
	StopOar          ReachStop = "oar"          // the oar comes as near to the hull as it is counted
)

// How much limits differ between people about the ones assumed, standard
// deviations; engineering judgement.
const (
	leanLimitSD         = 4 * Degree
	kneeLimitSD         = 5 * Degree
	trunkThighLimitSD   = 6 * Degree
	dorsiflexionLimitSD = 5 * Degree
)

// Capacity is how far a body goes in a rig with every limit held inside the
// solution: whoever reaches a limit stops there, the slide at the knees' or the
// ankles', the trunk at the hips'. It is not what the person usually rows.
type Capacity struct {
	Catch   Angle // signed
	CatchSD Angle // body, tape and the limits' own spread
	Finish  Angle // with the layback at its limit
	// FinishSD contains body and tape, ArcSD all of them.
	FinishSD Angle
	ArcSD    Angle
	// BodySD (with the tape) and LimitsSD are the two parts of CatchSD.
	BodySD, LimitsSD Angle
	// LimitedBy is the limit a longer catch would ask most of: the one whose
	// spread moves the catch furthest.
	LimitedBy ReachStop
	SlideStop ReachStop // what stops the slide
	TrunkStop ReachStop // what stops the trunk
	Posture   Posture   // at the catch that the capacity allows
}

// Arc returns the angle from catch to finish that the body can row.
func (k *Capacity) Arc() Angle { return k.Finish - k.Catch }

// crouch is one way to come forward with every limit held.
type crouch struct {
	posture      Posture
	catch        Angle
	slide, trunk ReachStop
}

// Capacity returns the capacity of the case's body in its rig. The shins stand
// no further over than vertical unless the posture has them so, and the
// shoulders go as far as the posture has them. Where arcs were measured, a
// posture beyond a limit moves the limit: that body has shown it.
// The error is a *ReachError.
func (c *Case) Capacity(limits Limits) (Capacity, error) {
	r := c.reacher(limits)
	k, err := r.capacity()
	if err != nil {
		return Capacity{}, err
	}
	r.spread(&k)
	return k, nil
}

// capacity returns the capacity without its standard deviations.
func (r *reacher) capacity() (Capacity, error) {
	best, err := r.best()
	if err != nil {
		return Capacity{}, err
	}
	k := Capacity{Catch: best.catch, SlideStop: best.slide, TrunkStop: best.trunk, Posture: best.posture}
	k.Posture.Layback = r.limits.Layback
	k.Finish, err = r.finish()
	return k, err
}

// capacityCatch returns the catch of the case's capacity.
func (c *Case) capacityCatch(limits Limits) (Angle, error) {
	best, err := c.reacher(limits).best()
	return best.catch, err
}

// reacher looks for the furthest catch of one case.
type reacher struct {
	c      Case
	limits Limits
	hands  Handle
	way    way // of the best crouch
}

func (c *Case) reacher(limits Limits) *reacher {
	r := &reacher{c: *c, limits: limits, hands: c.handle()}
	switch p := &r.c.Posture; {
	case c.Belief == nil, c.Belief.CatchMeasured:
		p.Shin = min(p.Shin, defaultShin)
	default: // what is expected of a class says nothing of this body's limits
		usual := DefaultPosture(c.Setup.Class)
		p.Shin, p.Protraction = usual.Shin, usual.Protraction
	}
	r.limits = c.shownLimits(limits)
	return r
}

// shownLimits widens the limits to hold the posture itself, as far as arcs of this
// rower have shown it: with a finish the layback, with a catch the rest of it.
func (c *Case) shownLimits(l Limits) Limits {
	if c.Belief == nil || !c.Belief.Measured {
		return l
	}
	l.Layback = max(l.Layback, c.Posture.Layback)
	if !c.Belief.CatchMeasured {
		return l
	}
	l.Lean = max(l.Lean, c.Posture.Lean)
	var s Stroke
	if s.poseLegs(&c.Setup, &c.Body.Body, &c.Posture) == nil {
		l.KneeFlexion, l.TrunkThigh = max(l.KneeFlexion, s.KneeFlexion), max(l.TrunkThigh, s.TrunkThigh)
		l.HeelLift = max(l.heelLift(), s.HeelLift)
	}
	return l
}

// way is one of the choices that a crouch leaves: how far the heel rises, and
// how much further back the slide stops than it must, which leaves the trunk
// more room where the thighs stand steep.
type way struct{ lift, spare Angle }

// The search over ways: how many heel lifts are tried between a flat foot and
// the limit, where the steps about the best of them start, and where they end;
// numerical: the steps halve from two degrees to a twentieth, since about its best the
// catch is level.
const (
	liftSteps = 4
	wayFirst  = 2 * Degree
	wayLast   = 0.05 * Degree
)

// best returns the crouch of the furthest catch. Rising on the toes further than
// the ankle asks is allowed, so that a stiffer ankle only takes choices away.
func (r *reacher) best() (crouch, error) {
	most := r.limits.heelLift()
	best, err := r.at(way{})
	for i := 1; i <= liftSteps; i++ {
		r.take(&best, &err, way{lift: Angle(i) * most / liftSteps})
	}
	for step := wayFirst; step > wayLast; {
		from := r.way
		for _, w := range [...]way{{from.lift - step, from.spare}, {from.lift + step, from.spare}, {from.lift, from.spare - step}, {from.lift, from.spare + step}} {
			if w.lift >= 0 && w.lift <= most && w.spare >= 0 {
				r.take(&best, &err, w)
			}
		}
		if r.way == from {
			step /= 2
		}
	}
	return best, err
}

// take tries a way and keeps it when its catch is further.
func (r *reacher) take(best *crouch, err *error, w way) {
	k, e := r.at(w)
	if e == nil && (*err != nil || k.catch < best.catch) {
		*best, *err, r.way = k, nil, w
	}
}

// at returns the crouch of a way.
func (r *reacher) at(w way) (crouch, error) {
	setup, body := &r.c.Setup, &r.c.Body.Body
	k := crouch{posture: r.c.Posture, slide: StopShin, trunk: StopLean}
	p := &k.posture
	if ankle := setup.PlateAngle + 90*Degree - p.Dorsiflexion - w.lift; ankle > p.Shin {
		p.Shin, k.slide = ankle, StopDorsiflexion
	}
	var s Stroke
	s.AtCatch = footOn(setup, body, w.lift)
	if shin := s.shinAtKnee(body, p.Shin, r.limits.KneeFlexion); shin > p.Shin {
		p.Shin, k.slide = shin, StopKnee
	}
	p.Shin += w.spare
	p.Dorsiflexion = setup.PlateAngle + 90*Degree - p.Shin - w.lift
	elevation, ok := s.elevation(body, p.Shin)
	if !ok {
		return k, &ReachError{LimitKnee}
	}
	p.Lean = r.limits.Lean
	if room := r.limits.TrunkThigh - 90*Degree - elevation; room < p.Lean {
		p.Lean, k.trunk = room, StopTrunkThigh
	}
	var err error
	k.catch, err = s.catchOf(setup, body, p, r.hands)
	return k, err
}

// elevation returns the thigh's angle over the horizontal with the ankle of
// AtCatch and the given shin; false when the thigh does not bridge it.
func (s *Stroke) elevation(body *Body, shin Angle) (Angle, bool) {
	rise := s.AtCatch.Ankle.Z + body.Shank*shin.sin() - body.HipHeight
	if math.Abs(rise) >= body.Thigh {
		return 0, false
	}
	return Angle(math.Asin(rise / body.Thigh)), true
}

// shinAtKnee returns the shin, or the less compressed one at which the knees
// bend by no more than limit, with the ankle of AtCatch: ankle and hip then
// stand as far apart as the law of cosines has it.
func (s *Stroke) shinAtKnee(body *Body, shin, limit Angle) Angle {
	ankle := s.AtCatch.Ankle
	apart2 := body.Shank*body.Shank + body.Thigh*body.Thigh + 2*body.Shank*body.Thigh*limit.cos()
	rise := body.HipHeight - ankle.Z
	flat := apart2 - rise*rise
	if flat <= 0 {
		return shin // the foot stands so far off the seat's height that the knees cannot bend so much
	}
	knee := kneeAbove(ankle, Point{ankle.X - math.Sqrt(flat), body.HipHeight}, body)
	return min(shinHigh, max(shin, Angle(math.Atan2(knee.Z-ankle.Z, knee.X-ankle.X))))
}

// furthestOar is where ends of the arc are held when the body would carry the
// oar further: inside maxOarAngle by more than rounding; numerical.
const furthestOar = maxOarAngle - 1e-6

// catchOf returns the catch of the limiting oar with the foot of AtCatch, no
// nearer to the hull than an oar is counted.
func (s *Stroke) catchOf(setup *Setup, body *Body, p *Posture, hands Handle) (Angle, error) {
	if err := s.seatAtCatch(body, p); err != nil {
		return 0, err
	}
	lv := setup.Levers()
	s.setOars(setup, &lv, hands)
	least := float64(furthestOar)
	for i := range s.Arcs() {
		t, err := s.farthestCatch(setup, body, p, &lv, s.Oars[i].Handle.Catch)
		if err != nil {
			if e, ok := err.(*ReachError); ok && e.Limit == LimitNoCatch {
				continue
			}
			return 0, err
		}
		least = min(least, t)
	}
	return Angle(-least), nil
}

// finish returns the finish with the layback at its limit, no nearer to the
// hull than an oar is counted.
func (r *reacher) finish() (Angle, error) {
	p := r.c.Posture
	p.Layback = r.limits.Layback
	return finishOf(&r.c.Setup, &r.c.Body.Body, &p, r.hands)
}

// finishOf returns the finish of the limiting oar.
func finishOf(setup *Setup, body *Body, p *Posture, hands Handle) (Angle, error) {
	var s Stroke
	s.AtFinish = footOn(setup, body, 0)
	if err := s.seatAtFinish(body, p); err != nil {
		return 0, err
	}
	lv := setup.Levers()
	s.setOars(setup, &lv, hands)
	least := furthestOar
	for i := range s.Arcs() {
		sin := -s.drawX(body, p, s.Oars[i].Handle.Finish) / lv.Hand
		if sin <= -1 {
			return 0, &ReachError{LimitNoArc}
		}
		least = min(least, Angle(math.Asin(min(1, sin))))
	}
	return least, nil
}

// spread fills the standard deviations and LimitedBy. The way stays that of
// the best crouch, which is enough to first order at an optimum.
func (r *reacher) spread(k *Capacity) {
	var limits [4]float64
	widest := 0.0
	k.LimitedBy = StopOar
	for i, stop := range [...]ReachStop{StopLean, StopKnee, StopTrunkThigh, StopDorsiflexion} {
		up, down := r.catchWith(stop, 0.5), r.catchWith(stop, -0.5)
		limits[i] = float64(up - down)
		if -limits[i] > widest+1e-12 {
			widest, k.LimitedBy = -limits[i], stop
		}
	}
	catchVar, finishVar, both := r.readings()
	limitsVar := sumSquares(limits[:])
	k.BodySD, k.LimitsSD = rootAngle(catchVar), rootAngle(limitsVar)
	catchVar += limitsVar
	k.CatchSD, k.FinishSD = rootAngle(catchVar), rootAngle(finishVar)
	k.ArcSD = rootAngle(catchVar + finishVar - 2*both)
}

// catchWith returns the catch with one limit moved by a share of its spread.
func (r *reacher) catchWith(stop ReachStop, share float64) Angle {
	m := *r
	by := func(sd Angle) Angle { return Angle(share) * sd }
	switch stop {
	case StopLean:
		m.limits.Lean += by(leanLimitSD)
	case StopKnee:
		m.limits.KneeFlexion += by(kneeLimitSD)
	case StopTrunkThigh:
		m.limits.TrunkThigh += by(trunkThighLimitSD)
	case StopDorsiflexion:
		m.c.Posture.Dorsiflexion += by(dorsiflexionLimitSD)
	}
	k, err := m.at(m.way)
	if err != nil {
		return 0
	}
	return k.catch
}

// reachProbe is the step of the difference quotients over body and tape, m; numerical:
// large enough to look past the kinks where one limit hands over to another.
const reachProbe = 2e-3

// readings returns the variances of catch and finish and their covariance that
// body and tape make, rad².
func (r *reacher) readings() (catchVar, finishVar, both float64) {
	var g gradient
	for i, length := range r.c.Body.Body.lengths() {
		was := *length
		g.catch[i], g.finish[i] = r.quotients(func(h float64) { *length = was + h })
		*length = was
	}
	catchVar, finishVar, both = g.carry(&r.c.Body.Cov)
	for _, name := range measured {
		if !r.c.Setup.Class.has(name) {
			continue
		}
		was := r.c.Setup.Value(name)
		dc, df := r.quotients(func(h float64) { r.c.Setup.SetValue(name, was+h) })
		r.c.Setup.SetValue(name, was)
		catchVar += dc * dc * r.c.Tape * r.c.Tape
		finishVar += df * df * r.c.Tape * r.c.Tape
		both += dc * df * r.c.Tape * r.c.Tape
	}
	return catchVar, finishVar, both
}

// quotients returns the central difference quotients of catch and finish over
// what move moves, rad/m; zero where one side cannot be rowed.
func (r *reacher) quotients(move func(h float64)) (catch, finish float64) {
	var c, f [2]Angle
	for i, h := range [...]float64{reachProbe, -reachProbe} {
		move(h)
		k, err := r.at(r.way)
		end, ferr := r.finish()
		if err != nil || ferr != nil {
			return 0, 0
		}
		c[i], f[i] = k.catch, end
	}
	return float64(c[0]-c[1]) / (2 * reachProbe), float64(f[0]-f[1]) / (2 * reachProbe)
}

// gradient holds the slopes of catch and finish over the segments, rad/m.
type gradient struct{ catch, finish [segmentCount]float64 }

// carry returns variances and covariance of catch and finish, rad².
func (g *gradient) carry(cov *[segmentCount][segmentCount]float64) (catchVar, finishVar, both float64) {
	for i := range segmentCount {
		for j := range segmentCount {
			v := cov[i][j]
			catchVar += g.catch[i] * v * g.catch[j]
			finishVar += g.finish[i] * v * g.finish[j]
			both += g.catch[i] * v * g.finish[j]
		}
	}
	return catchVar, finishVar, both
}

// chanceOver returns the chance that a value with the given mean and standard
// deviation exceeds 0.
func chanceOver(mean, sd Angle) float64 {
	if sd <= 0 {
		switch {
		case mean > 0:
			return 1
		case mean < 0:
			return 0
		}
		return 0.5
	}
	return distuv.UnitNormal.CDF(float64(mean / sd))
}

// Within returns the posture p as the limits leave it in the case's rig: the
// slide stopped where the knees or the risen heels reach theirs, then the
// trunk's lean. A posture inside the limits comes back as it is.
func (c *Case) Within(p Posture, limits Limits) Posture {
	setup, body := &c.Setup, &c.Body.Body
	if ankle := setup.PlateAngle + 90*Degree - p.Dorsiflexion - limits.heelLift(); ankle > p.Shin {
		p.Shin = ankle
	}
	p.Shin = c.shinAtKneeStop(&p, limits.KneeFlexion)
	p.Lean = min(p.Lean, limits.Lean)
	var s Stroke
	s.AtCatch = footOn(setup, body, s.lift(setup, &p))
	if elevation, ok := s.elevation(body, p.Shin); ok {
		p.Lean = min(p.Lean, limits.TrunkThigh-90*Degree-elevation)
	}
	return p
}

// shinAtKneeStop returns the posture's shin, or the one to which the slide
// stopping at a bend of the knees opens it. The heel comes down as it opens.
func (c *Case) shinAtKneeStop(p *Posture, knee Angle) Angle {
	q := *p
	for range 60 {
		var s Stroke
		s.AtCatch = footOn(&c.Setup, &c.Body.Body, s.lift(&c.Setup, &q))
		next := s.shinAtKnee(&c.Body.Body, p.Shin, knee)
		if math.Abs(float64(next-q.Shin)) < 1e-11 {
			break
		}
		q.Shin = next
	}
	return q.Shin
}
