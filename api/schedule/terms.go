package schedule

import (
	"slices"

	"thole/api/wire"
	"thole/rigging"
)

// RaceTerms are the terms on which a seat race is planned and ranked.
type RaceTerms struct {
	Boats         int            `json:"boats" validate:"gte=2,lte=12"`
	Swaps         int            `json:"swaps" validate:"gte=0,lte=60" description:"Pairs that may change places between two pieces; 0 for no limit."`
	RestMin       float64        `json:"rest_min" validate:"gte=0,lte=1440" description:"Minutes from the end of one piece to the start of the next."`
	ExpectedTimeS float64        `json:"expected_time_s" validate:"gte=10,lte=7200" description:"About the time of a piece: margins without a clock are put on it."`
	MeanPowerW    float64        `json:"mean_power_w" validate:"gte=20,lte=1000" description:"About the power of one athlete over a piece, in W."`
	SmallestW     float64        `json:"smallest_w" validate:"gte=0,lte=1000" description:"The smallest difference between two athletes that has to show, in W."`
	NoiseSdS      float64        `json:"noise_sd_s" validate:"gte=0,lte=100" description:"Expected scatter of one boat's time; 0 for 0.9 % of the time. It serves to plan; the judgement finds its own."`
	Hulls         bool           `json:"hulls" description:"The hulls may differ in speed."`
	Trends        bool           `json:"trends" description:"Each boat may drift steadily over the pieces."`
	Pairs         [][]string     `json:"pairs" validate:"omitempty,max=1770,dive,len=2,dive,max=200" say:"Name pairs, each of two athletes." description:"Pairs of athletes to compare; empty for all whose sides let them take each other's seat."`
	AcrossSides   bool           `json:"across_sides" description:"Where no pairs are named, compare ports with starboards too."`
	Prior         *SeatRacePrior `json:"prior,omitempty" description:"The coach’s estimate of the athletes before they race."`
}

// UsualTerms are the terms where none are stated.
func UsualTerms(classCode string, distance float64) RaceTerms {
	terms := RaceTerms{Boats: defaultBoats, Swaps: defaultSwaps, RestMin: defaultRestMin, MeanPowerW: defaultMeanPowerW, SmallestW: defaultSmallestW}
	if class, ok := rigging.ClassByCode(classCode); ok && distance > 0 {
		terms.ExpectedTimeS = wire.ToSeconds(timeOf(class, distance, terms.MeanPowerW))
	}
	return terms
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
