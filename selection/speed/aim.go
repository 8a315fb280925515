package speed

import "thole/rigging"

// AtSpeed returns the stroke with the drag at which the boat goes at a mean
// speed in m/s in the steady stroke. It errs like Solve, and on a speed outside
// 1 to 8 m/s or one that no drag goes with.
func (s *Stroke) AtSpeed(speed float64) (Stroke, error) {
	k, sol, err := s.aim(outside("speed", speed, minSpeed, maxSpeed, rigging.Speed))
	if err != nil {
		return Stroke{}, err
	}
	if _, err := k.matchSpeed(speed, sol); err != nil || k.drag < minDrag || k.drag > maxDrag {
		return Stroke{}, refusal("speed", "these forces at this rate do not go with this speed of the boat")
	}
	out := s.with(EverySeat, func(seat Seat) Seat { return seat })
	out.Drag = k.drag
	return out, nil
}

// The ends of a mean speed that a rowed boat goes at, m/s (engineering
// judgement).
const minSpeed, maxSpeed = 1, 8

// aim solves the stroke as it is, once the aim has no problem of its own.
func (s *Stroke) aim(problems rigging.FieldErrors) (*kernel, solution, error) {
	if len(problems) > 0 {
		return nil, solution{}, problems
	}
	if err := s.check(); err != nil {
		return nil, solution{}, err
	}
	k := new(kernel)
	k.load(s)
	sol, _, err := k.steady(cold, nearly)
	return k, sol, err
}
