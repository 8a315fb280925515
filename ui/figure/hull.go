package figure

import (
	"math"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// frame turns metres on the water, seen from above, into pixels. Along counts
// from the line through the pins towards the stern, across towards starboard.
type frame struct {
	scale  float64 // px/m
	origin Point   // of the centreline at the line through the pins
	lying  bool    // bow to the left; else bow up
}

func (f frame) at(along, across float64) Point {
	if f.lying {
		return f.origin.Add(Point{X: along, Y: -across}.Times(f.scale))
	}
	return f.origin.Add(Point{X: across, Y: along}.Times(f.scale))
}

// hull is the plan of a boat, in metres.
type hull struct {
	length, beam float64
	full         bool // a parallel middle between tapered ends
}

// half is the half-breadth at a share of the length from the bow: of a single
// a long lens, of a longer boat parallel amidships.
func (h hull) half(t float64) float64 {
	if t <= 0 || t >= 1 {
		return 0
	}
	if !h.full {
		return h.beam / 2 * math.Pow(math.Sin(math.Pi*math.Pow(t, 0.92)), 0.62)
	}
	const bow, stern = 0.30, 0.28
	from := min(1, t/bow, (1-t)/stern)
	return h.beam / 2 * math.Pow(math.Sin(math.Pi/2*from), 0.85)
}

// piece is the outline between two places along the hull, m from the bow,
// drawn with the first of them at the place start.
func (h hull) piece(f frame, from, to, start float64) draw.Shape {
	const steps = 24
	var port, star []Point
	for i := range steps + 1 {
		a := from + (to-from)*float64(i)/steps
		half := h.half(a / h.length)
		star = append(star, f.at(start+a-from, half))
		port = append([]Point{f.at(start+a-from, -half)}, port...)
	}
	return draw.Polygon("fig-boat", draw.Hull, append(star, port...)...)
}

// breakGap is the gap at a cut through the hull, px; our judgement.
const breakGap = 7

// endPiece is how much of a shortened end is drawn, m.
func (h hull) endPiece() float64 { return min(0.14*h.length, 1.25) }

// whole is the hull without a cut.
func (h hull) whole(pins float64) drawnHull {
	return drawnHull{hull: h, pins: pins, before: pins, after: h.length - pins}
}

// drawnHull says where a hull lies along the drawing, m from the pins.
type drawnHull struct {
	hull
	pins          float64 // from the bow, m
	before, after float64 // kept before and behind the pins
	cutBow        bool
	cutStern      bool
}

// cut decides whether the ends are shortened: where what would be left out is
// longer than what stays of it.
func (h hull) cut(pins, before, after float64) drawnHull {
	d := drawnHull{hull: h, pins: pins, before: before, after: after}
	d.cutBow = pins-before > 1.4*h.endPiece()
	d.cutStern = h.length-pins-after > 1.4*h.endPiece()
	if !d.cutBow {
		d.before = pins
	}
	if !d.cutStern {
		d.after = h.length - pins
	}
	return d
}

// bow and stern are where the ends are drawn, m from the pins.
func (d drawnHull) bow(gap float64) float64 {
	if d.cutBow {
		return -d.before - gap - d.endPiece()
	}
	return -d.before
}

func (d drawnHull) stern(gap float64) float64 {
	if d.cutStern {
		return d.after + gap + d.endPiece()
	}
	return d.after
}

// draw adds hull, centreline, bow ball and break lines.
func (d drawnHull) draw(to *draw.Drawing, f frame) {
	gap := breakGap / f.scale
	to.Add(d.piece(f, d.pins-d.before, d.pins+d.after, -d.before))
	if d.cutBow {
		to.Add(d.piece(f, 0, d.endPiece(), d.bow(gap)))
		drawBreak(to, f, -d.before-gap/2, d.half((d.pins-d.before)/d.length))
	}
	if d.cutStern {
		to.Add(d.piece(f, d.length-d.endPiece(), d.length, d.after+gap))
		drawBreak(to, f, d.after+gap/2, d.half((d.pins+d.after)/d.length))
	}
	inset := 6 / f.scale
	to.Add(draw.Line("fig-chain", draw.Hull, f.at(d.bow(gap)+inset, 0), f.at(d.stern(gap)-inset, 0)))
	to.Add(draw.Ring(f.at(d.bow(gap), 0), 3.4).As("fig-ball", draw.Hull))
}

// drawBreak draws two zigzags across the hull.
func drawBreak(to *draw.Drawing, f frame, along, half float64) {
	px := 1 / f.scale
	reach := half + 5*px
	for _, shift := range []float64{-breakGap / 2, breakGap / 2} {
		a := along + shift*px
		to.Add(draw.Line("fig-break", draw.Hull, f.at(a, -reach), f.at(a, -3*px), f.at(a-3*px, -px), f.at(a+3*px, px), f.at(a, 3*px), f.at(a, reach)))
	}
}

// BoatSide is a side of the boat. Port is the rower's right hand, who faces the stern.
type BoatSide int

// The sides; their values are the sign of the place across the boat.
const (
	Port      BoatSide = -1
	Starboard BoatSide = +1
)

func (s BoatSide) String() string {
	if s == Port {
		return "port"
	}
	return "starboard"
}

func (s BoatSide) class() string { return "fig-" + s.String() }

// mark draws the shape of a side around its letter: a square for port, a
// circle for starboard.
func (s BoatSide) mark(to *draw.Drawing, at Point) {
	const half = 9
	if s == Port {
		to.Add(draw.Rectangle("fig-sidemark fig-port", draw.Gate, Box{X: at.X - half, Y: at.Y - half, W: 2 * half, H: 2 * half}))
	} else {
		to.Add(draw.Ring(at, half+1).As("fig-sidemark fig-starboard", draw.Gate))
	}
	letter := map[BoatSide]string{Port: "P", Starboard: "S"}[s]
	to.Marks = append(to.Marks, draw.Text{Class: "fig-letter", At: Point{X: at.X, Y: at.Y + 4.6}, Anchor: "middle", Text: letter, Size: 13, Bold: true})
}

// bladeOutline is a blade along the unit vector out, its tip at tip, px.
func bladeOutline(tip, out Point, length, width float64) []Point {
	side := out.Turned()
	at := func(back, across float64) Point {
		return tip.Sub(out.Times(back * length)).Add(side.Times(across * width))
	}
	return []Point{at(1, 0.16), at(0.62, 0.5), at(0.08, 0.5), at(0, 0.42), at(0, -0.42), at(0.08, -0.5), at(0.62, -0.5), at(1, -0.16)}
}

// hatch is a set of parallel lines within an outline, spacing px apart and at
// an angle in degrees.
func hatch(class string, kind draw.Kind, outline []Point, spacing, angle float64) draw.Shape {
	u := plane.Direction(angle)
	v := u.Turned()
	turned := make([]Point, len(outline))
	for i, p := range outline {
		turned[i] = Point{X: p.X*u.X + p.Y*u.Y, Y: p.X*v.X + p.Y*v.Y}
	}
	s := draw.Shape{Class: class, Kind: kind}
	b := plane.Around(turned)
	for y := b.Y + spacing/2; y < b.Bottom(); y += spacing {
		cuts := cutsAt(turned, y, nil)
		for i := 0; i+1 < len(cuts); i += 2 {
			p := u.Times(cuts[i]).Add(v.Times(y))
			q := u.Times(cuts[i+1]).Add(v.Times(y))
			s.D += draw.Trace(p, q)
			s.Lines = append(s.Lines, []Point{p, q})
		}
	}
	return s
}
