package rigging

import "slices"

// Odds is a chance in words.
type Odds string

// The odds that a target lies within the reach; where they begin is engineering
// judgement, see clearChance.
const (
	OddsLikely   Odds = "likely"            // at least 80 %
	OddsOpen     Odds = "too_close_to_tell" // between
	OddsUnlikely Odds = "unlikely"          // at most 20 %
)

// clearChance is the chance from which a verdict is given; engineering
// judgement.
const clearChance = 0.80

// oddsOf returns a chance in words.
func oddsOf(chance float64) Odds {
	switch {
	case chance >= clearChance:
		return OddsLikely
	case chance <= 1-clearChance:
		return OddsUnlikely
	}
	return OddsOpen
}

// ReachOdds compares one target with the body's capacity.
type ReachOdds struct {
	Target, Capacity Angle
	Margin           Angle // how far the capacity goes beyond the target; negative: short
	SD               Angle // of the margin
	Chance           float64
	Odds             Odds
}

func reachOdds(target, capacity, margin, sd Angle) *ReachOdds {
	chance := chanceOver(margin, sd)
	return &ReachOdds{target, capacity, margin, sd, chance, oddsOf(chance)}
}

// StretcherFault says that the stretcher stands in the wrong place.
type StretcherFault struct {
	FinishBy  Angle   // expected finish less the target
	Chance    float64 // that the finish lies more than its tolerance off, on that side
	HeelToPin float64 // where the heel belongs, m
	// PastBoth says that catch and finish both lie past their targets, which
	// may look like reach to spare and is not.
	PastBoth bool
}

// Evidence names something to measure.
type Evidence string

// What settles a verdict.
const (
	EvidenceSeated Evidence = "seated_reading" // the handle's place with the rower in the seat: see Proof
	EvidenceBody   Evidence = "body"           // arm span and sitting height, or the segments
	EvidenceDraw   Evidence = "draw_height"    // where the hands meet the body
	EvidenceRower  Evidence = "stature"        // the rower's height
)

// Suits reports whether an arc suits a reach, as chances. An end without a target
// is nil, and the arc is nil unless both have one.
type Suits struct {
	// Stretcher is said first where it is not nil; then only the arc as a
	// whole, which the stretcher hardly changes, tells about the reach.
	Stretcher          *StretcherFault
	Catch, Finish, Arc *ReachOdds
	// Odds is the verdict on the whole: the least of the chances that count.
	Odds   Odds
	Chance float64
	// Settle lists what to measure, the best first, where it is too close to
	// tell.
	Settle []Evidence
	// FinishSD is the standard deviation of the expected finish: body, tape
	// and, where it is not simply stated, posture.
	FinishSD Angle
}

// Suits compares the targets with the body's capacity in the rig. stroke is
// what is expected of the case in it. The error is a *ReachError.
func (c *Case) Suits(stroke *Stroke, targets Targets, limits Limits) (Suits, error) {
	k, err := c.Capacity(limits)
	if err != nil {
		return Suits{}, err
	}
	s := Suits{Chance: 1, FinishSD: c.Uncertainty(stroke).Finish}
	s.Stretcher = c.stretcherFault(stroke, targets, s.FinishSD)
	if targets.Catch != 0 {
		s.Catch = reachOdds(targets.Catch, k.Catch, targets.Catch-k.Catch, k.CatchSD)
	}
	if targets.Finish != 0 {
		s.Finish = reachOdds(targets.Finish, k.Finish, k.Finish-targets.Finish, k.FinishSD)
	}
	if targets.Catch != 0 && targets.Finish != 0 {
		arc := targets.Finish - targets.Catch
		s.Arc = reachOdds(arc, k.Arc(), k.Arc()-arc, k.ArcSD)
	}
	s.conclude(&k)
	return s, nil
}

// conclude fills the verdict on the whole.
func (s *Suits) conclude(k *Capacity) {
	count := []*ReachOdds{s.Catch, s.Finish, s.Arc}
	if s.Stretcher != nil && s.Arc != nil {
		count = []*ReachOdds{s.Arc}
	}
	for _, o := range count {
		if o != nil {
			s.Chance = min(s.Chance, o.Chance)
		}
	}
	s.Odds = oddsOf(s.Chance)
	if s.Odds != OddsOpen {
		return
	}
	s.Settle = []Evidence{EvidenceSeated, EvidenceBody}
	if k.BodySD > k.LimitsSD {
		slices.Reverse(s.Settle)
	}
}

// stretcherFault returns what is wrong with the stretcher, or nil when its
// place is right or too close to tell.
func (c *Case) stretcherFault(stroke *Stroke, targets Targets, sd Angle) *StretcherFault {
	if targets.Finish == 0 {
		return nil
	}
	by := stroke.Finish - targets.Finish
	off := max(by, -by) - FinishTolerance
	chance := chanceOver(off, sd)
	if chance < clearChance {
		return nil
	}
	return &StretcherFault{
		FinishBy: by, Chance: chance, HeelToPin: c.heelForFinish(stroke, targets.Finish),
		PastBoth: by > 0 && targets.Catch != 0 && stroke.Catch < targets.Catch,
	}
}
