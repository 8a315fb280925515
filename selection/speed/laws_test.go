package speed

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

func TestEnergyBalances(t *testing.T) {
	// What the rowers give, at the handle and on their own motion, is what is
	// lost at blades, shafts and hull: the momentum's account against the
	// energy's. The sums ẋ·dẋ between unequal seats are trapezoids over coarse
	// steps.
	rapid.Check(t, func(t *rapid.T) {
		s := drawStroke(t)
		if rapid.Bool().Draw(t, "deep") {
			s.Seats[0].Depth = rigging.Angle(rapid.Float64Range(0, 0.2).Draw(t, "depth"))
		}
		out, err := s.Solve()
		if err != nil {
			t.Skip("not rowed steadily")
		}
		given := 0.0
		for _, seat := range out.Seats {
			given += seat.Power
		}
		near(t, "power given over power lost", given/(out.Power*float64(len(s.Seats))), 1, 3e-4)
		near(t, "power", out.Power*float64(len(s.Seats))*60/s.Rate, out.BladeLoss+out.HullLoss, 1e-6)
		if !(out.Propelling > 0 && out.Propelling < 1 && out.Velocity > 0 && out.Velocity <= 1) {
			t.Errorf("efficiencies %+v", out)
		}
	})
}

// heavier returns the stroke with every mass, force, drag and blade times f:
// the same motion.
func heavier(s Stroke, f float64) Stroke {
	gear := GearMass * float64(len(s.Seats))
	out := s.with(EverySeat, func(seat Seat) Seat {
		seat.Mass *= f
		seat.Peak *= f
		seat.BladeArea *= f
		return seat
	})
	out.Hull, out.Drag = (s.Hull+gear)*f-gear, s.Drag*f
	return out
}

func TestMassesForcesAndDragScaleTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(0.8, 1.2).Draw(t, "factor")
		a, b := solve(t, single()), solve(t, heavier(single(), f))
		near(t, "speed", b.Speed, a.Speed, 1e-8)
		near(t, "power", b.Power, f*a.Power, 1e-5)
	})
}

func TestTimeScalesByItself(t *testing.T) {
	// A stroke f times as fast with f² times the forces and pick-up goes the
	// same way f times as fast, with f³ times the power.
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(0.7, 1.3).Draw(t, "factor")
		s := single()
		fast := s.with(EverySeat, func(seat Seat) Seat { seat.Peak *= f * f; seat.PickUp *= f * f; return seat })
		fast.Rate *= f
		a, b := solve(t, s), solve(t, fast)
		// The steps of the integrator do not scale: its error is left.
		near(t, "speed", b.Speed/a.Speed, f, 1e-5)
		near(t, "power", b.Power/a.Power, f*f*f, 1e-4)
		near(t, "propelling", b.Propelling, a.Propelling, 1e-5)
	})
}

func TestTwoInOneBoatRowLikeOneInHalfOfIt(t *testing.T) {
	one := single()
	two := one
	two.Hull, two.Drag = 2*one.Hull, 2*one.Drag
	two.Seats = slices.Repeat(one.Seats, 2)
	a, b := solve(t, one), solve(t, two)
	near(t, "speed", b.Speed, a.Speed, 1e-9)
	near(t, "power of each", b.Power, a.Power, 1e-6)
	near(t, "their seats", b.Seats[0].Power-b.Seats[1].Power, 0, 0)
}

func TestSeatsAndSidesDoNotMatter(t *testing.T) {
	// The model has one dimension: a seat knows neither side nor place, so any
	// order of seats rows alike, and everybody's power moves with them.
	rapid.Check(t, func(t *rapid.T) {
		s := eight()
		for i := range 3 {
			s.Seats[i].Mass += float64(7 * i)
			s.Seats[i].Peak += 20 * float64(i)
		}
		order := rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6, 7}).Draw(t, "order")
		mixed := s.with(EverySeat, func(seat Seat) Seat { return seat })
		for to, from := range order {
			mixed.Seats[to] = s.Seats[from]
		}
		a, b := solve(t, s), solve(t, mixed)
		near(t, "speed", b.Speed, a.Speed, 1e-9)
		for to, from := range order {
			near(t, "power", b.Seats[to].Power, a.Seats[from].Power, 1e-6)
		}
	})
}

func TestEqualInputGivesEqualOutput(t *testing.T) {
	a, b := solve(t, eight()), solve(t, eight())
	if a.Speed != b.Speed || a.Power != b.Power || !slices.Equal(a.Seats, b.Seats) {
		t.Error("two runs differ")
	}
}

func TestACurveOfAHumpRowsLikeTheHump(t *testing.T) {
	s := single()
	a := solve(t, s)
	forces := make([]float64, Nodes)
	for i := range forces {
		forces[i] = 17 * s.Seats[0].Shape.At(float64(i)/(Nodes-1))
	}
	var err error
	if s.Seats[0].Shape, err = Curve(forces); err != nil {
		t.Fatal(err)
	}
	b := solve(t, s)
	near(t, "time", b.Time(2000), a.Time(2000), 0.05) // chords of 1 % of the arc
	near(t, "power", b.Power, a.Power, 0.1)
}

func TestPathIsTheStrokeSolved(t *testing.T) {
	s := single()
	s.Seats[0].Entry = Entry{Height: 0.05, Sink: 1, Start: -0.1}
	out := solve(t, s)
	path, err := s.Path(0)
	if err != nil {
		t.Fatal(err)
	}
	first, last := path[0], path[len(path)-1]
	near(t, "way of the pin in a stroke", last.X+1.76*math.Sin(float64(last.Angle)), out.Speed*60/s.Rate, 1e-6)
	near(t, "ends", last.Time, 60/s.Rate, 1e-9)
	near(t, "begins at the catch", first.X, 1.76*math.Sin(64*math.Pi/180), 1e-9)
	work, top := 0.0, 0.0
	for i, p := range path {
		if i == 0 {
			continue
		}
		q := path[i-1]
		if p.Time < q.Time || p.Loaded && p.Covered != 1 {
			t.Fatalf("point %d: %+v after %+v", i, p, q)
		}
		work += float64(s.Seats[0].Oars) * (p.Force + q.Force) / 2 * 0.84 * float64(p.Angle-q.Angle)
		top = max(top, p.Force)
	}
	near(t, "work along the path", work*s.Rate/60/out.Seats[0].Handle, 1, 0.01) // trapezoids over coarse steps
	near(t, "peak", top, 390, 4)
	mustPanic(t, "no such seat", func() { _, _ = s.Path(1) })
}

func TestTheBladeGoesThroughTheWaterAsItsSlipSays(t *testing.T) {
	// Along the path, d(X, Y)/dt in the direction of the blade's face is −u.
	s := single()
	path, err := s.Path(0)
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		if dt := b.Time - a.Time; a.Loaded && b.Loaded && dt > 1e-3 {
			mid := float64(a.Angle+b.Angle) / 2
			u := -((b.X-a.X)*math.Cos(mid) + (b.Y-a.Y)*math.Sin(mid)) / dt
			near(t, "slip", u, (a.Slip+b.Slip)/2, 0.03)
			compared++
		}
	}
	if compared < 15 {
		t.Errorf("only %d steps", compared)
	}
}

func TestImpossibleStrokesNameTheirFields(t *testing.T) {
	rows := map[string]func(*Stroke){
		"hull_mass":             func(s *Stroke) { s.Hull = math.NaN() },
		"drag":                  func(s *Stroke) { s.Drag = 0 },
		"rate":                  func(s *Stroke) { s.Rate = 200 },
		"seats":                 func(s *Stroke) { s.Seats = nil },
		"seats[0].mass":         func(s *Stroke) { s.Seats[0].Mass = 8 },
		"seats[0].oars":         func(s *Stroke) { s.Seats[0].Oars = 3 },
		"seats[0].lever_in":     func(s *Stroke) { s.Seats[0].LeverIn = -1 },
		"seats[0].catch":        func(s *Stroke) { s.Seats[0].Catch = -88 * rigging.Degree },
		"seats[0].finish":       func(s *Stroke) { s.Seats[0].Finish = rigging.Angle(math.Inf(1)) },
		"seats[0].release":      func(s *Stroke) { s.Seats[0].Release = 2 },
		"seats[0].peak":         func(s *Stroke) { s.Seats[0].Peak = 0 },
		"seats[0].shape":        func(s *Stroke) { s.Seats[0].Shape = Shape{} },
		"seats[0].pick_up":      func(s *Stroke) { s.Seats[0].PickUp = 0 },
		"seats[0].entry.sink":   func(s *Stroke) { s.Seats[0].Entry = Entry{Height: 0.05} },
		"seats[0].entry.start":  func(s *Stroke) { s.Seats[0].Entry = Entry{0.05, 1, 3} },
		"seats[0].blade_height": func(s *Stroke) { s.Seats[0].Entry, s.Seats[0].BladeHeight = Entry{0.05, 1, 0}, 0 },
	}
	for field, spoil := range rows {
		s := single()
		spoil(&s)
		_, err := s.Solve()
		var errs rigging.FieldErrors
		if !errors.As(err, &errs) || len(errs) != 1 || errs[0].Place.String() != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestNoStrokeIsToldAsOne(t *testing.T) {
	s := single()
	s.Seats[0].Entry = Entry{Height: 0.5, Sink: 0.5, Start: 0.5} // covered after the finish
	if _, err := s.Solve(); !errors.Is(err, ErrNoStroke) {
		t.Error(err)
	}
	s = single()
	s.Seats[0].Peak, s.Rate, s.Drag = 25, 60, 50
	if _, err := s.Solve(); !errors.Is(err, ErrNoStroke) {
		t.Error(err)
	}
}

func TestShapes(t *testing.T) {
	for _, place := range []float64{0.2, 0.4, 0.6} {
		f := Hump(place)
		near(t, "peak", f.At(place), 1, 1e-12)
		near(t, "ends", f.At(0)+f.At(1), 0, 0)
		if f.At(place-0.05) >= 1 || f.At(place+0.05) >= 1 {
			t.Error("the peak is none")
		}
		near(t, "moved", f.Moved(0.1).Peak(), place+0.1, 1e-12)
	}
	near(t, "peak of the moved curve", bumpy.Moved(0.05).Peak(), bumpy.Peak()+0.05, 1e-12)
	near(t, "stands there", bumpy.Moved(0.05).At(bumpy.Peak()+0.05), 1, 1e-3)
	// ∫ s(1−s)^b ds = 1/((b+1)(b+2)); for b = 1 that is 1/6 over a peak of 1/4.
	near(t, "mean of a parabola", Hump(0.5).Mean(), 2./3, 1e-5)
	mustPanic(t, "hump without a peak", func() { Hump(math.NaN()) })
	for _, bad := range [][]float64{nil, make([]float64, Nodes), append(make([]float64, Nodes-1), math.NaN())} {
		if _, err := Curve(bad); err == nil {
			t.Errorf("%d points: no error", len(bad))
		}
	}
}

// TestAMatchAtTheEndOfAnothersPhase: two who row very differently, where the load of
// one lets the blade of the other meet the water's speed at once. The solver once went
// back in time from there.
func TestAMatchAtTheEndOfAnothersPhase(t *testing.T) {
	slow, strong := single().Seats[0], single().Seats[0]
	for _, seat := range []*Seat{&slow, &strong} {
		seat.Mass, seat.Finish, seat.Release, seat.PickUp, seat.BladeForce, seat.Shape = 50, 0.8, 0.25, 5, 1.5, bumpy
	}
	slow.Peak, slow.Catch, slow.Hold, slow.Travel, slow.Entry = 250, -0.90625, 0.3, 0.7, Entry{0.15, 1, 0.05}
	strong.Peak, strong.Catch, strong.Hold, strong.Travel = 550, -0.9072265625, 0.125, 0.5
	s := single()
	s.Rate, s.Hull, s.Drag, s.Seats = 20, 27, 5.06, []Seat{slow, strong}
	out, err := s.Solve()
	if err != nil {
		if !errors.Is(err, ErrNoStroke) {
			t.Fatal(err)
		}
		return
	}
	o := oracle{s: &s}
	near(t, "w after a cycle", o.cycle(out.state.w), out.state.w, 4e-4)
	near(t, "speed", o.way/(60/s.Rate), out.Speed, 3e-4)
}
