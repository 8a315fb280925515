package ui_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/demo"
)

func TestStrokePagesAreAccessible(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	_, location, _ := c.sendFile("a.csv", string(demo.StrokeSample()))
	for _, look := range []struct {
		scheme string
		width  int64
		pages  []string
	}{
		{"light", 390, []string{"/strokes", "/strokes/import", "/strokes/layout", "/strokes/1?posture=1", "/strokes/compare?a=1&b=5", "/strokes/squad", location}},
		{"dark", 1280, []string{"/strokes/1", "/strokes/squad"}},
	} {
		b.show(look.scheme, look.width)
		for _, path := range look.pages {
			b.axe(c.url + path)
			if wide := ask[int64](b, "document.documentElement.scrollWidth"); wide > look.width {
				t.Errorf("%s: %d wide on a screen of %d", path, wide, look.width)
			}
		}
	}
}

// TestImportInTheBrowser picks a file, confirms, keeps and looks, as a coach
// does.
func TestImportInTheBrowser(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	file := filepath.Join(t.TempDir(), "outing.csv")
	if err := os.WriteFile(file, demo.StrokeSample(), 0o600); err != nil {
		t.Fatal(err)
	}
	b.open(c.url + "/strokes/import")
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}))
	b.do(chromedp.Click(chromedp.CSS("form.recordform button")))
	b.until(`document.querySelector("button[value=measure]")`)
	b.do(chromedp.Click(chromedp.CSS("button[value=measure]")))
	b.until(`document.querySelector("#athlete0")`)
	ask[any](b, `document.querySelector("#athlete0").selectedIndex = 3`)
	b.do(chromedp.Click(chromedp.CSS("form.recordform button")))
	b.until(`document.querySelector(".strokeplot") && location.pathname.match(/strokes\/\d+$/)`)
	if head := b.text(".headline"); head == "" {
		t.Error("no headline")
	}
}
