package seatrace_test

import (
	"context"
	"fmt"

	"thole/rigging"
	"thole/selection"
	"thole/selection/seatrace"
)

// Two doubles race four times; Ann and Cat change boats after each piece.
func ExampleEstimate() {
	first := [][]string{{"Ann", "Bea"}, {"Cat", "Dot"}}
	second := [][]string{{"Cat", "Bea"}, {"Ann", "Dot"}}
	result, err := seatrace.Estimate([]selection.Piece{
		{Crews: first, Times: []float64{221.0, 223.4}},
		{Crews: second, Times: []float64{222.9, 221.8}},
		{Crews: first, Times: []float64{221.7, 223.5}},
		{Crews: second, Times: []float64{223.8, 222.3}},
	}, seatrace.Options{Distance: 1000})
	if err != nil {
		fmt.Println(err)
		return
	}
	d := result.Racing.Difference("Ann", "Cat")
	fmt.Printf("Ann over Cat: %.2f s (%.2f to %.2f), faster with a chance of %.1f %%\n", d.Seconds, d.Low, d.High, 100*d.ChanceFirstFaster)
	fmt.Println(result.Racing.Difference("Ann", "Bea").Why)
	// Output:
	// Ann over Cat: 1.70 s (-0.43 to 3.83), faster with a chance of 95.2 %
	// the boats of a piece always had the same number of Ann and Cat, so that they cannot be compared with Bea and Dot
}

// Four scullers in two doubles, one pair changing at a time: what will three
// pieces tell?
func ExamplePlan() {
	class, _ := rigging.ClassByCode("2x")
	schedule, err := seatrace.Plan(context.Background(), seatrace.Request{
		Setup: seatrace.Setup{
			Athletes: []selection.Athlete{{ID: "Ann"}, {ID: "Bea"}, {ID: "Cat"}, {ID: "Dot"}},
			Class:    class,
			Boats:    2,
			Swaps:    1,
			NoiseSD:  1.2,
			Smallest: 0.5,
		},
		Pieces: 3,
		Seed:   1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range schedule.Forecast.Differences {
		fmt.Printf("%s against %s: ± %.2f s\n", d.First, d.Second, d.SD)
	}
	fmt.Println(schedule.Forecast.Truth[0])
	// Output:
	// Ann against Bea: ± 1.20 s
	// Ann against Cat: ± 1.20 s
	// Ann against Dot: ± 1.20 s
	// Bea against Cat: ± 1.20 s
	// Bea against Dot: ± 1.20 s
	// Cat against Dot: ± 1.20 s
	// to show 0.50 s between Ann and Bea would need about 136 pieces of this kind; there are 3
}
