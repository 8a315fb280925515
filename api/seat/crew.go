package seat

import (
	"fmt"
	"slices"

	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// CrewRequest asks for the rig of a whole boat that brings its crew nearest to
// common targets with one set of oars.
type CrewRequest struct {
	BoatClass  string                         `json:"boat_class" validate:"required,boatclass"`
	Seats      []CrewSeat                     `json:"seats" validate:"required,min=1,max=8" description:"As found, with who rows them; seats that nobody rows are left out."`
	Targets    *FitTargets                    `json:"targets,omitempty" description:"Common to all seats; a catch or finish that is left out is chosen for this crew."`
	Adjust     map[string]settings.Adjustment `json:"adjust,omitempty" description:"What may be moved at every seat, by setting; without it, what commonly is in this class."`
	Job        string                         `json:"job,omitempty" enum:",everyday,full_rerig" description:"As for one seat; without it, everyday."`
	OwnInboard bool                           `json:"own_inboard,omitempty" description:"Kept for older clients: inboards by strength are an offer of a full re-rig."`

	Blade       string   `json:"blade,omitempty" enum:",hatchet,macon,large" description:"As for one seat."`
	Level       string   `json:"level,omitempty" enum:",championship,club,novice" description:"As for one seat."`
	Lightweight *bool    `json:"lightweight,omitempty" description:"As for one seat."`
	UsualArc    *Targets `json:"usual_arc,omitempty" description:"As for one seat."`

	DisplacementKg *float64 `json:"displacement_kg,omitempty" validate:"omitempty,gte=30,lte=2000" description:"Mass afloat; without it, the least hull mass with a crew of these rowers' mean mass, 3 kg of oars and kit each, and a coxswain of 55 kg in coxed boats."`
	TapeCm         *float64 `json:"tape_cm,omitempty" validate:"omitempty,gte=0,lte=5" default:"0.5" description:"Standard deviation of one reading with the tape."`
}

// CrewSeat is one seat with its rower.
type CrewSeat struct {
	Number    int           `json:"number,omitempty" validate:"gte=0,lte=8" description:"1 is bow; without it, the place in the list."`
	Seat      Seat          `json:"seat" validate:"required" description:"As found."`
	Rower     Rower         `json:"rower,omitempty"`
	Posture   *Posture      `json:"posture,omitempty"`
	Handle    *Handle       `json:"handle,omitempty" description:"Without it, the heights that put the blade at the water."`
	Arcs      []MeasuredArc `json:"arcs,omitempty" validate:"max=50" description:"As for one seat."`
	Readings  []Reading     `json:"readings,omitempty" validate:"max=10" description:"As for one seat."`
	Stretcher *Stretcher    `json:"stretcher,omitempty" description:"As for one seat."`
	Strength  *float64      `json:"strength,omitempty" validate:"omitempty,plausible=seats.strength" description:"What the rower can do, in any unit that is the same for the crew, such as W; without it, the crew's mean."`
}

// CommonTarget is a target of the whole crew.
type CommonTarget struct {
	Target string  `json:"target"`
	Value  float64 `json:"value" description:"In the target's unit; 0 of draw_height_cm: each rower's own."`
	Chosen bool    `json:"chosen" description:"It was not asked for."`
}

// Work is one thing to be moved at one seat.
type Work struct {
	Seat int `json:"seat"`
	SeatChange
}

// CrewInput is a crew in the domain's terms.
type CrewInput struct {
	Seats []*SolveInput

	numbers   []int
	strengths []float64
	class     rigging.Class
	adjust    map[rigging.Setting]rigging.Adjustment // nil: what commonly is moved
}

// Read converts and checks a whole crew, so that every mistake is reported at once.
func (r *CrewRequest) Read(class rigging.Class) (*CrewInput, error) {
	if len(r.Seats) == 0 {
		return nil, wire.At("seats").Invalid("Give at least one seat with its rower.")
	}
	if len(r.Seats) > class.Rowers {
		return nil, wire.At("seats").Invalid(fmt.Sprintf("A %s has %d seats, not %d.", class.Code, class.Rowers, len(r.Seats)))
	}
	var p wire.Problems
	r.Targets.check(&p, wire.Place{})
	c := &CrewInput{class: class, adjust: settings.CheckAdjustments(&p, class, r.Adjust)}
	for i := range r.Seats {
		at := wire.At("seats").Item(i)
		seat := r.solveRequest(i)
		in, err := seat.read(class)
		p.Merge(at, err)
		c.Seats = append(c.Seats, in)
		c.numbers = append(c.numbers, checkSeatNumber(&p, at.Name("number"), class, c.numbers, r.Seats[i].Number))
	}
	p.Check(wire.At(), r)
	if err := p.OrNil(); err != nil {
		return nil, err
	}
	c.settle(class, r)
	return c, nil
}

// solveRequest is the request to solve one seat by itself.
func (r *CrewRequest) solveRequest(i int) SolveRequest {
	s := &r.Seats[i]
	return SolveRequest{
		BoatClass: r.BoatClass, Seat: s.Seat, Rower: s.Rower, Posture: s.Posture, Handle: s.Handle, TapeCm: r.TapeCm,
		Blade: r.Blade, Level: r.Level, Lightweight: r.Lightweight, UsualArc: r.UsualArc, Arcs: s.Arcs, Readings: s.Readings, Stretcher: s.Stretcher,
	}
}

// checkSeatNumber complains about a number that no seat has, or that stands twice.
func checkSeatNumber(p *wire.Problems, at wire.Place, class rigging.Class, taken []int, number int) int {
	if number == 0 {
		number = len(taken) + 1
	}
	switch {
	case number < 1 || number > class.Rowers:
		p.Add(at.Problem(fmt.Sprintf("A %s has seats 1 to %d.", class.Code, class.Rowers)))
	case slices.Contains(taken, number):
		p.Add(at.Problem(fmt.Sprintf("Seat %d stands here twice.", number)))
	}
	return number
}

// settle fills in what depends on the whole crew: how deep the boat lies, and
// what each rower can do.
func (c *CrewInput) settle(class rigging.Class, r *CrewRequest) {
	mass := 0.0
	for _, in := range c.Seats {
		mass += in.Seat.Body.Mass / float64(len(c.Seats))
	}
	afloat := wire.Or(r.DisplacementKg, class.Displacement(mass))
	for i, in := range c.Seats {
		in.Seat.Displacement = afloat
		c.strengths = append(c.strengths, wire.Known(r.Seats[i].Strength, 1))
	}
}
