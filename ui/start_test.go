package ui_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// TestTheFirstStepsEndWithTheFirstSheet: the path leads on as things come on record,
// and a club that has everything does not see it.
func TestTheFirstStepsEndWithTheFirstSheet(t *testing.T) {
	c := uitest.NewClub(t)
	uitest.WantIn(t, "nothing yet", c.Opened("/"), "First steps", `href="/squad/import">Your squad`, `href="/boats/import">Your boats`, `href="/setup">A set-up`)
	c.Upload("list.csv", "Name\nAnn Lee\n") // a look alone changes nothing
	if strings.Contains(c.Opened("/"), "Your squad: done") {
		t.Error("done without an athlete")
	}
	uitest.GoesTo(t, c.Post("/athletes", url.Values{"family_name": {"Lee"}, "by": {"Ines"}}), "/athletes/1")
	uitest.WantIn(t, "an athlete", c.Opened("/"), "Your squad: done", `href="/boats/import">Your boats`)
	d := uitest.DemoClub(t)
	uitest.WantIn(t, "no sheet yet", d.Opened("/"), "Your squad: done", "Your boats: done", `href="/setup">A set-up`)
	d.Made(d.Eight())
	if strings.Contains(d.Opened("/"), "First steps") {
		t.Error("a club with boats, athletes and a sheet is led by the hand")
	}
}

// TestExamplesComeAndGoFromTheStartPage: they are offered while nothing is on record,
// named as examples wherever they are listed, take no step of the path, and go as
// a whole from the start page.
func TestExamplesComeAndGoFromTheStartPage(t *testing.T) {
	c := uitest.NewClub(t)
	uitest.WantIn(t, "nothing yet", c.Opened("/"), "Load the examples")
	uitest.GoesTo(t, c.Post("/examples", nil), "/")
	start := c.Opened("/")
	uitest.WantIn(t, "loaded", start, "Examples are loaded: 10 athletes, 3 boats", `href="/examples/remove"`, `href="/squad/import">Your squad`)
	if strings.Contains(start, "Load the examples") {
		t.Error("offered twice")
	}
	for _, list := range []string{"/athletes", "/boats", "/oars"} {
		uitest.WantIn(t, list, c.Opened(list), "<em>example</em>")
	}
	if p := c.Post("/examples", nil); p.Status != http.StatusConflict || !strings.Contains(p.Body, "loaded already") {
		t.Errorf("loaded twice: %d", p.Status)
	}
	uitest.GoesTo(t, c.Post("/athletes", url.Values{"family_name": {"Lee"}, "by": {"Ines"}}), "/athletes/11")
	uitest.WantIn(t, "asked", c.Opened("/examples/remove"), "10 athletes, 3 boats, 2 sets of oars and 0 work sheets", "What you entered yourself stays")
	uitest.GoesTo(t, c.Post("/examples/remove", nil), "/")
	if left := c.Opened("/"); strings.Contains(left, "Examples are loaded") || strings.Contains(left, "Load the examples") || !strings.Contains(left, "Your squad: done") {
		t.Error("the start page does not stand as before")
	}
	if athletes := c.Opened("/athletes"); !strings.Contains(athletes, ">Lee</a>") || strings.Contains(athletes, "example") {
		t.Error("the club's own athlete is not alone")
	}
}

// TestEveryEmptyListSaysWhatToDo: a page with nothing to list says so in a
// sentence, with a link to what fills it.
func TestEveryEmptyListSaysWhatToDo(t *testing.T) {
	c, told := uitest.NewClub(t), regexp.MustCompile(`(?s)<p class="told[^"]*">(.*?)</p>`)
	for _, list := range []string{"/athletes", "/squads", "/boats", "/oars", "/sheets", "/squad", "/recordings/squad", "/setup", "/recordings", "/recordings/compare", "/line-ups", "/line-ups/saved", "/seat-races"} {
		p := c.Get(list)
		if p.Status != http.StatusOK {
			t.Errorf("%s: %d", list, p.Status)
			continue
		}
		said := false
		for _, m := range told.FindAllStringSubmatch(p.Body, -1) {
			said = said || strings.Contains(m[1], "<a ")
		}
		if !said {
			t.Errorf("%s: nothing says what to do", list)
		}
	}
}
