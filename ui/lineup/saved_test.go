package lineup_test

import (
	"html"
	"regexp"
	"testing"
	"time"

	"thole/api/lineup"
	"thole/ui/uitest"
)

// TestALineupTellsWhoSavedIt holds the list and the page of a line-up.
func TestALineupTellsWhoSavedIt(t *testing.T) {
	c := uitest.NewClub(t)
	day := "2026-04-02"
	saved, err := c.Service.Lineup.SaveLineup(t.Context(), lineup.NewLineup{By: " Bram <b> ", LineupContent: lineup.LineupContent{
		Name: "Saturday", BoatClass: "1x", RowsOn: &day, Seats: []lineup.LineupPlace{{}},
	}})
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/line-ups/saved", "/line-ups/saved/1"} {
		body := c.Opened(path)
		uitest.WantIn(t, path, body, "rows on 2 Apr 2026")
		told := regexp.MustCompile(`Saved by (.+?), (\d+ \w+ \d+, \d\d:\d\d)`).FindStringSubmatch(body)
		if told == nil {
			t.Errorf("%s does not tell who saved it and when", path)
			continue
		}
		at, err := time.ParseInLocation("2 Jan 2006, 15:04", told[2], time.Local)
		if off := at.Sub(saved.SavedAt); html.UnescapeString(told[1]) != "Bram <b>" || err != nil || off > 0 || off < -time.Minute {
			t.Errorf("%s: saved by %s on %s, want %s on %v", path, told[1], told[2], saved.SavedBy, saved.SavedAt)
		}
	}
}
