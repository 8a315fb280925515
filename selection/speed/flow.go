package speed

import "math"

// flow evaluates the state at a time: hull speed v from w and the blades, then
// θ̇, ẋ and the forces of every seat, and ẇ.
//
//	v = (w − Σ μ ẋ − Σ μ·way·cos θ·u / R_out) / (1 + Σ μ·way·cos² θ / R_out)
//
// where the first sum runs over the seats whose hands move on their own and
// the others over those whose blade is in the water.
func (k *kernel) flow(t float64) {
	deep := k.hullSpeed(t)
	if deep {
		k.dip()
	}
	push := -k.drag * k.v * math.Abs(k.v)
	for i := range k.n {
		push += k.groups[i].move(k.v, t)
	}
	k.pull = push / k.mass
}

// hullSpeed sets v and every seat's slip, and reports whether a shaft drags.
func (k *kernel) hullSpeed(t float64) (deep bool) {
	above, below := k.w, 1.0
	for i := range k.n {
		g := &k.groups[i]
		switch g.phase {
		case returning:
			g.sway = g.recover(t, k.period)
			above -= g.share * g.sway
		case pickingUp:
			g.turn = g.gather * t
			g.sway = g.way * math.Cos(g.theta) * g.turn
			above -= g.share * g.sway
		default:
			g.slip = g.slipOfForce()
			c := math.Cos(g.theta)
			part := g.share * g.way * c / g.out
			above -= part * g.slip
			below += part * c
			deep = deep || g.shaft > 0 && g.phase == driving
		}
	}
	k.v = above / below
	return deep
}

// dip takes the drag of dipped shafts out of the force on their blades, at the
// speeds found without it, and sets v anew.
func (k *kernel) dip() {
	v := k.v
	for i := range k.n {
		g := &k.groups[i]
		if g.shaft == 0 || g.phase != driving {
			continue
		}
		c := math.Cos(g.theta)
		turn := (g.slip + v*c) / g.out
		through := g.shaftArm*turn - v*c
		g.drag = g.shaft * through * math.Abs(through)
		g.force -= g.drag * g.shaftArm / g.out
		slip := math.Copysign(math.Sqrt(math.Abs(g.force)/g.blade), g.force)
		k.v -= g.share * g.way * c / g.out * (slip - g.slip) / k.stiffness()
		g.slip = slip
	}
}

// stiffness returns the denominator of v in flow.
func (k *kernel) stiffness() float64 {
	below := 1.0
	for i := range k.n {
		g := &k.groups[i]
		if g.phase != returning && g.phase != pickingUp {
			c := math.Cos(g.theta)
			below += g.share * g.way * c * c / g.out
		}
	}
	return below
}

// move sets θ̇, ẋ and the forces of a seat at a hull speed and returns the push
// of its blades and shafts on the boat, N.
func (g *group) move(v, t float64) float64 {
	c := math.Cos(g.theta)
	switch g.phase {
	case returning:
		g.turn = 0
		return 0
	case pickingUp:
		g.slip = g.out*g.turn - v*c
		g.force = 0
		if g.slip < 0 && t > g.touch {
			g.force = -g.blade * g.cover(t) * g.slip * g.slip
		}
		return g.oars * g.force * c
	}
	g.turn = (g.slip + v*c) / g.out
	g.sway = g.way * c * g.turn
	if g.phase != driving || g.shaft == 0 {
		g.drag = 0
		return g.oars * g.force * c
	}
	g.dragSlip = g.shaftArm*g.turn - v*c
	return g.oars * (g.force + g.drag) * c
}

// integrate goes on by h, without regard to the ends of phases.
func (k *kernel) integrate(h float64) {
	t, w := k.t, k.w
	var from, sum [MaxSeats]float64
	for i := range k.n {
		from[i] = k.groups[i].theta
	}
	total := 0.0
	for stage := range 4 {
		at, weight := nodesRK4[stage]*h, weightsRK4[stage]*h
		if stage > 0 {
			for i := range k.n {
				k.groups[i].theta = from[i] + at*k.groups[i].turn
			}
			k.w = w + at*k.pull
		}
		k.flow(t + at)
		total += weight * k.pull
		for i := range k.n {
			sum[i] += weight * k.groups[i].turn
			k.groups[i].collect(weight, k.pull)
		}
		k.way += weight * k.v
		k.hull += weight * k.drag * math.Abs(k.v) * k.v * k.v
	}
	k.t, k.w = t+h, w+total
	for i := range k.n {
		k.groups[i].theta = from[i] + sum[i]
	}
}

// The nodes and weights of the classical rule of fourth order: W. Kutta, Zeitschrift
// für Mathematik und Physik 46 (1901) (from memory).
var (
	nodesRK4   = [4]float64{0, 0.5, 0.5, 1}
	weightsRK4 = [4]float64{1. / 6, 1. / 3, 1. / 3, 1. / 6}
)

const (
	// cylinderForce is the force coefficient of a cylinder across the flow at
	// Reynolds numbers of 10⁴ to 10⁵: S. F. Hoerner, Fluid-Dynamic Drag, 1965,
	// 1.1 to 1.2 (from memory).
	cylinderForce = 1.1
	// shaftWidth is the diameter of an oar's shaft near the blade, m
	// (engineering judgement).
	shaftWidth = 0.035
	// coveredSlope is how far below the horizontal an oar points when its blade
	// is just covered (engineering judgement: a pin 0.25 m over the water, the
	// blade's middle 0.1 m under it, 1.8 m from the pin).
	coveredSlope = 0.19
)

// immersed returns ½·ρ·C·d·length of the shaft under water at the seat's depth,
// N·s²/m², and the lever of its middle, m. The shaft is straight: it leaves the
// water where its slope has used up what the blade's inner end is deeper by.
func immersed(s *Seat) (constant, arm float64) {
	end := s.LeverOut * 0.875 // the blade's inner end: half of 44 cm from its middle, common practice
	length := end * math.Sin(float64(s.Depth)) / math.Sin(float64(s.Depth)+coveredSlope)
	return WaterDensity / 2 * cylinderForce * shaftWidth * length, end - length/2
}
