package rigging_test

import (
	"testing"

	"thole/rigging"
)

// TestARowerHeldBackIsNotToldThatTheGateIsLow: a big man who comes 9° less far
// forward than he could rows through the same gates.
func TestARowerHeldBackIsNotToldThatTheGateIsLow(t *testing.T) {
	task := someCrew(t, seeded(2), "8+", kinds[0], rigging.JobEveryday)
	back := 0
	for i := range task.Seats {
		c := task.Seats[i].Case
		expected, err := c.Solve()
		if err != nil {
			continue
		}
		own := c.Cautions(&expected, &task.Seats[i].Measures)
		target := expected.Catch + deg(9)
		stroke, list, err := c.RowedCautions(c.Rowed(rigging.Targets{Catch: target}), &task.Seats[i].Measures)
		if err != nil {
			t.Fatal(err)
		}
		degrees(t, "rowed to the target", stroke.Catch, target.Degrees(), 0.01)
		back++
		for _, code := range []string{"gate_low", "gate_high", "no_gate_window"} {
			if has(own, code) != has(list, code) {
				t.Errorf("seat %d: %s as expected %v, held back %v", i+1, code, has(own, code), has(list, code))
			}
		}
	}
	if back == 0 {
		t.Error("nobody can be rowed")
	}
	c := task.Seats[0].Case
	if c.Rowed(rigging.Targets{Finish: deg(33)}) != c.Posture {
		t.Error("without a target catch the rower comes less far forward")
	}
}

func has(list []rigging.Caution, code string) bool {
	for _, c := range list {
		if c.Code == code {
			return true
		}
	}
	return false
}
