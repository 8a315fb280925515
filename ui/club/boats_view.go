package club

import (
	"fmt"
	"strings"

	"thole/api/club"
	"thole/ui/page"
)

// hullDrawing is a boat from above, bow up, with the rigger of each seat:
// distances across are to scale, those along the boat are not.
type hullDrawing struct {
	Box   page.Box
	Hull  string
	Ball  page.Spot
	BowAt page.Spot
	Seats []drawnSeat
	Cox   *page.Spot
	Title string
}

// drawnSeat is one seat with its riggers.
type drawnSeat struct {
	Number   int
	Address  string
	Here     bool // the seat that the page is about
	At       page.Spot
	Box      page.Box
	Hit      page.Box // where a finger or a mouse picks it
	NumberAt page.Spot
	Riggers  []drawnRigger
	Words    string
}

// drawnRigger is one pin with the oar on it.
type drawnRigger struct {
	Class    string // port or starboard
	Spare    bool   // a side that the rigger would fit as well
	Stay     string
	Pin      page.Spot
	PinBox   page.Spot
	Oar      page.Line
	Blade    page.Line
	Letter   string
	LetterAt page.Spot
}

// Sizes of the drawing, cm across; along the boat the seats stand closer than
// they do.
const (
	seatPitch   = 74.0
	bowLength   = 150.0
	sternLength = 110.0
	coxRoom     = 60.0
	seatHalf    = 14.0
	usualSpan   = 159.0 // where a seat was not measured
	usualPin    = 85.0
	oarBeyond   = 84.0 // of oar drawn beyond the pin; it is cut short
	scullGrip   = 12.0 // handle end short of the middle, so that hands do not cross in the drawing
	bladeLong   = 34.0
	letterRoom  = 17.0
)

// newHullDrawing draws the boat; here is the seat to mark, 0 for none.
func newHullDrawing(b *club.Boat, here int) hullDrawing {
	n := float64(len(b.Seats))
	length := bowLength + (n-1)*seatPitch + sternLength
	if b.Class.Coxed {
		length += coxRoom
	}
	half := 22 + n
	wide := usualPin + oarBeyond + bladeLong + 12
	d := hullDrawing{
		Box: page.Box{X: -wide, Y: -26, W: 2 * wide, H: length + 40}, Hull: slimHull(half, length), Ball: page.Spot{X: 0, Y: -4}, BowAt: page.Spot{X: 34, Y: 4},
		Title: fmt.Sprintf("%s, a %s from above, bow up: %s", b.Name, b.BoatClass, page.SideWords(b)),
	}
	for i := range b.Seats {
		d.Seats = append(d.Seats, drawSeat(b, &b.Seats[i], here, bowLength+float64(i)*seatPitch, half))
	}
	if b.Class.Coxed {
		d.Cox = &page.Spot{X: 0, Y: bowLength + (n-1)*seatPitch + 88}
	}
	return d
}

// slimHull is the outline of a hull with a pointed bow.
func slimHull(half, length float64) string {
	return fmt.Sprintf("M0 0C%s %s %s %s %s %sL%s %sC%s %s %s %s 0 %sC%s %s %s %s %s %sL%s %sC%s %s %s %s 0 0Z",
		page.Coord(half*0.7), page.Coord(bowLength*0.35), page.Coord(half), page.Coord(bowLength*0.6), page.Coord(half), page.Coord(bowLength),
		page.Coord(half), page.Coord(length-sternLength), page.Coord(half), page.Coord(length-50), page.Coord(half*0.6), page.Coord(length-20), page.Coord(length),
		page.Coord(-half*0.6), page.Coord(length-20), page.Coord(-half), page.Coord(length-50), page.Coord(-half), page.Coord(length-sternLength),
		page.Coord(-half), page.Coord(bowLength), page.Coord(-half), page.Coord(bowLength*0.6), page.Coord(-half*0.7), page.Coord(bowLength*0.35))
}

func drawSeat(b *club.Boat, s *club.BoatSeat, here int, y, half float64) drawnSeat {
	d := drawnSeat{
		Number: s.Number, Address: seatAddress(b, s.Number), Here: s.Number == here, At: page.Spot{X: 0, Y: y},
		Box: page.Box{X: -seatHalf, Y: y - 12, W: 2 * seatHalf, H: 23}, NumberAt: page.Spot{X: 0, Y: y + 5.5}, Words: page.SeatWords(b, s),
		Hit: page.Box{X: -usualPin - oarBeyond, Y: y - seatPitch/2 + 6, W: 2 * (usualPin + oarBeyond), H: seatPitch},
	}
	for _, side := range [...]string{"port", "starboard"} {
		if s.Side == "" || s.Side == side {
			d.Riggers = append(d.Riggers, drawRigger(b, s, side, y, half, false))
		} else if s.CanChangeSides {
			d.Riggers = append(d.Riggers, drawRigger(b, s, side, y, half, true))
		}
	}
	return d
}

func drawRigger(b *club.Boat, s *club.BoatSeat, side string, y, half float64, spare bool) drawnRigger {
	out, inner := usualPin, 115.0
	switch {
	case b.Class.Scull:
		out, inner = orElse(s.Seat.SpanCm, usualSpan)/2, orElse(s.Seat.SpanCm, usualSpan)/2-scullGrip
	case s.Seat.SpreadCm != nil:
		out = *s.Seat.SpreadCm
	}
	if s.Seat.InboardCm != nil && !b.Class.Scull {
		inner = *s.Seat.InboardCm
	}
	x, pin := page.Sign(side), y+22
	at := page.Spot{X: x * out, Y: pin}
	r := drawnRigger{
		Class: side, Spare: spare, Pin: at, PinBox: page.Spot{X: at.X - 6, Y: at.Y - 6}, Letter: strings.ToUpper(side[:1]),
		Stay:     page.Trace(page.Spot{X: x * half, Y: pin - 17}, at, page.Spot{X: x * half, Y: pin + 17}),
		Oar:      page.Line{X1: x * (out - inner), Y1: pin, X2: x * (out + oarBeyond), Y2: pin},
		Blade:    page.Line{X1: x * (out + oarBeyond), Y1: pin, X2: x * (out + oarBeyond + bladeLong), Y2: pin},
		LetterAt: page.Spot{X: x * (out + letterRoom), Y: pin - 9},
	}
	return r
}
