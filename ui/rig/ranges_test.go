package rig_test

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"

	"thole/api/settings"
	"thole/ui/uitest"
)

// TestRangesAreSavedAtOneSeatOrAtAll: an end that is missing is asked for, a step that is
// left out is half a centimetre, and none at all is fixed.
func TestRangesAreSavedAtOneSeatOrAtAll(t *testing.T) {
	c := uitest.DemoClub(t)
	id := c.BoatNamed("Nightjar").ID
	path := func(n int) string { return fmt.Sprintf("/boats/%d/seats/%d/ranges", id, n) }
	form := func(pairs ...string) url.Values {
		f := url.Values{"version": {fmt.Sprint(boat(t, c, id).Version)}, "by": {"Udo"}}
		return uitest.Filled(f, pairs...)
	}
	of := func(n int) string {
		return fmt.Sprint(boat(t, c, id).Seats[n-1].Adjust["heel_to_pin_cm"], len(boat(t, c, id).Seats[n-1].Adjust))
	}
	before := of(1)
	if p := c.Post(path(2), form("seat2_heel_to_pin_cm_min", "18", "seat2_heel_to_pin_cm_max", "30")); p.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", p.Status, p.Body)
	}
	want := fmt.Sprint(settings.Adjustment{Min: 18, Max: 30, Step: 0.5, Cost: 1}, 1)
	if got := of(2); got != want || of(1) != before {
		t.Errorf("seat 2: %s, want %s; seat 1: %s", got, want, of(1))
	}
	if p := c.Post(path(8), form("seat8_heel_to_pin_cm_min", "17", "seat8_heel_to_pin_cm_max", "29", "seat8_heel_to_pin_cm_step", "1.5", "all", "true")); p.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", p.Status, p.Body)
	}
	want = fmt.Sprint(settings.Adjustment{Min: 17, Max: 29, Step: 1.5, Cost: 1}, 1)
	for n := 1; n <= 8; n++ {
		if got := of(n); got != want {
			t.Errorf("seat %d: %s, want %s", n, got, want)
		}
	}
	for name, pairs := range map[string][]string{"seat3_heel_to_pin_cm_max": {"seat3_heel_to_pin_cm_min", "18"}, "seat3_heel_to_pin_cm_min": {"seat3_heel_to_pin_cm_max", "18"}} {
		p := c.Post(path(3), form(pairs...))
		uitest.WantIn(t, name, p.Body, "Give both ends, or neither", `href="#`+name+`"`)
		if p.Status != http.StatusUnprocessableEntity {
			t.Errorf("without %s: %d", name, p.Status)
		}
	}
	if p := c.Post(path(3), form()); p.Status != http.StatusSeeOther || of(3) == want || of(4) != want {
		t.Errorf("%d, seat 3: %s, seat 4: %s", p.Status, of(3), of(4))
	}
	for n, status := range map[int]int{0: 404, 1: 200, 8: 200, 9: 404} {
		if p := c.Get(path(n)); p.Status != status {
			t.Errorf("seat %d: %d, want %d", n, p.Status, status)
		}
	}
}
