package seatrace

import (
	"slices"
	"strings"

	"thole/rigging"
	"thole/selection"
)

// Setup says what a seat race is to find out and with whom.
type Setup struct {
	// Athletes of the squad, with the sides they row in sweep boats (the
	// keys of SideCost). Those beyond the seats sit out in turns.
	Athletes []selection.Athlete
	Class    rigging.Class
	Boats    int // two or more
	// Swaps is the greatest number of pairs that may exchange places between
	// two pieces, those who sit out included; 0 sets no limit. It is counted
	// by heads: at most 2·Swaps athletes change boats.
	Swaps int
	// Asked names the differences that matter; nil stands for all.
	Asked []Pair
	Model Model
	// NoiseSD is the expected standard deviation of one boat's time, s.
	NoiseSD float64
	// Smallest is the smallest difference, in s of the boat's time, that it
	// matters to show; 0 for none. Conversion, when filled, serves to name
	// it in watts.
	Smallest   float64
	Conversion Conversion
}

// check returns what cannot be right in the setup.
func (s *Setup) check() rigging.FieldErrors {
	var errs rigging.FieldErrors
	refuse := func(field rigging.Field, kind rigging.Problem, format string, args ...any) {
		errs = append(errs, selection.ErrorAt(rigging.PlaceOf(field), kind, format, args...))
	}
	if s.Class.Rowers < 1 {
		refuse(rigging.FieldClass, rigging.ProblemMissing, "the boat class is not given")
	}
	if s.Boats < 2 {
		refuse(selection.FieldBoats, rigging.ProblemRange, "a seat race needs two boats or more")
	}
	if need := s.Boats * s.Class.Rowers; len(s.Athletes) < need {
		refuse(selection.FieldAthletes, rigging.ProblemRange, "%d boats of %d seats need %d athletes; there are %d", s.Boats, s.Class.Rowers, need, len(s.Athletes))
	}
	if s.Swaps < 0 {
		refuse(selection.FieldSwaps, rigging.ProblemRange, "the number of pairs that may exchange is below 0")
	}
	if !positive(s.NoiseSD) {
		refuse(selection.FieldNoiseSD, rigging.ProblemRange, "the standard deviation of a time must be above 0 s and below a million")
	}
	if s.Smallest != 0 && !positive(s.Smallest) {
		refuse(selection.FieldSmallest, rigging.ProblemRange, "the smallest difference that matters must be 0 s or above and below a million")
	}
	errs = append(errs, s.checkAthletes()...)
	if errs == nil {
		errs = append(s.checkSeats(), checkPairs(s.Asked, s.ids())...)
	}
	return errs
}

// checkSeats returns an error when too few row a side to fill its seats.
func (s *Setup) checkSeats() rigging.FieldErrors {
	if s.Class.Scull {
		return nil
	}
	seats := s.Boats * s.Class.Rowers / 2
	both, only := 0, map[rigging.Side]int{}
	for _, a := range s.Athletes {
		if rows(a, rigging.Port) && rows(a, rigging.Starboard) {
			both++
		} else if rows(a, rigging.Port) {
			only[rigging.Port]++
		} else {
			only[rigging.Starboard]++
		}
	}
	for _, side := range []rigging.Side{rigging.Port, rigging.Starboard} {
		short := seats - only[side]
		if short > both {
			return rigging.FieldErrors{selection.ErrorAt(rigging.PlaceOf(selection.FieldAthletes), rigging.ProblemMismatch, "%d %s seats, and only %d athletes who can row that side", seats, side, only[side]+both)}
		}
		both -= max(short, 0)
	}
	return nil
}

// checkAthletes returns what cannot be right in the squad.
func (s *Setup) checkAthletes() rigging.FieldErrors {
	var errs rigging.FieldErrors
	seen := map[string]bool{}
	for k, a := range s.Athletes {
		at := rigging.PlaceOf(selection.FieldAthletes).Item(k)
		switch {
		case strings.TrimSpace(a.ID) == "":
			errs = append(errs, selection.ErrorAt(at.Then(selection.FieldID), rigging.ProblemMissing, "athlete %d has no name", k+1))
		case seen[a.ID]:
			errs = append(errs, selection.ErrorAt(at.Then(selection.FieldID), rigging.ProblemMismatch, "%s is in the squad twice", a.ID))
		case !s.Class.Scull && !rows(a, rigging.Port) && !rows(a, rigging.Starboard):
			errs = append(errs, selection.ErrorAt(at.Then(selection.FieldSides), rigging.ProblemMissing, "%s rows neither side", a.ID))
		}
		seen[a.ID] = true
	}
	return errs
}

// rows reports whether an athlete can row a side.
func rows(a selection.Athlete, side rigging.Side) bool {
	_, ok := a.SideCost[side]
	return ok
}

// checkSchedule holds crews against the setup.
func (s *Setup) checkSchedule(schedule []selection.Piece) rigging.FieldErrors {
	rd := reader{size: s.Class.Rowers}
	rd.readCrews(schedule)
	ids := s.ids()
	for r, p := range schedule {
		if len(p.Crews) != s.Boats {
			rd.fault(r, -1, selection.FieldCrews, rigging.ProblemMismatch, "there are %d boats where %d race", len(p.Crews), s.Boats)
		}
		for b, crew := range p.Crews {
			for _, id := range crew {
				if _, ok := slices.BinarySearch(ids, id); !ok {
					rd.fault(r, b, selection.FieldCrews, rigging.ProblemUnknown, "%q is not in the squad", id)
				}
			}
		}
	}
	return rd.errs
}

// ids returns the squad's IDs, sorted.
func (s *Setup) ids() []string {
	out := make([]string, len(s.Athletes))
	for i, a := range s.Athletes {
		out[i] = a.ID
	}
	slices.Sort(out)
	return out
}

// sides returns the sides to name groups by; none in sculling boats.
func (s *Setup) sides() map[string]rigging.Side {
	if s.Class.Scull {
		return nil
	}
	return SidesOf(s.Athletes)
}

// SidesOf returns the side of each athlete who rows but one, for naming
// groups.
func SidesOf(athletes []selection.Athlete) map[string]rigging.Side {
	out := map[string]rigging.Side{}
	for _, a := range athletes {
		if len(a.SideCost) == 1 {
			for side := range a.SideCost {
				out[a.ID] = side
			}
		}
	}
	return out
}
