package settings

import (
	"testing"

	"thole/rigging"
)

// TestMovesSayWhatMovesWhichWay, as at the boat: a sign the wrong way would have a
// boatman undo what he was to do.
func TestMovesSayWhatMovesWhichWay(t *testing.T) {
	scull, sweep := rigging.Class{Scull: true}, rigging.Class{}
	for _, c := range []struct {
		class   rigging.Class
		setting rigging.Setting
		by      float64
		want    string
	}{
		{scull, rigging.SettingSpan, 2, "each pin outwards 10 mm"}, {scull, rigging.SettingSpan, -1, "each pin inwards 5 mm"},
		{sweep, rigging.SettingSpread, 0.5, "pin outwards 5 mm"}, {sweep, rigging.SettingSpread, -2, "pin inwards 20 mm"},
		{scull, rigging.SettingGateHeight, 0.8, "both gates up 8 mm"}, {sweep, rigging.SettingGateHeight, -0.8, "gate down 8 mm"},
		{scull, rigging.SettingGateDifference, 1.24, "starboard gate up 12 mm"}, {scull, rigging.SettingGateDifference, -0.5, "starboard gate down 5 mm"},
		{sweep, rigging.SettingSternPitch, 1, "pin to the stern at the top 1°"}, {sweep, rigging.SettingSternPitch, -1.5, "pin to the bow at the top 1.5°"},
		{sweep, rigging.SettingOutwardPitch, 1, "pin out at the top 1°"}, {sweep, rigging.SettingBladePitch, -12, "pitch insert 12° less"},
		{sweep, rigging.SettingOarLength, 1, "oar 10 mm longer"}, {sweep, rigging.SettingOarLength, -1, "oar 10 mm shorter"},
		{sweep, rigging.SettingInboard, 0.5, "collar 5 mm towards the blade"}, {sweep, rigging.SettingInboard, -0.5, "collar 5 mm towards the handle"},
		{sweep, rigging.SettingPlateAngle, 2, "stretcher angle 2° steeper"}, {sweep, rigging.SettingPlateAngle, -2, "stretcher angle 2° flatter"},
		{sweep, rigging.SettingHeelDepth, 1, "heels down 10 mm"}, {sweep, rigging.SettingHeelDepth, -1, "heels up 10 mm"},
		{scull, rigging.SettingHeelToPin, 1.26, "stretcher 13 mm to the stern"}, {scull, rigging.SettingHeelToPin, -0.75, "stretcher 7.5 mm to the bow"},
		{scull, rigging.SettingHeelToPin, 0.004, "stays"},
	} {
		if got := MoveText(c.class, c.setting, c.by); got != c.want {
			t.Errorf("%v by %g: %s, want %s", c.setting, c.by, got, c.want)
		}
	}
}

// TestMovesAreCountedInWhatIsCounted: washers, clams and numbers of an insert, with
// what they do not meet.
func TestMovesAreCountedInWhatIsCounted(t *testing.T) {
	washer, clam, number := 4.0, 5.0, 1.0
	counts := Counts{WasherMm: &washer, ClamMm: &clam, InsertDeg: &number}
	for _, c := range []struct {
		setting string
		by      float64
		want    string
	}{
		{"gate_height_cm", 0.4, "1 washer from above to under the gate"}, {"gate_height_cm", -0.8, "2 washers from under to above the gate"},
		{"gate_height_cm", 0.1, ""}, {"gate_height_cm", 0.9, "2 washers from above to under the gate (1 mm off)"}, {"gate_height_cm", 0.404, "1 washer from above to under the gate"},
		{"gate_height_cm", 0.405, "1 washer from above to under the gate (0.1 mm off)"}, {"gate_height_cm", 0.7, "2 washers from above to under the gate (1 mm off)"},
		{"inboard_cm", 0.5, "1 clam on"}, {"inboard_cm", -1, "2 clams off"}, {"blade_pitch_deg", 2, "2 numbers up in the insert"}, {"blade_pitch_deg", -1, "1 number down in the insert"},
	} {
		step, ok := counts.StepOf(c.setting)
		if got := step.Text(c.by); !ok || got != c.want {
			t.Errorf("%s by %g: %q, want %q", c.setting, c.by, got, c.want)
		}
	}
	if _, ok := (Counts{}).StepOf("gate_height_cm"); ok {
		t.Error("no washer was measured")
	}
	for text, want := range map[string]float64{"2 washers above": 14.2, "2 washers under": 15.8, "-1 washer": 14.6, "1 washer off": 14.6, "1 washer less": 14.6, "1 washer down": 14.6, "1 washer up": 15.4, "1 washer on": 15.4} {
		from := 15.0
		if got, complaint, said := counts.Read("gate_height_cm", text, &from, 0); got != want || complaint != "" || !said {
			t.Errorf("%s from 15 cm: %g %s", text, got, complaint)
		}
	}
}
