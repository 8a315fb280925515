package ui_test

import (
	"net/http"
	"net/url"
	"testing"

	"thole/ui/uitest"
)

// TestFormerAddressesLeadOn holds that bookmarks keep their query, under the
// present names.
func TestFormerAddressesLeadOn(t *testing.T) {
	c := uitest.DemoClub(t)
	for from, to := range map[string]string{
		"/orders":                              "/line-ups",
		"/orders?class=8%2B&beside=2.3":        "/line-ups?class=8%2B&compare=2.3",
		"/orders?trial=7&likeness=0,7":         "/line-ups?race=7&likeness=0,7",
		"/orders/saved/3":                      "/line-ups/saved/3",
		"/strokes":                             "/recordings",
		"/strokes/5?share=40":                  "/recordings/5?share=40",
		"/strokes/import/AB12/7":               "/recordings/import/AB12/7",
		"/trials":                              "/seat-races",
		"/trials?archived=yes":                 "/seat-races?archived=yes",
		"/trials/new?squad=Ann%0ABea&trial=2":  "/seat-races/new?squad=Ann%0ABea&race=2",
		"/trials/12/coach":                     "/seat-races/12/coach",
		"/api/v1/trials/12/power?prior=coach":  "/api/v1/seat-races/12/power?prior=coach",
		"/trials/12?view=absolute&prior=coach": "/seat-races/12?view=absolute&prior=coach",
	} {
		p := c.Get(from)
		if p.Status != http.StatusPermanentRedirect || p.Header.Get("Location") != to {
			t.Errorf("%s: %d to %q, want %q", from, p.Status, p.Header.Get("Location"), to)
		}
	}
	uitest.WantIn(t, "line-ups", c.Opened(c.Get("/orders?class=4x&beside=2").Header.Get("Location")), "compare=")
}

// TestTimesHeldForAFormerAddressAreSentOn keeps the method, and with it what a
// phone held back for want of a connection.
func TestTimesHeldForAFormerAddressAreSentOn(t *testing.T) {
	c := uitest.DemoClub(t)
	p := c.Post("/trials/1/pieces/2", url.Values{"key": {"k"}})
	if p.Status != http.StatusPermanentRedirect || p.Header.Get("Location") != "/seat-races/1/pieces/2" {
		t.Errorf("%d to %q", p.Status, p.Header.Get("Location"))
	}
}
