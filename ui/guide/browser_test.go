package guide_test

import (
	"testing"

	"github.com/chromedp/chromedp"

	"thole/ui/uitest"
)

// TestTheGuideInABrowser: its pages are clean for axe in both schemes and fit a
// phone, and a label of a form opens its term in place, by keyboard, without
// losing what was typed. The sources and the seat are checked with the seat.
func TestTheGuideInABrowser(t *testing.T) {
	site := uitest.NewSite(t)
	b := uitest.NewTab(t)
	for _, path := range []string{"/guide", "/guide/walks", "/guide/measures", "/guide/numbers", "/guide/glossary"} {
		b.Axe(site.URL+path, uitest.Look{Scheme: "light", Width: 1280}, uitest.Look{Scheme: "dark", Width: 390})
		for _, width := range []int64{320, 390} {
			b.Show("light", width)
			if wide := uitest.Ask[float64](b, "document.documentElement.scrollWidth"); wide > float64(width) {
				t.Errorf("%s: %g px wide in %d", path, wide, width)
			}
		}
	}
	b.Show("light", 1280)
	b.Open(site.URL + "/seat")
	b.Write("#span_cm", "157.5")
	uitest.Ask[any](b, `void document.querySelector('label[for=span_cm] a.term').focus()`)
	b.Do(chromedp.KeyEvent("\r"))
	b.Until(`document.querySelector('#term-box:popover-open dt')?.textContent == 'Span' && document.activeElement.id == 'term-box'`)
	b.Do(chromedp.KeyEvent("\x1b"))
	b.Until(`!document.querySelector('#term-box:popover-open') && document.activeElement.matches('label[for=span_cm] a.term')`)
	if typed := b.Value("#span_cm"); typed != "157.5" {
		t.Errorf("what was typed became %q", typed)
	}
	b.WithoutScript()
	b.Open(site.URL + "/seat")
	b.Do(chromedp.Click(chromedp.CSS("label[for=span_cm] a.term")))
	b.Do(chromedp.WaitVisible(chromedp.CSS("#span:target")))
}
