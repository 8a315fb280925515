package api_test

import (
	"reflect"
	"strings"
	"testing"

	"thole/api/apitest"
)

// TestMessagesSpeakPeoplesUnits types values as people mistype them.
func TestMessagesSpeakPeoplesUnits(t *testing.T) {
	for name, c := range map[string]struct {
		request       apitest.Object
		field         string
		value         any
		pointer, says string // no pointer: that of the field
	}{
		"span in metres":             {apitest.Scull(), "seat.span_cm", 1.59, "", "1.59 cm cannot be right: the plausible range is 110 to 190 cm. It looks like metres: 159 cm?"},
		"span in millimetres":        {apitest.Scull(), "seat.span_cm", 1590, "", "1590 cm cannot be right: the plausible range is 110 to 190 cm. It looks like millimetres: 159 cm?"},
		"span in inches":             {apitest.Scull(), "seat.span_cm", 62.6, "", "62.6 cm cannot be right: the plausible range is 110 to 190 cm. It looks like inches: 159 cm?"},
		"span for a sweep seat":      {apitest.Sweep(), "seat.span_cm", 159, "", "A span belongs to a sculling boat: a sweep boat has a spread, centreline to pin."},
		"spread for a sculling seat": {apitest.Scull(), "seat.spread_cm", 85, "", "A spread belongs to a sweep boat: a sculling boat has a span, pin to pin."},
		"two gates in sweep":         {apitest.Sweep(), "seat.gate_difference_cm", 1, "", "A sweep seat has one gate only."},
		"no side":                    {apitest.Drop(apitest.Sweep(), "seat.side"), "tape_cm", 0.5, "#/seat/side", "Say whether the seat rows on port or starboard."},
		"no such side":               {apitest.Sweep(), "seat.side", "left", "", "Say port or starboard."},
		"no such side in sculling":   {apitest.Scull(), "seat.side", "left", "", "Say port or starboard."},
		"no such sex":                {apitest.Scull(), "rower.sex", "m", "", "Say female or male, or leave it out."},
		"no such boat":               {apitest.Scull(), "boat_class", "1X", "", "Choose a boat class: 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."},
		"inboard longer than half":   {apitest.Put(apitest.Scull(), "seat.oar_length_cm", 205), "seat.inboard_cm", 105, "", "The outboard is shorter than the inboard: check inboard and oar length."},
		"inboard short of middle":    {apitest.Scull(), "seat.inboard_cm", 70, "", "The inboard is shorter than the distance from the centreline to the pin, so that the handle would not reach the middle of the boat."},
		"oar length in feet":         {apitest.Scull(), "seat.oar_length_cm", 9.45, "", "9.45 cm cannot be right: the plausible range is 200 to 330 cm. It looks like feet: 288 cm?"},
		"stature of 18 cm":           {apitest.Scull(), "rower.stature_cm", 18, "", "18 cm cannot be right: the plausible range is 100 to 235 cm."},
		"stature in metres":          {apitest.Scull(), "rower.stature_cm", 1.85, "", "1.85 cm cannot be right: the plausible range is 100 to 235 cm. It looks like metres: 185 cm?"},
		"stature in inches":          {apitest.Scull(), "rower.stature_cm", 73, "", "73 cm cannot be right: the plausible range is 100 to 235 cm. It looks like inches: 185.4 cm?"},
		"mass in pounds":             {apitest.Scull(), "rower.mass_kg", 210, "", "210 kg cannot be right: the plausible range is 20 to 200 kg. It looks like pounds: 95.3 kg?"},
		"mass in stones":             {apitest.Scull(), "rower.mass_kg", 13.4, "", "13.4 kg cannot be right: the plausible range is 20 to 200 kg. It looks like stones: 85.1 kg?"},
		"mass in grams":              {apitest.Scull(), "rower.mass_kg", 85000, "", "85000 kg cannot be right: the plausible range is 20 to 200 kg. It looks like grams: 85 kg?"},
		"age":                        {apitest.Scull(), "rower.age_years", 2004, "", "2004 years cannot be right: the plausible range is 6 to 110 years."},
		"segment in metres":          {apitest.Scull(), "rower.segments_cm.shank", 0.4464, "", "0.45 cm cannot be right: the plausible range is 22 to 65 cm. It looks like metres: 44.6 cm?"},
		"shin in radians":            {apitest.Scull(), "posture.shin_deg", 1.57, "", "1.6° cannot be right: the plausible range is 60 to 125°."},
		"plate in radians":           {apitest.Scull(), "seat.plate_angle_deg", 0.733, "", "0.7° cannot be right: the plausible range is 20 to 65°."},
		"catch without its sign":     {apitest.Scull(), "targets.catch_deg", 64, "", "64° cannot be right: the plausible range is −85 to −10°. It looks like the other sign: −64°?"},
		"finish with a sign":         {apitest.Scull(), "targets.finish_deg", -44, "", "−44° cannot be right: the plausible range is 5 to 80°. It looks like the other sign: 44°?"},
		"boat speed in km/h":         {apitest.Scull(), "approach.boat_speed_m_s", 16.2, "", "16.2 m/s cannot be right: the plausible range is 0.5 to 8 m/s."},
		"tape in millimetres":        {apitest.Scull(), "tape_cm", 50, "", "50 cm cannot be right: the plausible range is 0 to 5 cm. It looks like millimetres: 5 cm?"},
		"displacement in tonnes":     {apitest.Scull(), "displacement_kg", 0.1, "", "0.1 kg cannot be right: the plausible range is 30 to 2000 kg."},
		"zero span":                  {apitest.Scull(), "seat.span_cm", 0, "", "0 cm cannot be right: the plausible range is 110 to 190 cm."},
		"zero plate":                 {apitest.Scull(), "seat.plate_angle_deg", 0, "", "0° cannot be right: the plausible range is 20 to 65°."},
		"zero gate height":           {apitest.Scull(), "seat.gate_height_cm", 0, "", "0 cm cannot be right: the plausible range is 3 to 35 cm."},
		"zero stature":               {apitest.Scull(), "rower.stature_cm", 0, "", "0 cm cannot be right: the plausible range is 100 to 235 cm."},
		"zero mass":                  {apitest.Scull(), "rower.mass_kg", 0, "", "0 kg cannot be right: the plausible range is 20 to 200 kg."},
		"zero segment":               {apitest.Scull(), "rower.segments_cm.arm", 0, "", "0 cm cannot be right: the plausible range is 35 to 100 cm."},
		"zero catch":                 {apitest.Scull(), "targets.catch_deg", 0, "", "0° cannot be right: the plausible range is −85 to −10°."},
		"zero displacement":          {apitest.Scull(), "displacement_kg", 0, "", "0 kg cannot be right: the plausible range is 30 to 2000 kg."},
		"span left out":              {apitest.Scull(), "seat.span_cm", nil, "", "This measure is needed: from 110 to 190 cm."},
		"heel left out":              {apitest.Scull(), "seat.heel_to_pin_cm", nil, "", "This measure is needed: from 0 to 90 cm."},
		"one hand left out":          {apitest.Scull(), "handle.finish_height_cm", nil, "", "This height is needed: give both, or leave the handle out."},
		"hand in metres":             {apitest.Scull(), "handle.catch_height_cm", 0.25, "", "0.25 cm cannot be right: the plausible range is 5 to 60 cm. It looks like metres: 25 cm?"},
		"enormous":                   {apitest.Scull(), "seat.span_cm", 1e300, "", "1e+300 cm cannot be right: the plausible range is 110 to 190 cm."},
	} {
		t.Run(name, func(t *testing.T) {
			pointer := c.pointer
			if pointer == "" {
				pointer = "#/" + strings.ReplaceAll(c.field, ".", "/")
			}
			apitest.Same(t, "said", apitest.Refused(t, apitest.SolvePath, apitest.Put(c.request, c.field, c.value)), map[string]string{pointer: c.says})
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
		zero := apitest.Solved(t, apitest.Put(apitest.Scull(), field, 0))
		apitest.Same(t, field+" of zero against next to nothing", zero, apitest.Solved(t, apitest.Put(apitest.Scull(), field, 1e-9)))
		if reflect.DeepEqual(zero, apitest.Solved(t, apitest.Put(apitest.Scull(), field, nil))) {
			t.Errorf("%s of zero is taken as left out", field)
		}
	}
	heel := apitest.Number(t, apitest.Solved(t, apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 0)), "drawing.at_finish.heel.x_cm")
	apitest.Same(t, "heel on the line of work", heel, 0.0)
}

func TestProportionsOfABody(t *testing.T) {
	said := apitest.Refused(t, apitest.SolvePath, apitest.Put(apitest.Put(apitest.Scull(), "rower.arm_span_cm", 130), "rower.sitting_height_cm", 120))
	apitest.Same(t, "said", said, map[string]string{
		"#/rower/arm_span_cm":       "The arm span is 70 % of the stature; people have 85 to 120 %.",
		"#/rower/sitting_height_cm": "The sitting height is 65 % of the stature; people have 44 to 60 %.",
	})
}

// TestEverythingWrongIsToldAtOnce makes a mistake in every part of a request.
func TestEverythingWrongIsToldAtOnce(t *testing.T) {
	r := apitest.Put(apitest.Put(apitest.Put(apitest.Put(apitest.Scull(), "seat.span_cm", 1.59), "seat.plate_angle_deg", 90), "rower.stature_cm", 18), "rower.sex", "x")
	apitest.Put(apitest.Put(apitest.Put(apitest.Put(r, "posture.lean_deg", 89), "handle.catch_height_cm", 1), "targets.finish_deg", -1), "limits.lean_deg", 99)
	apitest.Put(apitest.Put(apitest.Put(r, "approach.overdepth_cm", 99), "tape_cm", 9), "displacement_kg", 3)
	apitest.Same(t, "pointers", apitest.Pointers(apitest.Refused(t, apitest.SolvePath, r)), []string{
		"#/approach/overdepth_cm", "#/displacement_kg", "#/handle/catch_height_cm", "#/limits/lean_deg", "#/posture/lean_deg",
		"#/rower/sex", "#/rower/stature_cm", "#/seat/plate_angle_deg", "#/seat/span_cm", "#/tape_cm", "#/targets/finish_deg",
	})
}

func TestOfASeatLeftOutEveryNeedIsTold(t *testing.T) {
	for _, body := range []string{`{"boat_class": "1x"}`, `{"boat_class": "1x", "seat": null}`, `{"boat_class": "1x", "seat": {}}`} {
		apitest.Same(t, "pointers for "+body, apitest.Pointers(apitest.Refused(t, apitest.SolvePath, body)),
			[]string{"#/seat/heel_to_pin_cm", "#/seat/inboard_cm", "#/seat/oar_length_cm", "#/seat/span_cm"})
	}
	apitest.Same(t, "pointers for nothing", apitest.Pointers(apitest.Refused(t, apitest.SolvePath, `{}`)), []string{"#/boat_class"})
}
