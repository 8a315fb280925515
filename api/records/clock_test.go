package records_test

import (
	"testing"
	"time"

	"thole/api/records"
)

// TestTodayIsTheClubsDay holds against a clock of its own that zones a day
// apart have their own days.
func TestTodayIsTheClubsDay(t *testing.T) {
	for _, hours := range []int{-12, 0, 14} {
		zone := time.FixedZone("there", hours*3600)
		r := records.New(nil, zone)
		before := time.Now().UTC().Add(time.Duration(hours) * time.Hour).Format(time.DateOnly)
		got := r.Today()
		after := time.Now().UTC().Add(time.Duration(hours) * time.Hour).Format(time.DateOnly)
		if got != before && got != after { // midnight can pass in between
			t.Errorf("%+d h: today is %s, want %s", hours, got, before)
		}
		if r.Now().Location() != zone || r.Signed("Anna").At.Location() != zone {
			t.Errorf("%+d h: the present is told in another zone", hours)
		}
	}
	if records.New(nil, time.FixedZone("west", -12*3600)).Today() == records.New(nil, time.FixedZone("east", 14*3600)).Today() {
		t.Error("zones 26 hours apart have the same day")
	}
}
