package ui_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/records"
	"thole/ui/uitest"
)

// formTo returns the values of the form on a page that is sent to an address.
func formTo(t *testing.T, c *uitest.ClubSite, page, address string) url.Values {
	t.Helper()
	_, rest, found := strings.Cut(c.Opened(page), `method="post" action="`+address+`"`)
	form, _, _ := strings.Cut(rest, "</form>")
	values := uitest.FormValues(form)
	if !found || len(values.Get("once")) < 20 {
		t.Fatalf("%s has no form to %s with a key: %v", page, address, values)
	}
	values.Set("by", "Ines")
	return values
}

// TestAFormSentTwiceCountsOnce sends forms of several areas twice, as a finger that
// taps twice does, without a script and with it.
func TestAFormSentTwiceCountsOnce(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, f := range []struct {
		name, page, address string
		values              []string
		count               string // the page on which what was made can be counted
		mark                string
	}{
		{"athlete", "/athletes/new", "/athletes", []string{"name", "Zora Quill"}, "/athletes?archived=1", "Zora Quill</a>"},
		{"measures", "/athletes/1", "/athletes/1/measures", []string{"measured_on", "2026-01-31", "stature_cm", "171.3", "measured_by", "Ines"}, "/athletes/1", "171.3"},
		{"squad", "/squads", "/squads", []string{"name", "Quills"}, "/squads", ">Quills<"},
		{"boat", "/boats/new", "/boats", []string{"name", "Quillwort", "boat_class", "1x"}, "/boats", "Quillwort"},
		{"line-up", "", "/line-ups/save", []string{"name", "Quills", "class", "4-", "seats", "...", "sides", "port.starboard.port.starboard"}, "/line-ups/saved", "Quills"},
		{"sheet", "", "/sheets", []string{"setup", c.Single().Encode(), "boat_version", fmt.Sprint(c.BoatNamed("Halcyon").Version)}, "/sheets", `href="/sheets/`},
		{"seat race", "", "/seat-races", []string{
			"name", "Quills", "boat_class", "2x", "squad", "Ann\nBea\nCat\nDot", "pieces", "4", "pairs", "Ann / Cat", "held_on", "2026-03-14",
		}, "/seat-races", "Quills"},
	} {
		before := strings.Count(c.Opened(f.count), f.mark)
		form := uitest.Filled(url.Values{"once": {"a key of its own " + f.name}, "by": {"Ines"}}, f.values...)
		if f.page != "" {
			form = uitest.Filled(formTo(t, c, f.page, f.address), f.values...)
		}
		first := c.Post(f.address, form)
		again := c.Post(f.address, form)
		scripted := c.Send(http.MethodPost, f.address, form, uitest.ByHTMX)
		if first.Status >= 400 || again.Status != http.StatusSeeOther || scripted.Status != http.StatusNoContent {
			t.Errorf("%s: %d, again %d, by a script %d: %.300s", f.name, first.Status, again.Status, scripted.Status, first.Body)
		}
		if to := first.Header.Get("Location"); to != "" && (!strings.HasPrefix(to, again.Header.Get("Location")) || !strings.HasPrefix(to, scripted.Header.Get("HX-Redirect"))) {
			t.Errorf("%s: led to %s, again to %s, by a script to %s", f.name, to, again.Header.Get("Location"), scripted.Header.Get("HX-Redirect"))
		}
		after := strings.Count(c.Opened(f.count), f.mark)
		if after <= before {
			t.Errorf("%s: %d times, before %d: %d", f.name, after, before, first.Status)
		}
		form.Set("once", "another key")
		if c.Post(f.address, form); strings.Count(c.Opened(f.count), f.mark) < after {
			t.Errorf("%s: %d times", f.name, strings.Count(c.Opened(f.count), f.mark))
		}
	}
	list, err := c.Service.Club.Measures(t.Context(), records.IDRequest{ID: 1})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, m := range list.Measures {
		if m.MeasuredOn == "2026-01-31" {
			n++
		}
	}
	if n != 2 { // the second under the other key
		t.Errorf("%d measures of the day", n)
	}
}
