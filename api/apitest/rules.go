package apitest

// FullRules states every member of a check.
const FullRules = `{
	"boat_class": "8+", "hull_mass_kg": 96.5, "cox_mass_kg": 50, "dead_weight_kg": 5, "lightweight": true, "sex": "male",
	"masses_kg": [70, 70, 70, 70, 70, 70, 70, 70], "heel_rise_cm": 5, "blade_edge_cm": 0.6, "bow_ball_cm": 4
}`
