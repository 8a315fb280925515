package speed_test

import (
	"fmt"

	"thole/rigging"
	"thole/selection/speed"
)

func ExamplePace() {
	eight, _ := rigging.ClassByCode("8+")
	pace := speed.NewPace(eight, 2000, speed.SameHull)
	fmt.Printf("%.1f s, %.1f s with 10 kg more\n", pace.Time(8*450, 862), pace.Time(8*450, 872))
	// Output: 338.5 s, 339.1 s with 10 kg more
}

func ExampleStroke_Price() {
	rig := rigging.Setup{OarLength: 2.88, Inboard: 0.88}
	rig.Class, _ = rigging.ClassByCode("1x")
	sculler := speed.UsualSeat(rig.Class, rig.Levers(), 80)
	sculler.Catch, sculler.Finish, sculler.Peak = -64*rigging.Degree, 44*rigging.Degree, 390
	single := speed.Stroke{Hull: 14, Drag: 3.16, Rate: 32, Seats: []speed.Seat{sculler}}
	prices, err := single.Price(2000, []speed.Change{
		{Name: "5° of the release lost", Seat: speed.EverySeat, Apply: func(s speed.Seat) speed.Seat { s.Release += 5 * rigging.Degree; return s }},
	})
	if err != nil {
		panic(err)
	}
	p := prices[0]
	fmt.Printf("%s: at equal force %+.1f s (%+.1f to %+.1f), %+.1f %% of power\n", p.Name, p.ForceTime.Value, p.ForceTime.Low, p.ForceTime.High, 100*p.ForcePower.Value)
	fmt.Printf("at equal power %+.1f s (%+.1f to %+.1f), %+.1f %% of force\n", p.PowerTime.Value, p.PowerTime.Low, p.PowerTime.High, 100*p.PowerForce.Value)
	// Output:
	// 5° of the release lost: at equal force +7.5 s (+7.2 to +7.9), -4.7 % of power
	// at equal power +0.8 s (+0.7 to +1.0), +5.2 % of force
}
