package ui_test

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"thole/api"
	"thole/ui"
)

// policy is the strictest content security policy the pages must live with;
// the program sends the same.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; " +
	"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// newSite serves the pages under the strict policy.
func newSite(t testing.TB) *httptest.Server {
	t.Helper()
	pages, err := ui.New(api.NewService(nil), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", policy)
		pages.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	return server
}

// browser is the one browser of this package's tests, started when the first
// of them asks for it.
var browser = sync.OnceValue(func() context.Context {
	binary := findChromium()
	if binary == "" {
		return nil
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(binary), chromedp.NoSandbox,
		chromedp.Flag("disable-gpu", true), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocated, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, _ := chromedp.NewContext(allocated)
	stopBrowser = stop
	return ctx
})

var stopBrowser = func() {}

func TestMain(m *testing.M) {
	code := m.Run()
	stopBrowser()
	os.Exit(code)
}

func findChromium() string {
	for _, name := range [...]string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// tab is one tab of the browser for one test.
type tab struct {
	t   *testing.T
	ctx context.Context
}

// newTab opens a tab. Without Chromium the test is skipped, unless
// THOLE_BROWSER=required says that there must be one.
func newTab(t *testing.T) *tab {
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
	return &tab{t, ctx}
}

// patience bounds one step in the browser; machines that test are busy.
const patience = 60 * time.Second

// do runs steps in the tab.
func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
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

// ask evaluates a JavaScript expression in the tab, promises awaited.
func ask[T any](b *tab, expression string) T {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%.200s: %v", expression, err)
	}
	return v
}

// until waits for a JavaScript expression to be true. It may be asked while
// one page gives way to the next, when nothing can be evaluated.
func (b *tab) until(expression string) {
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

// text returns what an element says, value what stands in a field.
func (b *tab) text(selector string) string {
	b.t.Helper()
	return ask[string](b, fmt.Sprintf("document.querySelector(%q).textContent", selector))
}

func (b *tab) value(selector string) string {
	b.t.Helper()
	return ask[string](b, fmt.Sprintf("document.querySelector(%q).value", selector))
}

// open goes to a page, write replaces what stands in a field.
func (b *tab) open(url string) {
	b.t.Helper()
	b.do(chromedp.Navigate(url))
}

func (b *tab) write(selector, text string) {
	b.t.Helper()
	ask[any](b, fmt.Sprintf("document.querySelector(%q).select()", selector))
	b.do(chromedp.SendKeys(chromedp.CSS(selector), text))
}

// show sets colour scheme and width of the tab. The window is as tall as any
// page, so that nothing that sticks to an edge covers anything else.
func (b *tab) show(scheme string, width int64) {
	b.t.Helper()
	b.do(chromedp.EmulateViewport(width, 20000), chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
		return err
	}))
}

// withoutScript turns JavaScript off in the tab.
func (b *tab) withoutScript() {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
}

// axe checks the page for accessibility with axe-core, every part of it
// unfolded, and fails the test for each violation.
func (b *tab) axe(url string) {
	b.t.Helper()
	checker, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		b.t.Fatal("run npm ci --prefix ui --ignore-scripts first: ", err)
	}
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.SetBypassCSP, page.SetBypassCSPParams{Enabled: true}) // the checker is no part of the page
		return err
	}))
	b.open(url)
	ask[any](b, "document.querySelectorAll('details').forEach(d => d.open = true)")
	ask[any](b, string(checker)+"; 0")
	findings := ask[[]string](b, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})
		.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + v.help + ": " + n.html.slice(0, 200))))`)
	for _, f := range findings {
		b.t.Errorf("%s: %s", url, f)
	}
}

// sheets prints the page and returns how many sheets it takes.
func (b *tab) sheets(url string, paper chromedp.PDFOption) int {
	b.t.Helper()
	b.open(url)
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(paper))
	if err != nil {
		b.t.Fatal(err)
	}
	return strings.Count(string(pdf), "/Type /Page\n")
}
