package seat_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"thole/api/apitest"
)

// rower puts a rower with height and mass into a seat whose posture is left to
// what is expected.
func rower(o apitest.Object, sex string, stature, mass float64) apitest.Object {
	return apitest.Put(apitest.Put(apitest.Put(o, "rower.sex", sex), "rower.stature_cm", stature), "rower.mass_kg", mass)
}

// TestAStretcherOutOfPlaceIsToldFirst: a man of 193 cm and 92 kg in a single
// whose stretcher stands far too near the bow hears that, and no verdict on
// his catch.
func TestAStretcherOutOfPlaceIsToldFirst(t *testing.T) {
	o := rower(apitest.BareScull(), "male", 193, 92)
	a := apitest.Solved(t, apitest.Put(o, "seat.heel_to_pin_cm", 20.0))
	fault, ok := apitest.At(t, a, "suits.stretcher").(apitest.Object)
	if !ok {
		t.Fatalf("nothing is said of the stretcher: %v", apitest.At(t, a, "suits"))
	}
	if by := apitest.Number(t, fault, "finish_by_deg"); by < 8 {
		t.Errorf("the finish comes %v° past its target", by)
	}
	if text := fault["text"].(string); !strings.Contains(text, "too far towards the bow") {
		t.Errorf("said: %q", text)
	}
	apitest.Same(t, "verdict", apitest.At(t, a, "verdict.verdict"), any("off"))
	// Where it belongs the finish comes right, and nothing is said any more.
	right := apitest.Solved(t, apitest.Put(o, "seat.heel_to_pin_cm", apitest.Number(t, fault, "heel_to_pin_cm")))
	apitest.Near(t, "finish with the stretcher moved", apitest.Number(t, right, "finish_deg"), apitest.Number(t, right, "targets.finish_deg"), 0.05)
	apitest.Same(t, "fault with the stretcher moved", apitest.At(t, right, "suits.stretcher"), nil)
	apitest.Same(t, "verdict with the stretcher moved", apitest.At(t, right, "verdict.verdict"), any("on_target"))
}

// TestAHairBeyondIsTooCloseToTell: for a woman of 172 cm and 66 kg a catch 0.3°
// past where the reach is thought to end is no clear case.
func TestAHairBeyondIsTooCloseToTell(t *testing.T) {
	o := rower(apitest.BareScull(), "female", 172, 66)
	reach := apitest.Number(t, apitest.Solved(t, o), "capacity.catch_deg")
	for by, want := range map[float64]string{-0.3: "too_close_to_tell", 0.3: "too_close_to_tell", -12: "unlikely", 12: "likely"} {
		a := apitest.Solved(t, apitest.Put(o, "targets.catch_deg", reach+by))
		apitest.Same(t, "odds", apitest.At(t, a, "suits.catch.odds"), any(want))
		if settle := apitest.At(t, a, "suits.settle").([]any); want == "too_close_to_tell" && len(settle) == 0 {
			t.Error("nothing is named that would settle it")
		}
	}
}

// TestTheGroupSetsTheTargets holds arcs to class means of championships from
// memory, less the steps of common practice for club crews, novices and ages.
func TestTheGroupSetsTheTargets(t *testing.T) {
	for name, c := range map[string]struct {
		o             apitest.Object
		catch, finish float64
		light         bool
	}{
		"man of a club":      {rower(apitest.BareScull(), "male", 188, 86), -63, 43, false},
		"championship woman": {apitest.Put(rower(apitest.BareScull(), "female", 180, 74), "level", "championship"), -62, 43, false},
		"light by mass":      {apitest.Put(rower(apitest.BareScull(), "male", 178, 72), "level", "championship"), -64, 44, true},
		"stated not light":   {apitest.Put(apitest.Put(rower(apitest.BareScull(), "male", 178, 72), "level", "championship"), "lightweight", false), -66, 44, false},
		"girl of twelve":     {apitest.Put(rower(apitest.BareScull(), "female", 152, 42), "rower.age_years", 12.0), -49, 38.67, false},
		"novice in an eight": {apitest.Put(rower(apitest.BareSweep(), "male", 185, 82), "level", "novice"), -50, 32, false},
		"man of 62":          {apitest.Put(rower(apitest.BareSweep(), "male", 185, 82), "rower.age_years", 62.0), -47, 33, false},
	} {
		a := apitest.Solved(t, c.o)
		apitest.Near(t, name+": catch", apitest.Number(t, a, "targets.catch_deg"), c.catch, 0.011)
		apitest.Near(t, name+": finish", apitest.Number(t, a, "targets.finish_deg"), c.finish, 0.011)
		apitest.Same(t, name+": light", apitest.At(t, a, "group.lightweight"), any(c.light))
		if len(apitest.At(t, a, "group.source").([]any)) == 0 {
			t.Errorf("%s: no source", name)
		}
	}
	own := apitest.Put(rower(apitest.BareScull(), "male", 188, 86), "usual_arc", apitest.Object{"catch_deg": -60.0})
	a := apitest.Solved(t, own)
	apitest.Same(t, "the club's own arc", []any{apitest.At(t, a, "targets.catch_deg"), apitest.At(t, a, "targets.finish_deg")}, []any{-60.0, 43.0})
}

// TestTheReadingPutsTheStretcherRight rows with postures nobody has told, reads
// the handle with the rower in the seat, and moves the stretcher as the answer
// says: the finish is then right within a degree.
func TestTheReadingPutsTheStretcherRight(t *testing.T) {
	for _, posture := range []apitest.Object{
		{"shin_deg": 90.0, "lean_deg": 20.0, "layback_deg": 20.0}, {"shin_deg": 84.0, "lean_deg": 30.0, "layback_deg": 36.0},
		{"shin_deg": 100.0, "lean_deg": 12.0, "layback_deg": 28.0, "finish_gap_cm": 6.0},
	} {
		for name, bare := range map[string]func() apitest.Object{"scull": apitest.BareScull, "sweep": apitest.BareSweep} {
			rows := func(heel float64) apitest.Object {
				o := apitest.Put(rower(bare(), "male", 186, 84), "seat.heel_to_pin_cm", heel)
				o["posture"] = posture
				return apitest.Solved(t, o)
			}
			const found = 22.0
			there := rows(found)
			reading := apitest.Number(t, there, "drawing.inner_cm") * math.Sin(deg(apitest.Number(t, there, "finish_deg")))
			o := apitest.Put(rower(bare(), "male", 186, 84), "seat.heel_to_pin_cm", found)
			o["readings"] = []any{apitest.Object{"finish_cm": reading}}
			a := apitest.Solved(t, o)
			apitest.Same(t, name+": by the reading", apitest.At(t, a, "stretcher.by_reading"), any(true))
			heel := apitest.Number(t, a, "stretcher.heel_to_pin_cm")
			apitest.Near(t, name+": finish after one step", apitest.Number(t, rows(heel), "finish_deg"), apitest.Number(t, a, "targets.finish_deg"), 1)
			// Told again where it was read, with the stretcher moved, it stays.
			apitest.Put(o, "seat.heel_to_pin_cm", heel)
			o["readings"] = []any{apitest.Object{"finish_cm": reading, "heel_to_pin_cm": found}}
			after := apitest.Solved(t, o)
			apitest.Near(t, name+": way left", apitest.Number(t, after, "stretcher.by_cm"), 0, 0.011)
			apitest.Same(t, name+": basis and verdict", []any{apitest.At(t, after, "basis"), apitest.At(t, after, "verdict.verdict"), apitest.At(t, after, "verdict.proven")}, []any{"measured", "on_target", true})
		}
	}
}

// TestProofIsTheHandleAtTheTargets works out the handle's way from the lever.
func TestProofIsTheHandleAtTheTargets(t *testing.T) {
	for _, o := range []apitest.Object{apitest.Scull(), apitest.Sweep()} {
		f := figures(t, apitest.Solved(t, o))
		apitest.Near(t, "at the finish", f("proof.finish_cm"), f("drawing.inner_cm")*math.Sin(deg(f("targets.finish_deg"))), 0.011)
		apitest.Near(t, "at full reach", f("proof.catch_cm"), -f("drawing.inner_cm")*math.Sin(deg(f("targets.catch_deg"))), 0.011)
	}
}

func TestAStatedPostureIsTakenAsItIs(t *testing.T) {
	stated := apitest.Solved(t, apitest.InPosture(apitest.BareScull()))
	apitest.Same(t, "basis", []any{stated["basis"], apitest.At(t, stated, "posture.shin_deg"), apitest.At(t, stated, "posture.lean_deg")}, []any{"stated", 90.0, 25.0})
	expected := apitest.Solved(t, apitest.BareScull())
	apitest.Same(t, "basis of a posture that is left out", expected["basis"], any("expected"))
	half := apitest.Solved(t, apitest.Put(apitest.BareScull(), "posture.lean_deg", apitest.Number(t, expected, "posture.lean_deg")))
	apitest.Same(t, "a lean stated alone", []any{half["basis"], apitest.At(t, half, "posture.lean_deg")}, []any{"expected", apitest.At(t, expected, "posture.lean_deg")})
	if a, b := apitest.Number(t, half, "uncertainty.catch_sd_deg"), apitest.Number(t, expected, "uncertainty.catch_sd_deg"); a >= b {
		t.Errorf("± %v with the lean stated, %v without", a, b)
	}
}

// TestTheStretcherIsToldInTheBoatsNumber reads one place by three marks.
func TestTheStretcherIsToldInTheBoatsNumber(t *testing.T) {
	for text, want := range map[string]float64{
		`{"mark": "heel", "offset_cm": 60}`:                     23.4 + 60,
		`{"mark": "toe", "toe_along_cm": 28}`:                   23.4 + 28*math.Cos(deg(42)),
		`{"mark": "hole", "offset_cm": 12, "hole_pitch_cm": 2}`: 5.7,
	} {
		o := apitest.Scull()
		o["stretcher"] = apitest.Parsed(text)
		apitest.Near(t, text, apitest.Number(t, apitest.Solved(t, o), "stretcher.mark.now"), want, 0.011)
	}
	for text, pointer := range map[string]string{
		`{"mark": "knee"}`: "#/stretcher/mark", `{"mark": "hole", "offset_cm": 12}`: "#/stretcher/hole_pitch_cm", `{"mark": "toe", "toe_along_cm": 280}`: "#/stretcher/toe_along_cm",
	} {
		o := apitest.Scull()
		o["stretcher"] = apitest.Parsed(text)
		if said := apitest.Refused(t, apitest.SolvePath, o); said[pointer] == "" {
			t.Errorf("%s: %v", text, said)
		}
	}
}

func TestWhatReadingsRefuse(t *testing.T) {
	for text, pointer := range map[string]string{
		`{"finish_cm": 0.58}`: "#/readings/0/finish_cm",
		`{"catch_cm": 120}`:   "#/readings/0/catch_cm",
		`{}`:                  "#/readings/0/finish_cm",
		`{"finish_cm": 58, "heel_to_pin_cm": 0.22}`: "",
		`{"finish_cm": 58, "heel_to_pin_cm": 400}`:  "#/readings/0/heel_to_pin_cm",
	} {
		o := apitest.BareScull()
		o["readings"] = []any{apitest.Parsed(text)}
		if pointer == "" {
			apitest.Solved(t, o)
			continue
		}
		if said := apitest.Refused(t, apitest.SolvePath, o); said[pointer] == "" {
			t.Errorf("%s: %v", text, said)
		}
	}
}

// TestNothingUnmeasuredBecomesAnInstruction: gates, heels and pitches that were
// not sent stay, whatever the job; the stretcher of a rower whose size is not
// known stays as well.
func TestNothingUnmeasuredBecomesAnInstruction(t *testing.T) {
	o := rower(apitest.BareScull(), "male", 199, 100)
	o["job"] = "full_rerig"
	a := apitest.Answered(t, apitest.FitPath, o)
	for _, c := range apitest.At(t, a, "changes").([]any) {
		if name := apitest.At(t, c, "setting"); name != "heel_to_pin_cm" {
			t.Errorf("%v is told to be moved", name)
		}
	}
	if measure := apitest.At(t, a, "measure").([]any); !slices.Contains(measure, any("gate_height_cm")) || !slices.Contains(measure, any("heel_depth_cm")) {
		t.Errorf("to be measured: %v", measure)
	}
	nobody := apitest.Answered(t, apitest.FitPath, apitest.BareScull())
	apitest.Same(t, "work on a seat of nobody known", len(apitest.At(t, nobody, "changes").([]any)), 0)
	apitest.Same(t, "verdict", apitest.At(t, nobody, "result.verdict.verdict"), any("measure_first"))
}

// TestTheFittedRigStays fits the rig that a fit gave.
func TestTheFittedRigStays(t *testing.T) {
	for _, job := range []string{"everyday", "full_rerig"} {
		o := apitest.Put(rower(apitest.BareScull(), "female", 168, 61), "seat.heel_to_pin_cm", 31.0)
		o["job"] = job
		a := apitest.Answered(t, apitest.FitPath, o)
		if len(apitest.At(t, a, "changes").([]any)) == 0 {
			t.Fatalf("%s: nothing to be moved", job)
		}
		o["seat"] = apitest.At(t, a, "seat")
		again := apitest.Answered(t, apitest.FitPath, o)
		for _, c := range apitest.At(t, again, "changes").([]any) {
			if apitest.At(t, c, "setting") == "heel_to_pin_cm" {
				t.Errorf("%s: moved again: %v", job, c)
			}
		}
	}
}

// TestOneVerdictForASeat: solving the rig that a fit gave says what the fit
// says.
func TestOneVerdictForASeat(t *testing.T) {
	for _, stature := range []float64{158, 171, 183, 195} {
		o := rower(apitest.BareScull(), "male", stature, 75)
		fit := apitest.Answered(t, apitest.FitPath, o)
		o["seat"] = apitest.At(t, fit, "seat")
		o["targets"] = apitest.Object{"catch_deg": apitest.At(t, fit, "result.targets.catch_deg"), "finish_deg": apitest.At(t, fit, "result.targets.finish_deg")}
		solved := apitest.Solved(t, o)
		for _, path := range []string{"verdict.verdict", "suits.odds", "verdict.catch_odds"} {
			apitest.Same(t, path, apitest.At(t, solved, path), apitest.At(t, fit, "result."+path))
		}
		apitest.Near(t, "finish off by", apitest.Number(t, solved, "verdict.finish_by_deg"), apitest.Number(t, fit, "result.verdict.finish_by_deg"), 0.02)
	}
}

// TestABladeSetsTheHeights: a hatchet's middle lies 4 to 5 cm below the shaft's
// line (from memory), a Macon's on it, and so the hands stand elsewhere.
func TestABladeSetsTheHeights(t *testing.T) {
	hatchet := apitest.Solved(t, apitest.BareScull())
	macon := apitest.Solved(t, apitest.Put(apitest.BareScull(), "blade", "macon"))
	apitest.Same(t, "drops", []any{apitest.At(t, hatchet, "drawing.blade_drop_cm"), apitest.At(t, macon, "drawing.blade_drop_cm")}, []any{4.5, 0.0})
	if a, b := apitest.Number(t, macon, "heights.handle_covered_cm"), apitest.Number(t, hatchet, "heights.handle_covered_cm"); a == b {
		t.Errorf("covered hands at %v with either blade", a)
	}
}
