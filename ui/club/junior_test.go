package club_test

import (
	"strings"
	"testing"
	"time"

	"thole/api/club"
	"thole/api/wire"
	"thole/ui/uitest"
)

// TestAJuniorIsUnderEighteen: the list marks who is, and nobody from the birthday on.
func TestAJuniorIsUnderEighteen(t *testing.T) {
	c := uitest.NewClub(t)
	today, err := time.Parse(wire.DayLayout, c.Service.Club.Today())
	if err != nil {
		t.Fatal(err)
	}
	grown := today.AddDate(-18, 0, 0)
	if grown.Day() != today.Day() { // on the last day of a February with 29
		grown = grown.AddDate(0, 0, -1)
	}
	for name, born := range map[string]time.Time{"Grown Today": grown, "Grown Tomorrow": grown.AddDate(0, 0, 1)} {
		fields := club.AthleteFields{Name: name, BirthDate: wire.Ptr(born.Format(wire.DayLayout)), Sculls: true}
		if _, err := c.Service.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: fields, By: "Ann"}); err != nil {
			t.Fatal(err)
		}
	}
	for _, row := range strings.Split(c.Opened("/athletes"), "<tr")[1:] {
		for name, junior := range map[string]bool{"Grown Today": false, "Grown Tomorrow": true} {
			if strings.Contains(row, name) && strings.Contains(row, `title="junior"`) != junior {
				t.Errorf("%s is marked a junior: %t", name, !junior)
			}
		}
	}
}
