package ui_test

import (
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"

	"thole/api"
	"thole/api/records"
	"thole/api/seatrace"
	"thole/ui"
	"thole/ui/page"
	"thole/ui/people"
	"thole/ui/uitest"
)

// emptyWords is how a list tells that nothing is in it.
var emptyWords = regexp.MustCompile(`(?s)<p class="told[^"]*">\s*((?:[^<]|<a [^>]*>|</a>)*?(?:\byet\b|Nothing waits|nobody|Nobody)(?:[^<]|<a [^>]*>|</a>)*)</p>`)

// plainPages are the pages whose address is the whole of their pattern.
func plainPages(service *api.Service) (list []string) {
	for pattern := range ui.Routes(new(page.Frame), service, people.NewSite(new(page.Frame), service, nil)) {
		if path, ok := strings.CutPrefix(pattern, "GET "); ok && !strings.ContainsAny(path, "{.") {
			list = append(list, path)
		}
	}
	slices.Sort(list)
	return list
}

// empty returns the pages that tell that nothing is in them, with the words.
func empty(c *uitest.ClubSite, paths []string) map[string]string {
	found := map[string]string{}
	for _, path := range paths {
		p := c.Get(path)
		if p.Status != http.StatusOK || !strings.HasPrefix(p.Header.Get("Content-Type"), "text/html") {
			continue
		}
		if m := emptyWords.FindStringSubmatch(p.Body); m != nil {
			found[path] = uitest.OneLine(m[1])
		}
	}
	return found
}

// TestNoPageOfTheDemoOpensEmpty walks every page of the demo that needs no number in
// its address, and those of one athlete, boat, squad, recording, seat race, line-up and
// sheet of each list.
func TestNoPageOfTheDemoOpensEmpty(t *testing.T) {
	bare := uitest.NewClub(t)
	paths := plainPages(bare.Service)
	if n := len(empty(bare, paths)); n < 12 {
		t.Fatalf("only %d of %d pages of a club without records tell that they are empty: the test would find nothing", n, len(paths))
	}
	c := uitest.SeasonClub(t)
	for path, words := range empty(c, append(paths, pagesOfRecords(t, c)...)) {
		t.Errorf("%s: %s", path, words)
	}
	if list := uitest.OneLine(c.Opened("/sheets")); !strings.Contains(list, "Kestrel") || !strings.Contains(list, "Wren") {
		t.Error("no sheet is half done, or none finished")
	}
	uitest.WantIn(t, "the start page", c.Opened("/"), "Seat race today: Junior doubles", "Work sheet open: Kestrel")
	tasks, err := c.Service.People.Tasks(t.Context(), struct{}{})
	if err != nil || len(tasks.Open) != 3 || len(tasks.Done) != 1 {
		t.Errorf("the boatman's list: %d open, %d done, %v", len(tasks.Open), len(tasks.Done), err)
	}
}

// pagesOfRecords are pages of single records that have something to show.
func pagesOfRecords(t *testing.T, c *uitest.ClubSite) []string {
	t.Helper()
	athletes, err := c.Service.Club.Athletes(t.Context(), records.ListRequest{Name: "Sanna Pirkola"})
	if err != nil || len(athletes.Athletes) != 1 {
		t.Fatalf("%v", err)
	}
	races, err := c.Service.Seatrace.Races(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	raced := slices.IndexFunc(races.Races, func(r seatrace.RaceSummary) bool { return r.Name == "Women’s doubles" })
	sanna, wren := athletes.Athletes[0].ID, c.BoatNamed("Wren").ID
	list := []string{fmt.Sprintf("/seat-races/%d", races.Races[raced].ID), "/squads/1", "/squads/4", "/sheets/1", "/sheets/2", "/line-ups/saved/1", "/recordings/1"}
	for _, part := range []string{"", "/filmed", "/progress", "/privacy", "/history"} {
		list = append(list, fmt.Sprintf("/athletes/%d%s", sanna, part))
	}
	for _, part := range []string{"", "/history", "/seats/1"} {
		list = append(list, fmt.Sprintf("/boats/%d%s", wren, part))
	}
	for _, path := range list {
		if p := c.Get(path); p.Status != http.StatusOK && !strings.HasSuffix(path, "/history") {
			t.Errorf("%s: %d", path, p.Status)
		}
	}
	return list
}

// TestWhatIsArchivedShowsWhenItIsAskedFor: the demo has an athlete who has left, a boat that
// was sold, old oars and a race that was called off.
func TestWhatIsArchivedShowsWhenItIsAskedFor(t *testing.T) {
	c := uitest.SeasonClub(t)
	if strings.Contains(c.Opened("/athletes"), "Aldous") {
		t.Error("who has left is among the others")
	}
	uitest.WantIn(t, "athletes, archived too", c.Opened("/athletes?archived=true"), "Aldous", "<em>archived</em>")
	for list, name := range map[string]string{"/boats": "Grey Lady", "/oars": "Sculls, wooden", "/seat-races": "Masters’ doubles"} {
		if strings.Contains(c.Opened(list), name) {
			t.Errorf("%s: what is archived is among the others", list)
		}
		uitest.WantIn(t, list+", archived too", c.Opened(list+"?archived=true"), name)
	}
}
