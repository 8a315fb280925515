package ui_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Keys as the browser driver names them.
const (
	arrowDown = "\u0301"
	arrowUp   = "\u0304"
	tabKey    = "\t"
	enterKey  = "\r"
)

// stays marks the page that is open, so that another one is told from it.
func (b *tab) stays() { b.t.Helper(); ask[any](b, "window.stays = true") }

// still fails unless the marked page is open a moment later.
func (b *tab) still(what string) {
	b.t.Helper()
	time.Sleep(400 * time.Millisecond)
	if !ask[bool](b, "window.stays === true") {
		b.t.Fatalf("%s: the page was opened again", what)
	}
}

// strike types keys, one at a time.
func (b *tab) strike(keys ...string) {
	b.t.Helper()
	for _, k := range keys {
		b.do(chromedp.KeyEvent(k))
	}
}

func (b *tab) focused() string { b.t.Helper(); return ask[string](b, "document.activeElement.id") }

// TestStepsThroughAListOpenNothing walks through a list whose choice opens the
// page again, with keys.
func TestStepsThroughAListOpenNothing(t *testing.T) {
	site, b := newSite(t), newTab(t)
	b.show("light", 1280)
	b.open(site.URL + "/seat?class=1x&age_years=31")
	b.stays()
	ask[any](b, "document.getElementById('class').focus()")
	for _, want := range []string{"2x", "4x"} {
		b.strike(arrowDown)
		b.still("arrow to " + want)
		if got := b.value("#class"); got != want || b.focused() != "class" {
			t.Fatalf("after an arrow: %q in %s, want %q", got, b.focused(), want)
		}
	}
	if hint := b.text("#class + [role=status]"); !strings.Contains(hint, "Enter") {
		t.Errorf("hint %q", hint)
	}
	b.strike("2")
	b.still("a letter")

	b.strike(enterKey)
	b.until("!window.stays && document.readyState === 'complete'")
	if got := b.value("#class"); !strings.HasPrefix(got, "2") || b.value("#age_years") != "31" || b.focused() != "class" {
		t.Errorf("after Enter: class %q, age %q, focus %q", got, b.value("#age_years"), b.focused())
	}
}

// TestLeavingAListOpensItsChoice also holds that the focus gets to where it was
// going, and that steps there and back open nothing.
func TestLeavingAListOpensItsChoice(t *testing.T) {
	site, b := newSite(t), newTab(t)
	b.show("light", 1280)
	b.open(site.URL + "/seat?class=1x")
	b.stays()
	ask[any](b, "document.getElementById('class').focus()")
	b.strike(tabKey)
	next := b.focused()
	ask[any](b, "document.getElementById('class').focus()")
	b.strike(arrowDown, arrowUp)
	if n := ask[int](b, "document.querySelectorAll('#class + [role=status]').length"); n != 0 {
		t.Error("the hint stays although nothing is chosen")
	}
	b.strike(tabKey)
	b.still("there and back")

	ask[any](b, "document.getElementById('class').focus()")
	b.strike(arrowDown, tabKey)
	b.until("!window.stays && document.readyState === 'complete'")
	if got := b.value("#class"); got != "2x" || next == "" || b.focused() != next {
		t.Errorf("after leaving: class %q, focus %q, want %q", got, b.focused(), next)
	}
	b.stays()
	b.strike(tabKey, tabKey)
	b.still("going on")
}

// TestAChoiceFromAnOpenListOpensThePage opens the list with the mouse and
// chooses from it, which is one choice whatever led there.
func TestAChoiceFromAnOpenListOpensThePage(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.show("light", 1280)
	for path, list := range map[string]string{"/seat?class=1x": "class", "/setup": "boat", "/sheets": "boat", "/orders?class=1x": "class", "/trials/new": "boat_class"} {
		b.open(c.url + path)
		was := b.value("#" + list)
		b.stays()
		b.do(chromedp.Click(chromedp.CSS("#" + list)))
		b.strike(arrowDown, enterKey)
		b.until("!window.stays && document.readyState === 'complete'")
		if got := b.value("#" + list); got == was || !strings.Contains(ask[string](b, "location.search"), list+"="+url.QueryEscape(got)) {
			t.Errorf("%s: %q, was %q, at %s", path, got, was, ask[string](b, "location.search"))
		}
	}
}

// TestReloadingFormsHaveAButton: without a script it is what follows the choice.
func TestReloadingFormsHaveAButton(t *testing.T) {
	c := demoClub(t)
	for _, path := range []string{"/seat", "/setup", "/setup?boat=9", "/sheets", "/orders", "/trials/new"} {
		found := 0
		for _, form := range strings.Split(c.opened(path), "<form")[1:] {
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
