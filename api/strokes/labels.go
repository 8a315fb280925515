package strokes

// FeatureLabel is how people call a feature.
type FeatureLabel struct {
	Name, Label, Unit string
	Digits            int // after the point
}

// FeatureLabels lists the features in the order that pages and tables show them.
var FeatureLabels = []FeatureLabel{
	{"catch_deg", "Catch", "°", 1}, {"finish_deg", "Finish", "°", 1}, {"arc_deg", "Arc", "°", 1},
	{"catch_slip_deg", "Catch slip", "°", 1}, {"release_slip_deg", "Release slip", "°", 1}, {"effective_arc_deg", "Effective arc", "°", 1},
	{"rate_per_min", "Rate", "a minute", 1}, {"drive_time_s", "Drive", "s", 2}, {"rhythm", "Rhythm (drive : recovery)", "", 2},
	{"peak_n", "Peak force", "N", 0}, {"peak_angle_deg", "Peak stands at", "°", 1}, {"peak_place", "Peak, share of the arc", "", 2},
	{"mean_force_n", "Mean force over the arc", "N", 0}, {"mean_to_peak", "Mean to peak", "", 2},
	{"work_j", "Work", "J", 0}, {"power_w", "Power", "W", 0},
	{"rise_deg", "Rise to 70 % of the peak", "°", 1}, {"rise_time_s", "Rise to 70 %, time", "s", 2},
	{"boat_speed_m_s", "Boat speed", "m/s", 2}, {"distance_m", "Distance per stroke", "m", 1},
	{"entry_deg", "Blade meets the water at", "°", 1}, {"depth_deg", "Depth", "°", 1},
	{"cover_time_s", "To covered, time", "s", 2}, {"cover_deg", "To covered (geometric catch slip)", "°", 1},
	{"down_share", "Going down, share of the effective arc", "", 2}, {"up_share", "Coming up, share of the effective arc", "", 2},
	{"detour_deg", "Below just covered", "°", 1}, {"wash_out_deg", "Still pulled after the blade is out", "°", 1},
	{"carry_height_cm", "Carried over the water", "cm", 1}, {"edge_height_cm", "Edge over the water at the catch", "cm", 1},
	{"entry_moment_s", "Edge meets the water, after the catch", "s", 3}, {"sink_speed_m_s", "Blade sinks at", "m/s", 2},
	{"cover_speed_m_s", "Hands when the blade is covered", "m/s", 2},
}

// LabelOf returns the label of a feature.
func LabelOf(name string) FeatureLabel {
	for _, l := range FeatureLabels {
		if l.Name == name {
			return l
		}
	}
	panic("strokes: no label for " + name)
}

// Heading is a column's head with its unit.
func (l FeatureLabel) Heading() string {
	if l.Unit == "" {
		return l.Label
	}
	return l.Label + ", " + l.Unit
}
