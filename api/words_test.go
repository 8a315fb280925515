package api_test

import (
	"reflect"
	"strings"
	"testing"
)

// TestMessagesSpeakPeoplesUnits types values as people mistype them.
func TestMessagesSpeakPeoplesUnits(t *testing.T) {
	for name, c := range map[string]struct {
		request       object
		field         string
		value         any
		pointer, says string // no pointer: that of the field
	}{
		"span in metres":             {scull(), "seat.span_cm", 1.59, "", "1.59 cm cannot be right: the plausible range is 110 to 190 cm. It looks like metres: 159 cm?"},
		"span in millimetres":        {scull(), "seat.span_cm", 1590, "", "1590 cm cannot be right: the plausible range is 110 to 190 cm. It looks like millimetres: 159 cm?"},
		"span in inches":             {scull(), "seat.span_cm", 62.6, "", "62.6 cm cannot be right: the plausible range is 110 to 190 cm. It looks like inches: 159 cm?"},
		"span for a sweep seat":      {sweep(), "seat.span_cm", 159, "", "A span belongs to a sculling boat: a sweep boat has a spread, centreline to pin."},
		"spread for a sculling seat": {scull(), "seat.spread_cm", 85, "", "A spread belongs to a sweep boat: a sculling boat has a span, pin to pin."},
		"two gates in sweep":         {sweep(), "seat.gate_difference_cm", 1, "", "A sweep seat has one gate only."},
		"no side":                    {drop(sweep(), "seat.side"), "tape_cm", 0.5, "#/seat/side", "Say whether the seat rows on port or starboard."},
		"no such side":               {sweep(), "seat.side", "left", "", "Say port or starboard."},
		"no such side in sculling":   {scull(), "seat.side", "left", "", "Say port or starboard."},
		"no such sex":                {scull(), "rower.sex", "m", "", "Say female or male, or leave it out."},
		"no such boat":               {scull(), "boat_class", "1X", "", "Choose a boat class: 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."},
		"inboard longer than half":   {put(scull(), "seat.oar_length_cm", 205), "seat.inboard_cm", 105, "", "The outboard is shorter than the inboard: check inboard and oar length."},
		"inboard short of middle":    {scull(), "seat.inboard_cm", 70, "", "The inboard is shorter than the distance from the centreline to the pin, so that the handle would not reach the middle of the boat."},
		"oar length in feet":         {scull(), "seat.oar_length_cm", 9.45, "", "9.45 cm cannot be right: the plausible range is 200 to 330 cm. It looks like feet: 288 cm?"},
		"stature of 18 cm":           {scull(), "rower.stature_cm", 18, "", "18 cm cannot be right: the plausible range is 100 to 235 cm."},
		"stature in metres":          {scull(), "rower.stature_cm", 1.85, "", "1.85 cm cannot be right: the plausible range is 100 to 235 cm. It looks like metres: 185 cm?"},
		"stature in inches":          {scull(), "rower.stature_cm", 73, "", "73 cm cannot be right: the plausible range is 100 to 235 cm. It looks like inches: 185.4 cm?"},
		"mass in pounds":             {scull(), "rower.mass_kg", 210, "", "210 kg cannot be right: the plausible range is 20 to 200 kg. It looks like pounds: 95.3 kg?"},
		"mass in stones":             {scull(), "rower.mass_kg", 13.4, "", "13.4 kg cannot be right: the plausible range is 20 to 200 kg. It looks like stones: 85.1 kg?"},
		"mass in grams":              {scull(), "rower.mass_kg", 85000, "", "85000 kg cannot be right: the plausible range is 20 to 200 kg. It looks like grams: 85 kg?"},
		"age":                        {scull(), "rower.age_years", 2004, "", "2004 years cannot be right: the plausible range is 6 to 110 years."},
		"segment in metres":          {scull(), "rower.segments_cm.shank", 0.4464, "", "0.45 cm cannot be right: the plausible range is 22 to 65 cm. It looks like metres: 44.6 cm?"},
		"shin in radians":            {scull(), "posture.shin_deg", 1.57, "", "1.6° cannot be right: the plausible range is 60 to 125°. It looks like radians: 90°?"},
		"plate in radians":           {scull(), "seat.plate_angle_deg", 0.733, "", "0.7° cannot be right: the plausible range is 20 to 65°. It looks like radians: 42°?"},
		"catch without its sign":     {scull(), "targets.catch_deg", 64, "", "64° cannot be right: the plausible range is −85 to −10°. It looks like the other sign: −64°?"},
		"finish with a sign":         {scull(), "targets.finish_deg", -44, "", "−44° cannot be right: the plausible range is 5 to 80°. It looks like the other sign: 44°?"},
		"boat speed in km/h":         {scull(), "approach.boat_speed_m_s", 16.2, "", "16.2 m/s cannot be right: the plausible range is 0.5 to 8 m/s."},
		"tape in millimetres":        {scull(), "tape_cm", 50, "", "50 cm cannot be right: the plausible range is 0 to 5 cm. It looks like millimetres: 5 cm?"},
		"displacement in tonnes":     {scull(), "displacement_kg", 0.1, "", "0.1 kg cannot be right: the plausible range is 30 to 2000 kg."},
		"zero span":                  {scull(), "seat.span_cm", 0, "", "0 cm cannot be right: the plausible range is 110 to 190 cm."},
		"zero plate":                 {scull(), "seat.plate_angle_deg", 0, "", "0° cannot be right: the plausible range is 20 to 65°."},
		"zero gate height":           {scull(), "seat.gate_height_cm", 0, "", "0 cm cannot be right: the plausible range is 3 to 35 cm."},
		"zero stature":               {scull(), "rower.stature_cm", 0, "", "0 cm cannot be right: the plausible range is 100 to 235 cm."},
		"zero mass":                  {scull(), "rower.mass_kg", 0, "", "0 kg cannot be right: the plausible range is 20 to 200 kg."},
		"zero segment":               {scull(), "rower.segments_cm.arm", 0, "", "0 cm cannot be right: the plausible range is 35 to 100 cm."},
		"zero catch":                 {scull(), "targets.catch_deg", 0, "", "0° cannot be right: the plausible range is −85 to −10°."},
		"zero displacement":          {scull(), "displacement_kg", 0, "", "0 kg cannot be right: the plausible range is 30 to 2000 kg."},
		"span left out":              {scull(), "seat.span_cm", nil, "", "This measure is needed: from 110 to 190 cm."},
		"heel left out":              {scull(), "seat.heel_to_pin_cm", nil, "", "This measure is needed: from 0 to 90 cm."},
		"one hand left out":          {scull(), "handle.finish_height_cm", nil, "", "This height is needed: give both, or leave the handle out."},
		"hand in metres":             {scull(), "handle.catch_height_cm", 0.25, "", "0.25 cm cannot be right: the plausible range is 5 to 60 cm. It looks like metres: 25 cm?"},
		"enormous":                   {scull(), "seat.span_cm", 1e300, "", "1e+300 cm cannot be right: the plausible range is 110 to 190 cm."},
	} {
		t.Run(name, func(t *testing.T) {
			pointer := c.pointer
			if pointer == "" {
				pointer = "#/" + strings.ReplaceAll(c.field, ".", "/")
			}
			same(t, "said", refused(t, solvePath, put(c.request, c.field, c.value)), map[string]string{pointer: c.says})
		})
	}
}

// TestZeroIsAValue: a zero that is possible is taken as it stands, not as a
// value left out.
func TestZeroIsAValue(t *testing.T) {
	for _, field := range []string{
		"seat.gate_difference_cm", "seat.stern_pitch_deg", "seat.seat_over_water_cm", "posture.lean_deg", "posture.layback_deg",
		"posture.protraction_cm", "posture.finish_gap_cm", "posture.dorsiflexion_deg", "tape_cm", "limits.lean_deg",
		"approach.edge_height_cm", "approach.overdepth_cm",
	} {
		zero := solved(t, put(scull(), field, 0))
		same(t, field+" of zero against next to nothing", zero, solved(t, put(scull(), field, 1e-9)))
		if reflect.DeepEqual(zero, solved(t, put(scull(), field, nil))) {
			t.Errorf("%s of zero is taken as left out", field)
		}
	}
	heel := number(t, solved(t, put(scull(), "seat.heel_to_pin_cm", 0)), "drawing.at_finish.heel.x_cm")
	same(t, "heel on the line of work", heel, 0.0)
}

func TestProportionsOfABody(t *testing.T) {
	said := refused(t, solvePath, put(put(scull(), "rower.arm_span_cm", 130), "rower.sitting_height_cm", 120))
	same(t, "said", said, map[string]string{
		"#/rower/arm_span_cm":       "The arm span is 70 % of the stature; people have 85 to 120 %.",
		"#/rower/sitting_height_cm": "The sitting height is 65 % of the stature; people have 44 to 60 %.",
	})
}

// TestEverythingWrongIsToldAtOnce makes a mistake in every part of a request.
func TestEverythingWrongIsToldAtOnce(t *testing.T) {
	r := put(put(put(put(scull(), "seat.span_cm", 1.59), "seat.plate_angle_deg", 90), "rower.stature_cm", 18), "rower.sex", "x")
	put(put(put(put(r, "posture.lean_deg", 89), "handle.catch_height_cm", 1), "targets.finish_deg", -1), "limits.lean_deg", 99)
	put(put(put(r, "approach.overdepth_cm", 99), "tape_cm", 9), "displacement_kg", 3)
	same(t, "pointers", pointers(refused(t, solvePath, r)), []string{
		"#/approach/overdepth_cm", "#/displacement_kg", "#/handle/catch_height_cm", "#/limits/lean_deg", "#/posture/lean_deg",
		"#/rower/sex", "#/rower/stature_cm", "#/seat/plate_angle_deg", "#/seat/span_cm", "#/tape_cm", "#/targets/finish_deg",
	})
}

func TestOfASeatLeftOutEveryNeedIsTold(t *testing.T) {
	for _, body := range []string{`{"boat_class": "1x"}`, `{"boat_class": "1x", "seat": null}`, `{"boat_class": "1x", "seat": {}}`} {
		same(t, "pointers for "+body, pointers(refused(t, solvePath, body)),
			[]string{"#/seat/heel_to_pin_cm", "#/seat/inboard_cm", "#/seat/oar_length_cm", "#/seat/span_cm"})
	}
	same(t, "pointers for nothing", pointers(refused(t, solvePath, `{}`)), []string{"#/boat_class"})
}
