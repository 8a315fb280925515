package savedlineup_test

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"thole/api/savedlineup"
	"thole/ui/uitest"
)

// TestALineupTellsWhoSavedIt holds the list and the page of a line-up.
func TestALineupTellsWhoSavedIt(t *testing.T) {
	c := uitest.NewClub(t)
	day := "2026-04-02"
	saved, err := c.Service.Savedlineup.Save(t.Context(), savedlineup.NewLineup{By: " Bram <b> ", LineupContent: savedlineup.LineupContent{
		Name: "Saturday", BoatClass: "1x", RowsOn: &day, Seats: []savedlineup.LineupPlace{{}},
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

// TestASavedLineupSaysWhy: a double of the demo's, its reasons in words, the
// table, and a note written, met by an old version, and shown.
func TestASavedLineupSaysWhy(t *testing.T) {
	c := uitest.NewClub(t)
	day := time.Now().Format(time.DateOnly)
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader("name,sculls,mass_kg,test_date,test_distance_m,test_time\n"+
		"Abe,yes,80,"+day+",2000,6:20.0\nBen,yes,80,"+day+",2000,6:24.0\nCyd,yes,80,"+day+",2000,6:24.1\nDan,yes,80,"+day+",2000,7:40.0\n"), "Ines"); err != nil {
		t.Fatal(err)
	}
	l := savedlineup.NewLineup{By: "Ines", LineupContent: savedlineup.LineupContent{Name: "Saturday", BoatClass: "2x"}}
	for _, id := range []int64{c.AthleteNamed("Abe", "").ID, c.AthleteNamed("Ben", "").ID} {
		l.Seats = append(l.Seats, savedlineup.LineupPlace{AthleteID: &id})
	}
	if _, err := c.Service.Savedlineup.Save(t.Context(), l); err != nil {
		t.Fatal(err)
	}
	const at = "/line-ups/saved/1"
	body := c.Opened(at)
	uitest.WantIn(t, "the case", body, "Why this crew", "Open against the nearest athlete outside the boat: Abe, Ben.", "Cyd in for Ben", "open, 5", "804 W", "160 kg", "Predicted, 2000 m in still water")
	form := url.Values{"version": {"1"}, "note": {"calm at the start"}, "by": {""}}
	uitest.WantIn(t, "unsigned", c.Post(at, form).Body, "Say who you are", "calm at the start")
	form.Set("by", "Bert")
	uitest.GoesTo(t, c.Post(at, form), at)
	uitest.WantIn(t, "the note", c.Opened(at), `<p class="note typed">calm at the start</p>`, "Saved by Bert")
	form.Set("note", "another")
	if p := c.Post(at, form); p.Status != http.StatusConflict {
		t.Errorf("an old version: %d", p.Status)
	}
	if p := c.Post("/line-ups/saved/99", form); p.Status != http.StatusNotFound {
		t.Errorf("nothing there: %d", p.Status)
	}
}
