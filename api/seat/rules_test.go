package seat_test

import (
	"strings"
	"testing"

	"thole/api/apitest"
)

// findings returns what was found by code.
func findings(t *testing.T, request any) map[string]apitest.Object {
	t.Helper()
	a := apitest.Answered(t, apitest.RulesPath, request)
	found := map[string]apitest.Object{}
	for _, f := range apitest.At(t, a, "findings").([]any) {
		found[f.(apitest.Object)["code"].(string)] = f.(apitest.Object)
	}
	if note, _ := a["note"].(string); !strings.Contains(note, "current rule book") {
		t.Errorf("note = %q", note)
	}
	return found
}

// TestRulesInTheirUnits checks limits against the figures published by the
// federations: least masses of boats 14 to 96 kg; lightweight men 72.5 and
// 70 kg, women 59 and 57 kg; heels 7 cm (British Rowing, April 2016); blade
// edge 5 mm in sweep and 3 mm in sculling; bow ball 4 cm. The coxswain's 55 kg
// and 15 kg are from memory.
func TestRulesInTheirUnits(t *testing.T) {
	found := findings(t, apitest.FullRules)
	for code, want := range map[string]struct {
		field, bound string
		value, limit float64
	}{
		"hull_mass": {"hull_mass_kg", "at_least", 96.5, 96}, "cox_mass": {"cox_mass_kg", "at_least", 55, 55},
		"dead_weight": {"dead_weight_kg", "at_most", 5, 15}, "lightweight_max": {"masses_kg", "at_most", 70, 72.5},
		"lightweight_mean": {"masses_kg", "at_most", 70, 70}, "heel_rise": {"heel_rise_cm", "at_most", 5, 7},
		"blade_edge": {"blade_edge_cm", "at_least", 0.6, 0.5}, "bow_ball": {"bow_ball_cm", "at_least", 4, 4},
	} {
		f := found[code]
		apitest.Same(t, code+": field", f["field"], any(want.field))
		apitest.Near(t, code+": value", apitest.Number(t, f, "value"), want.value, 1e-9)
		apitest.Near(t, code+": limit", apitest.Number(t, f, want.bound), want.limit, 1e-9)
		apitest.Same(t, code+": kept", f["kept"], any(true))
		delete(found, code)
	}
	apitest.Same(t, "findings left over", len(found), 0)
}

func TestRulesBroken(t *testing.T) {
	for code, r := range map[string]string{
		"hull_mass":       `{"boat_class": "1x", "hull_mass_kg": 13.9}`,
		"cox_mass":        `{"boat_class": "4+", "cox_mass_kg": 54.9}`,
		"dead_weight":     `{"boat_class": "4+", "cox_mass_kg": 45, "dead_weight_kg": 16}`,
		"heel_rise":       `{"boat_class": "1x", "heel_rise_cm": 7.1}`,
		"blade_edge":      `{"boat_class": "1x", "blade_edge_cm": 0.29}`,
		"bow_ball":        `{"boat_class": "1x", "bow_ball_cm": 3.9}`,
		"lightweight_max": `{"boat_class": "1x", "lightweight": true, "sex": "female", "masses_kg": [59.1]}`,
	} {
		apitest.Same(t, code+": kept", findings(t, r)[code]["kept"], any(false))
	}
	mean := findings(t, `{"boat_class": "2x", "lightweight": true, "sex": "female", "masses_kg": [59, 55.2]}`)
	apitest.Same(t, "mean kept", mean["lightweight_mean"]["kept"], any(false))
	apitest.Same(t, "largest kept", mean["lightweight_max"]["kept"], any(true))
}

func TestWhatIsLeftOutIsNotChecked(t *testing.T) {
	apitest.Same(t, "findings", len(findings(t, `{"boat_class": "8+"}`)), 0)
	apitest.Same(t, "findings with nulls", len(findings(t, `{"boat_class": "8+", "masses_kg": null, "hull_mass_kg": null, "sex": null, "lightweight": null}`)), 0)
	if list, ok := apitest.Answered(t, apitest.RulesPath, `{"boat_class": "8+"}`)["findings"].([]any); !ok || list == nil {
		t.Error("no findings are no empty list")
	}
}

func TestRulesRefuse(t *testing.T) {
	for name, c := range map[string]struct{ request, pointer, says string }{
		"no boat":           {`{}`, "#/boat_class", "Choose a boat class: 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."},
		"sex":               {`{"boat_class": "1x", "sex": "men"}`, "#/sex", "Say female or male, or leave it out."},
		"lightweight sex":   {`{"boat_class": "1x", "lightweight": true}`, "#/sex", "Say whether the lightweight crew is of women or men."},
		"hull in pounds":    {`{"boat_class": "8+", "hull_mass_kg": 300}`, "#/hull_mass_kg", "300 kg cannot be right: the plausible range is 5 to 250 kg. It looks like pounds: 136.1 kg?"},
		"zero hull":         {`{"boat_class": "8+", "hull_mass_kg": 0}`, "#/hull_mass_kg", "0 kg cannot be right: the plausible range is 5 to 250 kg."},
		"heel in mm":        {`{"boat_class": "1x", "heel_rise_cm": 70}`, "#/heel_rise_cm", "70 cm cannot be right: the plausible range is 0.5 to 40 cm. It looks like millimetres: 7 cm?"},
		"edge in mm":        {`{"boat_class": "1x", "blade_edge_cm": 3}`, "#/blade_edge_cm", "3 cm cannot be right: the plausible range is 0.02 to 2 cm. It looks like millimetres: 0.3 cm?"},
		"too many masses":   {`{"boat_class": "2x", "masses_kg": [70, 70, 70]}`, "#/masses_kg", "3 masses are too many for a boat of 2."},
		"mass of a rower":   {`{"boat_class": "2x", "masses_kg": [70, 2]}`, "#/masses_kg/1", "2 kg cannot be right: the plausible range is 20 to 200 kg."},
		"negative dead":     {`{"boat_class": "4+", "cox_mass_kg": 50, "dead_weight_kg": -5}`, "#/dead_weight_kg", "−5 kg cannot be right: the plausible range is 0.1 to 60 kg."},
		"bow ball in metre": {`{"boat_class": "1x", "bow_ball_cm": 0.04}`, "#/bow_ball_cm", "0.04 cm cannot be right: the plausible range is 0.5 to 15 cm. It looks like metres: 4 cm?"},
	} {
		t.Run(name, func(t *testing.T) {
			apitest.Same(t, "said", apitest.Refused(t, apitest.RulesPath, c.request), map[string]string{c.pointer: c.says})
		})
	}
}

func TestRulesTellEverythingAtOnce(t *testing.T) {
	said := apitest.Refused(t, apitest.RulesPath, `{"boat_class": "2x", "sex": "x", "hull_mass_kg": 1, "masses_kg": [70, 70, 70], "bow_ball_cm": 0}`)
	apitest.Same(t, "pointers", apitest.Pointers(said), []string{"#/bow_ball_cm", "#/hull_mass_kg", "#/masses_kg", "#/sex"})
}
