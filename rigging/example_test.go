package rigging_test

import (
	"errors"
	"fmt"

	"thole/rigging"
)

// A seat is solved from its set-up and what is known of the rower. Inside,
// everything is in metres and radians, and the catch is negative; people are
// shown degrees without the sign.
func ExampleCase_Solve() {
	single, _ := rigging.ClassByCode("1x")
	setup := rigging.Setup{
		Class: single, Span: 1.59, OarLength: 2.88, Inboard: 0.88, GateHeight: 0.165, GateDifference: 0.01,
		HeelToPin: 0.22, HeelDepth: 0.17, PlateAngle: 42 * rigging.Degree,
		SternPitch: 4 * rigging.Degree, SeatOverWater: rigging.DefaultSeatOverWater,
	}
	rower := &rigging.Measures{Sex: rigging.Female, Stature: 1.76, ArmSpan: 1.79, Mass: 70}
	if err := errors.Join(setup.Check(), rower.Check()); err != nil {
		fmt.Println(err)
		return
	}
	seat := rigging.NewCase(setup, rower)
	stroke, err := seat.Solve()
	if err != nil {
		fmt.Println(err) // the body cannot row the rig, and why
		return
	}
	doubt := seat.Uncertainty(&stroke)
	fmt.Printf("catch %.0f ± %.0f°, finish %.0f ± %.0f°\n",
		-stroke.Catch.Degrees(), doubt.Catch.Degrees(), stroke.Finish.Degrees(), doubt.Finish.Degrees())
	fmt.Printf("lever ratio %.2f, at the catch %.1f\n", setup.Gearing().LeverRatio, setup.Gearing().At(stroke.Catch))
	// Output:
	// catch 63 ± 3°, finish 46 ± 3°
	// lever ratio 2.10, at the catch 4.6
}

// What is not measured is filled in from the reference population; what is
// measured stays as it is and tells about the rest.
func ExampleMeasures_Estimate() {
	m := rigging.Measures{Sex: rigging.Male, Stature: 1.88}
	guess := m.Estimate(rigging.DefaultTape)
	fmt.Printf("arm %.1f ± %.1f cm\n", 100*guess.Body.Arm, 100*guess.SD().Arm)

	m.ArmSpan = 1.98
	better := m.Estimate(rigging.DefaultTape)
	fmt.Printf("arm %.1f ± %.1f cm knowing the span\n", 100*better.Body.Arm, 100*better.SD().Arm)

	m.Segments.Arm = 0.73
	measured := m.Estimate(rigging.DefaultTape)
	fmt.Printf("arm %.1f ± %.1f cm as measured\n", 100*measured.Body.Arm, 100*measured.SD().Arm)
	// Output:
	// arm 70.8 ± 1.8 cm
	// arm 71.9 ± 1.2 cm knowing the span
	// arm 73.0 ± 0.5 cm as measured
}

// A target is put to the body: which lean does it ask for, and is that within
// what the limits allow?
func ExampleCase_Demand() {
	eight, _ := rigging.ClassByCode("8+")
	seat := rigging.NewCase(rigging.Setup{
		Class: eight, Side: rigging.Port, Spread: 0.85, OarLength: 3.75, Inboard: 1.15, GateHeight: 0.17,
		HeelToPin: 0.20, HeelDepth: 0.17, PlateAngle: 42 * rigging.Degree, SeatOverWater: rigging.DefaultSeatOverWater,
	}, &rigging.Measures{Sex: rigging.Male, Stature: 1.86, ArmSpan: 1.92, SittingHeight: 0.97, Mass: 84})
	stroke, err := seat.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	demand := seat.Demand(&stroke, rigging.Targets{Catch: -55 * rigging.Degree, Finish: 35 * rigging.Degree}, rigging.DefaultLimits())
	catch := demand.Catch
	fmt.Printf("a catch of %.0f° asks for %.1f° of lean, usual %.0f°, limit %.0f°: %s\n",
		-catch.Target.Degrees(), catch.Needed.Degrees(), catch.Usual.Degrees(), catch.Limit.Degrees(), catch.Reach)
	fmt.Printf("the stretcher for a finish of %.0f°: heel %.1f cm sternwards of the pins\n",
		demand.Finish.Target.Degrees(), 100*demand.HeelForFinish)
	// Output:
	// a catch of 55° asks for 27.4° of lean, usual 25°, limit 27°: edge_of_reach
	// the stretcher for a finish of 35°: heel 22.1 cm sternwards of the pins
}

// Errors of the data name their field, in SI units, so that the edge can put
// them into the user's.
func ExampleSetup_Check() {
	double, _ := rigging.ClassByCode("2x")
	setup := rigging.Setup{
		Class: double, Span: 159, OarLength: 2.88, Inboard: 0.88, GateHeight: 0.165,
		HeelToPin: 0.22, HeelDepth: 0.17,
	}
	var problems rigging.FieldErrors
	if errors.As(setup.Check(), &problems) {
		for _, p := range problems {
			fmt.Println(p.Problem, p)
		}
	}
	// Output:
	// range seat.span: 159 is outside 1.1 to 1.9
	// missing seat.plate_angle: is needed
}

// An arc measured on the water makes the posture the rower's own.
func ExampleCalibrate() {
	single, _ := rigging.ClassByCode("1x")
	setup := rigging.Setup{
		Class: single, Span: 1.59, OarLength: 2.88, Inboard: 0.88, GateHeight: 0.165,
		HeelToPin: 0.22, HeelDepth: 0.17, PlateAngle: 42 * rigging.Degree, SeatOverWater: rigging.DefaultSeatOverWater,
	}
	seat := rigging.NewCase(setup, &rigging.Measures{Sex: rigging.Male, Stature: 1.84, Mass: 78})
	own, err := rigging.Calibrate(seat.Body, seat.Posture, []rigging.MeasuredArc{
		{Setup: setup, Catch: -61 * rigging.Degree, Finish: 43 * rigging.Degree},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	seat.Posture = own.Posture
	stroke, err := seat.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("catch %.0f°, finish %.0f° with %.0f° of lean and %.0f° of layback\n",
		-stroke.Catch.Degrees(), stroke.Finish.Degrees(), own.Posture.Lean.Degrees(), own.Posture.Layback.Degrees())
	// Output:
	// catch 61°, finish 43° with 21° of lean and 15° of layback
}
