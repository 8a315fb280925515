package speed

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

func TestRecordingsThatCannotBeRankedNameTheirFields(t *testing.T) {
	rows := map[string]func(*Recording){
		"rowers":            func(r *Recording) { r.Rowers = 0 },
		"level":             func(r *Recording) { r.Level = 0 },
		"catch":             func(r *Recording) { r.Catch = Measure{} },
		"finish":            func(r *Recording) { r.Finish.Mean = 90 },
		"release_slip":      func(r *Recording) { r.ReleaseSlip.Known = false },
		"catch_slip":        func(r *Recording) { r.CatchSlip.Mean, r.ReleaseSlip.Mean = 0.9, 0.9 },
		"measures":          func(r *Recording) { r.PeakPlace.SD = math.NaN() },
		"power":             func(r *Recording) { r.Power = math.NaN() },
		"speed":             func(r *Recording) { r.Speed = 18 },
		"curve":             func(r *Recording) { r.Curve = r.Curve[:50] },
		"seats[0].lever_in": func(r *Recording) { r.Seat.LeverIn = 0 },
	}
	for field, spoil := range rows {
		r := exact(t, clean)
		spoil(&r)
		_, err := Rank(r, 2000)
		var errs rigging.FieldErrors
		if !errors.As(err, &errs) || errs[0].Place.String() != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// drawRecording draws features one by one, whether they go together or not.
func drawRecording(t *rapid.T) Recording {
	between := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	feature := func(name string, low, high float64) Measure {
		m := Measure{Mean: between(name, low, high), SD: between(name+" sd", 0, (high-low)/20), Reference: between(name+" ref", low, high), Source: "drawn"}
		m.Known = rapid.IntRange(0, 9).Draw(t, name+" known") > 0
		return m
	}
	r := Recording{
		Hull: 14, Rowers: rapid.IntRange(1, 2).Draw(t, "rowers"), Rate: between("rate", 16, 40), Drag: 3.16, Level: 0.3, Strokes: 9, Seat: drawSeat(t),
		Catch: feature("catch", 0.8, 1.25), Finish: feature("finish", 0.5, 0.85),
		CatchSlip: feature("catch slip", 0, 0.5), ReleaseSlip: feature("release slip", 0, 0.5), PeakPlace: feature("peak", 0, 1),
		Depth: feature("depth", -0.1, 0.3), Height: feature("height", 0, 0.3), Sink: feature("sink", 0.3, 2.5), Start: feature("start", -0.4, 0.3),
	}
	if rapid.Bool().Draw(t, "speed known") {
		r.Speed = between("speed", 2.5, 6)
	}
	if rapid.Bool().Draw(t, "curve known") {
		r.Curve = rapid.SliceOfN(rapid.Float64Range(-30, 400), Nodes, Nodes).Draw(t, "curve")
	}
	return r
}

func TestAnyRecordingIsRankedOrRefused(t *testing.T) {
	ranked := 0
	for seed := range 120 {
		r := rapid.Custom(drawRecording).Example(seed)
		out, err := Rank(r, 2000)
		var errs rigging.FieldErrors
		if err != nil {
			if !errors.Is(err, ErrNoStroke) && !errors.As(err, &errs) {
				t.Errorf("seed %d: %v", seed, err)
			}
			continue
		}
		ranked++
		for _, f := range out.Findings {
			for _, v := range []Range{f.Price.ForceTime, f.Price.ForcePower, f.Price.PowerTime, f.Price.PowerForce} {
				if sum := v.Low + v.Value + v.High; math.IsNaN(sum) || math.IsInf(sum, 0) || !v.Holds(v.Value) {
					t.Errorf("seed %d: %+v", seed, f)
				}
			}
		}
	}
	if ranked < 25 {
		t.Errorf("only %d of 120 were ranked", ranked)
	}
}

// TestRecordingsReachAsFarAsSeats holds the arcs that a recording may have to those of
// the seat that is made of it, to the degree: 15 to 85° at the catch, 5 to 65° at the
// finish.
func TestRecordingsReachAsFarAsSeats(t *testing.T) {
	for _, c := range []struct {
		catch, finish rigging.Angle
		field         string // that is refused; "" for none
	}{
		{15, 5, ""}, {85, 65, ""}, {14.9, 44, "catch"}, {85.1, 44, "catch"}, {64, 4.9, "finish"}, {64, 65.1, "finish"},
	} {
		known := func(a rigging.Angle) Measure { return Measure{Mean: float64(a * rigging.Degree), Known: true} }
		r := Recording{Rowers: 1, Level: 0.3, Catch: known(c.catch), Finish: known(c.finish), CatchSlip: known(2), ReleaseSlip: known(2)}
		var errs rigging.FieldErrors
		switch err := r.check(); {
		case c.field == "" && err != nil:
			t.Errorf("%g and %g°: %v", c.catch, c.finish, err)
		case c.field != "" && (!errors.As(err, &errs) || len(errs) != 1 || errs[0].Place.String() != c.field):
			t.Errorf("%g and %g°: %v, want one at %s", c.catch, c.finish, err, c.field)
		}
	}
}

// TestMeasuresBeyondTheirNoise: two SD off what they are held against, 2.75 off the best
// of the same strokes; not at that.
func TestMeasuresBeyondTheirNoise(t *testing.T) {
	for _, c := range []struct {
		mean, sd     float64
		own          bool
		above, below bool
	}{
		{5, 0, false, false, false}, {5.5, 0, false, true, false}, {4.5, 0, false, false, true}, {5.5, 0.25, false, false, false}, {4.5, 0.25, false, false, false},
		{5.5, 0.24, false, true, false}, {4.5, 0.24, false, false, true}, {5.5, 0.2, true, false, false}, {5.6875, 0.25, true, false, false}, {5.69, 0.25, true, true, false},
	} {
		m := Measure{Mean: c.mean, SD: c.sd, Reference: 5, Source: "told", OwnBest: c.own, Known: true}
		gap, above := m.above()
		_, below := m.below()
		if above != c.above || below != c.below || m.Beyond() != (c.above || c.below) {
			t.Errorf("%+v: above %v, below %v", m, above, below)
		}
		near(t, "gap", gap, c.mean-5, 1e-12)
		unknown, sourceless := m, m
		unknown.Known, sourceless.Source = false, ""
		if unknown.Beyond() || sourceless.Beyond() {
			t.Errorf("%+v: beyond what is not known", m)
		}
	}
}

// TestAnEntryIsMeasuredWhole, or it is none: where it began, from what height, and how fast.
func TestAnEntryIsMeasuredWhole(t *testing.T) {
	known := Measure{Mean: 0.5, Known: true}
	whole := Recording{Height: known, Sink: known, Start: known}
	for name, c := range map[string]struct {
		change func(*Recording)
		want   bool
	}{
		"whole": {func(*Recording) {}, true}, "height": {func(r *Recording) { r.Height.Known = false }, false}, "sink": {func(r *Recording) { r.Sink.Known = false }, false},
		"start": {func(r *Recording) { r.Start.Known = false }, false}, "no speed": {func(r *Recording) { r.Sink.Mean = 0 }, false}, "level": {func(r *Recording) { r.Height.Mean = 0 }, true},
	} {
		r := whole
		if c.change(&r); r.entered() != c.want {
			t.Errorf("%s: %v", name, !c.want)
		}
	}
}

// TestWhatMakesACatchLate: what is measured beyond its reference on the side that does.
func TestWhatMakesACatchLate(t *testing.T) {
	m := func(mean float64) Measure { return Measure{Mean: mean, Reference: 1, Source: "told", Known: true} }
	for _, c := range []struct {
		start, height, sink, hands float64
		want                       []Cause
	}{
		{1, 1, 1, 0, nil}, {1.1, 1, 1, 0, []Cause{CauseLateEntry}}, {0.9, 1, 1, 0, nil}, {1, 1.1, 1, 0, []Cause{CauseCarriedHigh}}, {1, 0.9, 1.1, 0, nil},
		{1, 1, 0.9, 0, []Cause{CauseSlowSink}}, {1, 1, 1, 1.9, []Cause{CauseSlowHands}}, {1, 1, 1, 2, nil}, {2, 2, 0, 1, []Cause{CauseLateEntry, CauseCarriedHigh, CauseSlowSink, CauseSlowHands}},
	} {
		r := Recording{Start: m(c.start), Height: m(c.height), Sink: m(c.sink), Hands: c.hands}
		if got := r.causes(2); !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v", c, got)
		}
	}
}
