package samples

import (
	"strings"
	"testing"

	"thole/api/apitest"
)

const planPath = "/api/v1/seat-races/plan"

// Requests to the routes of the seat races.
const (
	fullEstimate = `{
		"distance_m": 1000, "view": "margins", "hulls": false, "trends": false, "noise_sd_s": 1.2, "level": 0.9,
		"expected_time_s": 190, "next": 2, "after_each": true, "bare_swaps": true, "compare_views": true,
		"pieces": [
			{"crews": [["a", "b"], ["c", "d"]], "times_s": [190.2, 191.9]},
			{"crews": [["c", "b"], ["a", "d"]], "margins_s": [0.4, 0]},
			{"crews": [["a", "b"], ["c", "d"]], "times_s": [191.2, null]},
			{"crews": [["a", "d"], ["c", "b"]], "times_s": [190.2, 191.4]}
		],
		"prior": {"sd_s": 1, "means_s": {"a": 0.5}, "sds_s": {"b": 0.7}},
		"sides": {"a": "port"}, "pairs": [["a", "c"]]
	}`
	bareEstimate = `{"distance_m": 1000, "pieces": [
		{"crews": [["a","b","c","d"],["e","f","g","h"]], "times_s": [190.2,191.9]},
		{"crews": [["e","b","c","d"],["a","f","g","h"]], "times_s": [191.2,190.9]}], "prior": null}`
	fullPlan = `{
		"boat_class": "2-", "boats": 2, "pieces": 3, "swaps": 1, "distance_m": 1000, "expected_time_s": 200, "noise_sd_s": 1.5,
		"smallest_w": 10, "mean_power_w": 300, "rest_min": 8, "hulls": false, "trends": false, "view": "margins", "seed": 1, "pairs": [["a", "c"]],
		"athletes": [{"id": "a", "sides": {"port": 0}}, {"id": "b", "sides": {"starboard": 0}}, {"id": "c", "sides": {"port": 0}}, {"id": "d", "sides": {"port": 1, "starboard": 0}}],
		"schedule": [{"crews": [["a", "b"], ["c", "d"]]}, {"crews": [["c", "b"], ["a", "d"]]}]
	}`
	fullRace = `{
		"name": "Saturday", "held_on": "2026-03-14", "boat_class": "2x", "distance_m": 1000, "note": "flat", "by": "Anna",
		"athletes": [{"name": "Ann", "side": "port"}, {"name": "Bea"}, {"name": "Cat"}, {"name": "Dot"}],
		"pieces": [{"crews": [["Ann", "Bea"], ["Cat", "Dot"]], "note": "start"}, {"crews": [["Cat", "Bea"], ["Ann", "Dot"]], "rerun_of": 1}],
		"terms": {
			"boats": 2, "swaps": 1, "rest_min": 10, "expected_time_s": 190, "mean_power_w": 300, "smallest_w": 10, "noise_sd_s": 0, "hulls": false, "trends": false,
			"pairs": [["Ann", "Cat"]], "prior": {"sd_s": 1, "means_s": {"Ann": 0.5}, "sds_s": {"Bea": 0.7}}
		}
	}`
	bareRace = `{"name": "Sunday", "boat_class": "2x", "athletes": [{"name": "Ann"}, {"name": "Bea"}, {"name": "Cat"}, {"name": "Dot"}],
		"pieces": [{"crews": [["Ann", "Bea"], ["Cat", "Dot"]]}]}`
)

// held is the bare race with a prior.
func held(prior string) string {
	return strings.TrimSuffix(bareRace, "}") + `, "terms": {"boats": 2, "expected_time_s": 190, "mean_power_w": 300, "prior": ` + prior + `}}`
}

// bareRaces state little, each of something else.
var bareRaces = []string{bareRace, held(`{"sd_s": 1}`), held(`{"means_s": {"Ann": 0.5}}`)}

func init() {
	for route, list := range map[string]func(testing.TB) []Sample{
		"POST " + apitest.EstimatePath:                     bodies(apitest.Parsed(fullEstimate), apitest.Parsed(bareEstimate)),
		"POST " + planPath:                                 bodies(apitest.Parsed(fullPlan), apitest.Parsed(apitest.BarePlan)),
		"POST " + apitest.RacesPath:                        bodies(apitest.Parsed(fullRace), apitest.Parsed(bareRaces[0]), apitest.Parsed(bareRaces[1]), apitest.Parsed(bareRaces[2])),
		"GET " + apitest.RacesPath:                         func(t testing.TB) []Sample { apitest.SampleRace(t, fullRace); return []Sample{{}} },
		"GET " + apitest.RacesPath + "/:id":                ofRaces("", nil),
		"DELETE " + apitest.RacesPath + "/:id":             ofRaces("", nil),
		"GET " + apitest.RacesPath + "/:id/changes":        takenBack,
		"GET " + apitest.RacesPath + "/:id/judgement":      ofRaces("/judgement?prior=coach&next=1", nil),
		"GET " + apitest.RacesPath + "/:id/power":          ofRaces("/power", nil),
		"PUT " + apitest.RacesPath + "/:id":                changedRaces,
		"PUT " + apitest.RacesPath + "/:id/pieces/:number": ofRaces("/pieces/2", apitest.Object{"key": "k", "typed": []any{"3:10.4", "+1.2"}}),
	} {
		Of[route] = list
	}
}

// ofRaces asks below races with everything stated. What needs more than one
// piece gets a second race's worth of answers.
func ofRaces(rest string, body apitest.Object) func(testing.TB) []Sample {
	return func(t testing.TB) []Sample {
		t.Helper()
		list := []Sample{{apitest.SampleRace(t, fullRace) + rest, body}}
		switch rest {
		case "", "/pieces/2":
			if body != nil {
				body = apitest.Object{"key": "k", "state": "abandoned", "crews": []any{[]any{"Ann", "Dot"}, []any{"Cat", "Bea"}}}
			}
			for _, bare := range bareRaces {
				list = append(list, Sample{apitest.SampleRace(t, bare) + rest, body})
			}
		case "/judgement?prior=coach&next=1":
			list = append(list, Sample{apitest.SampleRace(t, fullRace) + "/judgement", nil})
		}
		return list
	}
}

func changedRaces(t testing.TB) []Sample {
	t.Helper()
	var list []Sample
	for _, text := range append([]string{fullRace}, bareRaces...) {
		body := apitest.Parsed(text)
		body["version"], body["archived"] = 2, true
		list = append(list, Sample{apitest.SampleRace(t, text), body})
	}
	return list
}

// takenBack is the history of a race whose result was taken back.
func takenBack(t testing.TB) []Sample {
	t.Helper()
	path := apitest.SampleRace(t, fullRace)
	if w := apitest.Request("PUT", path+"/pieces/1", apitest.JSONType, `{"key": "back", "state": "planned", "version": 2}`); w.Code != 200 {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	return []Sample{{path: path + "/changes"}}
}
