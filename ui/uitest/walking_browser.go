package uitest

import (
	"encoding/json"
	"fmt"
	"math"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// Walking is a walker at a phone of 390 × 844 px who has keys alone: Tab, Enter, the
// space bar and letters. It fails where something has no place in the order of the keys,
// is hidden under a bar when it has the focus, or is too small for a finger.
type Walking struct {
	*Tab
	site    string
	axe     bool
	checked string // the page that was last checked for accessibility, as it stood
	done    Done
	scrolls float64 // px, where the page stood
}

// NewWalking opens the start page of a site, whose address has no slash at its end. With
// axe every page and answer that is asked for its words is checked for accessibility.
func NewWalking(t *testing.T, site string, axe bool) *Walking {
	t.Helper()
	w := &Walking{Tab: NewTab(t), site: site, axe: axe}
	w.Phone()
	if axe {
		w.BypassPolicy()
	}
	w.Tab.Open(site + "/")
	return w
}

// Open follows a link from outside.
func (w *Walking) Open(address string) { w.t.Helper(); w.done.Pressed++; w.Tab.Open(address) }

// Home presses the wordmark.
func (w *Walking) Home() {
	w.t.Helper()
	w.act("a.wordmark", `e => e.matches("a.wordmark")`)
	w.done.Pressed++
	w.leave(func() { w.Strike("\r") })
}

// Done returns what the walk took.
func (w *Walking) Done() Done {
	w.done.Pages = Ask[int](w.Tab, "history.length")
	return w.done
}

// At returns the address of the page.
func (w *Walking) At() *url.URL {
	w.t.Helper()
	u, err := url.Parse(Ask[string](w.Tab, "location.href"))
	if err != nil {
		w.t.Fatal(err)
	}
	return u
}

// Told returns what the main part of the page says.
func (w *Walking) Told() string { w.t.Helper(); return OneLine(w.Text("main")) }

// Says waits for the main part of the page to say something, and checks it as it stands.
func (w *Walking) Says(texts ...string) {
	w.t.Helper()
	for _, text := range texts {
		w.Until(fmt.Sprintf(`document.readyState === "complete" && document.querySelector("main")?.textContent.replace(/\s+/g, " ").includes(%s)`, quoted(OneLine(text))))
	}
	if over := Ask[int](w.Tab, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
		w.t.Errorf("%s stands out by %d px", w.At(), over)
	}
	if w.axe && w.changed() {
		w.AxeHere(fmt.Sprintf("%s with %q", w.At().Path, texts))
	}
}

// changed reports whether the page is another than that which was last checked.
func (w *Walking) changed() bool {
	w.t.Helper()
	before := w.checked
	w.checked = Ask[string](w.Tab, "location.href + document.documentElement.outerHTML")
	return w.checked != before
}

// AxeHere checks the page as it stands, whatever has come of it since it was opened.
func (b *Tab) AxeHere(where string) {
	b.t.Helper()
	if !Ask[bool](b, "Boolean(window.axe)") {
		checker, err := checkerFile()
		if err != nil {
			b.t.Fatal("run npm ci --prefix ui --ignore-scripts first: ", err)
		}
		Ask[any](b, string(checker)+"; 0")
	}
	b.runAxe(where)
}

func quoted(text string) string { q, _ := json.Marshal(text); return string(q) }

// Press finds a link, a button or a fold by what it says and presses Enter on it.
func (w *Walking) Press(label string) {
	w.t.Helper()
	begin, open := strings.CutSuffix(label, "…")
	w.act(label, fmt.Sprintf(`e => e.matches("a[href], button, summary") && (text => text === %[1]s || %[2]t && text.startsWith(%[1]s))(e.textContent.replace(/\s+/g, " ").trim())`, quoted(begin), open))
	w.done.Pressed++
	w.leave(func() { w.Strike("\r") })
}

// Follow presses the first link whose address begins so.
func (w *Walking) Follow(address string) {
	w.t.Helper()
	w.act(address, fmt.Sprintf(`e => e.matches("main a") && e.getAttribute("href").startsWith(%s)`, quoted(address)))
	w.done.Pressed++
	w.leave(func() { w.Strike("\r") })
}

// leave does what may open another page, and waits for that page where it does: a link to
// another page, or a form that no script sends.
func (w *Walking) leave(press func()) {
	w.t.Helper()
	goes := Ask[bool](w.Tab, `(e => { window.before = true;
		return e.matches("a") ? e.pathname + e.search !== location.pathname + location.search && !e.closest("[hx-boost]") && !e.hasAttribute("hx-get")
			: e.matches("button:not([type=button])") && Boolean(e.form) && !e.form.closest("[hx-post], [hx-get]") && !e.form.matches("[data-piece]") && !e.matches("[hx-post], [hx-get], .tick"); })(document.activeElement)`)
	press()
	if goes {
		w.Until("!window.before && document.readyState === 'complete'")
	}
	w.scrolls = Ask[float64](w.Tab, "scrollY") // where a link or an answer leads is not scrolled by hand
}

// Fill writes into a field, over what stands there.
func (w *Walking) Fill(name, text string) {
	w.t.Helper()
	w.act(name, named(name)+`(e) && e.matches("input, textarea")`)
	w.done.Filled++
	Ask[any](w.Tab, "document.activeElement.select?.()") // as the key for all of it does
	w.Strike(text)
}

// named is a test in script for a field of that name.
func named(name string) string {
	return fmt.Sprintf(`e => (e => e.name === %s && e.type !== "hidden")`, quoted(name))
}

// Choose takes an option by typing how it begins.
func (w *Walking) Choose(name, option string) {
	w.t.Helper()
	w.act(name, named(name)+`(e) && e.matches("select")`)
	w.done.Filled++
	for _, letter := range option {
		w.Strike(string(letter))
	}
	if got := Ask[string](w.Tab, "document.activeElement.selectedOptions?.[0].textContent.trim()"); !strings.HasPrefix(OneLine(got), option) {
		w.t.Fatalf("%s: typing %q chooses %q", name, option, got)
	}
}

// Chosen leaves a field that is calculated with at once, or presses Enter on a list whose
// choice opens the page again.
func (w *Walking) Chosen(_, _ string) {
	w.t.Helper()
	if !Ask[bool](w.Tab, `document.activeElement.matches("select")`) {
		w.Strike("\t")
		return
	}
	w.done.Pressed++
	Ask[any](w.Tab, "window.before = true")
	w.Strike("\r")
	w.Until("!window.before && document.readyState === 'complete'")
}

// Tick ticks a box with the space bar.
func (w *Walking) Tick(name, value string) {
	w.t.Helper()
	w.act(name, named(name)+fmt.Sprintf(`(e) && e.matches("[type=checkbox], [type=radio]") && e.value === %s`, quoted(value)))
	w.done.Filled++
	w.Strike(" ")
}

// Upload chooses a file, where the window that asks for it is the system's own.
func (w *Walking) Upload(name, file string) {
	w.t.Helper()
	w.act(name, named(name)+`(e) && e.matches("[type=file]")`)
	w.done.Filled++
	w.Do(chromedp.SetUploadFiles(chromedp.CSS("[type=file][name="+name+"]"), []string{file}))
}

// stops are what Tab stops at, in its order, as a script.
const stops = `[...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]")].filter(e =>
	e.tabIndex >= 0 && !e.disabled && e.type !== "hidden" && e.checkVisibility({visibilityProperty: true}) && !e.closest("[inert]")
	&& !(e.type === "radio" && !e.checked && document.querySelector("input[type=radio]:checked[name='" + e.name + "']")))`

// mostTries is how often the way to one thing is counted anew.
const mostTries = 4

// act moves the focus to the first thing on the page that fits, by Tab, and wants it to be
// seen there and large enough.
func (w *Walking) act(what, fits string) {
	w.t.Helper()
	for range mostTries { // what comes in meanwhile moves the goal
		w.Until(fmt.Sprintf(`document.readyState === "complete" && !document.querySelector(".htmx-request, .htmx-settling") && (window.goal = %s.find(%s))`, stops, fits))
		if w.tab() {
			w.scrolled()
			w.seen(what)
			return
		}
	}
	w.t.Fatalf("%s: Tab does not come to %q but to %s", w.At(), what, Ask[string](w.Tab, "document.activeElement.outerHTML.slice(0, 200)"))
}

// tab presses Tab as often as it takes from here to the goal, or from the head of the page
// where the goal lies before, and reports whether it came there.
func (w *Walking) tab() bool {
	w.t.Helper()
	steps := Ask[int](w.Tab, fmt.Sprintf(`(all => {
		let here = document.activeElement;
		if (here === document.body && location.hash) here = document.getElementById(location.hash.slice(1)) ?? here; // where a link led to
		const before = (a, b) => Boolean(a.compareDocumentPosition(b) & Node.DOCUMENT_POSITION_FOLLOWING);
		if (here === window.goal) return 0;
		if (here === document.body || !before(here, window.goal)) {
			here.blur();
			document.body.tabIndex = -1; // the head of the page, as a key of the browser goes to it
			document.body.focus();
			document.body.removeAttribute("tabindex");
			return all.indexOf(window.goal) + 1;
		}
		return all.filter(e => e !== here && before(here, e) && (e === window.goal || before(e, window.goal))).length;
	})(%s)`, stops))
	if steps > 0 {
		w.Strike(strings.Repeat("\t", steps))
	}
	return Ask[bool](w.Tab, "document.activeElement === window.goal")
}

// scrolled adds how far the page was moved.
func (w *Walking) scrolled() {
	w.t.Helper()
	to := Ask[float64](w.Tab, "scrollY")
	w.done.Screens += math.Abs(to-w.scrolls) / 844
	w.scrolls = to
}

// seen wants what has the focus to be in sight, and its target to have 24 px each way (WCAG
// 2.2, 2.4.11 and 2.5.8), links in a sentence aside.
func (w *Walking) seen(what string) {
	w.t.Helper()
	found := Ask[string](w.Tab, `(e => {
		const target = e.closest("label") ?? (e.matches("[type=checkbox], [type=radio]") && e.labels?.[0] || e);
		const r = target.getBoundingClientRect(), own = e.getBoundingClientRect();
		if (r.width < 24 || r.height < 24) if (getComputedStyle(e).display !== "inline") return Math.round(r.width) + " × " + Math.round(r.height) + " px";
		const spots = [.15, .5, .85].flatMap(x => [.15, .5, .85].map(y => document.elementFromPoint(own.x + own.width * x, own.y + own.height * y)));
		return spots.some(s => s && (e.contains(s) || s.contains(e) || target.contains(s))) ? "" : "hidden";
	})(document.activeElement)`)
	if found != "" {
		w.t.Errorf("%s, %q: %s", w.At(), what, found)
	}
}
