package ui_test

import (
	"net/url"
	"testing"

	"thole/ui/uitest"
)

// printedSteps says of every next step on the page: what is printed of it, and
// what it says in full, but for links at its end that are marked for the screen.
const printedSteps = `[...document.querySelectorAll(".next")].map((step) => {
	const plain = (text) => text.replace(/\s+/g, " ").trim();
	const whole = step.cloneNode(true);
	const last = whole.lastElementChild;
	if (last?.matches(".screen") && !plain(last.nextSibling?.textContent ?? "")) last.remove();
	return [plain(step.checkVisibility() ? step.innerText : ""), plain(whole.textContent)];
})`

// TestNextStepsArePrintedWholeOrNotAtAll goes through every page with a next
// step.
func TestNextStepsArePrintedWholeOrNotAtAll(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Show("light", 1280)
	b.Medium("print")
	found, printed := 0, 0
	for _, path := range []string{
		"/seat", "/seat?class=1x&catch_deg=60&finish_deg=44",
		"/squad", "/line-ups?class=" + url.QueryEscape("8+"), "/line-ups/saved",
	} {
		b.Open(c.URL + path)
		steps := uitest.Ask[[][2]string](b, printedSteps)
		if len(steps) == 0 {
			t.Errorf("%s has no next step", path)
		}
		for _, s := range steps {
			found++
			if s[0] == "" {
				continue
			}
			printed++
			if s[0] != s[1] {
				t.Errorf("%s: printed\n%q of\n%q", path, s[0], s[1])
			}
		}
	}
	if printed < 2 || found == printed {
		t.Errorf("%d of %d next steps are printed", printed, found)
	}
}

// TestTheSetupIsPrintedWithoutItsForm: boxes to type in and buttons are of no use
// on paper, and what was set by hand is.
func TestTheSetupIsPrintedWithoutItsForm(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Show("light", 1280)
	b.Medium("print")
	q := c.Eight()
	q.Set("h1_gate_height_cm", "15.5")
	b.Open(c.URL + "/setup?" + q.Encode())
	const visible = ".filter((e) => e.checkVisibility()).length"
	if n := uitest.Ask[int](b, "[...document.querySelectorAll('button, .make')]"+visible); n != 0 {
		t.Errorf("%d buttons on paper", n)
	}
	if n := uitest.Ask[int](b, "[...document.querySelectorAll('.planrows .entry')].filter((e) => e.checkVisibility() && getComputedStyle(e).borderTopWidth !== '0px').length"); n != 0 {
		t.Errorf("%d boxes on paper", n)
	}
	if n := uitest.Ask[int](b, "[...document.querySelectorAll('.planrows')]"+visible); n != 1 {
		t.Errorf("%d tables of settings on paper, want that of the seat set by hand", n)
	}
	ink := uitest.Ask[[]string](b, `(() => { const e = document.querySelector(".planrows input"); e.value = "15.5"; return [getComputedStyle(e).color, getComputedStyle(e, "::placeholder").color, String(e.checkVisibility())]; })()`)
	if ink[0] != "rgb(0, 0, 0)" || ink[1] != "rgba(0, 0, 0, 0)" || ink[2] != "true" {
		t.Errorf("a value set by hand, an empty box, and whether it is there: %q", ink)
	}
	b.Open(c.URL + "/setup?" + c.Eight().Encode())
	if n := uitest.Ask[int](b, "[...document.querySelectorAll('.planrows')]"+visible); n != 0 {
		t.Errorf("%d tables of settings on paper where nothing is set by hand", n)
	}
	if n := uitest.Ask[int](b, "[...document.querySelectorAll('.seatwork tbody tr')]"+visible); n != 8 {
		t.Errorf("%d rows of seats on paper", n)
	}
}
