package fleet

import (
	"html/template"
	"strconv"

	"thole/api/fleet"
	"thole/api/wire"
	"thole/ui/page"
)

// Widths of the drawings of a boat, px: where its page has the room the boat
// lies along it, beside a form it never has; our judgement.
var (
	boatWidths = []float64{288, 358, 868}
	seatWidths = []float64{288, 358}
)

// boatDrawing draws a boat from above without a crew.
func boatDrawing(b *fleet.Boat) template.HTML {
	return page.BoatFigure{Boat: b, Widths: boatWidths}.HTML()
}

// seatDrawing draws a boat with one seat marked.
func seatDrawing(b *fleet.Boat, here int) template.HTML {
	return page.BoatFigure{Boat: b, Widths: seatWidths, Here: here}.HTML()
}

// seatHead is a seat at the head of the table, where it is picked.
type seatHead struct {
	Number               int
	Side, Words, Address string
}

func seatHeads(b *fleet.Boat) []seatHead {
	var heads []seatHead
	for i := range b.Seats {
		s := &b.Seats[i]
		heads = append(heads, seatHead{Number: s.Number, Side: s.Side, Words: page.SeatWords(b, s), Address: seatAddress(b, s.Number)})
	}
	return heads
}

// eitherSide names the seats whose rigger fits both sides; empty for none.
func eitherSide(b *fleet.Boat) string {
	var numbers []string
	for i := range b.Seats {
		if b.Seats[i].CanChangeSides {
			numbers = append(numbers, strconv.Itoa(b.Seats[i].Number))
		}
	}
	switch len(numbers) {
	case 0:
		return ""
	case 1:
		return "The rigger of seat " + numbers[0] + " fits both sides."
	}
	return "The riggers of seats " + wire.And(numbers) + " fit both sides."
}
