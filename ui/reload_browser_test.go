package ui_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"thole/ui/uitest"
)

// Keys as the browser driver names them.
const (
	arrowDown = "\u0301"
	arrowUp   = "\u0304"
	tabKey    = "\t"
	enterKey  = "\r"
)

// TestStepsThroughAListOpenNothing walks through a list whose choice opens the
// page again, with keys.
func TestStepsThroughAListOpenNothing(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Show("light", 1280)
	b.Open(site.URL + "/seat?class=1x&age_years=31")
	b.Stays()
	uitest.Ask[any](b, "document.getElementById('class').focus()")
	for _, want := range []string{"2x", "4x"} {
		b.Strike(arrowDown)
		b.Still("arrow to " + want)
		if got := b.Value("#class"); got != want || b.Focused() != "class" {
			t.Fatalf("after an arrow: %q in %s, want %q", got, b.Focused(), want)
		}
	}
	if hint := b.Text("#class + [role=status]"); !strings.Contains(hint, "Enter") {
		t.Errorf("hint %q", hint)
	}
	b.Strike("2")
	b.Still("a letter")
	if got := b.Value("#class"); got != "2-" && got != "2+" {
		t.Fatalf("after a letter: class %q, want a pair", got)
	}
	// The pair has a spread, the fields a span: an answer for it would find no place.
	time.Sleep(700 * time.Millisecond)
	if problems := b.Errors(); len(problems) > 0 {
		t.Errorf("while a pair waits: %v", problems)
	}

	b.Strike(enterKey)
	b.Until("!window.stays && document.readyState === 'complete'")
	if got := b.Value("#class"); !strings.HasPrefix(got, "2") || b.Value("#age_years") != "31" || b.Focused() != "class" {
		t.Errorf("after Enter: class %q, age %q, focus %q", got, b.Value("#age_years"), b.Focused())
	}
}

// TestLeavingAListOpensItsChoice also holds that the focus gets to where it was
// going, and that steps there and back open nothing.
func TestLeavingAListOpensItsChoice(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Show("light", 1280)
	b.Open(site.URL + "/seat?class=1x")
	b.Stays()
	uitest.Ask[any](b, "document.getElementById('class').focus()")
	b.Strike(tabKey)
	next := b.Focused()
	uitest.Ask[any](b, "document.getElementById('class').focus()")
	b.Strike(arrowDown, arrowUp)
	if n := uitest.Ask[int](b, "document.querySelectorAll('#class + [role=status]').length"); n != 0 {
		t.Error("the hint stays although nothing is chosen")
	}
	b.Strike(tabKey)
	b.Still("there and back")

	uitest.Ask[any](b, "document.getElementById('class').focus()")
	b.Strike(arrowDown, tabKey)
	b.Until("!window.stays && document.readyState === 'complete'")
	if got := b.Value("#class"); got != "2x" || next == "" || b.Focused() != next {
		t.Errorf("after leaving: class %q, focus %q, want %q", got, b.Focused(), next)
	}
	b.Stays()
	b.Strike(tabKey, tabKey)
	b.Still("going on")
}

// TestAChoiceFromAnOpenListOpensThePage opens the list with the mouse and
// chooses from it, which is one choice whatever led there.
func TestAChoiceFromAnOpenListOpensThePage(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Show("light", 1280)
	for path, list := range map[string]string{"/seat?class=1x": "class", "/setup": "boat", "/sheets": "boat", "/line-ups?class=1x": "class", "/seat-races/new": "boat_class"} {
		b.Open(c.URL + path)
		was := b.Value("#" + list)
		b.Stays()
		b.Do(chromedp.Click(chromedp.CSS("#" + list)))
		b.Strike(arrowDown, enterKey)
		b.Until("!window.stays && document.readyState === 'complete'")
		if got := b.Value("#" + list); got == was || !strings.Contains(uitest.Ask[string](b, "location.search"), list+"="+url.QueryEscape(got)) {
			t.Errorf("%s: %q, was %q, at %s", path, got, was, uitest.Ask[string](b, "location.search"))
		}
	}
}

// TestReloadingFormsHaveAButton: without a script it is what follows the choice.
func TestReloadingFormsHaveAButton(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, path := range []string{"/seat", "/setup", "/setup?boat=9", "/sheets", "/line-ups", "/seat-races/new"} {
		found := 0
		for _, form := range strings.Split(c.Opened(path), "<form")[1:] {
			form, _, _ = strings.Cut(form, "</form>")
			if !strings.Contains(form, "data-reload") {
				continue
			}
			found++
			if button := regexp.MustCompile(`<button type="submit"[^>]*>`).FindString(form); button == "" || strings.Contains(button, "withscript") {
				t.Errorf("%s: a choice cannot be sent without a script: %q", path, button)
			}
		}
		if found == 0 {
			t.Errorf("%s has no list that opens the page again", path)
		}
	}
}
