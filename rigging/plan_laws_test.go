package rigging_test

import (
	"errors"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
)

// asFound returns the rigs of a task.
func setAs(task *rigging.PlanTask, plan *rigging.Plan) *rigging.PlanTask {
	next := *task
	next.Seats = slices.Clone(task.Seats)
	for i := range next.Seats {
		next.Seats[i].Case.Setup = plan.Seats[i].Setup
	}
	next.Targets = plan.Targets
	return &next
}

// TestPlanOfThePlanMovesNothing also when what is expected of the rowers stays
// as it was (TestThirtyCrews learns it anew).
func TestPlanOfThePlanMovesNothing(t *testing.T) {
	for _, job := range []rigging.Job{rigging.JobEveryday, rigging.JobRerig} {
		for _, task := range thirtyCrews(t, job) {
			plan := makePlan(t, task)
			for i, s := range makePlan(t, setAs(task, &plan)).Seats {
				if len(s.Changes) > 0 {
					t.Errorf("%s seat %d moves again: %v after %v", s.Setup.Class.Code, i, s.Changes, plan.Seats[i].Changes)
				}
			}
		}
	}
}

// TestModestTargetsAskForNoMore: over catches from short to very long, the work
// never grows as the target shrinks, and no seat's finish gets worse.
func TestModestTargetsAskForNoMore(t *testing.T) {
	moves := func(p rigging.Plan) int {
		n := 0
		for _, s := range p.Seats {
			n += len(s.Changes)
		}
		return n
	}
	for _, task := range thirtyCrews(t, rigging.JobEveryday) {
		longest := 62.0
		if task.Seats[0].Case.Setup.Class.Scull {
			longest = 74
		}
		most := math.MaxInt
		for catch := longest; catch > longest-26; catch -= 2 {
			task.Targets.Catch = deg(-catch)
			n := moves(makePlan(t, task))
			if n > most {
				t.Errorf("%s: a catch of %.0f asks for %d moves, a longer one for %d", task.Seats[0].Case.Setup.Class.Code, catch, n, most)
			}
			most = min(most, n)
		}
	}
}

// TestPlanMirrors: with the sides changed the same is to be done.
func TestPlanMirrors(t *testing.T) {
	for _, task := range thirtyCrews(t, rigging.JobRerig) {
		if task.Seats[0].Case.Setup.Class.Scull {
			continue
		}
		plan := makePlan(t, task)
		other := *task
		other.Seats = slices.Clone(task.Seats)
		for i := range other.Seats {
			other.Seats[i].Case.Setup.Side = other.Seats[i].Case.Setup.Side.Other()
		}
		mirrored := makePlan(t, &other)
		for i := range plan.Seats {
			if !reflect.DeepEqual(plan.Seats[i].Changes, mirrored.Seats[i].Changes) || plan.Seats[i].After.Verdict != mirrored.Seats[i].After.Verdict {
				t.Errorf("seat %d: %v, mirrored %v", i, plan.Seats[i].Changes, mirrored.Seats[i].Changes)
			}
		}
		if plan.Targets != mirrored.Targets || len(plan.Offers) != len(mirrored.Offers) {
			t.Errorf("targets %v and %d offers, mirrored %v and %d", plan.Targets, len(plan.Offers), mirrored.Targets, len(mirrored.Offers))
		}
	}
}

// objective is what MakePlan makes least for a seat, part by part: how far the
// gate is out, how far it moves, the finish's miss beyond the tolerance, whether
// the stretcher moves, and the miss.
func objective(t reporter, seat *rigging.PlanSeat, setup rigging.Setup, finish rigging.Angle) [5]float64 {
	c := seat.Case
	stroke, err := c.Solve()
	if err != nil {
		t.Fatalf("%v", err)
	}
	w := c.Heights(&stroke).Window
	gate := setup.GateHeight + min(0, setup.GateDifference)
	out := max(0, min(w.Low, w.High)-gate, gate-max(w.Low, w.High))
	if w.Out(c.Setup.GateHeight+min(0, c.Setup.GateDifference)) == 0 {
		out = 0 // not out as found: nothing is asked of it
	}
	c.Setup = setup
	miss := math.Inf(1)
	if s, err := c.Solve(); err == nil {
		miss = math.Abs((s.Finish - finish).Degrees())
	}
	moved := 0.0
	if math.Abs(setup.HeelToPin-seat.Case.Setup.HeelToPin) > 1e-9 {
		moved = 1
	}
	within := miss
	if moved == 0 && miss <= 1 {
		within = 0
	}
	return [5]float64{out, math.Abs(setup.GateHeight - seat.Case.Setup.GateHeight), max(0, miss-1), moved, within}
}

func less(a, b [5]float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-7 {
			return a[i] < b[i]
		}
	}
	return false
}

// TestPlanAgainstEveryRig tries every step of gate and stretcher of seats with a
// measured draw height, some of whose gates are out: none does better by what
// the plan makes least.
func TestPlanAgainstEveryRig(t *testing.T) {
	in := seeded(77)
	gates := 0
	for n := range 40 {
		code := []string{"1x", "8+"}[n%2]
		task := someCrew(t, in, code, kinds[n%2], rigging.JobEveryday)
		task.Seats = task.Seats[:1]
		seat := &task.Seats[0]
		seat.Case.Setup.GateHeight = math.Round(in(0.13, 0.20)/0.005) * 0.005
		seat.Case.DrawHeight, seat.Measures.DrawHeight = in(0.30, 0.40), 0.35
		if _, err := seat.Case.Solve(); err != nil {
			continue
		}
		plan := makePlan(t, task)
		got := objective(t, seat, plan.Seats[0].Setup, plan.Targets.Finish)
		if before := alarms(t, seat, seat.Case.Setup, seat.Case.Posture); len(before) == 0 {
			for gate := 0.13; gate < 0.2001; gate += 0.005 {
				for heel := 0.10; heel < 0.4501; heel += 0.005 {
					s := seat.Case.Setup
					s.GateHeight, s.HeelToPin = gate, heel
					if o := objective(t, seat, s, plan.Targets.Finish); less(o, got) {
						t.Fatalf("%s: gate %.3f and heel %.3f do better: %v than %v (gate %.3f, heel %.3f)", code, gate, heel, o, got, plan.Seats[0].Setup.GateHeight, plan.Seats[0].Setup.HeelToPin)
					}
				}
			}
		}
		if plan.Seats[0].Setup.GateHeight != seat.Case.Setup.GateHeight {
			gates++
		}
	}
	if gates == 0 {
		t.Error("no gate was moved: the test tells nothing of gates")
	}
}

// TestNothingUnmeasuredIsMoved: an unmeasured stretcher is aimed at and not told
// to be moved, and so with gate, rower and pitch.
func TestNothingUnmeasuredIsMoved(t *testing.T) {
	task := thirtyCrews(t, rigging.JobRerig)[6]
	all := append(task.Seats[0].Case.Setup.Class.Settings(), rigging.SettingHeelToPin)
	for i := range task.Seats {
		task.Seats[i].Missing.Settings = all
		task.Seats[i].Case.Setup.SternPitch = deg(0)
	}
	plan := makePlan(t, task)
	for i, s := range plan.Seats {
		if len(s.Changes) > 0 || s.After.Verdict != rigging.SeatMeasureFirst || len(s.MeasureSettings) == 0 {
			t.Errorf("seat %d: %v, %s, measure %v", i, s.Changes, s.After.Verdict, s.MeasureSettings)
		}
		if s.HeelToPin <= 0 || s.HeelSD < 0.01 || s.Proof.FinishMiddle <= 0 {
			t.Errorf("seat %d has no aim: heel %.3f ± %.3f, %+v", i, s.HeelToPin, s.HeelSD, s.Proof)
		}
	}
	nobody := thirtyCrews(t, rigging.JobEveryday)[0]
	nobody.Seats[0].Missing.Rower = true
	if s := makePlan(t, nobody).Seats[0]; len(s.Changes) > 0 || s.After.Verdict != rigging.SeatMeasureFirst || !slices.Contains(s.Measure, rigging.EvidenceRower) {
		t.Errorf("a rower of unknown size: %v, %s, measure %v", s.Changes, s.After.Verdict, s.Measure)
	}
}

// TestStretcherAimIsGoodToFourCentimetres before anybody sat in the boat.
func TestStretcherAimIsGoodToFourCentimetres(t *testing.T) {
	for _, task := range thirtyCrews(t, rigging.JobEveryday) {
		for _, s := range makePlan(t, task).Seats {
			if s.HeelSD < 0.02 || s.HeelSD > 0.06 {
				t.Errorf("a stretcher is told to ± %.1f cm", 100*s.HeelSD)
			}
		}
	}
}

// TestGateOutByAGuessIsMeasuredFirst: a gate of 20 cm is too high for where hands
// usually meet the body, but whose hands nobody has measured keeps it; with the
// height measured the gate comes down to where it is no longer out.
func TestGateOutByAGuessIsMeasuredFirst(t *testing.T) {
	for _, code := range []string{"1x", "8+"} {
		task := someCrew(t, seeded(4), code, kinds[0], rigging.JobEveryday)
		task.Seats = task.Seats[:1]
		seat := &task.Seats[0]
		seat.Case.Setup.GateHeight = 0.26
		if s := makePlan(t, task).Seats[0]; s.Setup.GateHeight != 0.26 || !slices.Contains(s.Measure, rigging.EvidenceDraw) {
			t.Errorf("%s: gate %.3f, measure %v", code, s.Setup.GateHeight, s.Measure)
		}
		seat.Measures.DrawHeight, seat.Case.DrawHeight = 0.36, 0.36
		s := makePlan(t, task).Seats[0]
		if s.Setup.GateHeight > 0.24 || slices.Contains(s.Measure, rigging.EvidenceDraw) {
			t.Errorf("%s: gate %.3f with the height measured, measure %v", code, s.Setup.GateHeight, s.Measure)
		}
		before := alarms(t, seat, seat.Case.Setup, seat.Case.Posture)
		if after := alarms(t, seat, s.Setup, s.Posture); !before["gate_high"] || after["gate_high"] {
			t.Errorf("%s: %v before, %v after", code, before, after)
		}
	}
}

// TestPitchIsSetOnlyWhereOut: measured and out, in a full re-rig; at 3 and at 7
// it stays.
func TestPitchIsSetOnlyWhereOut(t *testing.T) {
	for _, row := range []struct {
		stern, blade float64
		job          rigging.Job
		want         float64 // total after
	}{
		{4, 0, rigging.JobRerig, 4}, {3, 0, rigging.JobRerig, 3}, {0, 7, rigging.JobRerig, 7}, {0, 2, rigging.JobRerig, 4},
		{4, 4, rigging.JobRerig, 4}, {4, 4, rigging.JobEveryday, 8},
	} {
		task := someCrew(t, seeded(3), "1x", kinds[0], row.job)
		task.Seats[0].Case.Setup.SternPitch, task.Seats[0].Case.Setup.BladePitch = deg(row.stern), deg(row.blade)
		s := makePlan(t, task).Seats[0].Setup
		degrees(t, "pitch", s.Pitch(0), row.want, 1e-9)
	}
}

// TestStretcherStopsAtItsRange: a board that ends 5 cm before the place is set to
// its end, the finish is reported as unmet and the range as what binds. Steps of 4 cm
// bring the nearest hole.
func TestStretcherStopsAtItsRange(t *testing.T) {
	task := someCrew(t, seeded(6), "1x", kinds[0], rigging.JobEveryday)
	want := makePlan(t, task).Seats[0].HeelToPin
	task.Seats[0].Case.Setup.HeelToPin = want - 0.12
	end := want - 0.05
	task.Adjust = map[rigging.Setting]rigging.Adjustment{rigging.SettingHeelToPin: {Min: end - 0.10, Max: end, Step: 0.01}}
	s := makePlan(t, task).Seats[0]
	near(t, "the range's end", s.Setup.HeelToPin, end, 1e-9)
	if !slices.Contains(s.Unmet, rigging.TargetFinish) || !slices.Contains(s.Binding, rigging.SettingHeelToPin) || s.After.Verdict != rigging.SeatOff {
		t.Errorf("unmet %v, binding %v, %s", s.Unmet, s.Binding, s.After.Verdict)
	}
	task.Adjust[rigging.SettingHeelToPin] = rigging.Adjustment{Min: want - 0.13, Max: want + 0.13, Step: 0.04}
	s = makePlan(t, task).Seats[0]
	near(t, "the nearest hole", s.Setup.HeelToPin, want-0.01, 1e-9)
	if len(s.Binding) > 0 {
		t.Errorf("binding %v between holes", s.Binding)
	}
	task.Limits = rigging.Limits{}
	if again := makePlan(t, task).Seats[0]; again.Setup != s.Setup {
		t.Errorf("without limits %+v, with the default ones %+v", again.Setup, s.Setup)
	}
}

// TestWorkIsHeldBackByCautions: a stretcher whose place would be outside what is
// usual in any boat stays, and the caution is named.
func TestWorkIsHeldBackByCautions(t *testing.T) {
	held := 0
	for _, task := range thirtyCrews(t, rigging.JobEveryday) {
		for i := range task.Seats {
			task.Seats[i].Case.Setup.HeelToPin = 0.52
		}
		task.Targets = rigging.Targets{Catch: deg(-40), Finish: deg(6)} // asks for a heel far to the stern
		task.Adjust = map[rigging.Setting]rigging.Adjustment{rigging.SettingHeelToPin: {Min: 0.05, Max: 0.85, Step: 0.005}}
		plan, err := rigging.MakePlan(task)
		if err != nil {
			continue
		}
		for i, s := range plan.Seats {
			before := alarms(t, &task.Seats[i], task.Seats[i].Case.Setup, task.Seats[i].Case.Posture)
			if before["unrowable"] {
				continue
			}
			for a := range alarms(t, &task.Seats[i], s.Setup, s.Posture) {
				if !before[a] {
					t.Errorf("%s added", a)
				}
			}
			if len(s.HeldBy) > 0 {
				held++
			}
		}
	}
	if held == 0 {
		t.Error("nothing was held back")
	}
}

// TestHeelsMoveOnlyForTheBody: a full re-rig takes heels down for hips that are
// past their limit, to no deeper than 18 cm, and leaves comfortable ones.
func TestHeelsMoveOnlyForTheBody(t *testing.T) {
	task := someCrew(t, seeded(5), "1x", kinds[0], rigging.JobRerig)
	seat := &task.Seats[0]
	if s := makePlan(t, task).Seats[0].Setup; s.HeelDepth != seat.Case.Setup.HeelDepth {
		t.Errorf("heels at %.3f moved to %.3f unasked", seat.Case.Setup.HeelDepth, s.HeelDepth)
	}
	// A stated posture is taken as it is, past the limits as well.
	seat.Case.Belief, seat.Case.Setup.HeelDepth = nil, 0.13
	seat.Case.Posture = rigging.DefaultPosture(seat.Case.Setup.Class)
	seat.Case.Posture.Lean = deg(28)
	task.Targets.Catch = deg(-72)
	s := makePlan(t, task).Seats[0].Setup
	if s.HeelDepth <= 0.13+0.005 || s.HeelDepth > 0.18+1e-9 {
		t.Errorf("heels at 13 cm for a lean of 28° went to %.3f", s.HeelDepth)
	}
}

// ambitious asks a crew for an arc that some of it cannot reach.
func ambitious(t reporter) []*rigging.PlanTask {
	var list []*rigging.PlanTask
	for _, task := range thirtyCrews(t, rigging.JobEveryday) {
		task.Targets = rigging.Targets{Catch: deg(-58), Finish: deg(35)}
		if task.Seats[0].Case.Setup.Class.Scull {
			task.Targets = rigging.Targets{Catch: deg(-70), Finish: deg(45)}
		}
		list = append(list, task)
	}
	return list
}

// TestOffersAreWorthTheirPrice: for arcs that ask much, every offer brings some
// seat that falls short at least half a degree, keeps the lever ratio where it
// says so, brings no caution, and comes in the order of preference.
func TestOffersAreWorthTheirPrice(t *testing.T) {
	kindsSeen := map[rigging.OfferKind]int{}
	order := []rigging.OfferKind{rigging.OfferShorterArc, rigging.OfferHeels, rigging.OfferPins, rigging.OfferOars, rigging.OfferOwnInboard}
	for _, task := range ambitious(t) {
		plan := makePlan(t, task)
		last := -1
		for _, o := range plan.Offers {
			kindsSeen[o.Kind]++
			if at := slices.Index(order, o.Kind); at <= last {
				t.Errorf("%s comes after %s", o.Kind, order[last])
			} else {
				last = at
			}
			best := rigging.Angle(0)
			for i, b := range o.Brings {
				if plan.Seats[i].After.CatchShort > 0 {
					best = max(best, b)
				}
			}
			if best < deg(0.5) {
				t.Errorf("%s brings %.2f° only", o.Kind, best.Degrees())
			}
			if o.Kind != rigging.OfferShorterArc {
				near(t, "lever ratio of "+string(o.Kind), o.LeverAfter, o.LeverBefore, 0.005)
			}
			if o.Kind == rigging.OfferPins {
				near(t, "overlap", o.OverlapAfter, overlapOf(plan.Seats[0].Setup), 1e-9)
			}
			offerAddsNoCaution(t, task, &plan, &o)
		}
		if len(plan.Limiting) > 0 && plan.Seats[plan.Limiting[0]].After.CatchShort > deg(0.51) && len(plan.Offers) == 0 {
			t.Errorf("a seat falls %.1f° short and nothing is offered", plan.Seats[plan.Limiting[0]].After.CatchShort.Degrees())
		}
	}
	t.Logf("offers: %v", kindsSeen)
	for _, kind := range []rigging.OfferKind{rigging.OfferShorterArc, rigging.OfferPins} {
		if kindsSeen[kind] == 0 {
			t.Errorf("no offer of %s among arcs that ask much", kind)
		}
	}
}

func overlapOf(s rigging.Setup) float64 { return s.Overlap().Raw }

func offerAddsNoCaution(t *testing.T, task *rigging.PlanTask, plan *rigging.Plan, o *rigging.Offer) {
	t.Helper()
	for i := range plan.Seats {
		seat := &task.Seats[i]
		s := plan.Seats[i].Setup
		before := alarms(t, seat, s, plan.Seats[i].Posture)
		maps.Copy(before, alarms(t, seat, s, seat.Case.Posture))
		for _, c := range o.Changes[i] {
			s.SetValue(c.Setting, c.To)
		}
		for a := range alarms(t, seat, s, plan.Seats[i].Posture) {
			if !before[a] && a != "steep_catch" { // rowed less far: see SeatPlan.Posture
				t.Errorf("%s adds %s", o.Kind, a)
			}
		}
	}
}

// TestChosenCatchIsHeldByAll: where no catch is asked for, nobody falls short by
// more than the reading of half a degree.
func TestChosenCatchIsHeldByAll(t *testing.T) {
	for _, task := range thirtyCrews(t, rigging.JobEveryday) {
		plan := makePlan(t, task)
		if !slices.Contains(plan.Chosen, rigging.TargetCatch) || !slices.Contains(plan.Chosen, rigging.TargetFinish) {
			t.Fatalf("chosen %v", plan.Chosen)
		}
		for i, s := range plan.Seats {
			if s.After.CatchShort > deg(0.75) {
				t.Errorf("seat %d falls %.2f° short of a catch that was chosen", i, s.After.CatchShort.Degrees())
			}
			if plan.AllReach < s.Suits.Catch.Capacity-1e-9 {
				t.Errorf("all reach %.1f, seat %d %.1f", plan.AllReach.Degrees(), i, s.Suits.Catch.Capacity.Degrees())
			}
		}
		if arc := task.Seats[0].Arc; plan.Targets.Catch < arc.Catch-deg(5) {
			t.Errorf("chosen %.1f where %.1f is usual", plan.Targets.Catch.Degrees(), arc.Catch.Degrees())
		}
	}
}

// TestStrengthMovesAnInboardByACentimetre at the most, the strong to the shorter
// one, and a junior's never to a heavier lever.
func TestStrengthMovesAnInboardByACentimetre(t *testing.T) {
	for _, kind := range []kind{kinds[0], kinds[2]} {
		task := someCrew(t, seeded(8), "8+", kind, rigging.JobRerig)
		for i := range task.Seats {
			task.Seats[i].Strength = 300 + 20*float64(i)
		}
		plan := makePlan(t, task)
		found := false
		for _, o := range plan.Offers {
			if o.Kind != rigging.OfferOwnInboard {
				continue
			}
			found = true
			for i, list := range o.Changes {
				for _, c := range list {
					if c.Setting != rigging.SettingInboard {
						continue
					}
					by := c.To - c.From
					if math.Abs(by) > 0.0100001 || (by > 0) != (i < 4) {
						t.Errorf("seat %d with %.0f: inboard %+.3f", i, task.Seats[i].Strength, by)
					}
					if kind.youngest > 0 && by < 0 {
						t.Errorf("a junior is geared heavier: %+.3f", by)
					}
				}
			}
		}
		if !found {
			t.Errorf("%s: strengths of 300 to 440 offer nothing", kind.name)
		}
	}
}

// TestPlanNamesWhatItLacks: an empty boat, a class that differs, a job nobody
// knows, targets out of range.
func TestPlanNamesWhatItLacks(t *testing.T) {
	_, err := rigging.MakePlan(&rigging.PlanTask{})
	if got := fields(t, err); !slices.Equal(got, []string{"seats"}) {
		t.Errorf("an empty boat: %v", got)
	}
	task := someCrew(t, seeded(1), "2x", kinds[0], "sunday")
	task.Seats[1].Case.Setup.Class = class("4x")
	task.Seats[0].Case.Body, task.Seats[0].Strength = rigging.Estimate{}, math.NaN()
	task.Targets.Catch = deg(-5)
	_, err = rigging.MakePlan(task)
	if got := fields(t, err); !slices.Equal(got, []string{"seats[0].strength", "seats[0].rower", "seats[1].boat_class", "targets.catch", "job"}) {
		t.Errorf("problems %v", got)
	}
	task = someCrew(t, seeded(1), "2x", kinds[0], rigging.JobEveryday)
	task.Seats[1].Case.Setup.HeelDepth = 1.5 // past Check, for the error's sake
	_, err = rigging.MakePlan(task)
	var seat *rigging.SeatError
	if !errors.As(err, &seat) || seat.Seat != 1 || limitOf(t, err) == "" || !strings.HasPrefix(err.Error(), "seat 2 of the list: ") {
		t.Errorf("a foot 150 cm under the seat: %v", err)
	}
}

// TestAStretcherThatCannotBeRowedIsPutRight: 2.05 m with the stretcher at 75 cm
// and at 2 cm.
func TestAStretcherThatCannotBeRowedIsPutRight(t *testing.T) {
	for _, heel := range []float64{0.02, 0.75} {
		s := usualRig("1x")
		s.HeelToPin = heel
		g := rigging.Group{Class: s.Class, Sex: rigging.Male}
		task := &rigging.PlanTask{Job: rigging.JobEveryday, Limits: rigging.DefaultLimits(),
			Seats: []rigging.PlanSeat{planSeat(t, s, rigging.Measures{Sex: rigging.Male, Stature: 2.05}, g)}}
		plan := makePlan(t, task)
		if v := plan.Seats[0].After.Verdict; v != rigging.SeatOnTarget || plan.Seats[0].Setup.HeelToPin == heel {
			t.Errorf("stretcher at %.2f: %s after %v", heel, v, plan.Seats[0].Changes)
		}
	}
}

// TestEightWomenOfAllSizes: of 158 to 183 cm, with only height and mass known,
// in an eight with one stretcher: the list is of stretchers, no seat is
// cautioned anew and none is off.
func TestEightWomenOfAllSizes(t *testing.T) {
	task := &rigging.PlanTask{Job: rigging.JobEveryday, Limits: rigging.DefaultLimits()}
	for i := range 8 {
		stature := 1.58 + 0.25*float64(i)/7
		s := usualRig("8+")
		m := rigging.Measures{Sex: rigging.Female, Stature: stature, Mass: 52 + 3*float64(i)}
		task.Seats = append(task.Seats, planSeat(t, s, m, rigging.Group{Class: s.Class, Sex: rigging.Female}))
	}
	plan := makePlan(t, task)
	heel := 0.0
	for i, s := range plan.Seats {
		before := alarms(t, &task.Seats[i], task.Seats[i].Case.Setup, task.Seats[i].Case.Posture)
		for a := range alarms(t, &task.Seats[i], s.Setup, s.Posture) {
			if !before[a] {
				t.Errorf("seat %d: %s", i, a)
			}
		}
		for _, c := range s.Changes {
			if c.Setting != rigging.SettingHeelToPin {
				t.Errorf("seat %d: %v", i, c)
			}
		}
		if s.After.Verdict != rigging.SeatOnTarget {
			t.Errorf("seat %d: %s, finish by %.1f, catch short %.1f", i, s.After.Verdict, s.After.FinishBy.Degrees(), s.After.CatchShort.Degrees())
		}
		if s.HeelToPin <= heel {
			t.Errorf("the stretcher of %.2f m belongs at %.3f, of a shorter one at %.3f", task.Seats[i].Measures.Stature, s.HeelToPin, heel)
		}
		heel = s.HeelToPin
	}
	// About half a centimetre for each centimetre of stature (common practice).
	near(t, "stretcher by stature (cm/cm)", (plan.Seats[7].HeelToPin-plan.Seats[0].HeelToPin)/0.25, 0.5, 0.25)
	t.Logf("targets %.1f/%.1f", plan.Targets.Catch.Degrees(), plan.Targets.Finish.Degrees())
}

// TestMensEightOfAClub: men and two juniors of 177 to 193.5 cm in an eight set
// for others, gates at 17.5 to 18.5, some arm spans, sitting heights and draw
// heights measured. The list is of stretchers, nothing is cautioned anew, and all
// are on target.
func TestMensEightOfAClub(t *testing.T) {
	crew := []rigging.Measures{
		{Age: 16, Stature: 1.82, ArmSpan: 1.85, SittingHeight: 0.94, Mass: 72},
		{Age: 27, Stature: 1.935, ArmSpan: 1.99, SittingHeight: 1.00, Mass: 94, DrawHeight: 0.385},
		{Age: 24, Stature: 1.88, ArmSpan: 1.92, SittingHeight: 0.98, Mass: 88},
		{Age: 30, Stature: 1.80, ArmSpan: 1.81, Mass: 77},
		{Age: 33, Stature: 1.85, ArmSpan: 1.86, Mass: 84, DrawHeight: 0.375},
		{Age: 17, Stature: 1.865, ArmSpan: 1.93, SittingHeight: 0.945, Mass: 80},
		{Age: 22, Stature: 1.90, ArmSpan: 1.99, SittingHeight: 0.95, Mass: 90},
		{Age: 20, Stature: 1.77, Mass: 72},
	}
	heels := []float64{0.215, 0.23, 0.23, 0.245, 0.25, 0.24, 0.23, 0.22}
	gates := []float64{0.175, 0.18, 0.18, 0.18, 0.185, 0.18, 0.175, 0.175}
	task := &rigging.PlanTask{Job: rigging.JobEveryday}
	for i, m := range crew {
		m.Sex = rigging.Male
		s := usualRig("8+")
		s.Spread, s.Inboard, s.HeelDepth, s.HeelToPin, s.GateHeight = 0.84, 1.145, 0.18, heels[i], gates[i]
		task.Seats = append(task.Seats, planSeat(t, s, m, rigging.Group{Class: s.Class, Sex: rigging.Male, Age: m.Age}))
	}
	plan := makePlan(t, task)
	t.Logf("targets %.1f/%.1f", plan.Targets.Catch.Degrees(), plan.Targets.Finish.Degrees())
	for i, s := range plan.Seats {
		t.Logf("seat %d, %.1f cm: stretcher %.1f → %.1f ± %.1f, catch %.1f of %.1f", i+1, 100*crew[i].Stature, 100*heels[i], 100*s.Setup.HeelToPin, 100*s.HeelSD, s.Stroke.Catch.Degrees(), s.Suits.Catch.Capacity.Degrees())
		for _, c := range s.Changes {
			if c.Setting != rigging.SettingHeelToPin {
				t.Errorf("seat %d: %v", i+1, c)
			}
		}
		before := alarms(t, &task.Seats[i], task.Seats[i].Case.Setup, task.Seats[i].Case.Posture)
		for a := range alarms(t, &task.Seats[i], s.Setup, s.Posture) {
			if !before[a] {
				t.Errorf("seat %d: %s", i+1, a)
			}
		}
		if s.After.Verdict != rigging.SeatOnTarget {
			t.Errorf("seat %d: %s", i+1, s.After.Verdict)
		}
	}
}

func BenchmarkPlanSeat(b *testing.B) {
	task := someCrew(b, seeded(2), "1x", kinds[0], rigging.JobEveryday)
	for b.Loop() {
		makePlan(b, task)
	}
}

// BenchmarkPlanEight plans an eight that some seats of fall short in, offers
// among it.
func BenchmarkPlanEight(b *testing.B) {
	task := someCrew(b, seeded(2), "8+", kinds[1], rigging.JobRerig)
	task.Targets = rigging.Targets{Catch: deg(-60), Finish: deg(35)}
	for b.Loop() {
		makePlan(b, task)
	}
}

// TestWhoStaysIsNotMoved: seats that stay are judged as they stand, and the one that
// does not gets the work that it has in the whole crew's plan.
func TestWhoStaysIsNotMoved(t *testing.T) {
	for _, job := range []rigging.Job{rigging.JobEveryday, rigging.JobRerig} {
		for _, task := range thirtyCrews(t, job) {
			whole := makePlan(t, task)
			one := *task
			one.Seats, one.Targets = slices.Clone(task.Seats), whole.Targets
			for i := range one.Seats {
				one.Seats[i].Stays = i > 0
			}
			plan := makePlan(t, &one)
			for i, s := range plan.Seats[1:] {
				found := task.Seats[i+1].Case.Setup
				if len(s.Changes) > 0 || s.Setup != found || len(s.HeldBy) > 0 {
					t.Errorf("%s seat %d moves: %v, held by %v", found.Class.Code, i+1, s.Changes, s.HeldBy)
				}
				if s.Before != nil && s.After.FinishBy != s.Before.FinishBy {
					t.Errorf("%s seat %d is judged by %v, as it stands by %v", found.Class.Code, i+1, s.After.FinishBy, s.Before.FinishBy)
				}
			}
			if plan.Seats[0].Setup != whole.Seats[0].Setup || len(one.Seats) > 1 && len(plan.Offers) > 0 {
				t.Errorf("the seat that is set: %v, with the whole crew %v; %d offers", plan.Seats[0].Changes, whole.Seats[0].Changes, len(plan.Offers))
			}
		}
	}
}
