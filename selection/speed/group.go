package speed

import "math"

// phase is where a seat stands in its stroke.
type phase uint8

const (
	pickingUp phase = iota // hands gather speed, the blade does not yet match the water
	pacing                 // the blade keeps pace with the water, unloaded
	driving                // loaded
	easing                 // force gone, the blade keeps pace to the finish
	returning              // recovery
)

// group is a set of equal seats: constants first, then what one cycle changes.
type group struct {
	rowers, oars    float64 // in the group, oars of all
	mass, share     float64 // body of one rower, kg; μ of the group
	in, out         float64 // levers, m
	catch, finish   float64
	hold, release   float64 // angles of the oar
	way             float64 // L / (sin θ_f − sin θ_c), m: ẋ = way·cos θ·θ̇
	gather          float64 // a / R_in, rad/s²
	blade           float64 // K, N·s²/m²
	peak            float64 // N
	shape           Shape
	touch, covered  float64 // when the blade touches and is covered, s
	perSecond       float64 // growth of the covered share
	shaft, shaftArm float64 // ½ρ·C·d·length and its lever; 0 without depth
	travel          float64
	index           int // of its first seat

	groupState
}

// groupState is what changes within a cycle.
type groupState struct {
	phase     phase
	theta     float64
	loadFrom  float64 // θ_L
	loadScale float64 // 1 / (θ_r − θ_L)
	loadTime  float64
	matchAt   float64 // angle of the match
	holdSpeed float64 // of the hands when load begins, m/s
	end       float64 // of the drive, s

	// Of the last evaluation.
	turn, sway         float64 // θ̇; ẋ, m/s
	slip, force, onOar float64 // u, m/s; N of one oar; handle force of one oar
	drag, dragSlip     float64 // of the shaft of one oar, N; its speed through water, m/s

	// Integrals over the cycle, J, of all oars and bodies of the group.
	lost, backed, work, braked, inertia float64
}

// newGroup reads the constants of a seat.
func newGroup(s *Seat, index int, whole float64) group {
	catch, finish := float64(s.Catch), float64(s.Finish)
	g := group{
		rowers: 1, oars: float64(s.Oars), mass: s.Mass, share: s.Mass / whole,
		in: s.LeverIn, out: s.LeverOut, catch: catch, finish: finish,
		hold: catch + float64(s.Hold), release: finish - float64(s.Release),
		way: s.Travel / (math.Sin(finish) - math.Sin(catch)), gather: s.PickUp / s.LeverIn,
		blade: s.BladeForce * s.BladeArea * WaterDensity / 2,
		peak:  s.Peak, shape: s.Shape, travel: s.Travel, index: index,
		touch: math.Inf(1), covered: math.Inf(-1),
	}
	if e := s.Entry; e != (Entry{}) {
		g.touch = e.Start + e.Height/e.Sink
		g.covered = g.touch + s.BladeHeight/e.Sink
		g.perSecond = e.Sink / s.BladeHeight
	}
	if s.Depth > 0 {
		g.shaft, g.shaftArm = immersed(s)
	}
	return g
}

// join adds an equal seat.
func (g *group) join(s *Seat, whole float64) {
	g.rowers++
	g.oars += float64(s.Oars)
	g.share += s.Mass / whole
}

// begin puts the group at the catch.
func (g *group) begin() { g.groupState = groupState{theta: g.catch} }

// cover returns the covered share of the blade at a time.
func (g *group) cover(t float64) float64 {
	return min(max((t-g.touch)*g.perSecond, 0), 1)
}

// slipOfForce returns u at which the blade bears the handle force at θ.
func (g *group) slipOfForce() float64 {
	if g.phase != driving {
		return 0
	}
	g.onOar = g.peak * g.shape.At((g.theta-g.loadFrom)*g.loadScale)
	g.force = g.onOar * g.in / g.out
	return math.Sqrt(g.force / g.blade)
}

// recover returns ẋ on the recovery: −(π L / 2 T_r)·sin(π τ).
func (g *group) recover(t, period float64) float64 {
	last := period - g.end
	return -math.Pi * g.travel / (2 * last) * math.Sin(math.Pi*(t-g.end)/last)
}

// event returns a value that reaches 0 from below where the phase ends, given
// the last evaluation.
func (g *group) event(t float64) float64 {
	switch g.phase {
	case pickingUp:
		return g.slip
	case pacing:
		if g.covered-t > instant {
			return -1
		}
		return g.theta - g.hold
	case driving:
		return g.theta - g.release
	case easing:
		return g.theta - g.finish
	}
	return -1
}

// advance ends the phases that are over at a time. Several may end at once.
func (g *group) advance(t float64) {
	for g.event(t) >= -sharp {
		switch g.phase {
		case pickingUp:
			g.matchAt = g.theta
		case pacing:
			g.loadFrom, g.loadTime = g.theta, t
			g.loadScale = 1 / (g.release - g.theta)
			g.holdSpeed = g.in * g.turn
		case easing:
			g.end = t
		}
		g.phase++
		g.force, g.onOar, g.slip, g.drag = 0, 0, 0, 0
	}
}

// collect adds a stage of the integrals.
func (g *group) collect(weight, pull float64) {
	lost := g.force * g.slip
	if g.phase == pickingUp {
		g.backed += weight * g.oars * lost
		g.braked += weight * g.oars * g.force * g.out * g.turn
	}
	g.lost += weight * g.oars * (lost + g.drag*g.dragSlip)
	g.work += weight * g.oars * g.onOar * g.in * g.turn
	g.inertia += weight * g.rowers * g.mass * g.sway * pull
}
