package main

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"thole/ui/chromium"
)

// screen is what a page is seen on.
type screen struct {
	scheme string
	width  int64 // px
}

// screens are a small phone, a phone and a desk, by day and by night; our judgement.
var screens = []screen{
	{"light", 320}, {"light", 390}, {"light", 1280},
	{"dark", 320}, {"dark", 390}, {"dark", 1280},
}

// patience bounds what is done with one page; our judgement.
const patience = 2 * time.Minute

// browser is one tab.
type browser struct {
	ctx context.Context
	axe string // the script of the accessibility checker

	console chromium.Console // errors since the last page
}

// newBrowser opens a tab, and returns what closes it.
func newBrowser(ctx context.Context, axe string) (*browser, func(), error) {
	binary := chromium.Find()
	if binary == "" {
		return nil, nil, errors.New("no Chromium on this machine")
	}
	options := chromium.Options(binary, "hide-scrollbars")
	ctx, stopAll := chromedp.NewExecAllocator(ctx, options...)
	ctx, stopTab := chromedp.NewContext(ctx)
	b := &browser{ctx: ctx, axe: axe}
	end := func() { stopTab(); stopAll() }
	bypass := chromedp.Func(func(ctx context.Context, t *chromedp.Target) error { // the checker is no part of the page
		_, err := cdp.Call(ctx, t, page.SetBypassCSP, page.SetBypassCSPParams{Enabled: true})
		return err
	})
	if err := chromedp.Do(ctx, bypass); err != nil {
		end()
		return nil, nil, err
	}
	if err := chromedp.Listen(ctx, b.console.Hear); err != nil {
		end()
		return nil, nil, err
	}
	return b, end, nil
}

// show sets the medium ("" for the screen), the colours and the width.
func (b *browser) show(ctx context.Context, medium string, on screen) error {
	return chromedp.Do(ctx, chromedp.EmulateViewport(on.width, 844), chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Media:    medium,
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: on.scheme}},
		})
		return err
	}))
}

// Widths that A4 leaves between the margins of a page, px: 210 mm and 297 mm less
// 2·10 mm; our judgement.
const paperWidth, landscapeWidth = 718, 1047

// look keeps the pictures of one page and returns what is wrong with it.
func (b *browser) look(site string, v visit, to string) ([]string, error) {
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	if err := b.show(ctx, "", screens[0]); err != nil {
		return nil, err
	}
	if err := chromedp.Do(ctx, chromedp.Navigate(site+v.address)); err != nil {
		return nil, err
	}
	var problems []string
	for _, on := range screens {
		if err := b.show(ctx, "", on); err != nil {
			return nil, err
		}
		name := fmt.Sprintf("%s-%s-%d.png", v.name, on.scheme, on.width)
		if err := b.keep(ctx, on, filepath.Join(to, name)); err != nil {
			return nil, err
		}
		found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](faults))
		if err != nil {
			return nil, err
		}
		problems = append(problems, at(found, fmt.Sprintf("%s, %d px", on.scheme, on.width))...)
	}
	found, err := b.spaced(ctx)
	if err != nil {
		return nil, err
	}
	problems = append(problems, at(found, "light, 320 px, wide spacing")...)
	for _, on := range []screen{{"light", 1280}, {"dark", 390}} {
		found, err := b.check(ctx, on)
		if err != nil {
			return nil, err
		}
		problems = append(problems, at(found, fmt.Sprintf("%s, %d px", on.scheme, on.width))...)
	}
	found, err = b.print(ctx, filepath.Join(to, v.name+".pdf"))
	if err != nil {
		return nil, err
	}
	problems = append(problems, at(found, "printed")...)
	return append(problems, at(b.console.Take(), "in the console")...), nil
}

// at reports where each complaint was found.
func at(found []string, where string) []string {
	var told []string
	for _, f := range found {
		told = append(told, where+": "+f)
	}
	return told
}

// spaced looks for what stands out where a reader spaces the text as WCAG 2.2,
// success criterion 1.4.12, has it, and leaves the page as it was.
func (b *browser) spaced(ctx context.Context) ([]string, error) {
	if err := b.show(ctx, "", screens[0]); err != nil {
		return nil, err
	}
	return chromedp.Run(ctx, chromedp.Evaluate[[]string](`(() => {
		const style = document.createElement("style");
		style.textContent = "* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important } p { margin-bottom: 2em !important }";
		document.head.append(style);
		const over = document.documentElement.scrollWidth - innerWidth;
		style.remove();
		return over > 0 ? ["stands out by " + over + " px"] : [];
	})()`))
}

// check asks the accessibility checker, with everything unfolded.
func (b *browser) check(ctx context.Context, on screen) ([]string, error) {
	if err := b.show(ctx, "", on); err != nil {
		return nil, err
	}
	const unfold = "document.querySelectorAll('details').forEach(d => d.open = true); 0"
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[int](unfold)); err != nil {
		return nil, err
	}
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[int](b.axe+"; 0")); err != nil {
		return nil, err
	}
	return chromedp.Run(ctx, chromedp.Evaluate[[]string](`axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})
		.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + v.help + ": " + n.html.slice(0, 200))))`, chromedp.EvalAwaitPromise))
}

// print keeps the page as it is printed, and looks for what does not fit the paper
// that it asks for.
func (b *browser) print(ctx context.Context, file string) ([]string, error) {
	if err := b.show(ctx, "print", screen{"light", paperWidth}); err != nil {
		return nil, err
	}
	if err := chromedp.Do(ctx, chromedp.Reload()); err != nil { // what was unfolded is not printed
		return nil, err
	}
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperA4), chromedp.PDFPreferCSSPageSize()))
	if err != nil {
		return nil, err
	}
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		return nil, err
	}
	if isLandscape(pdf) {
		if err := b.show(ctx, "print", screen{"light", landscapeWidth}); err != nil {
			return nil, err
		}
	}
	return chromedp.Run(ctx, chromedp.Evaluate[[]string](faults))
}

// paper finds the size of a sheet, pt.
var paper = regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`)

// isLandscape reports whether the first sheet is wider than high.
func isLandscape(pdf []byte) bool {
	size := paper.FindSubmatch(pdf)
	if size == nil {
		return false
	}
	width, errWidth := strconv.ParseFloat(string(size[1]), 64)
	height, errHeight := strconv.ParseFloat(string(size[2]), 64)
	return errWidth == nil && errHeight == nil && width > height
}

// faults finds what stands out over the side, and type under 12 px, which on paper
// is 9 pt. Drawings scale: they may have half a pixel less for what is rounded.
const faults = `(() => {
	const found = [];
	const over = document.documentElement.scrollWidth - innerWidth;
	if (over > 0) found.push("stands out by " + over + " px");
	const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	const small = new Map();
	for (let n = texts.nextNode(); n; n = texts.nextNode()) {
		const of = n.parentElement;
		if (!n.data.trim() || !of.checkVisibility({visibilityProperty: true}) || of.closest("sup, sub")) continue;
		const drawn = of.closest("svg");
		let size = parseFloat(getComputedStyle(of).fontSize);
		if (of.getScreenCTM) size *= Math.hypot(of.getScreenCTM().a, of.getScreenCTM().b);
		const least = drawn ? 11.5 : 11.9;
		if (size < least) small.set(size.toFixed(1), n.data.trim().slice(0, 40));
	}
	for (const [size, text] of small) found.push("type of " + size + " px: " + text);
	return found;
})()`

// tallest is how much of a page is drawn, px; the browser gives up on pictures
// of over 16,384; our judgement.
const tallest = 8000

// keep writes the picture of the page from its top.
func (b *browser) keep(ctx context.Context, on screen, file string) error {
	height, err := chromedp.Run(ctx, chromedp.Evaluate[int64]("document.documentElement.scrollHeight"))
	if err != nil {
		return err
	}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(on.width, min(height, tallest))); err != nil {
		return err
	}
	picture, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return err
	}
	return os.WriteFile(file, picture, 0o644)
}

// index shows the pictures of each page side by side.
var index = template.Must(template.New("index").Parse(`<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Pages</title>
<style>body{font:16px sans-serif}section{display:flex;gap:8px;align-items:flex-start;overflow:auto}img{border:1px solid #999}</style>
{{range $v := .Pages}}<h2>{{.Address}}</h2><p><a href="{{.Name}}.pdf">printed</a></p>
<section>{{range $.Screens}}<img loading="lazy" alt="" src="{{$v.Name}}-{{.}}.png" height="600">{{end}}</section>
{{end}}</html>
`))

// writeIndex writes the page that shows all pictures.
func writeIndex(to string, pages []visit) (err error) {
	type entry struct{ Address, Name string }
	var shown struct {
		Pages   []entry
		Screens []string
	}
	for _, p := range pages {
		shown.Pages = append(shown.Pages, entry{p.address, p.name})
	}
	for _, s := range screens {
		shown.Screens = append(shown.Screens, fmt.Sprintf("%s-%d", s.scheme, s.width))
	}
	file, err := os.Create(filepath.Join(to, "index.html"))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	return index.Execute(file, shown)
}
