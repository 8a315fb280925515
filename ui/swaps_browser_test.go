package ui_test

import (
	"fmt"
	"net/url"
	"testing"

	"thole/ui/uitest"
)

// entered is something that is done on a page, and what it brings.
type entered struct {
	path     string
	selector string // of the field that is typed into, "" for a form that is sent as it stands
	text     string
	send     string // what is pressed, "" where leaving the field is enough
	until    string // in script
}

// afterwards are answers that come into a page that is open: complaints first, then what is
// swapped in. The walks of this package and of people check more of them on their way.
func afterwards(c *uitest.ClubSite) []entered {
	sheet := c.Made(c.Single())
	says := func(text string) string {
		return fmt.Sprintf("document.querySelector('main').textContent.includes(%q)", text)
	}
	return []entered{
		{"/seat?class=1x", "#span_cm", "much", "", says("not a number")},
		{"/seat?class=1x", "#stature_cm", "182", "", says("182 cm")},
		{"/setup?" + c.Single().Encode(), "#catch_deg", "much", "", says("not a number")},
		{"/boats/new", "", "", ".recordform button", says("Please check")},
		{"/boats/1/seats/1", "#seat1_span_cm", "15900", ".recordform button", says("Please check")},
		{"/athletes/new", "#born", "tomorrow", ".recordform button", says("Please check")},
		{"/oars/new", "#length_cm", "x", ".recordform button", says("Please check")},
		{"/squad/import", "", "", "form[enctype] button", says("Please check")},
		{"/line-ups?class=" + url.QueryEscape("8+") + "&women=9", "", "", "", says("Please check")},
		{"/line-ups/saved/1", "", "", "", "true"},
		{"/seat-races/new?boat_class=2x&pieces=2&squad=Ann%0ABea%0ACat%0ADot", "#pieces", "none", "", says("whole number")},
		{"/seat-races/2", "#t1", "x", ".launch [value=raced]", "[...document.querySelectorAll('.launch .complaint')].some(e => e.textContent.trim())"},
		{sheet, ".workline [name=value]", "150", "", "document.querySelector('.state[data-state=bad]')"},
		{"/catch", "#catch_deg", "x", "form button[type=submit]", says("not a number")},
	}
}

// TestWhatComesIntoAPageIsAccessible checks pages after a complaint or a swap, in which
// nothing is loaded anew.
func TestWhatComesIntoAPageIsAccessible(t *testing.T) {
	c, b := uitest.SeasonClub(t), uitest.NewTab(t)
	b.BypassPolicy()
	for i, k := range afterwards(c) {
		b.Open(c.URL + k.path)
		b.Show([]string{"light", "dark"}[i%2], []int64{390, 1280}[i/2%2])
		if k.selector != "" {
			uitest.Ask[any](b, fmt.Sprintf("(e => { for (let f = e.closest('details'); f; f = f.parentElement.closest('details')) f.open = true })(document.querySelector(%q)); 0", k.selector))
			b.TypeIn(k.selector, k.text)
		}
		if k.send != "" {
			uitest.Ask[any](b, fmt.Sprintf("[...document.querySelectorAll('[required]')].forEach(f => f.required = false); setTimeout(() => document.querySelector(%q).click(), 0); 0", "main "+k.send))
		}
		b.Until("document.readyState === 'complete' && !document.querySelector('.htmx-request') && " + k.until)
		b.AxeHere(k.path)
	}
}
