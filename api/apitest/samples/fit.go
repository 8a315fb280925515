package samples

import (
	"encoding/json"
	"maps"
	"testing"

	"thole/api/apitest"
)

// fullFit states every member of a fit.
var fullFit = func() string {
	o := apitest.Parsed(apitest.FullScull)
	o["targets"] = apitest.Parsed(`{
		"catch_deg": {"value": -60, "weight": 2, "tolerance": 0.5}, "finish_deg": {"value": 42, "weight": 1, "tolerance": 0.5},
		"lever_ratio": {"value": 2.1, "weight": 1, "tolerance": 0.02}, "draw_height_cm": {"value": 0, "weight": 1, "tolerance": 1},
		"overlap_cm": {"value": 19, "weight": 1, "tolerance": 1}}`)
	o["adjust"] = apitest.Parsed(`{"heel_to_pin_cm": {"min": 10, "max": 45, "step": 0.5, "cost": 1}, "span_cm": {"min": 154, "max": 162, "step": 0.5, "cost": 4}}`)
	text, err := json.Marshal(o)
	if err != nil {
		panic(err)
	}
	return string(text)
}()

const fullCrew = `{
	"boat_class": "2-", "own_inboard": true, "displacement_kg": 210, "tape_cm": 0.5,
	"targets": {"catch_deg": {"value": -53, "weight": 1, "tolerance": 0.5}, "finish_deg": {"value": 33, "weight": 1, "tolerance": 0.5},
		"lever_ratio": {"value": 2.1, "weight": 1, "tolerance": 0.02}, "draw_height_cm": {"value": 0, "weight": 1, "tolerance": 1},
		"overlap_cm": {"value": 30, "weight": 1, "tolerance": 1}},
	"adjust": {"heel_to_pin_cm": {"min": 10, "max": 45, "step": 0.5, "cost": 1}},
	"seats": [
		{"number": 2, "seat": {"spread_cm": 85, "side": "port", "oar_length_cm": 372, "inboard_cm": 115, "heel_to_pin_cm": 20}, "strength": 300,
			"rower": {"sex": "male", "stature_cm": 185}, "posture": {"lean_deg": 26}, "handle": {"catch_height_cm": 25, "finish_height_cm": 25}},
		{"seat": {"spread_cm": 85, "side": "starboard", "oar_length_cm": 372, "inboard_cm": 115, "heel_to_pin_cm": 20}, "number": 1}
	]}`

func init() {
	Of["POST "+apitest.FitPath] = fitSamples
	// A crew always has both ends of the arc for targets.
	apitest.Settled = append(apitest.Settled, "POST "+apitest.CrewPath+".seats.result.demand", "POST "+apitest.FitPath+".result.demand")
	Of["POST "+apitest.CrewPath] = bodies(apitest.Parsed(fullCrew), apitest.UnlikePair(), apitest.CrewOf("1x", apitest.Put(apitest.BareScull(), "rower.stature_cm", 185.0)), apitest.CrewOf("1x", apitest.Scull()), junior(), outOfReach(), manySeats())
}

// fitSamples fits what is asked of the solver, with the rig held where it is or
// let go.
func fitSamples(t testing.TB) []Sample {
	var list []Sample
	for _, s := range Of["POST "+apitest.SolvePath](t) {
		for _, free := range []bool{true, false} {
			body := maps.Clone(s.Body)
			if !free {
				length := body["seat"].(apitest.Object)["oar_length_cm"]
				body["adjust"] = apitest.Object{"oar_length_cm": apitest.Object{"min": length, "max": length, "step": 1.0, "cost": 1.0}}
			}
			list = append(list, Sample{Body: body})
		}
	}
	return append(list, bodies(apitest.Parsed(fullFit), outside(), apitest.AtTheEnd(), leverAlone(), apitest.Put(apitest.Put(apitest.Put(apitest.BareScull(), "seat.heel_to_pin_cm", 1.0), "rower.sex", "male"), "rower.stature_cm", 185.0))(t)...)
}

// outside is a seat that stands outside its range.
func outside() apitest.Object {
	o := apitest.Scull()
	o["adjust"] = apitest.Parsed(`{"heel_to_pin_cm": {"min": 10, "max": 20, "step": 0.5, "cost": 1}}`)
	return o
}

// leverAlone aims at a gearing and at no end of the arc.
func leverAlone() apitest.Object {
	o := apitest.Scull()
	o["targets"] = apitest.Object{"lever_ratio": 2.12}
	return o
}

// outOfReach is a stretcher that stands so far off that the seat cannot be rowed
// as found.
func outOfReach() apitest.Object {
	return apitest.CrewOf("1x", apitest.Put(apitest.Put(apitest.Put(apitest.BareScull(), "seat.heel_to_pin_cm", 1.0), "rower.sex", "male"), "rower.stature_cm", 185.0))
}

// manySeats is a pair of which one falls short of the catch and one has a mark
// to read the stretcher by.
func manySeats() apitest.Object {
	small, tall := apitest.Put(apitest.Put(apitest.BareSweep(), "rower.sex", "female"), "rower.stature_cm", 160.0), apitest.Put(apitest.Put(apitest.BareSweep(), "rower.sex", "male"), "rower.stature_cm", 190.0)
	o := apitest.CrewOf("2-", small, tall)
	o["seats"].([]any)[1].(apitest.Object)["stretcher"] = apitest.Parsed(`{"mark": "toe", "offset_cm": 0, "toe_along_cm": 28}`)
	o["targets"] = apitest.Object{"catch_deg": -57.0, "finish_deg": 33.0}
	return o
}

// junior is a fifteen-year-old whose gearing is asked to be heavier.
func junior() apitest.Object {
	o := apitest.CrewOf("1x", apitest.Put(apitest.BareScull(), "rower.age_years", 15.0))
	o["targets"] = apitest.Object{"catch_deg": -60.0, "finish_deg": 40.0, "lever_ratio": 2.3}
	return o
}
