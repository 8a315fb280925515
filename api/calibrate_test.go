package api_test

import "testing"

// measured asks for the posture behind one arc; an angle of 0 was not measured.
func measured(catch, finish float64, from object) object {
	arc := object{"seat": from["seat"]}
	if catch != 0 {
		arc["catch_deg"] = catch
	}
	if finish != 0 {
		arc["finish_deg"] = finish
	}
	if handle, ok := from["handle"]; ok {
		arc["handle"] = handle
	}
	r := object{"boat_class": from["boat_class"], "arcs": []any{arc}}
	if rower, ok := from["rower"]; ok {
		r["rower"] = rower
	}
	return r
}

// fullArcs states every member of a calibration.
const fullArcs = `{
	"boat_class": "1x",
	"rower": {"sex": "male", "stature_cm": 185, "mass_kg": 85},
	"posture": {"lean_deg": 25, "layback_deg": 28, "protraction_cm": 5},
	"arcs": [{
		"seat": {"span_cm": 159, "oar_length_cm": 288, "inboard_cm": 88, "heel_to_pin_cm": 23.4},
		"handle": {"catch_height_cm": 25, "finish_height_cm": 25},
		"displacement_kg": 102, "catch_deg": -66, "finish_deg": 43, "sd_deg": 0.5
	}]
}`

// TestCalibratedPostureRowsTheMeasuredArc sends the posture found to the
// solver, in the same rig. The measurement is so good that the prior, 6° of
// lean and layback, takes less than a hundredth of the way.
func TestCalibratedPostureRowsTheMeasuredArc(t *testing.T) {
	for name, from := range map[string]object{"scull": scull(), "sweep": sweep(), "hands by the rig": drop(scull(), "handle")} {
		t.Run(name, func(t *testing.T) {
			before := solved(t, from)
			catch, finish := number(t, before, "catch_deg")-2, number(t, before, "finish_deg")+1
			r := measured(catch, finish, from)
			put(r["arcs"].([]any)[0].(object), "sd_deg", 0.05)
			found := answered(t, calibratePath, r)
			from["posture"] = found["posture"]
			after := solved(t, from)
			near(t, "catch", number(t, after, "catch_deg"), catch, 0.03)
			near(t, "finish", number(t, after, "finish_deg"), finish, 0.03)
			near(t, "miss at the catch", number(t, found, "misses.0.catch_deg"), number(t, after, "catch_deg")-catch, 0.02)
			near(t, "miss at the finish", number(t, found, "misses.0.finish_deg"), number(t, after, "finish_deg")-finish, 0.02)
			same(t, "doubtful", found["doubtful"], any(false))
		})
	}
}

func TestCalibrationLeavesWhatWasNotMeasured(t *testing.T) {
	found := answered(t, calibratePath, measured(-67, 0, scull()))
	same(t, "layback", at(t, found, "posture.layback_deg"), any(28.0))
	same(t, "miss at the finish", at(t, found, "misses.0.finish_deg"), nil)
	near(t, "spread of the layback", number(t, found, "layback_sd_deg"), 6, 0.01)
	if sd := number(t, found, "lean_sd_deg"); !(sd > 0 && sd < 6) {
		t.Errorf("spread of the lean = %v", sd)
	}
}

func TestCalibrationStartsFromTheStatedPosture(t *testing.T) {
	r := measured(-67, 0, scull())
	r["posture"] = object{"layback_deg": 31.5, "shin_deg": 92}
	found := answered(t, calibratePath, r)
	same(t, "layback", at(t, found, "posture.layback_deg"), any(31.5))
	same(t, "shin", at(t, found, "posture.shin_deg"), any(92.0))
}

func TestLooseMeasurementsWeighLess(t *testing.T) {
	miss := func(sd float64) float64 {
		r := measured(-72, 0, scull())
		r["arcs"].([]any)[0].(object)["sd_deg"] = sd
		return number(t, answered(t, calibratePath, r), "misses.0.catch_deg")
	}
	tight, usual, loose := miss(0.1), miss(0.5), miss(5)
	if !(tight >= 0 && tight < usual && usual < loose) {
		t.Errorf("misses %v, %v, %v", tight, usual, loose)
	}
	same(t, "default spread", usual, number(t, answered(t, calibratePath, measured(-72, 0, scull())), "misses.0.catch_deg"))
}

func TestPosturesFarFromAnyUsualOneAreDoubtful(t *testing.T) {
	same(t, "doubtful", answered(t, calibratePath, measured(-30, 0, scull()))["doubtful"], any(true))
}

func TestEveryArcHasItsMiss(t *testing.T) {
	r := measured(-67, 45, scull())
	second := measured(0, 44, put(scull(), "seat.heel_to_pin_cm", 22))["arcs"].([]any)[0]
	r["arcs"] = append(r["arcs"].([]any), second)
	misses := at(t, answered(t, calibratePath, r), "misses").([]any)
	same(t, "number of misses", len(misses), 2)
	same(t, "miss of what was not measured", at(t, misses, "1.catch_deg"), nil)
	number(t, misses, "1.finish_deg")
}

func TestCalibrationRefuses(t *testing.T) {
	arc := func(field string, value any) object {
		r := parsed(fullArcs)
		put(r["arcs"].([]any)[0].(object), field, value)
		return r
	}
	for name, c := range map[string]struct {
		request       object
		pointer, says string
	}{
		"no arcs":            {drop(parsed(fullArcs), "arcs"), "#/arcs", "Give at least one measured catch or finish."},
		"an empty list":      {put(parsed(fullArcs), "arcs", []any{}), "#/arcs", "Give at least one measured catch or finish."},
		"no angle":           {measured(0, 0, scull()), "#/arcs/0/catch_deg", "Give the measured catch, the finish or both."},
		"catch without sign": {measured(66, 0, scull()), "#/arcs/0/catch_deg", "66° cannot be right: the plausible range is −85 to −10°. It looks like the other sign: −66°?"},
		"catch in radians":   {measured(-1.12, 0, scull()), "#/arcs/0/catch_deg", "−1.1° cannot be right: the plausible range is −85 to −10°. It looks like radians: −64.2°?"},
		"a zero":             {arc("finish_deg", 0), "#/arcs/0/finish_deg", "0° cannot be right: the plausible range is 5 to 80°."},
		"no scatter":         {arc("sd_deg", 0), "#/arcs/0/sd_deg", "0° cannot be right: the plausible range is 0.05 to 10°."},
		"span in metres":     {arc("seat.span_cm", 1.59), "#/arcs/0/seat/span_cm", "1.59 cm cannot be right: the plausible range is 110 to 190 cm. It looks like metres: 159 cm?"},
		"no such side":       {arc("seat.side", "left"), "#/arcs/0/seat/side", "Say port or starboard."},
		"one hand":           {arc("handle.catch_height_cm", nil), "#/arcs/0/handle/catch_height_cm", "This height is needed: give both, or leave the handle out."},
		"light boat":         {arc("displacement_kg", 10), "#/arcs/0/displacement_kg", "10 kg cannot be right: the plausible range is 30 to 2000 kg. It looks like stones: 63.5 kg?"},
		"no such boat":       {put(parsed(fullArcs), "boat_class", "3x"), "#/boat_class", "Choose a boat class: 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."},
		"no such sex":        {put(parsed(fullArcs), "rower.sex", "f"), "#/rower/sex", "Say female or male, or leave it out."},
		"stature in metres":  {put(parsed(fullArcs), "rower.stature_cm", 1.85), "#/rower/stature_cm", "1.85 cm cannot be right: the plausible range is 100 to 235 cm. It looks like metres: 185 cm?"},
		"posture":            {put(parsed(fullArcs), "posture.lean_deg", 80), "#/posture/lean_deg", "80° cannot be right: the plausible range is −15 to 60°."},
	} {
		t.Run(name, func(t *testing.T) {
			same(t, "said", refused(t, calibratePath, c.request), map[string]string{c.pointer: c.says})
		})
	}
}

func TestCalibrationOfARigThatCannotBeRowed(t *testing.T) {
	p := problem(t, post(t, calibratePath, measured(-64, 0, put(scull(), "seat.heel_to_pin_cm", 60))), 422)
	same(t, "limit", p.Limit, "no_catch")
}
