package lineup

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"thole/rigging"
	"thole/selection"
)

// TestTurningSquaresToTheYawTerm holds the moment through the drive against the
// yaw term of the same line-up, which is found by another way.
func TestTurningSquaresToTheYawTerm(t *testing.T) {
	class, _ := rigging.ClassByCode("8+")
	p := Problem{
		Class: class, Catch: DefaultCatch, Finish: DefaultFinish, Spacing: DefaultSpacing, Weights: Weights{Yaw: 0.7},
		Pace: Pace{Distance: 2000, Efficiency: 0.74, Drag: 12.7, ReferenceMass: 805, MassExponent: 0.5, FixedMass: 175},
	}
	var l selection.Lineup
	for s := range 8 {
		curve := make([]float64, selection.CurveNodes)
		for u := range curve {
			x := float64(u) / float64(len(curve)-1)
			curve[u] = math.Pow(x, 0.8+0.05*float64(s)) * (1 - x)
		}
		id := string(rune('a' + s))
		p.Candidates = append(p.Candidates, selection.Athlete{
			ID: id, Name: id, Mass: 80 + float64(s), Power: 350 + 9*float64(s), Curve: curve,
			SideCost: map[rigging.Side]float64{rigging.Port: 0, rigging.Starboard: 0},
		})
		l.Seats = append(l.Seats, id)
	}
	l.Sides = alternating(8)
	scored, err := Evaluate(p, l)
	if err != nil {
		t.Fatal(err)
	}
	moment, err := Turning(p, l)
	if err != nil {
		t.Fatal(err)
	}
	ones := make([]float64, len(moment))
	for u := range ones {
		ones[u] = 1
	}
	if got, want := p.Weights.Yaw*overlap(moment, moment, ones), scored.Terms.Yaw; math.Abs(got-want) > 1e-9 {
		t.Errorf("the moment squares to %v s, the yaw term is %v s", got, want)
	}
}

// A pair with bow on port and stroke on starboard, who pull alike and evenly:
// σx is +0.7 m for both, so that the moment goes with the sine of the oar angle,
// and is ∓1.4 m against the reference's ±1.4 m at every node.
func TestTurningHasTheSignOfAStarboardStroke(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(1, 61)), class(t, "2-"), 2, 0)
	for i := range p.Candidates {
		p.Candidates[i].Power, p.Candidates[i].Curve = 400, slices.Repeat([]float64{1}, selection.CurveNodes)
	}
	moment, err := Turning(p, selection.Lineup{Seats: []string{"a00", "a01"}, Sides: []rigging.Side{port, stbd}})
	if err != nil {
		t.Fatal(err)
	}
	// The root of the mean of sin²θ from −55° to 34°: 1/2 − (sin 68° + sin 110°)/(4·89°),
	// to what 101 nodes leave of the integral.
	root := math.Sqrt(0.5 - (math.Sin(68*math.Pi/180)+math.Sin(110*math.Pi/180))/(4*89*math.Pi/180))
	for u, angle := range map[int]float64{0: -55, 50: -10.5, 100: 34} {
		if want := math.Sin(angle*math.Pi/180) / root; math.Abs(moment[u]-want) > 1e-3 {
			t.Errorf("node %d: %v, expected %v", u, moment[u], want)
		}
	}
}

// Force where the oar stands square turns nothing, and there is no reference to
// compare with.
func TestForceThatCannotTurnCostsNoYaw(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(1, 63)), class(t, "2-"), 2, 0)
	p.Catch, p.Finish = -50*rigging.Degree, 50*rigging.Degree
	for i := range p.Candidates {
		p.Candidates[i].Curve = make([]float64, selection.CurveNodes)
		p.Candidates[i].Curve[50] = 700
	}
	l := selection.Lineup{Seats: []string{"a00", "a01"}, Sides: []rigging.Side{port, stbd}}
	scored, err := Evaluate(p, l)
	if err != nil || scored.Terms.Yaw != 0 {
		t.Errorf("a yaw of %v, %v", scored.Terms.Yaw, err)
	}
	moment, err := Turning(p, l)
	if err != nil || slices.ContainsFunc(moment, func(m float64) bool { return m != 0 }) {
		t.Errorf("a moment of %v, %v", moment, err)
	}
}
