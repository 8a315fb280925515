package advice_test

import (
	"encoding/json"
	"math"
	"testing"

	"thole/api/advice"
	"thole/api/apitest"
	"thole/api/seat"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/speed"
)

// steps prices the steps of a request to solve.
func steps(t testing.TB, request any) (advice.Centimetres, seat.SolveRequest) {
	t.Helper()
	var r seat.SolveRequest
	if err := json.Unmarshal([]byte(apitest.Encoded(t, request)), &r); err != nil {
		t.Fatal(err)
	}
	w, err := apitest.Service.Advice.PriceSteps(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return w, r
}

// solvedSeats are the seats that the steps are checked in: a scull and a sweep
// oar.
func solvedSeats() map[string]any {
	return map[string]any{"scull": apitest.BareScull(), "sweep": apitest.BareSweep()}
}

// crew is the boat of the prices, built here anew: everybody alike, the usual
// stroke, the rig and arc moved by a step; no step is the zero Sensitivity.
func crew(t testing.TB, w *advice.Centimetres, r *seat.SolveRequest, step seat.Sensitivity) (*speed.Stroke, rigging.Levers) {
	t.Helper()
	class, err := seat.ClassOf(r.BoatClass)
	if err != nil {
		t.Fatal(err)
	}
	rig := r.Seat
	if step.Setting != "" && *rig.SettingField(step.Setting) != nil {
		moved := **rig.SettingField(step.Setting) + step.Step
		*rig.SettingField(step.Setting) = &moved
	}
	setup := rig.Setup(class)
	one := speed.UsualSeat(class, setup.Levers(), w.MassKg)
	one.Catch, one.Finish, one.Peak = wire.FromDeg(w.CatchDeg+step.CatchDeg), wire.FromDeg(w.FinishDeg+step.FinishDeg), w.PeakN
	boat := speed.NewBoat(class)
	s := &speed.Stroke{Hull: boat.HullMass + boat.CoxMass, Drag: speed.Drag(class, boat.EmptyMass()+float64(class.Rowers)*w.MassKg, speed.SameHull), Rate: w.RatePerMin}
	for range class.Rowers {
		s.Seats = append(s.Seats, one)
	}
	return s, setup.Levers()
}

func solve(t testing.TB, s *speed.Stroke) *speed.Steady {
	t.Helper()
	steady, err := s.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return &steady
}

// TestPricesASecondWay finds every price again with whole solutions alone: the
// peak force is bisected until the power is as before.
func TestPricesASecondWay(t *testing.T) {
	for name, request := range solvedSeats() {
		w, r := steps(t, request)
		before, _ := crew(t, &w, &r, seat.Sensitivity{})
		base := solve(t, before)
		priced := 0
		for _, step := range w.Steps {
			if step.Price == nil {
				continue
			}
			priced++
			s, _ := crew(t, &w, &r, step.Sensitivity)
			if got := solve(t, s).Time(w.DistanceM) - base.Time(w.DistanceM); math.Abs(got-step.Price.ForceTimeS.Value) > 0.02 {
				t.Errorf("%s, %s: at equal force %.3f s, priced %.3f", name, step.Setting, got, step.Price.ForceTimeS.Value)
			}
			low, high := 0.8*w.PeakN, 1.25*w.PeakN
			for range 40 {
				for i := range s.Seats {
					s.Seats[i].Peak = (low + high) / 2
				}
				if solve(t, s).Power < base.Power {
					low = s.Seats[0].Peak
				} else {
					high = s.Seats[0].Peak
				}
			}
			if got := 100 * (low/w.PeakN - 1); math.Abs(got-step.Price.LoadPct.Value) > 0.02 {
				t.Errorf("%s, %s: load %.3f %%, priced %.3f", name, step.Setting, got, step.Price.LoadPct.Value)
			}
			if got := solve(t, s).Time(w.DistanceM) - base.Time(w.DistanceM); math.Abs(got-step.Price.PowerTimeS.Value) > 0.02 {
				t.Errorf("%s, %s: at equal power %.3f s, priced %.3f", name, step.Setting, got, step.Price.PowerTimeS.Value)
			}
		}
		if priced < 6 {
			t.Errorf("%s: %d steps are priced", name, priced)
		}
	}
}

// TestLoadFollowsTheLever compares the load with the closed form of a stroke of
// the same power at the same rate: the work of a stroke is mean force times the
// hands' way under load, so that force goes with the inverse of inner lever times
// loaded arc. Where the step moves the blade's speed against the water that is
// not all, and up to 0.3 % is left over.
func TestLoadFollowsTheLever(t *testing.T) {
	for name, request := range solvedSeats() {
		w, r := steps(t, request)
		before, levers := crew(t, &w, &r, seat.Sensitivity{})
		arc := func(s *speed.Stroke) float64 {
			return float64(s.Seats[0].Finish - s.Seats[0].Catch - solve(t, s).Seats[0].Load)
		}
		base := arc(before)
		for _, step := range w.Steps {
			if step.Price == nil {
				continue
			}
			s, moved := crew(t, &w, &r, step.Sensitivity)
			want := 100 * (levers.Inner*base/(moved.Inner*arc(s)) - 1)
			if got := step.Price.LoadPct.Value; math.Abs(got-want) > 0.3 {
				t.Errorf("%s, %s: load %+.2f %%, lever and arc say %+.2f %%", name, step.Setting, got, want)
			}
		}
	}
}

// TestSignsOfTheLoad: what boatmen call heavier is heavier (common practice): a
// longer oar slips less and is no lighter at the handle for the same power, a
// longer inboard is lighter, and what lengthens the arc spreads the work.
func TestSignsOfTheLoad(t *testing.T) {
	for name, request := range solvedSeats() {
		w, r := steps(t, request)
		for _, step := range w.Steps {
			p := step.Price
			switch step.Setting {
			case "inboard_cm":
				held := step.Sensitivity
				held.CatchDeg, held.FinishDeg = 0, 0
				alone, levers := crew(t, &w, &r, held)
				_, before := crew(t, &w, &r, seat.Sensitivity{})
				if !(levers.Inner > before.Inner) || !(levers.Outer/levers.Inner < before.Outer/before.Inner) {
					t.Errorf("%s: a step of the inboard leaves the levers at %+v", name, levers)
				}
				if base, _ := crew(t, &w, &r, seat.Sensitivity{}); !(solve(t, alone).Power < solve(t, base).Power*1.02) {
					t.Errorf("%s: the inboard alone gives %.1f W", name, solve(t, alone).Power)
				}
			case "span_cm", "spread_cm":
				if step.ArcDeg < 0 != (p.LoadPct.Value > 0) {
					t.Errorf("%s: %s changes the arc by %+.2f° and the load by %+.2f %%", name, step.Setting, step.ArcDeg, p.LoadPct.Value)
				}
			}
			if p != nil && (p.LoadPct.Low > p.LoadPct.Value || p.LoadPct.High < p.LoadPct.Value || p.FromS > p.ToS || p.FromS > p.PowerTimeS.Value || p.ToS < p.ForceTimeS.Value) {
				t.Errorf("%s: %s: %+v", name, step.Setting, p)
			}
		}
	}
}

// TestWhatIsNotPricedSaysWhy: a step has a price or a reason, never both.
func TestWhatIsNotPricedSaysWhy(t *testing.T) {
	w, _ := steps(t, apitest.BareScull())
	reasons := 0
	for _, step := range w.Steps {
		if (step.Price == nil) == (step.Unpriced == "") {
			t.Errorf("%s: price %v, reason %q", step.Setting, step.Price, step.Unpriced)
		}
		if step.Unpriced != "" {
			reasons++
		}
	}
	if reasons != 5 {
		t.Errorf("%d reasons", reasons)
	}
}

func BenchmarkPriceSteps(b *testing.B) {
	for name, request := range solvedSeats() {
		b.Run(name, func(b *testing.B) {
			var r seat.SolveRequest
			if err := json.Unmarshal([]byte(apitest.Encoded(b, request)), &r); err != nil {
				b.Fatal(err)
			}
			heel := *r.Seat.HeelToPinCm
			for i := 0; b.Loop(); i++ {
				*r.Seat.HeelToPinCm = heel + 0.01*float64(i%1000)/2 // no answer that was kept
				if _, err := apitest.Service.Advice.PriceSteps(b.Context(), r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
