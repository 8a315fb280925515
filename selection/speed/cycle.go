package speed

import "math"

// Steps and tolerances of the integration; numerical, chosen against the midpoint
// rule with small steps that the tests compare with.
const (
	sharp   = 1e-10 // rad or m/s: how closely the end of a phase is met
	instant = 1e-12 // s

	pickUpStep = 0.020  // s
	firstStep  = 0.0016 // s, after load begins: there u grows like a root
	driveStep  = 0.024  // s
	stepGrowth = 1      // of the time since load began
	easeStep   = 0.040  // s
	backSteps  = 8      // of a recovery
)

// clock is the state of the boat, less that of the seats.
type clock struct {
	t, w      float64 // time; momentum over mass, m/s
	way, hull float64 // ∫ v dt, m; ∫ D·v dt, J
}

// kernel computes cycles of a stroke by the classical Runge–Kutta method of
// fourth order, with steps that end where a phase ends.
type kernel struct {
	mass, drag, period float64
	n                  int
	groups             [MaxSeats]group

	clock
	start     clock   // of the present step
	v, pull   float64 // of the last evaluation: hull speed, ẇ
	low, high float64 // speeds of the hull, m/s
	cross     [MaxSeats][MaxSeats]float64
	sways     [MaxSeats]float64
	saved     [MaxSeats]groupState
	trace     bool // keep the state of a group at the end of each step
	traced    int
	path      []PathPoint
}

// load reads a stroke; equal seats share a group.
func (k *kernel) load(s *Stroke) {
	k.mass, k.drag, k.period, k.n = s.mass(), s.Drag, s.period(), 0
next:
	for i := range s.Seats {
		for j := range k.n {
			if s.Seats[k.groups[j].index] == s.Seats[i] {
				k.groups[j].join(&s.Seats[i], k.mass)
				continue next
			}
		}
		k.groups[k.n] = newGroup(&s.Seats[i], i, k.mass)
		k.n++
	}
}

// groupOf returns the group of a seat.
func (k *kernel) groupOf(s *Stroke, seat int) int {
	for j := range k.n {
		if s.Seats[k.groups[j].index] == s.Seats[seat] {
			return j
		}
	}
	panic("speed: seat without a group")
}

// run computes one cycle from w at the catch and returns w after it; ok is
// false when the drive does not end within the cycle.
func (k *kernel) run(w float64) (after float64, ok bool) {
	k.clock = clock{w: w}
	k.low, k.high = math.Inf(1), math.Inf(-1)
	k.cross = [MaxSeats][MaxSeats]float64{}
	for i := range k.n {
		k.groups[i].begin()
		k.sways[i] = 0
	}
	k.settle()
	for k.t < k.period-instant {
		if !k.step() || k.v <= 0 {
			return k.w, false
		}
	}
	k.settle()
	return k.w, k.returned()
}

// returned reports whether every seat got to its recovery.
func (k *kernel) returned() bool {
	for i := range k.n {
		if k.groups[i].phase != returning {
			return false
		}
	}
	return true
}

// settle evaluates, ends the phases that are over and evaluates again.
func (k *kernel) settle() {
	k.flow(k.t)
	k.sample()
	for i := range k.n {
		k.groups[i].advance(k.t)
	}
	k.flow(k.t)
	k.sample()
	if k.trace {
		k.note()
	}
}

// sample takes the speed and the products ẋ_i·dẋ_j since the last sample.
func (k *kernel) sample() {
	k.low, k.high = min(k.low, k.v), max(k.high, k.v)
	if k.n == 1 {
		return
	}
	for i := range k.n {
		for j := range k.n {
			k.cross[i][j] += (k.sways[i] + k.groups[i].sway) / 2 * (k.groups[j].sway - k.sways[j])
		}
	}
	for i := range k.n {
		k.sways[i] = k.groups[i].sway
	}
}

// stepLength returns how far the next step may go.
func (k *kernel) stepLength() float64 {
	h := k.period - k.t
	for i := range k.n {
		g := &k.groups[i]
		switch g.phase {
		case pickingUp, pacing:
			h = min(h, pickUpStep)
			for _, mark := range [...]float64{g.touch, g.covered} {
				if mark > k.t+instant {
					h = min(h, mark-k.t)
				}
			}
		case driving:
			h = min(h, driveStep, firstStep+stepGrowth*(k.t-g.loadTime))
		case easing:
			h = min(h, easeStep)
		case returning:
			h = min(h, (k.period-g.end)/backSteps)
		}
	}
	return h
}

// step goes on by one step, or to the end of the first phase that ends within
// it. It returns false when a seat has no arc left to load.
func (k *kernel) step() bool {
	h := k.stepLength()
	k.keep()
	k.integrate(h)
	if high := k.event(); high > sharp {
		k.land(h, high)
	}
	k.settle()
	return k.loadable()
}

// keep remembers the state, for attempt to start from.
func (k *kernel) keep() {
	k.start = k.clock
	for i := range k.n {
		k.saved[i] = k.groups[i].groupState
	}
}

// attempt goes on by h from the state kept and returns the event value there.
func (k *kernel) attempt(h float64) float64 {
	k.clock = k.start
	for i := range k.n {
		k.groups[i].groupState = k.saved[i]
	}
	k.integrate(h)
	return k.event()
}

// land finds the part of a step at which the event value is 0 within sharp, by
// regula falsi with the Illinois weighting, and leaves the state there. The
// value is high after h, and usually below 0 at the state kept. There it is above
// where the end of one seat's phase lets the blade of another meet the water's speed
// at once: that phase is over before the step.
func (k *kernel) land(h, high float64) {
	low, from, to := k.attempt(0), 0.0, h
	if low >= -sharp {
		return
	}
	side := 0
	for range 60 {
		mid := (from*high - to*low) / (high - low)
		value := k.attempt(mid)
		switch {
		case math.Abs(value) <= sharp:
			return
		case value > 0:
			to, high = mid, value
			if side > 0 {
				low /= 2
			}
			side = 1
		default:
			from, low = mid, value
			if side < 0 {
				high /= 2
			}
			side = -1
		}
	}
	k.attempt(to)
}

// event returns the largest event value of all seats at the present state.
func (k *kernel) event() float64 {
	k.flow(k.t)
	top := math.Inf(-1)
	for i := range k.n {
		top = max(top, k.groups[i].event(k.t))
	}
	return top
}

// loadable reports whether every seat in its drive has an arc to load.
func (k *kernel) loadable() bool {
	for i := range k.n {
		g := &k.groups[i]
		if g.phase == driving && !(g.loadScale > 0) || g.phase <= pacing && g.theta > g.release {
			return false
		}
	}
	return true
}
