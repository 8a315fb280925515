package lineup

import (
	"math"
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
	// Bow on starboard and forward of mid-boat turns the other way than a
	// starboard stroke would: the sign changes where the oar stands square.
	if moment[0]*moment[len(moment)-1] > 0 {
		t.Error("the moment does not change its sign from catch to finish")
	}
}
