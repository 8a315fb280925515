package ui_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

func TestRecordPagesAreAccessible(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	for i, path := range []string{
		"/boats", "/boats/9", "/boats/1", "/boats/9/edit", "/boats/9/seats/4", "/boats/1/seats/1", "/boats/9/seats/4/ranges", "/boats/9/history", "/boats/9/history/" + lastChange(c), "/boats/9/remove",
		"/athletes", "/athletes/13", "/athletes/7", "/athletes/13/edit", "/oars", "/oars/1",
	} {
		b.show([]string{"light", "dark"}[i%2], []int64{1280, 390}[i%2])
		b.axe(c.url + path)
	}
}

// TestRecordPagesFitAPhone checks that no page scrolls sideways.
func TestRecordPagesFitAPhone(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.show("light", 360)
	for _, path := range recordPaths {
		b.open(c.url + path)
		if over := ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
			t.Errorf("%s is %d px wider than a phone", path, over)
		}
	}
}

// TestTwoEditorsInBrowsers lets two tabs edit one seat: the second sees what
// the first made of it, without losing what was typed.
func TestTwoEditorsInBrowsers(t *testing.T) {
	c, first, second := demoClub(t), newTab(t), newTab(t)
	first.open(c.url + "/boats/9/seats/4")
	second.open(c.url + "/boats/9/seats/4")
	save := "document.querySelector('.recordform button[type=submit]').click()"
	first.write("#seat4_inboard_cm", "115")
	first.write("#by", "Ann")
	ask[any](first, save)
	first.until("location.pathname === '/boats/9' && document.readyState === 'complete'")
	second.write("#seat4_inboard_cm", "114")
	second.write("#by", "Ben")
	ask[any](second, save)
	second.until("document.querySelector('.clash')")
	if news := second.text(".clash"); !strings.Contains(news, "Ann changed this") || second.value("#seat4_inboard_cm") != "114" {
		t.Errorf("told %q, the field holds %q", news, second.value("#seat4_inboard_cm"))
	}
	ask[any](second, save)
	second.until("location.pathname === '/boats/9' && document.readyState === 'complete'")
}

func TestBadRecordEntryIsFocused(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + "/boats/9/seats/4")
	b.write("#seat4_spread_cm", "0.84")
	b.write("#by", "Ann")
	ask[any](b, "document.querySelector('.recordform button[type=submit]').click()")
	b.until("document.querySelector('#e-seat4_spread_cm').textContent.includes('84 cm')")
	b.until("document.activeElement.id === 'seat4_spread_cm'")
	if path := ask[string](b, "location.pathname"); path != "/boats/9/seats/4" {
		t.Errorf("the address became %s", path)
	}
}

func TestRecordsWithoutScript(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.withoutScript()
	b.open(c.url + "/boats/9/seats/4")
	b.do(chromedp.SendKeys(chromedp.CSS("#why"), "new pin"), chromedp.SendKeys(chromedp.CSS("#by"), "Ann"),
		chromedp.Click(chromedp.CSS(".recordform button[type=submit]")))
	b.do(chromedp.WaitVisible(chromedp.CSS("#above-h")))
}

// TestSearchNarrowsAsOneTypes finds by a part of the name, and the address
// restores it.
func TestSearchNarrowsAsOneTypes(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + "/athletes")
	b.write("#name", "ashg")
	b.until("document.querySelectorAll('#found tbody tr').length === 1 && location.search.includes('name=ashg')")
	if b.value("#name") != "ashg" {
		t.Error("what was typed is lost")
	}
}

func TestSeatsOfTheDrawingAreReachedByKeyboard(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + "/boats/9")
	ask[any](b, "document.querySelector('.boatplan a[href$=\"/seats/4\"]').focus()")
	b.do(chromedp.KeyEvent("\r"))
	b.until("location.pathname === '/boats/9/seats/4'")
}

// TestBoatsPrintOnOneSheet prints the largest boat on A4 and Letter.
func TestBoatsPrintOnOneSheet(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	for name, paper := range map[string]chromedp.PDFOption{"A4": chromedp.PDFPaper(chromedp.PaperA4), "Letter": chromedp.PDFPaper(chromedp.PaperLetter)} {
		for _, path := range []string{"/boats/9", "/boats/1", "/athletes/13", "/oars"} {
			if n := b.sheets(c.url+path, paper); n != 1 {
				t.Errorf("%s, %s: %d sheets, want 1", name, path, n)
			}
		}
	}
}

func TestRecordPagesKeepThePolicy(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	for _, path := range []string{"/boats/9", "/boats/9/seats/4", "/athletes/13"} {
		b.open(c.url + path)
		styled := ask[int](b, "document.querySelectorAll('[style], style, script:not([src])').length")
		if styled != 0 {
			t.Errorf("%s has %d inline styles or scripts", path, styled)
		}
	}
}
