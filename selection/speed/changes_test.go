package speed

import "thole/rigging"

// The changes of a coach or boatman that the checks of prices make beside those
// of changes.go; each returns what Change.Apply takes.

// loseRelease lets the force go an arc earlier before the finish.
func loseRelease(by rigging.Angle) func(Seat) Seat {
	return func(s Seat) Seat { s.Release = max(s.Release+by, 0); return s }
}

// pickUpAt lets the hands gather speed at another rate, m/s².
func pickUpAt(a float64) func(Seat) Seat {
	return func(s Seat) Seat { s.PickUp = a; return s }
}

// shiftArc moves the whole arc towards the catch.
func shiftArc(by rigging.Angle) func(Seat) Seat {
	return func(s Seat) Seat { s.Catch -= by; s.Finish -= by; return s }
}

// movePeak moves the place of the peak force by a share of the loaded arc.
func movePeak(by float64) func(Seat) Seat {
	return func(s Seat) Seat { s.Shape = s.Shape.Moved(by); return s }
}

// moveInboard lengthens the inboard by m on the same oar.
func moveInboard(by float64) func(Seat) Seat {
	return func(s Seat) Seat { s.LeverIn += by; s.LeverOut -= by; return s }
}

// scaleBlade makes the blade's area a factor of what it was.
func scaleBlade(factor float64) func(Seat) Seat {
	return func(s Seat) Seat { s.BladeArea *= factor; return s }
}
