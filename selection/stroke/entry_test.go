package stroke

import (
	"math"
	"slices"
	"testing"
)

// blade is a path of the blade that is known: carried at a height, let down at
// a steady speed, held at a depth, and brought up from a share of the arc on.
type blade struct {
	carry, depth float64 // of the centre over the water, m
	sink, met    float64 // m/s; when the lower edge meets the water, s after the catch
	leaves       float64 // share of the arc at which it begins to come up
}

const outLever = 1.76

// half is half the height of the blade that is covered at −3°.
var half = outLever * math.Sin(3*deg)

// height returns that of the blade's centre at a time after the catch.
func (b blade) height(o oarsman, after, share float64) float64 {
	if share > b.leaves && after > 0.1 {
		return b.depth + (b.carry-b.depth)*(share-b.leaves)/(1-b.leaves)
	}
	return min(max(half-b.sink*(after-b.met), b.depth), b.carry)
}

// path puts the blade into readings of an oarsman.
func (b blade) path(o oarsman, d disturbance, noise float64) []sample {
	readings := o.record(60, d)
	for i := range readings {
		u := math.Mod(readings[i].t+o.start, o.period) / o.period
		after, share := u*o.period, (1-math.Cos(math.Pi*min(u/o.drive, 1)))/2
		h := b.carry
		if u < o.drive {
			h = b.height(o, after, share)
		} else if before := after - o.period; before > -0.5 {
			h = b.height(o, before, 0)
		}
		readings[i].vertical = math.Asin(h/outLever) + noise*math.Sin(float64(i)*2.39996)
	}
	return readings
}

func TestTheEntryIsMeasured(t *testing.T) {
	o := sculler()
	for name, b := range map[string]blade{
		"early": {0.15, -0.18, 1.2, -0.15, 0.95},
		"at":    {0.16, -0.18, 1.0, -0.05, 0.95},
		"late":  {0.2, -0.2, 0.8, 0.06, 0.95},
	} {
		covered := b.met + 2*half/b.sink
		omega := 54 * deg * math.Pi / 0.9 * math.Sin(math.Pi*covered/0.9)
		if covered < 0 {
			omega = -54 * deg * math.Pi / 1.1 * math.Sin(math.Pi*-covered/1.1)
		}
		want := map[Feature]float64{CarryHeight: b.carry - half, EntryMoment: b.met, SinkSpeed: b.sink,
			EdgeHeight: min(b.sink*b.met, b.carry-half), CoverSpeed: inLever * omega, CoverTime: max(covered, 0),
			Detour: math.Asin(-b.depth/outLever) - 3*deg, WashOut: 0}
		for _, noise := range []float64{0, 0.2 * deg} {
			got := strokesOf(b.path(o, disturbance{hz: 100, angle: noise / 2, seed: 3}, noise), Thresholds{})
			for f, tolerance := range map[Feature]float64{CarryHeight: 0.004, EntryMoment: 0.008, SinkSpeed: 0.08, EdgeHeight: 0.008, CoverSpeed: 0.05, CoverTime: 0.01, Detour: 0.4 * deg, WashOut: 0.1 * deg} {
				if s := got.Features[f]; s.N < 27 || !near(s.Mean, want[f], tolerance) || s.SD > 4*tolerance {
					t.Errorf("%s, noise %v°: %v is %v, want %v", name, noise/deg, f, s, want[f])
				}
			}
		}
	}
}

// Without levers there are moments and angles, but no heights and speeds.
func TestTheEntryWithoutLevers(t *testing.T) {
	b := blade{0.16, -0.18, 1.0, -0.05, 0.95}
	a := &analysis{}
	w := a.work(Oar{})
	for _, s := range b.path(sculler(), disturbance{hz: 100}, 0) {
		w.take(s)
	}
	got := w.report(&channel{samples: 1})
	for _, f := range []Feature{EdgeHeight, CarryHeight, SinkSpeed, CoverSpeed} {
		if got.Features[f].N > 0 {
			t.Errorf("%v without levers: %v", f, got.Features[f])
		}
	}
	if got.Features[EntryMoment].N < 27 || got.Features[Detour].N < 27 {
		t.Error(got.Features[EntryMoment], got.Features[Detour])
	}
}

func TestHabitsHaveTheNamesOfTheTrade(t *testing.T) {
	for name, c := range map[string]struct {
		blade
		want []Habit
	}{
		"clean":       {blade{0.16, -0.18, 1.0, -0.05, 0.95}, nil},
		"deep":        {blade{0.16, outLever * math.Sin(-9.7*deg), 1.0, -0.05, 0.95}, []Habit{TooDeep}},
		"washing out": {blade{0.16, -0.18, 1.0, -0.05, 0.55}, []Habit{WashingOut}},
		"a little":    {blade{0.16, -0.18, 1.0, -0.05, 0.735}, []Habit{WashingOut}},
		"hardly":      {blade{0.16, -0.18, 1.0, -0.05, 0.83}, nil},
		"both":        {blade{0.16, -0.3, 1.0, -0.05, 0.4}, []Habit{TooDeep, DownAndUp, WashingOut}},
		"down and up": {blade{0.16, -0.22, 0.22, -0.05, 0.5}, []Habit{DownAndUp, WashingOut}},
	} {
		got := strokesOf(c.path(sculler(), disturbance{hz: 100}, 0), Thresholds{})
		var names []Habit
		for _, h := range got.Habits() {
			names = append(names, h.Habit)
			if h.Mean <= h.Bound || h.Mean != got.Features[h.Feature].Mean {
				t.Errorf("%s: %+v", name, h)
			}
		}
		if !slices.Equal(names, c.want) {
			t.Errorf("%s: %v, want %v: %v %v", name, names, c.want, got.Features[Detour], got.Features[WashOut])
		}
	}
	none := strokesOf(without(sculler().record(20, disturbance{hz: 50})), Thresholds{})
	if h := none.Habits(); len(h) > 0 {
		t.Error(h)
	}
}

// without takes the vertical angle away.
func without(readings []sample) []sample {
	for i := range readings {
		readings[i].vertical = math.NaN()
	}
	return readings
}

// By its construction the blade leaves cover where its way up crosses −3°.
func TestWashingOutIsMeasured(t *testing.T) {
	b := blade{0.16, -0.18, 1.0, -0.05, 0.55}
	got := strokesOf(b.path(sculler(), disturbance{hz: 100}, 0), Thresholds{}).Features[WashOut]
	out := b.leaves + (1-b.leaves)*(-half-b.depth)/(b.carry-b.depth)
	released := 1 - math.Asin(0.3)/math.Pi
	if want := 108 * deg * (released - out); !near(got.Mean, want, 0.5*deg) {
		t.Errorf("%v°, want %v°", got.Mean/deg, want/deg)
	}
}
