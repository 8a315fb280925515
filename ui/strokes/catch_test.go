package strokes_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// TestTheCatchIsTried goes from the page as it opens, by its links, and holds
// that a link restores what it was made from.
func TestTheCatchIsTried(t *testing.T) {
	c := uitest.NewClub(t)
	status, body := c.Look("/catch")
	uitest.WantIn(t, "page", body, "Blade path", "When to start it down", "Pulled as hard as now", "Best start", "Not in the model")
	if status != http.StatusOK || strings.Contains(body, "NaN") {
		t.Fatalf("%d", status)
	}
	link := regexp.MustCompile(`href="(/catch\?[^"]*)">25 ms later`).FindStringSubmatch(body)
	if link == nil {
		t.Fatal("no link to a later moment")
	}
	_, moved := c.Look(strings.ReplaceAll(link[1], "&amp;", "&"))
	if form := uitest.AsShown(t, moved); form.Get("moment_ms") != "−25" || form.Get("height_cm") != "5" || form.Get("boat_class") != "1x" {
		t.Errorf("%v", form)
	}
	form := uitest.AsShown(t, moved)
	if status, again := c.Look("/catch?" + form.Encode()); status != http.StatusOK || uitest.AsShown(t, again).Encode() != form.Encode() {
		t.Errorf("the form does not restore itself: %d", status)
	}
	status, body = c.Look("/catch?height_cm=high")
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, "is not a number") {
		t.Errorf("%d", status)
	}
	status, body = c.Look("/catch?moment_ms=900")
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, "Starts down, against the reversal</a>: 900 ms cannot be right: the plausible range is −400 to 120 ms.") || uitest.AsShown(t, body).Get("moment_ms") != "900" {
		t.Errorf("%d", status)
	}
	if _, csv := c.Look("/catch?csv=costs"); !strings.Contains(csv, "Starts down, ms") {
		t.Errorf("%.100s", csv)
	}
}

// TestFirstOnThePage holds what comes first on a rower's page: the sentence, the
// prices, the drawing with every mark, and what it rests on.
func TestFirstOnThePage(t *testing.T) {
	c := uitest.DemoClub(t)
	_, body := c.Look("/recordings/5")
	uitest.WantIn(t, "page", body, "First the reach", "of the arc does no work", "Pulled as hard as now:", "At the same power:", "Too deep.",
		"Not in the model:", "fades into the rest over 15°", "Speed that matches the water")
	for _, name := range []string{"reach", "touches", "covered", "holds", "release", "out"} {
		if !strings.Contains(body, ">"+name+"</text>") {
			t.Errorf("no mark %s", name)
		}
	}
	_, main, _ := strings.Cut(body, "<main") // places in the frame have marks of their own
	if at := strings.Index(main, `id="first-h"`); at < 0 || at > strings.Index(main, "<svg") {
		t.Error("what comes first is not before the first drawing")
	}
	_, body = c.Look("/recordings/5?basis=force&catch_n=200&release_n=100")
	uitest.WantIn(t, "other thresholds", body, "200 N at the catch, 100 N at the release, of each oar", "after the force has gone (30 % of peak force)")
	_, body = c.Look("/recordings/5?boat=typed&class=1x&side=port")
	uitest.WantIn(t, "typed rig", body, "Assumed:")
}
