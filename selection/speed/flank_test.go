package speed

import (
	"math"
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

// TestPointsOfAStretchedShapeStayInOrder: of an arc of 1.6 rad that begins by 0.1 earlier,
// the first 0.3 move as they are, the next 0.4 become 0.5, and the rest stays; worked by
// hand. A ramp from 0 to 1 tells where each point came from, the place of the peak where
// it went.
func TestPointsOfAStretchedShapeStayInOrder(t *testing.T) {
	ramp := new([Nodes]float64)
	for i := range ramp {
		ramp[i] = float64(i) / (Nodes - 1)
	}
	const arc, by, flank, fade = 1.6, 0.1, 0.3, 0.4
	for _, c := range []struct{ was, is float64 }{{0, -0.1}, {0.2, 0.1}, {0.3, 0.2}, {0.5, 0.45}, {0.62, 0.6}, {0.7, 0.7}, {1.2, 1.2}, {1.6, 1.6}} {
		place := (c.is + by) / (arc + by)
		out := stretched(Shape{place: c.was / arc, nodes: ramp}, arc, by, flank, fade)
		near(t, "the peak", out.place, place, 1e-12)
		near(t, "the curve", out.At(place), c.was/arc, 0.005)
	}
	shorter := stretched(Shape{place: 0.5 / arc, nodes: ramp}, arc, -0.1, flank, fade)
	near(t, "shortened", shorter.place, (0.55-0.1)/1.5, 1e-12) // 0.3 to 0.7 become 0.4 to 0.7
	near(t, "at most by 0.8 of the fade", stretched(Shape{place: 0.5 / arc, nodes: ramp}, arc, -1, flank, fade).place, (0.66-0.32)/(arc-0.32), 1e-12)
}

// TestAShaftOutOfTheDriveHasNoDrag, and none that is not dipped.
func TestAShaftOutOfTheDriveHasNoDrag(t *testing.T) {
	for _, c := range []struct {
		phase phase
		shaft float64
		drag  float64
	}{{driving, 2, 9}, {easing, 2, 0}, {pacing, 2, 0}, {driving, 0, 0}} {
		g := group{shaft: c.shaft, shaftArm: 1, oars: 2, out: 2}
		g.phase, g.drag, g.force, g.theta = c.phase, 9, 100, math.Pi/3
		near(t, "push of the blades and shafts", g.move(4, 0.5), 2*(100+c.drag)*0.5, 1e-9)
		near(t, "drag", g.drag, c.drag, 0)
	}
}
