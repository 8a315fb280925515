package rigging

import "math"

// Approach says how the blade comes to the water at the catch.
type Approach struct {
	BoatSpeed  float64 // of the boat through the water at the catch, m/s
	EdgeHeight float64 // of the squared blade's lower edge over the water, m
	BladeSpeed float64 // at which the blade goes down, m/s
	Overdepth  float64 // how much deeper than covered the blade is carried, m
}

// DefaultApproach returns a training pace with a blade carried close to the
// water; engineering judgement.
func DefaultApproach() Approach {
	return Approach{BoatSpeed: 4.5, EdgeHeight: 0.05, BladeSpeed: 2.0, Overdepth: 0.05}
}

// Entry is how the blade meets the water at one catch.
type Entry struct {
	// BladeSpeed is the speed of the water across the blade's face,
	// v·cos θ, m/s: the blade turning at that speed enters without splash.
	BladeSpeed float64
	// HandleSpeed is the speed of the handle that matches it, m/s: slower
	// backs the water, faster slips through it.
	HandleSpeed float64
	// OarRate is the rate of turn that matches the water, rad/s.
	OarRate float64
	// BuryTime is the time to cover the blade, s, and Missed what the oar
	// sweeps meanwhile: the arc without hold. The rate that matches the
	// water grows with cos θ as the oar turns to square.
	BuryTime float64
	Missed   Angle
	// MissedShare is Missed as a share of the whole arc.
	MissedShare float64
	// PerHeight is the arc lost for each metre the blade is carried higher,
	// rad/m: the rate of turn where the blade is covered, over its speed.
	PerHeight float64
	// DetourShare is the share of the arc during which a blade carried
	// deeper than covered goes down and comes up again, and HandleRise how
	// much higher the handle must go for it, m.
	DetourShare, HandleRise float64
}

// Entry returns how the blade of a rig meets the water at the catch of stroke,
// if the handle matches the water's speed throughout.
func (s *Setup) Entry(stroke *Stroke, a Approach) Entry {
	lv := s.Levers()
	e := Entry{BladeSpeed: a.BoatSpeed * stroke.Catch.cos()}
	e.OarRate = e.BladeSpeed / lv.Outer
	e.HandleSpeed = e.OarRate * lv.Inner
	e.BuryTime = (a.EdgeHeight + lv.BladeDepth) / a.BladeSpeed
	rate := a.BoatSpeed / lv.Outer
	covered := min(stroke.Finish, turned(stroke.Catch, rate*e.BuryTime))
	e.Missed = covered - stroke.Catch
	e.PerHeight = rate * covered.cos() / a.BladeSpeed
	detour := rate * a.Overdepth / a.BladeSpeed
	down, up := turned(covered, detour)-covered, stroke.Finish-turned(stroke.Finish, -detour)
	arc := float64(stroke.Arc())
	e.MissedShare = float64(e.Missed) / arc
	e.DetourShare = min(1, float64(down+up)/arc)
	e.HandleRise = a.Overdepth * lv.Inner / lv.Outer
	return e
}

// turned returns the angle of an oar that starts at theta and turns with the
// water for way = v·t/R_out: dθ/dt = v/R_out·cos θ has the solution
// artanh(sin θ) = artanh(sin θ₀) + v·t/R_out.
func turned(theta Angle, way float64) Angle {
	return Angle(math.Asin(math.Tanh(math.Atanh(theta.sin()) + way)))
}

// SlipTarget is the arc until the blade is covered that good crews reach,
// geometric threshold −3° (V. Kleshnev, Rowing Biomechanics Newsletters): 6°
// in sculling, 9° in sweep.
func SlipTarget(class Class) Angle {
	if class.Scull {
		return 6 * Degree
	}
	return 9 * Degree
}
