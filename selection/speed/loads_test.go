package speed

import (
	"math"
	"testing"

	"thole/rigging"
)

// TestLoadsFollowLeverAndArc holds the load of a seat against the closed form: at
// the same rate and power the force goes with the inverse of inner lever times
// loaded arc, up to 0.5 % that the speed of the blade leaves over.
func TestLoadsFollowLeverAndArc(t *testing.T) {
	class, _ := rigging.ClassByCode("8+")
	rig := rigging.Setup{Class: class, OarLength: 3.73, Inboard: 1.14}
	mean := UsualSeat(class, rig.Levers(), 88)
	mean.Catch, mean.Finish, mean.Peak = -55*rigging.Degree, 34*rigging.Degree, 720
	boat := NewBoat(class)
	s := Stroke{Hull: boat.HullMass + boat.CoxMass, Drag: Drag(class, boat.EmptyMass()+8*88, SameHull), Rate: 34}
	for range 8 {
		s.Seats = append(s.Seats, mean)
	}
	short, long, light, heavy := mean, mean, mean, mean
	short.Catch += 3 * rigging.Degree
	long.Catch -= 3 * rigging.Degree
	light.LeverIn += 0.02
	heavy.LeverIn -= 0.02
	others := []Seat{mean, short, long, light, heavy}
	loads, err := s.Loads(others)
	if err != nil {
		t.Fatal(err)
	}
	work := func(one Seat) float64 {
		changed := s.with(EverySeat, func(Seat) Seat { return one })
		steady, err := changed.Solve()
		if err != nil {
			t.Fatal(err)
		}
		return one.LeverIn * float64(one.Finish-one.Catch-steady.Seats[0].Load)
	}
	for i, other := range others {
		want := work(mean)/work(other) - 1
		if math.Abs(loads[i]-want) > 0.005 {
			t.Errorf("seat %d: load %+.4f, lever and arc say %+.4f", i, loads[i], want)
		}
	}
	if loads[0] != 0 || loads[1] <= 0 || loads[2] >= 0 || loads[3] >= 0 || loads[4] <= 0 {
		t.Errorf("signs: %v", loads)
	}
}

func BenchmarkLoadsOfAnEight(b *testing.B) {
	class, _ := rigging.ClassByCode("8+")
	rig := rigging.Setup{Class: class, OarLength: 3.73, Inboard: 1.14}
	mean := UsualSeat(class, rig.Levers(), 88)
	mean.Catch, mean.Finish, mean.Peak = -55*rigging.Degree, 34*rigging.Degree, 720
	s := Stroke{Hull: 151, Drag: Drag(class, 855, SameHull), Rate: 34}
	var others []Seat
	for i := range 8 {
		s.Seats = append(s.Seats, mean)
		other := mean
		other.Catch += rigging.Angle(i) * rigging.Degree / 2
		others = append(others, other)
	}
	for b.Loop() {
		if _, err := s.Loads(others); err != nil {
			b.Fatal(err)
		}
	}
}
