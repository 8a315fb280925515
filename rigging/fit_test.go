package rigging_test

import (
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// problem is a small fit whose every rig can be tried.
type problem struct {
	seat    rigging.Case
	targets rigging.FitTargets
	adjust  map[rigging.Setting]rigging.Adjustment
}

// someProblem returns a fit of up to three settings with some fifteen steps
// each, to targets that may or may not be within reach.
// longArc returns an arc that asks something of a body of medium size.
func longArc(c rigging.Class) rigging.Targets {
	if c.Scull {
		return rigging.Targets{Catch: deg(-64), Finish: deg(44)}
	}
	return rigging.Targets{Catch: deg(-55), Finish: deg(35)}
}

func someProblem(in source) problem {
	setup := someScull(in)
	if in(0, 1) < 0.5 {
		setup = someSweep(in)
	}
	m := rigging.Measures{Stature: in(1.60, 2.00), Sex: rigging.Male}
	p := problem{seat: rigging.NewCase(setup, &m), targets: rigging.FitTargets{}, adjust: map[rigging.Setting]rigging.Adjustment{}}
	all := p.seat.Setup.Adjustments()
	names := slices.Sorted(maps.Keys(all))
	for range 1 + int(in(0, 2.999)) {
		name := names[min(int(in(0, float64(len(names)))), len(names)-1)]
		a := all[name]
		a.Step = (a.Max - a.Min) / math.Floor(in(4, 16))
		a.Cost = math.Floor(in(0, 9))
		p.adjust[name] = a
	}
	ends := longArc(setup.Class)
	aims := map[rigging.Target]float64{
		rigging.TargetCatch:      float64(ends.Catch + deg(in(-6, 6))),
		rigging.TargetFinish:     float64(ends.Finish + deg(in(-6, 6))),
		rigging.TargetLeverRatio: in(2.0, 2.3),
		rigging.TargetDrawHeight: 0,
		rigging.TargetOverlap:    setup.Overlap().Raw + in(-0.03, 0.03),
	}
	for _, target := range slices.Sorted(maps.Keys(aims)) {
		if in(0, 1) < 0.5 {
			p.targets[target] = rigging.Goal{Value: aims[target], Weight: in(0.5, 2)}
		}
	}
	if len(p.targets) == 0 {
		p.targets[rigging.TargetCatch] = rigging.Goal{Value: aims[rigging.TargetCatch]}
	}
	return p
}

// score is what Fit promises to make small, from the package's other results:
// goals are those the fit says it aimed at.
func (p *problem) score(setup rigging.Setup, goals rigging.FitTargets) float64 {
	c := p.seat
	c.Setup = setup
	stroke, err := c.Solve()
	if err != nil || setup.Check() != nil {
		return math.Inf(1)
	}
	got := map[rigging.Target]float64{
		rigging.TargetCatch: float64(stroke.Catch), rigging.TargetFinish: float64(stroke.Finish),
		rigging.TargetLeverRatio: setup.Gearing().LeverRatio, rigging.TargetOverlap: setup.Overlap().Raw,
		rigging.TargetDrawHeight: c.Heights(&stroke).HandleCovered,
	}
	off, met := 0.0, true
	for target, g := range goals {
		miss := (got[target] - g.Value) / g.Tolerance
		met = met && math.Abs(miss) <= 1+1e-9
		off = math.Hypot(off, g.Weight*miss)
	}
	if met {
		off *= 0.01
	}
	return off + p.charge(&setup)
}

// charge returns what the score adds for the settings that move.
func (p *problem) charge(setup *rigging.Setup) float64 {
	sum := 0.0
	for name, a := range p.adjust {
		unit := rigging.SensitivityStep(name.Quantity())
		if z := (setup.Value(name) - p.seat.Setup.Value(name)) / unit; math.Abs(z) > 1e-6 {
			sum += 0.1*a.Cost + 1e-5*z*z
		}
	}
	return sum
}

// exhaustive returns the least score of all rigs: every setting as found or on
// any of its steps. A rig that meets its targets as found is left alone.
func (p *problem) exhaustive() float64 {
	goals := p.goals()
	if found := p.score(p.seat.Setup, goals); found < 0.1 {
		return found
	}
	best := math.Inf(1)
	names := slices.Sorted(maps.Keys(p.adjust))
	var try func(setup rigging.Setup, left []rigging.Setting)
	try = func(setup rigging.Setup, left []rigging.Setting) {
		if len(left) == 0 {
			best = min(best, p.score(setup, goals))
			return
		}
		try(setup, left[1:])
		a := p.adjust[left[0]]
		for v := a.Min; v <= a.Max+1e-9; v += a.Step {
			setup.SetValue(left[0], v)
			try(setup, left[1:])
		}
	}
	try(p.seat.Setup, names)
	return best
}

// goals returns the targets with the defaults and what is kept, as documented.
func (p *problem) goals() rigging.FitTargets {
	goals := maps.Clone(p.targets)
	has := func(names ...rigging.Setting) bool {
		return slices.ContainsFunc(names, func(n rigging.Setting) bool { _, ok := p.adjust[n]; return ok })
	}
	stroke, _ := p.seat.Solve()
	heights := p.seat.Heights(&stroke)
	if _, asked := goals[rigging.TargetOverlap]; !asked && has(rigging.SettingSpan, rigging.SettingSpread) && has(rigging.SettingInboard) {
		goals[rigging.TargetOverlap] = rigging.Goal{Value: p.seat.Setup.Overlap().Raw}
	}
	if _, asked := goals[rigging.TargetDrawHeight]; !asked && has(rigging.SettingGateHeight) && len(p.adjust) > 1 {
		goals[rigging.TargetDrawHeight] = rigging.Goal{Value: heights.HandleCovered}
	}
	for target, g := range goals {
		if target == rigging.TargetDrawHeight && g.Value == 0 {
			g.Value = heights.DrawHeight
		}
		if g.Weight == 0 {
			g.Weight = 1
		}
		g.Tolerance = target.Tolerance()
		goals[target] = g
	}
	return goals
}

// fit is Case.Fit for problems that must have an answer.
func (p *problem) fit(t reporter) rigging.Fit {
	t.Helper()
	f, err := p.seat.Fit(p.targets, p.adjust)
	if err != nil {
		t.Fatalf("Fit: %v", err)
	}
	return f
}

// pick returns a copy of the adjustments with the named settings.
func pick(adjust map[rigging.Setting]rigging.Adjustment, names ...rigging.Setting) map[rigging.Setting]rigging.Adjustment {
	kept := map[rigging.Setting]rigging.Adjustment{}
	for _, n := range names {
		kept[n] = adjust[n]
	}
	return kept
}

// movedBy returns the settings that a fit changes, sorted.
func movedBy(f *rigging.Fit) []rigging.Setting {
	var names []rigging.Setting
	for _, c := range f.Changes {
		names = append(names, c.Setting)
	}
	slices.Sort(names)
	return names
}

// reasonsOf returns the targets that a fit did not meet with their reasons.
func reasonsOf(f *rigging.Fit) map[rigging.Target]rigging.Why {
	list := map[rigging.Target]rigging.Why{}
	for _, m := range f.Unmet {
		list[m.Target] = m.Why
	}
	return list
}

// scullProblem fits an adult in a single to catch and finish, deg, with the
// named settings as they are commonly moved.
func scullProblem(catch, finish float64, names ...rigging.Setting) problem {
	p := problem{seat: rigging.NewCase(scull(), adult()), targets: rigging.FitTargets{
		rigging.TargetCatch: {Value: float64(deg(catch))}, rigging.TargetFinish: {Value: float64(deg(finish))},
	}}
	p.adjust = pick(p.seat.Setup.Adjustments(), names...)
	return p
}

// TestFitAgreesWithTryingEveryRig compares with every choice of settings as
// found and on their steps. The search from the relaxation may miss a better rig
// where steps are coarse or the oar comes to lie along the hull, but seldom.
func TestFitAgreesWithTryingEveryRig(t *testing.T) {
	in := seeded(1000)
	const problems = 300
	exact, worse := 0, 0
	for range problems {
		p := someProblem(in)
		best := p.exhaustive()
		f, err := p.seat.Fit(p.targets, p.adjust)
		switch {
		case err != nil && math.IsInf(best, 1):
			exact++
		case err != nil:
			t.Errorf("%v, but some rig can be rowed: %+v", err, p)
		case f.Score < best-1e-9:
			t.Errorf("score %g is less than the least, %g: %+v", f.Score, best, p)
		case f.Score < best+1e-9:
			exact++
		case f.Score > best+0.01:
			worse++
		}
		if err == nil {
			near(t, "score of the rig shown", p.score(f.Setup, f.Targets), f.Score, 1e-9)
		}
	}
	if exact < problems*98/100 || worse > problems/100 {
		t.Errorf("of %d fits %d are the best of all, %d worse by a hundredth of a tolerance", problems, exact, worse)
	}
}

// TestFitNamesWhatItAimedAt compares with the defaults as documented.
func TestFitNamesWhatItAimedAt(t *testing.T) {
	in := seeded(21)
	for range 50 {
		p := someProblem(in)
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err == nil && !reflect.DeepEqual(f.Targets, p.goals()) {
			t.Fatalf("aimed at %v, want %v", f.Targets, p.goals())
		}
	}
}

// TestFitFinishIsTheClosedForm: with only the stretcher to move and only the
// finish to meet, the heel's place has a closed form.
func TestFitFinishIsTheClosedForm(t *testing.T) {
	for name, c := range fitCases() {
		for _, finish := range []float64{30, 36, 42} {
			stroke := solved(t, &c)
			want := c.Demand(&stroke, rigging.Targets{Finish: deg(finish)}, rigging.DefaultLimits()).HeelForFinish
			f, err := c.Fit(
				rigging.FitTargets{rigging.TargetFinish: {Value: float64(deg(finish)), Tolerance: 1e-6}},
				map[rigging.Setting]rigging.Adjustment{rigging.SettingHeelToPin: {Max: 0.9, Step: 0.0001}},
			)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			near(t, name+" heel", f.Setup.HeelToPin, want, 0.00005+1e-9)
		}
	}
}

// TestFitGateIsTheWindowsEnd: a gate fitted to the draw height alone covers the
// blade where the hands meet the body.
func TestFitGateIsTheWindowsEnd(t *testing.T) {
	for name, c := range fitCases() {
		c.DrawHeight = 0.27 // low enough that nothing else ends the window
		c.Setup.GateDifference = 0
		stroke := solved(t, &c)
		window := c.Heights(&stroke).Window
		if window.HighBy != rigging.BoundCovered {
			t.Fatalf("%s: the window ends by %s", name, window.HighBy)
		}
		f, err := c.Fit(rigging.FitTargets{rigging.TargetDrawHeight: {Tolerance: 1e-6}},
			map[rigging.Setting]rigging.Adjustment{rigging.SettingGateHeight: {Min: 0.03, Max: 0.35, Step: 0.0001}})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		near(t, name+" gate", f.Setup.GateHeight, window.High, 0.00005+1e-6)
	}
}

// TestFitWithStatedHands: the draw height follows the gate, the arc does not.
func TestFitWithStatedHands(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	c.Handle = &rigging.Handle{Catch: 0.25, Finish: 0.25}
	stroke := solved(t, &c)
	f, err := c.Fit(rigging.FitTargets{rigging.TargetDrawHeight: {Value: 0.30, Tolerance: 0.001}},
		map[rigging.Setting]rigging.Adjustment{rigging.SettingGateHeight: {Min: 0.03, Max: 0.35, Step: 0.0005}})
	if err != nil {
		t.Fatal(err)
	}
	c.Setup = f.Setup
	near(t, "draw height", c.Heights(&f.Stroke).HandleCovered, 0.30, 0.0005)
	near(t, "catch", float64(f.Stroke.Catch), float64(stroke.Catch), 0)
}

// TestFitFindsTheRigAgain: the targets are what a rig gives; from another rig,
// with as many settings as targets, the fit comes back to it exactly.
func TestFitFindsTheRigAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t)
		some := []func(source) rigging.Setup{someScull, someSweep}[int(in(0, 1.999))]
		c := rigging.NewCase(some(in), adult())
		adjust := pick(c.Setup.Adjustments(), rigging.SettingHeelToPin, rigging.SettingHeelDepth, rigging.SettingOarLength)
		there := c
		for name, a := range adjust {
			a.Cost = 0
			adjust[name] = a
			there.Setup.SetValue(name, a.Min+a.Step*math.Floor(in(0, (a.Max-a.Min)/a.Step)))
		}
		stroke, err := there.Solve()
		if err != nil || stroke.Finish > deg(80) {
			t.Skip("no rig to come back to")
		}
		f, err := c.Fit(rigging.FitTargets{
			rigging.TargetCatch:      {Value: float64(stroke.Catch), Tolerance: float64(deg(0.001))},
			rigging.TargetFinish:     {Value: float64(stroke.Finish), Tolerance: float64(deg(0.001))},
			rigging.TargetLeverRatio: {Value: there.Setup.Gearing().LeverRatio, Tolerance: 0.0001},
		}, adjust)
		if err != nil {
			t.Fatalf("Fit: %v", err)
		}
		for name := range adjust {
			near(t, string(name), f.Setup.Value(name), there.Setup.Value(name), 1e-9)
		}
	})
}

func TestFitLeavesASeatThatMeetsItsTargets(t *testing.T) {
	for name, c := range fitCases() {
		stroke := solved(t, &c)
		adjust := c.Setup.Adjustments()
		for setting, a := range adjust {
			a.Cost = 0 // not even what is free
			adjust[setting] = a
		}
		f, err := c.Fit(rigging.FitTargets{
			rigging.TargetCatch:  {Value: float64(stroke.Catch + deg(0.45))},
			rigging.TargetFinish: {Value: float64(stroke.Finish - deg(0.45))},
		}, adjust)
		if err != nil || len(f.Changes) != 0 || len(f.Unmet) != 0 || f.Setup != c.Setup {
			t.Errorf("%s: changes %v, unmet %v, error %v", name, f.Changes, f.Unmet, err)
		}
	}
}

// TestFitPrefersTheStretcher: what the stretcher alone can do is left to it.
func TestFitPrefersTheStretcher(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	shifted := c
	shifted.Setup.HeelToPin += 0.03
	stroke := solved(t, &shifted)
	f, err := c.Fit(rigging.FitTargets{
		rigging.TargetCatch:  {Value: float64(stroke.Catch)},
		rigging.TargetFinish: {Value: float64(stroke.Finish)},
	}, c.Setup.Adjustments())
	if err != nil || !slices.Equal(movedBy(&f), []rigging.Setting{rigging.SettingHeelToPin}) {
		t.Errorf("moves %v, error %v", f.Changes, err)
	}
}

// TestFitMovesOnlyWhatEarnsItsCost: each setting that moves, put back with the
// others refitted without it, makes the score worse.
func TestFitMovesOnlyWhatEarnsItsCost(t *testing.T) {
	in := seeded(31)
	for range 40 {
		p := someProblem(in)
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil || len(f.Outside) > 0 {
			continue
		}
		for _, c := range f.Changes {
			less := p
			less.targets = f.Targets
			less.adjust = maps.Clone(p.adjust)
			delete(less.adjust, c.Setting)
			if len(less.adjust) == 0 {
				less.adjust = map[rigging.Setting]rigging.Adjustment{c.Setting: {Min: c.From, Max: c.From, Step: 0.01}}
			}
			without, err := less.seat.Fit(less.targets, less.adjust)
			if err == nil && without.Score < f.Score-0.01 {
				t.Errorf("score %g with %s moved, %g without: %+v", f.Score, c.Setting, without.Score, p)
			}
		}
	}
}

// TestFitDearerSettingsMoveLess: with all costs raised alike, what moves costs
// no more in the old measure.
func TestFitDearerSettingsMoveLess(t *testing.T) {
	in := seeded(41)
	for range 60 {
		p := someProblem(in)
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil || len(f.Outside) > 0 {
			continue
		}
		dear := p
		dear.adjust = scaledCosts(p.adjust, 5)
		g := dear.fit(t)
		if was, is := p.charge(&f.Setup), p.charge(&g.Setup); is > was+0.01 {
			t.Errorf("five times the cost moves %v instead of %v", g.Changes, f.Changes)
		}
	}
}

func scaledCosts(adjust map[rigging.Setting]rigging.Adjustment, factor float64) map[rigging.Setting]rigging.Adjustment {
	scaled := map[rigging.Setting]rigging.Adjustment{}
	for name, a := range adjust {
		a.Cost *= factor
		scaled[name] = a
	}
	return scaled
}

// TestFitScalesWithWeightsAndCosts: weights and costs in another unit give the
// same rig.
func TestFitScalesWithWeightsAndCosts(t *testing.T) {
	in := seeded(51)
	for range 60 {
		p := someProblem(in)
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil {
			continue
		}
		scaled := problem{seat: p.seat, targets: rigging.FitTargets{}, adjust: scaledCosts(p.adjust, 3)}
		for target, g := range f.Targets {
			g.Weight *= 3
			scaled.targets[target] = g
		}
		g := scaled.fit(t)
		near(t, "score", g.Score, 3*f.Score, 0.03)
	}
}

// TestFitWiderRangeIsNoWorse widens one range by whole steps.
func TestFitWiderRangeIsNoWorse(t *testing.T) {
	in := seeded(61)
	for range 80 {
		p := someProblem(in)
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil {
			continue
		}
		wide := p
		wide.adjust = maps.Clone(p.adjust)
		for _, name := range slices.Sorted(maps.Keys(p.adjust)) {
			a := wide.adjust[name]
			a.Min, a.Max = a.Min-2*a.Step, a.Max+a.Step
			wide.adjust[name] = a
		}
		if g, err := wide.seat.Fit(wide.targets, wide.adjust); err == nil && g.Score > f.Score+0.01 {
			t.Errorf("score %g, in wider ranges %g: %+v", f.Score, g.Score, p)
		}
	}
}

// TestFitKeepsToRangesAndSteps: whatever moves ends on a step of its range, and
// nothing that may not move does.
func TestFitKeepsToRangesAndSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := someProblem(drawn(t))
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil {
			t.Skip("no rig can be rowed")
		}
		want := p.seat.Setup
		for name, a := range p.adjust {
			v := f.Setup.Value(name)
			want.SetValue(name, v)
			if v < a.Min-1e-9 || v > a.Max+1e-9 {
				t.Errorf("%s = %g is outside %g to %g", name, v, a.Min, a.Max)
			}
			steps := (v - a.Min) / a.Step
			if v != p.seat.Setup.Value(name) && math.Abs(steps-math.Round(steps)) > 1e-6 {
				t.Errorf("%s = %g is %g steps above %g", name, v, steps, a.Min)
			}
		}
		if f.Setup != want {
			t.Errorf("something else moved: %+v, want %+v", f.Setup, want)
		}
	})
}

// TestFitRoundingIsBounded: coarse steps cost no more than half a step of each
// setting that moves is worth, by the rig's own sensitivities.
func TestFitRoundingIsBounded(t *testing.T) {
	for name, c := range fitCases() {
		names := []rigging.Setting{rigging.SettingHeelToPin, rigging.SettingHeelDepth}
		coarse := problem{seat: c, targets: usualTargets(c.Setup.Class), adjust: scaledCosts(pick(c.Setup.Adjustments(), names...), 0)}
		delete(coarse.targets, rigging.TargetDrawHeight)
		fine := coarse
		fine.adjust = maps.Clone(coarse.adjust)
		for _, n := range names {
			a := fine.adjust[n]
			a.Step /= 50
			fine.adjust[n] = a
		}
		f, g := coarse.fit(t), fine.fit(t)
		allowed := 0.0
		rounded := c
		rounded.Setup = g.Setup
		for _, s := range rounded.Sensitivities(&g.Stroke) {
			if slices.Contains(names, s.Setting) {
				steps := coarse.adjust[s.Setting].Step / s.Step / 2
				allowed += steps * math.Hypot(s.Catch.Degrees(), s.Finish.Degrees()) / 0.5
			}
		}
		// A tenth more for the curvature over half a step.
		if loss := f.Off - g.Off; loss > 1.1*allowed {
			t.Errorf("%s: steps cost %.3f tolerances, half a step of each is worth %.3f", name, loss, allowed)
		}
	}
}

// TestFitMirrors: the other side of the boat is fitted alike.
func TestFitMirrors(t *testing.T) {
	in := seeded(71)
	for range 40 {
		p := someProblem(in)
		q := p
		q.seat.Setup.Side = p.seat.Setup.Side.Other()
		if p.seat.Setup.Class.Scull {
			rise := p.seat.Setup.GateDifference
			q.seat.Setup.GateHeight += rise
			q.seat.Setup.GateDifference = -rise
			q.adjust = maps.Clone(p.adjust)
			if a, ok := q.adjust[rigging.SettingGateHeight]; ok {
				a.Min, a.Max = a.Min+rise, a.Max+rise
				q.adjust[rigging.SettingGateHeight] = a
			}
		}
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil {
			continue
		}
		g := q.fit(t)
		near(t, "score", g.Score, f.Score, 1e-6)
		for i := range min(len(f.Changes), len(g.Changes)) {
			a, b := f.Changes[i], g.Changes[i]
			near(t, string(a.Setting)+" moves by", b.To-b.From, a.To-a.From, 1e-9)
		}
		if !slices.Equal(movedBy(&f), movedBy(&g)) {
			t.Errorf("mirrored, %v moves instead of %v", g.Changes, f.Changes)
		}
	}
}

func TestFitIsDeterministic(t *testing.T) {
	for name, c := range fitCases() {
		p := problem{seat: c, targets: usualTargets(c.Setup.Class), adjust: c.Setup.Adjustments()}
		first := p.fit(t)
		for range 3 {
			if again := p.fit(t); !reflect.DeepEqual(first, again) {
				t.Errorf("%s: %+v and then %+v", name, first, again)
			}
		}
	}
}

// TestFitShowsTheRoundedRig: the stroke shown is that of the set-up shown, and
// the changes lead to it.
func TestFitShowsTheRoundedRig(t *testing.T) {
	for name, c := range fitCases() {
		p := problem{seat: c, targets: usualTargets(c.Setup.Class), adjust: c.Setup.Adjustments()}
		f := p.fit(t)
		again := c
		for _, change := range f.Changes {
			near(t, name+" from", change.From, again.Setup.Value(change.Setting), 0)
			again.Setup.SetValue(change.Setting, change.To)
		}
		if again.Setup != f.Setup || solved(t, &again) != f.Stroke {
			t.Errorf("%s: the changes lead to %+v, shown is %+v", name, again.Setup, f.Setup)
		}
	}
}

// TestFitMovesPinsAndCollarsTogether: a single sculler too small for the rig
// gets narrower pins and a shorter inboard, the overlap kept.
func TestFitMovesPinsAndCollarsTogether(t *testing.T) {
	c := fitCases()["scull small"]
	stroke := solved(t, &c)
	targets := rigging.FitTargets{
		rigging.TargetCatch:  {Value: float64(stroke.Catch - deg(2))},
		rigging.TargetFinish: {Value: float64(stroke.Finish + deg(1.5))},
	}
	f, err := c.Fit(targets, pick(c.Setup.Adjustments(), rigging.SettingHeelToPin, rigging.SettingSpan, rigging.SettingInboard))
	if err != nil {
		t.Fatal(err)
	}
	if f.Setup.Span >= c.Setup.Span || f.Setup.Inboard >= c.Setup.Inboard {
		t.Errorf("span %g and inboard %g are not less than found", f.Setup.Span, f.Setup.Inboard)
	}
	near(t, "overlap", f.Setup.Overlap().Raw, c.Setup.Overlap().Raw, 0.01+1e-9)
}

// TestFitTellsWhyATargetIsMissed has one case for each reason.
func TestFitTellsWhyATargetIsMissed(t *testing.T) {
	heel := rigging.SettingHeelToPin
	narrow := scullProblem(-70, 38, heel)
	narrow.adjust[heel] = rigging.Adjustment{Min: 0.21, Max: 0.25, Step: 0.005, Cost: 1}
	idle := scullProblem(-67, 48, heel)
	idle.targets[rigging.TargetLeverRatio] = rigging.Goal{Value: 2.3}
	shifted := scullProblem(-64, 44, heel)
	shifted.seat.Setup.HeelToPin += 0.03
	there := solved(t, &shifted.seat)
	coarse := scullProblem(there.Catch.Degrees(), there.Finish.Degrees(), heel)
	coarse.adjust[heel] = rigging.Adjustment{Min: 0.10, Max: 0.40, Step: 0.15}
	dear := scullProblem(there.Catch.Degrees(), there.Finish.Degrees(), heel)
	dear.adjust = scaledCosts(dear.adjust, 1000)
	junior := scullProblem(-64, 44, heel, rigging.SettingOarLength)
	junior.seat.Age = 15
	junior.targets[rigging.TargetLeverRatio] = rigging.Goal{Value: 2.3}
	for _, c := range []struct {
		name   string
		p      problem
		target rigging.Target
		why    rigging.Why
	}{
		{"range", narrow, rigging.TargetCatch, rigging.WhyRange},
		{"conflict", scullProblem(-75, 55, heel), rigging.TargetCatch, rigging.WhyConflict},
		{"idle", idle, rigging.TargetLeverRatio, rigging.WhyIdle},
		{"steps", coarse, rigging.TargetFinish, rigging.WhySteps},
		{"cost", dear, rigging.TargetCatch, rigging.WhyCost},
		{"junior", junior, rigging.TargetLeverRatio, rigging.WhyJunior},
	} {
		f := c.p.fit(t)
		if got := reasonsOf(&f)[c.target]; got != c.why {
			t.Errorf("%s: %s is missed by %q; %+v", c.name, c.target, got, f)
		}
		if c.why.Text() == "" {
			t.Errorf("%s has no text", c.why)
		}
	}
}

// TestFitReportsTheMiss: By is what was reached less what was wanted.
func TestFitReportsTheMiss(t *testing.T) {
	p := scullProblem(-75, 55, rigging.SettingHeelToPin)
	f := p.fit(t)
	if len(f.Unmet) != 2 {
		t.Fatalf("unmet %v", f.Unmet)
	}
	for _, m := range f.Unmet {
		got := map[rigging.Target]rigging.Angle{rigging.TargetCatch: f.Stroke.Catch, rigging.TargetFinish: f.Stroke.Finish}[m.Target]
		near(t, string(m.Target), m.By, float64(got)-p.targets[m.Target].Value, 1e-12)
	}
}

// TestFitNamesTheBindingEnd: a finish out of the stretcher's range.
func TestFitNamesTheBindingEnd(t *testing.T) {
	for _, c := range []struct {
		finish float64
		high   bool
	}{{43, true}, {53, false}} {
		p := scullProblem(-64, c.finish, rigging.SettingHeelToPin)
		delete(p.targets, rigging.TargetCatch)
		p.adjust[rigging.SettingHeelToPin] = rigging.Adjustment{Min: 0.20, Max: 0.27, Step: 0.005, Cost: 1}
		f := p.fit(t)
		if len(f.Binding) != 1 || f.Binding[0].Setting != rigging.SettingHeelToPin || f.Binding[0].High != c.high {
			t.Fatalf("finish %g: binding %v", c.finish, f.Binding)
		}
		near(t, "gain", f.Binding[0].Gain, f.Off, 1e-3) // further out the finish is met
	}
}

// TestFitBindingEndsGain: with next to no steps and no costs, 4 cm more of a
// range that binds bring the targets nearer, by no more than its gain.
func TestFitBindingEndsGain(t *testing.T) {
	in := seeded(81)
	checked := 0
	for range 60 {
		p := someProblem(in)
		p.adjust = scaledCosts(p.adjust, 0)
		for name, a := range p.adjust {
			a.Step = 0.0002
			p.adjust[name] = a
		}
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil {
			continue
		}
		for _, stop := range f.Binding {
			wide := problem{seat: p.seat, targets: f.Targets, adjust: maps.Clone(p.adjust)}
			a := wide.adjust[stop.Setting]
			if stop.High {
				a.Max += 0.04
			} else {
				a.Min -= 0.04
			}
			wide.adjust[stop.Setting] = a
			g, err := wide.seat.Fit(wide.targets, wide.adjust)
			if err != nil || g.Setup.Overlap().Raw < 0.02 {
				continue // beyond what is possible, or where handles end at the middle
			}
			checked++
			if gain := f.Off - g.Off; gain > stop.Gain+0.1 || gain <= 0 {
				t.Errorf("4 cm more bring %g, %+v; %+v", gain, stop, p)
			}
		}
	}
	if checked < 10 {
		t.Errorf("only %d ranges bind", checked)
	}
}

func TestFitMetTargetsBindNothing(t *testing.T) {
	in := seeded(91)
	met := 0
	for range 60 {
		p := someProblem(in)
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil || len(f.Unmet) > 0 {
			continue
		}
		met++
		if len(f.Binding) > 0 {
			t.Errorf("nothing is missed, but %v binds", f.Binding)
		}
	}
	if met == 0 {
		t.Error("no problem meets its targets")
	}
}

// TestFitWeightsDecideConflicts: the target with more weight is missed by less.
func TestFitWeightsDecideConflicts(t *testing.T) {
	miss := func(weight float64) float64 {
		p := scullProblem(-75, 55, rigging.SettingHeelToPin)
		goal := p.targets[rigging.TargetCatch]
		goal.Weight = weight
		p.targets[rigging.TargetCatch] = goal
		f := p.fit(t)
		return math.Abs(float64(f.Stroke.Catch) - goal.Value)
	}
	if light, even, heavy := miss(0.2), miss(1), miss(5); !(light > even && even > heavy) {
		t.Errorf("the catch is missed by %g, %g, %g rad with weights 0.2, 1, 5", light, even, heavy)
	}
}

// TestFitStartsInsideTheRange: a setting found outside its range is brought to
// the nearest step, without cost, and named.
func TestFitStartsInsideTheRange(t *testing.T) {
	p := scullProblem(-64, 44, rigging.SettingHeelToPin)
	p.adjust[rigging.SettingHeelToPin] = rigging.Adjustment{Min: 0.30, Max: 0.40, Step: 0.005, Cost: 1000}
	f := p.fit(t)
	if !slices.Equal(f.Outside, []rigging.Setting{rigging.SettingHeelToPin}) {
		t.Errorf("outside: %v", f.Outside)
	}
	near(t, "heel", f.Setup.HeelToPin, 0.30, 1e-9) // the nearest end is the best one
}

// TestFitKeepsHandsWhereTheyWere: a gate that may move is no means to lengthen
// the arc.
func TestFitKeepsHandsWhereTheyWere(t *testing.T) {
	for name, c := range fitCases() {
		targets := usualTargets(c.Setup.Class)
		delete(targets, rigging.TargetDrawHeight)
		stroke := solved(t, &c)
		before := c.Heights(&stroke).HandleCovered
		p := problem{seat: c, targets: targets, adjust: c.Setup.Adjustments()}
		f := p.fit(t)
		c.Setup = f.Setup
		if after := c.Heights(&f.Stroke).HandleCovered; len(f.Unmet) == 0 {
			near(t, name+" hands", after, before, 0.01+1e-9)
		}
	}
}

// TestFitNeverGearsAJuniorUp tries heavier lever ratios on juniors.
func TestFitNeverGearsAJuniorUp(t *testing.T) {
	in := seeded(101)
	for range 60 {
		p := someProblem(in)
		p.seat.Age = in(10, 17.9)
		p.targets[rigging.TargetLeverRatio] = rigging.Goal{Value: 3, Weight: 10}
		f, err := p.seat.Fit(p.targets, p.adjust)
		if err != nil {
			continue
		}
		if was, is := p.seat.Setup.Gearing().LeverRatio, f.Setup.Gearing().LeverRatio; is > was+1e-9 {
			t.Errorf("lever ratio %g, was %g", is, was)
		}
		if len(f.Cautions) != 1 || f.Cautions[0].Code != "junior_lever" || f.Cautions[0].Weight != rigging.Warning {
			t.Errorf("cautions %v", f.Cautions)
		}
	}
}

func TestFitCautionsJuniorsOnly(t *testing.T) {
	for age, want := range map[float64]int{0: 0, 14: 1, 17: 1, 18: 0, 40: 0} {
		p := scullProblem(-64, 44, rigging.SettingHeelToPin, rigging.SettingOarLength)
		p.seat.Age = age
		p.targets[rigging.TargetLeverRatio] = rigging.Goal{Value: 2.2}
		if f := p.fit(t); len(f.Cautions) != want {
			t.Errorf("age %g: cautions %v", age, f.Cautions)
		}
		p.targets[rigging.TargetLeverRatio] = rigging.Goal{Value: 2.0}
		if f := p.fit(t); len(f.Cautions) != 0 {
			t.Errorf("age %g, lighter: cautions %v", age, f.Cautions)
		}
	}
}

// TestFitRefusesJuniorsRangesThatGearUp: no rig in the ranges is as light as
// the present one.
func TestFitRefusesJuniorsRangesThatGearUp(t *testing.T) {
	p := scullProblem(-64, 44, rigging.SettingHeelToPin)
	p.seat.Age = 15
	p.adjust[rigging.SettingOarLength] = rigging.Adjustment{Min: 2.92, Max: 2.98, Step: 0.01, Cost: 1}
	_, err := p.seat.Fit(p.targets, p.adjust)
	if got := fields(t, err); !slices.Equal(got, []string{"adjust"}) {
		t.Errorf("fields %v", got)
	}
}

// TestFitRefusesBadInput names every field that cannot be right.
func TestFitRefusesBadInput(t *testing.T) {
	heel := rigging.SettingHeelToPin
	change := func(f func(a *rigging.Adjustment)) func(p *problem) {
		return func(p *problem) {
			a := p.adjust[heel]
			f(&a)
			p.adjust[heel] = a
		}
	}
	aim := func(target rigging.Target, g rigging.Goal) func(p *problem) {
		return func(p *problem) { p.targets[target] = g }
	}
	add := func(s rigging.Setting) func(p *problem) {
		return func(p *problem) { p.adjust[s] = rigging.Adjustment{Min: 0.8, Max: 0.9, Step: 0.01} }
	}
	nan := math.NaN()
	for _, c := range []struct {
		name    string
		spoil   func(p *problem)
		field   string
		problem rigging.Problem
	}{
		{"min above max", change(func(a *rigging.Adjustment) { a.Min, a.Max = a.Max, a.Min }), "adjust.heel_to_pin.min", rigging.ProblemMismatch},
		{"min impossible", change(func(a *rigging.Adjustment) { a.Min = -1 }), "adjust.heel_to_pin.min", rigging.ProblemRange},
		{"max impossible", change(func(a *rigging.Adjustment) { a.Max = 45 }), "adjust.heel_to_pin.max", rigging.ProblemRange},
		{"min is no number", change(func(a *rigging.Adjustment) { a.Min = nan }), "adjust.heel_to_pin.min", rigging.ProblemMissing},
		{"no step", change(func(a *rigging.Adjustment) { a.Step = 0 }), "adjust.heel_to_pin.step", rigging.ProblemRange},
		{"step backwards", change(func(a *rigging.Adjustment) { a.Step = -0.01 }), "adjust.heel_to_pin.step", rigging.ProblemRange},
		{"cost below zero", change(func(a *rigging.Adjustment) { a.Cost = -1 }), "adjust.heel_to_pin.cost", rigging.ProblemRange},
		{"cost is no number", change(func(a *rigging.Adjustment) { a.Cost = nan }), "adjust.heel_to_pin.cost", rigging.ProblemMissing},
		{"unknown setting", add("rudder"), "adjust.rudder", rigging.ProblemUnknown},
		{"setting of sweep", add(rigging.SettingSpread), "adjust.spread", rigging.ProblemMismatch},
		{"setting without a part", add(rigging.SettingSternPitch), "adjust.stern_pitch", rigging.ProblemMismatch},
		{"nothing to move", func(p *problem) { p.adjust = nil }, "adjust", rigging.ProblemMissing},
		{"no target", func(p *problem) { p.targets = nil }, "targets", rigging.ProblemMissing},
		{"catch with the wrong sign", aim(rigging.TargetCatch, rigging.Goal{Value: 1.1}), "targets.catch", rigging.ProblemRange},
		{"finish in degrees", aim(rigging.TargetFinish, rigging.Goal{Value: 44}), "targets.finish", rigging.ProblemRange},
		{"lever ratio", aim(rigging.TargetLeverRatio, rigging.Goal{Value: 12}), "targets.lever_ratio", rigging.ProblemRange},
		{"draw height", aim(rigging.TargetDrawHeight, rigging.Goal{Value: 2}), "targets.draw_height", rigging.ProblemRange},
		{"weight below zero", aim(rigging.TargetCatch, rigging.Goal{Value: -1.1, Weight: -1}), "targets.catch.weight", rigging.ProblemRange},
		{"tolerance below zero", aim(rigging.TargetCatch, rigging.Goal{Value: -1.1, Tolerance: -1}), "targets.catch.tolerance", rigging.ProblemRange},
		{"unknown target", aim("splash", rigging.Goal{Value: 1}), "targets.splash", rigging.ProblemUnknown},
		{"no rower", func(p *problem) { p.seat.Body = rigging.Estimate{} }, "rower", rigging.ProblemMissing},
	} {
		p := scullProblem(-64, 44, heel)
		c.spoil(&p)
		_, err := p.seat.Fit(p.targets, p.adjust)
		errs := fieldErrors(t, err)
		if len(errs) != 1 || errs[0].Field != c.field || errs[0].Problem != c.problem {
			t.Errorf("%s: %v, want %s of %s", c.name, err, c.problem, c.field)
		}
	}
}

func TestFitTellsEveryMistakeAtOnce(t *testing.T) {
	c := rigging.NewCase(sweep(), adult())
	c.Body = rigging.Estimate{}
	_, err := c.Fit(
		rigging.FitTargets{rigging.TargetCatch: {Value: 2}, "b": {}, "a": {}},
		map[rigging.Setting]rigging.Adjustment{rigging.SettingSpan: {}, rigging.SettingHeelToPin: {Step: -1, Cost: -1}},
	)
	want := []string{"rower", "targets.catch", "targets.a", "targets.b", "adjust.heel_to_pin.step", "adjust.heel_to_pin.cost", "adjust.span"}
	if got := fields(t, err); !slices.Equal(got, want) {
		t.Errorf("fields %v, want %v", got, want)
	}
}

// TestFitNamesTheLimitOfABody that can row no rig in the ranges.
func TestFitNamesTheLimitOfABody(t *testing.T) {
	p := scullProblem(-64, 44, rigging.SettingHeelToPin, rigging.SettingHeelDepth)
	p.seat.Body.Body.Arm = 0.1
	_, err := p.seat.Fit(p.targets, p.adjust)
	_, want := p.seat.Solve()
	if got := limitOf(t, err); got == "" || got != limitOf(t, want) {
		t.Errorf("limit %q, as found %q", got, limitOf(t, want))
	}
}

// TestFitRefusesRangesThatMakeNoOar: every inboard allowed ends short of the
// middle of the boat.
func TestFitRefusesRangesThatMakeNoOar(t *testing.T) {
	p := scullProblem(-64, 44, rigging.SettingHeelToPin)
	p.adjust[rigging.SettingInboard] = rigging.Adjustment{Min: 0.62, Max: 0.70, Step: 0.01}
	_, err := p.seat.Fit(p.targets, p.adjust)
	if got := fields(t, err); !slices.Equal(got, []string{"seat.inboard"}) {
		t.Errorf("fields %v", got)
	}
}

// TestFitRescuesARigThatCannotBeRowed: the stretcher stands where nobody
// reaches the handle.
func TestFitRescuesARigThatCannotBeRowed(t *testing.T) {
	p := scullProblem(-64, 44, rigging.SettingHeelToPin)
	p.seat.Setup.HeelToPin = 0.9
	if _, err := p.seat.Solve(); err == nil {
		t.Fatal("the rig can be rowed as found")
	}
	p.adjust[rigging.SettingHeelToPin] = rigging.Adjustment{Max: 0.9, Step: 0.005, Cost: 1}
	good := scullProblem(-64, 44, rigging.SettingHeelToPin)
	near(t, "heel", p.fit(t).Setup.HeelToPin, good.fit(t).Setup.HeelToPin, 0.005)
}

func TestDefaultAdjustmentsBelongToTheClass(t *testing.T) {
	for _, class := range rigging.Classes() {
		setup := sweep()
		if class.Scull {
			setup = scull()
		}
		setup.Class = class
		c := rigging.NewCase(setup, adult())
		adjust := rigging.DefaultAdjustments(class)
		if _, err := c.Fit(usualTargets(class), adjust); err != nil {
			t.Errorf("%s: %v", class.Code, err)
		}
		for name := range adjust {
			if !slices.Contains(class.Settings(), name) {
				t.Errorf("%s has no %s", class.Code, name)
			}
		}
	}
}

// TestDefaultAdjustmentsFollowPractice: stretcher, gate height, heel depth, pins
// and collars, oars; common practice.
func TestDefaultAdjustmentsFollowPractice(t *testing.T) {
	for _, c := range rigging.Classes() {
		pin := rigging.SettingSpread
		if c.Scull {
			pin = rigging.SettingSpan
		}
		adjust, last := rigging.DefaultAdjustments(c), 0.0
		for _, name := range []rigging.Setting{rigging.SettingHeelToPin, rigging.SettingGateHeight, rigging.SettingHeelDepth, rigging.SettingInboard} {
			if cost := adjust[name].Cost; cost <= last {
				t.Errorf("%s: %s costs %g, no more than the one before", c.Code, name, cost)
			}
			last = adjust[name].Cost
		}
		if oars := adjust[rigging.SettingOarLength].Cost; adjust[pin].Cost < last || oars <= adjust[pin].Cost {
			t.Errorf("%s: pins cost %g between collars' %g and oars' %g", c.Code, adjust[pin].Cost, last, oars)
		}
	}
}

// TestAdjustmentsHoldTheRigAsFound: so that nothing is moved only to come into
// a default range.
func TestAdjustmentsHoldTheRigAsFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t)
		setup := someScull(in)
		setup.Span, setup.HeelToPin = in(1.30, 1.80), in(0.02, 0.80)
		defaults := rigging.DefaultAdjustments(setup.Class)
		for name, a := range setup.Adjustments() {
			d := defaults[name]
			if v := setup.Value(name); v < a.Min-1e-9 || v > a.Max+1e-9 || a.Min > d.Min || a.Max < d.Max {
				t.Errorf("%s: %+v does not hold %g and %+v", name, a, v, d)
			}
			steps := (d.Min - a.Min) / a.Step
			near(t, string(name)+" widened by steps", steps, math.Round(steps), 1e-6)
		}
	})
}

func TestAdjustmentsAreACopy(t *testing.T) {
	c := class("1x")
	delete(rigging.DefaultAdjustments(c), rigging.SettingSpan)
	if len(rigging.DefaultAdjustments(c)) != 6 {
		t.Error("changing the adjustments of one caller changes those of all")
	}
}

// TestWorkOrderDoesNotUndoItself: what a measure is read from is set before it.
func TestWorkOrderDoesNotUndoItself(t *testing.T) {
	before := [][2]rigging.Setting{
		{rigging.SettingSpan, rigging.SettingInboard}, {rigging.SettingSpread, rigging.SettingInboard},
		{rigging.SettingSpan, rigging.SettingOarLength}, {rigging.SettingSpan, rigging.SettingGateHeight},
		{rigging.SettingOarLength, rigging.SettingInboard},
		{rigging.SettingGateHeight, rigging.SettingSternPitch}, {rigging.SettingGateDifference, rigging.SettingOutwardPitch},
		{rigging.SettingSternPitch, rigging.SettingBladePitch}, {rigging.SettingBladePitch, rigging.SettingHeelToPin},
		{rigging.SettingPlateAngle, rigging.SettingHeelDepth}, {rigging.SettingHeelDepth, rigging.SettingHeelToPin},
	}
	rapid.Check(t, func(t *rapid.T) {
		var list []rigging.Change
		for _, code := range []string{"1x", "8+"} {
			for i, s := range class(code).Settings() {
				list = append(list, rigging.Change{Setting: s, From: float64(i), To: 1})
			}
		}
		shuffled := rapid.Permutation(list).Draw(t, "list")
		ordered := rigging.WorkOrder(shuffled)
		place := func(s rigging.Setting) int {
			return slices.IndexFunc(ordered, func(c rigging.Change) bool { return c.Setting == s })
		}
		for _, pair := range before {
			if place(pair[0]) > place(pair[1]) {
				t.Errorf("%s comes after %s", pair[0], pair[1])
			}
		}
		for _, c := range list {
			if !slices.Contains(ordered, c) {
				t.Errorf("%+v is lost", c)
			}
		}
	})
}

// TestChangesLeadFromRigToRig over every setting.
func TestChangesLeadFromRigToRig(t *testing.T) {
	for _, from := range []rigging.Setup{scull(), sweep()} {
		to := from
		for i, s := range from.Class.Settings() {
			to.SetValue(s, from.Value(s)+0.001*float64(i)) // the first stays
		}
		list := rigging.Changes(&from, &to)
		if len(list) != len(from.Class.Settings())-1 || !reflect.DeepEqual(list, rigging.WorkOrder(list)) {
			t.Errorf("changes %v", list)
		}
		for _, c := range list {
			near(t, string(c.Setting), c.From, from.Value(c.Setting), 0)
			from.SetValue(c.Setting, c.To)
		}
		if from != to {
			t.Errorf("the changes lead to %+v, not %+v", from, to)
		}
	}
}

func TestWorkOrderLeavesItsArgument(t *testing.T) {
	list := []rigging.Change{{Setting: rigging.SettingHeelToPin}, {Setting: rigging.SettingSpan}}
	rigging.WorkOrder(list)
	if list[0].Setting != rigging.SettingHeelToPin {
		t.Error("the caller's list is reordered")
	}
}

func TestToleranceOfEverySetting(t *testing.T) {
	for _, c := range rigging.Classes() {
		for _, s := range c.Settings() {
			step := rigging.SensitivityStep(s.Quantity())
			if tol := s.Tolerance(); !(tol > 0 && tol <= step) {
				t.Errorf("%s is to be set to %g", s, tol)
			}
		}
	}
}

func TestTargetsHaveQuantities(t *testing.T) {
	for target, want := range map[rigging.Target]rigging.Quantity{
		rigging.TargetCatch: rigging.Plane, rigging.TargetFinish: rigging.Plane, rigging.TargetLeverRatio: rigging.Count,
		rigging.TargetDrawHeight: rigging.Length, rigging.TargetOverlap: rigging.Length,
	} {
		if got := target.Quantity(); got != want {
			t.Errorf("%s has quantity %d", target, got)
		}
	}
}

func TestToleranceOfNoSettingPanics(t *testing.T) {
	for name, call := range map[string]func(){
		"setting": func() { rigging.Setting("rudder").Tolerance() },
		"target":  func() { rigging.Target("splash").Tolerance() },
	} {
		func() {
			defer func() {
				if msg, _ := recover().(string); !strings.HasPrefix(msg, "rigging: no "+name) {
					t.Errorf("%s: panic %q", name, msg)
				}
			}()
			call()
		}()
	}
}

// A sculler of 1.65 m in a rig for taller ones is to row from 62° to 42°.
func ExampleCase_Fit() {
	seat := rigging.NewCase(scull(), &rigging.Measures{Sex: rigging.Female, Stature: 1.65, Mass: 58})
	fit, err := seat.Fit(rigging.FitTargets{
		rigging.TargetCatch:  {Value: float64(-62 * rigging.Degree)},
		rigging.TargetFinish: {Value: float64(42 * rigging.Degree)},
	}, seat.Setup.Adjustments())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range fit.Changes {
		fmt.Printf("%s from %.1f to %.1f cm\n", c.Setting, 100*c.From, 100*c.To)
	}
	fmt.Printf("catch %.1f°, finish %.1f°\n", fit.Stroke.Catch.Degrees(), fit.Stroke.Finish.Degrees())
	// Output:
	// heel_depth from 17.0 to 13.0 cm
	// heel_to_pin from 23.4 to 21.5 cm
	// catch -62.2°, finish 41.8°
}
