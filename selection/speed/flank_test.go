package speed

import (
	"testing"
)

func TestFlanksMoveAsAWhole(t *testing.T) {
	seat := cleanSculler().Seats[0]
	seat.Shape, seat.Hold = bumpy, 0.2
	later := moveCatch(0.1, FadeArc, 0.3)(seat)
	near(t, "hold", float64(later.Hold), 0.1, 1e-12)
	angle := func(s Seat, share float64) float64 { return float64(s.Catch+s.Hold) + share*float64(s.loadedArc()) }
	was, _ := seat.Shape.crossings(0.3)
	is, _ := later.Shape.crossings(0.3)
	near(t, "where the slip is read", angle(later, is), angle(seat, was)-0.1, 0.003)
	at := func(s Seat, theta float64) float64 {
		return s.Shape.At((theta - angle(s, 0)) / float64(s.loadedArc()))
	}
	beyond := angle(seat, was) + float64(FadeArc) + 0.02
	for theta := beyond; theta < angle(seat, 1); theta += 0.1 {
		near(t, "the rest stays", at(later, theta), at(seat, theta), 0.005)
	}
	back := moveRelease(0.05, FadeArc, 0.3)(seat)
	near(t, "release", float64(back.Release), float64(seat.Release)-0.05, 1e-12)
	_, fallWas := seat.Shape.crossings(0.3)
	_, fallIs := back.Shape.crossings(0.3)
	near(t, "where the release is read", angle(back, fallIs), angle(seat, fallWas)+0.05, 0.003)
	near(t, "at most what is there", float64(moveCatch(9, FadeArc, 0.3)(seat).Hold), 0, 0)
}
