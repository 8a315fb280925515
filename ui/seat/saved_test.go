package seat_test

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

var (
	keptPart = regexp.MustCompile(`(?s)<section class="seatkeep.*?</section>`)
	enterAt  = regexp.MustCompile(`href="([^"]*)">Enter it at the boat`)
)

// TestWhatMovesAtTheBoatIsSaid: Halcyon is on record with a span of 160 cm, an inboard of
// 88.5 cm, oars of 290 cm and the heel at 27 cm.
func TestWhatMovesAtTheBoatIsSaid(t *testing.T) {
	c := uitest.DemoClub(t)
	boat, rower := c.BoatNamed("Halcyon"), c.IdOf("Nell Ashgrove")
	at := fmt.Sprintf("/seat?athlete=%s&rower=Nell&boat=Halcyon&at=%d-1&class=1x&inboard_cm=88.5&oar_length_cm=290", rower, boat.ID)
	for query, want := range map[string]struct{ moves, enter string }{
		"&span_cm=160&heel_to_pin_cm=27": {"", ""},
		"&span_cm=158&heel_to_pin_cm=22": {"Span 160 cm → 158 cm, Stretcher position 27 cm → 22 cm", "seat1_heel_to_pin_cm=22&seat1_span_cm=158&why=For+Nell."},
		// The second set-up is the one that is kept, and what it leaves open stays as the first.
		"&span_cm=158&heel_to_pin_cm=22&b_heel_to_pin_cm=24": {"Span 160 cm → 158 cm, Stretcher position 27 cm → 24 cm", "seat1_heel_to_pin_cm=24&seat1_span_cm=158&why=For+Nell."},
		"&span_cm=158&heel_to_pin_cm=27&b_span_cm=160":       {"", ""},
		// Holes 1.5 cm apart from 12 cm on: the heel at 27 cm is hole 10, hole 8 is 24 cm.
		"&span_cm=160&mark=hole&mark_offset_cm=12&mark_pitch_cm=1.5&heel_to_pin_cm=8":  {"Stretcher position hole 10 → hole 8", "seat1_heel_to_pin_cm=24&why=For+Nell."},
		"&span_cm=160&mark=hole&mark_offset_cm=12&mark_pitch_cm=1.5&heel_to_pin_cm=10": {"", ""},
	} {
		part := html.UnescapeString(keptPart.FindString(c.Opened(at + query)))
		moves := ""
		if _, list, found := strings.Cut(part, "<ul><li>"); found {
			list, _, _ = strings.Cut(list, "</li></ul>")
			moves = strings.ReplaceAll(list, "</li><li>", ", ")
		}
		enter := ""
		if m := enterAt.FindStringSubmatch(part); m != nil {
			enter = strings.TrimPrefix(m[1], fmt.Sprintf("/boats/%d/seats/1?", boat.ID))
		}
		if moves != want.moves || enter != want.enter || (moves == "") != strings.Contains(part, "nothing moves") || !strings.Contains(part, `name="name" value="Halcyon"`) {
			t.Errorf("%s: %q, entered by %q, want %q and %q", query, moves, enter, want.moves, want.enter)
		}
	}
	for name, address := range map[string]string{
		"another class":            fmt.Sprintf("/seat?athlete=%s&at=%d-1&class=2x", rower, boat.ID),
		"a seat that is not there": fmt.Sprintf("/seat?athlete=%s&at=%d-2&class=1x", rower, boat.ID),
		"a boat that is not there": "/seat?athlete=" + rower + "&at=999-1&class=1x",
		"no boat":                  "/seat?athlete=" + rower + "&class=1x",
	} {
		part := keptPart.FindString(c.Opened(address))
		if part == "" || strings.Contains(part, "on record") || strings.Contains(part, "Enter it") {
			t.Errorf("%s: %.400s", name, part)
		}
	}
	if strings.Contains(c.Opened("/seat?class=1x"), "seatkeep") {
		t.Error("kept for nobody")
	}
}

// TestASeatIsSavedShownAndRemoved, in a club without accounts.
func TestASeatIsSavedShownAndRemoved(t *testing.T) {
	c := uitest.DemoClub(t)
	own := "/athletes/" + c.IdOf("Nell Ashgrove")
	form := url.Values{"address": {"/seat?class=1x&span_cm=158"}, "name": {"Single"}, "note": {"after Sunday"}}
	saved := c.Post(own+"/seats", form)
	kept := saved.Header.Get("Location")
	if saved.Status != http.StatusSeeOther || !strings.HasPrefix(kept, own+"/seats/") {
		t.Fatalf("%d to %s", saved.Status, kept)
	}
	shown := c.Get(kept)
	to := shown.Header.Get("Location")
	for _, want := range []string{"span_cm=158", "rower=Nell+Ashgrove", "athlete=" + c.IdOf("Nell Ashgrove"), "saved=" + kept[strings.LastIndexByte(kept, '/')+1:]} {
		if shown.Status != http.StatusSeeOther || !strings.Contains(to, want) {
			t.Errorf("%d to %s, want %s", shown.Status, to, want)
		}
	}
	part := keptPart.FindString(c.Opened(to))
	uitest.WantIn(t, "as saved", part, `name="name" value="Single"`, "Saved ", "Note: after Sunday")
	if strings.Contains(part, "Saved by") || strings.Contains(part, "Sent to") || strings.Contains(part, "Done ") {
		t.Errorf("saved by nobody, not sent: %s", part)
	}
	for name, form := range map[string]url.Values{
		"an address that is no seat": {"address": {"/athletes/1"}, "name": {"Single"}},
		"no name":                    {"address": {"/seat?class=1x"}, "name": {strings.Repeat("x", 400)}},
	} {
		if p := c.Post(own+"/seats", form); p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "This seat was not saved") {
			t.Errorf("%s: %d", name, p.Status)
		}
	}
	if p := c.Post("/athletes/999/seats", url.Values{"address": {"/seat?class=1x"}, "name": {"Single"}}); p.Status != http.StatusNotFound {
		t.Errorf("of nobody: %d", p.Status)
	}
	if p := c.Post(kept+"/remove", nil); p.Status != http.StatusSeeOther {
		t.Errorf("removing: %d", p.Status)
	}
	for _, then := range []string{"", "/send", "/remove"} {
		p := c.Get(kept)
		if then != "" {
			p = c.Post(kept+then, nil)
		}
		if p.Status != http.StatusNotFound && !(then == "/remove" && p.Status == http.StatusSeeOther) {
			t.Errorf("what was removed, %s: %d", then, p.Status)
		}
	}
}

// TestAReadingStaysWhereItWasTaken: the stretcher stood at 22 cm; moved to 24 cm the
// reading belongs to 22 still, and a new one to 24.
func TestAReadingStaysWhereItWasTaken(t *testing.T) {
	site := uitest.NewSite(t)
	body := ""
	heelOf := func(query string) string {
		_, body = uitest.Fetch(t, site, "/seat?class=1x&sex=male&stature_cm=185&"+query)
		return uitest.FormValues(body).Get("read_heel")
	}
	if got := heelOf("heel_to_pin_cm=22&read_finish_cm=60"); got != "22" {
		t.Fatalf("taken at %q", got)
	}
	key := url.QueryEscape(uitest.FormValues(body).Get("read_key"))
	for query, want := range map[string]string{
		"heel_to_pin_cm=24&read_heel=22&read_finish_cm=60&read_key=" + key: "22", "heel_to_pin_cm=24&read_heel=22&read_finish_cm=61&read_key=" + key: "24",
		"heel_to_pin_cm=24&read_heel=x&read_finish_cm=60&read_key=" + key: "24", "heel_to_pin_cm=24&read_heel=22&read_key=" + key: "",
		"heel_to_pin_cm=24&read_heel=22&read_catch_cm=30": "24",
	} {
		if got := heelOf(query); got != want {
			t.Errorf("%s: taken at %q, want %q", query, got, want)
		}
	}
}

// TestALightweightIsHeldAgainstLightweights, and one who is not is not.
func TestALightweightIsHeldAgainstLightweights(t *testing.T) {
	site := uitest.NewSite(t)
	for light, want := range map[string]bool{"yes": true, "no": false} {
		_, body := uitest.Fetch(t, site, "/seat?class=1x&sex=male&stature_cm=180&mass_kg=72&level=championship&light="+light)
		if strings.Contains(body, "crew of lightweights") != want {
			t.Errorf("light=%s: of lightweights %v", light, !want)
		}
	}
}
