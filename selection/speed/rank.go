package speed

import (
	"slices"

	"thole/rigging"
)

// Item is something a rower can work on.
type Item string

// The items, in the order in which ties are told.
const (
	ItemCatchSlip   Item = "catch_slip"   // the blade holds late
	ItemReleaseSlip Item = "release_slip" // the force goes before the finish: washing out
	ItemEntryEarly  Item = "entry_early"  // the blade backs water
	ItemEntryLate   Item = "entry_late"   // the blade sweeps air; told as a cause of catch slip where that is real
	ItemDepth       Item = "depth"        // the blade is carried too deep
	ItemCatch       Item = "catch"        // the reach is short
	ItemFinish      Item = "finish"       // the finish is short
	ItemPeakPlace   Item = "peak_place"   // the force peaks early or late
	ItemOverReach   Item = "over_reach"   // the catch lies beyond the body's reach
)

// Cause is a measured reason for a late catch, beyond its own noise.
type Cause string

// The causes of a late catch.
const (
	CauseLateEntry   Cause = "entry_late"
	CauseCarriedHigh Cause = "carried_high"
	CauseSlowSink    Cause = "sinks_slowly"
	CauseSlowHands   Cause = "hands_slow" // below the speed that matches the water when the blade is covered
)

// Finding is one thing to work on.
type Finding struct {
	Item    Item
	Measure Measure
	// Change is what the measure is to change by, in its unit.
	Change float64
	// Limited says that the reference asks for more than can be had: than the
	// body's reach, or than the blade could take before it matches the water.
	Limited bool
	Causes  []Cause
	Price   Price
	// CloseToNext says that this price and the next one's lie within each
	// other's range: which of both comes first is too close to tell.
	CloseToNext bool
}

// Gap is a measure that is missing and would let more be said.
type Gap string

// The gaps of a recording.
const (
	GapSpeed     Gap = "boat_speed"     // drag is the class's, not the day's
	GapCurve     Gap = "curve"          // a hump stands in
	GapVertical  Gap = "vertical_angle" // no entry, no depth
	GapPeak      Gap = "peak_place"
	GapStrokes   Gap = "strokes" // fewer than three: no noise to hold anything against
	GapReference Gap = "reference"
)

// Ranking is what to work on first.
type Ranking struct {
	Findings []Finding // at most three, the most costly first; none when nothing is beyond the noise
	Beyond   int       // measures beyond their noise and priced, told or not
	// Unpriced holds what is beyond its noise but asks for a stroke that the
	// model cannot row steadily: measures that do not go together.
	Unpriced []Item
	Gaps     []Gap
	// OverReach is a finding where the catch lies beyond the body's reach by more
	// than both are unsure; nil where it does not. It is never ranked by its
	// price, which is what reaching no further would cost: the model rows longer
	// arcs and knows nothing of the body. Its price is zero where there is none.
	OverReach *Finding

	Steady Steady  // the model's stroke at the measured speed
	Drag   float64 // k that gives it, N·s²/m²
	// Idle is the share of the arc that does no work, both slips.
	Idle float64
	// MatchSpeed is the speed of the hands that matches the water where load
	// begins, m/s, to stand beside the measured one.
	MatchSpeed float64
	// PowerOff is the model's power at the handle over the measured one, less
	// one: a check of both; 0 where none was measured.
	PowerOff float64
}

// mostFindings is how many things are reported at once: more cannot be worked on.
const mostFindings = 3

// leastGain is the smallest gain reported, s; engineering judgement: prices are
// shown to a tenth, and half of it rounds to one.
const leastGain = 0.05

// candidate is a change to price, in a boat of its own.
type candidate struct {
	finding Finding
	stroke  *Stroke
	change  Change
}

// Rank returns what the rower of a recording should work on first, priced over
// a distance in m by their own change alone. It errs with rigging.FieldErrors
// on a recording that lacks arc or slips or is impossible, and with ErrNoStroke
// where the model finds no stroke.
func Rank(r Recording, distance float64) (Ranking, error) {
	if errs := outside("distance", distance, minDistance, maxDistance, rigging.Count); len(errs) > 0 {
		return Ranking{}, errs
	}
	s, err := r.stroke()
	if err != nil {
		return Ranking{}, err
	}
	p := pricer{distance: distance, speed: r.Speed}
	if r.Speed > 0 {
		if s, err = s.AtSpeed(r.Speed); err != nil {
			return Ranking{}, err
		}
	}
	steady, err := s.Solve()
	if err != nil {
		return Ranking{}, err
	}
	out := Ranking{
		Gaps: r.gaps(), Steady: steady, Drag: s.Drag, MatchSpeed: steady.Seats[0].HoldSpeed,
		Idle: (r.CatchSlip.Mean + r.ReleaseSlip.Mean) / (r.Catch.Mean + r.Finish.Mean),
	}
	if r.Power > 0 {
		out.PowerOff = steady.Seats[own].Handle/r.Power - 1
	}
	out.OverReach = p.overReach(&r, &s)
	found := p.findings(r.candidates(&s, out.MatchSpeed), &out.Unpriced)
	out.Beyond = len(found)
	out.Findings = ranked(found)
	return out, nil
}

// findings prices the candidates, those that share a boat together, and adds
// to unpriced those that have no price.
func (p *pricer) findings(candidates []candidate, unpriced *[]Item) (out []Finding) {
	for len(candidates) > 0 {
		boat := candidates[0].stroke
		shares := func(c candidate) bool { return c.stroke == boat }
		alike := slices.DeleteFunc(slices.Clone(candidates), func(c candidate) bool { return !shares(c) })
		candidates = slices.DeleteFunc(candidates, shares)
		out = append(out, p.priced(alike, unpriced)...)
	}
	return out
}

// priced prices candidates of one boat; where they cannot be priced together,
// each alone.
func (p *pricer) priced(alike []candidate, unpriced *[]Item) (out []Finding) {
	changes := make([]Change, len(alike))
	for i, c := range alike {
		changes[i] = c.change
	}
	prices, err := p.price(alike[0].stroke, changes)
	if err != nil && len(alike) == 1 {
		*unpriced = append(*unpriced, alike[0].finding.Item)
		return nil
	}
	for i, c := range alike {
		if err != nil {
			out = append(out, p.priced(alike[i:i+1], unpriced)...)
			continue
		}
		c.finding.Price = prices[i]
		out = append(out, c.finding)
	}
	return out
}

// ranked returns the findings that gain something, the most costly at equal force
// first, and marks neighbours that are too close to tell.
func ranked(found []Finding) []Finding {
	found = slices.DeleteFunc(found, func(f Finding) bool { return f.Price.ForceTime.Value > -leastGain })
	slices.SortStableFunc(found, func(a, b Finding) int {
		switch d := a.Price.ForceTime.Value - b.Price.ForceTime.Value; {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	for i := range max(len(found)-1, 0) {
		a, b := found[i].Price.ForceTime, found[i+1].Price.ForceTime
		found[i].CloseToNext = a.Holds(b.Value) && b.Holds(a.Value)
	}
	return found[:min(len(found), mostFindings)]
}

// gaps returns what is missing.
func (r *Recording) gaps() (out []Gap) {
	missing := func(is bool, g Gap) {
		if is {
			out = append(out, g)
		}
	}
	missing(r.Speed == 0, GapSpeed)
	missing(r.Curve == nil, GapCurve)
	missing(!r.entered() || !r.Depth.Known, GapVertical)
	missing(!r.PeakPlace.Known, GapPeak)
	missing(r.Strokes < 3, GapStrokes)
	referred := false
	for _, m := range r.measures() {
		referred = referred || m.Source != ""
	}
	missing(!referred, GapReference)
	return out
}
