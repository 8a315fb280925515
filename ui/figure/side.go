package figure

import (
	"fmt"
	"math"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// Side is a rower from the side with the rig of the seat. The poses are those
// of rigging.Stroke (AtCatch, AtFinish) with the lean, and minus the layback,
// of the posture that was solved; arm and half depth those of rigging.Body;
// gate, plate and seat those of rigging.Setup, the seat over the water under
// the crew where that is known. Every angle written on the drawing is read off
// the joints, so that drawing and figure cannot disagree.
type Side struct {
	ID    string  // unique in its page
	Width float64 // px, one that the style sheet knows: see Responsive
	// AtFinish draws the finish with the catch as a ghost; else the catch
	// with the finish behind.
	AtFinish bool

	Stature       float64 // m
	SittingHeight float64 // m; 0 where it is not known
	Mass          float64 // kg; 0 where it is not known
	Arm           float64 // shoulder joint to grip, m
	HalfDepth     float64 // middle of the trunk to its front, m
	Catch, Finish Pose

	GateHeight    float64 // over the lowest point of the seat, m
	PlateDeg      float64 // foot plate from the horizontal
	SeatOverWater float64 // m
}

// Measures of the boat that the pose does not give, m. They place ornament
// only; nothing is read off them; our judgement.
const (
	shaftOverGate = 0.022
	saxOverSeat   = 0.035 // upper edge of the hull's side
	draught       = 0.125 // water to keel, at least
	heelOverKeel  = 0.035
	gateHalf      = 0.024
	oarBeyond     = 0.36 // from the pin to the break of the oar
)

// Margins of the drawing, px; our judgement.
const (
	edgeMargin   = 9  // from type to the frame
	breakMargin  = 17 // from the hull's break lines to the frame
	aboveLeaders = 18 // free between a band of labels and the figure
	belowLeaders = 16
	labelGap     = 12
	rowGap       = 6
	dimensionOff = 0.09 // m, dimension line from hand or back
	mostScale    = 330  // px/m, so that a wide drawing is not taller than a screen
)

// Draw draws the rower. Labels that find no place clear of the figure go into
// the caption, so that whatever is drawn is legible.
func (s *Side) Draw() *draw.Drawing {
	s.check()
	var best *sideLayout
	for _, plan := range bandPlans(s.Width) {
		l := s.layout(plan)
		if best == nil || l.faults < best.faults {
			best = l
		}
		if best.faults == 0 {
			break
		}
	}
	return best.finish()
}

func (s *Side) check() {
	values := []float64{s.Width, s.Stature, s.SittingHeight, s.Mass, s.Arm, s.HalfDepth, s.GateHeight, s.PlateDeg, s.SeatOverWater}
	for _, p := range []*Pose{&s.Catch, &s.Finish} {
		values = append(values, p.LeanDeg)
		for _, j := range []Joint{p.Heel, p.Ball, p.Ankle, p.Knee, p.Hip, p.Shoulder, p.Hand} {
			values = append(values, j.X, j.Z)
		}
	}
	plane.Finite("a measure of the rower", values...)
}

// person returns the body at one end on a stage.
func (s *Side) person(g stage, atFinish bool) *person {
	b := &person{stage: g, Pose: &s.Catch, stature: s.Stature, sitting: s.SittingHeight, depth: s.HalfDepth, arm: s.Arm, plate: s.PlateDeg}
	if atFinish {
		b.Pose, b.bent = &s.Finish, true
	}
	b.tall = s.Stature / drawnStature
	b.thick = b.tall
	if s.Mass > 0 {
		b.thick = (b.tall + math.Sqrt(s.Mass/s.Stature/drawnLineWeight)) / 2
	}
	if b.sitting == 0 {
		b.sitting = sittingShare * s.Stature
	}
	return b
}

// keel is the height of the keel, m.
func (s *Side) keel() float64 {
	return min(-s.SeatOverWater-draught, s.Finish.Heel.Z-heelOverKeel, s.Catch.Heel.Z-heelOverKeel)
}

// reach is the stretch of both ends in metres on a stage of one pixel a
// metre: left, right and top.
func (s *Side) reach() (left, right, top float64) {
	g := stage{scale: 1}
	var points []Point
	for _, end := range []bool{false, true} {
		for _, l := range s.person(g, end).shadow().Lines {
			points = append(points, l...)
		}
	}
	b := plane.Around(points)
	return b.X - dimensionOff - 0.02, max(b.Right()+dimensionOff+0.02, s.plateTop().X+0.06), -b.Y
}

// plateTop is the upper end of the foot plate.
func (s *Side) plateTop() Joint {
	sin, cos := math.Sincos(plane.Rad(s.PlateDeg))
	foot := math.Hypot(s.Finish.Ball.X-s.Finish.Heel.X, s.Finish.Ball.Z-s.Finish.Heel.Z) / ballShare
	return Joint{s.Finish.Heel.X + (foot+0.06)*cos, s.Finish.Heel.Z + (foot+0.06)*sin}
}

// stage fits both ends of the stroke between the break lines.
func (s *Side) stage(top float64) (stage, float64) {
	left, right, head := s.reach()
	room := s.Width - 2*(breakMargin+6)
	g := stage{scale: min(mostScale, room/(right-left))}
	g.origin.X = s.Width/2 - g.scale*(left+right)/2
	g.origin.Y = top + g.scale*head
	return g, g.at(Joint{0, s.keel()}).Y
}

// scene draws everything but the labels.
func (s *Side) scene(g stage) *draw.Drawing {
	d := &draw.Drawing{ID: s.ID, Class: "fig-side", Width: s.Width}
	me, other := s.person(g, s.AtFinish), s.person(g, !s.AtFinish)
	s.drawHull(d, g)
	d.Add(other.shadow())
	s.drawSeat(d, g, other.Hip, "fig-ghostline", draw.Ghost)
	s.drawSlide(d, g)
	s.drawSeat(d, g, me.Hip, "fig-seat", draw.Seat)
	s.drawPlate(d, g)
	parts, hand := me.body()
	d.Shapes = append(d.Shapes, parts...)
	s.drawRig(d, g, me)
	d.Add(hand)
	s.drawTrunkAngle(d, me)
	s.drawHeight(d, me)
	d.Title, d.Desc = s.words(me)
	return d
}

// drawHull draws a section of the hull between two break lines, and the water.
func (s *Side) drawHull(d *draw.Drawing, g stage) {
	left, right := breakMargin+0.0, s.Width-breakMargin
	sax, keel := g.at(Joint{0, saxOverSeat}).Y, g.at(Joint{0, s.keel()}).Y
	water := g.at(Joint{0, -s.SeatOverWater}).Y
	d.Add(draw.Rectangle("fig-hull", draw.Hull, Box{X: left, Y: sax, W: right - left, H: keel - sax}))
	d.Add(draw.Line("fig-sax", draw.Hull, Point{X: left, Y: sax}, Point{X: right, Y: sax}))
	d.Add(draw.Line("fig-chain fig-waterline", draw.Hull, Point{X: left + 8, Y: water}, Point{X: right - 8, Y: water}))
	for _, x := range []float64{left, right} {
		mid := (sax + keel) / 2
		d.Add(draw.Line("fig-break", draw.Hull, Point{X: x, Y: sax - 3}, Point{X: x, Y: mid - 5}, Point{X: x - 4, Y: mid - 1}, Point{X: x + 4, Y: mid + 2}, Point{X: x, Y: mid + 6}, Point{X: x, Y: keel + 3}))
	}
	d.Add(draw.Line("fig-keel", draw.Hull, Point{X: left, Y: keel}, Point{X: right, Y: keel}))
	s.drawWater(d, water)
}

// drawWater draws the surface outside the breaks and the mark of its level.
func (s *Side) drawWater(d *draw.Drawing, y float64) {
	for _, x := range [][2]float64{{1, breakMargin - 5}, {s.Width - breakMargin + 5, s.Width - 1}} {
		d.Add(draw.Line("fig-waterline", draw.Water, Point{X: x[0], Y: y}, Point{X: x[1], Y: y}))
		m, w := (x[0]+x[1])/2, (x[1]-x[0])/2
		d.Add(draw.Line("fig-waterline", draw.Water, Point{X: m - 0.6*w, Y: y + 3.5}, Point{X: m + 0.6*w, Y: y + 3.5}))
		d.Add(draw.Line("fig-waterline", draw.Water, Point{X: m - 0.3*w, Y: y + 7}, Point{X: m + 0.3*w, Y: y + 7}))
	}
	x := s.Width - breakMargin - 14
	d.Add(draw.Polygon("fig-level", draw.Hull, Point{X: x, Y: y}, Point{X: x - 5, Y: y - 8}, Point{X: x + 5, Y: y - 8}))
}

// drawSlide draws the rails from behind the finish to before the catch.
func (s *Side) drawSlide(d *draw.Drawing, g stage) {
	from, to := g.at(Joint{s.Finish.Hip.X - 0.17, -0.068}), g.at(Joint{s.Catch.Hip.X + 0.17, -0.068})
	d.Add(draw.Line("fig-rail", draw.Seat, from, to))
	for _, p := range []Point{from, to} {
		d.Add(draw.Line("fig-rail", draw.Seat, p.Add(Point{X: 0, Y: -2.5}), p.Add(Point{X: 0, Y: 2.5})))
	}
}

// drawSeat draws the seat with its wheels under a hip.
func (s *Side) drawSeat(d *draw.Drawing, g stage, hip Joint, class string, kind draw.Kind) {
	at := func(x, z float64) Point { return g.at(Joint{hip.X + x, z}) }
	top := draw.Blob(at(-0.15, 0.012), at(-0.11, 0.010), at(-0.03, -0.004), at(0.05, -0.004), at(0.12, 0.006), at(0.15, 0.004),
		at(0.145, -0.012), at(0.06, -0.03), at(-0.06, -0.03), at(-0.13, -0.012))
	d.Add(top.As(class, kind))
	wheel := "fig-wheel"
	if kind == draw.Ghost {
		wheel = "fig-ghostwheel"
	}
	for _, x := range []float64{-0.08, 0.08} {
		d.Add(draw.Ring(at(x, -0.048), 0.018*g.scale).As(wheel, kind))
	}
}

// drawPlate draws the foot plate with its stay.
func (s *Side) drawPlate(d *draw.Drawing, g stage) {
	toes := plane.Direction(s.PlateDeg)
	heel, top := g.at(s.Finish.Heel), g.at(s.plateTop())
	under := toes.Turned().Times(-0.010 * g.scale)
	d.Add(draw.Line("fig-stay", draw.Plate, g.at(s.plateTop()).Toward(heel, 0.2), g.at(Joint{s.plateTop().X + 0.05, s.keel()})))
	d.Add(draw.Line("fig-plate", draw.Plate, heel.Sub(toes.Times(0.05*g.scale)).Add(under), top.Add(under)))
}

// drawRig draws rigger, pin, gate and oar.
func (s *Side) drawRig(d *draw.Drawing, g stage, me *person) {
	gate := Joint{0, s.GateHeight + shaftOverGate}
	pin := g.at(gate)
	sax := func(x float64) Point { return g.at(Joint{x, saxOverSeat}) }
	foot := g.at(Joint{0, s.GateHeight - 0.03})
	d.Add(draw.Line("fig-rigger", draw.Gate, sax(-0.34), foot, sax(0.34)))
	hand := g.at(me.Hand)
	along := hand.Unit(pin)
	end := pin.Add(along.Times(oarBeyond * g.scale))
	d.Add(draw.Line("fig-oar", draw.Oar, hand.Sub(along.Times(0.03*g.scale)), end))
	d.Add(draw.Line("fig-thin", draw.Oar, end.Add(Point{X: -1.5, Y: -5}), end.Add(Point{X: 1.5, Y: 5})))
	d.Add(draw.Line("fig-grip", draw.Oar, hand.Sub(along.Times(0.05*g.scale)), hand.Add(along.Times(0.10*g.scale))))
	d.Add(draw.Line("fig-pin", draw.Gate, g.at(Joint{0, gate.Z + 0.085}), g.at(Joint{0, s.GateHeight - 0.05})))
	half := max(3.5, gateHalf*g.scale)
	d.Add(draw.Rectangle("fig-gate", draw.Gate, Box{X: pin.X - half, Y: pin.Y - half, W: 2 * half, H: 2 * half}))
}

// lineRadius is where the arc of the trunk's angle stands, a share of the
// trunk; upright is how far the vertical goes; our judgement.
const lineRadius, uprightShare = 0.72, 0.84

// drawTrunkAngle draws the vertical through the hip and the arc to the trunk.
func (s *Side) drawTrunkAngle(d *draw.Drawing, me *person) {
	hip := me.at(me.Hip)
	trunk := me.at(me.root()).Sub(hip).Norm()
	d.Add(draw.Line("fig-chain", draw.Dimension, hip, hip.Add(Point{X: 0, Y: -uprightShare * trunk})))
	d.Add(draw.Arc("fig-thin", draw.Dimension, hip, lineRadius*trunk, 90, 90-me.LeanDeg))
}

// dimensionX is where the dimension line of the hands' height stands: beyond
// the hand at the catch, behind the back at the finish.
func (s *Side) dimensionX(me *person) float64 {
	if !me.bent {
		return me.at(me.Hand).X + me.px(0.05) + dimensionOff*me.scale/2
	}
	var points []Point
	points = append(points, me.trunk().Lines[0]...)
	upper, fore := me.armParts()
	points = append(points, append(upper.Lines[0], fore.Lines[0]...)...)
	return plane.Around(points).X - dimensionOff*me.scale/2
}

// drawHeight draws the height of the hands over the seat.
func (s *Side) drawHeight(d *draw.Drawing, me *person) {
	x := s.dimensionX(me)
	top, foot := me.at(me.Hand).Y, me.at(Joint{}).Y
	d.Add(draw.Line("fig-thin", draw.Dimension, Point{X: x, Y: top}, Point{X: x, Y: foot}))
	for _, y := range []float64{top, foot} {
		d.Add(draw.Line("fig-thin", draw.Dimension, Point{X: x - 5, Y: y}, Point{X: x + 5, Y: y}))
	}
	size := min(6, (foot-top)/3)
	d.Add(draw.Arrow("fig-head", Point{X: x, Y: top}, Point{X: 0, Y: -1}, size))
	d.Add(draw.Arrow("fig-head", Point{X: x, Y: foot}, Point{X: 0, Y: 1}, size))
}

// words are the title and the description.
func (s *Side) words(me *person) (title, desc string) {
	hands := whole(100*me.Hand.Z) + " cm"
	if s.AtFinish {
		return "The rower at the finish, from the side",
			fmt.Sprintf("Layback %s, trunk to thigh %s, knee bends %s, hands %s over the seat. Behind, in grey, the catch.",
				degrees(-me.LeanDeg), degrees(me.trunkThigh()), degrees(me.kneeBend()), hands)
	}
	return "The rower at the catch, from the side",
		fmt.Sprintf("Lean %s, trunk to thigh %s, knee bends %s, shin %s, heel %s, hands %s over the seat. Behind, in grey, the finish.",
			degrees(me.LeanDeg), degrees(me.trunkThigh()), degrees(me.kneeBend()), degrees(me.shin()), heelWords(me.heelLift(s.PlateDeg)), hands)
}

// heelWords describes the heel's lift; less than half a degree is down.
func heelWords(lift float64) string {
	if lift < 0.5 {
		return "down"
	}
	return "lifts " + degrees(lift)
}

// whole writes a whole number with a true minus.
func whole(v float64) string {
	r := math.Round(v)
	if r < 0 {
		return fmt.Sprintf("−%.0f", -r)
	}
	return fmt.Sprintf("%.0f", r+0)
}

func degrees(v float64) string { return whole(v) + "°" }

// asks lists the labels with the places they may point to.
func (s *Side) asks(me *person) []ask {
	x := s.dimensionX(me)
	top, foot := me.at(me.Hand).Y, me.at(Joint{}).Y
	hands := ask{term: "hands over seat", value: whole(100*me.Hand.Z) + "\u2009cm", anchors: []anchor{
		{at: Point{X: x, Y: top}}, {at: Point{X: x, Y: foot}, below: true},
	}}
	hip := me.at(me.Hip)
	trunk := me.at(me.root()).Sub(hip).Norm()
	free := hip.Add(plane.Direction(90 - 0.1*me.LeanDeg).Times(lineRadius * trunk))
	lean := ask{term: "lean", value: degrees(me.LeanDeg), anchors: []anchor{
		{at: free, own: draw.Trunk}, {at: hip.Add(Point{X: 0, Y: -uprightShare * trunk}), own: draw.Trunk, bias: 40},
	}}
	behind := hip.Sub(plane.Direction(-me.LeanDeg).Times(me.px(0.09)))
	fold := ask{term: "trunk–thigh", value: degrees(me.trunkThigh()), anchors: []anchor{
		{at: behind, own: draw.Trunk | draw.Thigh}, {at: hip, below: true, own: draw.Trunk | draw.Thigh},
	}}
	if s.AtFinish {
		lean.term, lean.value = "layback", degrees(-me.LeanDeg)
		return append([]ask{hands, lean, fold}, s.finishLegs(me)...)
	}
	return append([]ask{hands, lean, fold}, s.catchLegs(me)...)
}

func (s *Side) catchLegs(me *person) []ask {
	knee, ankle, hip := me.at(me.Knee), me.at(me.Ankle), me.at(me.Hip)
	shank := knee.Unit(ankle)
	hollow := hollowOf(me)
	front := knee.Sub(knee.Unit(hip).Times(me.px(0.02)))
	calf := knee.Toward(ankle, 0.45)
	aside := shank.Turned().Times(me.px(0.05))
	lift := me.heelLift(s.PlateDeg)
	heel := ask{term: "heel", value: "down", anchors: []anchor{{at: me.at(me.Heel), below: true, own: draw.Shoe}}}
	if lift >= 0.5 {
		heel.term, heel.value = "heel lifts", degrees(lift)
	}
	return []ask{
		{term: "knee bends", value: degrees(me.kneeBend()), anchors: []anchor{
			{at: hollow, below: true, own: draw.Thigh | draw.Shank}, {at: front, own: draw.Thigh | draw.Shank, bias: 80},
		}},
		{term: "shin", value: degrees(me.shin()), anchors: []anchor{
			{at: calf.Sub(aside), below: true, own: draw.Shank}, {at: calf.Add(aside), below: true, own: draw.Shank, bias: 80},
		}},
		heel,
	}
}

// hollowOf is the hollow of the knee: where the skins of thigh and calf part.
func hollowOf(me *person) Point {
	knee := me.at(me.Knee)
	a, b := knee.Unit(me.at(me.Ankle)), knee.Unit(me.at(me.Hip))
	half := math.Acos(max(-1, min(1, a.X*b.X+a.Y*b.Y))) / 2
	off := min(0.17, 0.058/math.Sin(max(half, 0.1)))
	return knee.Add(Point{}.Unit(a.Add(b)).Times(me.px(off)))
}

func (s *Side) finishLegs(me *person) []ask {
	knee := me.at(me.Knee)
	return []ask{
		{term: "knee bends", value: degrees(me.kneeBend()), anchors: []anchor{{at: knee.Sub(Point{X: 0, Y: me.px(0.05)}), own: draw.Thigh | draw.Shank}, {at: knee.Add(Point{X: 0, Y: me.px(0.05)}), below: true, own: draw.Thigh | draw.Shank}}},
		{term: "heel", value: heelWords(me.heelLift(s.PlateDeg)), anchors: []anchor{{at: me.at(me.Heel), below: true, own: draw.Shoe}}},
	}
}
