package ui_test

import (
	"fmt"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api"
	"thole/api/club"
	"thole/api/seatrace"
)

func TestPlanFollowsTheForm(t *testing.T) {
	site, _ := trialSite(t)
	b := newTab(t)
	b.open(site.URL + planQuery)
	before := b.text(".big .value")
	b.write("#pieces", "8")
	ask[any](b, "document.querySelector('#pieces').dispatchEvent(new Event('change', {bubbles: true}))")
	b.until(fmt.Sprintf("document.querySelector('.big .value').textContent !== %q && location.search.includes('pieces=8') && document.querySelectorAll('.pieces > li').length === 8", before))
	b.write("#pieces", "none")
	ask[any](b, "document.querySelector('#pieces').dispatchEvent(new Event('change', {bubbles: true}))")
	b.until("document.querySelector('#e-pieces').textContent.includes('whole number')")
	if b.value("#pieces") != "none" || ask[int](b, "document.querySelectorAll('.pieces > li').length") != 8 {
		t.Error("something that was typed or shown is lost")
	}
}

// TestSwappingByHandShowsTheConsequences changes two cells of the crews.
func TestSwappingByHandShowsTheConsequences(t *testing.T) {
	site, _ := trialSite(t)
	b := newTab(t)
	b.open(site.URL + "/trials/new?boat_class=2x&pieces=2&squad=Ann%0ABea%0ACat%0ADot&p1=1122&p2=1122")
	open := b.text(".big:nth-child(3) .value")
	choose := func(cell, boat string) {
		ask[any](b, fmt.Sprintf("(s => { s.value = %q; s.dispatchEvent(new Event('change', {bubbles: true})) })(document.querySelector('#%s'))", boat, cell))
	}
	choose("c2_0", "2")
	b.until("document.querySelector('#problems').textContent.includes('rowers instead of 2')")
	choose("c2_2", "1")
	b.until(fmt.Sprintf("document.querySelector('#problems').textContent.trim() === '' && document.querySelector('.big:nth-child(3) .value').textContent !== %q", open))
	b.until("location.search.includes('p2=2112') && document.querySelectorAll('.pieces .mover').length === 2")
}

// cutOff makes the tab lose its connection, as far as scripts can tell.
const cutOff = "window.fetch = () => Promise.reject(new TypeError('no connection')); 0"

func launch(t *testing.T, raced int) (*httptest.Server, *api.Service, *tab, string) {
	t.Helper()
	site, service := trialSite(t)
	trial := newTrial(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, raced)
	b := newTab(t)
	address := fmt.Sprintf("%s/trials/%d", site.URL, trial.ID)
	b.open(address)
	return site, service, b, address
}

func recorded(t *testing.T, service *api.Service, piece int) seatrace.TrialPiece {
	t.Helper()
	trial, err := service.Seatrace.Trial(t.Context(), club.IDRequest{ID: 1})
	if err != nil {
		t.Fatal(err)
	}
	return trial.Pieces[piece-1]
}

func TestTimesWithoutAConnectionAreKeptAndSent(t *testing.T) {
	_, service, b, address := launch(t, 1)
	ask[any](b, cutOff)
	b.write("#t1", "3:11.4")
	b.write("#t2", "+1.2")
	b.do(chromedp.Click(chromedp.CSS(".launch button[value=raced]")))
	b.until("document.querySelector('#waiting').textContent.includes('piece 2') && document.activeElement.id === 'p3-t1'")
	b.do(chromedp.SendKeys(chromedp.CSS("#p3-t1"), "3:12"), chromedp.SendKeys(chromedp.CSS("#p3-t2"), "3:13"), chromedp.Click(chromedp.CSS("form[data-piece='3'] button[value=raced]")))
	b.until("document.querySelector('#waiting').textContent.includes('piece 2, piece 3')")
	if recorded(t, service, 2).State != "planned" || b.value("#t1") != "3:11.4" {
		t.Fatal("the times were sent or lost")
	}
	b.open(address) // there is a connection again
	b.until("document.querySelector('#now-h').textContent === 'Piece 4' && document.querySelector('#waiting').hidden")
	if p := recorded(t, service, 3); p.State != "raced" || *p.TimesS[1] != 193 {
		t.Errorf("%+v", p)
	}
	if p := recorded(t, service, 2); p.State != "raced" || *p.TimesS[0] != 191.4 || *p.TimesS[1] != 192.6 {
		t.Errorf("%+v", p)
	}
	if left := ask[string](b, "Object.keys(localStorage).filter(k => k.startsWith('thole-draft')).join() + localStorage.getItem('thole-to-send')"); left != "[]" {
		t.Errorf("left behind: %s", left)
	}
}

func TestTypedTimesOutliveThePage(t *testing.T) {
	_, _, b, address := launch(t, 1)
	b.write("#t1", "3:11.4")
	key := b.value(".launch [name=key]")
	b.open("about:blank")
	b.open(address)
	if b.value("#t1") != "3:11.4" || b.value(".launch [name=key]") != key {
		t.Errorf("%q under %q, want it under %q", b.value("#t1"), b.value(".launch [name=key]"), key)
	}
}

func TestEntryWithoutLeavingThePage(t *testing.T) {
	_, service, b, _ := launch(t, 1)
	ask[any](b, "document.querySelector('.typing button').click()") // the minutes
	if b.value("#t1") != "3:" {
		t.Errorf("%q, want the minutes", b.value("#t1"))
	}
	b.do(chromedp.SendKeys(chromedp.CSS("#t1"), "11.4"), chromedp.SendKeys(chromedp.CSS("#t2"), "302"))
	ask[any](b, "document.querySelector('.launch button[value=raced]').click()")
	b.until("document.querySelector('#e-t2')?.textContent.includes('type it so') && document.activeElement.id === 't2'")
	if b.value("#t1") != "3:11.4" || b.value("#t2") != "302" {
		t.Error("what was typed is lost")
	}
	b.write("#t2", "3:12")
	ask[any](b, "document.querySelector('.launch button[value=raced]').click()")
	b.until("document.querySelector('#now-h').textContent === 'Piece 3' && document.activeElement.id === 't1'")
	if *recorded(t, service, 2).TimesS[1] != 192 {
		t.Error("not recorded")
	}
}

func TestLaunchWithoutScript(t *testing.T) {
	site, service := trialSite(t)
	trial := newTrial(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	b := newTab(t)
	b.withoutScript()
	b.open(fmt.Sprintf("%s/trials/%d", site.URL, trial.ID))
	b.do(chromedp.SendKeys(chromedp.CSS("#t1"), "3:11.4"), chromedp.SendKeys(chromedp.CSS("#t2"), "+1.2"), chromedp.Click(chromedp.CSS(".launch button[value=raced]")))
	b.do(chromedp.WaitVisible(chromedp.CSS("form[data-piece='3'] #t1")))
	if recorded(t, service, 2).State != "raced" {
		t.Error("not recorded")
	}
}

// trialPaths are the pages of the area over two trials.
func trialPaths(t *testing.T, service *api.Service) []string {
	t.Helper()
	one := newTrial(t, service, awkward, 4)
	two := newTrial(t, service, []string{"Eva", "Flo", "Gina", "Ida"}, 0)
	return []string{
		"/trials", planQuery, planQuery + "&boats=1", "/trials/new", planQuery + "&p1=1122&p2=2112",
		fmt.Sprintf("/trials/%d", one.ID), fmt.Sprintf("/trials/%d?piece=1&view=absolute", one.ID), fmt.Sprintf("/trials/%d", two.ID),
		fmt.Sprintf("/trials/%d/coach", one.ID), fmt.Sprintf("/trials/%d/crews", one.ID),
	}
}

func TestTrialPagesAreAccessible(t *testing.T) {
	site, service := trialSite(t)
	b := newTab(t)
	for i, path := range trialPaths(t, service) {
		if i%2 == 0 {
			b.show("light", 1280)
		} else {
			b.show("dark", 390)
		}
		b.axe(site.URL + path)
	}
}

func TestTrialPagesFitAPhone(t *testing.T) {
	site, service := trialSite(t)
	b := newTab(t)
	b.show("light", 360)
	for _, path := range trialPaths(t, service) {
		b.open(site.URL + path)
		if over := ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
			t.Errorf("%s is %d px wider than a phone", path, over)
		}
	}
}

// TestRunningOrdersPrintOnOneSheet prints eight pieces of two eights.
func TestRunningOrdersPrintOnOneSheet(t *testing.T) {
	site, service := trialSite(t)
	b := newTab(t)
	id := bigTrial(t, service)
	for name, paper := range map[string]chromedp.PDFOption{"A4": chromedp.PDFPaper(chromedp.PaperA4), "Letter": chromedp.PDFPaper(chromedp.PaperLetter)} {
		for _, page := range []string{"coach", "crews"} {
			if n := b.sheets(fmt.Sprintf("%s/trials/%d/%s", site.URL, id, page), paper); n != 1 {
				t.Errorf("%s, %s: %d sheets, want 1", name, page, n)
			}
		}
	}
}

func TestTrialPagesKeepThePolicy(t *testing.T) {
	_, _, b, _ := launch(t, 1)
	blocked := ask[[]string](b, `new Promise(done => { const seen = []; document.addEventListener("securitypolicyviolation", e => seen.push(e.blockedURI + " " + e.violatedDirective));
		const t1 = document.querySelector("#t1"), t2 = document.querySelector("#t2"); t1.value = "3:11"; t2.value = "3:12"; document.querySelector(".launch button[value=raced]").click(); setTimeout(() => done(seen), 1500) })`)
	if len(blocked) > 0 || b.text("#now-h") != "Piece 3" {
		t.Errorf("blocked: %v", blocked)
	}
}
