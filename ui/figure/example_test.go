package figure_test

import (
	"fmt"
	"strings"

	"thole/rigging"
	"thole/ui/figure"
)

// A solved seat becomes two drawings on one scale. What rigging holds in
// metres is handed over as it is; angles are degrees.
func ExampleSide_Draw() {
	single, _ := rigging.ClassByCode("1x")
	setup := rigging.Setup{
		Class: single, Span: 1.59, OarLength: 2.88, Inboard: 0.88, GateHeight: 0.165, GateDifference: 0.01,
		HeelToPin: 0.22, HeelDepth: 0.17, PlateAngle: 42 * rigging.Degree,
		SternPitch: 4 * rigging.Degree, SeatOverWater: rigging.DefaultSeatOverWater,
	}
	seat := rigging.NewCase(setup, &rigging.Measures{Sex: rigging.Female, Stature: 1.76, ArmSpan: 1.79, Mass: 70})
	stroke, err := seat.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	pose := func(p *rigging.Pose, lean rigging.Angle) figure.Pose {
		at := func(q rigging.Point) figure.Joint { return figure.Joint(q) }
		return figure.Pose{
			Heel: at(p.Heel), Ball: at(p.Ball), Ankle: at(p.Ankle), Knee: at(p.Knee), Hip: at(p.Hip),
			Shoulder: at(p.Shoulder), Hand: at(p.Hand), LeanDeg: lean.Degrees(),
		}
	}
	side := figure.Side{
		ID: "seat-catch", Width: 358,
		Stature: seat.Body.Stature, Mass: seat.Body.Mass, Arm: seat.Body.Body.Arm, HalfDepth: seat.Body.Body.HalfDepth,
		Catch:      pose(&stroke.AtCatch, seat.Posture.Lean),
		Finish:     pose(&stroke.AtFinish, -seat.Posture.Layback),
		GateHeight: setup.GateHeight, PlateDeg: setup.PlateAngle.Degrees(), SeatOverWater: setup.SeatOverWater,
	}
	drawing := side.Draw()
	fmt.Println(drawing.Title)
	fmt.Println(drawing.Desc)
	fmt.Println(len(drawing.Labels), "labels,", strings.HasPrefix(string(drawing.HTML()), "<svg "))
	// Output:
	// The rower at the catch, from the side
	// Lean 25°, trunk to thigh 163°, knee bends 138°, shin 90°, heel lifts 7°, hands 30 cm over the seat. Behind, in grey, the finish.
	// 6 labels, true
}

// The reach at the catch with a target two degrees past what is likely.
func ExampleReach_Draw() {
	target := 64.0
	scale := figure.Reach{ID: "reach", Width: 358, End: "catch", Target: &target, Likely: 62, LikelySD: 4, Capacity: 66, CapacitySD: 4}
	drawing := scale.Draw()
	fmt.Println(drawing.Title + ": " + drawing.Desc)
	// Output:
	// The reach at the catch: Scale in degrees: likely 62 ± 4, reach ends 66 ± 4, target 64°.
}
