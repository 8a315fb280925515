package uitest

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// OwnSeats is the order of one's own as it stands on the page.
const OwnSeats = `[...document.querySelectorAll(".ownseat select")].map(s => s.selectedOptions[0].textContent).join()`

// Changed waits until one's own order has been costed anew: it stands in the
// address then.
func (b *Tab) Changed() {
	b.t.Helper()
	b.Until("document.querySelector('.big-own b') && location.search.includes('own=')")
}

// SaveLineup puts the best order of a class on record.
func (c *ClubSite) SaveLineup(class string) string {
	c.T.Helper()
	_, rest, _ := strings.Cut(c.Opened("/line-ups?class="+url.QueryEscape(class)), `<form class="saveform"`)
	form := FormValues(strings.Split(rest, "</form>")[0])
	form.Set("name", "The first "+class)
	form.Set("by", "Anna")
	p := c.Post("/line-ups/save", form)
	if p.Status != http.StatusSeeOther {
		c.T.Fatalf("%d %.300s", p.Status, p.Body)
	}
	return p.Header.Get("Location")
}

// AskFirm asks how firm the orders are, and waits.
func (b *Tab) AskFirm() {
	b.t.Helper()
	Ask[any](b, `document.querySelector("#firm button").click()`)
	b.Until(`document.querySelector("#firm .verdict")?.textContent.includes("of 500 draws")`)
}

// IdsOf is an order of a class's squad, from somewhere in the list, for the
// address.
func (c *ClubSite) IdsOf(class string, from int) string {
	c.T.Helper()
	form := OwnForm(c.Opened(fmt.Sprintf("/line-ups?show=%d&class=%s", from+1, url.QueryEscape(class))))
	var ids []string
	for seat := 1; form.Has(fmt.Sprintf("s%d", seat)); seat++ {
		ids = append(ids, form.Get(fmt.Sprintf("s%d", seat)))
	}
	return strings.Join(ids, ".")
}

// Printed counts the sheets that the page as it stands takes.
func (b *Tab) Printed(paper ...chromedp.PDFOption) int {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(paper...))
	if err != nil {
		b.t.Fatal(err)
	}
	return strings.Count(string(pdf), "/Type /Page\n")
}

// smallest is the smallest text of the page as it is shown, in px, but for
// drawings, which scale.
const smallest = `Math.min(...[...document.querySelectorAll("main *")].filter(e => !e.closest("svg") && e.checkVisibility() && e.getClientRects().length &&
	[...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())).map(e => parseFloat(getComputedStyle(e).fontSize)))`

// WantLegible wants no letters under 9 pt, which is 12 px, on the paper that the
// page as it stands is printed on.
func (b *Tab) WantLegible(path string) {
	b.t.Helper()
	b.Medium("print")
	if size := Ask[float64](b, smallest); size < 12 {
		b.t.Errorf("%s: printed in letters of %g px, want 12 at least", path, size)
	}
}

// Medium shows the page as on another medium.
func (b *Tab) Medium(name string) {
	b.t.Helper()
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: name})
		return err
	}))
}

// Shown reports whether an element can be seen.
func (b *Tab) Shown(selector string) bool {
	b.t.Helper()
	return Ask[bool](b, fmt.Sprintf("document.querySelector(%q).checkVisibility()", selector))
}
