package squadfile

import "testing"

// TestBodyColumnsEndWhereBodiesDo holds the ends of the table's columns, in the units
// that their messages name.
func TestBodyColumnsEndWhereBodiesDo(t *testing.T) {
	want := map[string][2]float64{"mass_kg": {20, 200}, "height_cm": {100, 235}, "arm_span_cm": {90, 260}, "sitting_height_cm": {50, 125}}
	for _, m := range bodyColumns {
		if least, most := m.ends(); [2]float64{least, most} != want[m.column] {
			t.Errorf("%s: %g to %g, want %g", m.column, least, most, want[m.column])
		}
	}
	if len(bodyColumns) != len(want) {
		t.Errorf("%d columns, want %d", len(bodyColumns), len(want))
	}
}
