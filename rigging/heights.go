package rigging

import "math"

// Where the blade stands, for the height of the handle. Vertical angle 0° has
// the blade's middle at the water's level; the blade is covered at about −3°
// and recovers at about +3° (V. Kleshnev, Rowing Biomechanics Newsletters,
// October 2009 and August 2015).
const (
	entryVertical    = 0 * Degree
	coveredVertical  = -3 * Degree
	recoveryVertical = 3 * Degree
)

// waterplaneShare is the waterplane's area as a share of length times beam at
// the waterline; engineering judgement, 0.65 to 0.75 being plausible.
const waterplaneShare = 0.70

// freshWater is the density of fresh water at 15 °C, kg/m³; standard tables
// (from memory). The stroke model rounds it to 1000.
const freshWater = 999.1

// DefaultSeatOverWater is the height of the seat's lowest point over the water
// under the crew that the hull is built for, m; engineering judgement from a
// gate 24 cm over the water and 16.5 cm over the seat.
const DefaultSeatOverWater = 0.075

// gearMass is what each rower adds besides the body: oars, clothes, shoes, kg;
// engineering judgement.
const gearMass = 3

// defaultCoxMass is the mass assumed of a coxswain, kg: the least mass under
// the current rules of the international federation (from memory).
const defaultCoxMass = 55

// Displacement returns the mass afloat in kg of a boat of class c with its
// least hull mass, a crew of rowers of mean mass rowerMass each with their
// oars, and a coxswain where there is one.
func (c Class) Displacement(rowerMass float64) float64 {
	d := c.MinHullMass + float64(c.Rowers)*(rowerMass+gearMass)
	if c.Coxed {
		d += defaultCoxMass
	}
	return d
}

// SinkagePerKilogram returns how much deeper the boat lies for each kilogram
// more on board, m/kg, from the waterplane's area.
func (c Class) SinkagePerKilogram() float64 {
	return 1 / (freshWater * waterplaneShare * c.WaterlineLength * c.WaterlineBeam)
}

// floatsAt returns the displacement at which the seat stands SeatOverWater over
// the water, kg.
func (s *Setup) floatsAt() float64 {
	if s.BuiltFor > 0 {
		return s.Class.Displacement(s.BuiltFor)
	}
	return s.Class.ReferenceMass
}

// SeatOverWaterAt returns the height of the seat's lowest point over the water
// at a displacement in kg, m.
func (s *Setup) SeatOverWaterAt(displacement float64) float64 {
	return s.SeatOverWater - (displacement-s.floatsAt())*s.Class.SinkagePerKilogram()
}

// gateAxis returns the height of the shaft's axis at the lower gate over the
// seat, m. The heights of a sculling seat are those of the lower hand, so that
// they bend where the gates stand level and the other hand becomes the lower.
func (s *Setup) gateAxis() float64 { return s.lowerGate() + shaftOverGate }

// lowerGate returns the height of the lower gate's bearing face over the seat, m.
func (s *Setup) lowerGate() float64 {
	if s.Class.Scull {
		return s.GateHeight + min(0, s.GateDifference)
	}
	return s.GateHeight
}

// sine keeps the arguments of arcsines in their range, so that no oar stands
// beyond upright.
func sine(v float64) float64 { return min(1, max(-1, v)) }

// reach returns the distance from the gate to the blade's middle, m.
func (lv *Levers) reach() float64 {
	return math.Sqrt(lv.Outer*lv.Outer + lv.BladeDrop*lv.BladeDrop)
}

// dip returns the sine of the angle by which the line from the gate to the
// blade's middle falls with the middle at vertical angle v, where the shaft
// crosses the gate over m above the water: sin(level − v), with the middle at
// the water at level, expanded because fitting evaluates it often.
func dip(over, reach float64, v Angle) (sin, cos float64) {
	level := sine(over / reach)
	flat := math.Sqrt(1 - level*level)
	sv, cv := v.sincos()
	return level*cv - flat*sv, flat*cv + level*sv
}

// fall returns the sine of the shaft's decline from handle to blade that brings
// the blade's middle to vertical angle v: the drop of the middle lets the shaft
// lie flatter than the line to it.
func (lv *Levers) fall(over float64, v Angle) float64 {
	reach := lv.reach()
	sin, cos := dip(over, reach, v)
	return (sin*lv.Outer - cos*lv.BladeDrop) / reach
}

// HandleAt returns the height of the hand over the seat that puts the blade's
// middle at vertical angle v with the seat's lowest point seatOverWater m over
// the water; in sculling that of the lower hand.
func (s *Setup) HandleAt(v Angle, seatOverWater float64) float64 {
	lv := s.Levers()
	axis := s.gateAxis()
	return axis + lv.Hand*lv.fall(axis+seatOverWater, v)
}

// JustCovered returns the vertical angle at which the upper edge of the squared
// blade lies at the water's level. A hatchet of the usual height is so covered
// at −3.5° in sculling and −3.1° in sweep; the convention of −3° (see
// [Setup.HandleHeights]) is rounded and holds for both.
func (s *Setup) JustCovered(seatOverWater float64) Angle {
	lv := s.Levers()
	reach, over := lv.reach(), s.gateAxis()+seatOverWater
	return Angle(math.Asin(sine(over/reach)) - math.Asin(sine((over+lv.BladeDepth/2)/reach)))
}

// HandleHeights returns the heights of the hand over the seat with the blade
// entering the water at the catch and covered by the convention of −3° at the
// finish.
func (s *Setup) HandleHeights(seatOverWater float64) Handle {
	return Handle{
		Catch:  s.HandleAt(entryVertical, seatOverWater),
		Finish: s.HandleAt(coveredVertical, seatOverWater),
	}
}

// BladeOverWater returns the height of the blade's middle over the water at
// vertical angle v, m; negative under water.
func (s *Setup) BladeOverWater(v Angle, seatOverWater float64) float64 {
	lv := s.Levers()
	reach, over := lv.reach(), s.gateAxis()+seatOverWater
	sin, _ := dip(over, reach, v)
	return over - reach*sin
}

// Body side of the heights.
const (
	// The tenth rib stands 283 ± 21 mm (men) and 284 ± 19 mm (women) over
	// the seat of people sitting upright; ANSUR II as in population.go.
	// Stature explains almost none of the spread. Here are the means of both.
	ribHeight   = 0.2835
	ribHeightSD = 0.020 // ANSUR II, as above
	// ribFront is how much higher than the tenth rib, which is felt at the
	// side, the handle meets the body in front, at the lower end of the
	// breastbone, m; engineering judgement, set so that the 19 cm that
	// V. Nolte, "A primer on sweep rigging", gives heavy men suit men of 95
	// to 100 kg. The tenth rib itself would ask for gates far lower than
	// any boat has.
	ribFront = 0.14
	// handOverThigh is what the hands need over the thighs, handle's middle
	// to thigh, m; engineering judgement.
	handOverThigh = 0.04
)

// armSlope is how far the arms should point below the horizontal early in the
// drive: about 10° by V. Nolte, "A primer on sweep rigging"; the tolerance is
// engineering judgement.
const (
	armSlope          = 10 * Degree
	armSlopeTolerance = 10 * Degree
)

// drawHeight returns the height over the seat at which the hands meet the body
// at the finish, m, with its standard deviation: the measured one if there is
// one, or else the lower ribs in front, laid back about the hip.
func (c *Case) drawHeight() (height, sd float64) {
	if c.DrawHeight > 0 {
		return c.DrawHeight, c.Tape
	}
	cos := c.Posture.Layback.cos()
	hip := c.Body.Body.HipHeight
	return hip + (ribHeight+ribFront-hip)*cos, ribHeightSD * cos
}

// Bound names what sets one end of the window of gate heights.
type Bound string

// The bounds of the window of gate heights.
const (
	BoundCovered Bound = "blade_covered"   // higher, and the blade is not covered where the hands meet the body
	BoundThighs  Bound = "clear_of_thighs" // lower, and the hands meet the thighs with the blade clear of the water
	BoundArmHigh Bound = "arm_slope_level" // higher, and the arms point above the horizontal early in the drive
	BoundArmLow  Bound = "arm_slope_steep" // lower, and the arms point too far down early in the drive
)

// GateWindow is the range of heights of the lower gate over the seat, m, that
// suits the body. Low exceeds High when no height satisfies every bound.
type GateWindow struct {
	Low, High     float64
	LowBy, HighBy Bound
	// LowSD and HighSD are the standard deviations of the two ends, and SD
	// the larger of them, m.
	LowSD, HighSD, SD float64
	// Estimated is true when the upper end rests on a draw height that
	// nobody has measured: the window then says what to look at, and is no
	// reason to move a gate to one of its ends.
	Estimated bool
}

// Verdict says where height lies: −1 below, 0 inside, +1 above the window.
func (w *GateWindow) Verdict(height float64) int { return w.verdict(height, 0) }

// clearlyOut is how many standard deviations of its ends a gate must lie
// outside the window before it counts as out; engineering judgement.
const clearlyOut = 2

// Out reports whether height lies outside the window by more than its ends can be
// off: −1 below, 0 not clearly out, +1 above. A gate is worth a spanner only when
// it is out by this.
func (w *GateWindow) Out(height float64) int { return w.verdict(height, clearlyOut) }

// verdict reports where height lies, ends moved outwards by so many of their
// standard deviations. Where no height satisfies every bound, only what lies
// beyond both ends is out.
func (w *GateWindow) verdict(height, spreads float64) int {
	below, above := w.Low-spreads*w.LowSD, w.High+spreads*w.HighSD
	if w.Low > w.High {
		below, above = w.High-spreads*w.HighSD, w.Low+spreads*w.LowSD
	}
	switch {
	case height < below:
		return -1
	case height > above:
		return +1
	}
	return 0
}

// Heights holds the heights of one seat over the seat's lowest point unless
// they are said to be over the water, m. Hands are those of the lower gate.
type Heights struct {
	SeatOverWater float64 // under this crew
	GateOverWater float64 // lower bearing face of the lower gate

	HandleEntry    float64 // hand with the blade's middle at the water's level
	HandleCovered  float64 // hand with the blade covered, at −3°
	HandleMidDrive float64 // hand with the oar square to the hull and the blade's upper edge at the water
	HandleRecovery float64 // hand with the blade carried back at +3°
	BladeRecovery  float64 // blade's middle over the water at +3°
	JustCovered    Angle   // vertical angle with the blade's upper edge at the water

	DrawHeight   float64 // where the hands meet the body
	DrawHeightSD float64
	// DrawMeasured is false when DrawHeight is an estimate from the
	// reference population, fit to be looked at but not to be worked to.
	DrawMeasured bool
	ThighTop     float64

	// HandlePerGate is how much the hand rises for each metre of gate at
	// equal depth of the blade.
	HandlePerGate float64
	ArmSlope      Angle // early in the drive, blade covered, below the horizontal
	Window        GateWindow
}

// Heights returns the heights of the seat. stroke is the case's own solution.
func (c *Case) Heights(stroke *Stroke) Heights {
	s := &c.Setup
	over := c.seatOverWater()
	draw, drawSD := c.drawHeight()
	lv := s.Levers()
	h := Heights{
		SeatOverWater: over, GateOverWater: s.lowerGate() + over,
		HandleEntry: s.HandleAt(entryVertical, over), HandleCovered: s.HandleAt(coveredVertical, over),
		HandleRecovery: s.HandleAt(recoveryVertical, over), BladeRecovery: s.BladeOverWater(recoveryVertical, over),
		JustCovered: s.JustCovered(over), DrawHeight: draw, DrawHeightSD: drawSD, DrawMeasured: c.DrawHeight > 0,
		ThighTop:      c.Body.ThighTop,
		HandlePerGate: 1 + lv.Hand/lv.Outer,
	}
	h.HandleMidDrive = s.HandleAt(h.JustCovered, over)
	h.ArmSlope = slopeTo(stroke.AtCatch.Shoulder.Z, h.HandleCovered, c.Body.Body.Arm)
	h.Window = c.gateWindow(stroke.AtCatch.Shoulder.Z, &h)
	return h
}

// slopeTo returns how far a straight arm points below the horizontal.
func slopeTo(shoulder, hand, arm float64) Angle {
	return Angle(math.Asin(min(1, max(-1, (shoulder-hand)/arm))))
}

// shoulderHeightSD is how far a shoulder at the catch may stand from where the
// default posture has it, m; engineering judgement.
const shoulderHeightSD = 0.02

// end is one end of the window: the gate height that puts the hand at a height
// that is known to a standard deviation, m.
type end struct {
	gate float64
	by   Bound
	sd   float64
}

// gateWindow returns the gate heights that leave the blade covered where the
// hands meet the body, the hands clear of the thighs on the recovery, and the
// arms' slope early in the drive within its tolerance.
func (c *Case) gateWindow(shoulder float64, h *Heights) GateWindow {
	at := func(hand float64, v Angle, by Bound, sd float64) end {
		return end{gate: c.gateFor(hand, v), by: by, sd: sd / h.HandlePerGate}
	}
	arm := func(slope Angle) float64 { return shoulder - c.Body.Body.Arm*slope.sin() }
	high := at(h.DrawHeight, coveredVertical, BoundCovered, h.DrawHeightSD)
	if level := at(arm(armSlope-armSlopeTolerance), coveredVertical, BoundArmHigh, shoulderHeightSD); level.gate < high.gate {
		high = level
	}
	low := at(h.ThighTop+handOverThigh, recoveryVertical, BoundThighs, c.Body.ThighTopSD)
	if steep := at(arm(armSlope+armSlopeTolerance), coveredVertical, BoundArmLow, shoulderHeightSD); steep.gate > low.gate {
		low = steep
	}
	return GateWindow{
		Low: low.gate, LowBy: low.by, LowSD: low.sd,
		High: high.gate, HighBy: high.by, HighSD: high.sd,
		SD: max(low.sd, high.sd), Estimated: high.by == BoundCovered && !h.DrawMeasured,
	}
}

// gateFor returns the height of the lower gate at which the hand stands at
// height with the blade's middle at vertical angle v: the inverse of HandleAt.
// The hand rises almost in proportion, so that a few secant steps settle it.
func (c *Case) gateFor(height float64, v Angle) float64 {
	s := c.Setup
	s.GateDifference = 0
	lv, over := s.Levers(), c.seatOverWater()
	perGate := 1 + lv.Hand/lv.Outer
	for range 30 {
		miss := s.HandleAt(v, over) - height
		if math.Abs(miss) < rounding {
			break
		}
		s.GateHeight -= miss / perGate
	}
	return s.GateHeight
}
