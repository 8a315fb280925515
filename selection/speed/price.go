package speed

import (
	"math"

	"thole/rigging"
)

// Range is a figure and the ends it took when what is uncertain was varied.
type Range struct{ Value, Low, High float64 }

// with takes a figure of another reading into the range.
func (r Range) with(v float64) Range {
	return Range{r.Value, min(r.Low, v), max(r.High, v)}
}

// Holds reports whether v lies within the range.
func (r Range) Holds(v float64) bool { return v >= r.Low && v <= r.High }

// Change is something done to one seat or to all.
type Change struct {
	Name  string
	Seat  int // index, or EverySeat
	Apply func(Seat) Seat
	// Also holds other readings of the same change, for the ends of its range:
	// a rower's spread from stroke to stroke, another way to fade.
	Also []func(Seat) Seat
}

// Price is what a change is worth, at equal force and at equal power: times are over the
// distance asked for, below zero is gained; shares are in parts of one. Truth
// lies between the two: the first holds for a rower limited by force, the
// second for one limited by lungs.
type Price struct {
	Name string

	// At equal force: same peak and shape over the loaded arc.
	ForceTime  Range // s
	ForcePower Range // how much more power the changed seats give

	// At equal power: peak force scaled until the changed seats give what they
	// gave.
	PowerTime  Range // s
	PowerForce Range // how much harder each stroke is pulled

	// Open says that with some variation no stroke can be rowed steadily, so
	// that the ranges may be wider than they say.
	Open bool
}

// What every price is found again with, for its range (engineering judgement:
// to be said beside the range).
const (
	BladeSpread  = 0.30 // ± share of the blade's force coefficient times area
	TravelSpread = 0.10 // ± share of the travel of the body
	SlowHands    = 5.0  // m/s², pick-up of the hands
	FastHands    = 10.0 // m/s²
	PlaceSpread  = 0.05 // ± share of the loaded arc, place of the peak
)

// variation is one uncertain figure at one end of its range.
type variation struct {
	apply func(Seat) Seat
	// set reports whether a change fixes that figure itself, so that varying it
	// would price another change.
	set func(before, after Seat) bool
}

var variations = []variation{
	{func(s Seat) Seat { s.BladeForce *= 1 - BladeSpread; return s }, never},
	{func(s Seat) Seat { s.BladeForce *= 1 + BladeSpread; return s }, never},
	{func(s Seat) Seat { s.Travel *= 1 - TravelSpread; return s }, never},
	{func(s Seat) Seat { s.Travel *= 1 + TravelSpread; return s }, never},
	{func(s Seat) Seat { s.PickUp = SlowHands; return s }, setsPickUp},
	{func(s Seat) Seat { s.PickUp = FastHands; return s }, setsPickUp},
	{func(s Seat) Seat { s.Shape = s.Shape.Moved(-PlaceSpread); return s }, never},
	{func(s Seat) Seat { s.Shape = s.Shape.Moved(+PlaceSpread); return s }, never},
}

func never(_, _ Seat) bool               { return false }
func setsPickUp(before, after Seat) bool { return before.PickUp != after.PickUp }

// Price returns what each change is worth over a distance in m, one for one.
// Every price is found again with each variation of the uncertain figures
// and each other reading of the change; the ranges hold them all. It errs
// with rigging.FieldErrors on a stroke that is impossible before or after a
// change, and with ErrNoStroke where there is none.
func (s *Stroke) Price(distance float64, changes []Change) ([]Price, error) {
	p := pricer{distance: distance}
	return p.price(s, changes)
}

// pricer prices changes in a boat.
type pricer struct {
	distance float64
	speed    float64 // measured, m/s: drag is set so that every base goes at it; 0 keeps drag
	kernel   kernel
}

// quote is one reading of a price.
type quote struct{ forceTime, forcePower, powerTime, powerForce float64 }

func (p *pricer) price(s *Stroke, changes []Change) ([]Price, error) {
	errs := outside("distance", p.distance, minDistance, maxDistance, rigging.Count)
	if len(errs) > 0 {
		return nil, errs
	}
	for _, c := range changes {
		if c.Seat < EverySeat || c.Seat >= len(s.Seats) {
			panic("speed: change of a seat that is none")
		}
	}
	base, err := p.base(*s)
	if err != nil {
		return nil, err
	}
	out := make([]Price, len(changes))
	for i, c := range changes {
		if out[i], err = p.first(base, c); err != nil {
			return nil, err
		}
	}
	p.vary(s, changes, out)
	return out, nil
}

// first quotes a change and its other readings in the boat as it is.
func (p *pricer) first(base *baseline, c Change) (Price, error) {
	q, err := p.quote(base, c.Seat, c.Apply)
	if err != nil {
		return Price{}, err
	}
	out := q.price(c.Name)
	for _, apply := range c.Also {
		out = out.with(p.quote(base, c.Seat, apply))
	}
	return out, nil
}

// vary takes every variation into the ranges.
func (p *pricer) vary(s *Stroke, changes []Change, out []Price) {
	for _, v := range variations {
		base, err := p.base(s.with(EverySeat, v.apply))
		for i, c := range changes {
			seat := s.Seats[max(c.Seat, 0)]
			switch {
			case v.set(seat, c.Apply(seat)):
			case err != nil:
				out[i].Open = true
			default:
				out[i] = out[i].with(p.quote(base, c.Seat, c.Apply))
			}
		}
	}
}

// price starts a Price at a quote.
func (q quote) price(name string) Price {
	at := func(v float64) Range { return Range{v, v, v} }
	return Price{Name: name, ForceTime: at(q.forceTime), ForcePower: at(q.forcePower), PowerTime: at(q.powerTime), PowerForce: at(q.powerForce)}
}

// with takes another quote into the ranges, or leaves them open where there is
// none.
func (p Price) with(q quote, err error) Price {
	if err != nil {
		p.Open = true
		return p
	}
	p.ForceTime = p.ForceTime.with(q.forceTime)
	p.ForcePower = p.ForcePower.with(q.forcePower)
	p.PowerTime = p.PowerTime.with(q.powerTime)
	p.PowerForce = p.PowerForce.with(q.powerForce)
	return p
}

// quote prices one reading of a change against a base.
func (p *pricer) quote(base *baseline, seat int, apply func(Seat) Seat) (quote, error) {
	changed := base.stroke.with(seat, apply)
	if err := changed.check(); err != nil {
		return quote{}, err
	}
	k := &p.kernel
	k.load(&changed)
	sol, _, err := k.steady(base.at, nearly)
	if err != nil {
		return quote{}, err
	}
	chosen := k.chosen(&changed, seat)
	before := base.power(seat)
	q := quote{
		forceTime:  p.distance*k.period/k.way - base.time(p.distance),
		forcePower: k.mean(chosen)/before - 1,
	}
	if math.Abs(q.forcePower) < nearly {
		q.powerTime = q.forceTime
		return q, nil
	}
	force, err := k.atPower(chosen, before, sol.w, base.slopes(p, seat))
	q.powerTime, q.powerForce = p.distance*k.period/k.way-base.time(p.distance), force-1
	return q, err
}
