package speed

import "thole/rigging"

// Changes that a coach or boatman asks for; each returns what Change.Apply
// takes.

// LoseRelease lets the force go an arc earlier before the finish.
func LoseRelease(by rigging.Angle) func(Seat) Seat {
	return func(s Seat) Seat { s.Release = max(s.Release+by, 0); return s }
}

// PickUpAt lets the hands gather speed at another rate, m/s².
func PickUpAt(a float64) func(Seat) Seat {
	return func(s Seat) Seat { s.PickUp = a; return s }
}

// ReachFurther moves the catch, longer above zero. The body travels as far as
// before.
func ReachFurther(by rigging.Angle) func(Seat) Seat {
	return func(s Seat) Seat { s.Catch -= by; return s }
}

// FinishFurther moves the finish, longer above zero.
func FinishFurther(by rigging.Angle) func(Seat) Seat {
	return func(s Seat) Seat { s.Finish += by; return s }
}

// ShiftArc moves the whole arc towards the catch.
func ShiftArc(by rigging.Angle) func(Seat) Seat {
	return func(s Seat) Seat { s.Catch -= by; s.Finish -= by; return s }
}

// MovePeak moves the place of the peak force by a share of the loaded arc.
func MovePeak(by float64) func(Seat) Seat {
	return func(s Seat) Seat { s.Shape = s.Shape.Moved(by); return s }
}

// MoveInboard lengthens the inboard by m on the same oar.
func MoveInboard(by float64) func(Seat) Seat {
	return func(s Seat) Seat { s.LeverIn += by; s.LeverOut -= by; return s }
}

// ScaleBlade makes the blade's area a factor of what it was.
func ScaleBlade(factor float64) func(Seat) Seat {
	return func(s Seat) Seat { s.BladeArea *= factor; return s }
}

// Enter puts another entry in place.
func Enter(e Entry) func(Seat) Seat {
	return func(s Seat) Seat { s.Entry = e; return s }
}

// UsualSeat returns a seat with what people do not measure: the travel of the
// body, the pick-up of the hands, a hump of force and a hatchet blade. Arc and
// peak force are left to be filled in.
func UsualSeat(class rigging.Class, levers rigging.Levers, mass float64) Seat {
	s := Seat{
		Mass: mass, Oars: class.OarsPerRower(), LeverIn: levers.Inner, LeverOut: levers.Outer,
		Shape: Hump(UsualPeakPlace), Travel: UsualTravel, PickUp: UsualPickUp,
		BladeArea: SweepBlade, BladeForce: HatchetForce, BladeHeight: levers.BladeDepth,
	}
	if class.Scull {
		s.BladeArea = ScullBlade
	}
	return s
}
