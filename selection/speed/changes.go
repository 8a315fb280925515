package speed

import "thole/rigging"

// Changes that a coach or boatman asks for; each returns what Change.Apply
// takes.

// ReachFurther moves the catch, longer above zero. The body travels as far as
// before.
func ReachFurther(by rigging.Angle) func(Seat) Seat {
	return func(s Seat) Seat { s.Catch -= by; return s }
}

// FinishFurther moves the finish, longer above zero.
func FinishFurther(by rigging.Angle) func(Seat) Seat {
	return func(s Seat) Seat { s.Finish += by; return s }
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
