package wire

import "strings"

// settingLabels are the settings as the screens call them.
var settingLabels = map[string]string{
	"span_cm": "Span", "spread_cm": "Spread", "inboard_cm": "Inboard", "oar_length_cm": "Oar length", "heel_to_pin_cm": "Stretcher position",
	"heel_depth_cm": "Heel depth", "gate_height_cm": "Height, seat to gate", "gate_difference_cm": "Gate difference", "plate_angle_deg": "Stretcher angle",
	"blade_pitch_deg": "Gate and blade pitch", "stern_pitch_deg": "Stern pitch", "outward_pitch_deg": "Lateral pitch",
}

// SettingLabel is how the screens call a setting; "" for none.
func SettingLabel(name string) string { return settingLabels[name] }

// SettingHeading is the heading of a column of a setting's values.
func SettingHeading(name string) string { return SettingLabel(name) + ", " + SettingUnit(name) }

// SettingUnit is the unit that a setting's name ends with, as people write it.
func SettingUnit(name string) string {
	if strings.HasSuffix(name, "_deg") {
		return "°"
	}
	return "cm"
}
