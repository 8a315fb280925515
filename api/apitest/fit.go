package apitest

import (
	"encoding/json"
	"maps"
	"testing"
)

const (
	FitPath  = "/api/v1/rigging/fit"
	CrewPath = "/api/v1/rigging/crew"
)

// fullFit states every member of a fit.
var fullFit = func() string {
	o := Parsed(FullScull)
	o["targets"] = Parsed(`{
		"catch_deg": {"value": -60, "weight": 2, "tolerance": 0.5}, "finish_deg": {"value": 42, "weight": 1, "tolerance": 0.5},
		"lever_ratio": {"value": 2.1, "weight": 1, "tolerance": 0.02}, "draw_height_cm": {"value": 0, "weight": 1, "tolerance": 1},
		"overlap_cm": {"value": 19, "weight": 1, "tolerance": 1}}`)
	o["adjust"] = Parsed(`{"heel_to_pin_cm": {"min": 10, "max": 45, "step": 0.5, "cost": 1}, "span_cm": {"min": 154, "max": 162, "step": 0.5, "cost": 4}}`)
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
	Samples["POST "+FitPath] = fitSamples
	// A crew always has both ends of the arc for targets.
	Settled = append(Settled, "POST "+CrewPath+".seats.result.demand", "POST "+FitPath+".result.demand")
	Samples["POST "+CrewPath] = bodies(Parsed(fullCrew), UnlikePair(), CrewOf("1x", Put(BareScull(), "rower.stature_cm", 185.0)), CrewOf("1x", Scull()), junior(), outOfReach(), manySeats())
}

// fitSamples fits what is asked of the solver, with the rig held where it is or
// let go.
func fitSamples(t testing.TB) []sample {
	var list []sample
	for _, s := range Samples["POST "+SolvePath](t) {
		for _, free := range []bool{true, false} {
			body := maps.Clone(s.Body)
			if !free {
				length := body["seat"].(Object)["oar_length_cm"]
				body["adjust"] = Object{"oar_length_cm": Object{"min": length, "max": length, "step": 1.0, "cost": 1.0}}
			}
			list = append(list, sample{Body: body})
		}
	}
	return append(list, bodies(Parsed(fullFit), outside(), AtTheEnd(), leverAlone(), Put(Put(Put(BareScull(), "seat.heel_to_pin_cm", 1.0), "rower.sex", "male"), "rower.stature_cm", 185.0))(t)...)
}

// outside is a seat that stands outside its range.
func outside() Object {
	o := Scull()
	o["adjust"] = Parsed(`{"heel_to_pin_cm": {"min": 10, "max": 20, "step": 0.5, "cost": 1}}`)
	return o
}

// leverAlone aims at a gearing and at no end of the arc.
func leverAlone() Object {
	o := Scull()
	o["targets"] = Object{"lever_ratio": 2.12}
	return o
}

// AtTheEnd is a seat whose stretcher does not go far enough.
func AtTheEnd() Object {
	o := Scull()
	o["targets"] = Parsed(`{"catch_deg": -60, "finish_deg": 50}`)
	o["adjust"] = Parsed(`{"heel_to_pin_cm": {"min": 22, "max": 24, "step": 0.5, "cost": 1}}`)
	return o
}

// CrewOf is a crew of one, from a request to solve a seat.
func CrewOf(class string, seats ...Object) Object {
	var list []any
	for _, o := range seats {
		seat := Object{"seat": o["seat"]}
		for _, name := range []string{"rower", "posture", "handle"} {
			if v, ok := o[name]; ok {
				seat[name] = v
			}
		}
		list = append(list, seat)
	}
	return Object{"boat_class": class, "seats": list}
}

// UnlikePair is a pair of bodies that no common rig suits, with next to nothing
// to move.
func UnlikePair() Object {
	tall, small := Sweep(), Put(Sweep(), "seat.side", "starboard")
	tall["rower"], small["rower"] = Object{"sex": "male", "stature_cm": 200.0}, Object{"sex": "female", "stature_cm": 155.0}
	Drop(tall, "handle")
	Drop(small, "handle")
	o := CrewOf("2-", tall, small)
	o["targets"] = Object{"catch_deg": -55.0, "finish_deg": 35.0}
	o["adjust"] = Parsed(`{"heel_to_pin_cm": {"min": 19, "max": 21, "step": 0.5, "cost": 1}}`)
	return o
}

// outOfReach is a stretcher that stands so far off that the seat cannot be rowed
// as found.
func outOfReach() Object {
	return CrewOf("1x", Put(Put(Put(BareScull(), "seat.heel_to_pin_cm", 1.0), "rower.sex", "male"), "rower.stature_cm", 185.0))
}

// manySeats is a pair of which one falls short of the catch and one has a mark
// to read the stretcher by.
func manySeats() Object {
	small, tall := Put(Put(BareSweep(), "rower.sex", "female"), "rower.stature_cm", 160.0), Put(Put(BareSweep(), "rower.sex", "male"), "rower.stature_cm", 190.0)
	o := CrewOf("2-", small, tall)
	o["seats"].([]any)[1].(Object)["stretcher"] = Parsed(`{"mark": "toe", "offset_cm": 0, "toe_along_cm": 28}`)
	o["targets"] = Object{"catch_deg": -57.0, "finish_deg": 33.0}
	return o
}

// junior is a fifteen-year-old whose gearing is asked to be heavier.
func junior() Object {
	o := CrewOf("1x", Put(BareScull(), "rower.age_years", 15.0))
	o["targets"] = Object{"catch_deg": -60.0, "finish_deg": 40.0, "lever_ratio": 2.3}
	return o
}
