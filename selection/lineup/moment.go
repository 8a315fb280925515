package lineup

import "thole/rigging"

// Arms returns the distance in m of every seat from mid-boat along the hull,
// bow first and negative towards the bow, for seats that are spacing m apart.
func Arms(seats int, spacing float64) []float64 {
	arms := make([]float64, seats)
	for s := range arms {
		arms[s] = (float64(s) - float64(seats-1)/2) * spacing
	}
	return arms
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
