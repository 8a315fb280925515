package seatrace

import (
	"cmp"
	"slices"
)

// Margin is by how much the first boat of a piece was ahead of the second.
type Margin struct {
	First, Second int // boats, from 1
	Seconds       float64
}

// DeadHeat reports whether the two finished together.
func (m Margin) DeadHeat() bool { return m.Seconds == 0 }

// Margin returns the margin of the piece; ok is false where fewer than two
// boats have a time.
func (p *RacePiece) Margin() (m Margin, ok bool) {
	var order []int
	for b, t := range p.TimesS {
		if t != nil {
			order = append(order, b)
		}
	}
	if len(order) < 2 {
		return m, false
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(*p.TimesS[a], *p.TimesS[b]) })
	return Margin{First: order[0] + 1, Second: order[1] + 1, Seconds: *p.TimesS[order[1]] - *p.TimesS[order[0]]}, true
}

// StartMin returns when the piece at an index starts by the terms, in minutes
// after the first start.
func (t *RaceTerms) StartMin(piece int) float64 {
	return float64(piece) * (t.ExpectedTimeS/60 + t.RestMin)
}

// PowerOf returns what seconds of the boat over the distance are as power of
// one athlete, in W; 0 where the plan was asked for no difference to tell.
func (p *SeatRacePlan) PowerOf(seconds float64) float64 {
	if p.SmallestS == 0 {
		return 0
	}
	return seconds * p.SmallestW / p.SmallestS
}

// Example returns a pair that shows what the whole schedule adds to one swap: the
// first that the schedule swaps by itself, or else the least certain of those
// wanted. ok is false where no wanted pair is compared.
func (p *SeatRacePlan) Example() (d ExpectedDifference, ok bool) {
	for i := range p.Differences {
		if e := &p.Differences[i]; e.Asked && e.Estimable && (!ok || e.ExpectedSdS > d.ExpectedSdS) {
			d, ok = *e, true
		}
	}
	for i := range p.Pieces {
		piece := &p.Pieces[i]
		if len(piece.Moved) != 2 || len(piece.Left) > 0 {
			continue
		}
		for k := range p.Differences {
			if e := &p.Differences[k]; e.Asked && e.Estimable && slices.Contains(piece.Moved, e.First) && slices.Contains(piece.Moved, e.Second) {
				return *e, true
			}
		}
	}
	return d, ok
}

// Enough reports whether the schedule has the pieces that a difference takes
// to be told.
func (p *SeatRacePlan) Enough(d *ExpectedDifference) bool {
	return d.Pieces > 0 && d.Pieces <= len(p.Pieces)
}

// TermsOf returns the terms of a seat race that is rowed by the plan.
func (r *SeatRacePlanRequest) TermsOf(p *SeatRacePlan) *RaceTerms {
	terms := &RaceTerms{
		Boats: len(p.Pieces[0].Crews), Swaps: defaultSwaps, RestMin: defaultRestMin, ExpectedTimeS: p.ExpectedTimeS,
		MeanPowerW: r.meanPower(), SmallestW: p.SmallestW, Hulls: r.Hulls, Pairs: r.Pairs, AcrossSides: r.AcrossSides,
	}
	if r.Swaps != nil {
		terms.Swaps = *r.Swaps
	}
	if r.RestMin != nil {
		terms.RestMin = *r.RestMin
	}
	if r.NoiseSdS != nil {
		terms.NoiseSdS = *r.NoiseSdS
	}
	return terms
}
