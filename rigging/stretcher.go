package rigging

import "math"

// StretcherMark names what a boat's stretcher is read by.
type StretcherMark string

// The marks a stretcher is read by.
const (
	MarkHeel StretcherMark = "heel" // distance from the line of work to the heel
	MarkToe  StretcherMark = "toe"  // distance from the line of work to the upper end of the plate or shoe
	MarkHole StretcherMark = "hole" // number of the hole or notch the stretcher is bolted in
)

// StretcherScale says how the position of one boat's stretcher is read, so that
// a target can be given in the number people see at the boat. Distances are
// level, along the boat, towards the stern, m.
type StretcherScale struct {
	Mark StretcherMark
	// Offset is what the tape reads with the mark on the line of work, for
	// people who measure from elsewhere, such as the back of the rigger
	// (heel and toe); or the distance from the line of work to the heel
	// with the stretcher in hole 0 (hole).
	Offset float64
	// ToeAlong is how far along the plate the mark lies from the heel (toe).
	ToeAlong float64
	// HolePitch is the distance between neighbouring holes (hole); negative
	// where the numbers grow towards the bow.
	HolePitch float64
}

// Check returns every problem of the scale as FieldErrors, or nil.
func (s *StretcherScale) Check() error {
	at := PlaceOf(FieldStretcher)
	values := []value{{FieldOffset, s.Offset}}
	var errs FieldErrors
	switch s.Mark {
	case MarkHeel:
	case MarkToe:
		values = append(values, value{FieldToeAlong, s.ToeAlong})
	case MarkHole:
		values = append(values, value{FieldHolePitch, s.HolePitch})
		if math.Abs(s.HolePitch) < leastHolePitch {
			errs = append(errs, problemAt(at.Then(FieldHolePitch), ProblemMissing, Length, "say how far apart the holes are"))
		}
	default:
		errs = append(errs, problemAt(at.Then(FieldMark), ProblemUnknown, Count, "a stretcher is read at the heel, at the toe or by the hole"))
	}
	return append(checkAll(plausiblesIn(at, Class{}, values...)), errs...).orNil()
}

// leastHolePitch is the least distance between two holes that counts as one, m;
// engineering judgement.
const leastHolePitch = 0.002

// Reading returns what the boat's mark reads with the heel at heelToPin from the
// line of work on a plate inclined by plate: a distance in m, or the number of
// the hole, of which the fraction lies between two holes. The scale must have
// passed Check.
func (s *StretcherScale) Reading(heelToPin float64, plate Angle) float64 {
	switch s.Mark {
	case MarkHole:
		return (heelToPin - s.Offset) / s.HolePitch
	case MarkToe:
		return heelToPin + s.ToeAlong*plate.cos() + s.Offset
	}
	return heelToPin + s.Offset
}

// HeelToPin returns where the heel stands when the boat's mark reads reading, the
// inverse of Reading.
func (s *StretcherScale) HeelToPin(reading float64, plate Angle) float64 {
	switch s.Mark {
	case MarkHole:
		return s.Offset + reading*s.HolePitch
	case MarkToe:
		return reading - s.Offset - s.ToeAlong*plate.cos()
	}
	return reading - s.Offset
}

// NearestHole returns the hole nearest to a wanted heelToPin, and how far the heel
// then stands sternwards of where it was wanted, m. The scale must be one of
// holes.
func (s *StretcherScale) NearestHole(heelToPin float64) (hole int, off float64) {
	if s.Mark != MarkHole {
		panic("rigging: a stretcher without holes")
	}
	n := math.Round((heelToPin - s.Offset) / s.HolePitch)
	return int(n), s.Offset + n*s.HolePitch - heelToPin
}
