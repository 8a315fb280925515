package figure

import (
	"fmt"
	"math"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// OarAbove is one oar of a seat with its arc.
type OarAbove struct {
	Side      BoatSide
	CatchDeg  float64 // from square, positive: the blade towards the bow
	FinishDeg float64 // from square, positive
}

// Above is one seat from above, at catch, square and finish, to scale. The
// levers are those of rigging.Levers: Hand as it stands there, Outer with half
// a blade's length more; InsideHand lies as far inside the handle's middle as
// the hand lies outside, 2·Inner − Hand. A hull too long for the drawing is
// shortened at its ends, and the caption says so.
type Above struct {
	ID    string
	Width float64 // px
	Lying bool    // bow to the left; else bow up

	HullLength, HullBeam float64 // m, overall
	Rowers, Seat         int     // Seat counts from the bow, from 1
	Coxed                bool

	PinOut                 float64 // centreline to pin, m
	Outer                  float64 // pin to the blade's tip, m
	Hand                   float64 // pin to the hand that limits the reach, m
	HandleEnd              float64 // pin to the handle's end, m
	InsideHand             float64 // sweep: pin to the inside hand, m
	BladeLength, BladeWide float64 // m
	Oars                   []OarAbove

	HalfShoulder    float64 // m
	CatchShoulderX  float64 // towards the stern from the pins, m
	FinishShoulderX float64
	TurnDeg         float64 // sweep: of the shoulders at the catch
	SideLean        float64 // sweep: of the trunk towards the rigger, m
}

// Places along the boat that the rig does not give, m; ornament only; our judgement.
const (
	seatPitch   = 1.40 // from rower to rower; from memory
	coxRoom     = 0.55 // how much further forward a coxed crew sits
	riggerHalf  = 0.30 // half a rigger's foot along the hull
	cockpitHalf = 0.21
	mostAbove   = 95 // px/m
	leastLying  = 70 // px/m that a whole hull must have, lying
)

// pinsFromBow is where a seat's pins lie, m from the bow.
func pinsFromBow(length float64, rowers, seat int, coxed bool) float64 {
	middle := length * 0.515
	if coxed {
		middle -= coxRoom
	}
	return middle + seatPitch*(float64(seat)-float64(rowers+1)/2)
}

// Draw draws the seat.
func (a *Above) Draw() *draw.Drawing {
	a.check()
	h := hull{a.HullLength, a.HullBeam, a.Rowers >= 4}
	before, after := a.extent()
	d := &draw.Drawing{ID: a.ID, Class: "fig-above", Width: a.Width}
	pins := pinsFromBow(a.HullLength, a.Rowers, a.Seat, a.Coxed)
	cut := h.whole(pins)
	if !a.Lying || a.Width/a.HullLength < leastLying {
		cut = h.cut(pins, before, after)
	}
	f := a.fit(d, cut)
	cut.draw(d, f)
	a.drawRower(d, f)
	a.drawLabels(d, f, cut)
	d.Title, d.Desc = a.words()
	d.Caption = a.caption(cut) + d.Caption
	return d
}

func (a *Above) check() {
	plane.Finite("a measure of the seat from above", a.Width, a.HullLength, a.HullBeam, a.PinOut, a.Outer, a.Hand, a.HandleEnd, a.InsideHand,
		a.BladeLength, a.BladeWide, a.HalfShoulder, a.CatchShoulderX, a.FinishShoulderX, a.TurnDeg, a.SideLean)
	for _, o := range a.Oars {
		plane.Finite("an oar's arc", o.CatchDeg, o.FinishDeg)
	}
	if len(a.Oars) == 0 || a.Rowers < 1 || a.HullLength <= 0 || a.Width <= 0 {
		panic("figure: a seat from above needs oars, rowers, a hull and a width")
	}
}

// extent is how much of the hull is kept before and behind the pins, m.
func (a *Above) extent() (before, after float64) {
	after = a.CatchShoulderX + 0.6
	before = -a.FinishShoulderX + 0.4
	for _, o := range a.Oars {
		before = max(before, a.Outer*math.Sin(plane.Rad(o.CatchDeg))+0.3)
		after = max(after, a.Outer*math.Sin(plane.Rad(o.FinishDeg))+0.3)
	}
	return before, after
}

// across is how far the drawing goes to each side, m.
func (a *Above) across() (port, star float64) {
	const empty = 0.55 // the side without an oar
	port, star = empty, empty
	for _, o := range a.Oars {
		if o.Side == Port {
			port = a.PinOut + a.Outer
		} else {
			star = a.PinOut + a.Outer
		}
	}
	return port, star
}

// fit sets the scale, the frame and the origin.
func (a *Above) fit(d *draw.Drawing, h drawnHull) frame {
	const margin = 10
	port, star := a.across()
	gap := 0.12
	long := h.stern(gap) - h.bow(gap)
	f := frame{lying: a.Lying}
	room := a.Width - 2*margin
	if a.Lying {
		f.scale = min(mostAbove, room/long)
		d.Height = math.Ceil((port+star)*f.scale + 2*margin)
		gap = breakGap / f.scale
		f.origin = Point{X: a.Width/2 - f.scale*(h.bow(gap)+h.stern(gap))/2, Y: margin + f.scale*star}
		return f
	}
	f.scale = min(mostAbove, room/(port+star))
	gap = breakGap / f.scale
	d.Height = math.Ceil((h.stern(gap)-h.bow(gap))*f.scale + 2*margin)
	f.origin = Point{X: a.Width/2 - f.scale*(star-port)/2, Y: margin - f.scale*h.bow(gap)}
	return f
}

// oarFrame places points along one oar.
type oarFrame struct {
	frame
	pin  float64
	side BoatSide
}

// out is the place r beyond the pin at a signed angle, catch negative; a
// negative r lies inboard.
func (o oarFrame) out(r, angle float64) Point {
	sin, cos := math.Sincos(plane.Rad(angle))
	return o.at(r*sin, float64(o.side)*(o.pin+r*cos))
}

func (a *Above) oar(f frame, o OarAbove) oarFrame { return oarFrame{f, a.PinOut, o.Side} }

// drawRower draws rigger, ghost, oars and the rower at the catch.
func (a *Above) drawRower(d *draw.Drawing, f frame) {
	a.drawCockpit(d, f)
	a.drawTrunk(d, f, a.FinishShoulderX, 0, true)
	for _, o := range a.Oars {
		a.drawRigger(d, f, o)
		a.drawOar(d, a.oar(f, o), o)
	}
	a.drawArms(d, f)
	a.drawTrunk(d, f, a.CatchShoulderX, a.TurnDeg, false)
	for _, o := range a.Oars {
		o.Side.mark(d, a.oar(f, o).out(0, 0))
	}
}

func (a *Above) drawCockpit(d *draw.Drawing, f frame) {
	half := min(cockpitHalf, 0.36*a.HullBeam)
	from, to := a.FinishShoulderX-0.12, a.CatchShoulderX+0.62
	d.Add(draw.Polygon("fig-cockpit", draw.Hull, tapered(f, from, to, half)...))
	for _, y := range []float64{-0.35, 0.35} {
		d.Add(draw.Line("fig-thin fig-soft", draw.Hull, f.at(from+0.1, y*half), f.at(to-0.35, y*half)))
	}
}

// tapered is an outline square at one end and round at the other.
func tapered(f frame, from, to, half float64) []Point {
	const round, steps = 0.3, 12
	outline := []Point{f.at(from, half), f.at(from, -half)}
	for i := range steps + 1 {
		sin, cos := math.Sincos(math.Pi * (float64(i)/steps - 0.5))
		outline = append(outline, f.at(to-round+round*cos, half*sin))
	}
	return outline
}

func (a *Above) drawRigger(d *draw.Drawing, f frame, o OarAbove) {
	pin := a.oar(f, o).out(0, 0)
	edge := float64(o.Side) * a.HullBeam / 2 * 0.94
	d.Add(draw.Line("fig-rigger", draw.Gate, f.at(-riggerHalf, edge), pin, f.at(riggerHalf, edge)))
}

// drawOar draws the three places of an oar and its arc: catch solid with a
// filled blade, square a chain line with an open one, finish dashed and
// hatched.
func (a *Above) drawOar(d *draw.Drawing, f oarFrame, o OarAbove) {
	side := f.side.class()
	for _, place := range []struct {
		class string
		angle float64
	}{{"square", 0}, {"finish", o.FinishDeg}, {"catch", -o.CatchDeg}} {
		d.Add(draw.Line("fig-shaft fig-at-"+place.class+" "+side, draw.Oar, f.out(-a.HandleEnd, place.angle), f.out(a.Outer-a.BladeLength, place.angle)))
		tip := f.out(a.Outer, place.angle)
		blade := bladeOutline(tip, f.out(0, 0).Unit(tip), a.BladeLength*f.scale, a.BladeWide*f.scale)
		d.Add(draw.Polygon("fig-blade fig-at-"+place.class+" "+side, draw.Oar, blade...))
		if place.class == "finish" {
			d.Add(hatch("fig-hatch "+side, draw.Oar, blade, 3.4, 45))
		}
	}
	a.drawArc(d, f, o)
}

// drawArc draws the arc between catch and finish with an arrow at each end,
// inside the blades.
func (a *Above) drawArc(d *draw.Drawing, f oarFrame, o OarAbove) {
	r := 0.62 * (a.Outer - a.BladeLength)
	const steps = 24
	var points []Point
	for i := range steps + 1 {
		points = append(points, f.out(r, -o.CatchDeg+(o.CatchDeg+o.FinishDeg)*float64(i)/steps))
	}
	d.Add(draw.Line("fig-thin fig-soft", draw.Dimension, points...))
	d.Add(draw.Arrow("fig-head fig-softhead", points[0], points[1].Unit(points[0]), 7))
	d.Add(draw.Arrow("fig-head fig-softhead", points[steps], points[steps-1].Unit(points[steps]), 7))
}

// shoulders are the shoulder on the side away from the rigger and the one on
// its side; in sculling port and starboard.
func (a *Above) shoulders(f frame, x, turn float64) (outside, inside Point) {
	if len(a.Oars) > 1 {
		return f.at(x, -a.HalfShoulder), f.at(x, a.HalfShoulder)
	}
	side := float64(a.Oars[0].Side)
	sin, cos := math.Sincos(plane.Rad(turn))
	return f.at(x+a.HalfShoulder*sin, side*(a.SideLean-a.HalfShoulder*cos)),
		f.at(x-a.HalfShoulder*sin, side*(a.SideLean+a.HalfShoulder*cos))
}

// drawTrunk draws shoulders and head, for the finish as a ghost.
func (a *Above) drawTrunk(d *draw.Drawing, f frame, x, turn float64, ghost bool) {
	p, q := a.shoulders(f, x, turn)
	along := p.Unit(q)
	thick := along.Turned().Times(0.095 * f.scale)
	end := along.Times(0.05 * f.scale)
	body := draw.Blob(p.Sub(end), p.Add(thick.Times(0.8)), p.Toward(q, 0.5).Add(thick), q.Add(thick.Times(0.8)), q.Add(end),
		q.Sub(thick.Times(0.8)), p.Toward(q, 0.5).Sub(thick), p.Sub(thick.Times(0.8)))
	head := draw.Ring(p.Toward(q, 0.5), 0.10*f.scale)
	if ghost {
		d.Add(draw.Join("fig-ghost", draw.Ghost, body, head))
		return
	}
	d.Add(body.As("fig-suit", draw.Trunk))
	d.Add(head.As("fig-limb", draw.Head))
}

// drawArms draws the arms to the handles at the catch.
func (a *Above) drawArms(d *draw.Drawing, f frame) {
	outside, inner := a.shoulders(f, a.CatchShoulderX, a.TurnDeg)
	hands := []Point{}
	for _, o := range a.Oars {
		hands = append(hands, a.oar(f, o).out(-a.Hand, -o.CatchDeg))
	}
	from := []Point{outside, inner}
	if len(a.Oars) == 1 {
		hands = append(hands, a.oar(f, a.Oars[0]).out(-a.InsideHand, -a.Oars[0].CatchDeg))
	} else if a.Oars[0].Side == Starboard {
		from[0], from[1] = from[1], from[0]
	}
	for i := range hands {
		side := from[i].Unit(hands[i]).Turned().Times(0.042 * f.scale)
		fist := hands[i].Add(from[i].Unit(hands[i]).Times(0.03 * f.scale))
		d.Add(draw.Polygon("fig-limb", draw.Arm, from[i].Add(side), fist.Add(side.Times(0.7)), fist.Sub(side.Times(0.7)), from[i].Sub(side)))
	}
}

// drawLabels sets the labels: the angles beyond the blades, square at its
// blade, bow and stern at the ends.
func (a *Above) drawLabels(d *draw.Drawing, f frame, h drawnHull) {
	for _, o := range a.Oars {
		of := a.oar(f, o)
		outward := 0.0 // degrees on the drawing
		catch, finish := outward, -90.0
		square := 90.0
		if o.Side == Port {
			outward, catch = 180, 180
		}
		if a.Lying {
			catch, finish, square = 180, 0, 180
		}
		a.label(d, of, end("catch", o.CatchDeg), -o.CatchDeg, catch)
		a.label(d, of, end("finish", o.FinishDeg), o.FinishDeg, finish)
		d.Put(draw.Block{Term: "square", TermSize: draw.TermSize}, draw.Spot{At: of.out(a.Outer-a.BladeLength/2, 0), Prefer: square, First: 8})
	}
	gap := breakGap / f.scale
	away := 0.0
	if a.Lying {
		away = 90
	}
	d.Put(draw.Block{Term: "bow", TermSize: draw.TermSize}, draw.Spot{At: f.at(h.bow(gap)+0.12, 0), Prefer: away, First: 8})
	d.Put(draw.Block{Term: "stern", TermSize: draw.TermSize}, draw.Spot{At: f.at(h.stern(gap)-0.12, 0), Prefer: away, First: 8})
}

// end is the type of one end of the arc.
func end(term string, angle float64) draw.Block {
	return draw.Block{Term: term, Value: degrees(angle), TermSize: draw.TermSize, ValueSize: draw.ValueSize}
}

// label sets the angle of one end beyond its blade.
func (a *Above) label(d *draw.Drawing, f oarFrame, b draw.Block, angle, prefer float64) {
	tip := f.out(a.Outer, angle)
	blade := bladeOutline(tip, f.out(0, 0).Unit(tip), a.BladeLength*f.scale, a.BladeWide*f.scale)
	d.Put(b, draw.Spot{At: f.out(a.Outer-0.3*a.BladeLength, angle), Prefer: prefer, Leader: true, First: a.BladeWide*f.scale/2 + 8, Outline: blade})
}

func (a *Above) words() (title, desc string) {
	desc = ""
	for _, o := range a.Oars {
		desc += fmt.Sprintf("On %s: catch %s, finish %s. ", o.Side, degrees(o.CatchDeg), degrees(o.FinishDeg))
	}
	return "The seat from above", desc + "Solid line the catch, chain line square, dashes the finish; bow " + map[bool]string{true: "to the left.", false: "at the top."}[a.Lying]
}

// caption explains the lines, and what is not to scale.
func (a *Above) caption(h drawnHull) string {
	text := "Solid catch, chain square, hatched finish. To scale"
	if h.cutBow || h.cutStern {
		text += ", ends of the hull shortened"
	}
	return text + ". "
}
