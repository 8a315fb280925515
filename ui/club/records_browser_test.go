package club_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/ui/uitest"
)

// TestRecordPagesAreAccessible by day and by night, wide and narrow. With everything
// unfolded they are no wider than a phone, and without inline styles and scripts.
func TestRecordPagesAreAccessible(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	checked := []string{
		"/boats", "/boats/9", "/boats/1", "/boats/9/edit", "/boats/9/seats/4", "/boats/1/seats/1", "/boats/9/seats/4/ranges", "/boats/9/history", firstUndo(c), "/boats/9/remove",
		"/athletes", "/athletes/13", "/athletes/7", "/athletes/13/edit", "/oars", "/oars/1",
	}
	for i, path := range checked {
		b.Show([]string{"light", "dark"}[i%2], []int64{1280, 390}[i%2])
		b.Axe(c.URL + path)
		b.Fits(path, 360)
	}
	for _, path := range recordPaths {
		if slices.Contains(checked, path) {
			continue
		}
		b.Open(c.URL + path)
		b.Fits(path, 360)
		if styled := uitest.Ask[int](b, "document.querySelectorAll('[style], style, script:not([src])').length"); styled != 0 {
			t.Errorf("%s has %d inline styles or scripts", path, styled)
		}
	}
}

// TestTwoEditorsInBrowsers lets two tabs edit one seat: the second sees what
// the first made of it, without losing what was typed.
func TestTwoEditorsInBrowsers(t *testing.T) {
	c, first, second := uitest.DemoClub(t), uitest.NewTab(t), uitest.NewTab(t)
	first.Open(c.URL + "/boats/9/seats/4")
	second.Open(c.URL + "/boats/9/seats/4")
	save := "document.querySelector('.recordform button[type=submit]').click()"
	first.Write("#seat4_inboard_cm", "115")
	first.Write("#by", "Ann")
	uitest.Ask[any](first, save)
	first.Until("location.pathname === '/boats/9' && document.readyState === 'complete'")
	second.Write("#seat4_inboard_cm", "114")
	second.Write("#by", "Ben")
	uitest.Ask[any](second, save)
	second.Until("document.querySelector('.clash')")
	if news := second.Text(".clash"); !strings.Contains(news, "Ann changed this") || second.Value("#seat4_inboard_cm") != "114" {
		t.Errorf("told %q, the field holds %q", news, second.Value("#seat4_inboard_cm"))
	}
	uitest.Ask[any](second, save)
	second.Until("location.pathname === '/boats/9' && document.readyState === 'complete'")
}

func TestBadRecordEntryIsFocused(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/boats/9/seats/4")
	b.Write("#seat4_spread_cm", "0.84")
	b.Write("#by", "Ann")
	uitest.Ask[any](b, "document.querySelector('.recordform button[type=submit]').click()")
	b.Until("document.querySelector('#e-seat4_spread_cm').textContent.includes('84 cm')")
	b.Until("document.activeElement.id === 'seat4_spread_cm'")
	if path := uitest.Ask[string](b, "location.pathname"); path != "/boats/9/seats/4" {
		t.Errorf("the address became %s", path)
	}
}

func TestRecordsWithoutScript(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.WithoutScript()
	b.Open(c.URL + "/boats/9/seats/4")
	b.Do(chromedp.SendKeys(chromedp.CSS("#why"), "new pin"), chromedp.SendKeys(chromedp.CSS("#by"), "Ann"),
		chromedp.Click(chromedp.CSS(".recordform button[type=submit]")))
	b.Do(chromedp.WaitVisible(chromedp.CSS("#above-h")))
}

// TestSearchNarrowsAsOneTypes finds by a part of the name, and the address
// restores it.
func TestSearchNarrowsAsOneTypes(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/athletes")
	b.Write("#name", "ashg")
	b.Until("document.querySelectorAll('#found tbody tr').length === 1 && location.search.includes('name=ashg')")
	if b.Value("#name") != "ashg" {
		t.Error("what was typed is lost")
	}
}

func TestSeatsAreReachedByKeyboard(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/boats/9")
	uitest.Ask[any](b, "document.querySelector('.rig thead a[href$=\"/seats/4\"]').focus()")
	b.Do(chromedp.KeyEvent("\r"))
	b.Until("location.pathname === '/boats/9/seats/4'")
}

// TestBoatsPrintOnOneSheet prints the largest boat on A4 and Letter, in letters
// that can be read.
func TestBoatsPrintOnOneSheet(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	for _, path := range []string{"/boats/9", "/boats/1", "/oars", "/boats", "/athletes"} {
		b.WantOneSheet(c.URL + path)
		b.WantLegible(path)
		b.Medium("")
	}
}

// TestBoatsFromAboveKeepTheirFrame: one drawing is shown at each width, upright
// on a phone and lying on a desk, and no page is wider than its window.
func TestBoatsFromAboveKeepTheirFrame(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	for _, path := range []string{"/boats/1", "/boats/5", "/boats/9", "/boats/9/seats/4"} {
		b.Open(c.URL + path)
		if styled := uitest.Ask[int](b, "document.querySelectorAll('[style], style, script:not([src])').length"); styled != 0 {
			t.Errorf("%s has %d inline styles or scripts", path, styled)
		}
		for _, width := range []int64{320, 390, 1280} {
			b.Show("light", width)
			if over := uitest.Ask[int](b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
				t.Errorf("%s at %d px is %d px too wide", path, width, over)
			}
			shown := uitest.Ask[[]float64](b, "[...document.querySelectorAll('svg.fig-crew')].map(s => s.getBoundingClientRect().width).filter(w => w > 0)")
			if len(shown) != 1 || shown[0] > float64(width) {
				t.Errorf("%s at %d px shows drawings of %v px", path, width, shown)
			}
		}
	}
	b.Show("light", 1280)
	b.Open(c.URL + "/boats/9")
	if shown := uitest.Ask[float64](b, "document.querySelector('#above-868').getBoundingClientRect().width"); shown != 868 {
		t.Errorf("lying it takes %v px", shown)
	}
}

// firstUndo is the address that asks whether the newest change of the eight is undone.
func firstUndo(c *uitest.ClubSite) string {
	return regexp.MustCompile(`/boats/9/history/[0-9]+`).FindString(c.Opened("/boats/9/history"))
}
