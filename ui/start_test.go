package ui_test

import (
	"net/url"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// TestTheFirstStepsEndWithTheFirstSheet: the path leads on as things come on record,
// and a club that has everything does not see it.
func TestTheFirstStepsEndWithTheFirstSheet(t *testing.T) {
	c := uitest.NewClub(t)
	uitest.WantIn(t, "nothing yet", c.Opened("/"), "First steps", `href="/squad/import">Your squad`, `href="/boats/new">Your boats`, `href="/setup">A set-up`)
	c.Upload("list.csv", "Name\nAnn Lee\n") // a look alone changes nothing
	if strings.Contains(c.Opened("/"), "Your squad: done") {
		t.Error("done without an athlete")
	}
	uitest.GoesTo(t, c.Post("/athletes", url.Values{"family_name": {"Lee"}, "by": {"Ines"}}), "/athletes/1")
	uitest.WantIn(t, "an athlete", c.Opened("/"), "Your squad: done", `href="/boats/new">Your boats`)
	d := uitest.DemoClub(t)
	uitest.WantIn(t, "no sheet yet", d.Opened("/"), "Your squad: done", "Your boats: done", `href="/setup">A set-up`)
	d.Made(d.Eight())
	if strings.Contains(d.Opened("/"), "First steps") {
		t.Error("a club with boats, athletes and a sheet is led by the hand")
	}
}
