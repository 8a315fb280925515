package page

import (
	"net/url"
	"testing"

	"thole/api/club"
	"thole/api/seat"
)

// TestARowerFillsTheFormOfASeat with the posture of the kind of boat; what is not known
// stays open.
func TestARowerFillsTheFormOfASeat(t *testing.T) {
	lean := func(v float64) *club.CalibratedPosture {
		return &club.CalibratedPosture{Posture: seat.Posture{LeanDeg: &v}}
	}
	a := &club.Athlete{ID: 7, SweepPosture: lean(27), ScullPosture: lean(31)}
	a.Name, a.Sex, a.Rower.StatureCm = "Ann", "female", new(181.5)
	for scull, want := range map[bool]string{false: "27", true: "31"} {
		query := url.Values{}
		SetRower(query, a, scull)
		for name, value := range map[string]string{"rower": "Ann", "athlete": "7", "sex": "female", "stature_cm": "181.5", "lean_deg": want} {
			if query.Get(name) != value {
				t.Errorf("scull %v: %s is %q, want %q", scull, name, query.Get(name), value)
			}
		}
		if query.Has("sitting_height_cm") {
			t.Error("a height that nobody measured is filled in")
		}
	}
	query := url.Values{}
	SetRower(query, &club.Athlete{}, true)
	if query.Has("sex") || query.Has("lean_deg") {
		t.Errorf("nothing is known, and the form has %v", query)
	}
}
