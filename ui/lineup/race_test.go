package lineup_test

import (
	"html"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

var raceLinks = regexp.MustCompile(`href="/seat-races/new\?([^"]*pairs=[^"]*)"`)

// TestTheNameOfASeatRaceTellsTheCrewsNothing: it stands on their paper, and who is
// compared may not.
func TestTheNameOfASeatRaceTellsTheCrewsNothing(t *testing.T) {
	c := uitest.DemoClub(t)
	found := raceLinks.FindAllStringSubmatch(c.Opened("/line-ups?class=4-"), -1)
	if len(found) == 0 {
		t.Fatal("no seat race is proposed")
	}
	for _, link := range found {
		q, err := url.ParseQuery(html.UnescapeString(link[1]))
		if err != nil {
			t.Fatal(err)
		}
		name := q.Get("name")
		if !strings.HasPrefix(name, "4-, ") {
			t.Errorf("it is called %q", name)
		}
		for _, athlete := range strings.FieldsFunc(q.Get("pairs"), func(r rune) bool { return r == ' ' || r == '/' }) {
			if strings.Contains(name, athlete) {
				t.Errorf("%q names %s", name, athlete)
			}
		}
	}
}
