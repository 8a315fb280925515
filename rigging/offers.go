package rigging

import "math"

// OfferKind names what an offer changes.
type OfferKind string

// The kinds of offers, in the order of preference.
const (
	OfferShorterArc OfferKind = "shorter_arc" // one catch that all reach
	OfferHeels      OfferKind = "heels"       // heels deeper at the seats that fall short
	OfferPins       OfferKind = "pins"        // span or spread and inboard together, overlap and lever ratio kept
	OfferOars       OfferKind = "oars"        // shorter inboard and oar, lever ratio kept, overlap given up
	OfferOwnInboard OfferKind = "own_inboard" // inboards by strength
)

// Offer is something that could be done besides the plan, with its price.
type Offer struct {
	Kind OfferKind
	// Catch is the common catch offered; zero where it stays.
	Catch Angle
	// Changes holds what moves at each seat from the plan's rig, stretchers
	// among it.
	Changes [][]Change
	// Brings holds how much nearer each seat comes to the target catch.
	Brings []Angle
	// Lever is the mean lever ratio before and after, and Load how much heavier
	// the oar becomes at the catch that is reached, as a share: the lever ratio
	// over the cosine of the catch.
	LeverBefore, LeverAfter float64
	Load                    float64
	// OverlapAfter is the overlap without the gates' width, m.
	OverlapAfter float64
}

// worthOffering is the least that an offer brings to be shown: half a tolerance,
// by our judgement, since nobody sees less at the boat.
const worthOffering = CatchTolerance / 2

// offerStep is the step in which offers move pins, inboards and oars, m: half a
// centimetre, twice that of the heels and the span; common practice.
const offerStep = 0.005

// offers fills what would bring the seats that fall short nearer.
func (p *planner) offers(plan *Plan) {
	if p.task.Job == JobRerig {
		p.offerInboards(plan)
	}
	short := Angle(0)
	for i := range plan.Seats {
		short = max(short, plan.Seats[i].After.CatchShort)
	}
	if short <= worthOffering {
		return
	}
	shorter := Offer{Kind: OfferShorterArc, Catch: Angle(math.Ceil(float64(plan.AllReach/targetStep)-rounding)) * targetStep}
	for i := range plan.Seats {
		shorter.Brings = append(shorter.Brings, plan.Seats[i].After.CatchShort)
	}
	list := []Offer{p.priced(plan, shorter, plan.setups())}
	list = append(list, p.change(plan, OfferHeels, short, p.lowerHeels)...)
	list = append(list, p.change(plan, OfferPins, short, narrowPins)...)
	list = append(list, p.change(plan, OfferOars, short, shortenOars)...)
	plan.Offers = append(list, plan.Offers...)
}

// setups returns the rigs of the plan.
func (plan *Plan) setups() []Setup {
	list := make([]Setup, len(plan.Seats))
	for i := range list {
		list[i] = plan.Seats[i].Setup
	}
	return list
}

// alter changes the rig of seat i by n steps of an offer; false when it goes no
// further.
type alter func(s *Setup, seat *PlanSeat, short Angle, n int) bool

// mostSteps bounds the steps of an offer: 2 cm of inboard, 4 of span. More is another
// rig; engineering judgement.
const mostSteps = 4

// change returns the offer of the fewest steps that brings all seats within
// reach of the catch, or else of the most, if it brings enough.
func (p *planner) change(plan *Plan, kind OfferKind, short Angle, step alter) []Offer {
	var best *Offer
	for n := 1; n <= mostSteps; n++ {
		setups, moved := plan.setups(), false
		for i := range setups {
			if step(&setups[i], &p.task.Seats[i], plan.Seats[i].After.CatchShort, n) {
				moved = true
			} else {
				setups[i] = plan.Seats[i].Setup
			}
		}
		if !moved {
			break
		}
		offer, left, ok := p.evaluate(plan, kind, setups)
		if !ok {
			break
		}
		best = &offer
		if left <= CatchTolerance/10 {
			break
		}
	}
	if best == nil || !best.worth(plan) {
		return nil
	}
	return []Offer{*best}
}

// worth reports whether the offer brings some seat that falls short enough.
func (o *Offer) worth(plan *Plan) bool {
	for i, b := range o.Brings {
		if plan.Seats[i].After.CatchShort > 0 && b >= worthOffering {
			return true
		}
	}
	return false
}

// evaluate prices an offer of rigs, the stretchers set anew for the finish. left
// is how much the seat that falls short most still does; ok is false where a
// seat cannot be rowed or would be cautioned anew.
func (p *planner) evaluate(plan *Plan, kind OfferKind, setups []Setup) (o Offer, left Angle, ok bool) {
	o = Offer{Kind: kind, Brings: make([]Angle, len(setups))}
	for i := range setups {
		seat := &p.task.Seats[i]
		c := seat.Case
		c.Setup = setups[i]
		if c.Setup.checkOar() != nil {
			return o, 0, false
		}
		if !seat.Missing.has(SettingHeelToPin) {
			c.Setup.HeelToPin = p.heel(&c)
		}
		setups[i] = c.Setup
		reach, err := p.capacity(seat, &c.Setup)
		if err != nil || p.cautions(seat, &c, &plan.Seats[i].Setup) {
			return o, 0, false
		}
		short := max(0, reach-p.targets.Catch)
		o.Brings[i] = plan.Seats[i].After.CatchShort - short
		left = max(left, short)
	}
	return p.priced(plan, o, setups), left, true
}

// cautions reports whether the case is cautioned anew against the plan's rig.
func (p *planner) cautions(seat *PlanSeat, c *Case, planned *Setup) bool {
	before, after := seat.Case, *c
	before.Setup = *planned
	before.Posture = before.comeForward(before.Posture, p.furthest(planned))
	after.Posture = after.comeForward(after.Posture, p.furthest(planned))
	list := p.cautionsOf(seat, &before)
	return list != nil && adds(list, p.cautionsOf(seat, &after))
}

// priced fills what the offer moves and costs.
func (p *planner) priced(plan *Plan, o Offer, setups []Setup) Offer {
	before, after := 0.0, 0.0
	for i := range setups {
		was, now := &plan.Seats[i].Setup, &setups[i]
		o.Changes = append(o.Changes, Changes(was, now))
		o.LeverBefore += was.leverRatio() / float64(len(setups))
		o.LeverAfter += now.leverRatio() / float64(len(setups))
		reached := p.targets.Catch + plan.Seats[i].After.CatchShort
		next := reached - o.Brings[i]
		if o.Catch != 0 {
			reached, next = p.targets.Catch, max(o.Catch, p.targets.Catch)
		}
		before += was.leverRatio() / reached.cos()
		after += now.leverRatio() / next.cos()
	}
	o.Load = after/before - 1
	o.OverlapAfter = setups[0].Overlap().Raw
	return o
}

// lowerHeels takes the heels of a seat that falls short down by a centimetre a
// step, to the deepest that is usual.
func (p *planner) lowerHeels(s *Setup, seat *PlanSeat, short Angle, n int) bool {
	if short == 0 || seat.Missing.has(SettingHeelDepth) {
		return false
	}
	to := s.HeelDepth + 2*offerStep*float64(n)
	if to > usualHeelsDeep+rounding {
		return false
	}
	s.HeelDepth = to
	return true
}

// keepLever sets the oar's length so that the lever ratio is that of was, to
// half a centimetre and never heavier by more than that.
func keepLever(s, was *Setup) {
	ratio := was.leverRatio()
	more := ratio*s.Levers().Inner - s.Levers().Outer
	s.OarLength = roundTo(s.OarLength+more, offerStep)
}

// narrowPins takes the pins in, a centimetre of span or half of spread a step,
// and the inboard with them so that the overlap stays.
func narrowPins(s *Setup, seat *PlanSeat, _ Angle, n int) bool {
	if seat.Missing.has(SettingSpan) || seat.Missing.has(SettingSpread) || seat.Missing.has(SettingInboard) {
		return false
	}
	was, by := *s, offerStep*float64(n)
	if s.Class.Scull {
		s.Span -= 2 * by
	} else {
		s.Spread -= by
	}
	s.Inboard -= by
	keepLever(s, &was)
	return s.usualOars()
}

// shortenOars takes half a centimetre off the inboard a step and as much off the
// outboard as keeps the lever ratio.
func shortenOars(s *Setup, seat *PlanSeat, _ Angle, n int) bool {
	if seat.Missing.has(SettingInboard) {
		return false
	}
	was := *s
	s.Inboard -= offerStep * float64(n)
	keepLever(s, &was)
	return s.usualOars()
}

// usualOars reports whether pins and oars lie within what is usual in any boat.
func (s *Setup) usualOars() bool {
	for _, p := range s.plausibles() {
		switch p.place.Last() {
		case FieldSpan, FieldSpread, FieldInboard, FieldOarLength:
			if p.unusual() != nil {
				return false
			}
		}
	}
	return true
}

// mostInboard is how far strengths may move an inboard either way, m; engineering
// judgement: about 2 % of load, and no more than collars commonly allow.
const mostInboard = 0.01

// offerInboards offers inboards by strength in a full re-rig: with the blade's
// force equal the force at the handle grows with the lever ratio, and so the
// strong get the shorter inboard. No inboard moves by more than a centimetre,
// and a junior's lever never grows.
func (p *planner) offerInboards(plan *Plan) {
	sum, known := 0.0, 0
	for i := range p.task.Seats {
		if s := p.task.Seats[i].Strength; s > 0 {
			sum += s
			known++
		}
	}
	if known < 2 {
		return
	}
	setups, moved := plan.setups(), false
	for i := range setups {
		seat, s := &p.task.Seats[i], &setups[i]
		if seat.Strength == 0 || seat.Missing.has(SettingInboard) {
			continue
		}
		by := p.inboardBy(s, seat.Strength*float64(known)/sum)
		if seat.Case.Age > 0 && seat.Case.Age < AdultAge {
			by = max(0, by)
		}
		s.Inboard += by
		moved = moved || by != 0
	}
	if !moved {
		return
	}
	o, _, ok := p.evaluate(plan, OfferOwnInboard, setups)
	if ok {
		plan.Offers = append(plan.Offers, o)
	}
}

// inboardBy returns how far the inboard moves for a lever ratio a share of the
// present one, on steps of half a centimetre.
func (p *planner) inboardBy(s *Setup, share float64) float64 {
	lv := s.Levers()
	// (Outer − x)/(Inner + x) = share·Outer/Inner
	ratio := share * lv.Outer / lv.Inner
	by := (lv.Outer - ratio*lv.Inner) / (1 + ratio)
	return roundTo(min(mostInboard, max(-mostInboard, by)), offerStep)
}

func roundTo(v, step float64) float64 { return math.Round(v/step) * step }
