package ergometer_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"thole/api/records"
	"thole/ui/uitest"
)

// TestTheCoachSaysAndTheTableShows goes the whole way by plain forms: a test, an
// opinion with a slip, the same put right, the table, and the opinion removed.
func TestTheCoachSaysAndTheTableShows(t *testing.T) {
	c := uitest.NewClub(t)
	today := time.Now().Format(time.DateOnly)
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader("name,sculls,mass_kg,test_date,test_distance_m,test_time\nAnn,yes,70,"+today+",2000,7:00.0\nDot,yes,66,,,\n"), "Ines"); err != nil {
		t.Fatal(err)
	}
	list, err := c.Service.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	dot := strconv.FormatInt(list.Athletes[1].ID, 10)
	body := c.Opened("/squad/evidence")
	uitest.WantIn(t, "before", text(body), "0 of 1 figures rest on more than tests", "Ann 302 ± 11", "1 test", "Nothing known", "Dot")

	form := url.Values{"athlete": {""}, "power_w": {"3000"}, "sd_w": {"12"}, "said_on": {today}, "note": {"calm"}, "by": {"Ines"}}
	p := c.Post("/squad/evidence", form)
	uitest.WantIn(t, "a slip", p.Body, "Choose an athlete.", `value="3000"`, `value="calm"`)
	form.Set("athlete", dot)
	p = c.Post("/squad/evidence", form)
	uitest.WantIn(t, "another", p.Body, "3000 W cannot be right: the plausible range is 20 to 1000 W.", `<option value="`+dot+`" selected`)
	form.Set("power_w", "310")
	uitest.GoesTo(t, c.Post("/squad/evidence", form), "/squad/evidence")
	body = c.Opened("/squad/evidence")
	uitest.WantIn(t, "after", text(body), "1 of 2 figures", "Dot 310 ± 12", "Ines, ", "○ open", "Dot: 310 ± 12 W, Ines", ": calm")

	_, rest, _ := strings.Cut(body, `action="/squad/evidence/`+dot)
	address, _, _ := strings.Cut(rest, `"`)
	if p := c.Post("/squad/evidence/"+dot+address, url.Values{}); p.Status != http.StatusSeeOther {
		t.Errorf("removed: %d", p.Status)
	}
	uitest.WantIn(t, "removed", text(c.Opened("/squad/evidence")), "0 of 1 figures")
	uitest.WantIn(t, "as a file", c.Get("/squad/evidence?csv=evidence").Body, "Joined, W")
}

// text is a page without its markup.
func text(body string) string {
	var out strings.Builder
	inside := false
	for _, r := range body {
		switch {
		case r == '<':
			inside = true
			out.WriteByte(' ')
		case r == '>':
			inside = false
		case !inside:
			out.WriteRune(r)
		}
	}
	return strings.Join(strings.Fields(out.String()), " ")
}
