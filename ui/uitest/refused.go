package uitest

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// FormTo cuts out the form of a page that is sent to an address.
func FormTo(t testing.TB, body, address string) string {
	t.Helper()
	_, rest, found := strings.Cut(body, ` method="post" action="`+address+`"`)
	form, _, ended := strings.Cut(rest, "</form>")
	if !found || !ended {
		t.Fatalf("no form to %s", address)
	}
	return form
}

// Refused changes fields of the form that a page sends to an address, in pairs of name
// and value, and fails unless it comes back, as a page and as a fragment, with all that
// was typed, the complaint at its field and the field in focus.
func (c *ClubSite) Refused(page, to, field, says string, change ...string) {
	c.T.Helper()
	form := Filled(FormValues(FormTo(c.T, c.Opened(page), to)), change...)
	for _, headers := range [][]string{nil, {ByHTMX}} {
		p := c.Post(to, form, headers...)
		if p.Status != http.StatusUnprocessableEntity {
			c.T.Errorf("%s %v: status %d", to, change, p.Status)
			continue
		}
		WantIn(c.T, to, p.Body, says, `id="e-`+field+`"`)
		if whole := strings.Contains(p.Body, "<!doctype"); whole == (len(headers) > 0) {
			c.T.Errorf("%s: a page to htmx or a fragment to a plain form", to)
		}
		kept := FormValues(FormTo(c.T, p.Body, to))
		for name := range form {
			if name != "once" && kept.Get(name) != form.Get(name) {
				c.T.Errorf("%s: %s was %q, came back %q", to, name, form.Get(name), kept.Get(name))
			}
		}
		if focus := focused.FindAllString(p.Body, -1); field != "boat_class" && (len(focus) != 1 || !strings.Contains(focus[0], `id="`+field+`"`)) {
			c.T.Errorf("%s %v: focus on %q", to, change, focus)
		}
	}
}

var focused = regexp.MustCompile(`<[^>]* autofocus`)
