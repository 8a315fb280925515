package lineup

import (
	"cmp"
	"math"
	"slices"

	"thole/rigging"
	"thole/selection"
)

// squad is a checked problem in numbers, its athletes sorted by name so that
// the order in which they were given cannot matter.
type squad struct {
	p        Problem
	seats    int
	athletes []selection.Athlete // sorted by name, then ID
	index    map[string]int      // by ID
	power    []float64           // W
	mass     []float64           // kg
	seatCost []float64           // [s·n+i], s
	distance []float64           // [i·n+j], D of the shapes
	overlap  []float64           // [i·n+j], ⟨shape_i shape_j sin²θ⟩
	gram     []float64           // [i·n+j], overlap times both strengths and yawUnit, s/m²
	arms     []float64           // m
	yawUnit  float64             // s/m², Weights.Yaw/⟨M_ref²⟩
	noCurve  []string
}

// newSquad prepares a problem that has passed check.
func newSquad(p Problem) *squad {
	q := &squad{p: p, seats: p.Class.Rowers, index: map[string]int{}}
	q.athletes = slices.Clone(p.Candidates)
	slices.SortFunc(q.athletes, func(a, b selection.Athlete) int {
		return cmp.Or(cmp.Compare(calledBy(a), calledBy(b)), cmp.Compare(a.ID, b.ID))
	})
	n := len(q.athletes)
	power := make([]float64, n)
	for i, a := range q.athletes {
		q.index[a.ID] = i
		power[i] = a.Power
		q.mass = append(q.mass, a.Mass)
		if a.Curve == nil {
			q.noCurve = append(q.noCurve, a.ID)
		}
	}
	q.seatCost = make([]float64, q.seats*n)
	for _, c := range p.SeatCosts {
		q.seatCost[(c.Seat-1)*n+q.index[c.ID]] += c.Cost
	}
	q.compareCurves()
	return q.withPower(power)
}

// calledBy is the name an athlete is sorted by.
func calledBy(a selection.Athlete) string { return cmp.Or(a.Name, a.ID) }

// compareCurves fills what depends on the stroke curves.
func (q *squad) compareCurves() {
	n := len(q.athletes)
	curves := make([][]float64, n)
	for i, a := range q.athletes {
		curves[i] = a.Curve
	}
	shapes, average := squadShapes(curves, selection.CurveNodes)
	turning := q.turning()
	q.distance = make([]float64, n*n)
	q.overlap = make([]float64, n*n)
	for i := range n {
		for j := i; j < n; j++ {
			d, o := distance(shapes[i], shapes[j]), overlap(shapes[i], shapes[j], turning)
			q.distance[i*n+j], q.distance[j*n+i] = d, d
			q.overlap[i*n+j], q.overlap[j*n+i] = o, o
		}
	}
	q.arms = Arms(q.seats, q.p.Spacing)
	if q.sweep() && q.p.Weights.Yaw > 0 {
		var reference float64
		for s, side := range alternating(q.seats) {
			reference += float64(side) * q.arms[s]
		}
		// Where the mean shape has force only when the oar stands square, so
		// have all shapes, and nothing turns the boat.
		if square := reference * reference * overlap(average, average, turning); square > 0 {
			q.yawUnit = q.p.Weights.Yaw / square
		}
	}
}

func (q *squad) sweep() bool { return !q.p.Class.Scull }

// turning is sin²θ at the nodes of the drive.
func (q *squad) turning() []float64 {
	w := make([]float64, selection.CurveNodes)
	for u := range w {
		share := float64(u) / float64(len(w)-1)
		theta := q.p.Catch.Radians()*(1-share) + q.p.Finish.Radians()*share
		w[u] = math.Sin(theta) * math.Sin(theta)
	}
	return w
}

// overlap is the mean of f·g·w over the drive.
func overlap(f, g, w []float64) float64 {
	last := len(f) - 1
	sum := -(f[0]*g[0]*w[0] + f[last]*g[last]*w[last]) / 2
	for u := range f {
		sum += f[u] * g[u] * w[u]
	}
	return sum / float64(last)
}

// withPower returns the squad with other powers, in its own order. The moment
// of each athlete goes with their power against the mean of all candidates.
func (q *squad) withPower(power []float64) *squad {
	r := *q
	r.power = power
	n := len(power)
	var sum float64
	for _, p := range power {
		sum += p
	}
	r.gram = make([]float64, n*n)
	for i := range n {
		for j := range n {
			r.gram[i*n+j] = q.yawUnit * q.overlap[i*n+j] * (power[i] * float64(n) / sum) * (power[j] * float64(n) / sum)
		}
	}
	return &r
}

func (q *squad) canRow(i int, side rigging.Side) bool {
	_, ok := q.athletes[i].SideCost[side]
	return ok
}

// sideCost is the cost in s of athlete i rowing a side, +Inf when they cannot.
func (q *squad) sideCost(i int, side rigging.Side) float64 {
	if c, ok := q.athletes[i].SideCost[side]; ok {
		return c
	}
	return math.Inf(1)
}

// crewSum returns the summed power in W and mass in kg.
func (q *squad) crewSum(crew []int) (power, mass float64) {
	for _, i := range crew {
		power += q.power[i]
		mass += q.mass[i]
	}
	return power, mass
}

// terms is the cost of athlete crew[s] in seat s. It is the one place that
// computes a total to be shown or compared, so that equal line-ups cost equal
// to the last bit.
func (q *squad) terms(crew []int, rig *rig) Terms {
	n := len(q.athletes)
	var t Terms
	t.Pace = q.p.Pace.Time(q.crewSum(crew))
	var moment float64
	for s, i := range crew {
		t.Seat += q.seatCost[s*n+i]
		if q.sweep() {
			t.Side += q.sideCost(i, rig.sides[s])
		}
		moment += rig.lever[s] * rig.lever[s] * q.gram[i*n+i]
		for u := s + 1; u < len(crew); u++ {
			j := crew[u]
			t.Likeness += rig.kinship[s][u] * q.distance[i*n+j]
			moment += 2 * rig.lever[s] * rig.lever[u] * q.gram[i*n+j]
		}
	}
	t.Likeness *= q.p.Weights.Likeness
	// The mean of a square: what rounding leaves below zero is zero.
	t.Yaw = math.Max(moment, 0)
	t.Rig = q.p.Rerig * float64(len(rig.moved))
	return t
}

// rig is what follows from the sides of the seats.
type rig struct {
	order   int            // among all orders of the sides
	sides   []rigging.Side // nil in a sculling boat
	lever   []float64      // σ_s x_s in m
	kinship [][]float64
	moved   []int // seats, from 0, whose side is not as the boat stands
}

// rigs returns the rigs that the pattern leaves open.
func (q *squad) rigs() []*rig {
	if !q.sweep() {
		return []*rig{q.rig(nil)}
	}
	var rigs []*rig
	for k, sides := range patterns(q.seats, q.p.Pattern) {
		rigs = append(rigs, q.rig(sides))
		rigs[k].order = k
	}
	return rigs
}

func (q *squad) rig(sides []rigging.Side) *rig {
	r := &rig{sides: sides, kinship: kinship(q.seats, sides), lever: make([]float64, q.seats)}
	for s := range sides {
		r.lever[s] = float64(sides[s]) * q.arms[s]
		if q.rerigged(s, sides[s]) {
			r.moved = append(r.moved, s)
		}
	}
	return r
}

// rerigged reports whether a side of a seat is not the one it stands rigged for.
func (q *squad) rerigged(seat int, side rigging.Side) bool {
	return len(q.p.Rigged) > 0 && q.p.Rigged[seat] != side
}

// scored writes a crew out for the caller.
func (q *squad) scored(crew []int, r *rig) Scored {
	out := Scored{Terms: q.terms(crew, r), Speed: q.p.Pace.Speed(q.crewSum(crew))}
	for _, i := range crew {
		out.Lineup.Seats = append(out.Lineup.Seats, q.athletes[i].ID)
	}
	out.Lineup.Sides = slices.Clone(r.sides)
	for _, s := range r.moved {
		out.Rerigged = append(out.Rerigged, s+1)
	}
	return out
}
