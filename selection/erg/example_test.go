package erg_test

import (
	"fmt"

	"thole/selection/erg"
)

func ExampleParseTime() {
	r, err := erg.ParseTime("302")
	fmt.Println(erg.FormatTime(r.Seconds), err)
	fmt.Println(r.Doubt(1000))
	// Output:
	// 5:02.0 <nil>
	// was 5:02.0 meant, or 3:02.0?
}

func ExampleModel_RacePower() {
	tests := []erg.Test{
		{Effort: erg.Effort{Distance: 2000, Time: 420}, Day: 0, Mass: 82},
		{Effort: erg.Effort{Distance: 6000, Time: 1350}, Day: 60, Mass: 83},
		{Effort: erg.Effort{Distance: 2000, Time: 414}, Day: 100, Mass: 84},
	}
	e, err := erg.DefaultModel().RacePower(tests, 110, 84)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f ± %.0f W, 90 %% between %.0f and %.0f W\n", e.Power, e.SD, e.Low, e.High)
	fmt.Printf("weights %.2f\n", e.Weights)
	// Output:
	// 313 ± 6 W, 90 % between 304 and 323 W
	// weights [0.17 0.05 0.78]
}

func ExampleBands() {
	squad := []erg.Estimate{{Power: 402, LogSD: 0.02}, {Power: 330, LogSD: 0.02}, {Power: 395, LogSD: 0.02}}
	fmt.Println(erg.Bands(squad, erg.BandConfidence))
	// Output: [[0 2] [1]]
}
