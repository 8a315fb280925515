package ui

import (
	"fmt"
	"strings"

	"thole/api/club"
)

// hullDrawing is a boat from above, bow up, with the rigger of each seat:
// distances across are to scale, those along the boat are not.
type hullDrawing struct {
	Box   box
	Hull  string
	Ball  spot
	BowAt spot
	Seats []drawnSeat
	Cox   *spot
	Title string
}

// drawnSeat is one seat with its riggers.
type drawnSeat struct {
	Number   int
	Address  string
	Here     bool // the seat that the page is about
	At       spot
	Box      box
	Hit      box // where a finger or a mouse picks it
	NumberAt spot
	Riggers  []drawnRigger
	Words    string
}

// drawnRigger is one pin with the oar on it.
type drawnRigger struct {
	Class    string // port or starboard
	Spare    bool   // a side that the rigger would fit as well
	Stay     string
	Pin      spot
	PinBox   spot
	Oar      line
	Blade    line
	Letter   string
	LetterAt spot
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
		Box: box{-wide, -26, 2 * wide, length + 40}, Hull: slimHull(half, length), Ball: spot{0, -4}, BowAt: spot{34, 4},
		Title: fmt.Sprintf("%s, a %s from above, bow up: %s", b.Name, b.BoatClass, sideWords(b)),
	}
	for i := range b.Seats {
		d.Seats = append(d.Seats, drawSeat(b, &b.Seats[i], here, bowLength+float64(i)*seatPitch, half))
	}
	if b.Class.Coxed {
		d.Cox = &spot{0, bowLength + (n-1)*seatPitch + 88}
	}
	return d
}

// slimHull is the outline of a hull with a pointed bow.
func slimHull(half, length float64) string {
	return fmt.Sprintf("M0 0C%s %s %s %s %s %sL%s %sC%s %s %s %s 0 %sC%s %s %s %s %s %sL%s %sC%s %s %s %s 0 0Z",
		coord(half*0.7), coord(bowLength*0.35), coord(half), coord(bowLength*0.6), coord(half), coord(bowLength),
		coord(half), coord(length-sternLength), coord(half), coord(length-50), coord(half*0.6), coord(length-20), coord(length),
		coord(-half*0.6), coord(length-20), coord(-half), coord(length-50), coord(-half), coord(length-sternLength),
		coord(-half), coord(bowLength), coord(-half), coord(bowLength*0.6), coord(-half*0.7), coord(bowLength*0.35))
}

// sideWords tells the riggers bow to stern, for readers without the drawing.
func sideWords(b *club.Boat) string {
	if b.Class.Scull {
		return "two riggers at every seat"
	}
	var words []string
	for _, s := range b.Seats {
		words = append(words, fmt.Sprintf("seat %d %s", s.Number, s.Side))
	}
	return strings.Join(words, ", ")
}

func drawSeat(b *club.Boat, s *club.BoatSeat, here int, y, half float64) drawnSeat {
	d := drawnSeat{
		Number: s.Number, Address: seatAddress(b, s.Number), Here: s.Number == here, At: spot{0, y},
		Box: box{-seatHalf, y - 12, 2 * seatHalf, 23}, NumberAt: spot{0, y + 5.5}, Words: seatWords(b, s),
		Hit: box{-usualPin - oarBeyond, y - seatPitch/2 + 6, 2 * (usualPin + oarBeyond), seatPitch},
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

// seatWords names a seat as people do: its number, bow or stroke, its side.
func seatWords(b *club.Boat, s *club.BoatSeat) string {
	words := fmt.Sprintf("Seat %d", s.Number)
	switch {
	case len(b.Seats) == 1:
		words = "The seat"
	case s.Number == 1:
		words += ", bow"
	case s.Number == len(b.Seats):
		words += ", stroke"
	}
	if s.Side != "" {
		words += ", " + s.Side
	}
	return words
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
	x, pin := sign(side), y+22
	at := spot{x * out, pin}
	r := drawnRigger{
		Class: side, Spare: spare, Pin: at, PinBox: spot{at.X - 6, at.Y - 6}, Letter: strings.ToUpper(side[:1]),
		Stay:     trace(spot{x * half, pin - 17}, at, spot{x * half, pin + 17}),
		Oar:      line{x * (out - inner), pin, x * (out + oarBeyond), pin},
		Blade:    line{x * (out + oarBeyond), pin, x * (out + oarBeyond + bladeLong), pin},
		LetterAt: spot{x * (out + letterRoom), pin - 9},
	}
	return r
}
