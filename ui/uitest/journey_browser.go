package uitest

import "fmt"

// Follow clicks a link or button of the page by what it says, and waits for the
// next page to have the wanted element.
func (b *Tab) Follow(text, wanted string) {
	b.t.Helper()
	const find = `(text => [...document.querySelectorAll("main a, main button")].find(e => e.textContent.replace(/\s+/g, " ").trim() === text))`
	Ask[any](b, "window.before = true")
	Ask[any](b, fmt.Sprintf("setTimeout(() => %s(%q).click(), 0)", find, text))
	b.Until(fmt.Sprintf("!window.before && document.querySelector(%q)", wanted))
}
