// Package uitest holds what the tests of the pages share: a club behind a server, a
// reader without script, a browser, and the checks of what they see.
package uitest

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"thole/api"
	"thole/ui"
	"thole/ui/chromium"
)

// Policy is the strictest content security policy the pages must live with;
// the program sends the same.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; media-src blob:; " +
	"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// NewSite serves the pages under the strict policy.
func NewSite(t testing.TB) *httptest.Server {
	t.Helper()
	pages, err := ui.New(nil, api.NewService(nil), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", Policy)
		pages.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	return server
}

// browser is the one browser of this package's tests, started when the first
// of them asks for it.
var browser = sync.OnceValue(func() context.Context {
	binary := chromium.Find()
	if binary == "" {
		return nil
	}
	options := append(chromium.Options(binary, "disable-quic", "disable-component-update"), own...)
	allocated, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, _ := chromedp.NewContext(allocated)
	stopBrowser = stop
	return ctx
})

var stopBrowser = func() {}

// own are the options of a package's browser.
var own []chromedp.ExecAllocatorOption

// OneThread puts pages together in the thread that runs them, a fifth cheaper where pages
// are opened, filled in and checked. It is not for all: the browser then does not tell which
// frame of a clip is shown, nor take keys in a list that is open, nor a finger that drags.
var OneThread = chromedp.Flag("disable-threaded-compositing", true)

// Main runs the tests of a package in a browser with these options besides, ends the
// browser and returns the exit code.
func Main(m *testing.M, options ...chromedp.ExecAllocatorOption) int {
	own = options
	code := m.Run()
	stopBrowser()
	return code
}

// checkerFile holds axe-core, seen from the folder of any area.
func checkerFile() ([]byte, error) {
	const file = "node_modules/axe-core/axe.min.js"
	body, err := os.ReadFile(file)
	if err != nil {
		return os.ReadFile("../" + file)
	}
	return body, nil
}

// Tab is one tab of the browser for one test.
type Tab struct {
	t       *testing.T
	ctx     context.Context
	console *chromium.Console
}

// Errors returns the errors that the console has shown since the last call.
func (b *Tab) Errors() []string {
	b.t.Helper()
	Ask[int](b, "0") // the events of the tab arrive in order: those before this are here now
	return b.console.Take()
}

// wantQuiet fails the test for each error in the console. A test that has failed
// already may have left the tab in any state.
func (b *Tab) wantQuiet() {
	if b.t.Failed() || b.t.Skipped() {
		return
	}
	for _, text := range b.Errors() {
		b.t.Errorf("in the console: %s", text)
	}
}

// NewTab opens a tab. Without Chromium the test is skipped, unless
// THOLE_BROWSER=required says that there must be one. An error that is still in
// the console of the tab at the end fails the test.
func NewTab(t *testing.T) *Tab {
	t.Helper()
	all := browser()
	if all == nil {
		if os.Getenv("THOLE_BROWSER") == "required" {
			t.Fatal("no Chromium on this machine, and THOLE_BROWSER=required")
		}
		t.Skip("no Chromium on this machine")
	}
	if err := chromedp.Do(all); err != nil { // the first use starts the browser
		t.Fatal(err)
	}
	ctx, stop := chromedp.NewContext(all)
	t.Cleanup(stop)
	b := &Tab{t, ctx, new(chromium.Console)}
	if err := chromedp.Listen(ctx, b.console.Hear); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(b.wantQuiet)
	return b
}

// patience bounds one step in the browser; machines that test are busy.
const patience = 60 * time.Second

// Do runs steps in the tab.
func (b *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx); err != nil {
		b.t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

// Ask evaluates a JavaScript expression in the tab, promises awaited.
func Ask[T any](b *Tab, expression string) T {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%.200s: %v", expression, err)
	}
	return v
}

// Until waits for a JavaScript expression to be true. It may be asked while
// one page gives way to the next, when nothing can be evaluated.
func (b *Tab) Until(expression string) {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	for {
		holds, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("Boolean("+expression+")"))
		if holds && err == nil {
			return
		}
		if ctx.Err() != nil {
			b.t.Fatalf("still not true: %s: %v", expression, err)
		}
		time.Sleep(30 * time.Millisecond)
	}
}

// Text returns what an element says, value what stands in a field.
func (b *Tab) Text(selector string) string {
	b.t.Helper()
	return Ask[string](b, fmt.Sprintf("document.querySelector(%q).textContent", selector))
}

func (b *Tab) Value(selector string) string {
	b.t.Helper()
	return Ask[string](b, fmt.Sprintf("document.querySelector(%q).value", selector))
}

// Open goes to a page, write replaces what stands in a field.
func (b *Tab) Open(url string) {
	b.t.Helper()
	b.Do(chromedp.Navigate(url))
}

func (b *Tab) Write(selector, text string) {
	b.t.Helper()
	Ask[any](b, fmt.Sprintf("document.querySelector(%q).select()", selector))
	b.Do(chromedp.SendKeys(chromedp.CSS(selector), text))
}

// Show sets colour scheme and width of the tab. The window is as tall as any
// page, so that nothing that sticks to an edge covers anything else.
func (b *Tab) Show(scheme string, width int64) {
	b.t.Helper()
	b.Do(chromedp.EmulateViewport(width, 20000), chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
		return err
	}))
}

// WithoutScript turns JavaScript off in the tab.
func (b *Tab) WithoutScript() {
	b.t.Helper()
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
}

// Look is a colour scheme and a width, px, that pages are seen in.
type Look struct {
	Scheme string
	Width  int64
}

// Axe checks the page for accessibility with axe-core, every part of it
// unfolded, in each of the looks or in that which the tab has, and fails the test
// for each violation.
func (b *Tab) Axe(url string, looks ...Look) {
	b.t.Helper()
	b.openForAxe(url)
	if len(looks) == 0 {
		b.runAxe(url)
	}
	for _, look := range looks {
		b.Show(look.Scheme, look.Width)
		b.runAxe(fmt.Sprintf("%s, %s, %d px", url, look.Scheme, look.Width))
	}
}

// openForAxe opens the page, unfolds it and loads the checker, which is no part
// of the page and so beyond its policy.
func (b *Tab) openForAxe(url string) {
	b.t.Helper()
	checker, err := checkerFile()
	if err != nil {
		b.t.Fatal("run npm ci --prefix ui --ignore-scripts first: ", err)
	}
	b.BypassPolicy()
	b.Open(url)
	b.Unfold()
	Ask[any](b, string(checker)+"; 0")
}

// Unfold opens every fold of the page.
func (b *Tab) Unfold() {
	b.t.Helper()
	Ask[any](b, "document.querySelectorAll('details').forEach(d => d.open = true)")
}

// BypassPolicy lets the checker into the pages that are opened from now on.
func (b *Tab) BypassPolicy() {
	b.t.Helper()
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.SetBypassCSP, page.SetBypassCSPParams{Enabled: true})
		return err
	}))
}

// runAxe checks the page as it stands. What passes is not listed, which on a page of
// drawings is half the time; and no style sheets are read for the one rule that asks for
// them, how a device is held, as it is an experiment that these tags leave out.
func (b *Tab) runAxe(where string) {
	b.t.Helper()
	findings := Ask[[]string](b, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"], preload: {assets: ["media"]}})
		.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + v.help + ": " + n.html.slice(0, 200))))`)
	for _, f := range findings {
		b.t.Errorf("%s: %s", where, f)
	}
}

// BothPapers is as wide as A4 and as high as Letter, inches: what fits on it fits on
// either.
var BothPapers = chromedp.PaperSize{Width: chromedp.PaperA4.Width, Height: chromedp.PaperLetter.Height}

// WantOneSheet opens a page and wants it printed on one sheet, on either paper.
func (b *Tab) WantOneSheet(url string, how ...chromedp.PDFOption) {
	b.t.Helper()
	b.Open(url)
	on := func(paper chromedp.PaperSize) int { return b.Printed(append(how, chromedp.PDFPaper(paper))...) }
	if on(BothPapers) == 1 {
		return
	}
	if a4, letter := on(chromedp.PaperA4), on(chromedp.PaperLetter); a4 != 1 || letter != 1 {
		b.t.Errorf("%s: %d sheets of A4, %d of Letter, want 1", url, a4, letter)
	}
}

// Fits wants the page as it stands no wider than windows of these widths, px.
func (b *Tab) Fits(where string, widths ...int64) {
	b.t.Helper()
	for _, width := range widths {
		b.Show("light", width)
		if over := Ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
			b.t.Errorf("%s is %d px wider than a window of %d", where, over, width)
		}
	}
}
