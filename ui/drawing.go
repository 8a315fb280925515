package ui

import (
	"fmt"
	"math"
	"strings"

	"thole/api/seat"
)

// Drawings are SVG to scale in centimetres, built here as points and paths and
// dressed by the style sheet. Every number drawn stands in the page as text
// too.

// spot is a place on a drawing, y downwards.
type spot struct{ X, Y float64 }

// line is a straight stroke.
type line struct{ X1, Y1, X2, Y2 float64 }

func between(a, b spot) line { return line{a.X, a.Y, b.X, b.Y} }

// box is a view box.
type box struct{ X, Y, W, H float64 }

// String writes the box as the viewBox attribute has it.
func (b box) String() string {
	return fmt.Sprintf("%s %s %s %s", coord(b.X), coord(b.Y), coord(b.W), coord(b.H))
}

// coord writes a coordinate to a tenth of a millimetre or of a unit.
func coord(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v+0), "0"), ".")
}

func trace(points ...spot) string {
	var b strings.Builder
	for i, p := range points {
		b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0])
		b.WriteString(coord(p.X) + " " + coord(p.Y))
	}
	return b.String()
}

func rad(deg float64) float64 { return deg * math.Pi / 180 }

// planDrawing is the boat from above, bow up.
type planDrawing struct {
	Box       box
	Hull      string
	Work      line // the line of work
	Oars      []*planOar
	Shoulders line
	Arms      []line
	Hip       spot
	BowAt     spot
	Title     string
}

// planOar is one oar at catch, square and finish.
type planOar struct {
	Class                     string // port or starboard
	Letter                    string
	Pin                       spot
	LetterAt                  spot
	Shafts, Blades            []line // catch, square, finish
	Sweep                     string // way of the blade's middle
	HandSweep                 string // way of the hand
	Slip                      string // ring where the blade takes hold
	Hands                     []spot
	CatchAt, FinishAt, SlipAt spot
	CatchText, FinishText     string
}

// PinBox is the corner of the square that marks a pin on port; on starboard a
// circle does, so that the sides differ in shape as well as in colour.
func (o *planOar) PinBox() spot { return spot{o.Pin.X - 5, o.Pin.Y - 5} }

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
func (f oarFrame) outer(r, deg float64) spot {
	return spot{f.sign * (f.pin + r*math.Cos(rad(deg))), r * math.Sin(rad(deg))}
}

func (f oarFrame) inner(r, deg float64) spot {
	return spot{f.sign * (f.pin - r*math.Cos(rad(deg))), -r * math.Sin(rad(deg))}
}

// arc is the way of a point r from the pin between two oar angles.
func (f oarFrame) arc(place func(r, deg float64) spot, r, from, to float64) string {
	a, b := place(r, from), place(r, to)
	turn := 1
	if f.sign < 0 {
		turn = 0
	}
	return fmt.Sprintf("M%s %sA%s %s 0 0 %d %s %s", coord(a.X), coord(a.Y), coord(r), coord(r), turn, coord(b.X), coord(b.Y))
}

// ring is the band between two distances from the pin and two oar angles.
func (f oarFrame) ring(r1, r2, from, to float64) string {
	const steps = 8
	var points []spot
	for i := range steps + 1 {
		points = append(points, f.outer(r1, from+(to-from)*float64(i)/steps))
	}
	for i := range steps + 1 {
		points = append(points, f.outer(r2, to+(from-to)*float64(i)/steps))
	}
	return trace(points...) + "Z"
}

// newPlan draws the boat from above.
func newPlan(s *seat.SeatSolution) planDrawing {
	d := s.Drawing
	scull := len(s.Oars) == 2
	half := halfBladeOf(scull)
	p := planDrawing{Title: fmt.Sprintf("The boat from above: catch %s°, finish %s°", fix(1, -s.CatchDeg), fix(1, s.FinishDeg))}
	reach := d.OuterCm + half
	top := reach*math.Sin(rad(s.CatchDeg)) - 34
	bottom := max(reach*math.Sin(rad(s.FinishDeg)), d.AtCatch.Hand.XCm) + 34
	wide := d.PinOutCm + reach + 26
	p.Box = box{-wide, top, 2 * wide, bottom - top}
	for i := range s.Oars {
		p.Oars = append(p.Oars, newPlanOar(s, &s.Oars[i], half))
	}
	if !scull {
		p.crop(sign(s.Oars[0].Side), wide)
	}
	p.Hull = hull(14+6*float64(min(2, len(s.BoatClass)-1)), top-20, bottom+20)
	p.Work = line{-d.PinOutCm, 0, d.PinOutCm, 0}
	p.Hip = spot{0, d.AtCatch.Hip.XCm}
	p.BowAt = spot{0, top + 14}
	p.drawArms(s, scull)
	return p
}

// crop leaves out the side of a sweep boat where nothing happens.
func (p *planDrawing) crop(side, wide float64) {
	const inside = 70
	p.Box.W = wide + inside
	if side > 0 {
		p.Box.X = -inside
	}
}

func sign(side string) float64 {
	if side == "starboard" {
		return 1
	}
	return -1
}

func hull(half, top, bottom float64) string {
	return trace(spot{-half * 0.8, top}, spot{-half, 0}, spot{-half * 0.9, bottom}, spot{half * 0.9, bottom}, spot{half, 0}, spot{half * 0.8, top}) + "Z"
}

func newPlanOar(s *seat.SeatSolution, o *seat.OarArc, half float64) *planOar {
	d := s.Drawing
	f := oarFrame{pin: d.PinOutCm, sign: sign(o.Side)}
	handleEnd := d.InnerCm + map[bool]float64{true: 6, false: 15}[len(s.Oars) == 2]
	w := &planOar{
		Class: o.Side, Letter: strings.ToUpper(o.Side[:1]), Pin: spot{f.sign * f.pin, 0},
		LetterAt:  spot{f.sign * (f.pin + 13), 5},
		Sweep:     f.arc(f.outer, d.OuterCm, o.CatchDeg, o.FinishDeg),
		HandSweep: f.arc(f.inner, d.HandCm, o.CatchDeg, o.FinishDeg),
		Slip:      f.ring(d.OuterCm-half, d.OuterCm+half, o.CatchDeg, o.CatchDeg+s.Entry.MissedDeg),
		CatchText: fix(1, -o.CatchDeg) + "°", FinishText: fix(1, o.FinishDeg) + "°",
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
func (p *planDrawing) drawArms(s *seat.SeatSolution, scull bool) {
	d := s.Drawing
	x, half := d.AtCatch.Shoulder.XCm, d.HalfShoulderCm
	if scull {
		p.Shoulders = line{-half, x, half, x}
		for i := range p.Oars {
			hand := p.Oars[i].Hands[0]
			p.Arms = append(p.Arms, line{math.Copysign(half, hand.X), x, hand.X, hand.Y})
		}
		return
	}
	side, turn, lean := sign(s.Oars[0].Side), rad(s.RotationDeg), s.Posture.SideLeanCm
	outside := spot{side * (lean - half*math.Cos(turn)), x + half*math.Sin(turn)}
	inside := spot{side * (lean + half*math.Cos(turn)), x - half*math.Sin(turn)}
	p.Shoulders = between(outside, inside)
	f := oarFrame{pin: d.PinOutCm, sign: side}
	// The inside hand holds as far below the handle's middle as the outside
	// one above it.
	p.Arms = []line{
		between(outside, f.inner(d.HandCm, s.CatchDeg)),
		between(inside, f.inner(2*d.InnerCm-d.HandCm, s.CatchDeg)),
	}
}

// sideDrawing is the rower from the side at one end of the stroke, stern to
// the right.
type sideDrawing struct {
	Box                 box
	Title               string
	Shank, Thigh, Trunk line
	Arm                 string
	Sole, Plate         line
	Head, Hand, Pin     spot
	Hip, Knee, Ankle    spot
	Seat                box
	Rail, Water         line
	Gate                line
	Notes               []note
	Scale               line
	ScaleAt             spot
}

// note is a number beside the joint it belongs to.
type note struct {
	At     spot
	Anchor string
	Text   string
}

// newSides draws the rower at catch and finish on one scale.
func newSides(s *seat.SeatSolution) (catch, finish sideDrawing) {
	d := s.Drawing
	catch, finish = newSide(s, &d.AtCatch), newSide(s, &d.AtFinish)
	// Room for the notes beside the hip at the finish and beyond the hand.
	left := min(d.AtFinish.Shoulder.XCm-30, d.AtFinish.Hip.XCm-74)
	right := max(d.AtCatch.Hand.XCm+34, d.AtCatch.Ball.XCm+66)
	top := max(d.AtCatch.Shoulder.ZCm, d.AtFinish.Shoulder.ZCm) + 42
	view := box{left, -top, right - left, top + 36}
	catch.Box, finish.Box = view, view
	c, f := d.AtCatch, d.AtFinish
	shin := seat.Point{XCm: (c.Knee.XCm + c.Ankle.XCm) / 2, ZCm: (c.Knee.ZCm + c.Ankle.ZCm) / 2}
	catch.Title = "At the catch"
	catch.drawTrunk(c, s.Posture.LeanDeg)
	catch.Arm = trace(at(c.Shoulder), at(c.Hand))
	catch.note(c.Shoulder, -17, 14, "end", "lean "+fix(0, s.Posture.LeanDeg)+"°")
	catch.note(c.Hip, -15, -3, "end", "trunk to thigh "+fix(0, s.TrunkThighDeg)+"°")
	catch.note(shin, 7, -4, "start", "knee bends "+fix(0, s.KneeFlexionDeg)+"°")
	catch.note(shin, 7, 8, "start", "shin "+fix(0, s.Posture.ShinDeg)+"°")
	if s.HeelLiftDeg > 0 {
		catch.note(c.Ball, 14, 6, "start", "heel lifts "+fix(0, s.HeelLiftDeg)+"°")
	}
	catch.note(c.Hand, 0, -9, "middle", "hand "+fix(0, c.Hand.ZCm)+" cm")
	finish.Title = "At the finish"
	finish.drawTrunk(f, -s.Posture.LaybackDeg)
	finish.Arm = bentArm(f, s.Body.SegmentsCm.Arm)
	finish.note(f.Hip, -15, -3, "end", "layback "+fix(0, s.Posture.LaybackDeg)+"°")
	finish.note(f.Hand, 8, -4, "start", "hand "+fix(0, f.Hand.ZCm)+" cm")
	finish.note(f.Knee, 0, -8, "middle", "knee bends "+fix(0, 180-s.Posture.FinishKneeDeg)+"°")
	return catch, finish
}

func at(p seat.Point) spot { return spot{p.XCm, -p.ZCm} }

func newSide(s *seat.SeatSolution, p *seat.Pose) sideDrawing {
	d := s.Drawing
	sin, cos := math.Sincos(rad(d.PlateDeg))
	heel := at(d.AtFinish.Heel)
	water := s.Heights.SeatOverWaterCm
	w := sideDrawing{
		Shank: between(at(p.Ankle), at(p.Knee)), Thigh: between(at(p.Knee), at(p.Hip)),
		Hand: at(p.Hand), Hip: at(p.Hip), Knee: at(p.Knee), Ankle: at(p.Ankle),
		Plate: line{heel.X - 3*cos, heel.Y + 3*sin, heel.X + 32*cos, heel.Y - 32*sin},
		Pin:   spot{0, -d.GateCm}, Gate: line{0, -d.GateCm - 7, 0, 4},
		Seat: box{p.Hip.XCm - 12, 0, 24, 4},
		Rail: line{d.AtFinish.Hip.XCm - 14, 6, d.AtCatch.Hip.XCm + 16, 6},
	}
	w.Water = line{-400, water, 400, water}
	// The toes are as far beyond the ball as a foot is long: ball at 0.74.
	sole := spot{p.Ball.XCm - p.Heel.XCm, -(p.Ball.ZCm - p.Heel.ZCm)}
	w.Sole = line{p.Heel.XCm, -p.Heel.ZCm, p.Heel.XCm + sole.X/0.74, -p.Heel.ZCm + sole.Y/0.74}
	w.Scale = line{-25, 30, 25, 30}
	w.ScaleAt = spot{0, 27}
	return w
}

// drawTrunk draws trunk and head; lean is positive towards the stern.
func (w *sideDrawing) drawTrunk(p seat.Pose, lean float64) {
	w.Trunk = between(at(p.Hip), at(p.Shoulder))
	sin, cos := math.Sincos(rad(lean * 0.6))
	w.Head = spot{p.Shoulder.XCm + 24*sin, -p.Shoulder.ZCm - 24*cos}
}

func (w *sideDrawing) note(p seat.Point, dx, dy float64, anchor, text string) {
	w.Notes = append(w.Notes, note{At: spot{p.XCm + dx, -p.ZCm + dy}, Anchor: anchor, Text: text})
}

// bentArm draws upper arm and forearm, equally long, with the elbow behind.
func bentArm(p seat.Pose, arm float64) string {
	s, h := at(p.Shoulder), at(p.Hand)
	dx, dy := h.X-s.X, h.Y-s.Y
	d := math.Hypot(dx, dy)
	off := math.Sqrt(max(0, arm*arm/4-d*d/4))
	// Of the two elbows the one towards the bow.
	elbow := spot{s.X + dx/2 - off*dy/d, s.Y + dy/2 + off*dx/d}
	if other := (spot{s.X + dx/2 + off*dy/d, s.Y + dy/2 - off*dx/d}); other.X < elbow.X {
		elbow = other
	}
	return trace(s, elbow, h)
}

// chart is the gearing through the stroke.
type chart struct {
	Box            box
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
	Ends        []note
}

// Frame of the chart, in its own units.
const (
	chartLeft, chartTop     = 46, 14
	chartWidth, chartHeight = 500, 190
)

// newChart draws the gearing of one or two set-ups.
func newChart(solutions ...*seat.SeatSolution) chart {
	low, high, most := 0.0, 0.0, 0.0
	for _, s := range solutions {
		low, high = min(low, s.CatchDeg), max(high, s.FinishDeg)
		most = max(most, s.Gearing.AtCatch, s.Gearing.AtFinish)
	}
	low, high = math.Floor(low/10)*10, math.Ceil(high/10)*10
	top := math.Ceil(most)
	x := func(deg float64) float64 { return chartLeft + chartWidth*(deg-low)/(high-low) }
	y := func(ratio float64) float64 { return chartTop + chartHeight*(1-ratio/top) }
	c := chart{Box: box{0, 0, chartLeft + chartWidth + 40, chartTop + chartHeight + 44}}
	c.Axis = trace(spot{chartLeft, chartTop}, spot{chartLeft, chartTop + chartHeight}, spot{chartLeft + chartWidth, chartTop + chartHeight})
	for deg := low; deg <= high; deg += 20 {
		c.XTicks = append(c.XTicks, tick{x(deg), fix(0, math.Abs(deg)) + "°"})
	}
	for ratio := 0.0; ratio <= top; ratio += math.Ceil(top / 6) {
		c.YTicks = append(c.YTicks, tick{y(ratio), fix(0, ratio)})
	}
	for i, s := range solutions {
		c.Curves = append(c.Curves, newCurve(i, s, x, y))
	}
	return c
}

func newCurve(i int, s *seat.SeatSolution, x, y func(float64) float64) curve {
	var points []spot
	for _, p := range s.Gearing.Curve {
		points = append(points, spot{x(p.AngleDeg), y(p.Ratio)})
	}
	w := curve{Class: [...]string{"one", "two"}[i], Path: trace(points...)}
	w.Ends = []note{
		{spot{x(s.CatchDeg) + 8, y(s.Gearing.AtCatch) + 4}, "start", fix(1, s.Gearing.AtCatch) + " at the catch"},
		{spot{x(0), y(s.Gearing.LeverRatio) + 16}, "middle", fix(2, s.Gearing.LeverRatio) + " square"},
		{spot{x(s.FinishDeg) - 2, y(s.Gearing.AtFinish) - 8}, "end", fix(1, s.Gearing.AtFinish) + " at the finish"},
	}
	if i == 1 {
		w.Ends = nil
	}
	return w
}

// gateDrawing is the window of gate heights with the gate in it.
type gateDrawing struct {
	Box           box
	Window, Doubt box
	Empty         bool
	Gate          float64
	Ticks         []tick
	Title         string
}

// newGate draws the scale of gate heights, a centimetre 24 units wide.
func newGate(s *seat.SeatSolution) gateDrawing {
	w, gate := s.Heights.Window, s.Drawing.GateCm
	low := math.Floor(min(w.LowCm-2*w.SdCm, w.HighCm, gate) - 1)
	high := math.Ceil(max(w.HighCm+2*w.SdCm, w.LowCm, gate) + 1)
	const cm = 24
	x := func(v float64) float64 { return (v - low) * cm }
	d := gateDrawing{
		Box: box{-14, 0, x(high) + 28, 78}, Gate: x(gate), Empty: w.LowCm > w.HighCm,
		Title: "Gate heights that suit: " + fix(1, w.LowCm) + " to " + fix(1, w.HighCm) + " cm; the gate stands at " + fix(1, gate) + " cm",
	}
	if !d.Empty {
		d.Window = box{x(w.LowCm), 22, x(w.HighCm) - x(w.LowCm), 22}
		d.Doubt = box{x(w.LowCm - w.SdCm), 26, x(w.HighCm+w.SdCm) - x(w.LowCm-w.SdCm), 14}
	}
	for v := low; v <= high; v++ {
		d.Ticks = append(d.Ticks, tick{x(v), fix(0, v)})
	}
	return d
}
