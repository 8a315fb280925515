package measure

import (
	"thole/ui/figure"
	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// rower is the one that stands in the guide: a man of 1.85 m and 85 kg in a
// single, as package rigging solves the usual rig of the class; our judgement.
var rower = figure.Side{
	Width: Width, AtFinish: true, Stature: 1.85, Mass: 85, Arm: 0.697, HalfDepth: 0.118, GateHeight: 0.165, PlateDeg: 42, SeatOverWater: 0.076,
	Catch: figure.Pose{
		Heel: figure.Joint{X: 0.209, Z: -0.160}, Ball: figure.Joint{X: 0.381, Z: -0.039}, Ankle: figure.Joint{X: 0.211, Z: -0.053}, Knee: figure.Joint{X: 0.211, Z: 0.393},
		Hip: figure.Joint{X: -0.092, Z: 0.08}, Shoulder: figure.Joint{X: 0.184, Z: 0.563}, Hand: figure.Joint{X: 0.756, Z: 0.25}, LeanDeg: 25,
	},
	Finish: figure.Pose{
		Heel: figure.Joint{X: 0.225, Z: -0.18}, Ball: figure.Joint{X: 0.381, Z: -0.039}, Ankle: figure.Joint{X: 0.214, Z: -0.074}, Knee: figure.Joint{X: -0.222, Z: 0.023},
		Hip: figure.Joint{X: -0.654, Z: 0.08}, Shoulder: figure.Joint{X: -0.904, Z: 0.55}, Hand: figure.Joint{X: -0.581, Z: 0.30}, LeanDeg: -28,
	},
}

// seated draws the rower at the finish without labels, and returns where places
// along and over the seat lie on the sheet.
func (s *sheet) seated() func(x, z float64) point {
	side := rower
	side.ID = s.ID
	d := side.Draw()
	var gate, seat plane.Box
	for _, shape := range d.Shapes {
		if shape.Kind&(draw.Ghost|draw.Dimension) != 0 {
			continue
		}
		switch shape.Class {
		case "fig-gate":
			gate = plane.Around(shape.Lines[0])
		case "fig-seat":
			seat = plane.Around(shape.Lines[0])
		}
		s.Shapes = append(s.Shapes, shape)
	}
	s.Height = d.Height
	const seatLength, shaftOverGate = 0.30, 0.022 // as package figure draws them, m
	scale := seat.W / seatLength
	origin := point{X: gate.X + gate.W/2, Y: gate.Y + gate.H/2 + scale*(side.GateHeight+shaftOverGate)}
	return func(x, z float64) point { return point{X: origin.X + scale*x, Y: origin.Y - scale*z} }
}

func drawSeatedCheck(s *sheet) {
	at := s.seated()
	hand := rower.Finish.Hand
	tape := at(0, -0.30).Y
	for _, x := range []float64{0, hand.X} {
		top := at(x, 0.34)
		if x == hand.X {
			top = at(x, hand.Z-0.05)
		}
		s.line("fig-chain", draw.Dimension, top, point{X: top.X, Y: tape + 6})
	}
	s.span(point{X: at(hand.X, 0).X, Y: tape}, point{X: at(0, 0).X, Y: tape}, "finish, to the bow", "below")
	s.Height = tape + 40
	s.text(at(0, 0).X+8, at(0, 0.42).Y, "start", "line of the pins", false)
	s.text(Width/2, 20, "middle", "legs down, hands at the body", false)
	s.stern()
}

func drawDrawHeight(s *sheet) {
	at := s.seated()
	hand := rower.Finish.Hand
	x := at(-0.30, 0).X
	s.line("fig-thin fig-soft", draw.Dimension, at(hand.X+0.05, hand.Z), point{X: x + 8, Y: at(0, hand.Z).Y})
	s.line("fig-thin fig-soft", draw.Dimension, at(hand.X+0.09, 0), point{X: x + 8, Y: at(0, 0).Y})
	s.span(point{X: x, Y: at(0, hand.Z).Y}, point{X: x, Y: at(0, 0).Y}, "", "")
	s.text(at(0.06, 0).X, at(0, 0.46).Y, "start", "draw height", true)
	s.Labels[len(s.Labels)-1].Leader = []point{{X: at(0.06, 0).X - 2, Y: at(0, 0.46).Y - 4}, {X: x, Y: at(0, 0.75*hand.Z).Y}}
	s.text(Width/2, 20, "middle", "hands at the body", false)
	s.Height = at(0, -0.36).Y
	s.stern()
}

// standing draws a person from the front at a wall; spread says that the arms
// are straight out.
func (s *sheet) standing(x, top, foot float64, spread bool) (tips [2]point) {
	h := foot - top
	at := func(dx, z float64) point { return point{X: x + dx*h, Y: foot - z*h} }
	for i, side := range []float64{-1, 1} {
		s.limb("fig-limb", at(side*0.045, 0.50), at(side*0.055, 0.05), 0.085*h)
		s.area("fig-hair", draw.Shoe, at(side*0.035, 0.03), at(side*0.085, 0.03), at(side*0.10, 0), at(side*0.03, 0))
		hand := at(side*0.15, 0.44)
		if spread {
			hand = at(side*0.49, 0.80)
		}
		s.limb("fig-limb", at(side*0.105, 0.80), hand, 0.052*h)
		tips[i] = point{X: hand.X + side*0.026*h, Y: hand.Y}
	}
	s.limb("fig-limb", at(0, 0.82), at(0, 0.90), 0.05*h)
	s.area("fig-suit", draw.Trunk, at(-0.13, 0.815), at(-0.04, 0.845), at(0.04, 0.845), at(0.13, 0.815), at(0.105, 0.62), at(0.095, 0.48), at(0, 0.46), at(-0.095, 0.48), at(-0.105, 0.62))
	s.disc("fig-limb", draw.Head, at(0, 0.933), 0.066*h)
	return tips
}

func drawBodyHeight(s *sheet) {
	const top, foot = 24, 262
	s.line("fig-keel", draw.Plate, point{X: 60, Y: foot}, point{X: 300, Y: foot})
	s.standing(130, top, foot, false)
	s.line("fig-thin fig-soft", draw.Dimension, point{X: 100, Y: top}, point{X: 232, Y: top})
	s.span(point{X: 224, Y: top}, point{X: 224, Y: foot}, "height", "start")
}

func drawArmSpan(s *sheet) {
	const top, foot = 46, 240
	s.line("fig-keel", draw.Plate, point{X: 60, Y: foot}, point{X: 280, Y: foot})
	tips := s.standing(170, top, foot, true)
	for _, tip := range tips {
		s.line("fig-thin fig-soft", draw.Dimension, tip, point{X: tip.X, Y: 22})
	}
	s.span(point{X: tips[0].X, Y: 28}, point{X: tips[1].X, Y: 28}, "", "")
	s.text(170, 20, "middle", "arm span", true)
}

// sitting draws a person on a chair from the side, looking to the right; x is the
// hip’s place and seat the chair’s height.
func (s *sheet) sitting(x, seat float64, forward bool) map[string]point {
	j := map[string]point{
		"hip": {X: x, Y: seat - 12}, "shoulder": {X: x, Y: seat - 104}, "knee": {X: x + 70, Y: seat - 12}, "ankle": {X: x + 70, Y: seat + 66}, "head": {X: x + 4, Y: seat - 140},
		"grip": {X: x + 12, Y: seat - 18},
	}
	if forward {
		j["grip"] = point{X: x + 96, Y: seat - 104}
	}
	s.box("fig-gate", draw.Plate, x-36, seat, 84, 6)
	for _, leg := range []float64{x - 30, x + 42} {
		s.line("fig-keel", draw.Plate, point{X: leg, Y: seat + 6}, point{X: leg, Y: seat + 82})
	}
	s.line("fig-keel", draw.Plate, point{X: 40, Y: seat + 82}, point{X: 300, Y: seat + 82})
	s.limb("fig-limb", j["knee"], j["ankle"], 20)
	s.area("fig-hair", draw.Shoe, point{X: x + 60, Y: seat + 68}, point{X: x + 82, Y: seat + 66}, point{X: x + 106, Y: seat + 76}, point{X: x + 106, Y: seat + 81}, point{X: x + 58, Y: seat + 81})
	s.limb("fig-limb", j["hip"], j["knee"], 24)
	s.limb("fig-suit", point{X: x, Y: seat - 16}, point{X: x, Y: seat - 98}, 32)
	s.limb("fig-limb", point{X: x + 1, Y: seat - 112}, point{X: x + 2, Y: seat - 124}, 14)
	s.disc("fig-limb", draw.Head, j["head"], 18)
	s.limb("fig-limb", j["shoulder"], j["grip"], 13)
	return j
}

func drawSittingHeight(s *sheet) {
	const seat, top = 168.0, 168.0 - 158
	s.sitting(196, seat, false)
	s.line("fig-thin fig-soft", draw.Dimension, point{X: 130, Y: top}, point{X: 198, Y: top})
	s.line("fig-thin fig-soft", draw.Dimension, point{X: 130, Y: seat}, point{X: 158, Y: seat})
	s.span(point{X: 136, Y: top}, point{X: 136, Y: seat}, "sitting height", "end")
}

func drawSegments(s *sheet) {
	const seat = 178
	j := s.sitting(120, seat, true)
	for _, name := range []string{"hip", "shoulder", "knee", "ankle", "grip"} {
		s.disc("fig-number", draw.Mark, j[name], 5)
	}
	s.text(j["grip"].X+12, j["grip"].Y+5, "start", "arm", true)
	s.text(94, seat-50, "end", "trunk", true)
	s.text(150, seat-32, "start", "thigh", true)
	s.text(210, seat+30, "start", "lower leg", true)
}
