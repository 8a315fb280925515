package setup_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// seatedForm is the form of the seated check at a seat as the page holds it.
func seatedForm(t *testing.T, body string, seat int) url.Values {
	t.Helper()
	_, rest, ok := strings.Cut(body, fmt.Sprintf(`id="check-%d"`, seat))
	if !ok {
		t.Fatalf("no seated check at seat %d", seat)
	}
	form, _, _ := strings.Cut(rest, "</form>")
	return uitest.FormValues(form)
}

func TestTheSeatedCheckByPlainForm(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Eight())
	before := c.SheetAt(address)
	body := c.Opened(address)
	wantAll(t, body, fmt.Sprintf(`%.1f <small>cm</small>`, before.Seats[3].Planned.Proof.FinishCm), "Full reach, to the stern", fmt.Sprintf(`<td class="num proof" data-m="rig">%.1f</td>`, before.Seats[3].Planned.Proof.CatchCm))
	form := seatedForm(t, body, 4)
	form.Set("finish_cm", "49,5")
	form.Set("catch_cm", "75")
	form.Set("by", "Bram")
	for range 2 { // sent twice, as by Back and Send
		p := c.Post(address+"/arcs", form)
		if p.Status != http.StatusSeeOther || p.Header.Get("Location") != address+"#check-4" {
			t.Fatalf("%d %s", p.Status, p.Header.Get("Location"))
		}
	}
	after := c.SheetAt(address)
	if n := len(after.Seats[3].Readings); n != 1 {
		t.Errorf("%d readings", n)
	}
	var was, now float64
	for i, l := range after.Seats[3].Lines {
		if l.Setting == "heel_to_pin_cm" {
			was, now = before.Seats[3].Lines[i].Target, l.Target
		}
	}
	if now >= was {
		t.Errorf("the handle stood too far to the stern, and the stretcher goes from %g to %g", was, now)
	}
	wantAll(t, c.Opened(address), "finish 49.5 cm", fmt.Sprintf("stretcher to %g cm", now))
}

func TestTheSeatedCheckRefused(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Single())
	for value, text := range map[string]string{"far": "is not a number", "0.5": "cannot be right", "": "give what was read"} {
		form := seatedForm(t, c.Opened(address), 1)
		form.Set("finish_cm", value)
		form.Set("by", "Bram")
		p := c.Post(address+"/arcs", form)
		if p.Status != http.StatusUnprocessableEntity || !strings.Contains(strings.ToLower(p.Body), text) || value != "" && !strings.Contains(p.Body, `value="`+value+`"`) {
			t.Errorf("%q: %d", value, p.Status)
		}
	}
	if n := len(c.SheetAt(address).Seats[0].Readings); n != 0 {
		t.Errorf("%d readings kept", n)
	}
}

// TestSetupPageSheetPageAndInterfaceSayTheSameVerdict reads the words on both
// pages.
func TestSetupPageSheetPageAndInterfaceSayTheSameVerdict(t *testing.T) {
	c := uitest.DemoClub(t)
	q := c.Eight()
	q.Set("h2_heel_to_pin_cm", "13") // one that is off
	q.Set("s5", "")
	q.Set("s5", "Visitor")
	q.Set("s5_mass_kg", "80") // one of whom the height is not known
	setupPage, sheet := c.Opened("/setup?"+q.Encode()), c.Made(q)
	sheetPage := c.Opened(sheet)
	words := map[string]string{"on_target": "on target", "nearly": "nearly", "off": "off", "measure_first": "measure first"}
	seen := map[string]bool{}
	for _, s := range c.SheetAt(sheet).Seats {
		word := words[s.Planned.Verdict.Verdict]
		seen[word] = true
		_, row, _ := strings.Cut(setupPage, fmt.Sprintf(`<tr id="seat-%d"`, s.Number))
		row, _, _ = strings.Cut(row, "</tr>")
		_, section, _ := strings.Cut(sheetPage, fmt.Sprintf(`workseat" id="seat-%d"`, s.Number))
		section, _, _ = strings.Cut(section, "</section>")
		if !strings.Contains(row, "</span> "+word) || !strings.Contains(section, "</span> "+word+":") {
			t.Errorf("seat %d: %q is not on both pages\n%s", s.Number, word, row)
		}
	}
	if !seen["off"] || !seen["on target"] || !seen["measure first"] {
		t.Errorf("verdicts seen: %v", seen)
	}
	wantAll(t, setupPage, "Seat 5, Visitor: height unknown, ±", "Measure it before you move anything", "measure first: height", "by hand")
	if strings.Index(setupPage, "Not known well enough") > strings.Index(setupPage, `<table class="seatwork">`) {
		t.Error("what is not known is said after the moves")
	}
	wantAll(t, sheetPage, "height first: sheet follows")
}
