package lineup_test

import (
	"context"
	"fmt"

	"thole/rigging"
	"thole/selection"
	"thole/selection/lineup"
)

// A coxless pair from three athletes of whom one rows both sides.
func ExampleSolve() {
	pair, _ := rigging.ClassByCode("2-")
	port, starboard := rigging.Port, rigging.Starboard
	p := lineup.Problem{
		Class:   pair,
		Pattern: []rigging.Side{starboard, port},
		Candidates: []selection.Athlete{
			{ID: "a", Name: "Ada", Mass: 72, Power: 330, SideCost: map[rigging.Side]float64{port: 0}},
			{ID: "b", Name: "Bea", Mass: 75, Power: 350, SideCost: map[rigging.Side]float64{starboard: 0}},
			{ID: "c", Name: "Cleo", Mass: 74, Power: 340, SideCost: map[rigging.Side]float64{port: 0.8, starboard: 0}},
		},
		Pace: lineup.Pace{
			Distance: 2000, Efficiency: 0.742, Drag: 5.06,
			ReferenceMass: 211, MassExponent: 0.5, FixedMass: 33,
		},
		Weights: lineup.DefaultWeights,
		Catch:   lineup.DefaultCatch, Finish: lineup.DefaultFinish, Spacing: lineup.DefaultSpacing,
	}
	result, err := lineup.Solve(context.Background(), p, lineup.Options{Count: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range result.Lineups {
		fmt.Printf("%v %.2f s, of which side %.2f s\n", l.Lineup.Seats, l.Terms.Total(), l.Terms.Side)
	}
	fmt.Println("proven:", result.Proven)
	// Output:
	// [b c] 420.07 s, of which side 0.80 s
	// [b a] 420.52 s, of which side 0.00 s
	// proven: true
}
