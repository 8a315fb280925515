package seat_test

import (
	"testing"

	"thole/api/apitest"
)

// TestCalibratedPostureRowsTheMeasuredArc sends the posture found to the
// solver, in the same rig. The measurement is so good that the prior, 6° of
// lean and layback, takes less than a hundredth of the way.
func TestCalibratedPostureRowsTheMeasuredArc(t *testing.T) {
	for name, from := range map[string]apitest.Object{"scull": apitest.Scull(), "sweep": apitest.Sweep(), "hands by the rig": apitest.Drop(apitest.Scull(), "handle")} {
		t.Run(name, func(t *testing.T) {
			before := apitest.Solved(t, from)
			catch, finish := apitest.Number(t, before, "catch_deg")-2, apitest.Number(t, before, "finish_deg")+1
			r := apitest.Measured(catch, finish, from)
			apitest.Put(r["arcs"].([]any)[0].(apitest.Object), "sd_deg", 0.05)
			found := apitest.Answered(t, apitest.CalibratePath, r)
			from["posture"] = found["posture"]
			after := apitest.Solved(t, from)
			apitest.Near(t, "catch", apitest.Number(t, after, "catch_deg"), catch, 0.03)
			apitest.Near(t, "finish", apitest.Number(t, after, "finish_deg"), finish, 0.03)
			apitest.Near(t, "miss at the catch", apitest.Number(t, found, "misses.0.catch_deg"), apitest.Number(t, after, "catch_deg")-catch, 0.02)
			apitest.Near(t, "miss at the finish", apitest.Number(t, found, "misses.0.finish_deg"), apitest.Number(t, after, "finish_deg")-finish, 0.02)
			apitest.Same(t, "doubtful", found["doubtful"], any(false))
		})
	}
}

func TestCalibrationLeavesWhatWasNotMeasured(t *testing.T) {
	found := apitest.Answered(t, apitest.CalibratePath, apitest.Measured(-67, 0, apitest.Scull()))
	apitest.Same(t, "layback", apitest.At(t, found, "posture.layback_deg"), any(28.0))
	apitest.Same(t, "miss at the finish", apitest.At(t, found, "misses.0.finish_deg"), nil)
	apitest.Near(t, "spread of the layback", apitest.Number(t, found, "layback_sd_deg"), 6, 0.01)
	if sd := apitest.Number(t, found, "lean_sd_deg"); !(sd > 0 && sd < 6) {
		t.Errorf("spread of the lean = %v", sd)
	}
}

func TestCalibrationStartsFromTheStatedPosture(t *testing.T) {
	r := apitest.Measured(-67, 0, apitest.Scull())
	r["posture"] = apitest.Object{"layback_deg": 31.5, "shin_deg": 92}
	found := apitest.Answered(t, apitest.CalibratePath, r)
	apitest.Same(t, "layback", apitest.At(t, found, "posture.layback_deg"), any(31.5))
	apitest.Same(t, "shin", apitest.At(t, found, "posture.shin_deg"), any(92.0))
}

func TestLooseMeasurementsWeighLess(t *testing.T) {
	miss := func(sd float64) float64 {
		r := apitest.Measured(-72, 0, apitest.Scull())
		r["arcs"].([]any)[0].(apitest.Object)["sd_deg"] = sd
		return apitest.Number(t, apitest.Answered(t, apitest.CalibratePath, r), "misses.0.catch_deg")
	}
	tight, usual, loose := miss(0.1), miss(0.5), miss(5)
	if !(tight >= 0 && tight < usual && usual < loose) {
		t.Errorf("misses %v, %v, %v", tight, usual, loose)
	}
	apitest.Same(t, "default spread", usual, apitest.Number(t, apitest.Answered(t, apitest.CalibratePath, apitest.Measured(-72, 0, apitest.Scull())), "misses.0.catch_deg"))
}

func TestPosturesFarFromAnyUsualOneAreDoubtful(t *testing.T) {
	apitest.Same(t, "doubtful", apitest.Answered(t, apitest.CalibratePath, apitest.Measured(-30, 0, apitest.Scull()))["doubtful"], any(true))
}

func TestEveryArcHasItsMiss(t *testing.T) {
	r := apitest.Measured(-67, 45, apitest.Scull())
	second := apitest.Measured(0, 44, apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 22))["arcs"].([]any)[0]
	r["arcs"] = append(r["arcs"].([]any), second)
	misses := apitest.At(t, apitest.Answered(t, apitest.CalibratePath, r), "misses").([]any)
	apitest.Same(t, "number of misses", len(misses), 2)
	apitest.Same(t, "miss of what was not measured", apitest.At(t, misses, "1.catch_deg"), nil)
	apitest.Number(t, misses, "1.finish_deg")
}

func TestCalibrationRefuses(t *testing.T) {
	arc := func(field string, value any) apitest.Object {
		r := apitest.Parsed(apitest.FullArcs)
		apitest.Put(r["arcs"].([]any)[0].(apitest.Object), field, value)
		return r
	}
	for name, c := range map[string]struct {
		request       apitest.Object
		pointer, says string
	}{
		"no arcs":            {apitest.Drop(apitest.Parsed(apitest.FullArcs), "arcs"), "#/arcs", "Give at least one measured catch or finish."},
		"an empty list":      {apitest.Put(apitest.Parsed(apitest.FullArcs), "arcs", []any{}), "#/arcs", "Give at least one measured catch or finish."},
		"no angle":           {apitest.Measured(0, 0, apitest.Scull()), "#/arcs/0/catch_deg", "Give the measured catch, the finish or both."},
		"catch without sign": {apitest.Measured(66, 0, apitest.Scull()), "#/arcs/0/catch_deg", "66° cannot be right: the plausible range is −85 to −10°. It looks like the other sign: −66°?"},
		"catch in radians":   {apitest.Measured(-1.12, 0, apitest.Scull()), "#/arcs/0/catch_deg", "−1.1° cannot be right: the plausible range is −85 to −10°."},
		"a zero":             {arc("finish_deg", 0), "#/arcs/0/finish_deg", "0° cannot be right: the plausible range is 5 to 80°."},
		"no scatter":         {arc("sd_deg", 0), "#/arcs/0/sd_deg", "0° cannot be right: the plausible range is 0.05 to 10°."},
		"span in metres":     {arc("seat.span_cm", 1.59), "#/arcs/0/seat/span_cm", "1.59 cm cannot be right: the plausible range is 110 to 190 cm. It looks like metres: 159 cm?"},
		"no such side":       {arc("seat.side", "left"), "#/arcs/0/seat/side", "Say port or starboard."},
		"one hand":           {arc("handle.catch_height_cm", nil), "#/arcs/0/handle/catch_height_cm", "This height is needed: give both, or leave the handle out."},
		"light boat":         {arc("displacement_kg", 10), "#/arcs/0/displacement_kg", "10 kg cannot be right: the plausible range is 30 to 2000 kg. It looks like stones: 63.5 kg?"},
		"no such boat":       {apitest.Put(apitest.Parsed(apitest.FullArcs), "boat_class", "3x"), "#/boat_class", "Choose a boat class: 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."},
		"no such sex":        {apitest.Put(apitest.Parsed(apitest.FullArcs), "rower.sex", "f"), "#/rower/sex", "Say female or male, or leave it out."},
		"stature in metres":  {apitest.Put(apitest.Parsed(apitest.FullArcs), "rower.stature_cm", 1.85), "#/rower/stature_cm", "1.85 cm cannot be right: the plausible range is 100 to 235 cm. It looks like metres: 185 cm?"},
		"posture":            {apitest.Put(apitest.Parsed(apitest.FullArcs), "posture.lean_deg", 80), "#/posture/lean_deg", "80° cannot be right: the plausible range is −15 to 60°."},
	} {
		t.Run(name, func(t *testing.T) {
			apitest.Same(t, "said", apitest.Refused(t, apitest.CalibratePath, c.request), map[string]string{c.pointer: c.says})
		})
	}
}

func TestCalibrationOfARigThatCannotBeRowed(t *testing.T) {
	p := apitest.Problem(t, apitest.Post(t, apitest.CalibratePath, apitest.Measured(-64, 0, apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 60))), 422)
	apitest.Same(t, "limit", p.Limit, "no_catch")
}
