package speed

import (
	"errors"
	"math"
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
