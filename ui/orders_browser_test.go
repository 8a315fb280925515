package ui_test

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// ownSeats is the order of one's own as it stands on the page.
const ownSeats = `[...document.querySelectorAll(".ownseat select")].map(s => s.selectedOptions[0].textContent).join()`

// behind is how far it lies behind the best, as told.
const behind = `document.querySelector(".big-own b").textContent`

// changed waits until one's own order has been costed anew: it stands in the
// address then.
func (b *tab) changed() {
	b.t.Helper()
	b.until("document.querySelector('.big-own b') && location.search.includes('own=')")
}

func TestMovingARowerByArrow(t *testing.T) {
	c := demoClub(t)
	b := newTab(t)
	b.open(c.url + "/orders?class=4x")
	order := ask[string](b, ownSeats)
	ask[any](b, `document.querySelector(".ownseat:nth-child(2) .move[data-move='1']").focus()`)
	b.do(chromedp.KeyEvent(" "))
	b.changed()
	if ask[string](b, ownSeats) == order {
		t.Error("nobody moved")
	}
	// The same arrow one seat on keeps the focus, so that it can be pressed
	// again and again.
	b.until(`document.activeElement.matches(".ownseat:nth-child(3) .move[data-move='1']")`)
	b.do(chromedp.KeyEvent(" "))
	b.until(`document.activeElement.matches(".ownseat:nth-child(4) .move[data-move='-1']")`)
	now := ask[string](b, behind)
	b.open(ask[string](b, "location.href"))
	if got := ask[string](b, behind); got != now {
		t.Errorf("the address says %s, the page said %s", got, now)
	}
}

func TestChoosingARowerFromTheListChangesPlaces(t *testing.T) {
	c := demoClub(t)
	b := newTab(t)
	b.open(c.url + "/orders?class=4x")
	was := ask[[]string](b, `[...document.querySelectorAll(".ownseat select")].map(s => s.value)`)
	ask[any](b, `(() => { const [one, two] = document.querySelectorAll(".ownseat select"); one.focus(); one.value = two.value;
		one.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	b.changed()
	got := ask[[]string](b, `[...document.querySelectorAll(".ownseat select")].map(s => s.value)`)
	if got[0] != was[1] || got[1] != was[0] {
		t.Errorf("%v became %v", was, got)
	}
}

func TestASideByHandChoosesSidesByHand(t *testing.T) {
	c := demoClub(t)
	b := newTab(t)
	b.open(c.url + "/orders?class=4-")
	ask[any](b, `(() => { const side = document.getElementById("g1"); side.value = "P"; side.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	if got := b.value("#pattern"); got != "own" {
		t.Errorf("%q", got)
	}
}

func TestAnotherClassKeepsTheTicks(t *testing.T) {
	c := demoClub(t)
	id := c.idOf("Tomas Verhelde")
	b := newTab(t)
	b.open(c.url + "/orders")
	ask[any](b, fmt.Sprintf(`(() => { document.getElementById("a%s").click(); const k = document.getElementById("class"); k.value = "4-"; k.dispatchEvent(new Event("change", {bubbles: true})); })()`, id))
	b.until("document.title.includes('4-') && document.readyState === 'complete'")
	if ask[bool](b, fmt.Sprintf(`document.getElementById("a%s").checked`, id)) {
		t.Error("the tick is back")
	}
}

func TestFirmnessComesWhileOneWaits(t *testing.T) {
	c := demoClub(t)
	b := newTab(t)
	b.open(c.url + "/orders?class=4-")
	ask[any](b, `document.querySelector("#firm button").click()`)
	b.until(`document.querySelector("#firm .verdict")?.textContent.includes("of 500 draws")`)
	if ask[int](b, `document.querySelectorAll(".firmtable tbody tr").length`) < 4 {
		t.Error("the table is short")
	}
}

func TestReasonsForFreeSidesComeByThemselves(t *testing.T) {
	c := demoClub(t)
	b := newTab(t)
	b.open(c.url + "/orders?class=4-&pattern=free")
	b.until(`document.querySelectorAll(".swaps tbody tr").length === 4`)
}

func TestOrderPagesAreAccessible(t *testing.T) {
	c := demoClub(t)
	b := newTab(t)
	for _, path := range []string{"/orders?beside=2.3", "/orders?likeness=x", "/orders?class=4x", "/orders/saved", "/squad?class=8%2B", "/squad/import"} {
		b.axe(c.url + path)
	}
}
