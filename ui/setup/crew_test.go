package setup_test

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/ui/uitest"
)

// setAsSheetSays measures every move of the sheet on its target and finishes it.
func setAsSheetSays(c *uitest.ClubSite, address string) {
	c.T.Helper()
	h := c.SheetAt(address)
	for _, s := range h.Seats {
		for i, l := range s.Lines {
			if l.Moves {
				form := reading(l, fmt.Sprint(l.Target))
				form.Set("key", fmt.Sprint(s.Number, i))
				c.Post(address+"/readings", form)
			}
		}
	}
	p := c.Post(address+"/finish", url.Values{"boat_version": {fmt.Sprint(h.BoatNow)}, "by": {"Bram"}, "anyway": {"1"}})
	if p.Status != http.StatusSeeOther {
		c.T.Fatalf("not finished: %d %.500s", p.Status, p.Body)
	}
}

// linkTo is the address of the link with a text.
func linkTo(t *testing.T, body, text string) string {
	t.Helper()
	found := regexp.MustCompile(`<a href="([^"]*)">` + regexp.QuoteMeta(text) + `</a>`).FindStringSubmatch(body)
	if found == nil {
		t.Fatalf("no link %q", text)
	}
	return html.UnescapeString(found[1])
}

func TestTheBoatKnowsItsCrew(t *testing.T) {
	c := uitest.DemoClub(t)
	q := c.Eight()
	start := fmt.Sprintf("/setup?boat=%s", q.Get("boat"))
	if first := c.Opened(start); strings.Contains(first, `class="seatwork"`) || strings.Contains(first, "The usual crew of") {
		t.Fatal("somebody rows before anybody was named")
	}
	q.Set("s8", "Visitor")
	q.Set("s8_stature_cm", "184")
	whole := c.Opened("/setup?" + q.Encode())
	if wantAll(t, whole, "Make this the usual crew of Nightjar"); strings.Contains(whole, "set every seat</a>") {
		t.Error("some seats alone are said to be set")
	}
	if p := c.Post("/setup/crew", url.Values{"setup": {q.Encode()}}); p.Status != http.StatusSeeOther || !strings.HasPrefix(p.Header.Get("Location"), "/setup?") {
		t.Fatalf("%d %s", p.Status, p.Header.Get("Location"))
	}
	body := c.Opened(start)
	wantAll(t, body, "7 rowers", "The usual crew of Nightjar. Change who is not in the boat today.", `value="Lotte Brandvold"`, "A substitute")
	for _, said := range []string{"Visitor", "Make this the usual crew"} { // guests are nobody's usual crew
		if strings.Contains(body, said) {
			t.Errorf("says %q", said)
		}
	}
	if strings.Contains(c.Opened(start+"&job=everyday"), "Lotte Brandvold\" list") {
		t.Error("seats that were emptied are filled again")
	}
	if p := c.Post("/setup/crew", url.Values{"setup": {"boat=" + q.Get("boat")}}); p.Status != http.StatusSeeOther {
		t.Errorf("the crew that was seated: %d", p.Status)
	}
	if p := c.Post("/setup/crew", url.Values{"setup": {"boat=999"}}); p.Status != http.StatusUnprocessableEntity {
		t.Errorf("no boat: %d", p.Status)
	}
}

// TestASubstituteIsOneChoice: the seat and who rows instead; the answer and the sheet
// are the difference alone, to the targets that the boat was set to.
func TestASubstituteIsOneChoice(t *testing.T) {
	c := uitest.DemoClub(t)
	q := c.Eight()
	q.Set("catch_deg", "51.5")
	setAsSheetSays(c, c.Made(q))
	q.Del("catch_deg")
	q.Set("h5_gate_height_cm", "17")
	p := c.Get("/setup/substitute?" + url.Values{"setup": {q.Encode()}, "seat": {"5"}, "name": {"Emre Saltan"}}.Encode())
	to, err := url.Parse(p.Header.Get("Location"))
	if err != nil || p.Status != http.StatusSeeOther || to.Query().Get("only") != "5" || to.Query().Get("s5") != "Emre Saltan" || to.Query().Get("catch_deg") != "51.5" || to.Query().Has("h5_gate_height_cm") {
		t.Fatalf("%d %s", p.Status, p.Header.Get("Location"))
	}
	for seat, want := range map[string]int{"0": 400, "1": 303, "x": 400} { // seats count from the bow, from 1
		if p := c.Get("/setup/substitute?" + url.Values{"setup": {q.Encode()}, "seat": {seat}, "name": {"Emre Saltan"}}.Encode()); p.Status != want {
			t.Errorf("seat %s: %d, want %d", seat, p.Status, want)
		}
	}
	body := c.Opened(to.String())
	wantAll(t, body, "Seat 5, Emre Saltan: stretcher", "The rest stays.", "only seat 5", `name="only" value="5"`)
	if n := strings.Count(body, `class="nil">stays</span></td>`) + strings.Count(body, `<span class="nil">stays</span>`); n < 7 {
		t.Errorf("%d seats stay", n)
	}
	address := c.Made(to.Query())
	h := c.SheetAt(address)
	if len(h.Seats) != 1 || h.Seats[0].Number != 5 || len(h.Staying) != 7 {
		t.Fatalf("%d seats on the sheet, %v stay", len(h.Seats), h.Staying)
	}
	sheet := c.Opened(address)
	wantAll(t, sheet, "Nightjar, eight, seat 5 alone", "The other seats stay as they are.", "the others stay as they are")
	if strings.Contains(sheet, "Lotte Brandvold") {
		t.Error("the sheet holds a seat that stays")
	}
	whole := c.Opened(linkTo(t, body, "set every seat"))
	if strings.Contains(whole, "only seat 5") || strings.Contains(whole, "The rest stays") {
		t.Error("not every seat is set")
	}
	for name, asked := range map[string]url.Values{"no seat": {"setup": {q.Encode()}, "name": {"X"}}, "no set-up": {"setup": {"%zz"}, "seat": {"5"}, "name": {"X"}}} {
		if p := c.Get("/setup/substitute?" + asked.Encode()); p.Status != http.StatusBadRequest {
			t.Errorf("%s: %d", name, p.Status)
		}
	}
	nobody := c.Get("/setup/substitute?" + url.Values{"setup": {q.Encode()}, "seat": {"5"}, "name": {"Nobody Known"}}.Encode())
	if p := c.Get(nobody.Header.Get("Location")); p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "Nobody of this name is on record") {
		t.Errorf("somebody unknown: %d", p.Status)
	}
}

// TestTheLastSetupIsBroughtBack after somebody moved the boat.
func TestTheLastSetupIsBroughtBack(t *testing.T) {
	c := uitest.DemoClub(t)
	q := c.Eight()
	if strings.Contains(c.Opened("/setup?"+q.Encode()), "ast set for this crew") {
		t.Error("it was never set for this crew")
	}
	setAsSheetSays(c, c.Made(q))
	wantAll(t, c.Opened("/setup?"+q.Encode()), "The boat stands as it was last set for this crew: sheet 1,")
	mine := c.BoatNamed("Nightjar")
	other := mine.Seats[2].Seat.Setting("heel_to_pin_cm")
	moved := *other + 4
	if _, err := c.Service.Fleet.UpdateRig(t.Context(), fleet.RigEdit{ID: mine.ID, Version: mine.Version, By: "Cleo", Settings: []fleet.RigSetting{{Seat: 3, Setting: "heel_to_pin_cm", Value: &moved}}}); err != nil {
		t.Fatal(err)
	}
	body := c.Opened("/setup?" + q.Encode())
	wantAll(t, body, "1 setting has changed since.")
	again := c.Opened(linkTo(t, body, "Use that again"))
	wantAll(t, again, "1 move in 1 seat", "stretcher 40 mm to the bow")
	h := c.SheetAt(c.Made(queryOf(t, linkTo(t, body, "Use that again"))))
	if l := moving(h); h.ToDo != 1 || l.Seat != 3 || l.Target != *other {
		t.Errorf("%d moves, seat %d to %g, want %g", h.ToDo, l.Seat, l.Target, *other)
	}
}

func queryOf(t *testing.T, address string) url.Values {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	return u.Query()
}
