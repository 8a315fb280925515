package api

import (
	"encoding/json"

	"thole/api/rest"
)

// examples hold requests that the demo club can answer as they are: a body, or a
// query where that is needed. The description and the pages show them, and a test
// sends them.
var examples = map[string]string{
	"POST /api/v1/rigging/solve": `{"boat_class":"1x","seat":{"span_cm":159,"oar_length_cm":288,"inboard_cm":88,"heel_to_pin_cm":23.4},
		"rower":{"sex":"male","stature_cm":185,"mass_kg":85},"targets":{"catch_deg":-64,"finish_deg":44}}`,
	"POST /api/v1/rigging/fit": `{"boat_class":"1x","seat":{"span_cm":159,"oar_length_cm":288,"inboard_cm":88,"heel_to_pin_cm":23.4},
		"rower":{"sex":"male","stature_cm":185},"targets":{"catch_deg":-62,"finish_deg":43},"adjust":{"heel_to_pin_cm":{"min":10,"max":45,"step":0.5,"cost":1}}}`,
	"POST /api/v1/rigging/crew": `{"boat_class":"1x","seats":[{"rower":{"stature_cm":185},"seat":{"heel_to_pin_cm":23.4,"inboard_cm":88,"oar_length_cm":288,"span_cm":159}}]}`,
	"POST /api/v1/rigging/calibrate": `{"boat_class":"1x","rower":{"sex":"male","stature_cm":185},
		"arcs":[{"catch_deg":-62,"finish_deg":43,"seat":{"heel_to_pin_cm":23.4,"inboard_cm":88,"oar_length_cm":288,"span_cm":159}}]}`,
	"POST /api/v1/rigging/rules":       `{"boat_class":"1x","hull_mass_kg":13}`,
	"POST /api/v1/rigging/centimetres": `{"boat_class":"8+","seat":{"heel_to_pin_cm":20,"inboard_cm":115,"oar_length_cm":372,"side":"port","spread_cm":85}}`,

	"POST /api/v1/selection/lineups": `{"boat_class":"2x","candidates":[{"id":"a","name":"Ann","power_w":240,"mass_kg":70},
		{"id":"b","name":"Bea","power_w":250,"mass_kg":72},{"id":"c","name":"Cat","power_w":260,"mass_kg":74}],"count":3}`,
	"POST /api/v1/selection/crews": `{"boat_class":"2x","candidates":[{"id":"a","name":"Ann","power_w":240,"mass_kg":70},
		{"id":"b","name":"Bea","power_w":250,"mass_kg":72},{"id":"c","name":"Cat","power_w":260,"mass_kg":74}]}`,
	"POST /api/v1/selection/cost": `{"boat_class":"2x","candidates":[{"id":"a","name":"Ann","power_w":240,"mass_kg":70},
		{"id":"b","name":"Bea","power_w":250,"mass_kg":72}],"lineup":{"seats":["a","b"]}}`,

	"POST /api/v1/seat-races/estimate": `{"distance_m":1000,"pieces":[{"crews":[["a","b","c","d"],["e","f","g","h"]],"times_s":[190.2,191.9]},
		{"crews":[["e","b","c","d"],["a","f","g","h"]],"times_s":[191.2,190.9]}]}`,
	"POST /api/v1/seat-races/plan": `{"boat_class":"2x","athletes":[{"id":"a"},{"id":"b"},{"id":"c"},{"id":"d"}],"pieces":4}`,
	"POST /api/v1/seat-races": `{"name":"Saturday","held_on":"2026-03-14","boat_class":"1x","by":"Ines","athletes":[{"name":"Ann"},{"name":"Bea"}],
		"pieces":[{"crews":[["Ann"],["Bea"]]}],"terms":{"boats":2,"expected_time_s":230,"mean_power_w":250}}`,

	"POST /api/v1/video/body":    `{"known_cm":200,"known_px":1500,"arm_px":520,"distance_m":5}`,
	"POST /api/v1/video/strokes": `{"kind":"sweep","end":"catch","frame_rate":30,"strokes":[{"edge_s":1.1,"reversal_s":1,"whole_s":1.1}]}`,

	// Of what is read, the query.
	"GET /api/v1/selection/squad":    `"boat_class=8%2B"`,
	"GET /api/v1/recordings/compare": `"a=1&b=2"`,
	// And of what is removed, where the history names who does it.
	"DELETE /api/v1/athletes/:id/ergometer/:test": `"by=Ines"`,

	"POST /api/v1/athletes":                 `{"name":"Quill","sex":"female","birth_date":"1999-04-30","sculls":true,"by":"Ines"}`,
	"POST /api/v1/athletes/:id/measures":    `{"measured_on":"2026-01-10","stature_cm":178,"mass_kg":70,"measured_by":"Ines"}`,
	"POST /api/v1/athletes/:id/opinions":    `{"said_on":"2026-03-12","power_w":260,"sd_w":12,"note":"calm in a headwind","by":"Ines"}`,
	"POST /api/v1/athletes/:id/ergometer":   `{"tested_on":"2026-01-10","fixed":"distance","distance_m":2000,"time_s":431.2,"by":"Ines"}`,
	"POST /api/v1/squads":                   `{"name":"Saturday","athlete_ids":[1,2]}`,
	"POST /api/v1/boats":                    `{"name":"Quillwort","boat_class":"1x","by":"Ines","rig":[{"seat":1,"setting":"span_cm","value":159}]}`,
	"POST /api/v1/boats/:id/setup":          `{"crew":[{"seat":1,"athlete_id":2}]}`,
	"POST /api/v1/oars":                     `{"name":"Spare","kind":"scull","by":"Ines"}`,
	"POST /api/v1/lineups":                  `{"name":"Best","boat_class":"1x","seats":[{"athlete_id":1}],"by":"Ines"}`,
	"POST /api/v1/tasks":                    `{"what":"Seat 2 of the double","address":"/boats/1","note":"before Saturday","by":"Ines"}`,
	"POST /api/v1/recordings/:id/calibrate": `{}`,
	"POST /api/v1/recordings/:id/entry":     `{}`,
}

// withExamples gives the routes their examples.
func withExamples(routes []rest.Route) []rest.Route {
	for i, r := range routes {
		if text, ok := examples[r.Method+" "+r.Path]; ok {
			routes[i].Example = json.RawMessage(text)
		}
	}
	return routes
}
