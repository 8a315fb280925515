package speed

import (
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// single is the base of the checks: a sculler of 80 kg with 2.88/0.88 m
// sculls, −64° to 44°, 32 strokes a minute, 390 N a hand.
func single() Stroke {
	return Stroke{Hull: 14, Drag: 3.16, Rate: 32, Seats: []Seat{{
		Mass: 80, Oars: 2, LeverIn: 0.84, LeverOut: 1.76, Catch: -64 * rigging.Degree, Finish: 44 * rigging.Degree,
		Peak: 390, Shape: Hump(0.40), Travel: UsualTravel, PickUp: UsualPickUp,
		BladeArea: ScullBlade, BladeForce: HatchetForce, BladeHeight: 0.215,
	}}}
}

// sweep is a boat of equal sweep rowers with the levers R_in = inboard + 2 − 15
// cm and R_out = outboard − 2 − 27 cm.
func sweep(hull float64, rowers int, drag, length, inboard float64, catch, finish rigging.Angle, rate float64) Stroke {
	s := Stroke{Hull: hull, Drag: drag, Rate: rate}
	for range rowers {
		s.Seats = append(s.Seats, Seat{
			Mass: 93, Oars: 1, LeverIn: inboard - 0.13, LeverOut: length - inboard - 0.29, Catch: -catch, Finish: finish,
			Peak: 700, Shape: Hump(0.40), Travel: UsualTravel, PickUp: UsualPickUp,
			BladeArea: SweepBlade, BladeForce: HatchetForce, BladeHeight: 0.25,
		})
	}
	return s
}

func eight() Stroke {
	return sweep(96+CoxMass, 8, 12.74, 3.75, 1.14, 55*rigging.Degree, 34*rigging.Degree, 38)
}
func pair() Stroke {
	return sweep(27, 2, 5.06, 3.73, 1.16, 57*rigging.Degree, 34*rigging.Degree, 36)
}

func solve(t rapid.TB, s Stroke) Steady {
	t.Helper()
	out, err := s.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestBaseSingleAgreesWithTwoOtherPrograms(t *testing.T) {
	// Derived: a fixed-step and an adaptive program without shared code agree
	// to the digits printed here. Tolerance half the last digit, but for the
	// propelling efficiency, printed .7737 where this and the oracle find
	// .77365.
	out := solve(t, single())
	seat := out.Seats[0]
	near(t, "speed", out.Speed, 4.7227, 0.00005)
	near(t, "time", out.Time(2000), 423.49, 0.005)
	near(t, "power", out.Power, 455.96, 0.005)
	near(t, "handle", seat.Handle, 387.2, 0.05)
	near(t, "propelling", out.Propelling, 0.7737, 0.0001)
	near(t, "velocity", out.Velocity, 0.9436, 0.00005)
	near(t, "net", out.Propelling*out.Velocity, 0.7300, 0.00005)
	near(t, "blade", out.Blade, 0.7334, 0.00005)
	near(t, "drive", seat.DriveTime, 0.853, 0.0005)
	near(t, "match", seat.Match.Degrees(), 4.74, 0.005)
	near(t, "lowest", out.Low, 3.73, 0.005)
	near(t, "highest", out.High, 5.59, 0.005)
}

func TestUsualSeatsAreThoseOfTheChecks(t *testing.T) {
	scull := rigging.Setup{Class: class(t, "1x"), OarLength: 2.88, Inboard: 0.88}
	seat := UsualSeat(scull.Class, scull.Levers(), 80)
	want := single().Seats[0]
	want.Catch, want.Finish, want.Peak = 0, 0, 0
	near(t, "R_in", seat.LeverIn, want.LeverIn, 1e-12)
	near(t, "R_out", seat.LeverOut, want.LeverOut, 1e-12)
	if seat.LeverIn, seat.LeverOut = want.LeverIn, want.LeverOut; seat != want {
		t.Errorf("%+v, want %+v", seat, want)
	}
	oar := rigging.Setup{Class: class(t, "8+"), OarLength: 3.75, Inboard: 1.14}
	seat, want = UsualSeat(oar.Class, oar.Levers(), 93), eight().Seats[0]
	near(t, "R_out in sweep", seat.LeverOut, want.LeverOut, 1e-12)
	if seat.Oars != 1 || seat.BladeArea != want.BladeArea || seat.BladeHeight != want.BladeHeight {
		t.Errorf("%+v, want %+v", seat, want)
	}
}

func TestRatesAtOneForceAgree(t *testing.T) {
	// Derived, with a fixed step of 0.5 ms: powers to half the last digit, the
	// efficiencies within that step's 0.00025.
	rows := []struct{ rate, power, propelling, velocity float64 }{
		{20, 287, .7399, .9513}, {24, 343, .7532, .9511}, {28, 400, .7642, .9482}, {36, 512, .7821, .9368},
	}
	for _, r := range rows {
		s := single()
		s.Rate = r.rate
		out := solve(t, s)
		near(t, "power", out.Power, r.power, 0.5)
		near(t, "propelling", out.Propelling, r.propelling, 0.00025)
		near(t, "velocity", out.Velocity, r.velocity, 0.00025)
	}
}

func TestEightAndPairAtFourHundredAndFiftyWatts(t *testing.T) {
	// Derived: 8+ 331.5 s, 724 N, .813, .956; 2- 393.6 s. The travel of the
	// body in sweep and the pair's rowers (here 93 kg) are not said there: 723 N
	// and 393.5 s with those of a scull, so 0.3 % and 0.2 s are left open.
	s, err := atPower(new(eight()), 450)
	if err != nil {
		t.Fatal(err)
	}
	out := solve(t, s)
	near(t, "power of the eight", out.Power, 450, 1e-3)
	near(t, "eight", out.Time(2000), 331.5, 0.05)
	near(t, "force", s.Seats[3].Peak, 724, 2)
	near(t, "propelling", out.Propelling, .813, .0005)
	near(t, "velocity", out.Velocity, .956, .0005)
	s, err = atPower(new(pair()), 450)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pair", new(solve(t, s)).Time(2000), 393.6, 0.2)
}

func TestEfficienciesLieAmongThePublished(t *testing.T) {
	out := solve(t, single())
	// V. Kleshnev, Propulsive efficiency of rowing, ISBS 1999: 78.5 ± 3.1 % at
	// the blade; the hull about 93.8 % (from memory).
	near(t, "blade", out.Propelling, 0.785, 0.031)
	near(t, "hull", out.Velocity, 0.938, 0.01)
	// K. Affeld, K. Schichl, A. Ziemann, Int J Sports Med 14 (1993) S39: a
	// quarter to a third of the energy at the handle goes into the water.
	near(t, "lost at the blade", 1-out.Blade, (1./4+1./3)/2, (1./3-1./4)/2)
}

func TestHigherRatesTradeEfficienciesAsPublished(t *testing.T) {
	// M. J. Hofmijster, E. H. J. Landman, R. M. Smith, A. J. van Soest, J Sports
	// Sci 25 (2007) 403, nine rowers, 20 to 36 strokes a minute: propelling and
	// net efficiency rise, velocity efficiency falls.
	var before Steady
	for i, rate := range []float64{20, 24, 28, 32, 36} {
		s := single()
		s.Rate = rate
		out := solve(t, s)
		if i > 0 && !(out.Propelling > before.Propelling && out.Propelling*out.Velocity > before.Propelling*before.Velocity && out.Velocity < before.Velocity) {
			t.Errorf("at %g: %+v after %+v", rate, out, before)
		}
		before = out
	}
}

func TestFullerCurvesSpareTheBlade(t *testing.T) {
	// V. Kleshnev, ISBS 1999, 21 crews: a higher ratio of mean to peak force
	// raises the efficiency of the blade.
	full, pointed := make([]float64, Nodes), make([]float64, Nodes)
	for i := range full {
		from := min(float64(i), float64(Nodes-1-i)) / 50
		full[i], pointed[i] = min(2*from, 1), from
	}
	last := 0.0
	for _, forces := range [][]float64{pointed, full} {
		shape, err := Curve(forces)
		if err != nil {
			t.Fatal(err)
		}
		s, err := atPower(new(single()), 400)
		if err != nil {
			t.Fatal(err)
		}
		s.Seats[0].Shape = shape
		if s, err = atPower(&s, 400); err != nil {
			t.Fatal(err)
		}
		now := solve(t, s).Propelling
		if !(now > last) {
			t.Errorf("propelling efficiency %.4f after %.4f", now, last)
		}
		last = now
	}
}

func TestAimsAreHit(t *testing.T) {
	base := single()
	slow, err := base.AtSpeed(4.5)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "speed", solve(t, slow).Speed, 4.5, 1e-5)
	near(t, "force as it was", slow.Seats[0].Peak, 390, 0)
	for _, watts := range []float64{150, 300, 600} {
		s, err := atPower(&base, watts)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "power", solve(t, s).Power, watts, 2e-4*watts)
	}
}

func BenchmarkSteadyStroke(b *testing.B) {
	s := single()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSteadyEightOfEightRowers(b *testing.B) {
	s := eight()
	for i := range s.Seats {
		s.Seats[i].Mass += float64(i)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}

// atPower returns the stroke with the peak force of every seat scaled by one
// factor so that the rowers give a mean power in W in the steady stroke.
func atPower(s *Stroke, watts float64) (Stroke, error) {
	k, sol, err := s.aim(nil)
	if err != nil {
		return Stroke{}, err
	}
	set := k.chosen(s, EverySeat)
	factor, err := k.atPower(set, watts, sol.w, k.slopes(set, watts, sol.w))
	if err != nil {
		return Stroke{}, err
	}
	return s.with(EverySeat, func(seat Seat) Seat { seat.Peak *= factor; return seat }), nil
}
