package lineup

import (
	"math"

	"thole/rigging"
)

// Arms returns the distance in m of every seat from mid-boat along the hull,
// bow first and negative towards the bow, for seats that are spacing m apart.
func Arms(seats int, spacing float64) []float64 {
	arms := make([]float64, seats)
	for s := range arms {
		arms[s] = (float64(s) - float64(seats-1)/2) * spacing
	}
	return arms
}

// Moment returns the moment in N·m about the vertical axis through mid-boat
// when every rower's gate carries force N (bow first) across the hull at an
// oar angle of angle rad: Σ σ_s x_s F_s sin θ, with σ the sign of the side.
func Moment(sides []rigging.Side, spacing float64, forces []float64, angle rigging.Angle) float64 {
	var sum float64
	for s, x := range Arms(len(sides), spacing) {
		sum += float64(sides[s]) * x * forces[s]
	}
	return sum * math.Sin(angle.Radians())
}

// alternating is the usual rig: bow on starboard, then side by side in turn.
func alternating(seats int) []rigging.Side {
	sides := make([]rigging.Side, seats)
	for s := range sides {
		sides[s] = rigging.Starboard
		if s%2 == 1 {
			sides[s] = rigging.Port
		}
	}
	return sides
}

// patterns returns every order of the sides that agrees with the given one,
// starboard before port. A full one is taken as it is; with free seats (an
// empty or zero entry) there are as many ports as starboards.
func patterns(seats int, given []rigging.Side) [][]rigging.Side {
	var found [][]rigging.Side
	sides := make([]rigging.Side, seats)
	free := len(given) == 0
	for _, g := range given {
		free = free || g == 0
	}
	var walk func(s, starboards int)
	walk = func(s, starboards int) {
		if s == seats {
			found = append(found, append([]rigging.Side(nil), sides...))
			return
		}
		for _, side := range []rigging.Side{rigging.Starboard, rigging.Port} {
			if len(given) > 0 && given[s] != 0 && given[s] != side {
				continue
			}
			n := starboards
			if side == rigging.Starboard {
				n++
			}
			if free && (2*n > seats || 2*(s+1-n) > seats) {
				continue
			}
			sides[s] = side
			walk(s+1, n)
		}
	}
	walk(0, 0)
	return found
}

// StillPatterns returns every order of the sides, up to mirror image, with as
// many ports as starboards and no moment about the vertical axis when seat s
// pulls with strengths[s]; nil strengths means all alike. The first seat is on
// starboard.
//
// Source: J. D. Barrow, "Rowing and the same-sum problem have their moments",
// American Journal of Physics 78, 2010, p. 728.
func StillPatterns(seats int, strengths []float64) [][]rigging.Side {
	var still [][]rigging.Side
	first := make([]rigging.Side, seats)
	if seats > 0 {
		first[0] = rigging.Starboard
	}
	for _, sides := range patterns(seats, first) {
		var moment, scale float64
		for s, x := range Arms(seats, 1) {
			force := 1.0
			if strengths != nil {
				force = strengths[s]
			}
			moment += float64(sides[s]) * x * force
			scale += math.Abs(x * force)
		}
		// Sums of a few terms err by a few parts in 10^16.
		if math.Abs(moment) <= 1e-12*scale {
			still = append(still, sides)
		}
	}
	return still
}
