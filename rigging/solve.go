package rigging

import "math"

// Point is a place in the vertical plane along the boat: X towards the stern
// from the line of work, Z up from the lowest point of the seat, m.
//
// The package's frame has its origin on the line that joins the pins, on the
// centreline of the boat, at the height of the lowest point of the seat; x points to
// the stern (the rower faces it), y from the centreline towards the pin in question,
// and z up.
type Point struct{ X, Z float64 }

// Pose holds the joints of a rower at one end of the stroke. Elbows are left
// to whoever draws them; Hand is the hand that limits the stroke.
type Pose struct {
	Heel, Ball, Ankle, Knee, Hip, Shoulder, Hand Point
}

// OarArc is the arc of one oar.
type OarArc struct {
	Side          Side
	Catch, Finish Angle
	Handle        Handle // height of this oar's hand over the seat
}

// Stroke is the solution of the forward problem: what one body does with one
// rig. All angles follow the package's sign convention.
type Stroke struct {
	// Catch and Finish belong to the oar that meets its limit first.
	Catch, Finish Angle
	// Oars holds the arc of each oar: port and starboard in sculling.
	// Use Arcs for the ones that count.
	Oars     [2]OarArc
	oarCount int

	AtCatch, AtFinish Pose

	SeatTravel         float64 // of the hip from catch to finish, m
	KneeFlexion        Angle   // at the catch, from the straight leg
	DorsiflexionNeeded Angle   // of the ankle at the catch with the heel down
	HeelLift           Angle   // at the catch, about the ball of the foot
	TrunkThigh         Angle   // at the catch: 90° + the thigh's elevation + the lean
	ArmSlope           Angle   // at the catch: how far the arms point below the horizontal
	Rotation           Angle   // of the shoulders at the catch; zero in sculling
	HandleArc          float64 // way of the handle's middle, R_in·(finish − catch), m
	WorkThrough        float64 // how far the seat's front edge passes the line of work at the catch, m
	HandsApart         float64 // sculling: between the hands at the catch, m
	HandleEndsApart    float64 // sculling: between the handle ends at the finish, m; negative when they cross
}

// Arc returns the angle from catch to finish.
func (s *Stroke) Arc() Angle { return s.Finish - s.Catch }

// Arcs returns the arc of each oar.
func (s *Stroke) Arcs() []OarArc { return s.Oars[:s.oarCount] }

// seatFrontFromHip is how far the seat's front edge lies sternwards of the hip
// joint, m; engineering judgement from the depth of a racing seat.
const seatFrontFromHip = 0.12

// maxOarAngle bounds the arc: nearer to the hull than this an oar propels
// nothing and its gearing, which grows with 1/cos, has no meaning; engineering
// judgement.
const maxOarAngle = 85 * Degree

// solve fills s. It allocates nothing unless it fails, since fitting and
// uncertainty call it many times.
func (s *Stroke) solve(setup *Setup, body *Body, posture *Posture, handle Handle) error {
	if err := s.poseLegs(setup, body, posture); err != nil {
		return err
	}
	lv := setup.Levers()
	s.setOars(setup, &lv, handle)
	for i := range s.Arcs() {
		if err := s.reach(setup, body, posture, &lv, &s.Oars[i]); err != nil {
			return err
		}
	}
	return s.summarise(setup, body, posture, &lv)
}

// setOars lists the oars with the height of the hand on each. Equal depth of
// the blades makes the hand of the higher gate stand higher by the difference
// times 1 + R_in/R_out. The lower gate is the reference, whichever side it is on,
// so that the heights have a kink at a difference of 0, where the sides change
// parts.
func (s *Stroke) setOars(setup *Setup, lv *Levers, handle Handle) {
	if !setup.Class.Scull {
		s.oarCount = 1
		s.Oars[0] = OarArc{Side: setup.Side, Handle: handle}
		return
	}
	s.oarCount = 2
	port, star := OarArc{Side: Port, Handle: handle}, OarArc{Side: Starboard, Handle: handle}
	upper := &star
	if setup.GateDifference < 0 {
		upper = &port
	}
	rise := math.Abs(setup.GateDifference) * (1 + lv.Inner/lv.Outer)
	upper.Handle.Catch += rise
	upper.Handle.Finish += rise
	s.Oars = [2]OarArc{port, star}
}

// poseLegs places foot, knee, hip and shoulder at both ends.
func (s *Stroke) poseLegs(setup *Setup, body *Body, posture *Posture) error {
	s.AtCatch = footOn(setup, body, s.lift(setup, posture))
	s.AtFinish = footOn(setup, body, 0)
	if err := s.seatAtCatch(body, posture); err != nil {
		return err
	}
	return s.seatAtFinish(body, posture)
}

// lift returns the angle by which the heel leaves the plate at the catch. The
// ankle gives way first and the heel leaves only beyond it, so that catch against
// stretcher angle has a kink where the ankle's range ends (with the usual posture
// at 35°): that is the body's, and is not smoothed.
func (s *Stroke) lift(setup *Setup, posture *Posture) Angle {
	s.DorsiflexionNeeded = setup.PlateAngle + 90*Degree - posture.Shin
	s.HeelLift = max(0, s.DorsiflexionNeeded-posture.Dorsiflexion)
	return s.HeelLift
}

// footOn returns a pose with the foot placed on the plate, the heel lifted
// about the ball of the foot.
func footOn(setup *Setup, body *Body, lift Angle) Pose {
	sin, cos := setup.PlateAngle.sincos()
	heel := Point{setup.HeelToPin, -setup.HeelDepth}
	ball := Point{heel.X + body.Ball*cos, heel.Z + body.Ball*sin}
	if lift > 0 {
		sin, cos = (setup.PlateAngle - lift).sincos()
		heel = Point{ball.X - body.Ball*cos, ball.Z - body.Ball*sin}
	}
	ankle := Point{
		heel.X + body.AnkleAlong*cos - body.AnkleOff*sin,
		heel.Z + body.AnkleAlong*sin + body.AnkleOff*cos,
	}
	return Pose{Heel: heel, Ball: ball, Ankle: ankle}
}

func (s *Stroke) seatAtCatch(body *Body, posture *Posture) error {
	p := &s.AtCatch
	sin, cos := posture.Shin.sincos()
	p.Knee = Point{p.Ankle.X + body.Shank*cos, p.Ankle.Z + body.Shank*sin}
	rise := p.Knee.Z - body.HipHeight
	flat := body.Thigh*body.Thigh - rise*rise
	if flat <= 0 {
		return &ReachError{LimitKnee}
	}
	p.Hip = Point{p.Knee.X - math.Sqrt(flat), body.HipHeight}
	sin, cos = posture.Lean.sincos()
	p.Shoulder = Point{p.Hip.X + body.Trunk*sin + posture.Protraction, p.Hip.Z + body.Trunk*cos}
	elevation := Angle(math.Atan2(rise, math.Sqrt(flat)))
	s.TrunkThigh = 90*Degree + elevation + posture.Lean
	// Between knee→ankle and knee→hip lies Shin − elevation; a straight leg
	// has 180° there.
	s.KneeFlexion = 180*Degree - posture.Shin + elevation
	return nil
}

func (s *Stroke) seatAtFinish(body *Body, posture *Posture) error {
	p := &s.AtFinish
	// Law of cosines for the straight line from ankle to hip.
	leg2 := body.Shank*body.Shank + body.Thigh*body.Thigh - 2*body.Shank*body.Thigh*posture.FinishKnee.cos()
	rise := body.HipHeight - p.Ankle.Z
	flat := leg2 - rise*rise
	if flat <= 0 {
		return &ReachError{LimitLegs}
	}
	p.Hip = Point{p.Ankle.X - math.Sqrt(flat), body.HipHeight}
	sin, cos := posture.Layback.sincos()
	p.Shoulder = Point{p.Hip.X - body.Trunk*sin, p.Hip.Z + body.Trunk*cos}
	p.Knee = kneeAbove(p.Ankle, p.Hip, body)
	return nil
}

// kneeAbove returns the upper of the two places where shank and thigh meet.
func kneeAbove(ankle, hip Point, body *Body) Point {
	dx, dz := ankle.X-hip.X, ankle.Z-hip.Z
	d := math.Hypot(dx, dz)
	along := (d*d + body.Thigh*body.Thigh - body.Shank*body.Shank) / (2 * d)
	off := math.Sqrt(max(0, body.Thigh*body.Thigh-along*along))
	return Point{hip.X + (along*dx-off*dz)/d, hip.Z + (along*dz+off*dx)/d}
}

// reach sets the catch and the finish of one oar.
func (s *Stroke) reach(setup *Setup, body *Body, posture *Posture, lv *Levers, oar *OarArc) error {
	t, err := s.farthestCatch(setup, body, posture, lv, oar.Handle.Catch)
	if err != nil {
		return err
	}
	oar.Catch = Angle(-t)
	return s.draw(body, posture, lv, oar)
}

// farthestCatch returns how far towards the catch the straight arm takes a hand
// at the given height, rad, from the shoulder of AtCatch.
func (s *Stroke) farthestCatch(setup *Setup, body *Body, posture *Posture, lv *Levers, hand float64) (float64, error) {
	drop := s.AtCatch.Shoulder.Z - hand
	flat2 := body.Arm*body.Arm - drop*drop
	if flat2 <= 0 {
		return 0, &ReachError{LimitArmHeight}
	}
	if setup.Class.Scull {
		return farthest(lv.Hand, s.AtCatch.Shoulder.X, setup.PinOut()-body.HalfShoulder, flat2)
	}
	return farthestTurned(setup, body, posture, lv.Hand, s.AtCatch.Shoulder.X, flat2)
}

// farthest returns the largest angle t towards the catch at which a hand at
// (r·sin t, −r·cos t) from the pin lies within the flat distance √flat2 of a
// shoulder at (x, −h): it solves x·sin t + h·cos t = c in closed form.
func farthest(r, x, h, flat2 float64) (float64, error) {
	c := (r*r + x*x + h*h - flat2) / (2 * r)
	amplitude := math.Hypot(x, h)
	if c > amplitude {
		return 0, &ReachError{LimitArmReach}
	}
	if c < -amplitude {
		return 0, &ReachError{LimitNoCatch}
	}
	return math.Atan2(x, h) + math.Acos(c/amplitude), nil
}

// farthestTurned is farthest for sweep, where the shoulders turn with the oar:
// by rotationGain·t until RotationMax. With the rotation held it is the same
// closed form, so it tries the full rotation first and else lets the two
// settle by Newton's method on the squared distance.
// The shoulders stop turning at RotationMax: what the catch gains from a setting
// has a kink there (for the usual body in an eight near 40 cm from pins to heel),
// which is the body's.
func farthestTurned(setup *Setup, body *Body, posture *Posture, r, x, flat2 float64) (float64, error) {
	full := posture.RotationMax
	sin, cos := full.sincos()
	t, err := farthest(r, x+body.HalfShoulder*sin, setup.Spread-posture.SideLean+body.HalfShoulder*cos, flat2)
	if err != nil {
		return 0, err
	}
	if rotationGain*t >= float64(full) {
		return t, nil
	}
	return settleRotation(setup, body, posture, r, x, flat2, t)
}

// rotationTolerance ends the iteration of settleRotation, rad; numerical: as near
// as a float64 comes to an angle of about one.
const rotationTolerance = 1e-13

func settleRotation(setup *Setup, body *Body, posture *Posture, r, x, flat2, t float64) (float64, error) {
	for range 50 {
		square, slope := handDistance2(setup, body, posture, r, x, t)
		if slope <= 0 {
			return 0, &ReachError{LimitArmReach}
		}
		step := (square - flat2) / slope
		t -= step
		if math.Abs(step) < rotationTolerance {
			return t, nil
		}
	}
	return 0, &ReachError{LimitArmReach}
}

// handDistance2 returns the squared flat distance from the turned shoulder to a
// hand at oar angle t towards the catch, and its slope in t.
func handDistance2(setup *Setup, body *Body, posture *Posture, r, x, t float64) (square, slope float64) {
	b := body.HalfShoulder
	st, ct := math.Sincos(t)
	sp, cp := math.Sincos(rotationGain * t)
	dx := r*st - x - b*sp
	dy := setup.Spread - r*ct - posture.SideLean + b*cp
	return dx*dx + dy*dy, 2 * (dx*(r*ct-rotationGain*b*cp) + dy*(r*st-rotationGain*b*sp))
}

// draw sets the finish of one oar: the handle stands off the torso's front by
// the gap.
func (s *Stroke) draw(body *Body, posture *Posture, lv *Levers, oar *OarArc) error {
	x := s.drawX(body, posture, oar.Handle.Finish)
	sin := -x / lv.Hand
	if sin >= 1 {
		return &ReachError{LimitNoFinish}
	}
	if sin <= -1 {
		return &ReachError{LimitNoArc}
	}
	oar.Finish = Angle(math.Asin(sin))
	return nil
}

// drawX returns where along the boat the handle stops at height z, m.
func (s *Stroke) drawX(body *Body, posture *Posture, z float64) float64 {
	hip := s.AtFinish.Hip
	return hip.X - posture.Layback.tan()*(z-hip.Z) + body.HalfDepth/posture.Layback.cos() + posture.FinishGap
}

// summarise takes the limiting oar of each end and derives the rest.
func (s *Stroke) summarise(setup *Setup, body *Body, posture *Posture, lv *Levers) error {
	first, last := &s.Oars[0], &s.Oars[0]
	for i := range s.Arcs() {
		if s.Oars[i].Catch > first.Catch {
			first = &s.Oars[i]
		}
		if s.Oars[i].Finish < last.Finish {
			last = &s.Oars[i]
		}
	}
	s.Catch, s.Finish = first.Catch, last.Finish
	if err := s.checkArc(); err != nil {
		return err
	}
	s.AtCatch.Hand = Point{-lv.Hand * s.Catch.sin(), first.Handle.Catch}
	s.AtFinish.Hand = Point{-lv.Hand * s.Finish.sin(), last.Handle.Finish}
	s.SeatTravel = s.AtCatch.Hip.X - s.AtFinish.Hip.X
	s.WorkThrough = s.AtCatch.Hip.X + seatFrontFromHip
	s.HandleArc = lv.Inner * float64(s.Arc())
	s.summariseArms(setup, body, posture)
	return nil
}

func (s *Stroke) checkArc() error {
	switch {
	case s.Catch < -maxOarAngle:
		return &ReachError{LimitNoCatch}
	case s.Finish > maxOarAngle:
		return &ReachError{LimitNoFinish}
	case s.Finish <= s.Catch:
		return &ReachError{LimitNoArc}
	}
	return nil
}

func (s *Stroke) summariseArms(setup *Setup, body *Body, posture *Posture) {
	p := &s.AtCatch
	s.ArmSlope = Angle(math.Asin((p.Shoulder.Z - p.Hand.Z) / body.Arm))
	if !setup.Class.Scull {
		s.Rotation = min(-rotationGain*s.Catch, posture.RotationMax)
		return
	}
	lv := setup.Levers()
	s.HandsApart = setup.Span - 2*lv.Inner*s.Catch.cos()
	// The handle's end lies half a handle beyond its middle.
	s.HandleEndsApart = setup.Span - 2*(lv.Inner+scullHalfHandle)*s.Finish.cos()
}
