package intake_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/club"
	"thole/ui/uitest"
)

// TestATableComesInWithoutScript goes the whole way by plain forms on a phone:
// look, records that move on, look again, save. Doubts stay in sight.
func TestATableComesInWithoutScript(t *testing.T) {
	b := uitest.NewTab(t)
	c := clubOf(t, "name,birth_date,port_cost_s\nWilhelmina Featherstonehaugh-Cholmondeley,2004-02-03,1\n")
	file := filepath.Join(t.TempDir(), "mine.csv")
	table := "name,birth_date,port_cost_s\nWilhelmina Featherstonehaugh-Cholmondeley,2004-02-03,2\nWilhelmina Featherstonehaugh-Cholmondeley,2004-03-02,\n"
	if err := os.WriteFile(file, []byte(table), 0o600); err != nil {
		t.Fatal(err)
	}
	b.WithoutScript()
	b.Show("light", 375)
	b.Open(c.URL + "/squad/import")
	b.Do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}), chromedp.Click(chromedp.CSS("button[type=submit]")), chromedp.WaitVisible(chromedp.CSS(".squadplan")))
	uitest.WantIn(t, "look", b.Text("main"), "port costs: 1 s → 2 s", "born 3 Feb 2004.")
	if out := uitest.Ask[int](b, `[...document.querySelectorAll(".squadplan td:last-child")].filter((d) => d.getBoundingClientRect().right > document.documentElement.clientWidth).length`); out > 0 {
		t.Errorf("%d cells with changes and doubts begin beyond the edge of a phone", out)
	}

	c.Edit("Wilhelmina Featherstonehaugh-Cholmondeley", "2004-02-03", func(f *club.AthleteFields) { f.PortCostS = nil })
	b.Write("#by", "Ines")
	b.Do(chromedp.Click(chromedp.CSS("button[name=save]")), chromedp.WaitVisible(chromedp.CSS(".problems")))
	uitest.WantIn(t, "again", b.Text("main"), movedOn, "port costs: nothing → 2 s")
	if b.Value("#by") != "Ines" {
		t.Errorf("name %q", b.Value("#by"))
	}
	b.Do(chromedp.Click(chromedp.CSS("button[name=save]")), chromedp.WaitVisible(chromedp.CSS(".next")))
	uitest.WantIn(t, "saved", b.Text("#plan-h"), "Saved")
}
