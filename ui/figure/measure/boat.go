package measure

import (
	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// drawings lists every measure, boat and oar first; heights in px by our judgement.
var drawings = []drawing{
	{"span", "Span, from above", "A hull with a rigger on both sides. The tape goes from the centre of one pin to the centre of the other.", 230, drawSpan},
	{"spread", "Spread, from above", "A hull with a rigger on one side. The tape goes from the middle of the boat to the centre of the pin.", 200, drawSpread},
	{"inboard", "Inboard", "An oar. The tape goes from the end of the handle to the face of the collar that bears on the gate.", 160, drawInboard},
	{"oar-length", "Oar length", "An oar. The tape goes from the end of the handle along the shaft to the end of the blade.", 150, drawOarLength},
	{"stretcher-position", "Stretcher position, from the side", "The distance is level, from the line of the pins towards the stern to the heel of the shoe.", 240, drawStretcher},
	{"heel-depth", "Heel depth, from the side", "The distance is upright, from the lowest point of the seat down to the heel of the shoe.", 220, drawHeelDepth},
	{"stretcher-angle", "Stretcher angle, from the side", "The angle between the plate under the feet and the horizontal.", 200, drawStretcherAngle},
	{"gate-height", "Height, seat to gate, from astern", "A straight-edge lies across the boat at the bottom of the gate; the tape goes from it down to the lowest point of the seat.", 220, drawGateHeight},
	{"gate-difference", "Gate difference, from astern", "Both gates of a sculling seat; the difference is between their bottoms.", 210, drawGateDifference},
	{"stern-pitch", "Stern pitch, from the side", "The pin leans towards the stern; the angle is between the pin and an upright line.", 210, drawSternPitch},
	{"lateral-pitch", "Lateral pitch, from astern", "The pin leans away from the boat; the angle is between the pin and an upright line.", 210, drawLateralPitch},
	{"pitch", "Pitch of the blade, from its end", "The face of the blade leans with its top towards the stern; the angle is between the face and an upright line.", 210, drawPitch},
	{"seat-height", "Seat height over the water, from astern", "A hull afloat; the distance is upright, from the water to the lowest point of the seat.", 210, drawSeatHeight},
	{"edge-height", "Blade’s edge over the water", "A squared blade over the water; the distance is from the water to its lower edge.", 180, drawEdgeHeight},
	{"arc", "Catch and finish, from above", "An oar at the catch, square and at the finish; both angles are measured from square.", 230, drawArc},
	{"hull-mass", "Hull mass", "A hull on two scales, one near each end; the readings are added.", 180, drawHullMass},
	{"seated-check", "Seated check, at the finish", "The rower sits with legs down and hands at the body. The tape lies along the boat from the line of the pins to the middle of the handle.", 0, drawSeatedCheck},
	{"draw-height", "Draw height, at the finish", "The rower sits with hands at the body. The distance is upright, from the lowest point of the seat to the middle of the handle.", 0, drawDrawHeight},
	{"height", "Height", "A person stands upright at a wall without shoes. The distance is from the floor to the top of the head.", 290, drawBodyHeight},
	{"arm-span", "Arm span", "A person stands with both arms straight out. The distance is from finger tip to finger tip.", 260, drawArmSpan},
	{"sitting-height", "Sitting height", "A person sits tall on a hard chair. The distance is from the chair to the top of the head.", 260, drawSittingHeight},
	{"segments", "Segments", "A person sits on a hard chair with one arm straight forward. Joints are marked: shoulder, hip, knee, ankle and the middle of the grip.", 280, drawSegments},
}

// fromAbove draws a piece of hull along the sheet, bow to the left.
func (s *sheet) fromAbove(y, half float64) {
	left, right := 14.0, Width-14.0
	s.box("fig-hull", draw.Hull, left, y-half, right-left, 2*half)
	s.line("fig-sax", draw.Hull, point{X: left, Y: y - half}, point{X: right, Y: y - half})
	s.line("fig-sax", draw.Hull, point{X: left, Y: y + half}, point{X: right, Y: y + half})
	for _, x := range []float64{left, right} {
		s.line("fig-break", draw.Hull, point{X: x, Y: y - half - 3}, point{X: x, Y: y - 4}, point{X: x - 4, Y: y - 1}, point{X: x + 4, Y: y + 2}, point{X: x, Y: y + 5}, point{X: x, Y: y + half + 3})
	}
}

// rigger draws the stays from a side of the hull to a pin, from above.
func (s *sheet) rigger(pin point, side float64) {
	for _, dx := range []float64{-46, 46} {
		s.line("fig-rigger", draw.Gate, point{X: pin.X + dx, Y: side}, pin)
	}
	s.disc("fig-wheel", draw.Gate, pin, 5.5)
	s.disc("fig-seat", draw.Gate, pin, 1.6)
}

func drawSpan(s *sheet) {
	y, port, starboard := 122.0, point{X: 130, Y: 206}, point{X: 130, Y: 38}
	s.fromAbove(y, 18)
	s.rigger(starboard, y-18)
	s.rigger(port, y+18)
	for _, p := range []point{port, starboard} {
		s.line("fig-thin fig-soft", draw.Dimension, point{X: p.X + 8, Y: p.Y}, point{X: 246, Y: p.Y})
	}
	s.span(point{X: 240, Y: starboard.Y}, point{X: 240, Y: port.Y}, "", "")
	s.text(250, 76, "start", "span", true)
	s.named(16, 22, "start", "centre of the pin", point{X: 124, Y: 36})
}

func drawSpread(s *sheet) {
	y, pin := 62.0, point{X: 130, Y: 168}
	s.fromAbove(y, 20)
	s.line("fig-chain", draw.Dimension, point{X: 8, Y: y}, point{X: 332, Y: y})
	s.rigger(pin, y+20)
	s.line("fig-thin fig-soft", draw.Dimension, point{X: pin.X + 8, Y: pin.Y}, point{X: 246, Y: pin.Y})
	s.span(point{X: 240, Y: y}, point{X: 240, Y: pin.Y}, "", "")
	s.text(250, 132, "start", "spread", true)
	s.named(30, 22, "start", "middle of the boat", point{X: 60, Y: y})
	s.named(16, 190, "start", "centre of the pin", point{X: 124, Y: 171})
}

// oar draws an oar along the sheet with its collar in the gate, and returns the
// face of the collar.
func (s *sheet) oar(y float64) float64 {
	const face = 120
	s.line("fig-oar", draw.Oar, point{X: 14, Y: y}, point{X: 286, Y: y})
	s.line("fig-grip", draw.Oar, point{X: 14, Y: y}, point{X: 50, Y: y})
	s.area("fig-blade fig-at-catch", draw.Oar, point{X: 272, Y: y - 3}, point{X: 290, Y: y - 9}, point{X: 326, Y: y - 8}, point{X: 326, Y: y + 15}, point{X: 292, Y: y + 14}, point{X: 276, Y: y + 3})
	s.box("fig-seat", draw.Oar, face-8, y-7, 8, 14)
	s.box("fig-gate", draw.Gate, face, y-10, 16, 20)
	s.disc("fig-seat", draw.Gate, point{X: face + 8, Y: y + 15}, 3)
	return face
}

func drawInboard(s *sheet) {
	face := s.oar(70)
	for _, x := range []float64{14, face} {
		s.line("fig-thin fig-soft", draw.Dimension, point{X: x, Y: 84}, point{X: x, Y: 124})
	}
	s.span(point{X: 14, Y: 118}, point{X: face, Y: 118}, "inboard", "below")
	s.named(76, 32, "middle", "collar", point{X: face - 5, Y: 62})
	s.named(166, 32, "middle", "gate", point{X: face + 12, Y: 60})
}

func drawOarLength(s *sheet) {
	s.oar(50)
	for _, x := range []float64{14, 326} {
		s.line("fig-thin fig-soft", draw.Dimension, point{X: x, Y: 68}, point{X: x, Y: 108})
	}
	s.span(point{X: 14, Y: 102}, point{X: 326, Y: 102}, "oar length", "below")
}

// deck draws the hull from the side with its seat, and the water under it.
func (s *sheet) deck(sax, keel float64) {
	left, right := 14.0, Width-14.0
	s.box("fig-hull", draw.Hull, left, sax, right-left, keel-sax)
	s.line("fig-sax", draw.Hull, point{X: left, Y: sax}, point{X: right, Y: sax})
	s.line("fig-keel", draw.Hull, point{X: left, Y: keel}, point{X: right, Y: keel})
	for _, x := range []float64{left, right} {
		m := (sax + keel) / 2
		s.line("fig-break", draw.Hull, point{X: x, Y: sax - 3}, point{X: x, Y: m - 5}, point{X: x - 4, Y: m - 1}, point{X: x + 4, Y: m + 2}, point{X: x, Y: m + 6}, point{X: x, Y: keel + 3})
	}
}

// seat draws the seat on its slide; y is its lowest point.
func (s *sheet) seat(x, y float64) {
	s.line("fig-rail", draw.Seat, point{X: x - 52, Y: y + 20}, point{X: x + 62, Y: y + 20})
	s.area("fig-seat", draw.Seat, point{X: x - 30, Y: y - 5}, point{X: x - 20, Y: y - 4}, point{X: x - 6, Y: y}, point{X: x + 10, Y: y}, point{X: x + 24, Y: y - 3}, point{X: x + 30, Y: y - 3},
		point{X: x + 30, Y: y + 2}, point{X: x + 14, Y: y + 6}, point{X: x - 14, Y: y + 6}, point{X: x - 28, Y: y + 1})
	for _, dx := range []float64{-16, 16} {
		s.disc("fig-wheel", draw.Seat, point{X: x + dx, Y: y + 13}, 5)
	}
}

// shoe draws the plate with a shoe on it; the heel is given.
func (s *sheet) shoe(heel point, turn float64) {
	along := plane.Direction(turn)
	up := along.Turned()
	at := func(x, y float64) point { return heel.Add(along.Times(x)).Add(up.Times(y)) }
	s.line("fig-plate", draw.Plate, at(-12, -3), at(112, -3))
	s.line("fig-stay", draw.Plate, at(92, -3), point{X: at(92, -3).X + 8, Y: heel.Y + 22})
	s.area("fig-hair", draw.Shoe, at(0, 0), at(-2, 10), at(0, 24), at(12, 28), at(28, 25), at(44, 18), at(70, 13), at(86, 9), at(88, 1))
}

// pinSide draws rigger, gate and pin from the side; the gate's bottom is given.
func (s *sheet) pinSide(x, bottom, sax float64) {
	s.line("fig-rigger", draw.Gate, point{X: x - 40, Y: sax}, point{X: x, Y: bottom + 8}, point{X: x + 40, Y: sax})
	s.line("fig-pin", draw.Gate, point{X: x, Y: bottom - 30}, point{X: x, Y: bottom + 10})
	s.box("fig-gate", draw.Gate, x-7, bottom-16, 14, 16)
}

func drawStretcher(s *sheet) {
	const sax, heelX, heelY, pinX = 108, 214, 168, 78
	s.deck(sax, 190)
	s.pinSide(pinX, 74, sax)
	s.line("fig-chain", draw.Dimension, point{X: pinX, Y: 30}, point{X: pinX, Y: 214})
	s.shoe(point{X: heelX, Y: heelY}, 42)
	s.line("fig-thin fig-soft", draw.Dimension, point{X: heelX, Y: heelY + 4}, point{X: heelX, Y: 214})
	s.span(point{X: pinX, Y: 208}, point{X: heelX, Y: 208}, "stretcher position", "below")
	s.text(pinX, 24, "middle", "line of the pins", false)
	s.named(196, 76, "middle", "heel of the shoe", point{X: heelX - 3, Y: heelY - 6})
	s.stern()
}

func drawHeelDepth(s *sheet) {
	const sax, heelX, heelY, seatY = 60, 206, 160, 48
	s.deck(sax+14, 190)
	s.seat(96, seatY)
	s.shoe(point{X: heelX, Y: heelY}, 42)
	s.line("fig-thin fig-soft", draw.Dimension, point{X: 104, Y: seatY}, point{X: heelX - 10, Y: seatY})
	s.line("fig-thin fig-soft", draw.Dimension, point{X: heelX - 4, Y: heelY}, point{X: heelX - 22, Y: heelY})
	s.span(point{X: heelX - 16, Y: seatY}, point{X: heelX - 16, Y: heelY}, "", "")
	s.text(heelX-26, 124, "end", "heel depth", true)
	s.named(60, 24, "middle", "lowest point", point{X: 94, Y: seatY - 2})
	s.stern()
}

func drawStretcherAngle(s *sheet) {
	heel := point{X: 110, Y: 148}
	s.shoe(heel, 42)
	s.line("fig-chain", draw.Dimension, point{X: 84, Y: 151}, point{X: 280, Y: 151})
	s.bow("fig-thin", point{X: 106, Y: 151}, 132, 0, 42)
	s.text(246, 108, "start", "angle", true)
	s.text(282, 156, "start", "level", false)
	s.stern()
}

// section draws the hull seen from astern, with riggers to both sides; the
// bottoms of the gates are given.
func (s *sheet) section(left, right float64) {
	const mid, sax, keel, half = 170.0, 128.0, 178.0, 46.0
	s.area("fig-boat", draw.Hull, point{X: mid - half, Y: sax}, point{X: mid + half, Y: sax}, point{X: mid + 40, Y: 152}, point{X: mid + 22, Y: 172}, point{X: mid, Y: keel},
		point{X: mid - 22, Y: 172}, point{X: mid - 40, Y: 152})
	for _, g := range []struct{ x, y, side float64 }{{40, left, mid - half}, {300, right, mid + half}} {
		s.line("fig-rigger", draw.Gate, point{X: g.side, Y: sax}, point{X: g.x, Y: g.y + 8})
		s.line("fig-rigger", draw.Gate, point{X: g.side, Y: sax + 14}, point{X: g.x, Y: g.y + 8})
		s.line("fig-pin", draw.Gate, point{X: g.x, Y: g.y - 30}, point{X: g.x, Y: g.y + 10})
		s.box("fig-gate", draw.Gate, g.x-8, g.y-16, 16, 16)
	}
	s.area("fig-seat", draw.Seat, point{X: mid - 24, Y: 120}, point{X: mid, Y: 124}, point{X: mid + 24, Y: 120}, point{X: mid + 24, Y: 124}, point{X: mid, Y: 129}, point{X: mid - 24, Y: 124})
}

func drawGateHeight(s *sheet) {
	s.section(70, 70)
	s.box("fig-level", draw.Dimension, 32, 70, 276, 5)
	s.span(point{X: 170, Y: 75}, point{X: 170, Y: 123}, "", "")
	s.text(182, 102, "start", "height", true)
	s.named(170, 40, "middle", "straight-edge, level", point{X: 170, Y: 70})
}

func drawGateDifference(s *sheet) {
	s.section(84, 60)
	s.line("fig-chain", draw.Dimension, point{X: 50, Y: 84}, point{X: 262, Y: 84})
	s.line("fig-thin fig-soft", draw.Dimension, point{X: 252, Y: 60}, point{X: 290, Y: 60})
	s.line("fig-thin", draw.Dimension, point{X: 258, Y: 40}, point{X: 258, Y: 60})
	s.line("fig-thin", draw.Dimension, point{X: 258, Y: 104}, point{X: 258, Y: 84})
	s.head(point{X: 258, Y: 60}, point{Y: 1})
	s.head(point{X: 258, Y: 84}, point{Y: -1})
	s.text(246, 76, "end", "gate difference", true)
	s.text(40, 200, "middle", "port", false)
	s.text(290, 200, "middle", "starboard", false)
}

// leaning draws a pin that leans to the right by an exaggerated angle.
func (s *sheet) leaning(foot point) (top point) {
	top = point{X: foot.X + 34, Y: foot.Y - 112}
	s.line("fig-pin", draw.Gate, foot, top)
	s.line("fig-chain", draw.Dimension, foot, point{X: foot.X, Y: foot.Y - 124})
	s.bow("fig-thin", foot, 96, 90, 73)
	along := foot.Unit(top)
	side := along.Turned().Times(9)
	a, b := foot.Toward(top, 0.3), foot.Toward(top, 0.52)
	s.area("fig-gate", draw.Gate, a.Add(side), b.Add(side), b.Sub(side), a.Sub(side))
	return top
}

func drawSternPitch(s *sheet) {
	foot := point{X: 140, Y: 152}
	s.line("fig-rigger", draw.Gate, point{X: 60, Y: 178}, foot, point{X: 220, Y: 178})
	s.line("fig-sax", draw.Hull, point{X: 20, Y: 178}, point{X: 320, Y: 178})
	top := s.leaning(foot)
	s.text(foot.X-8, 24, "end", "upright", false)
	s.text(top.X+10, 60, "start", "stern pitch", true)
	s.stern()
}

func drawLateralPitch(s *sheet) {
	foot := point{X: 170, Y: 152}
	s.area("fig-boat", draw.Hull, point{X: 16, Y: 150}, point{X: 74, Y: 150}, point{X: 66, Y: 178}, point{X: 44, Y: 196}, point{X: 16, Y: 200})
	s.line("fig-rigger", draw.Gate, point{X: 74, Y: 152}, foot)
	s.line("fig-rigger", draw.Gate, point{X: 72, Y: 166}, foot)
	top := s.leaning(foot)
	s.text(foot.X-8, 24, "end", "upright", false)
	s.text(top.X+10, 60, "start", "lateral pitch", true)
	s.text(44, 136, "middle", "boat", false)
}

func drawPitch(s *sheet) {
	at := point{X: 150, Y: 168}
	s.line("fig-chain", draw.Dimension, at, point{X: at.X, Y: 30})
	s.area("fig-blade fig-at-catch", draw.Oar, point{X: at.X - 2, Y: at.Y}, point{X: at.X + 4, Y: at.Y}, point{X: at.X + 38, Y: 58}, point{X: at.X + 32, Y: 56})
	s.bow("fig-thin", at, 124, 90, 73)
	s.text(at.X-8, 44, "end", "upright", false)
	s.text(at.X+52, 72, "start", "pitch", true)
	s.named(74, 142, "middle", "back", point{X: at.X + 9, Y: 138})
	s.named(250, 128, "middle", "face", point{X: at.X + 20, Y: 124})
	s.stern()
}

// waterAt draws the surface of the water.
func (s *sheet) waterAt(y float64) {
	s.line("fig-waterline", draw.Water, point{X: 10, Y: y}, point{X: Width - 10, Y: y})
	s.area("fig-level", draw.Water, point{X: 24, Y: y}, point{X: 18, Y: y - 9}, point{X: 30, Y: y - 9})
}

func drawSeatHeight(s *sheet) {
	s.section(64, 64)
	s.waterAt(154)
	s.line("fig-thin fig-soft", draw.Dimension, point{X: 196, Y: 123}, point{X: 252, Y: 123})
	s.span(point{X: 246, Y: 123}, point{X: 246, Y: 154}, "", "")
	s.text(170, 40, "middle", "seat height over the water", true)
	s.text(66, 200, "middle", "water", false)
}

func drawEdgeHeight(s *sheet) {
	s.line("fig-oar", draw.Oar, point{X: 30, Y: 40}, point{X: 200, Y: 58})
	s.area("fig-blade fig-at-catch", draw.Oar, point{X: 196, Y: 53}, point{X: 222, Y: 40}, point{X: 288, Y: 46}, point{X: 286, Y: 92}, point{X: 218, Y: 84}, point{X: 200, Y: 63})
	s.waterAt(148)
	s.span(point{X: 252, Y: 90}, point{X: 252, Y: 148}, "", "")
	s.text(240, 124, "end", "edge over the water", true)
	s.text(90, 170, "middle", "water", false)
}

func drawArc(s *sheet) {
	pin := point{X: 170, Y: 88}
	s.fromAbove(26, 14)
	s.rigger(pin, 40)
	end := func(turn, r float64) point { return pin.Add(plane.Direction(turn - 90).Times(r)) }
	for _, o := range []struct {
		turn  float64
		class string
	}{{-60, "fig-at-catch"}, {0, "fig-at-square"}, {40, "fig-at-finish"}} {
		s.line("fig-shaft "+o.class, draw.Oar, end(o.turn, 7), end(o.turn, 122))
	}
	s.bow("fig-thin", pin, 70, -92, -148)
	s.bow("fig-thin", pin, 70, -88, -52)
	s.text(112, 166, "end", "catch", true)
	s.text(222, 134, "start", "finish", true)
	s.text(170, 226, "middle", "square", false)
	s.text(44, 60, "middle", "bow", false)
	s.text(296, 60, "middle", "stern", false)
}

func drawHullMass(s *sheet) {
	s.area("fig-boat", draw.Hull, point{X: 12, Y: 72}, point{X: 80, Y: 62}, point{X: 260, Y: 62}, point{X: 328, Y: 72}, point{X: 260, Y: 84}, point{X: 80, Y: 84})
	for _, x := range []float64{86, 254} {
		s.line("fig-stay", draw.Plate, point{X: x - 14, Y: 84}, point{X: x - 14, Y: 118})
		s.line("fig-stay", draw.Plate, point{X: x + 14, Y: 84}, point{X: x + 14, Y: 118})
		s.box("fig-gate", draw.Plate, x-24, 118, 48, 14)
	}
	s.text(86, 152, "middle", "scale A", false)
	s.text(254, 152, "middle", "scale B", false)
	s.text(170, 34, "middle", "hull mass = A + B", true)
}
