package uitest

import (
	"time"

	"github.com/chromedp/chromedp"
)

// Stays marks the page that is open, so that another one is told from it.
func (b *Tab) Stays() { b.t.Helper(); Ask[any](b, "window.stays = true") }

// Still fails unless the marked page is open a moment later.
func (b *Tab) Still(what string) {
	b.t.Helper()
	time.Sleep(400 * time.Millisecond)
	if !Ask[bool](b, "window.stays === true") {
		b.t.Fatalf("%s: the page was opened again", what)
	}
}

// Strike types keys, one at a time.
func (b *Tab) Strike(keys ...string) {
	b.t.Helper()
	for _, k := range keys {
		b.Do(chromedp.KeyEvent(k))
	}
}

func (b *Tab) Focused() string { b.t.Helper(); return Ask[string](b, "document.activeElement.id") }
