package speed

import (
	"math"

	"thole/rigging"
)

// PathPoint is one moment of the first seat's oar in the steady stroke.
type PathPoint struct {
	Time  float64       // s since the hands reversed at the catch
	Angle rigging.Angle // of the oar
	// X and Y place the middle of the blade: X towards the bow along the water,
	// from where the pin stood at the reversal; Y outwards from the pin; m.
	X, Y float64

	Speed   float64 // of the hull, m/s
	Hands   float64 // of the hands along their arc, m/s; 0 on the recovery
	Slip    float64 // u, of the blade against the water, m/s; below 0 it backs
	Force   float64 // handle force on one oar, N
	Covered float64 // share of the blade under water by its entry; 1 from then on
	Loaded  bool
}

// Path returns the steady stroke moment by moment, from the reversal to the
// end of the recovery: where the blade of a seat goes through the water. Steps
// are uneven; where a phase ends the moment stands twice, before and after. It
// errs like Solve and panics on a seat that is none.
func (s *Stroke) Path(seat int) ([]PathPoint, error) {
	if seat < 0 || seat >= len(s.Seats) {
		panic("speed: path of a seat that is none")
	}
	steady, err := s.Solve()
	if err != nil {
		return nil, err
	}
	var k kernel
	k.load(s)
	k.trace, k.traced = true, k.groupOf(s, seat)
	k.run(steady.state.w)
	return k.path, nil
}

// note keeps the state of the seat traced.
func (k *kernel) note() {
	g := &k.groups[k.traced]
	sin, cos := math.Sincos(g.theta)
	p := PathPoint{
		Time: k.t, Angle: rigging.Angle(g.theta), X: k.way - g.out*sin, Y: g.out * cos,
		Speed: k.v, Hands: g.in * g.turn, Slip: g.slip, Force: g.onOar,
		Covered: 1, Loaded: g.phase == driving,
	}
	if g.phase <= pacing && g.touch > math.Inf(-1) && !math.IsInf(g.touch, 1) {
		p.Covered = g.cover(k.t)
	}
	if g.phase == returning {
		p.Covered, p.Slip, p.Force, p.Hands = 0, 0, 0, 0
	}
	k.path = append(k.path, p)
}
