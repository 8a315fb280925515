package figure

import (
	"math"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// Joint is a place in the vertical plane along the boat: X towards the stern
// from the line through the pins, Z up from the lowest point of the seat, m.
type Joint struct{ X, Z float64 }

// Pose holds the joints of a rower at one end of the stroke, as
// rigging.Pose has them.
type Pose struct {
	Heel, Ball, Ankle, Knee, Hip, Shoulder, Hand Joint
	// LeanDeg is the trunk's lean from the vertical, positive towards the
	// stern: the lean at the catch, minus the layback at the finish.
	LeanDeg float64
}

// trunkThigh is 90° + the thigh's elevation + the lean, degrees.
func (p *Pose) trunkThigh() float64 {
	return 90 + elevation(p.Hip, p.Knee) + p.LeanDeg
}

// shin is the shank's angle from the horizontal, degrees.
func (p *Pose) shin() float64 { return elevation(p.Ankle, p.Knee) }

// kneeBend is the knee's bend from the straight leg, degrees.
func (p *Pose) kneeBend() float64 { return 180 - p.shin() + elevation(p.Hip, p.Knee) }

// heelLift is how far the heel has turned off the plate, degrees.
func (p *Pose) heelLift(plate float64) float64 { return plate - elevation(p.Heel, p.Ball) }

func elevation(from, to Joint) float64 { return plane.Deg(math.Atan2(to.Z-from.Z, to.X-from.X)) }

// Shares of the stature and of the foot that the pose does not give; our judgement.
const (
	headShare    = 0.130 // height of the head; from memory of tables of drawing
	sittingShare = 0.52  // sitting height where it was not measured; from memory
	ballShare    = 0.74  // heel to ball of the length of the foot, as the shoe is drawn
)

// Sizes the outlines below are drawn for: a man of 1.80 m and 49.9 kg/m; our judgement.
const (
	drawnStature    = 1.80
	drawnLineWeight = 49.9 // kg of mass per metre of stature
)

// stage turns metres into pixels.
type stage struct {
	scale  float64 // px/m
	origin Point   // of the line through the pins at the lowest point of the seat
}

func (g stage) at(j Joint) Point {
	return Point{X: g.origin.X + g.scale*j.X, Y: g.origin.Y - g.scale*j.Z}
}

// person draws one body at one end of the stroke.
type person struct {
	stage
	*Pose
	tall, thick float64 // the body's size and breadth over the drawn one's
	stature     float64
	sitting     float64
	depth       float64 // half the trunk's depth, m
	arm         float64 // m
	plate       float64 // degrees
	bent        bool    // the arm bends: the finish
}

// root is the root of the neck: the top of the trunk's own line.
func (b *person) root() Joint {
	rise := b.Shoulder.Z - b.Hip.Z
	return Joint{b.Hip.X + rise*math.Tan(plane.Rad(b.LeanDeg)), b.Shoulder.Z}
}

// station is a place along a bone with the flesh behind and before it, m.
// Along is a share of the bone.
type station struct{ along, back, front float64 }

// flesh is the outline around a bone between two joints. Front is to the
// right of the way from a to b.
func (b *person) flesh(from, to Joint, stations []station) draw.Shape {
	p, q := b.at(from), b.at(to)
	right := p.Unit(q).Turned().Times(-1)
	var front, back []Point
	for _, s := range stations {
		on := p.Toward(q, s.along)
		front = append(front, on.Add(right.Times(b.px(s.front))))
		back = append([]Point{on.Sub(right.Times(b.px(s.back)))}, back...)
	}
	return draw.Blob(append(front, back...)...)
}

// px is a breadth in pixels.
func (b *person) px(m float64) float64 { return m * b.thick * b.scale }

// trunk is shirt and shorts down to the seat.
func (b *person) trunk() draw.Shape {
	d := b.depth / b.thick
	length := math.Hypot(b.root().X-b.Hip.X, b.root().Z-b.Hip.Z)
	neck := func(m float64) float64 { return 1 + m*b.tall/length }
	return b.flesh(b.Hip, b.root(), []station{
		{-0.13, 0.05, 0.03}, {0, 0.098, 0.075}, {0.25, 0.10, 0.08}, {0.5, 0.11, 0.86 * d},
		{0.75, 0.104, 0.98 * d}, {0.92, 0.088, 0.80 * d}, {neck(0.058), 0.062, 0.050},
	})
}

// thigh runs from hip to knee; shorts covers its first part.
func (b *person) thigh() draw.Shape {
	return b.flesh(b.Hip, b.Knee, []station{
		{-0.15, 0.05, 0.05}, {0, 0.083, 0.083}, {0.3, 0.080, 0.080}, {0.65, 0.068, 0.068}, {0.95, 0.050, 0.052}, {1.09, 0.024, 0.026},
	})
}

func (b *person) shorts() draw.Shape {
	p, q := b.at(b.Hip), b.at(b.Knee)
	right := p.Unit(q).Turned().Times(-1)
	edge := func(t, w float64) Point { return p.Toward(q, t).Add(right.Times(b.px(w))) }
	return draw.Blob(edge(-0.16, 0.05), edge(-0.02, 0.086), edge(0.22, 0.085), edge(0.45, 0.078), edge(0.475, 0.06),
		edge(0.47, 0), edge(0.475, -0.06), edge(0.45, -0.078), edge(0.22, -0.085), edge(-0.02, -0.086), edge(-0.16, -0.05))
}

// shank runs from knee to ankle; the calf lies behind, towards the bow.
func (b *person) shank() draw.Shape {
	return b.flesh(b.Knee, b.Ankle, []station{
		{-0.09, 0.020, 0.022}, {0, 0.048, 0.050}, {0.14, 0.049, 0.050}, {0.32, 0.047, 0.064}, {0.62, 0.038, 0.048}, {1, 0.034, 0.034}, {1.1, 0.025, 0.025},
	})
}

// shoe is the foot on the plate: the heel's part turns with the heel about the
// ball, the toes stay.
func (b *person) shoe() draw.Shape {
	heel, ball, ankle := b.at(b.Heel), b.at(b.Ball), b.at(b.Ankle)
	sole := heel.Unit(ball)
	up := sole.Turned()
	toes := plane.Direction(b.plate)
	off := toes.Turned()
	foot := ball.Sub(heel).Norm() / ballShare
	toe := foot * (1 - ballShare)
	shank := ankle.Unit(b.at(b.Knee))
	aside := shank.Turned().Times(-1)
	h := b.px(0.01)
	return draw.Blob(
		heel.Sub(sole.Times(1.8*h)), heel.Sub(sole.Times(2.6*h)).Add(up.Times(2.6*h)), heel.Sub(sole.Times(1.2*h)).Add(up.Times(5.2*h)),
		ankle.Sub(aside.Times(3.7*h)).Add(shank.Times(0.5*h)), ankle.Sub(aside.Times(3.9*h)).Add(shank.Times(2.5*h)),
		ankle.Add(aside.Times(4.1*h)).Add(shank.Times(2*h)), ankle.Add(aside.Times(5*h)).Sub(shank.Times(1.5*h)),
		heel.Toward(ball, 0.72).Add(up.Times(7*h)), ball.Add(off.Times(5.2*h)),
		ball.Add(toes.Times(0.6*toe)).Add(off.Times(4*h)), ball.Add(toes.Times(toe)).Add(off.Times(2*h)),
		ball.Add(toes.Times(toe)), ball, heel.Toward(ball, 0.5), heel,
	)
}

// elbow is where the arm bends: straight at the catch; at the finish behind
// the line from shoulder to hand, both bones shortened since the elbows stand
// out sideways.
func (b *person) elbow() Joint {
	s, h := b.Shoulder, b.Hand
	middle := Joint{(s.X + h.X) / 2, (s.Z + h.Z) / 2}
	if !b.bent {
		return middle
	}
	d := math.Hypot(h.X-s.X, h.Z-s.Z)
	flare := 0.13 * b.tall
	bone2 := b.arm*b.arm/4 - flare*flare
	off := math.Sqrt(max(0, bone2-d*d/4))
	// The normal of shoulder→hand that points to the bow.
	nx, nz := (h.Z-s.Z)/d, -(h.X-s.X)/d
	if nx > 0 {
		nx, nz = -nx, -nz
	}
	return Joint{middle.X + off*nx, middle.Z + off*nz}
}

// upperArm and forearm overlap at the elbow; one path of both shows no seam.
func (b *person) armParts() (upper, fore draw.Shape) {
	e := b.elbow()
	upper = b.flesh(b.Shoulder, e, []station{
		{-0.16, 0.022, 0.022}, {0, 0.052, 0.052}, {0.3, 0.047, 0.047}, {0.7, 0.041, 0.041}, {1, 0.036, 0.036}, {1.1, 0.018, 0.018},
	})
	fore = b.flesh(e, b.Hand, []station{
		{-0.1, 0.018, 0.018}, {0, 0.036, 0.036}, {0.25, 0.041, 0.041}, {0.6, 0.034, 0.034}, {0.88, 0.025, 0.025}, {1, 0.026, 0.026},
	})
	return upper, fore
}

// hand is the fist around the handle.
func (b *person) hand() draw.Shape {
	at := b.at(b.Hand)
	along := b.at(b.elbow()).Unit(at)
	side := along.Turned()
	point := func(x, y float64) Point { return at.Add(along.Times(b.px(x))).Add(side.Times(b.px(y))) }
	return draw.Blob(point(-0.045, 0.024), point(-0.01, 0.036), point(0.03, 0.033), point(0.047, 0.008),
		point(0.043, -0.022), point(0.015, -0.034), point(-0.025, -0.030), point(-0.05, -0.024))
}

// skull places shares of the head's height: x towards the face, y up, from the
// head's middle. The head tilts by a third of the trunk's lean.
type skull struct {
	middle Point
	h      float64 // height, px
	tilt   float64 // degrees
}

func (k skull) at(x, y float64) Point {
	sin, cos := math.Sincos(plane.Rad(k.tilt))
	return k.middle.Add(Point{X: x*cos + y*sin, Y: x*sin - y*cos}.Times(k.h))
}

func (k skull) blob(points [][2]float64) draw.Shape {
	var out []Point
	for _, p := range points {
		out = append(out, k.at(p[0], p[1]))
	}
	return draw.Blob(out...)
}

func (b *person) skull() skull {
	h := headShare * b.stature
	// Sitting upright, the top of the head stands at the sitting height.
	length := math.Hypot(b.root().X-b.Hip.X, b.root().Z-b.Hip.Z)
	up := max(0.65*h, b.sitting-b.Hip.Z-length-h/2)
	tilt := b.LeanDeg / 3
	root := b.root()
	sin, cos := math.Sincos(plane.Rad(neckLean(b.LeanDeg)))
	middle := Joint{root.X + up*sin + 0.01*b.tall, root.Z + up*cos}
	return skull{b.at(middle), h * b.scale, tilt}
}

// neckLean is the neck's own angle: half the trunk's when it leans forward, an
// eighth when it lies back, since the rower goes on looking astern.
func neckLean(lean float64) float64 {
	if lean < 0 {
		return lean / 8
	}
	return lean / 2
}

// face is the profile of the head.
func (k skull) face() draw.Shape {
	return k.blob([][2]float64{
		{0, 0.5}, {0.19, 0.46}, {0.32, 0.35}, {0.365, 0.2}, {0.365, 0.09}, {0.345, 0.04}, {0.38, -0.05}, {0.425, -0.115},
		{0.40, -0.145}, {0.36, -0.16}, {0.37, -0.2}, {0.375, -0.225}, {0.355, -0.25}, {0.365, -0.28}, {0.345, -0.32}, {0.35, -0.38}, {0.31, -0.45}, {0.22, -0.455},
		{0.06, -0.37}, {-0.04, -0.26}, {-0.2, -0.3}, {-0.33, -0.2}, {-0.41, -0.02}, {-0.425, 0.15}, {-0.37, 0.34}, {-0.2, 0.46},
	})
}

// neck runs from the root into the head.
func (b *person) neck(k skull) draw.Shape {
	w := b.px(0.054)
	p, q := b.at(b.root()), k.at(-0.06, -0.2)
	p = p.Add(q.Unit(p).Times(b.px(0.05)))
	right := p.Unit(q).Turned().Times(-1)
	return draw.Blob(p.Sub(right.Times(1.15*w)), p.Toward(q, 0.5).Sub(right.Times(w)), q.Sub(right.Times(w)), q.Add(right.Times(w)),
		p.Toward(q, 0.5).Add(right.Times(0.95*w)), p.Add(right.Times(1.1*w)))
}

func (k skull) hair() draw.Shape {
	return k.blob([][2]float64{
		{0, 0.515}, {0.2, 0.475}, {0.325, 0.36}, {0.33, 0.30}, {0.24, 0.27}, {0.2, 0.17}, {0.13, 0.12}, {0.11, -0.02}, {0.07, -0.05},
		{0.04, 0.06}, {-0.06, 0.07}, {-0.12, -0.02}, {-0.12, -0.14}, {-0.2, -0.24}, {-0.31, -0.22}, {-0.425, -0.03}, {-0.44, 0.15}, {-0.385, 0.35}, {-0.21, 0.475},
	})
}

func (k skull) ear() draw.Shape {
	return k.blob([][2]float64{{-0.02, 0.05}, {0.04, 0.02}, {0.035, -0.05}, {-0.01, -0.10}, {-0.055, -0.03}, {-0.06, 0.03}})
}

// body is the whole person, far parts first. The hand comes last, apart,
// since it is painted over the handle.
func (b *person) body() (parts []draw.Shape, hand draw.Shape) {
	k := b.skull()
	upper, fore := b.armParts()
	hand = b.hand()
	return []draw.Shape{
		draw.Join("fig-limb", draw.Head, k.face(), b.neck(k)),
		k.hair().As("fig-hair", draw.Head),
		k.ear().As("fig-ear", draw.Head),
		b.trunk().As("fig-suit", draw.Trunk),
		b.shank().As("fig-limb", draw.Shank),
		b.shoe().As("fig-hair", draw.Shoe),
		b.thigh().As("fig-limb", draw.Thigh),
		b.shorts().As("fig-suit", draw.Thigh),
		draw.Join("fig-limb", draw.Arm, upper, fore, hand),
	}, hand.As("fig-limb", draw.Arm)
}

// shadow is the body in one tone, for the other end of the stroke.
func (b *person) shadow() draw.Shape {
	k := b.skull()
	upper, fore := b.armParts()
	return draw.Join("fig-ghost", draw.Ghost, k.face(), b.neck(k), b.trunk(), b.shank(), b.shoe(), b.thigh(), upper, fore, b.hand())
}
