package page

import (
	"cmp"
	"fmt"
	"html/template"
	"strconv"

	"thole/api/fleet"
	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
	drawing "thole/ui/figure"
	"thole/ui/figure/draw"
)

// BoatFigure is a boat from above as it is on record, with its crew where one
// is known. A seat that was not measured is drawn as usual.
type BoatFigure struct {
	Boat   *fleet.Boat
	Widths []float64 // px, those of [draw.Responsive]; from leastLying the boat lies
	Names  []string  // by seat, bow first, empty for an open seat; nil for no crew
	Notes  []string  // by seat, under the name, such as "90 kg"
	Cox    string    // the name of the cox, "" for none
	Title  string    // "" for the boat's name and class
	ID     string    // of the drawings of a page that has several boats; "" for "above"
	Here   int       // number of the seat to mark, 0 for none
}

// leastLying is the width from which a boat has room for its names lying, px; our
// judgement.
const leastLying = 868

// drawnOar is an oar as it is drawn, m.
type drawnOar struct{ pinOut, length, inboard, bladeLength, bladeWide float64 }

// HTML draws the boat at every width.
func (f BoatFigure) HTML() template.HTML {
	var list []*draw.Drawing
	for _, width := range f.Widths {
		c := f.crew()
		c.ID, c.Width, c.Lying = cmp.Or(f.ID, "above")+"-"+strconv.Itoa(int(width)), width, width >= leastLying
		list = append(list, c.Draw())
	}
	return draw.Responsive(list...)
}

func (f BoatFigure) crew() *drawing.Crew {
	b, oar := f.Boat, f.oar()
	c := &drawing.Crew{
		HullLength: wire.Or(b.WaterlineLengthM, b.Class.WaterlineLengthM), HullBeam: wire.Or(b.WaterlineBeamM, b.Class.WaterlineBeamM),
		PinOut: oar.pinOut, Outer: oar.length - oar.inboard, HandleEnd: oar.inboard, BladeLength: oar.bladeLength, BladeWide: oar.bladeWide,
		Title: cmp.Or(f.Title, fmt.Sprintf("%s, a %s from above", b.Name, b.BoatClass)), Unnamed: f.Names == nil, Here: f.Here,
	}
	for i := range b.Seats {
		seat := drawing.CrewSeat{Sides: boatSides(b.Seats[i].Side)}
		if i < len(f.Names) {
			seat.Family = f.Names[i]
		}
		if i < len(f.Notes) {
			seat.Note = f.Notes[i]
		}
		c.Seats = append(c.Seats, seat)
	}
	if b.Class.Coxed {
		c.Cox = &drawing.CrewSeat{Family: f.Cox}
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

// oar is the mean of what is measured of the boat's seats, and of a usual rig where
// nothing is.
func (f BoatFigure) oar() drawnOar {
	usual, class := settings.StartRig(f.Boat.BoatClass), rigging.Class{Scull: f.Boat.Class.Scull}
	blade := class.Blade(rigging.Hatchet)
	oar := drawnOar{
		length: f.mean("oar_length_cm", usual), inboard: f.mean("inboard_cm", usual), bladeLength: blade.Length, bladeWide: blade.Height,
	}
	if f.Boat.Class.Scull {
		oar.pinOut = f.mean("span_cm", usual) / 2
		return oar
	}
	oar.pinOut = f.mean("spread_cm", usual)
	return oar
}

// mean is the mean of a setting over the seats where it is known, m.
func (f BoatFigure) mean(setting string, usual map[string]float64) float64 {
	sum, n := 0.0, 0.0
	for i := range f.Boat.Seats {
		if v := f.Boat.Seats[i].Seat.Setting(setting); v != nil {
			sum, n = sum+*v/100, n+1
		}
	}
	if n == 0 {
		return usual[setting] / 100
	}
	return sum / n
}
