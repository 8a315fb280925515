package page

import (
	"fmt"
	"html/template"
	"strconv"

	"thole/api/club"
	drawing "thole/ui/figure"
)

// BoatFigure is a boat from above as it is on record, with its crew where one
// is known. A seat that was not measured is drawn as usual.
type BoatFigure struct {
	Boat   *club.Boat
	Widths []float64 // px, of [drawing.Widths]; from leastLying the boat lies
	Names  []string  // by seat, bow first, empty for an open seat; nil for no crew
	Here   int       // number of the seat to mark, 0 for none
}

// leastLying is the width from which a boat has room for its names lying, px.
const leastLying = 868

// usualOar is an oar as it is drawn where nothing is measured, m.
type usualOar struct{ pinOut, length, inboard, bladeLength, bladeWide float64 }

// The usual measures place ornament only: pins and oars common practice, blades
// those of the hatchet in rigging.Blade.
var (
	usualScull = usualOar{pinOut: 0.795, length: 2.88, inboard: 0.88, bladeLength: 0.44, bladeWide: 0.215}
	usualSweep = usualOar{pinOut: 0.85, length: 3.72, inboard: 1.15, bladeLength: 0.54, bladeWide: 0.25}
)

// HTML draws the boat at every width.
func (f BoatFigure) HTML() template.HTML {
	var list []*drawing.Drawing
	for _, width := range f.Widths {
		c := f.crew()
		c.ID, c.Width, c.Lying = "above-"+strconv.Itoa(int(width)), width, width >= leastLying
		list = append(list, c.Draw())
	}
	return drawing.Responsive(list...)
}

func (f BoatFigure) crew() *drawing.Crew {
	b, oar := f.Boat, f.oar()
	c := &drawing.Crew{
		HullLength: valueOr(b.WaterlineLengthM, b.Class.WaterlineLengthM), HullBeam: valueOr(b.WaterlineBeamM, b.Class.WaterlineBeamM),
		PinOut: oar.pinOut, Outer: oar.length - oar.inboard, HandleEnd: oar.inboard, BladeLength: oar.bladeLength, BladeWide: oar.bladeWide,
		Title: fmt.Sprintf("%s, a %s from above", b.Name, b.BoatClass), Unnamed: f.Names == nil, Here: f.Here,
	}
	for i := range b.Seats {
		seat := drawing.CrewSeat{Sides: boatSides(b.Seats[i].Side)}
		if i < len(f.Names) {
			seat.Family = f.Names[i]
		}
		c.Seats = append(c.Seats, seat)
	}
	if b.Class.Coxed {
		c.Cox = &drawing.CrewSeat{}
	}
	return c
}

// boatSides are the sides of a seat's oars; no side stands for both.
func boatSides(side string) []drawing.BoatSide {
	switch side {
	case "port":
		return []drawing.BoatSide{drawing.Port}
	case "starboard":
		return []drawing.BoatSide{drawing.Starboard}
	}
	return []drawing.BoatSide{drawing.Port, drawing.Starboard}
}

// oar is the mean of what is measured of the boat's seats.
func (f BoatFigure) oar() usualOar {
	oar, pin, share := usualSweep, "spread_cm", 1.0
	if f.Boat.Class.Scull {
		oar, pin, share = usualScull, "span_cm", 0.5
	}
	oar.pinOut = f.mean(pin, share, oar.pinOut)
	oar.length = f.mean("oar_length_cm", 1, oar.length)
	oar.inboard = f.mean("inboard_cm", 1, oar.inboard)
	return oar
}

// mean is the mean of a share of a setting over the seats where it is known, m.
func (f BoatFigure) mean(setting string, share, usual float64) float64 {
	sum, n := 0.0, 0.0
	for i := range f.Boat.Seats {
		if v := f.Boat.Seats[i].Seat.Setting(setting); v != nil {
			sum, n = sum+*v/100*share, n+1
		}
	}
	if n == 0 {
		return usual
	}
	return sum / n
}

func valueOr(v *float64, otherwise float64) float64 {
	if v == nil {
		return otherwise
	}
	return *v
}
