package page

import (
	"fmt"
	"math"
	"strings"

	"thole/api/seat"
)

// Drawings are SVG to scale in centimetres, built here as points and paths and
// dressed by the style sheet. Every number drawn stands in the page as text
// too.

// Spot is a place on a drawing, y downwards.
type Spot struct{ X, Y float64 }

// Line is a straight stroke.
type Line struct{ X1, Y1, X2, Y2 float64 }

func between(a, b Spot) Line { return Line{a.X, a.Y, b.X, b.Y} }

// Box is a view box.
type Box struct{ X, Y, W, H float64 }

// String writes the box as the viewBox attribute has it.
func (b Box) String() string {
	return fmt.Sprintf("%s %s %s %s", Coord(b.X), Coord(b.Y), Coord(b.W), Coord(b.H))
}

// Coord writes a coordinate to a tenth of a millimetre or of a unit.
func Coord(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v+0), "0"), ".")
}

func Trace(points ...Spot) string {
	var b strings.Builder
	for i, p := range points {
		b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0])
		b.WriteString(Coord(p.X) + " " + Coord(p.Y))
	}
	return b.String()
}

func rad(deg float64) float64 { return deg * math.Pi / 180 }

// PlanDrawing is the boat from above, bow up.
type PlanDrawing struct {
	Box       Box
	Hull      string
	Work      Line // the line of work
	Oars      []*planOar
	Shoulders Line
	Arms      []Line
	Hip       Spot
	BowAt     Spot
	Title     string
}

// planOar is one oar at catch, square and finish.
type planOar struct {
	Class                     string // port or starboard
	Letter                    string
	Pin                       Spot
	LetterAt                  Spot
	Shafts, Blades            []Line // catch, square, finish
	Sweep                     string // way of the blade's middle
	HandSweep                 string // way of the hand
	Slip                      string // ring where the blade takes hold
	Hands                     []Spot
	CatchAt, FinishAt, SlipAt Spot
	CatchText, FinishText     string
}

// PinBox is the corner of the square that marks a pin on port; on starboard a
// circle does, so that the sides differ in shape as well as in colour.
func (o *planOar) PinBox() Spot { return Spot{o.Pin.X - 5, o.Pin.Y - 5} }

// halfBladeOf is half the blade's length on the drawing, cm.
func halfBladeOf(scull bool) float64 {
	if scull {
		return 22
	}
	return 27
}

// oarFrame places points along one oar.
type oarFrame struct {
	pin, sign float64
}

// outer is the place r beyond the pin at oar angle deg, inner the one r inside.
func (f oarFrame) outer(r, deg float64) Spot {
	return Spot{f.sign * (f.pin + r*math.Cos(rad(deg))), r * math.Sin(rad(deg))}
}

func (f oarFrame) inner(r, deg float64) Spot {
	return Spot{f.sign * (f.pin - r*math.Cos(rad(deg))), -r * math.Sin(rad(deg))}
}

// arc is the way of a point r from the pin between two oar angles.
func (f oarFrame) arc(place func(r, deg float64) Spot, r, from, to float64) string {
	a, b := place(r, from), place(r, to)
	turn := 1
	if f.sign < 0 {
		turn = 0
	}
	return fmt.Sprintf("M%s %sA%s %s 0 0 %d %s %s", Coord(a.X), Coord(a.Y), Coord(r), Coord(r), turn, Coord(b.X), Coord(b.Y))
}

// ring is the band between two distances from the pin and two oar angles.
func (f oarFrame) ring(r1, r2, from, to float64) string {
	const steps = 8
	var points []Spot
	for i := range steps + 1 {
		points = append(points, f.outer(r1, from+(to-from)*float64(i)/steps))
	}
	for i := range steps + 1 {
		points = append(points, f.outer(r2, to+(from-to)*float64(i)/steps))
	}
	return Trace(points...) + "Z"
}

// NewPlan draws the boat from above.
func NewPlan(s *seat.SeatSolution) PlanDrawing {
	d := s.Drawing
	scull := len(s.Oars) == 2
	half := halfBladeOf(scull)
	p := PlanDrawing{Title: fmt.Sprintf("The boat from above: catch %s°, finish %s°", Fix(1, -s.CatchDeg), Fix(1, s.FinishDeg))}
	reach := d.OuterCm + half
	top := reach*math.Sin(rad(s.CatchDeg)) - 34
	bottom := max(reach*math.Sin(rad(s.FinishDeg)), d.AtCatch.Hand.XCm) + 34
	wide := d.PinOutCm + reach + 26
	p.Box = Box{-wide, top, 2 * wide, bottom - top}
	for i := range s.Oars {
		p.Oars = append(p.Oars, newPlanOar(s, &s.Oars[i], half))
	}
	if !scull {
		p.crop(Sign(s.Oars[0].Side), wide)
	}
	p.Hull = hull(14+6*float64(min(2, len(s.BoatClass)-1)), top-20, bottom+20)
	p.Work = Line{-d.PinOutCm, 0, d.PinOutCm, 0}
	p.Hip = Spot{0, d.AtCatch.Hip.XCm}
	p.BowAt = Spot{0, top + 14}
	p.drawArms(s, scull)
	return p
}

// crop leaves out the side of a sweep boat where nothing happens.
func (p *PlanDrawing) crop(side, wide float64) {
	const inside = 70
	p.Box.W = wide + inside
	if side > 0 {
		p.Box.X = -inside
	}
}

func Sign(side string) float64 {
	if side == "starboard" {
		return 1
	}
	return -1
}

func hull(half, top, bottom float64) string {
	return Trace(Spot{-half * 0.8, top}, Spot{-half, 0}, Spot{-half * 0.9, bottom}, Spot{half * 0.9, bottom}, Spot{half, 0}, Spot{half * 0.8, top}) + "Z"
}

func newPlanOar(s *seat.SeatSolution, o *seat.OarArc, half float64) *planOar {
	d := s.Drawing
	f := oarFrame{pin: d.PinOutCm, sign: Sign(o.Side)}
	handleEnd := d.InnerCm + map[bool]float64{true: 6, false: 15}[len(s.Oars) == 2]
	w := &planOar{
		Class: o.Side, Letter: strings.ToUpper(o.Side[:1]), Pin: Spot{f.sign * f.pin, 0},
		LetterAt:  Spot{f.sign * (f.pin + 13), 5},
		Sweep:     f.arc(f.outer, d.OuterCm, o.CatchDeg, o.FinishDeg),
		HandSweep: f.arc(f.inner, d.HandCm, o.CatchDeg, o.FinishDeg),
		Slip:      f.ring(d.OuterCm-half, d.OuterCm+half, o.CatchDeg, o.CatchDeg+s.Entry.MissedDeg),
		CatchText: Fix(1, -o.CatchDeg) + "°", FinishText: Fix(1, o.FinishDeg) + "°",
	}
	for _, deg := range [...]float64{o.CatchDeg, 0, o.FinishDeg} {
		w.Shafts = append(w.Shafts, between(f.inner(handleEnd, deg), f.outer(d.OuterCm-half, deg)))
		w.Blades = append(w.Blades, between(f.outer(d.OuterCm-half, deg), f.outer(d.OuterCm+half, deg)))
		w.Hands = append(w.Hands, f.inner(d.HandCm, deg))
	}
	w.CatchAt = f.outer(d.OuterCm+half+14, o.CatchDeg)
	w.FinishAt = f.outer(d.OuterCm+half+16, o.FinishDeg)
	return w
}

// drawArms draws shoulders and arms at the catch.
func (p *PlanDrawing) drawArms(s *seat.SeatSolution, scull bool) {
	d := s.Drawing
	x, half := d.AtCatch.Shoulder.XCm, d.HalfShoulderCm
	if scull {
		p.Shoulders = Line{-half, x, half, x}
		for i := range p.Oars {
			hand := p.Oars[i].Hands[0]
			p.Arms = append(p.Arms, Line{math.Copysign(half, hand.X), x, hand.X, hand.Y})
		}
		return
	}
	side, turn, lean := Sign(s.Oars[0].Side), rad(s.RotationDeg), s.Posture.SideLeanCm
	outside := Spot{side * (lean - half*math.Cos(turn)), x + half*math.Sin(turn)}
	inside := Spot{side * (lean + half*math.Cos(turn)), x - half*math.Sin(turn)}
	p.Shoulders = between(outside, inside)
	f := oarFrame{pin: d.PinOutCm, sign: side}
	// The inside hand holds as far below the handle's middle as the outside
	// one above it.
	p.Arms = []Line{
		between(outside, f.inner(d.HandCm, s.CatchDeg)),
		between(inside, f.inner(2*d.InnerCm-d.HandCm, s.CatchDeg)),
	}
}

// SideDrawing is the rower from the side at one end of the stroke, stern to
// the right.
type SideDrawing struct {
	Box                 Box
	Title               string
	Shank, Thigh, Trunk Line
	Arm                 string
	Sole, Plate         Line
	Head, Hand, Pin     Spot
	Hip, Knee, Ankle    Spot
	Seat                Box
	Rail, Water         Line
	Gate                Line
	Notes               []Note
	Scale               Line
	ScaleAt             Spot
}

// Note is a number beside the joint it belongs to.
type Note struct {
	At     Spot
	Anchor string
	Text   string
}

// NewSides draws the rower at catch and finish on one scale.
func NewSides(s *seat.SeatSolution) (catch, finish SideDrawing) {
	d := s.Drawing
	catch, finish = newSide(s, &d.AtCatch), newSide(s, &d.AtFinish)
	// Room for the notes beside the hip at the finish and beyond the hand.
	left := min(d.AtFinish.Shoulder.XCm-30, d.AtFinish.Hip.XCm-74)
	right := max(d.AtCatch.Hand.XCm+34, d.AtCatch.Ball.XCm+66)
	top := max(d.AtCatch.Shoulder.ZCm, d.AtFinish.Shoulder.ZCm) + 42
	view := Box{left, -top, right - left, top + 36}
	catch.Box, finish.Box = view, view
	c, f := d.AtCatch, d.AtFinish
	shin := seat.Point{XCm: (c.Knee.XCm + c.Ankle.XCm) / 2, ZCm: (c.Knee.ZCm + c.Ankle.ZCm) / 2}
	catch.Title = "At the catch"
	catch.drawTrunk(c, s.Posture.LeanDeg)
	catch.Arm = Trace(at(c.Shoulder), at(c.Hand))
	catch.note(c.Shoulder, -17, 14, "end", "lean "+Fix(0, s.Posture.LeanDeg)+"°")
	catch.note(c.Hip, -15, -3, "end", "trunk to thigh "+Fix(0, s.TrunkThighDeg)+"°")
	catch.note(shin, 7, -4, "start", "knee bends "+Fix(0, s.KneeFlexionDeg)+"°")
	catch.note(shin, 7, 8, "start", "shin "+Fix(0, s.Posture.ShinDeg)+"°")
	if s.HeelLiftDeg > 0 {
		catch.note(c.Ball, 14, 6, "start", "heel lifts "+Fix(0, s.HeelLiftDeg)+"°")
	}
	catch.note(c.Hand, 0, -9, "middle", "hand "+Fix(0, c.Hand.ZCm)+" cm")
	finish.Title = "At the finish"
	finish.drawTrunk(f, -s.Posture.LaybackDeg)
	finish.Arm = bentArm(f, s.Body.SegmentsCm.Arm)
	finish.note(f.Hip, -15, -3, "end", "layback "+Fix(0, s.Posture.LaybackDeg)+"°")
	finish.note(f.Hand, 8, -4, "start", "hand "+Fix(0, f.Hand.ZCm)+" cm")
	finish.note(f.Knee, 0, -8, "middle", "knee bends "+Fix(0, 180-s.Posture.FinishKneeDeg)+"°")
	return catch, finish
}

func at(p seat.Point) Spot { return Spot{p.XCm, -p.ZCm} }

func newSide(s *seat.SeatSolution, p *seat.Pose) SideDrawing {
	d := s.Drawing
	sin, cos := math.Sincos(rad(d.PlateDeg))
	heel := at(d.AtFinish.Heel)
	water := s.Heights.SeatOverWaterCm
	w := SideDrawing{
		Shank: between(at(p.Ankle), at(p.Knee)), Thigh: between(at(p.Knee), at(p.Hip)),
		Hand: at(p.Hand), Hip: at(p.Hip), Knee: at(p.Knee), Ankle: at(p.Ankle),
		Plate: Line{heel.X - 3*cos, heel.Y + 3*sin, heel.X + 32*cos, heel.Y - 32*sin},
		Pin:   Spot{0, -d.GateCm}, Gate: Line{0, -d.GateCm - 7, 0, 4},
		Seat: Box{p.Hip.XCm - 12, 0, 24, 4},
		Rail: Line{d.AtFinish.Hip.XCm - 14, 6, d.AtCatch.Hip.XCm + 16, 6},
	}
	w.Water = Line{-400, water, 400, water}
	// The toes are as far beyond the ball as a foot is long: ball at 0.74.
	sole := Spot{p.Ball.XCm - p.Heel.XCm, -(p.Ball.ZCm - p.Heel.ZCm)}
	w.Sole = Line{p.Heel.XCm, -p.Heel.ZCm, p.Heel.XCm + sole.X/0.74, -p.Heel.ZCm + sole.Y/0.74}
	w.Scale = Line{-25, 30, 25, 30}
	w.ScaleAt = Spot{0, 27}
	return w
}

// drawTrunk draws trunk and head; lean is positive towards the stern.
func (w *SideDrawing) drawTrunk(p seat.Pose, lean float64) {
	w.Trunk = between(at(p.Hip), at(p.Shoulder))
	sin, cos := math.Sincos(rad(lean * 0.6))
	w.Head = Spot{p.Shoulder.XCm + 24*sin, -p.Shoulder.ZCm - 24*cos}
}

func (w *SideDrawing) note(p seat.Point, dx, dy float64, anchor, text string) {
	w.Notes = append(w.Notes, Note{At: Spot{p.XCm + dx, -p.ZCm + dy}, Anchor: anchor, Text: text})
}

// bentArm draws upper arm and forearm, equally long, with the elbow behind.
func bentArm(p seat.Pose, arm float64) string {
	s, h := at(p.Shoulder), at(p.Hand)
	dx, dy := h.X-s.X, h.Y-s.Y
	d := math.Hypot(dx, dy)
	off := math.Sqrt(max(0, arm*arm/4-d*d/4))
	// Of the two elbows the one towards the bow.
	elbow := Spot{s.X + dx/2 - off*dy/d, s.Y + dy/2 + off*dx/d}
	if other := (Spot{s.X + dx/2 + off*dy/d, s.Y + dy/2 - off*dx/d}); other.X < elbow.X {
		elbow = other
	}
	return Trace(s, elbow, h)
}

// Chart is the gearing through the stroke.
type Chart struct {
	Box            Box
	Axis           string
	XTicks, YTicks []tick
	Curves         []curve
}

type tick struct {
	At   float64
	Text string
}

type curve struct {
	Class, Path string
	Ends        []Note
}

// Frame of the chart, in its own units.
const (
	chartLeft, chartTop     = 46, 14
	chartWidth, chartHeight = 500, 190
)

// NewChart draws the gearing of one or two set-ups.
func NewChart(solutions ...*seat.SeatSolution) Chart {
	low, high, most := 0.0, 0.0, 0.0
	for _, s := range solutions {
		low, high = min(low, s.CatchDeg), max(high, s.FinishDeg)
		most = max(most, s.Gearing.AtCatch, s.Gearing.AtFinish)
	}
	low, high = math.Floor(low/10)*10, math.Ceil(high/10)*10
	top := math.Ceil(most)
	x := func(deg float64) float64 { return chartLeft + chartWidth*(deg-low)/(high-low) }
	y := func(ratio float64) float64 { return chartTop + chartHeight*(1-ratio/top) }
	c := Chart{Box: Box{0, 0, chartLeft + chartWidth + 40, chartTop + chartHeight + 44}}
	c.Axis = Trace(Spot{chartLeft, chartTop}, Spot{chartLeft, chartTop + chartHeight}, Spot{chartLeft + chartWidth, chartTop + chartHeight})
	for deg := low; deg <= high; deg += 20 {
		c.XTicks = append(c.XTicks, tick{x(deg), Fix(0, math.Abs(deg)) + "°"})
	}
	for ratio := 0.0; ratio <= top; ratio += math.Ceil(top / 6) {
		c.YTicks = append(c.YTicks, tick{y(ratio), Fix(0, ratio)})
	}
	for i, s := range solutions {
		c.Curves = append(c.Curves, newCurve(i, s, x, y))
	}
	return c
}

func newCurve(i int, s *seat.SeatSolution, x, y func(float64) float64) curve {
	var points []Spot
	for _, p := range s.Gearing.Curve {
		points = append(points, Spot{x(p.AngleDeg), y(p.Ratio)})
	}
	w := curve{Class: [...]string{"one", "two"}[i], Path: Trace(points...)}
	w.Ends = []Note{
		{Spot{x(s.CatchDeg) + 8, y(s.Gearing.AtCatch) + 4}, "start", Fix(1, s.Gearing.AtCatch) + " at the catch"},
		{Spot{x(0), y(s.Gearing.LeverRatio) + 16}, "middle", Fix(2, s.Gearing.LeverRatio) + " square"},
		{Spot{x(s.FinishDeg) - 2, y(s.Gearing.AtFinish) - 8}, "end", Fix(1, s.Gearing.AtFinish) + " at the finish"},
	}
	if i == 1 {
		w.Ends = nil
	}
	return w
}

// GateDrawing is the window of gate heights with the gate in it.
type GateDrawing struct {
	Box           Box
	Window, Doubt Box
	Empty         bool
	Gate          float64
	Ticks         []tick
	Title         string
}

// NewGate draws the scale of gate heights, a centimetre 24 units wide.
func NewGate(s *seat.SeatSolution) GateDrawing {
	w, gate := s.Heights.Window, s.Drawing.GateCm
	low := math.Floor(min(w.LowCm-2*w.SdCm, w.HighCm, gate) - 1)
	high := math.Ceil(max(w.HighCm+2*w.SdCm, w.LowCm, gate) + 1)
	const cm = 24
	x := func(v float64) float64 { return (v - low) * cm }
	d := GateDrawing{
		Box: Box{-14, 0, x(high) + 28, 78}, Gate: x(gate), Empty: w.LowCm > w.HighCm,
		Title: "Gate heights that suit: " + Fix(1, w.LowCm) + " to " + Fix(1, w.HighCm) + " cm; the gate stands at " + Fix(1, gate) + " cm",
	}
	if !d.Empty {
		d.Window = Box{x(w.LowCm), 22, x(w.HighCm) - x(w.LowCm), 22}
		d.Doubt = Box{x(w.LowCm - w.SdCm), 26, x(w.HighCm+w.SdCm) - x(w.LowCm-w.SdCm), 14}
	}
	for v := low; v <= high; v++ {
		d.Ticks = append(d.Ticks, tick{x(v), Fix(0, v)})
	}
	return d
}
