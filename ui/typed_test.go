package ui_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/ui/uitest"
)

// named are names and notes that hold what pages say in the reader's words and units.
const (
	portEllen   = "Port Ellen"
	bowSide     = "Bow Side"
	whitneyPort = "Whitney Port"
	notePort    = "moved 3 cm to port, 82.5 kg, on 2026-11-06"
	starboard   = "Starboard 2.5 squad"
)

// TestWhatPeopleWroteIsNeverRewritten: a boat, athletes, a squad, a note and the reason of
// a change stand on every page as they were written, in all units and words; so does what
// was refused.
func TestWhatPeopleWroteIsNeverRewritten(t *testing.T) {
	site := uitest.DemoClub(t)
	ctx := t.Context()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	boat, err := site.Service.Fleet.Boat(ctx, records.IDRequest{ID: 3})
	must(err)
	var athletes []string
	for i, name := range []string{bowSide, whitneyPort} {
		a, err := site.Service.Club.Athlete(ctx, club.AthleteRequest{ID: int64(8 + i)})
		must(err)
		edit := site.Form(fmt.Sprintf("/athletes/%d/edit", a.ID))
		given, family, _ := strings.Cut(name, " ")
		edit.Set("given_name", given)
		edit.Set("family_name", family)
		edit.Set("note", notePort)
		edit.Set("by", "Ines")
		uitest.GoesTo(t, site.Post(fmt.Sprintf("/athletes/%d", a.ID), edit), fmt.Sprintf("/athletes/%d", a.ID))
		athletes = append(athletes, fmt.Sprintf("/athletes/%d", a.ID))
	}
	uitest.GoesTo(t, site.Post("/boats/3", site.Form("/boats/3/edit", "name", portEllen, "note", notePort, "by", "Ines")), "/boats/3")
	_, err = site.Service.Fleet.UpdateRig(ctx, fleet.RigEdit{ID: 3, Version: boat.Version + 1, By: "Ines", Why: notePort, Settings: []fleet.RigSetting{{Seat: 1, Setting: "span_cm", Value: new(158.5)}}})
	must(err)
	if p := site.Post("/squads", url.Values{"name": {starboard}}); p.Status != http.StatusSeeOther {
		t.Fatal(p.Status)
	}
	written := []string{portEllen, bowSide, whitneyPort, notePort, starboard, ">Port<"} // the last is a family name alone
	pages := []string{"/", "/boats", "/boats/3", "/boats/3/history", "/boats/3/edit", "/boats/3/table", "/boats/3/seats/1", "/boats/3/crew", "/boats/3/remove", "/athletes", "/squads", "/setup", "/setup?boat=3",
		"/sheets", "/sheets?boat=3", "/line-ups?class=1x", "/line-ups?class=2x", "/seat", "/athletes/new", "/squad", "/line-ups/saved", "/recordings", "/video?place=3-1", "/squad/evidence"}
	for _, a := range athletes {
		pages = append(pages, a, a+"/edit", a+"/progress", a+"/privacy", a+"/remove")
	}
	counted := func() (list []map[string]int) {
		for _, page := range pages {
			status, body := site.Look(page)
			if status >= http.StatusInternalServerError {
				t.Fatalf("%s: %d", page, status)
			}
			body = uitest.Unlinked(body)
			count := map[string]int{}
			for _, text := range written {
				count[text] = strings.Count(body, text)
			}
			list = append(list, count)
		}
		return list
	}
	before := counted()
	seen := map[string]int{}
	for _, count := range before {
		for text, n := range count {
			seen[text] += n
		}
	}
	for _, text := range written {
		if seen[text] == 0 {
			t.Errorf("no page shows %q", text)
		}
	}
	for _, u := range append(rigUsages, url.Values{"sides": {"stroke_bow"}}, url.Values{"days": {"ymd"}}, url.Values{"body_lengths": {"ft_in"}, "masses": {"lb"}}) {
		site.Post("/settings", u)
		for i, count := range counted() {
			for _, text := range written {
				if count[text] != before[i][text] {
					t.Errorf("%v, %s: %q stands there %d times, as it was written %d times", u, pages[i], text, count[text], before[i][text])
				}
			}
		}
	}
	site.Post("/settings", theirChoice)
	taken := site.Post("/squads", url.Values{"name": {starboard}})
	if taken.Status < 400 || strings.Contains(taken.Body, "Bow side 2") || !strings.Contains(taken.Body, starboard) {
		t.Errorf("a name that is taken: %d", taken.Status)
	}
	unknown := site.Post("/seat-races", url.Values{"name": {"Saturday"}, "athletes": {"Port Charlotte"}, "by": {"Ines"}})
	if strings.Contains(unknown.Body, "side Charlotte") {
		t.Error("a name that nobody has is rewritten in its refusal")
	}
}
