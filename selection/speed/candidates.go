package speed

import (
	"math"

	"thole/rigging"
)

// own is the seat changed: the rower's own, whatever the others do.
const own = 0

// candidates returns a change for every measure that is beyond its noise on
// the side that may cost speed.
func (r *Recording) candidates(s *Stroke, match float64) []candidate {
	var out []candidate
	add := func(c candidate, ok bool) {
		if ok {
			out = append(out, c)
		}
	}
	catch, late := r.lateCatch(s, match)
	add(catch, late)
	add(r.washingOut(s))
	add(r.earlyEntry(s))
	if !late {
		add(r.lateEntry(s))
	}
	add(r.tooDeep(s))
	add(r.shortCatch(s))
	add(r.shortFinish(s))
	add(r.peakElsewhere(s))
	return out
}

// candidate builds a change by an amount of a measure, with the rower's spread
// and what else belongs into its range.
func newCandidate(item Item, m Measure, s *Stroke, by float64, apply func(by float64) func(Seat) Seat) candidate {
	change := Change{Name: string(item), Seat: own, Apply: apply(by)}
	for _, spread := range [...]float64{-m.SD, m.SD} {
		if other := by + spread; m.SD > 0 && other*by > 0 {
			change.Also = append(change.Also, apply(other))
		}
	}
	return candidate{Finding{Item: item, Measure: m, Change: -by}, s, change}
}

// lateCatch prices a catch slip above its reference.
func (r *Recording) lateCatch(s *Stroke, match float64) (candidate, bool) {
	gap, above := r.CatchSlip.above()
	if !above {
		return candidate{}, false
	}
	at := func(fade rigging.Angle) func(float64) func(Seat) Seat {
		return func(by float64) func(Seat) Seat { return moveCatch(rigging.Angle(by), fade, r.Level) }
	}
	able := float64(s.Seats[own].Hold)
	limited := gap > able
	gap = min(gap, able)
	c := newCandidate(ItemCatchSlip, r.CatchSlip, s, gap, at(FadeArc))
	c.finding.Limited = limited
	c.change.Also = append(c.change.Also, at(ShortFade)(gap), at(LongFade)(gap))
	c.finding.Causes = r.causes(match)
	return c, true
}

// causes returns what measured makes a catch late.
func (r *Recording) causes(match float64) (out []Cause) {
	if _, above := r.Start.above(); above {
		out = append(out, CauseLateEntry)
	}
	if _, above := r.Height.above(); above {
		out = append(out, CauseCarriedHigh)
	}
	if _, below := r.Sink.below(); below {
		out = append(out, CauseSlowSink)
	}
	if r.Hands > 0 && r.Hands < match {
		out = append(out, CauseSlowHands)
	}
	return out
}

// washingOut prices a release slip above its reference.
func (r *Recording) washingOut(s *Stroke) (candidate, bool) {
	gap, above := r.ReleaseSlip.above()
	if !above {
		return candidate{}, false
	}
	at := func(fade rigging.Angle) func(float64) func(Seat) Seat {
		return func(by float64) func(Seat) Seat { return moveRelease(rigging.Angle(by), fade, r.Level) }
	}
	able := float64(s.Seats[own].Release)
	limited := gap > able
	gap = min(gap, able)
	c := newCandidate(ItemReleaseSlip, r.ReleaseSlip, s, gap, at(FadeArc))
	c.finding.Limited = limited
	c.change.Also = append(c.change.Also, at(ShortFade)(gap), at(LongFade)(gap))
	return c, true
}

// entryBoat returns the boat with the entry measured; the load then begins when
// that entry lets it.
func (r *Recording) entryBoat(s *Stroke) *Stroke {
	e := Entry{r.Height.Mean, r.Sink.Mean, r.Start.Mean}
	out := s.with(EverySeat, func(seat Seat) Seat { seat.Entry, seat.Hold = e, 0; return seat })
	return &out
}

// moveEntry starts the blade down earlier by s.
func moveEntry(by float64) func(Seat) Seat {
	return func(seat Seat) Seat { seat.Entry.Start -= by; return seat }
}

// earlyEntry prices an entry before its reference.
func (r *Recording) earlyEntry(s *Stroke) (candidate, bool) {
	gap, below := r.Start.below()
	if !below || !r.entered() {
		return candidate{}, false
	}
	return newCandidate(ItemEntryEarly, r.Start, r.entryBoat(s), gap, moveEntry), true
}

// lateEntry prices an entry after its reference.
func (r *Recording) lateEntry(s *Stroke) (candidate, bool) {
	gap, above := r.Start.above()
	if !above || !r.entered() {
		return candidate{}, false
	}
	return newCandidate(ItemEntryLate, r.Start, r.entryBoat(s), gap, moveEntry), true
}

// tooDeep prices a blade carried deeper than its reference.
func (r *Recording) tooDeep(s *Stroke) (candidate, bool) {
	gap, above := r.Depth.above()
	if !above {
		return candidate{}, false
	}
	return newCandidate(ItemDepth, r.Depth, s, gap, func(by float64) func(Seat) Seat {
		return func(seat Seat) Seat { seat.Depth = max(seat.Depth-rigging.Angle(by), 0); return seat }
	}), true
}

// shortCatch prices a reach below its reference, within what the body is able
// to reach.
func (r *Recording) shortCatch(s *Stroke) (candidate, bool) {
	m := r.Catch
	limited := r.Reach > 0 && r.Reach < m.Reference
	if limited {
		m.Reference = r.Reach
	}
	gap, below := m.below()
	if !below {
		return candidate{}, false
	}
	c := newCandidate(ItemCatch, r.Catch, s, gap, func(by float64) func(Seat) Seat { return ReachFurther(rigging.Angle(-by)) })
	c.finding.Limited = limited
	return c, true
}

// ReachSource names the body's reach as what a catch is held against.
const ReachSource = "the body’s reach at this rig"

// BeyondReach returns how far the catch lies beyond the body's reach, rad, and
// the standard deviation of that: of the mean of the strokes, of the zero of the
// sensor, and of the reach. ok is false where one of them is not known.
func (r *Recording) BeyondReach() (by, sd float64, ok bool) {
	if !r.Catch.Known || r.Reach <= 0 || r.ReachSD <= 0 {
		return 0, 0, false
	}
	mean := r.Catch.SD / math.Sqrt(float64(max(r.Strokes, 1)))
	return r.Catch.Mean - r.Reach, math.Sqrt(mean*mean + r.CatchZero*r.CatchZero + r.ReachSD*r.ReachSD), true
}

// overReach is the finding of a catch beyond the body's reach; nil where that is
// not certain.
func (p *pricer) overReach(r *Recording, s *Stroke) *Finding {
	by, sd, ok := r.BeyondReach()
	if !ok || by <= noiseFactor*sd {
		return nil
	}
	m := r.Catch
	m.Reference, m.Source, m.OwnBest = r.Reach, ReachSource, false
	c := newCandidate(ItemOverReach, m, s, by, func(by float64) func(Seat) Seat { return ReachFurther(rigging.Angle(-by)) })
	if found := p.priced([]candidate{c}, new([]Item)); len(found) == 1 {
		return &found[0]
	}
	return &c.finding
}

// shortFinish prices a finish short of its reference.
func (r *Recording) shortFinish(s *Stroke) (candidate, bool) {
	gap, below := r.Finish.below()
	if !below {
		return candidate{}, false
	}
	return newCandidate(ItemFinish, r.Finish, s, gap, func(by float64) func(Seat) Seat { return FinishFurther(rigging.Angle(-by)) }), true
}

// peakElsewhere prices the place of the peak alone: the mean force over the
// loaded arc is held, so that a fuller curve does not pass for a better place.
func (r *Recording) peakElsewhere(s *Stroke) (candidate, bool) {
	gap, real := r.PeakPlace.beyond()
	if !real {
		return candidate{}, false
	}
	rise, fall := s.Seats[own].Shape.crossings(r.Level)
	return newCandidate(ItemPeakPlace, r.PeakPlace, s, gap, func(by float64) func(Seat) Seat {
		return func(seat Seat) Seat {
			mean := seat.Shape.Mean()
			seat.Shape = seat.Shape.Moved(-by * (fall - rise))
			seat.Peak *= mean / seat.Shape.Mean()
			return seat
		}
	}), true
}

// finite reports whether every number of the measure is one, and the SD no less
// than zero.
func (m Measure) finite() bool {
	return m.SD >= 0 && !math.IsNaN(m.Mean+m.SD+m.Reference) && !math.IsInf(m.Mean+m.SD+m.Reference, 0)
}
