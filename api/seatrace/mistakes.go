package seatrace

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"thole/api/clock"
	"thole/api/directory"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// What goes wrong in a launch: a crew typed half, a cox among the rowers, a watch
// that was not stopped, a piece over another distance.

// coxesOf finds those on record who cox and do not row.
func coxesOf(all []store.Athlete) *directory.Book {
	var coxes []directory.Athlete
	for i, a := range directory.Of(all) {
		if coxesOnly(&all[i]) {
			coxes = append(coxes, a)
		}
	}
	return directory.NewBook(coxes)
}

// coxesOnly reports whether an athlete coxes and does not row.
func coxesOnly(a *store.Athlete) bool {
	return a.Coxes && !a.Sculls && a.PortCostS == nil && a.StarboardCostS == nil
}

// CoxText says that a cox was named as a rower.
func CoxText(name string) string {
	return name + " is on record as a cox who does not row. Leave coxes out: a seat race compares rowers, and a cox stays in the boat."
}

// checkSizes holds crews typed by hand against the seats of the boats, and says
// who of the piece's athletes is in no boat.
func checkSizes(p *wire.Problems, class rigging.Class, out, planned *store.Piece, names *roster) {
	for b := range out.Boats {
		if n := len(out.Boats[b].Crew); n != class.Rowers {
			p.Add(wire.At("crews").Item(b).Problem(sizeText(b+1, n, class) + missingText(out, planned, names)))
			return // the athletes of one boat tell those of the others
		}
	}
}

// sizeText reports how many are named for the seats of a boat.
func sizeText(boat, n int, class rigging.Class) string {
	switch {
	case n < class.Rowers:
		return fmt.Sprintf("Boat %d has %d of its %d rowers.", boat, n, class.Rowers)
	case strings.HasSuffix(class.Code, "+"):
		return fmt.Sprintf("Boat %d has %d names for %d seats. Leave the cox out: only rowers are compared.", boat, n, class.Rowers)
	}
	return fmt.Sprintf("Boat %d has %d names for %d seats.", boat, n, class.Rowers)
}

// missingText names who was planned for the piece and is in no boat.
func missingText(out, planned *store.Piece, names *roster) string {
	if planned == nil {
		return ""
	}
	var missing []string
	for _, boat := range planned.Boats {
		for _, id := range boat.Crew {
			if !slices.ContainsFunc(out.Boats, func(b store.PieceBoat) bool { return slices.Contains(b.Crew, id) }) {
				missing = append(missing, names.name[id])
			}
		}
	}
	if len(missing) == 0 {
		return ""
	}
	return " In no boat yet: " + strings.Join(missing, ", ") + "."
}

// Shares of a time beyond which it is asked whether the time is right. Between
// days venue and weather move times by 3 %, a standard deviation (Smith and
// Hopkins, Medicine & Science in Sports & Exercise 43:2155, 2011): pieces of one
// day differ by four of these in a stream only, or when they were over another
// distance. Boats of one piece differ less. Both widths are judgements of ours.
const (
	farPiece = 0.12 // of a piece's first boat from those of the others
	farBoat  = 0.15 // of a boat behind the first
)

// doubt asks about times that stand far from the others, unless they were checked.
// The error is an *Invalid.
func (r *PieceResultRequest) doubt(t *store.SeatRace, out *store.Piece, at wire.Place) error {
	if r.TimesChecked || out.State != store.Raced || out.MarginsOnly {
		return nil
	}
	var p wire.Problems
	first, boat := firstTime(out)
	for b := range out.Boats {
		if time := out.Boats[b].TimeS; time != nil && *time > (1+farBoat)*first {
			p.Add(at.Item(b).Problem(fmt.Sprintf("%s is %.0f s behind the first boat. Was the watch not stopped? Correct the time, or type dnf for a boat that stopped.",
				clock.Format(*time), *time-first)))
		}
	}
	if usual := usualFirst(t, out.Number); usual > 0 && math.Abs(first-usual) > farPiece*usual {
		p.Add(at.Item(boat).Problem(fmt.Sprintf("%s is far from the %s of the other pieces. All pieces of a seat race are over %g m: was this one over another distance, or the watch started or stopped late? Correct it, or type margins only: 0 and +1.2.",
			clock.Format(first), clock.Format(usual), t.DistanceM)))
	}
	if p.OrNil() != nil {
		p.Add(wire.At("times_checked").Problem("Or confirm that these times are right."))
	}
	return p.OrNil()
}

// firstTime is the shortest time of a piece, s, and the boat that has it.
func firstTime(piece *store.Piece) (time float64, boat int) {
	time = math.Inf(1)
	for b := range piece.Boats {
		if t := piece.Boats[b].TimeS; t != nil && *t < time {
			time, boat = *t, b
		}
	}
	return time, boat
}

// usualFirst is the median of the first boats' times, s, of the other pieces that
// were timed; 0 for none.
func usualFirst(t *store.SeatRace, but int) float64 {
	var firsts []float64
	for i := range t.Pieces {
		piece := &t.Pieces[i]
		if time, _ := firstTime(piece); piece.Number != but && piece.State == store.Raced && !piece.MarginsOnly && !math.IsInf(time, 1) {
			firsts = append(firsts, time)
		}
	}
	if len(firsts) == 0 {
		return 0
	}
	slices.Sort(firsts)
	return (firsts[(len(firsts)-1)/2] + firsts[len(firsts)/2]) / 2
}
