package apitest

// Measured asks for the posture behind one arc; an angle of 0 was not measured.
func Measured(catch, finish float64, from Object) Object {
	arc := Object{"seat": from["seat"]}
	if catch != 0 {
		arc["catch_deg"] = catch
	}
	if finish != 0 {
		arc["finish_deg"] = finish
	}
	if handle, ok := from["handle"]; ok {
		arc["handle"] = handle
	}
	r := Object{"boat_class": from["boat_class"], "arcs": []any{arc}}
	if rower, ok := from["rower"]; ok {
		r["rower"] = rower
	}
	return r
}

// FullArcs states every member of a calibration.
const FullArcs = `{
	"boat_class": "1x",
	"rower": {"sex": "male", "stature_cm": 185, "mass_kg": 85},
	"posture": {"lean_deg": 25, "layback_deg": 28, "protraction_cm": 5},
	"arcs": [{
		"seat": {"span_cm": 159, "oar_length_cm": 288, "inboard_cm": 88, "heel_to_pin_cm": 23.4},
		"handle": {"catch_height_cm": 25, "finish_height_cm": 25},
		"displacement_kg": 102, "catch_deg": -66, "finish_deg": 43, "sd_deg": 0.5
	}]
}`
