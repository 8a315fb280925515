package rigging

import "math"

// gate returns the height of a seat's gate: as found inside the window, else on
// the step next to its end. An end that rests on a draw height nobody measured
// moves nothing.
func (p *planner) gate(seat *PlanSeat) float64 {
	c := seat.Case
	by, width, end := p.gateMiss(&c)
	if by == 0 || end == BoundCovered && seat.Measures.DrawHeight == 0 {
		return c.Setup.GateHeight
	}
	return p.gateOn(&c, by, width)
}

// draws reports whether the seat's gate is out by a draw height nobody measured.
func (p *planner) draws(seat *PlanSeat) bool {
	by, _, end := p.gateMiss(&seat.Case)
	return by != 0 && end == BoundCovered && seat.Measures.DrawHeight == 0
}

// rerigOut is how many standard deviations of its window's ends a gate must lie
// outside for a full re-rig to move it, where the everyday job goes by
// [GateWindow.Out]; engineering judgement.
const rerigOut = 1

// gateMiss returns how far the lower gate has to move into its window, the
// window's width, m, and which end of it is passed; zero where it is not out.
func (p *planner) gateMiss(c *Case) (by, width float64, end Bound) {
	stroke, err := c.expectedSomewhere(p.targets.Finish)
	if err != nil {
		return 0, 0, ""
	}
	w, at := c.Heights(&stroke).Window, c.Setup.lowerGate()
	out := w.Out(at)
	if p.task.Job == JobRerig {
		out = w.verdict(at, rerigOut)
	}
	low, high, lowBy, highBy := w.Low, w.High, w.LowBy, w.HighBy
	if low > high {
		low, high, lowBy, highBy = high, low, highBy, lowBy
	}
	switch out {
	case -1:
		return low - at, high - low, lowBy
	case +1:
		return high - at, high - low, highBy
	}
	return 0, 0, ""
}

// expectedSomewhere returns the stroke of the case with the stretcher as found
// or, where it cannot be rowed there, for a finish.
func (c *Case) expectedSomewhere(finish Angle) (Stroke, error) {
	stroke, err := c.Solve()
	if err == nil {
		return stroke, nil
	}
	m := *c
	if m.Setup.HeelToPin, err = m.heelFor(finish); err != nil {
		return Stroke{}, err
	}
	return m.Solve()
}

// gateOn returns the height on the boat's steps that leaves the gate least
// outside the window it has to move into by the given distance, or the other end
// of which stands width further; of equal ones the nearest.
func (p *planner) gateOn(c *Case, by, width float64) float64 {
	a := p.adjustment(&c.Setup, SettingGateHeight)
	found := c.Setup.GateHeight
	near, far := found+by, found+by+math.Copysign(width, by)
	outside := func(v float64) float64 { return max(0, min(near, far)-v, v-max(near, far)) }
	best := found
	below := math.Floor((near - a.Min) / a.Step)
	for _, k := range [...]float64{below, below + 1} {
		v := a.at(a.clamp(k))
		if d := outside(v) - outside(best); d < -rounding || d < rounding && math.Abs(v-found) < math.Abs(best-found) {
			best = v
		}
	}
	return best
}

// The heels' usual depth, 15 to 18 cm (common practice), and the plate's usual angle,
// 38 to 42° (from memory).
const (
	usualHeelsDeep = 0.18
	usualPlateFlat = 38 * Degree
	usualPlate     = givenPlateAngle
)

// rerig changes what a full re-rig changes besides gate and stretcher.
func (p *planner) rerig(seat *PlanSeat, c *Case) {
	if !p.stays(seat, SettingHeelDepth) && p.strained(c) {
		p.comfort(c, SettingHeelDepth, usualHeelsDeep)
	}
	if !p.stays(seat, SettingPlateAngle) && p.strained(c) {
		p.comfort(c, SettingPlateAngle, float64(usualPlateFlat))
	}
	p.pitch(seat, c)
}

// strain returns how far the case's posture goes past the limits of knees, hips
// and ankles together, rad; 0 inside them all.
func (p *planner) strain(c *Case) float64 {
	var s Stroke
	posture := c.comeForward(c.Posture, p.furthest(&c.Setup))
	if s.poseLegs(&c.Setup, &c.Body.Body, &posture) != nil {
		return math.Inf(1)
	}
	l := &p.limits
	return float64(max(0, s.KneeFlexion-l.KneeFlexion) + max(0, s.TrunkThigh-l.TrunkThigh) + max(0, s.HeelLift-l.heelLift()))
}

// strained reports whether knees, hips or ankles are past their limits.
func (p *planner) strained(c *Case) bool { return p.strain(c) > 1e-9 }

// comfort moves heels or plate towards the end of what is usual, step by step,
// as far as it takes and as long as it eases the body.
func (p *planner) comfort(c *Case, name Setting, end float64) {
	a := p.adjustment(&c.Setup, name)
	if a.Step == 0 {
		a = Adjustment{Min: float64(usualPlateFlat), Max: max(float64(usualPlate), c.Setup.Value(name)), Step: float64(Degree)}
	}
	toward := math.Copysign(a.Step, end-c.Setup.Value(name))
	for p.strained(c) && math.Abs(end-c.Setup.Value(name)) > a.Step/2 {
		next := *c
		next.Setup.SetValue(name, c.Setup.Value(name)+toward)
		if p.strain(&next) >= p.strain(c)-rounding {
			return
		}
		*c = next
	}
}

// The pitch of the blade square to the hull: what is usual, and what it is set
// to when it is out; common practice.
const (
	pitchLow  = 3 * Degree
	pitchHigh = 7 * Degree
	pitchAim  = 4 * Degree
)

// pitch sets the insert where the whole pitch was measured and is out.
func (p *planner) pitch(seat *PlanSeat, c *Case) {
	if p.stays(seat, SettingBladePitch) || seat.Missing.has(SettingSternPitch) {
		return
	}
	if total := c.Setup.Pitch(0); total < pitchLow-rounding || total > pitchHigh+rounding {
		c.Setup.BladePitch += Angle(roundTo(float64(pitchAim-total), float64(Degree)))
	}
}
