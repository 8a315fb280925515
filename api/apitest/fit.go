package apitest

const (
	FitPath  = "/api/v1/rigging/fit"
	CrewPath = "/api/v1/rigging/crew"
)

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
