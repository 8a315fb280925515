package seatrace

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

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
	// Wanted names the differences that matter; nil stands for all.
	Wanted []Pair
	Model  Model
	// NoiseSD is the expected standard deviation of one boat's time, s.
	NoiseSD float64
	// Tell is the smallest difference, in s of the boat's time, that it
	// matters to tell; 0 for none. Conversion, when filled, serves to name
	// it in watts.
	Tell       float64
	Conversion Conversion
}

// Expected is how certain a schedule will make one difference.
type Expected struct {
	First, Second string
	Wanted        bool
	Estimable     bool
	SD            float64 // standard error, s; 0 when not estimable
	Why           string  // why it is not estimable
	// Pieces is how many pieces of this kind it takes to tell Setup.Tell;
	// 0 when there is nothing to tell or the schedule cannot tell it.
	Pieces int
}

// Change lists who changes place between two pieces.
type Change struct {
	Movers []string
	Swaps  int // pairs, an odd mover counting as one
}

// Forecast is what a schedule will show, before anyone rows.
type Forecast struct {
	Differences []Expected // every two athletes of the squad
	// Missing counts the wanted differences that stay open.
	Missing int
	// SD is the root mean variance of the other wanted differences, s.
	SD float64
	// Rank is the number of independent differences settled.
	Rank int
	// NotEstimable says in words what stays open, and why.
	NotEstimable []string
	// Changes holds the step to every piece from the one before; one fewer
	// than pieces.
	Changes []Change
	// Faults says where the schedule breaks the rules of the setup.
	Faults []string
	// Truth says in words what the schedule cannot tell.
	Truth []string
}

// Evaluate foresees what a schedule will show. Times in it are ignored. It
// returns rigging.FieldErrors for crews that cannot be; too many changes and
// sides that cannot be filled are answered in Faults.
func Evaluate(schedule []selection.Piece, s Setup) (*Forecast, error) {
	errs := s.check()
	var rd reader
	schedule = crewsOnly(schedule)
	rd.readCrews(schedule)
	errs = append(append(errs, rd.errs...), s.checkSchedule(schedule)...)
	if errs != nil {
		return nil, errs
	}
	return s.forecast(schedule), nil
}

// check returns what cannot be right in the setup.
func (s *Setup) check() rigging.FieldErrors {
	var errs rigging.FieldErrors
	refuse := func(field string, kind rigging.Problem, format string, args ...any) {
		errs = append(errs, &rigging.FieldError{Field: field, Problem: kind, Detail: fmt.Sprintf(format, args...)})
	}
	if s.Class.Rowers < 1 {
		refuse("class", rigging.ProblemMissing, "the boat class is not given")
	}
	if s.Boats < 2 {
		refuse("boats", rigging.ProblemRange, "a seat race needs two boats or more")
	}
	if need := s.Boats * s.Class.Rowers; len(s.Athletes) < need {
		refuse("athletes", rigging.ProblemRange, "%d boats of %d seats need %d athletes; there are %d", s.Boats, s.Class.Rowers, need, len(s.Athletes))
	}
	if s.Swaps < 0 {
		refuse("swaps", rigging.ProblemRange, "the number of pairs that may exchange is below 0")
	}
	if !positive(s.NoiseSD) {
		refuse("noise_sd", rigging.ProblemRange, "the standard deviation of a time must be above 0 s")
	}
	if !(s.Tell >= 0) || math.IsInf(s.Tell, 1) {
		refuse("tell", rigging.ProblemRange, "the difference to tell must be 0 s or above")
	}
	errs = append(errs, s.checkAthletes()...)
	if errs == nil {
		errs = append(s.checkSeats(), checkPairs(s.Wanted, s.ids())...)
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
			return rigging.FieldErrors{{Field: "athletes", Problem: rigging.ProblemMismatch, Detail: fmt.Sprintf("%d %s seats, and only %d athletes who can row that side", seats, side, only[side]+both)}}
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
		field := fmt.Sprintf("athletes[%d]", k)
		switch {
		case a.ID == "":
			errs = append(errs, &rigging.FieldError{Field: field + ".id", Problem: rigging.ProblemMissing, Detail: fmt.Sprintf("athlete %d has no name", k+1)})
		case seen[a.ID]:
			errs = append(errs, &rigging.FieldError{Field: field + ".id", Problem: rigging.ProblemMismatch, Detail: a.ID + " is in the squad twice"})
		case !s.Class.Scull && !rows(a, rigging.Port) && !rows(a, rigging.Starboard):
			errs = append(errs, &rigging.FieldError{Field: field + ".sides", Problem: rigging.ProblemMissing, Detail: a.ID + " rows neither side"})
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
	var rd reader
	ids := s.ids()
	for r, p := range schedule {
		if len(p.Crews) != s.Boats {
			rd.fault(r, -1, "crews", rigging.ProblemMismatch, "there are %d boats where %d race", len(p.Crews), s.Boats)
		}
		for b, crew := range p.Crews {
			if len(crew) != s.Class.Rowers {
				rd.fault(r, b, "crews", rigging.ProblemMismatch, "the crew has %d rowers for %d seats", len(crew), s.Class.Rowers)
			}
			for _, id := range crew {
				if _, ok := slices.BinarySearch(ids, id); !ok {
					rd.fault(r, b, "crews", rigging.ProblemUnknown, "%q is not in the squad", id)
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

// forecast evaluates a sound schedule.
func (s *Setup) forecast(schedule []selection.Piece) *Forecast {
	t := newTable(schedule, s.ids(), s.Class.Rowers)
	d := newDesign(t, s.Model)
	sol := d.solve()
	groups := newComparison(t, d, sol, s.Model, s.sides())
	f := &Forecast{Rank: sol.rank, NotEstimable: groups.sentences()}
	wanted := map[[2]int]bool{}
	for _, p := range t.pairs(s.Wanted) {
		wanted[[2]int{min(p[0], p[1]), max(p[0], p[1])}] = true
	}
	for i := range t.ids {
		for j := i + 1; j < len(t.ids); j++ {
			f.add(s.expect(groups, sol, i, j, len(schedule)), wanted[[2]int{i, j}])
		}
	}
	f.SD = math.Sqrt(f.SD / float64(max(len(wanted)-f.Missing, 1)))
	f.changes(schedule, t.ids)
	s.fault(f, schedule)
	f.Truth = s.truth(f, schedule)
	return f
}

// expect foresees one difference.
func (s *Setup) expect(groups *comparison, sol *solution, i, j, pieces int) Expected {
	e := Expected{First: groups.ids[i], Second: groups.ids[j], Estimable: groups.same(i, j)}
	if !e.Estimable {
		e.Why = groups.why(i, j)
		return e
	}
	e.SD = s.NoiseSD * math.Sqrt(max(pairForm(sol.cov, i, j), 0))
	if s.Tell > 0 {
		e.Pieces = PiecesToTell(s.Tell, e.SD, pieces)
	}
	return e
}

// add enters one difference; f.SD gathers the wanted variances.
func (f *Forecast) add(e Expected, wanted bool) {
	e.Wanted = wanted
	f.Differences = append(f.Differences, e)
	switch {
	case wanted && e.Estimable:
		f.SD += e.SD * e.SD
	case wanted:
		f.Missing++
	}
}

// tellFactor is how many standard errors a difference must measure to be
// told: a 95 % interval then leaves out zero with a chance of 80 %, the usual
// terms of a sample size (common practice).
var tellFactor = distuv.UnitNormal.Quantile(0.975) + distuv.UnitNormal.Quantile(0.8)

// PiecesToTell returns how many pieces it takes to tell a difference when so
// many pieces give it the standard deviation sd: its variance falls with the
// number of pieces rowed. A difference counts as told when a 95 % interval
// leaves out zero with a chance of 80 %. It panics unless the difference is
// above 0.
func PiecesToTell(difference, sd float64, pieces int) int {
	if !(difference > 0) {
		panic("seatrace: the difference to tell must be above 0")
	}
	ratio := tellFactor * sd / difference
	need := math.Ceil(float64(pieces)*ratio*ratio - 1e-9)
	return int(min(max(need, 1), math.MaxInt32))
}

// changes lists who moves between the pieces.
func (f *Forecast) changes(schedule []selection.Piece, ids []string) {
	for r := 1; r < len(schedule); r++ {
		var c Change
		for _, id := range ids {
			if boatOf(schedule[r-1], id) != boatOf(schedule[r], id) {
				c.Movers = append(c.Movers, id)
			}
		}
		c.Swaps = (len(c.Movers) + 1) / 2
		f.Changes = append(f.Changes, c)
	}
}

// boatOf returns the boat of an athlete, -1 ashore.
func boatOf(p selection.Piece, id string) int {
	return slices.IndexFunc(p.Crews, func(crew []string) bool { return slices.Contains(crew, id) })
}

// fault notes where the schedule breaks the rules.
func (s *Setup) fault(f *Forecast, schedule []selection.Piece) {
	for k, c := range f.Changes {
		if s.Swaps > 0 && c.Swaps > s.Swaps {
			f.Faults = append(f.Faults, fmt.Sprintf("before piece %d %s change places: more than the %d allowed", k+2, nameList(c.Movers), 2*s.Swaps))
		}
	}
	if s.Class.Scull {
		return
	}
	athletes := map[string]selection.Athlete{}
	for _, a := range s.Athletes {
		athletes[a.ID] = a
	}
	for r, p := range schedule {
		for b, crew := range p.Crews {
			f.faultSides(r, b, crew, athletes, s.Class.Rowers)
		}
	}
}

// faultSides notes a boat that has too many rowers of one side; half of the
// seats are on each.
func (f *Forecast) faultSides(r, b int, crew []string, athletes map[string]selection.Athlete, seats int) {
	for _, side := range []rigging.Side{rigging.Port, rigging.Starboard} {
		var bound []string
		for _, id := range crew {
			if !rows(athletes[id], side.Other()) {
				bound = append(bound, id)
			}
		}
		if len(bound) > seats/2 {
			f.Faults = append(f.Faults, fmt.Sprintf("piece %d, boat %d: %s row %s only, for %d such seats", r+1, b+1, nameList(bound), side, seats/2))
		}
	}
}

// truth says what the schedule cannot tell.
func (s *Setup) truth(f *Forecast, schedule []selection.Piece) []string {
	var out []string
	if f.Missing > 0 {
		wanted, first := 0, ""
		for _, e := range f.Differences {
			if e.Wanted {
				wanted++
			}
			if e.Wanted && !e.Estimable && first == "" {
				first = fmt.Sprintf("%s against %s: %s", e.First, e.Second, e.Why)
			}
		}
		out = append(out, fmt.Sprintf("%d of the %d wanted differences stay open (%s)", f.Missing, wanted, first))
	}
	if least := s.leastPieces(); least > len(schedule) {
		out = append(out, fmt.Sprintf("no schedule of fewer than %d pieces can tell all that is wanted; there are %d", least, len(schedule)))
	}
	if hardest := f.hardest(); hardest.Pieces > len(schedule) {
		out = append(out, fmt.Sprintf("telling %s between %s and %s would need about %d pieces of this kind; there are %d",
			s.tellText(), hardest.First, hardest.Second, hardest.Pieces, len(schedule)))
	}
	return out
}

// leastPieces returns how many pieces it takes at the least to settle the
// wanted differences that any crews could: one independent margin for each,
// besides those that hulls and trends take up. Where nobody rows both sides,
// ports and starboards are left out.
func (s *Setup) leastPieces() int {
	ids, only := s.ids(), s.sides()
	t := newTable(nil, ids, s.Class.Rowers)
	linked := make([]int, len(ids))
	for i := range linked {
		linked[i] = i
	}
	need := 0
	for _, p := range t.pairs(s.Wanted) {
		split := len(only) == len(ids) && only[ids[p[0]]] != only[ids[p[1]]]
		if a, b := linked[p[0]], linked[p[1]]; a != b && !split {
			relabel(linked, a, b)
			need++
		}
	}
	margins, taken := s.Boats-1, 0
	if s.Model.Absolute {
		margins, taken = s.Boats, 1
	}
	if s.Model.Hulls {
		taken += s.Boats - 1
	}
	if s.Model.Trends {
		taken += margins
	}
	return (need + taken + margins - 1) / margins
}

// hardest returns the wanted difference that needs most pieces.
func (f *Forecast) hardest() Expected {
	var out Expected
	for _, e := range f.Differences {
		if e.Wanted && e.Pieces > out.Pieces {
			out = e
		}
	}
	return out
}

// tellText names the difference to tell.
func (s *Setup) tellText() string {
	text := fmt.Sprintf("%.2f s", s.Tell)
	if s.Conversion.check() == nil {
		text = fmt.Sprintf("%.0f W (%s)", s.Conversion.Watts(s.Tell), text)
	}
	return text
}
