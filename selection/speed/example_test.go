package speed_test

import (
	"fmt"

	"thole/rigging"
	"thole/selection/speed"
)

func ExamplePace() {
	eight, _ := rigging.ClassByCode("8+")
	pace := speed.NewPace(eight, 2000, speed.SameHull)
	time := pace.Time(8*450, 862)
	fmt.Printf("%.1f s, 10 kg more cost %.2f s\n", time, pace.DeadWeight(time, 862, 10))
	// Output: 338.5 s, 10 kg more cost 0.65 s
}
