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

// fitCrew is FitCrew for tasks that must have an answer.
func fitCrew(t reporter, task *rigging.CrewTask) rigging.CrewFit {
	t.Helper()
	f, err := rigging.FitCrew(task)
	if err != nil {
		t.Fatalf("FitCrew: %v", err)
	}
	return f
}

// four returns a quad of rowers of the statures, m, in a common rig.
func four(statures ...float64) *rigging.CrewTask {
	task := &rigging.CrewTask{Targets: usualTargets(class("4x"))}
	for _, stature := range statures {
		seat := scull()
		seat.Class = class("4x")
		m := rigging.Measures{Sex: rigging.Female, Stature: stature}
		task.Seats = append(task.Seats, rigging.CrewSeat{Case: rigging.NewCase(seat, &m)})
	}
	task.Adjust = task.Seats[0].Case.Setup.Adjustments()
	return task
}

// crews are boats to be fitted.
func crews() map[string]*rigging.CrewTask {
	return map[string]*rigging.CrewTask{
		"alike eight": eight(0.05), "unlike eight": eight(0.20),
		"quad": four(1.72, 1.80, 1.77, 1.75), "short quad": four(1.60, 1.62, 1.58, 1.61),
	}
}

// TestFitCrewFitsEverySeat: with the shared settings held at what the crew fit
// chose, each seat alone is fitted the same.
func TestFitCrewFitsEverySeat(t *testing.T) {
	for name, task := range crews() {
		f := fitCrew(t, task)
		for i, seat := range f.Seats {
			alone := problem{seat: task.Seats[i].Case, targets: seat.Targets, adjust: maps.Clone(task.Adjust)}
			for _, shared := range []rigging.Setting{rigging.SettingOarLength, rigging.SettingInboard} {
				alone.seat.Setup.SetValue(shared, seat.Setup.Value(shared))
				delete(alone.adjust, shared)
			}
			g := alone.fit(t)
			if !sameRig(g.Setup, seat.Setup) || g.Off != seat.Off || !reflect.DeepEqual(g.Unmet, seat.Unmet) {
				t.Errorf("%s, seat %d: %+v, alone %+v", name, i, seat.Setup, g.Setup)
			}
		}
	}
}

// sameRig compares to a tenth of a micrometre and microradian, since a setting
// on its step and as found may differ in the last bit.
func sameRig(a, b rigging.Setup) bool {
	for _, name := range a.Class.Settings() {
		if math.Abs(a.Value(name)-b.Value(name)) > 1e-7 {
			return false
		}
	}
	return a.Class == b.Class && a.Side == b.Side
}

// TestFitCrewSharesOneSetOfOars also where they differ as found.
func TestFitCrewSharesOneSetOfOars(t *testing.T) {
	for name, task := range crews() {
		task.Seats[1].Case.Setup.OarLength += 0.02
		task.Seats[0].Case.Setup.Inboard -= 0.01
		f := fitCrew(t, task)
		for i, seat := range f.Seats {
			if seat.Setup.OarLength != f.Seats[0].Setup.OarLength || seat.Setup.Inboard != f.Seats[0].Setup.Inboard {
				t.Errorf("%s: the oars of seat %d are %g/%g, those of the first %g/%g", name, i,
					seat.Setup.OarLength, seat.Setup.Inboard, f.Seats[0].Setup.OarLength, f.Seats[0].Setup.Inboard)
			}
		}
	}
}

// TestFitCrewScoreIsTheSum of the seats' and of what the shared settings cost.
func TestFitCrewScoreIsTheSum(t *testing.T) {
	for name, task := range crews() {
		f := fitCrew(t, task)
		want := 0.0
		for i, seat := range f.Seats {
			p := problem{seat: task.Seats[i].Case, adjust: task.Adjust}
			want += p.score(seat.Setup, seat.Targets)
		}
		near(t, name+" score", f.Score, want, 1e-9)
	}
}

// TestFitCrewAgreesWithTryingEverySetOfOars fits all seats to every oar length
// and inboard there is. The gates stand 1.4 cm higher than usual, where the
// search from the relaxation finds the best set.
func TestFitCrewAgreesWithTryingEverySetOfOars(t *testing.T) {
	for name, task := range map[string]*rigging.CrewTask{
		"double": four(1.62, 1.90), "short double": four(1.55, 1.60), "tall double": four(1.92, 1.97),
	} {
		for i := range task.Seats {
			task.Seats[i].Case.Setup.GateHeight += 0.014
		}
		for name, a := range task.Adjust {
			a.Step *= 2
			a.Cost /= 4
			task.Adjust[name] = a
		}
		f := fitCrew(t, task)
		best := tryEverySetOfOars(t, task)
		if f.Score > best+0.02 {
			t.Errorf("%s: score %g, the best set of oars gives %g", name, f.Score, best)
		}
	}
}

// tryEverySetOfOars returns the least sum of the seats' scores.
func tryEverySetOfOars(t *testing.T, task *rigging.CrewTask) float64 {
	values := func(name rigging.Setting) []float64 {
		a := task.Adjust[name]
		list := []float64{task.Seats[0].Case.Setup.Value(name)}
		for v := a.Min; v <= a.Max+1e-9; v += a.Step {
			list = append(list, v)
		}
		return list
	}
	best := math.Inf(1)
	for _, length := range values(rigging.SettingOarLength) {
		for _, inboard := range values(rigging.SettingInboard) {
			best = min(best, scoreWithOars(task, length, inboard))
		}
	}
	return best
}

// scoreWithOars returns the sum of the seats' scores with one set of oars.
func scoreWithOars(task *rigging.CrewTask, length, inboard float64) float64 {
	total := 0.0
	for i := range task.Seats {
		whole := problem{seat: task.Seats[i].Case, targets: task.Targets, adjust: task.Adjust}
		alone := problem{seat: task.Seats[i].Case, targets: whole.goals(), adjust: maps.Clone(task.Adjust)}
		delete(alone.adjust, rigging.SettingOarLength)
		delete(alone.adjust, rigging.SettingInboard)
		alone.seat.Setup.OarLength, alone.seat.Setup.Inboard = length, inboard
		f, err := alone.seat.Fit(alone.targets, alone.adjust)
		if err != nil {
			return math.Inf(1)
		}
		total += whole.score(f.Setup, f.Targets)
	}
	return total
}

// TestFitCrewPermutes: the order in which the seats are given does not matter.
func TestFitCrewPermutes(t *testing.T) {
	for name, task := range crews() {
		for _, targets := range []rigging.FitTargets{task.Targets, nil} {
			task.Targets = targets
			f := fitCrew(t, task)
			turned := *task
			turned.Seats = append(slices.Clone(task.Seats[1:]), task.Seats[0])
			g := fitCrew(t, &turned)
			for i := range f.Seats {
				if a, b := f.Seats[i].Setup, g.Seats[(i+len(g.Seats)-1)%len(g.Seats)].Setup; a != b {
					t.Errorf("%s, seat %d: %+v, in another order %+v", name, i, a, b)
				}
			}
		}
	}
}

// TestFitCrewMirrors: with port and starboard exchanged the rig is the same.
func TestFitCrewMirrors(t *testing.T) {
	task := eight(0.15)
	f := fitCrew(t, task)
	for i := range task.Seats {
		s := &task.Seats[i].Case.Setup
		s.Side = s.Side.Other()
	}
	g := fitCrew(t, task)
	for i := range f.Seats {
		if !reflect.DeepEqual(f.Seats[i].Changes, g.Seats[i].Changes) {
			t.Errorf("seat %d: %v, mirrored %v", i, f.Seats[i].Changes, g.Seats[i].Changes)
		}
	}
}

func TestFitCrewIsDeterministic(t *testing.T) {
	for name, task := range crews() {
		task.Targets = nil
		if f, g := fitCrew(t, task), fitCrew(t, task); !reflect.DeepEqual(f, g) {
			t.Errorf("%s: %+v and then %+v", name, f, g)
		}
	}
}

// TestFitCrewWiderOarsAreNoWorse: more sets of oars to choose from.
func TestFitCrewWiderOarsAreNoWorse(t *testing.T) {
	for name, task := range crews() {
		f := fitCrew(t, task)
		for _, shared := range []rigging.Setting{rigging.SettingOarLength, rigging.SettingInboard} {
			a := task.Adjust[shared]
			a.Min, a.Max = a.Min-5*a.Step, a.Max+5*a.Step
			task.Adjust[shared] = a
		}
		if g := fitCrew(t, task); g.Score > f.Score+0.02 {
			t.Errorf("%s: score %g, with more oars to choose from %g", name, f.Score, g.Score)
		}
	}
}

// TestFitCrewLeavesABoatThatFits.
func TestFitCrewLeavesABoatThatFits(t *testing.T) {
	task := four(1.75, 1.75, 1.75)
	stroke := solved(t, &task.Seats[0].Case)
	task.Targets = rigging.FitTargets{
		rigging.TargetCatch:  {Value: float64(stroke.Catch)},
		rigging.TargetFinish: {Value: float64(stroke.Finish)},
	}
	for i, seat := range fitCrew(t, task).Seats {
		if len(seat.Changes) > 0 {
			t.Errorf("seat %d: %v", i, seat.Changes)
		}
	}
}

// TestFitCrewSharesTheLoadByStrength: the lever ratio wanted is in proportion to
// strength about the one asked for, and unknown strength counts as the mean.
func TestFitCrewSharesTheLoadByStrength(t *testing.T) {
	task := eight(0)
	task.OwnInboard = true
	task.Targets[rigging.TargetLeverRatio] = rigging.Goal{Value: 2.3}
	strengths := []float64{400, 420, 380, 400, 0, 400, 410, 390}
	for i, s := range strengths {
		task.Seats[i].Strength = s
	}
	f := fitCrew(t, task)
	for i, seat := range f.Seats {
		want := 2.3 * strengths[i] / 400
		if strengths[i] == 0 {
			want = 2.3
		}
		near(t, "lever ratio wanted", seat.Targets[rigging.TargetLeverRatio].Value, want, 1e-12)
	}
	if strong, weak := f.Seats[1].Setup, f.Seats[2].Setup; strong.Inboard >= weak.Inboard {
		t.Errorf("inboard %g for the strongest, %g for the weakest", strong.Inboard, weak.Inboard)
	}
}

// TestFitCrewKeepsTheMeanLoad where no lever ratio is asked for.
func TestFitCrewKeepsTheMeanLoad(t *testing.T) {
	task := eight(0)
	task.OwnInboard = true
	task.Seats[3].Case.Setup.Inboard -= 0.02
	mean := 0.0
	for i := range task.Seats {
		mean += task.Seats[i].Case.Setup.Gearing().LeverRatio / 8
	}
	for _, seat := range fitCrew(t, task).Seats {
		near(t, "lever ratio wanted", seat.Targets[rigging.TargetLeverRatio].Value, mean, 1e-12)
	}
}

// TestFitCrewChoosesUsualEnds for a crew that can row them by the stretcher.
func TestFitCrewChoosesUsualEnds(t *testing.T) {
	task := eight(0)
	want := usualTargets(class("8+"))
	ends := rigging.DefaultTargets(class("8+"))
	want[rigging.TargetCatch] = rigging.Goal{Value: float64(ends.Catch)}
	want[rigging.TargetFinish] = rigging.Goal{Value: float64(ends.Finish)}
	for i := range task.Seats {
		p := problem{seat: task.Seats[i].Case, targets: want, adjust: task.Adjust}
		task.Seats[i].Case.Setup = p.fit(t).Setup
	}
	task.Targets = nil
	f := fitCrew(t, task)
	if !slices.Equal(f.Chosen, []rigging.Target{rigging.TargetCatch, rigging.TargetFinish}) {
		t.Errorf("chosen: %v", f.Chosen)
	}
	for _, end := range f.Chosen {
		near(t, string(end), f.Targets[end].Value, want[end].Value, float64(deg(0.5))+1e-9)
	}
}

// TestFitCrewChoosesOnlyWhatIsNotAsked, in half degrees.
func TestFitCrewChoosesOnlyWhatIsNotAsked(t *testing.T) {
	task := eight(0.1)
	delete(task.Targets, rigging.TargetFinish)
	f := fitCrew(t, task)
	if !slices.Equal(f.Chosen, []rigging.Target{rigging.TargetFinish}) {
		t.Errorf("chosen: %v", f.Chosen)
	}
	near(t, "catch", f.Targets[rigging.TargetCatch].Value, task.Targets[rigging.TargetCatch].Value, 0)
	halves := rigging.Angle(f.Targets[rigging.TargetFinish].Value).Degrees() * 2
	near(t, "finish in half degrees", halves, math.Round(halves), 1e-9)
	if _, spoilt := task.Targets[rigging.TargetFinish]; spoilt {
		t.Error("the caller's targets are changed")
	}
}

// TestFitCrewChosenEndsSuitTheCrew: small rowers miss what is chosen for them
// by less than the usual ends, and no other choice within two degrees is much
// better.
func TestFitCrewChosenEndsSuitTheCrew(t *testing.T) {
	task := four(1.55, 1.58, 1.52, 1.56)
	task.Targets = nil
	chosen := fitCrew(t, task)
	asked := rigging.DefaultTargets(class("4x"))
	task.Targets = rigging.FitTargets{rigging.TargetCatch: {Value: float64(asked.Catch)}, rigging.TargetFinish: {Value: float64(asked.Finish)}}
	if usual := fitCrew(t, task); chosen.Score >= usual.Score {
		t.Errorf("score %g with the chosen ends, %g with the usual ones", chosen.Score, usual.Score)
	}
	arc := chosen.Targets[rigging.TargetFinish].Value - chosen.Targets[rigging.TargetCatch].Value
	if usual := float64(asked.Finish - asked.Catch); arc >= usual {
		t.Errorf("an arc of %g is chosen for small rowers, usual is %g", arc, usual)
	}
}

// TestFitCrewShowsTradeOffs: one rower far taller than the rest ends further
// from the targets than any other.
func TestFitCrewShowsTradeOffs(t *testing.T) {
	task := four(1.70, 1.71, 2.05, 1.69)
	task.Adjust = pick(task.Adjust, rigging.SettingHeelToPin)
	f := fitCrew(t, task)
	for i, seat := range f.Seats {
		if i != 2 && seat.Off >= f.Seats[2].Off {
			t.Errorf("seat %d is off by %g, the tallest by %g", i, seat.Off, f.Seats[2].Off)
		}
	}
	if len(f.Seats[2].Unmet) == 0 {
		t.Error("the tallest meets the targets")
	}
}

// gains returns the gains of one kind of relief, or nil.
func gains(f *rigging.CrewFit, kind rigging.ReliefKind) []float64 {
	for _, r := range f.Reliefs {
		if r.Kind == kind {
			return r.Gains
		}
	}
	return nil
}

// TestFitCrewNamesTheRelief: what was held back is what helps, by what a fit
// with that range gains.
func TestFitCrewNamesTheRelief(t *testing.T) {
	for _, c := range []struct {
		kind rigging.ReliefKind
		hold func(adjust map[rigging.Setting]rigging.Adjustment)
	}{
		{rigging.ReliefStretcher, func(adjust map[rigging.Setting]rigging.Adjustment) {
			adjust[rigging.SettingHeelToPin] = rigging.Adjustment{Min: 0.31, Max: 0.33, Step: 0.005, Cost: 1}
		}},
		{rigging.ReliefPins, func(adjust map[rigging.Setting]rigging.Adjustment) {
			maps.DeleteFunc(adjust, func(s rigging.Setting, _ rigging.Adjustment) bool { return s != rigging.SettingHeelToPin })
		}},
		{rigging.ReliefOars, func(adjust map[rigging.Setting]rigging.Adjustment) {
			adjust[rigging.SettingInboard] = rigging.Adjustment{Min: 0.90, Max: 0.91, Step: 0.005, Cost: 1}
			adjust[rigging.SettingOarLength] = rigging.Adjustment{Min: 2.88, Max: 2.88, Step: 0.01, Cost: 1}
			delete(adjust, rigging.SettingHeelDepth)
		}},
	} {
		task := four(1.70, 1.71, 1.72, 1.69)
		c.hold(task.Adjust)
		f := fitCrew(t, task)
		got := gains(&f, c.kind)
		if len(got) != 4 {
			t.Errorf("%s is no relief: %v", c.kind, f.Reliefs)
			continue
		}
		for i, gain := range got {
			if most := f.Seats[i].Off; gain > most+0.5 {
				t.Errorf("%s brings seat %d %g nearer, but it is only %g off", c.kind, i, gain, most)
			}
		}
	}
}

// TestFitCrewReliefIsWhatAFitGains compares the gain of freeing the stretcher
// with a fit whose stretcher is free.
func TestFitCrewReliefIsWhatAFitGains(t *testing.T) {
	task := four(1.70, 1.80)
	task.Adjust = map[rigging.Setting]rigging.Adjustment{rigging.SettingHeelToPin: {Min: 0.31, Max: 0.33, Step: 0.0005}}
	held := fitCrew(t, task)
	got := gains(&held, rigging.ReliefStretcher)
	if got == nil {
		t.Fatalf("reliefs: %v", held.Reliefs)
	}
	task.Adjust[rigging.SettingHeelToPin] = rigging.Adjustment{Min: 0.05, Max: 0.60, Step: 0.0005}
	task.Adjust[rigging.SettingHeelDepth] = rigging.Adjustment{Min: 0.12, Max: 0.22, Step: 0.0005}
	free := fitCrew(t, task)
	for i := range got {
		near(t, "gain", got[i], held.Seats[i].Off-free.Seats[i].Off, 0.1)
	}
}

func TestFitCrewThatMeetsItsTargetsNeedsNoRelief(t *testing.T) {
	f := fitCrew(t, eight(0.03))
	for i, seat := range f.Seats {
		if len(seat.Unmet) > 0 {
			t.Fatalf("seat %d misses %v", i, seat.Unmet)
		}
	}
	if f.Reliefs != nil {
		t.Errorf("reliefs: %v", f.Reliefs)
	}
}

// TestFitCrewNeverGearsAJuniorUp: one junior in the boat holds back the set of
// oars.
func TestFitCrewNeverGearsAJuniorUp(t *testing.T) {
	task := four(1.70, 1.71, 1.72, 1.69)
	task.Seats[2].Case.Age = 16
	task.Targets[rigging.TargetLeverRatio] = rigging.Goal{Value: 2.3, Weight: 5}
	f := fitCrew(t, task)
	for i, seat := range f.Seats {
		was, is := task.Seats[i].Case.Setup.Gearing().LeverRatio, seat.Setup.Gearing().LeverRatio
		if is > was+1e-9 {
			t.Errorf("seat %d: lever ratio %g, was %g", i, is, was)
		}
		if warned := len(seat.Cautions) > 0; warned != (i == 2) {
			t.Errorf("seat %d: cautions %v", i, seat.Cautions)
		}
	}
}

// TestFitCrewNamesOarsOutsideTheRange.
func TestFitCrewNamesOarsOutsideTheRange(t *testing.T) {
	task := eight(0.03)
	task.Adjust[rigging.SettingOarLength] = rigging.Adjustment{Min: 3.78, Max: 3.80, Step: 0.01, Cost: 8}
	f := fitCrew(t, task)
	for i, seat := range f.Seats {
		if !slices.Equal(seat.Outside, []rigging.Setting{rigging.SettingOarLength}) {
			t.Errorf("seat %d, outside: %v", i, seat.Outside)
		}
	}
	if length := f.Seats[0].Setup.OarLength; length < 3.78-1e-9 || length > 3.80+1e-9 {
		t.Errorf("oar length %g", length)
	}
}

// TestFitCrewRefusesBadInput names every field that cannot be right.
func TestFitCrewRefusesBadInput(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(task *rigging.CrewTask)
		want  []string
	}{
		"no seats":       {func(task *rigging.CrewTask) { task.Seats = nil }, []string{"seats"}},
		"too many seats": {func(task *rigging.CrewTask) { task.Seats = append(task.Seats, task.Seats[0]) }, []string{"seats"}},
		"no rower":       {func(task *rigging.CrewTask) { task.Seats[2].Case.Body = rigging.Estimate{} }, []string{"seats[2].rower"}},
		"another class":  {func(task *rigging.CrewTask) { task.Seats[1].Case.Setup.Class = class("4-") }, []string{"seats[1].boat_class"}},
		"strength":       {func(task *rigging.CrewTask) { task.Seats[0].Strength = -1 }, []string{"seats[0].strength"}},
		"nothing moves":  {func(task *rigging.CrewTask) { task.Adjust = nil }, []string{"adjust"}},
		"target":         {func(task *rigging.CrewTask) { task.Targets[rigging.TargetCatch] = rigging.Goal{Value: 1} }, []string{"targets.catch"}},
		"several": {func(task *rigging.CrewTask) {
			task.Seats[0].Strength, task.Seats[7].Strength = -1, math.NaN()
			task.Targets["splash"] = rigging.Goal{}
			task.Adjust[rigging.SettingSpan] = rigging.Adjustment{}
		}, []string{"seats[0].strength", "seats[7].strength", "targets.splash", "adjust.span"}},
	} {
		task := eight(0.05)
		c.spoil(task)
		_, err := rigging.FitCrew(task)
		if got := fields(t, err); !slices.Equal(got, c.want) {
			t.Errorf("%s: fields %v, want %v", name, got, c.want)
		}
	}
}

// TestFitCrewNamesTheSeatThatCannotRow.
func TestFitCrewNamesTheSeatThatCannotRow(t *testing.T) {
	task := eight(0.05)
	task.Seats[5].Case.Body.Body.Arm = 0.1
	for _, targets := range []rigging.FitTargets{task.Targets, nil} {
		task.Targets = targets
		_, err := rigging.FitCrew(task)
		var seat *rigging.SeatError
		if !errors.As(err, &seat) || seat.Seat != 5 || limitOf(t, err) == "" {
			t.Errorf("error %v", err)
		} else if !strings.HasPrefix(err.Error(), "seat 6 of the list: ") {
			t.Errorf("error %q", err)
		}
	}
}

// TestFitCrewOfOne is a seat fitted by itself.
func TestFitCrewOfOne(t *testing.T) {
	for name, c := range fitCases() {
		targets := usualTargets(c.Setup.Class)
		adjust := c.Setup.Adjustments()
		alone, err := c.Fit(targets, adjust)
		if err != nil {
			t.Fatal(err)
		}
		task := rigging.CrewTask{Seats: []rigging.CrewSeat{{Case: c}}, Targets: targets, Adjust: adjust}
		near(t, name+" score", fitCrew(t, &task).Score, alone.Score, 0.02)
	}
}
