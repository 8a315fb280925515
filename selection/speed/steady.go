package speed

import (
	"errors"
	"math"

	"thole/rigging"
)

// ErrNoStroke says that a stroke cannot be rowed steadily: the blade never
// holds, or the drive takes the whole time of a stroke.
var ErrNoStroke = errors.New("speed: this stroke cannot be rowed steadily: the drive does not end in time")

// SeatWork is what one rower does in the steady stroke.
type SeatWork struct {
	Power  float64 // what the body gives: work at the handle and on its own motion, W
	Handle float64 // work at the handle alone, W

	Match     rigging.Angle // arc from the catch until the blade matches the water
	Load      rigging.Angle // arc from the catch until load begins
	HoldSpeed float64       // of the hands along their arc when load begins, m/s
	DriveTime float64       // reversal to finish, s
	Backed    float64       // energy lost by backing water in one stroke, J, all the rower's oars
}

// Steady is the stroke that repeats itself.
type Steady struct {
	Speed     float64 // mean speed of the hull, m/s
	Low, High float64 // its ends, m/s

	Power      float64 // mean power of a rower, (E_b + E_h) / (T·n), W
	BladeLoss  float64 // E_b of one stroke, J, all oars
	HullLoss   float64 // E_h of one stroke, J
	Propelling float64 // E_h / (E_b + E_h)
	Velocity   float64 // k·v̄³·T / E_h
	Blade      float64 // 1 − E_b / work at the handles

	Seats []SeatWork
	Cycle int // cycles computed until it repeated itself

	state solution
}

// Time returns the time over a distance in m, s.
func (s *Steady) Time(distance float64) float64 { return distance / s.Speed }

// solution is where a solver stopped, to start the next one from.
type solution struct{ w, slope float64 }

// cold is where a solver starts that knows nothing; numerical: 4.5 m/s, and the
// slope of the cycle's answer that strokes of all classes have within 0.2.
var cold = solution{4.5, 0.5}

// Ends of the solver; numerical. A stroke is found in about five cycles.
const (
	maxCycles = 60
	closely   = 1e-10 // share of w, for a stroke by itself
	nearly    = 3e-7  // share of w, for prices to a hundredth of a second
	telling   = 3e-5  // share of w: closer starts tell no slope
)

// Solve returns the steady stroke. It errs with rigging.FieldErrors on values
// that are impossible and with ErrNoStroke where no stroke repeats itself.
func (s *Stroke) Solve() (Steady, error) {
	if err := s.check(); err != nil {
		return Steady{}, err
	}
	var k kernel
	k.load(s)
	sol, cycles, err := k.steady(cold, closely)
	if err != nil {
		return Steady{}, err
	}
	out := k.summary(s)
	out.state, out.Cycle = sol, cycles
	return out, nil
}

// steady finds w that a cycle leaves as it was, by secants; the kernel then
// holds that cycle. Starts from 2.7 to 7.6 m/s are tried, the speeds of all boats, and
// slopes are held to those that a stable stroke can have; numerical.
func (k *kernel) steady(from solution, tolerance float64) (solution, int, error) {
	w, slope := from.w, from.slope
	oldW, oldGap := 0.0, 0.0
	for cycle := 1; cycle <= maxCycles; cycle++ {
		after, ok := k.run(w)
		gap := after - w
		switch {
		case !ok && cycle > 8:
			return solution{}, cycle, ErrNoStroke
		case !ok: // too slow or too fast a start: try another
			w = 2 + float64(cycle)*0.7
			oldW = 0
			continue
		case math.Abs(gap) <= tolerance*math.Abs(w):
			return solution{w, slope}, cycle, nil
		}
		if oldW != 0 && math.Abs(w-oldW) > telling*w {
			slope = min(max(1+(gap-oldGap)/(w-oldW), -0.5), 0.95)
		}
		oldW, oldGap = w, gap
		w += gap / (1 - slope)
	}
	return solution{}, maxCycles, ErrNoStroke
}

// losses returns E_b and the work at the handles of the kernel's cycle, J.
func (k *kernel) losses() (blade, handles float64) {
	for i := range k.n {
		blade += k.groups[i].lost
		handles += k.groups[i].work
	}
	return blade, handles
}

// power returns the power of one rower of a group, W: the work at the handle
// and m·∮ ẋ dv with dv = dw − Σ μ dẋ.
func (k *kernel) power(i int) float64 {
	g := &k.groups[i]
	own := g.work + g.inertia + g.braked
	for j := range k.n {
		own -= g.rowers * g.mass * k.groups[j].share * k.cross[i][j]
	}
	return own / (g.rowers * k.period)
}

// summary reads the kernel's cycle.
func (k *kernel) summary(s *Stroke) Steady {
	blade, handles := k.losses()
	v := k.way / k.period
	out := Steady{
		Speed: v, Low: k.low, High: k.high,
		Power:     (blade + k.hull) / (k.period * float64(len(s.Seats))),
		BladeLoss: blade, HullLoss: k.hull,
		Propelling: k.hull / (blade + k.hull), Velocity: k.drag * v * v * v * k.period / k.hull,
		Blade: 1 - blade/handles,
		Seats: make([]SeatWork, len(s.Seats)),
	}
	for seat := range s.Seats {
		i := k.groupOf(s, seat)
		g := &k.groups[i]
		out.Seats[seat] = SeatWork{
			Power: k.power(i), Handle: g.work / (g.rowers * k.period),
			Match: rigging.Angle(g.matchAt - g.catch), Load: rigging.Angle(g.loadFrom - g.catch),
			HoldSpeed: g.holdSpeed, DriveTime: g.end, Backed: g.backed / g.rowers,
		}
	}
	return out
}
