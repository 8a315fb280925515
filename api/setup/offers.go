package setup

import (
	"fmt"
	"math"

	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// Offer is something that could be done besides the work, with its price.
type Offer struct {
	Kind        string      `json:"kind" enum:"shorter_arc,heels,pins,oars,own_inboard"`
	Text        string      `json:"text" description:"What it is, in words."`
	CatchDeg    *float64    `json:"catch_deg" description:"The common catch offered; null where it stays."`
	Brings      []OfferGain `json:"brings" description:"Seats that come nearer."`
	Moves       []OfferMove `json:"moves" description:"What moves from the rig as set up."`
	LeverBefore float64     `json:"lever_before" description:"Mean lever ratio."`
	LeverAfter  float64     `json:"lever_after" description:"Mean lever ratio."`
	LoadShare   float64     `json:"load_share" description:"How much heavier the oar becomes at the catch; negative: lighter."`
	OverlapCm   float64     `json:"overlap_cm" description:"Measured, without the gates' width."`
}

// OfferGain is what an offer brings one seat.
type OfferGain struct {
	Seat int     `json:"seat"`
	Deg  float64 `json:"deg" description:"How much nearer the target catch comes."`
}

// OfferMove is one move of an offer.
type OfferMove struct {
	Seat    int     `json:"seat"`
	Setting string  `json:"setting"`
	To      float64 `json:"to" description:"In the setting's unit."`
	Text    string  `json:"text"`
}

// leastGain is the gain that is worth naming: half of the last digit that is shown, so
// that less shows no difference.
const leastGain = 0.05 * rigging.Degree

// offers puts the offers on the wire.
func (p *plan) offers() []Offer {
	list := []Offer{}
	for i := range p.work.Offers {
		list = append(list, p.offer(&p.work.Offers[i]))
	}
	return list
}

func (p *plan) offer(o *rigging.Offer) Offer {
	w := Offer{
		Kind: string(o.Kind), Text: offerText(o), Brings: []OfferGain{}, Moves: []OfferMove{}, LeverBefore: wire.ToRatio(o.LeverBefore),
		LeverAfter: wire.ToRatio(o.LeverAfter), LoadShare: wire.Round(o.Load, 1e4), OverlapCm: wire.ToCm(o.OverlapAfter),
	}
	if o.Catch != 0 {
		w.CatchDeg = wire.Ptr(wire.ToDeg(o.Catch))
	}
	for i, by := range o.Brings {
		if by > leastGain {
			w.Brings = append(w.Brings, OfferGain{p.places[i].Seat, wire.ToDeg(by)})
		}
	}
	for i, changes := range o.Changes {
		for _, c := range changes {
			name := settings.Name(c.Setting)
			w.Moves = append(w.Moves, OfferMove{p.places[i].Seat, name, settings.InUnit(c.Setting, c.To),
				settings.MoveText(p.class, c.Setting, settings.InUnit(c.Setting, c.To-c.From))})
		}
	}
	return w
}

// offerText reports what an offer is.
func offerText(o *rigging.Offer) string {
	switch o.Kind {
	case rigging.OfferShorterArc:
		return fmt.Sprintf("A catch of %s° that everybody reaches.", wire.Bare(math.Abs(o.Catch.Degrees()), wire.Unit{Factor: 1, Digits: 1}))
	case rigging.OfferHeels:
		return "Heels lower at the seats that fall short."
	case rigging.OfferPins:
		return "Pins and inboard in together, overlap and lever ratio kept."
	case rigging.OfferOars:
		return "Shorter inboard and oars, lever ratio kept, with less overlap."
	}
	return "Inboards by strength."
}

// seatWord names a place in the list.
func (p *plan) seatWord(i int) string { return fmt.Sprintf("Seat %d", p.places[i].Seat) }

func sin(a rigging.Angle) float64 { return math.Sin(float64(a)) }
