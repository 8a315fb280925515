package lineup

import (
	"net/url"
	"strconv"

	"thole/api/lineup"
	"thole/ui/page"
)

// A boat with a cox takes an athlete who coxes, or a mass.

// CoxChoices lists who may cox, with what counts in the boat.
func (p *lineupPage) CoxChoices() []page.Option {
	list := []page.Option{{Value: "", Label: "by mass alone"}}
	for _, c := range p.squad.Coxes {
		label := c.Name + ", " + page.Fix(0, c.MassKg) + " kg"
		if c.CountedKg > c.MassKg {
			label += " + " + page.Fix(0, c.CountedKg-c.MassKg) + " kg dead weight"
		}
		list = append(list, page.Option{Value: strconv.FormatInt(c.AthleteID, 10), Label: label})
	}
	return list
}

// cox is the athlete chosen to cox; nil for none.
func (p *lineupPage) cox() *lineup.BoatCox {
	for i := range p.squad.Coxes {
		if c := &p.squad.Coxes[i]; p.Class.Coxed && strconv.FormatInt(c.AthleteID, 10) == p.typed.Get("coxwho") {
			return c
		}
	}
	return nil
}

// Cox is the id of the athlete chosen to cox; "" for none.
func (p *lineupPage) Cox() string {
	if c := p.cox(); c != nil {
		return strconv.FormatInt(c.AthleteID, 10)
	}
	return ""
}

// coxName is what the athlete chosen to cox is called; "" for none.
func (p *lineupPage) coxName() string {
	if c := p.cox(); c != nil {
		return c.Name
	}
	return ""
}

// readCox takes the cox's mass for the boat's, unless another is typed, and leaves
// the cox out of the rowers.
func (p *lineupPage) readCox(o *lineup.LineupProblem) {
	c := p.cox()
	if c == nil {
		return
	}
	if o.CoxMassKg == nil {
		o.CoxMassKg = &c.CountedKg
	}
	p.enter("Cox", c.Name)
	if _, rows := p.names[p.Cox()]; rows {
		o.Out = append(o.Out, p.Cox())
	}
}

// boatName is what the page calls the boat: by name or by class.
func (p *lineupPage) boatName() string {
	if p.Boat != nil {
		return p.Boat.Name + ", " + p.Class.Code
	}
	return p.Class.Code
}

// boatLink leads to the line-ups of a boat of the club.
type boatLink struct {
	Name, Class, Address string
	Here                 bool
}

// mostBoatLinks is how many boats stand over the page; a larger fleet is in the list of
// the form alone.
const mostBoatLinks = 12

// BoatLinks are the boats of the club.
func (p *lineupPage) BoatLinks() []boatLink {
	if len(p.Boats) > mostBoatLinks {
		return nil
	}
	var list []boatLink
	for i := range p.Boats {
		b := &p.Boats[i]
		q := url.Values{"class": {boatPrefix + strconv.FormatInt(b.ID, 10)}}
		if among := p.typed.Get(page.Among); among != "" {
			q.Set(page.Among, among)
		}
		list = append(list, boatLink{b.Name, b.BoatClass, "/line-ups?" + q.Encode(), p.Boat != nil && p.Boat.ID == b.ID})
	}
	return list
}
