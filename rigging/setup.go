package rigging

// Setup is the rig of one seat with the oar or oars that belong to it.
type Setup struct {
	Class Class
	Side  Side // the side of a sweep seat; ignored in sculling

	// Span is the distance between the pins of a sculling seat, centre to
	// centre where they meet the rigger, m. Zero in sweep.
	Span float64
	// Spread is the distance from the centreline to the pin of a sweep seat,
	// taken at the same place, m. Zero in sculling.
	Spread float64

	OarLength float64   // along the shaft to the blade's end, m
	Inboard   float64   // handle end to the collar's bearing face, m
	Blade     BladeKind // empty: the hatchet

	// GateHeight is the height of the gate's lower bearing face above the
	// lowest point of the seat, m. In sculling it is that of the port gate.
	GateHeight float64
	// GateDifference is how much higher the starboard gate of a sculling
	// seat stands than the port gate, m; negative when it stands lower.
	GateDifference float64

	HeelToPin  float64 // horizontal, line of work to the heel, m, towards the stern
	HeelDepth  float64 // lowest point of the seat down to the heel, m
	PlateAngle Angle   // foot plate from the horizontal

	BladePitch   Angle // built into gate or oar
	SternPitch   Angle // lean of the pin towards the stern
	OutwardPitch Angle // lean of the pin away from the boat

	// SeatOverWater is the height of the seat's lowest point over the water
	// under the crew that the hull is built for, m.
	SeatOverWater float64
	// BuiltFor is the mean mass of a rower of that crew, kg. 0 stands for the
	// class's reference displacement.
	BuiltFor float64
}

// Measures of gate and handle that people do not take for each rig. They enter
// the levers of the oar, with those of the blade.
const (
	halfGate = 0.02 // m, pin centre to the gate's bearing face; common practice

	scullHalfHandle = 0.06 // m; confirmed by the arcs of Kleshnev's newsletter 121 (2011)
	sweepHalfHandle = 0.15 // m, between the two hands; from memory

	// sweepOutsideHand is the distance from the pin-side reading of the
	// inboard to the middle of the outside hand, m (the hand grips the last
	// centimetres of the handle); engineering judgement.
	sweepOutsideHand = 0.03

	// shaftOverGate is the height of the shaft's axis over the gate's lower
	// bearing face, m; engineering judgement from sleeve diameters.
	shaftOverGate = 0.022
)

// Levers holds the distances along the shaft that turn angles into ways.
type Levers struct {
	// Inner is R_in, pin to the middle of the handle, m.
	Inner float64
	// Outer is R_out, pin to the middle of the blade, m.
	Outer float64
	// Hand is the distance from the pin to the hand that limits the reach:
	// Inner in sculling, the outside hand in sweep, m.
	Hand float64
	// BladeDepth is the height of the blade across the shaft, m.
	BladeDepth float64
	// BladeDrop is how far the blade's middle lies below the shaft's line,
	// blade squared, m.
	BladeDrop float64
}

// Levers returns the levers of the seat's oars.
func (s *Setup) Levers() Levers {
	blade := s.Class.blade(s.Blade)
	lv := Levers{
		Outer:      s.Outboard() - halfGate - blade.Length/2,
		BladeDepth: blade.Height, BladeDrop: blade.Drop,
	}
	if s.Class.Scull {
		lv.Inner = s.Inboard + halfGate - scullHalfHandle
		lv.Hand = lv.Inner
		return lv
	}
	lv.Inner = s.Inboard + halfGate - sweepHalfHandle
	lv.Hand = s.Inboard - sweepOutsideHand
	return lv
}

// Outboard returns the oar's length beyond the collar, m.
func (s *Setup) Outboard() float64 { return s.OarLength - s.Inboard }

// PinOut returns the distance from the centreline to the pin, m: half the
// span in sculling, the spread in sweep.
func (s *Setup) PinOut() float64 {
	if s.Class.Scull {
		return s.Span / 2
	}
	return s.Spread
}

// Overlap holds the crossing of the handles, both ways of stating it, m.
type Overlap struct {
	// Raw leaves the gates' width out: 2·inboard − span, or inboard − spread.
	Raw float64
	// WithGates adds half a gate's width (2 cm) for each oar, as the 2006
	// world championships rigging survey of the international federation did.
	WithGates float64
}

// Overlap returns the overlap of the sculls, or of the sweep oar past the
// centreline.
func (s *Setup) Overlap() Overlap {
	oars := float64(s.Class.OarsPerRower())
	raw := oars * (s.Inboard - s.PinOut())
	return Overlap{Raw: raw, WithGates: raw + oars*halfGate}
}

// Gearing holds the four numbers that the trade calls gearing. All are ratios
// of lengths.
type Gearing struct {
	OarRatio    float64 // outboard / inboard
	SpanRatio   float64 // outboard / half the span, or / the spread
	SurveyRatio float64 // outboard / (half the span − 2 cm), or / (spread − 2 cm), as the 2006 survey calculated it
	LeverRatio  float64 // R_out / R_in, the true ratio of blade way to handle way with the oar square
}

// Gearing returns the four gearing numbers of the rig.
func (s *Setup) Gearing() Gearing {
	out, pin := s.Outboard(), s.PinOut()
	return Gearing{
		OarRatio:    out / s.Inboard,
		SpanRatio:   out / pin,
		SurveyRatio: out / (pin - halfGate),
		LeverRatio:  s.leverRatio(),
	}
}

func (s *Setup) leverRatio() float64 {
	lv := s.Levers()
	return lv.Outer / lv.Inner
}

// At returns the gearing along the boat at oar angle theta: the lever ratio
// divided by cos θ, since the blade's way along the boat shrinks with the
// cosine while the handle's way along its arc does not (V. Kleshnev, Rowing
// Biomechanics Newsletter 72, 2007). theta must lie within ±90°.
func (g Gearing) At(theta Angle) float64 { return g.LeverRatio / theta.cos() }

// Pitch returns the angle of the blade's face from the vertical at oar angle
// theta, for small leans: g + s·cos θ − l·sin θ with g built into gate or oar,
// s the pin's lean towards the stern and l its lean outwards.
func (s *Setup) Pitch(theta Angle) Angle {
	sin, cos := theta.sincos()
	return s.BladePitch + Angle(float64(s.SternPitch)*cos) - Angle(float64(s.OutwardPitch)*sin)
}
