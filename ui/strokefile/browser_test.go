package strokefile_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/demo"
	"thole/ui/uitest"
)

// TestImportInTheBrowser picks a file, confirms, keeps and looks, as a coach
// does.
func TestImportInTheBrowser(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	file := filepath.Join(t.TempDir(), "outing.csv")
	if err := os.WriteFile(file, demo.StrokeSample(), 0o600); err != nil {
		t.Fatal(err)
	}
	b.Open(c.URL + "/recordings/import")
	b.Do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}))
	b.Do(chromedp.Click(chromedp.CSS("form.recordform button")))
	b.Until(`document.querySelector("button[value=measure]")`)
	uitest.Ask[any](b, `document.querySelector("#force").value = "handle"`)
	b.Do(chromedp.Click(chromedp.CSS("button[value=measure]")))
	b.Until(`document.querySelector("#athlete0")`)
	uitest.Ask[any](b, `document.querySelector("#athlete0").selectedIndex = 3`)
	b.Do(chromedp.Click(chromedp.CSS("form.recordform button")))
	b.Until(`document.querySelector(".strokeplot") && document.querySelector(".headline") && location.pathname.match(/recordings\/\d+$/)`)
	if head := b.Text(".headline"); head == "" {
		t.Error("no headline")
	}
}
