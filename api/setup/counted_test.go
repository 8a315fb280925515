package setup

import (
	"testing"

	"thole/api/fleet"
	"thole/rigging"
)

// TestMovesAreToldInWhatPeopleCount: washers of 4 mm, clams of 10 mm, inserts of 1° a
// number; with what is left where they do not meet the move, and nothing where the
// boat has none or the move is less than half of one.
func TestMovesAreToldInWhatPeopleCount(t *testing.T) {
	class, _ := rigging.ClassByCode("1x")
	four, ten, one := 4.0, 10.0, 1.0
	counts := &fleet.Boat{BoatFields: fleet.BoatFields{WasherMm: &four, ClamMm: &ten, InsertDeg: &one}}
	for _, c := range []struct {
		setting       rigging.Setting
		found, target float64
		boat          *fleet.Boat
		want          string
	}{
		{rigging.SettingGateHeight, 17, 17.8, counts, "both gates up 8 mm: 2 washers from above to under the gate"},
		{rigging.SettingGateHeight, 17, 16.6, counts, "both gates down 4 mm: 1 washer from under to above the gate"},
		{rigging.SettingGateHeight, 17, 17.5, counts, "both gates up 5 mm: 1 washer from above to under the gate (1 mm off)"},
		{rigging.SettingGateHeight, 17, 17.1, counts, "both gates up 1 mm"},
		{rigging.SettingGateHeight, 17, 17.8, new(fleet.Boat), "both gates up 8 mm"},
		{rigging.SettingInboard, 88, 89, counts, "collar 10 mm towards the blade: 1 clam on"},
		{rigging.SettingInboard, 88, 86, counts, "collar 20 mm towards the handle: 2 clams off"},
		{rigging.SettingBladePitch, 0, 2, counts, "pitch insert 2° more: 2 numbers up in the insert"},
		{rigging.SettingSpan, 159, 158, counts, "each pin inwards 5 mm"},
	} {
		if got := lineText(class, c.boat, c.setting, &c.found, nil, c.target, 42); got.Text != c.want {
			t.Errorf("%s %g to %g: %q, want %q", c.setting, c.found, c.target, got.Text, c.want)
		}
	}
	if got := lineText(class, counts, rigging.SettingGateHeight, nil, nil, 18, 42); got.Text != "measure, and set it" {
		t.Errorf("not measured: %q", got.Text)
	}
}
