package rigging

import (
	"errors"
	"math"
)

// Targets are the ends of the arc wanted of a seat, in the package's sign
// convention: the catch negative, the finish positive. Zero: no target.
type Targets struct{ Catch, Finish Angle }

// DefaultTargets returns the ends of the arc to start from when nothing but the
// class is known: those of an ordinary club crew, midway between women's and
// men's. With sex, age or level known see [Group.Arc].
func DefaultTargets(class Class) Targets { return Group{Class: class}.Arc().Targets }

// Limits bound what a posture may ask of a body. None is a medical threshold.
type Limits struct {
	Lean        Angle // forward lean at the catch
	Layback     Angle // lean back at the finish
	KneeFlexion Angle // at the catch, from the straight leg
	TrunkThigh  Angle // see Stroke.TrunkThigh
	// HeelLift is how far the heel may rise off the plate at the catch when
	// the ankle has no more bend to give; 0 stands for the default.
	HeelLift Angle
}

// DefaultLimits returns the limits assumed of an adult; engineering judgement, none of
// them is a medical threshold.
func DefaultLimits() Limits {
	return Limits{Lean: 30 * Degree, Layback: 35 * Degree, KneeFlexion: 140 * Degree, TrunkThigh: 165 * Degree, HeelLift: muchLift}
}

func (l *Limits) heelLift() Angle {
	if l.HeelLift == 0 {
		return muchLift
	}
	return l.HeelLift
}

// Reach says how a target stands to what the body has.
type Reach string

// The three answers to whether a target suits the reach.
const (
	ReachWithin Reach = "within_reach"  // in the usual posture or less
	ReachEdge   Reach = "edge_of_reach" // beyond the usual posture, inside the limits
	ReachBeyond Reach = "beyond_reach"  // outside the limits
)

// EndDemand is what one end of the arc asks of the body.
type EndDemand struct {
	Target Angle
	// Possible is false when no lean at all brings the hands there; Needed
	// is zero then.
	Possible bool
	Needed   Angle // lean forward (catch) or back (finish) that the target asks for
	Usual    Angle // the lean of the stated posture
	Limit    Angle // the largest lean within every limit
	// AtLimit is the end of the arc with the lean at its limit, and Margin
	// how far it lies beyond the target; negative when it falls short.
	AtLimit, Margin Angle
	Reach           Reach
}

// CatchDemand is what the catch asks. When the lean runs out, Shin is the shin
// angle that brings the target within reach with every limit held, 0 if none
// does or the slide must stop earlier. SlideStop is the shin at which the knees reach their limit, where that
// comes before the stated shin.
type CatchDemand struct {
	EndDemand
	LimitedBy       Setback
	Shin, SlideStop Angle
}

// Setback names which limit bounds the lean at the catch.
type Setback string

// The limits on the lean at the catch.
const (
	SetbackLean       Setback = "lean"        // the lean's own limit
	SetbackTrunkThigh Setback = "trunk_thigh" // the thighs meet the trunk first
)

// Demand is what a pair of targets asks of the body; nil for an end without a
// target. HeelForFinish is the heel's distance to the line of work that would
// give the target finish in the stated posture, m.
type Demand struct {
	Catch         *CatchDemand
	Finish        *EndDemand
	HeelForFinish float64
}

// Demand returns what the targets ask of the body in this rig, against limits.
// It needs the case's own solution.
func (c *Case) Demand(stroke *Stroke, targets Targets, limits Limits) Demand {
	var d Demand
	if targets.Catch != 0 {
		catch := c.catchDemand(stroke, targets.Catch, limits)
		d.Catch = &catch
	}
	if targets.Finish != 0 {
		finish := c.finishDemand(stroke, targets.Finish, limits)
		d.Finish, d.HeelForFinish = &finish, c.heelForFinish(stroke, targets.Finish)
	}
	return d
}

// catchDemand works in the posture the knees allow: the stated shin, or less
// compression where the knees reach their limit first.
func (c *Case) catchDemand(stroke *Stroke, target Angle, limits Limits) CatchDemand {
	d := CatchDemand{EndDemand: EndDemand{Target: target, Usual: c.Posture.Lean}}
	legs := *c
	pose := *stroke
	if stroke.KneeFlexion > limits.KneeFlexion {
		d.SlideStop = c.shinAtKneeLimit(limits.KneeFlexion)
		legs.Posture.Shin = d.SlideStop
		if pose.poseLegs(&legs.Setup, &legs.Body.Body, &legs.Posture) != nil {
			pose = *stroke
		}
	}
	elevation := pose.TrunkThigh - 90*Degree - legs.Posture.Lean
	d.Limit, d.LimitedBy = limits.Lean, SetbackLean
	if room := limits.TrunkThigh - 90*Degree - elevation; room < d.Limit {
		d.Limit, d.LimitedBy = room, SetbackTrunkThigh
	}
	d.Needed, d.Possible = legs.leanFor(&pose, target)
	d.AtLimit = legs.catchAtLean(d.Limit)
	d.Margin = target - d.AtLimit
	d.judge(d.Margin >= 0)
	if d.Reach == ReachBeyond && d.SlideStop == 0 {
		d.Shin = legs.shinFor(target, limits)
	}
	return d
}

// judge sets Reach from whether the limits hold the target.
func (d *EndDemand) judge(held bool) {
	switch {
	case !d.Possible || !held:
		d.Reach = ReachBeyond
	case d.Needed > d.Usual:
		d.Reach = ReachEdge
	default:
		d.Reach = ReachWithin
	}
}

// leanFor returns the least lean at which the straight arm reaches the handle
// of the lower hand at the target angle; false when none does. With the hand
// fixed it is e·sin λ − b·cos λ = k in closed form.
func (c *Case) leanFor(pose *Stroke, target Angle) (Angle, bool) {
	b, lv, hip := &c.Body.Body, c.Setup.Levers(), pose.AtCatch.Hip
	sin, cos := target.sincos()
	turnX, outY := c.shoulderTurn(target)
	e := -lv.Hand*sin - hip.X - c.Posture.Protraction - turnX
	across := c.Setup.PinOut() - lv.Hand*cos - outY
	up := hip.Z - c.handle().Catch
	flat2 := b.Arm*b.Arm - across*across
	k := (e*e + up*up + b.Trunk*b.Trunk - flat2) / (2 * b.Trunk)
	amplitude := math.Hypot(e, up)
	if k > amplitude {
		return 0, false
	}
	return Angle(math.Atan2(e, -up) - math.Acos(max(-1, k/amplitude))), true
}

// shoulderTurn returns how far the limiting shoulder stands sternwards of the
// trunk's line, and outwards of the centreline, at an oar angle.
func (c *Case) shoulderTurn(theta Angle) (x, y float64) {
	half := c.Body.Body.HalfShoulder
	if c.Setup.Class.Scull {
		return 0, half
	}
	sin, cos := min(-rotationGain*theta, c.Posture.RotationMax).sincos()
	return half * sin, c.Posture.SideLean - half*cos
}

// catchAtLean returns the catch with the given lean, at most the largest oar
// angle; 0 when the body cannot row it.
func (c *Case) catchAtLean(lean Angle) Angle {
	m := *c
	m.Posture.Lean = lean
	s, err := m.Solve()
	return endOf(s.Catch, err, LimitNoCatch, -maxOarAngle)
}

// endOf returns one end of a solution, or furthest where the solution failed
// because the body carries the oar past that end.
func endOf(end Angle, err error, past Limit, furthest Angle) Angle {
	var reach *ReachError
	if errors.As(err, &reach) && reach.Limit == past {
		return furthest
	}
	return end // zero when the solution failed
}

// Search range of the shin for demands, the range of medallists (V. Kleshnev,
// row2k.com, March 2024: 77.9° to 108.8°) widened.
const (
	shinLow  = 60 * Degree
	shinHigh = 130 * Degree
	// shinMost is the most that a posture may state.
	shinMost = 125 * Degree
)

// shinAtKneeLimit returns the shin at which the knees bend by limit, looking
// from the stated shin to the less compressed.
func (c *Case) shinAtKneeLimit(limit Angle) Angle {
	m := *c
	return bisect(c.Posture.Shin, shinHigh, func(shin Angle) bool {
		m.Posture.Shin = shin
		var s Stroke
		return s.poseLegs(&m.Setup, &m.Body.Body, &m.Posture) != nil || s.KneeFlexion > limit
	})
}

// shinFor returns the shin at which the target comes within reach with every
// limit held, looking to the more compressed; 0 when none does.
func (c *Case) shinFor(target Angle, limits Limits) Angle {
	reaches := func(shin Angle) bool {
		p := c.Posture
		p.Shin, p.Lean = shin, limits.Lean
		held := c.Within(p, limits)
		catch, err := c.catchIn(&held)
		return err == nil && held.Shin <= shin+rounding && catch <= target
	}
	// The less compressed the shins, the more of the limits they leave, and so
	// the search goes on from the stated shin by degrees.
	for shin := c.Posture.Shin; shin > shinLow; shin -= Degree {
		if reaches(shin) {
			return bisect(shin, shin+Degree, reaches)
		}
	}
	return 0
}

// bisect returns where holds stops holding between low, where it holds, and
// high, to a ten-thousandth of a degree.
func bisect(low, high Angle, holds func(Angle) bool) Angle {
	for high-low > 1e-4*Degree {
		mid := (low + high) / 2
		if holds(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// finishDemand inverts the finish for the layback, again in closed form.
func (c *Case) finishDemand(stroke *Stroke, target Angle, limits Limits) EndDemand {
	d := EndDemand{Target: target, Usual: c.Posture.Layback, Limit: limits.Layback}
	hip, hand := stroke.AtFinish.Hip, c.handle().Finish
	up := hand - hip.Z
	a := hip.X + c.Posture.FinishGap + c.Setup.Levers().Hand*target.sin()
	if amplitude := math.Hypot(up, a); c.Body.Body.HalfDepth <= amplitude {
		needed := Angle(math.Atan2(a, up) + math.Asin(c.Body.Body.HalfDepth/amplitude))
		if d.Possible = needed < 90*Degree; d.Possible {
			d.Needed = needed
		}
	}
	m := *c
	m.Posture.Layback = d.Limit
	s, err := m.Solve()
	d.AtLimit = endOf(s.Finish, err, LimitNoFinish, maxOarAngle)
	d.Margin = d.AtLimit - target
	d.judge(d.Margin >= 0)
	return d
}

// heelForFinish returns the heel's place for a finish: the whole body moves
// with the stretcher, so that x_heel = −R·sin θ − (x of the handle at the
// finish with the heel at 0).
func (c *Case) heelForFinish(stroke *Stroke, finish Angle) float64 {
	atZero := stroke.AtFinish.Hand.X - c.Setup.HeelToPin
	return -c.Setup.Levers().Hand*finish.sin() - atZero
}
