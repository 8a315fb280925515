package ui_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"thole/api/lineup"
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

// saveOrder puts the best order of a class on record.
func (c *clubSite) saveOrder(class string) string {
	c.t.Helper()
	_, rest, _ := strings.Cut(c.opened("/orders?class="+url.QueryEscape(class)), `<form class="saveform"`)
	form := formValues(strings.Split(rest, "</form>")[0])
	form.Set("name", "The first "+class)
	form.Set("by", "Anna")
	p := c.post("/orders/save", form)
	if p.status != http.StatusSeeOther {
		c.t.Fatalf("%d %.300s", p.status, p.body)
	}
	return p.header.Get("Location")
}

// askFirm asks how firm the orders are, and waits.
func (b *tab) askFirm() {
	b.t.Helper()
	ask[any](b, `document.querySelector("#firm button").click()`)
	b.until(`document.querySelector("#firm .verdict")`)
}

func TestOrderPagesFitAPhone(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	saved := c.saveOrder("8+")
	for _, path := range []string{"/orders", "/orders?beside=2.3", "/orders?class=4-&r7=4&r10=4", "/orders?class=1x", "/orders/saved", saved, "/squad?class=8%2B", "/squad/import"} {
		b.show("light", 320)
		b.open(c.url + path)
		if path == "/orders" {
			b.askFirm()
		}
		b.narrow(path)
	}
	c = newClub(t)
	if _, err := c.service.Ergometer.SaveSquad(t.Context(), strings.NewReader(awkwardSquad+"Wolfeschlegelsteinhausenbergerdorff,,yes,74,2026-01-10,2000,7:05.0\n"), "Ines"); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/orders?class=4x", "/squad?class=4x", c.saveOrder("4x")} {
		b.show("light", 320)
		b.open(c.url + path)
		b.narrow(path)
	}
}

// narrow wants the page no wider than the phone.
func (b *tab) narrow(path string) {
	b.t.Helper()
	if wide := ask[int](b, "document.documentElement.scrollWidth"); wide > 320 {
		b.t.Errorf("%s: %d wide", path, wide)
	}
}

// smallest is the smallest text of the page as it would be printed, in px, but
// for drawings, which scale.
const smallest = `Math.min(...[...document.querySelectorAll("main *")].filter(e => !e.closest("svg") && e.checkVisibility() && e.getClientRects().length &&
	[...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())).map(e => parseFloat(getComputedStyle(e).fontSize)))`

// TestOrderPagesPrintOnOneSheet in letters that can be read; on two where
// several boats and their chances are asked for at once.
func TestOrderPagesPrintOnOneSheet(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	own := c.idsOf("8+", 1)
	for path, want := range map[string]struct {
		sheets int
		least  float64 // px, of letters
	}{
		"/orders": {1, 8}, "/orders?class=4x": {1, 8}, "/orders?beside=2.3": {1, 7.5}, "/orders?own=" + own: {1, 7.5},
		"/orders?firm=": {1, 7.5}, "/orders?class=4-&firm=": {1, 7.5}, "/orders?firm=&beside=2.3": {2, 7.5}, "/orders?firm=&own=" + own: {2, 7.5},
		c.saveOrder("8+"): {1, 12}, c.saveOrder("4x"): {1, 12}, "/squad?class=8%2B": {1, 8}, "/orders/saved": {1, 8},
	} {
		for name, paper := range map[string]chromedp.PaperSize{"A4": {Width: 8.27, Height: 11.69}, "Letter": chromedp.PaperLetter} {
			b.show("light", 1280)
			b.open(c.url + path)
			if strings.Contains(path, "firm") {
				b.askFirm()
			}
			if n := b.printed(chromedp.PDFPaper(paper)); n != want.sheets {
				t.Errorf("%s on %s: %d sheets", path, name, n)
			}
		}
		b.medium("print")
		if size := ask[float64](b, smallest); size < want.least {
			t.Errorf("%s: letters of %g px", path, size)
		}
	}
}

// idsOf is an order of a class's squad, from somewhere in the list, for the
// address.
func (c *clubSite) idsOf(class string, from int) string {
	c.t.Helper()
	form := ownForm(c.opened(fmt.Sprintf("/orders?show=%d&class=%s", from+1, url.QueryEscape(class))))
	var ids []string
	for seat := 1; form.Has(fmt.Sprintf("s%d", seat)); seat++ {
		ids = append(ids, form.Get(fmt.Sprintf("s%d", seat)))
	}
	return strings.Join(ids, ".")
}

// printed counts the sheets that the page as it stands takes.
func (b *tab) printed(paper chromedp.PDFOption) int {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(paper))
	if err != nil {
		b.t.Fatal(err)
	}
	return strings.Count(string(pdf), "/Type /Page\n")
}

// medium shows the page as on another medium.
func (b *tab) medium(name string) {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: name})
		return err
	}))
}

// shown tells whether an element can be seen.
func (b *tab) shown(selector string) bool {
	b.t.Helper()
	return ask[bool](b, fmt.Sprintf("document.querySelector(%q).checkVisibility()", selector))
}

// TestOnPaperALineupTellsItsBoat: the class and the cox are no decoration.
func TestOnPaperALineupTellsItsBoat(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + c.saveOrder("4x"))
	b.medium("print")
	if !b.shown(".lead") || b.shown(".next") {
		t.Error("the boat is not told, or what to do next on the screen is")
	}
}

// TestOrdersWithoutAScript offers what works without one, and nothing else.
func TestOrdersWithoutAScript(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	works := map[string]bool{".ownform [type=submit]": true, ".grip": false, ".ownseat .move": false, "#own .help.plainly": true, "#own .help.withscript": false}
	for _, script := range []bool{true, false} {
		if !script {
			b.withoutScript()
		}
		b.open(c.url + "/orders?class=4x")
		for part, alone := range works {
			if got := b.shown(part); got == (alone == script) {
				t.Errorf("script %t: %s shown: %t", script, part, got)
			}
		}
		for _, width := range []int64{375, 1280} {
			b.show("light", width)
			if wide := ask[float64](b, `document.querySelector(".ownseat select").getBoundingClientRect().width`); wide < 110 {
				t.Errorf("script %t: names are %g px wide on %d", script, wide, width)
			}
		}
	}
}

// TestWhatIsFoundComesIntoView: on a phone the answer lies far below the form.
func TestWhatIsFoundComesIntoView(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	squad, err := c.service.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "4x"})
	if err != nil {
		t.Fatal(err)
	}
	for _, kofi := range []bool{false, true} {
		b.do(chromedp.EmulateViewport(375, 740))
		b.open(c.url + "/orders?class=4x")
		wanted := "#best-h"
		if kofi {
			wanted = "#problems h2"
			for _, m := range squad.Candidates[:2] {
				ask[any](b, fmt.Sprintf(`document.getElementById("r%s").value = "4"`, m.ID))
			}
		}
		ask[any](b, `document.querySelector("#orders-form [type=submit]").click()`)
		b.until(`location.hash === "#found" && document.readyState === "complete"`)
		b.until(fmt.Sprintf(`(box => box.top >= 0 && box.bottom <= innerHeight)(document.querySelector(%q).getBoundingClientRect())`, wanted))
	}
}

// TestWhatChangesIsSaid in a region that was there before, or else nobody hears
// it.
func TestWhatChangesIsSaid(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + "/orders?class=4x")
	ask[any](b, `window.region = document.getElementById("said"); document.querySelector(".ownseat:nth-child(2) .move[data-move='1']").click()`)
	b.changed()
	said := ask[string](b, `window.region.isConnected ? window.region.textContent : "gone"`)
	if told := b.text(".big-own b"); !strings.Contains(said, told) {
		t.Errorf("said %q, shown %q", said, told)
	}
	b.askFirm()
	if said, told := ask[string](b, "window.region.textContent"), b.text("#firm .verdict"); said != told {
		t.Errorf("said %q, shown %q", said, told)
	}
	if n := ask[int](b, `document.querySelectorAll("#said").length`); n != 1 {
		t.Errorf("%d regions", n)
	}
}

// TestAskingByKeyKeepsTheFocus on what can be done next, and then on what came
// of it.
func TestAskingByKeyKeepsTheFocus(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + "/orders")
	ask[any](b, `window.foci = []; document.addEventListener("focusin", e => foci.push(e.target.id || e.target.className)); document.querySelector("#firm button").focus()`)
	b.do(chromedp.KeyEvent("\r"))
	b.until(`document.activeElement.matches("#firm .verdict")`)
	if foci := ask[[]string](b, "foci"); !slices.Contains(foci, "job-stop") {
		t.Errorf("the focus went to %v", foci)
	}
}

// TestChoosingByKeyKeepsTheFocus in the list, so that the next key goes there.
func TestChoosingByKeyKeepsTheFocus(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + "/orders?class=4x")
	was := b.seated()
	ask[any](b, `document.querySelector(".ownseat:nth-child(2) select").focus()`)
	for range 2 {
		b.do(chromedp.KeyEvent("\u0301")) // arrow down
	}
	b.changed()
	b.until(`document.activeElement.matches(".ownseat:nth-child(2) select")`)
	if now := b.seated(); now[1] == was[1] {
		t.Errorf("%v stayed", was)
	}
}
