package lineup

import (
	"context"
	"fmt"
	"iter"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"thole/rigging"
	"thole/selection"
)

const (
	stbd = rigging.Starboard
	port = rigging.Port
)

// eightPace is an eight with coxswain: a boat of 96 kg, a coxswain of 55 kg
// and 3 kg of oar and gear for each rower, at figures of the usual size.
var eightPace = Pace{
	Distance: 2000, Efficiency: 0.742, Drag: 12.94, ReferenceMass: 862,
	MassExponent: 0.5, FixedMass: 96 + 55 + 24,
}

func class(t testing.TB, code string) rigging.Class {
	t.Helper()
	c, ok := rigging.ClassByCode(code)
	if !ok {
		t.Fatalf("no class %s", code)
	}
	return c
}

// squadOf draws a squad of n for a boat: powers of about 400 W with the given
// spread, masses that go with them, and stroke shapes that lean to the catch
// or to the finish.
func squadOf(r *rand.Rand, c rigging.Class, n int, spread float64) Problem {
	p := Problem{
		Class: c, Pace: eightPace, Weights: DefaultWeights,
		Catch: DefaultCatch, Finish: DefaultFinish, Spacing: DefaultSpacing,
	}
	for i := range n {
		big := r.NormFloat64()
		p.Candidates = append(p.Candidates, selection.Athlete{
			ID: fmt.Sprintf("a%02d", i), Name: fmt.Sprintf("Rower %02d", i),
			Female: r.IntN(2) == 0, Mass: 85 + 7*big,
			Power: 400 + spread*(0.4*big+0.9*r.NormFloat64()), PowerSD: 10,
			SideCost: map[rigging.Side]float64{stbd: 0, port: 0},
			Curve:    strokeOf(r),
		})
	}
	return p
}

func strokeOf(r *rand.Rand) []float64 {
	curve := make([]float64, selection.CurveNodes)
	rise, fall := max(0.4, 1+0.25*r.NormFloat64()), max(0.4, 1+0.25*r.NormFloat64())
	ripple := 0.05 * r.NormFloat64()
	for u := range curve {
		x := float64(u) / 100
		curve[u] = max(0, 800*math.Pow(x, rise)*math.Pow(1-x, fall)*(1+ripple*math.Sin(9*x)))
	}
	return curve
}

// oneSided gives the athletes a side in turn, the other at a cost to one in
// four and not at all to the rest.
func oneSided(r *rand.Rand, p *Problem) {
	for i := range p.Candidates {
		side := alternating(2)[i%2]
		costs := map[rigging.Side]float64{side: 0}
		if r.IntN(4) == 0 {
			costs[side.Other()] = 0.3 + 0.7*r.Float64()
		}
		p.Candidates[i].SideCost = costs
	}
}

// randomProblem draws a small problem with any of the rules.
func randomProblem(t testing.TB, r *rand.Rand) Problem {
	codes := []string{"1x", "2x", "2-", "4x", "4-", "4+"}
	c := class(t, codes[r.IntN(len(codes))])
	p := squadOf(r, c, c.Rowers+r.IntN(3), 30*r.Float64())
	p.Pace.FixedMass, p.Pace.ReferenceMass = 20*float64(c.Rowers), c.ReferenceMass
	p.Weights = Weights{Likeness: 20 * r.Float64(), Yaw: 5 * r.Float64()}
	for i := range p.Candidates {
		a := &p.Candidates[i]
		a.SideCost = map[rigging.Side]float64{stbd: r.Float64(), port: r.Float64()}
		switch r.IntN(5) {
		case 0:
			delete(a.SideCost, stbd)
		case 1:
			delete(a.SideCost, port)
		case 2:
			a.Curve = nil
		}
		if r.IntN(4) == 0 {
			p.SeatCosts = append(p.SeatCosts, SeatCost{ID: a.ID, Seat: 1 + r.IntN(c.Rowers), Cost: r.NormFloat64()})
		}
	}
	if !c.Scull && r.IntN(2) == 0 {
		all := patterns(c.Rowers, nil)
		p.Pattern = all[r.IntN(len(all))]
		if r.IntN(3) == 0 {
			p.Pattern = slices.Clone(p.Pattern)
			p.Pattern[r.IntN(c.Rowers)] = 0
		}
	}
	ruleRandomly(r, &p)
	return p
}

// ruleRandomly adds a few rules, some of them at odds with each other.
func ruleRandomly(r *rand.Rand, p *Problem) {
	one := func() string { return p.Candidates[r.IntN(len(p.Candidates))].ID }
	some := func() bool { return r.IntN(5) == 0 }
	pair := func() (out []Pair) {
		if a, b := one(), one(); some() && a != b {
			out = append(out, Pair{a, b})
		}
		return out
	}
	rules := Rules{Apart: pair(), Adjacent: pair(), Never: pair()}
	if some() {
		rules.Pins = append(rules.Pins, Pin{one(), 1 + r.IntN(p.Class.Rowers)})
	}
	if some() {
		rules.Must = append(rules.Must, one())
	}
	if some() {
		rules.Out = append(rules.Out, one())
	}
	if some() {
		rules.MeanMass = 78 + 8*r.Float64()
	}
	if some() {
		rules.MaxMass = 85 + 8*r.Float64()
	}
	if some() {
		rules.WomenMin = r.IntN(p.Class.Rowers + 1)
	}
	if some() {
		most := r.IntN(p.Class.Rowers + 1)
		rules.WomenMax = &most
	}
	if some() {
		rules.MenMin = r.IntN(p.Class.Rowers)
	}
	if some() {
		most := r.IntN(p.Class.Rowers + 1)
		rules.MenMax = &most
	}
	p.Rules = rules
}

// slowTerms costs a line-up straight from the definition, node by node.
func slowTerms(p Problem, l selection.Lineup) Terms { return newSlow(p).terms(l) }

// slow is the definition of the cost, with what all line-ups share.
type slow struct {
	p         Problem
	index     map[string]int
	shapes    [][]float64
	reference float64 // ⟨M_ref²⟩
	meanPower float64
	sine      [selection.CurveNodes]float64
	distances map[[2]int]float64
}

func newSlow(p Problem) *slow {
	s := &slow{p: p, index: map[string]int{}, shapes: slowShapes(p), distances: map[[2]int]float64{}}
	for i, a := range p.Candidates {
		s.index[a.ID] = i
		s.meanPower += a.Power / float64(len(p.Candidates))
	}
	for k := range s.sine {
		s.sine[k] = math.Sin(p.Catch.Radians() + (p.Finish-p.Catch).Radians()*float64(k)/100)
	}
	usual := make([]rigging.Side, p.Class.Rowers)
	for k := range usual {
		usual[k] = []rigging.Side{stbd, port}[k%2]
	}
	average := slowAverage(p)
	s.reference = s.squareMoment(usual, func(_, k int) float64 { return average[k] })
	return s
}

func (o *slow) squareMoment(sides []rigging.Side, force func(s, k int) float64) float64 {
	return slowMean(func(k int) float64 {
		var m float64
		for s, side := range sides {
			x := (float64(s+1) - float64(len(sides)+1)/2) * o.p.Spacing
			m += float64(side) * x * force(s, k)
		}
		return m * m * o.sine[k] * o.sine[k]
	})
}

func (o *slow) terms(l selection.Lineup) (t Terms) {
	var power, mass float64
	for s, id := range l.Seats {
		a := o.p.Candidates[o.index[id]]
		power += a.Power
		mass += a.Mass
		if len(l.Sides) > 0 {
			t.Side += a.SideCost[l.Sides[s]]
		}
		for _, c := range o.p.SeatCosts {
			if c.ID == id && c.Seat == s+1 {
				t.Seat += c.Cost
			}
		}
	}
	pace := o.p.Pace
	k := pace.Drag * math.Pow((mass+pace.FixedMass)/pace.ReferenceMass, pace.MassExponent)
	t.Pace = pace.Distance / math.Pow(pace.Efficiency*power/k, 1.0/3)
	t.Likeness = o.p.Weights.Likeness * o.unlikeness(l)
	if len(l.Sides) > 0 {
		at := make([]int, len(l.Seats))
		for s, id := range l.Seats {
			at[s] = o.index[id]
		}
		own := o.squareMoment(l.Sides, func(s, k int) float64 {
			return o.shapes[at[s]][k] * o.p.Candidates[at[s]].Power / o.meanPower
		})
		t.Yaw = o.p.Weights.Yaw * own / o.reference
	}
	for s, side := range o.p.Rigged {
		if l.Sides[s] != side {
			t.Rig += o.p.Rerig
		}
	}
	return t
}

func (o *slow) unlikeness(l selection.Lineup) float64 {
	var sum, weight float64
	for s := range l.Seats {
		for u := s + 1; u < len(l.Seats); u++ {
			w := slowCloseness(l.Sides, s, u)
			sum += w * o.distance(o.index[l.Seats[s]], o.index[l.Seats[u]])
			weight += w
		}
	}
	if weight == 0 {
		return 0
	}
	return sum / weight
}

// distance is D of two athletes, which is found once.
func (o *slow) distance(i, j int) float64 {
	key := [2]int{i, j}
	if d, ok := o.distances[key]; ok {
		return d
	}
	f, g := o.shapes[i], o.shapes[j]
	o.distances[key] = slowMean(func(k int) float64 { return math.Abs(f[k]-g[k]) / 2 })
	return o.distances[key]
}

func slowMean(f func(k int) float64) float64 {
	var sum float64
	for k := range 100 {
		sum += (f(k) + f(k+1)) / 2 / 100
	}
	return sum
}

func slowShape(curve []float64) []float64 {
	area := slowMean(func(k int) float64 { return max(curve[k], 0) })
	out := make([]float64, len(curve))
	for k := range out {
		out[k] = max(curve[k], 0) / area
	}
	return out
}

func slowAverage(p Problem) []float64 {
	out := make([]float64, selection.CurveNodes)
	var known float64
	for _, a := range p.Candidates {
		if a.Curve == nil {
			continue
		}
		known++
		for k, f := range slowShape(a.Curve) {
			out[k] += f
		}
	}
	for k := range out {
		if out[k] = out[k] / known; known == 0 {
			out[k] = 1
		}
	}
	return out
}

func slowShapes(p Problem) (out [][]float64) {
	for _, a := range p.Candidates {
		if a.Curve == nil {
			out = append(out, slowAverage(p))
		} else {
			out = append(out, slowShape(a.Curve))
		}
	}
	return out
}

// slowCloseness is 1 for neighbours in rhythm, ½ for other neighbours in the
// boat, 0.1 for the rest.
func slowCloseness(sides []rigging.Side, s, u int) float64 {
	if len(sides) == 0 {
		if u == s+1 {
			return 1
		}
		return 0.1
	}
	if sides[s] == sides[u] {
		next := slices.Index(sides[s+1:], sides[s]) + s + 1
		if next == u {
			return 1
		}
		return 0.1
	}
	if u == s+1 {
		return 0.5
	}
	return 0.1
}

// slowKeeps reports whether a line-up keeps the rules, from their wording.
func slowKeeps(p Problem, l selection.Lineup) bool {
	at := map[string]int{}
	by := map[string]selection.Athlete{}
	for _, a := range p.Candidates {
		by[a.ID] = a
	}
	var women int
	var mass float64
	for s, id := range l.Seats {
		at[id] = s + 1
		a := by[id]
		mass += a.Mass
		if a.Female {
			women++
		}
		if len(l.Sides) > 0 {
			if _, ok := a.SideCost[l.Sides[s]]; !ok {
				return false
			}
			if len(p.Pattern) > 0 && p.Pattern[s] != 0 && p.Pattern[s] != l.Sides[s] {
				return false
			}
		}
		if p.Rules.MaxMass > 0 && a.Mass > p.Rules.MaxMass {
			return false
		}
	}
	r, n := p.Rules, len(l.Seats)
	if r.MeanMass > 0 && mass/float64(n) > r.MeanMass {
		return false
	}
	if women < r.WomenMin || n-women < r.MenMin || r.WomenMax != nil && women > *r.WomenMax || r.MenMax != nil && n-women > *r.MenMax {
		return false
	}
	return slowKeepsNames(r, at)
}

func slowKeepsNames(r Rules, at map[string]int) bool {
	for _, p := range r.Pins {
		if at[p.ID] != p.Seat {
			return false
		}
	}
	for _, id := range r.Must {
		if at[id] == 0 {
			return false
		}
	}
	for _, id := range r.Out {
		if at[id] != 0 {
			return false
		}
	}
	both := func(p Pair) bool { return at[p.First] != 0 && at[p.Second] != 0 }
	beside := func(p Pair) bool { return at[p.First]-at[p.Second] == 1 || at[p.Second]-at[p.First] == 1 }
	for _, p := range r.Never {
		if both(p) {
			return false
		}
	}
	for _, p := range r.Apart {
		if both(p) && beside(p) {
			return false
		}
	}
	for _, p := range r.Adjacent {
		if both(p) && !beside(p) {
			return false
		}
	}
	return true
}

// slowAllowed returns every line-up that keeps the rules.
func slowAllowed(p Problem) iter.Seq[selection.Lineup] {
	sides := [][]rigging.Side{nil}
	if !p.Class.Scull {
		sides = slowPatterns(p)
	}
	return func(yield func(selection.Lineup) bool) {
		for _, pattern := range sides {
			done := false
			every(p.Class.Rowers, len(p.Candidates), func(x []int) {
				if done {
					return
				}
				l := selection.Lineup{Sides: pattern, Seats: make([]string, len(x))}
				for s, i := range x {
					l.Seats[s] = p.Candidates[i].ID
				}
				done = slowKeeps(p, l) && !yield(l)
			})
			if done {
				return
			}
		}
	}
}

// slowCan reports whether any line-up keeps the rules.
func slowCan(p Problem) bool {
	for range slowAllowed(p) {
		return true
	}
	return false
}

// slowSolve costs every line-up that keeps the rules, best first; totals
// within a nanosecond are in no particular order.
func slowSolve(p Problem) []Scored {
	var all []Scored
	cost := newSlow(p)
	for l := range slowAllowed(p) {
		all = append(all, Scored{Lineup: l, Terms: cost.terms(l)})
	}
	slices.SortFunc(all, func(a, b Scored) int {
		if a.Terms.Total() < b.Terms.Total() {
			return -1
		}
		return 1
	})
	return all
}

// slowPatterns lists every order of the sides that the pattern allows: the
// given one, or all with as many ports as starboards.
func slowPatterns(p Problem) (out [][]rigging.Side) {
	n := p.Class.Rowers
	given := len(p.Pattern) > 0 && !slices.Contains(p.Pattern, 0)
	for bits := range 1 << n {
		sides := make([]rigging.Side, n)
		sum := 0
		for s := range sides {
			sides[s] = stbd
			if bits>>s&1 == 1 {
				sides[s] = port
			}
			sum += int(sides[s])
		}
		if sum == 0 || given {
			out = append(out, sides)
		}
	}
	return out
}

func mustSolve(t testing.TB, p Problem, o Options) Result {
	t.Helper()
	result, err := Solve(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	if !result.Proven {
		t.Fatal("the search was not finished")
	}
	return result
}

// near compares with the tolerance of totals that add up in another order.
func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// cases is how many random cases, of n, are tried: an eighth under -short, where
// what is looked for is races, not answers.
func cases(n uint64) uint64 {
	if testing.Short() {
		return n / 8
	}
	return n
}
