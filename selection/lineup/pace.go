package lineup

import "math"

// Pace predicts how fast a crew moves its boat:
//
//	v = (Efficiency · ΣP / k)^(1/3),  k = Drag · (D / ReferenceMass)^MassExponent
//
// with ΣP the rowers' power in W and D the displacement in kg, which is the
// rowers' mass and FixedMass. It is the balance of power and drag at constant
// speed; the constants are the caller's.
type Pace struct {
	Distance      float64 // m
	Efficiency    float64 // share of the power that drives the boat, 0 to 1
	Drag          float64 // N·s²/m² at ReferenceMass
	ReferenceMass float64 // kg
	MassExponent  float64 // 0 to 3
	FixedMass     float64 // hull, coxswain, gear and oars, kg
}

// Time returns the time in s over the distance for a crew of summed power in
// W and summed mass in kg (rowers alone).
func (p Pace) Time(power, mass float64) float64 {
	return p.unit() / math.Cbrt(power) * math.Pow(mass+p.FixedMass, p.MassExponent/3)
}

// Speed returns the mean speed in m/s of the same crew.
func (p Pace) Speed(power, mass float64) float64 { return p.Distance / p.Time(power, mass) }

// unit is the time of a crew of 1 W and 1 kg.
func (p Pace) unit() float64 {
	k := p.Drag / math.Pow(p.ReferenceMass, p.MassExponent)
	return p.Distance * math.Cbrt(k/p.Efficiency)
}

// tangent is the linear part of a pace about one crew, which an assignment
// can carry, together with what it leaves over.
type tangent struct {
	pace              Pace
	power, mass, unit float64
	perPower, perMass float64 // s/W and s/kg
}

func newTangent(p Pace, power, mass float64) tangent {
	t := p.Time(power, mass)
	return tangent{
		pace: p, power: power, mass: mass, unit: p.unit(),
		perPower: -t / (3 * power),
		perMass:  t * p.MassExponent / 3 / (mass + p.FixedMass),
	}
}

// rest is the least of Time(P, m) − perPower·P − (perMass + more)·m over a box
// of powers P and masses m. The difference is convex in P and concave in m, so
// that the least lies at an end of the masses and, for that mass, where the
// derivative in P vanishes or at an end of the powers.
func (t tangent) rest(more float64, b box) float64 {
	return math.Min(
		t.restAt(b.powerLo, b.powerHi, b.loadLo)-more*b.loadLo,
		t.restAt(b.powerLo, b.powerHi, b.loadHi)-more*b.loadHi,
	)
}

func (t tangent) restAt(powLo, powHi, mass float64) float64 {
	d, e := mass+t.pace.FixedMass, t.pace.MassExponent
	power := powLo
	if powHi > powLo {
		flat := t.power * math.Pow(d/(t.mass+t.pace.FixedMass), e/4)
		power = math.Max(powLo, math.Min(powHi, flat))
	}
	return t.unit/math.Cbrt(power)*math.Pow(d, e/3) - t.perPower*power - t.perMass*mass
}
