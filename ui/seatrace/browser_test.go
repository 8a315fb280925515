package seatrace_test

import (
	"fmt"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api"
	"thole/api/club"
	"thole/api/seatrace"
	"thole/ui/uitest"
)

func TestPlanFollowsTheForm(t *testing.T) {
	site, _ := raceSite(t)
	b := uitest.NewTab(t)
	b.Open(site.URL + planQuery)
	before := b.Text(".big .value")
	b.Write("#pieces", "8")
	uitest.Ask[any](b, "document.querySelector('#pieces').dispatchEvent(new Event('change', {bubbles: true}))")
	b.Until(fmt.Sprintf("document.querySelector('.big .value').textContent !== %q && location.search.includes('pieces=8') && document.querySelectorAll('.pieces > li').length === 8", before))
	b.Write("#pieces", "none")
	uitest.Ask[any](b, "document.querySelector('#pieces').dispatchEvent(new Event('change', {bubbles: true}))")
	b.Until("document.querySelector('#e-pieces').textContent.includes('whole number')")
	if b.Value("#pieces") != "none" || uitest.Ask[int](b, "document.querySelectorAll('.pieces > li').length") != 8 {
		t.Error("something that was typed or shown is lost")
	}
}

// TestSwappingByHandShowsTheConsequences changes two cells of the crews.
func TestSwappingByHandShowsTheConsequences(t *testing.T) {
	site, _ := raceSite(t)
	b := uitest.NewTab(t)
	b.Open(site.URL + "/seat-races/new?boat_class=2x&pieces=2&squad=Ann%0ABea%0ACat%0ADot&p1=1122&p2=1122")
	open := b.Text(".big:nth-child(3) .value")
	choose := func(cell, boat string) {
		uitest.Ask[any](b, fmt.Sprintf("(s => { s.value = %q; s.dispatchEvent(new Event('change', {bubbles: true})) })(document.querySelector('#%s'))", boat, cell))
	}
	choose("c2_0", "2")
	b.Until("document.querySelector('#problems').textContent.includes('rowers instead of 2')")
	choose("c2_2", "1")
	b.Until(fmt.Sprintf("document.querySelector('#problems').textContent.trim() === '' && document.querySelector('.big:nth-child(3) .value').textContent !== %q", open))
	b.Until("location.search.includes('p2=2112') && document.querySelectorAll('.pieces .mover').length === 2")
}

func launch(t *testing.T, raced int) (*httptest.Server, *api.Service, *uitest.Tab, string) {
	t.Helper()
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, raced)
	b := uitest.NewTab(t)
	address := fmt.Sprintf("%s/seat-races/%d", site.URL, race.ID)
	b.Open(address)
	return site, service, b, address
}

func recorded(t *testing.T, service *api.Service, piece int) seatrace.RacePiece {
	t.Helper()
	race, err := service.Seatrace.Race(t.Context(), club.IDRequest{ID: 1})
	if err != nil {
		t.Fatal(err)
	}
	return race.Pieces[piece-1]
}

func TestTimesWithoutAConnectionAreKeptAndSent(t *testing.T) {
	_, service, b, address := launch(t, 1)
	uitest.Ask[any](b, uitest.CutOff)
	b.Write("#t1", "3:11.4")
	b.Write("#t2", "+1.2")
	b.Do(chromedp.Click(chromedp.CSS(".launch button[value=raced]")))
	b.Until("document.querySelector('#waiting').textContent.includes('piece 2') && document.activeElement.id === 'p3-t1'")
	b.Do(chromedp.SendKeys(chromedp.CSS("#p3-t1"), "3:12"), chromedp.SendKeys(chromedp.CSS("#p3-t2"), "3:13"), chromedp.Click(chromedp.CSS("form[data-piece='3'] button[value=raced]")))
	b.Until("document.querySelector('#waiting').textContent.includes('piece 2, piece 3')")
	if recorded(t, service, 2).State != "planned" || b.Value("#t1") != "3:11.4" {
		t.Fatal("the times were sent or lost")
	}
	b.Open(address) // there is a connection again
	b.Until("document.querySelector('#now-h').textContent === 'Piece 4' && document.querySelector('#waiting').hidden")
	if p := recorded(t, service, 3); p.State != "raced" || *p.TimesS[1] != 193 {
		t.Errorf("%+v", p)
	}
	if p := recorded(t, service, 2); p.State != "raced" || *p.TimesS[0] != 191.4 || *p.TimesS[1] != 192.6 {
		t.Errorf("%+v", p)
	}
	if left := uitest.Ask[string](b, "Object.keys(localStorage).filter(k => k.startsWith('thole-draft')).join() + localStorage.getItem('thole-to-send')"); left != "[]" {
		t.Errorf("left behind: %s", left)
	}
}

func TestTypedTimesOutliveThePage(t *testing.T) {
	_, _, b, address := launch(t, 1)
	b.Write("#t1", "3:11.4")
	key := b.Value(".launch [name=key]")
	b.Open("about:blank")
	b.Open(address)
	if b.Value("#t1") != "3:11.4" || b.Value(".launch [name=key]") != key {
		t.Errorf("%q under %q, want it under %q", b.Value("#t1"), b.Value(".launch [name=key]"), key)
	}
}

func TestEntryWithoutLeavingThePage(t *testing.T) {
	_, service, b, _ := launch(t, 1)
	uitest.Ask[any](b, "document.querySelector('.typing button').click()") // the minutes
	if b.Value("#t1") != "3:" {
		t.Errorf("%q, want the minutes", b.Value("#t1"))
	}
	b.Do(chromedp.SendKeys(chromedp.CSS("#t1"), "11.4"), chromedp.SendKeys(chromedp.CSS("#t2"), "302"))
	uitest.Ask[any](b, "document.querySelector('.launch button[value=raced]').click()")
	b.Until("document.querySelector('#e-t2')?.textContent.includes('type it so') && document.activeElement.id === 't2'")
	if b.Value("#t1") != "3:11.4" || b.Value("#t2") != "302" {
		t.Error("what was typed is lost")
	}
	b.Write("#t2", "3:12")
	uitest.Ask[any](b, "document.querySelector('.launch button[value=raced]').click()")
	b.Until("document.querySelector('#now-h').textContent === 'Piece 3' && document.activeElement.id === 't1'")
	if *recorded(t, service, 2).TimesS[1] != 192 {
		t.Error("not recorded")
	}
}

func TestLaunchWithoutScript(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	b := uitest.NewTab(t)
	b.WithoutScript()
	b.Open(fmt.Sprintf("%s/seat-races/%d", site.URL, race.ID))
	b.Do(chromedp.SendKeys(chromedp.CSS("#t1"), "3:11.4"), chromedp.SendKeys(chromedp.CSS("#t2"), "+1.2"), chromedp.Click(chromedp.CSS(".launch button[value=raced]")))
	b.Do(chromedp.WaitVisible(chromedp.CSS("form[data-piece='3'] #t1")))
	if recorded(t, service, 2).State != "raced" {
		t.Error("not recorded")
	}
}

// racePaths are the pages of the area over two seat races.
func racePaths(t *testing.T, service *api.Service) []string {
	t.Helper()
	one := newRace(t, service, awkward, 4)
	two := newRace(t, service, []string{"Eva", "Flo", "Gina", "Ida"}, 0)
	return []string{
		"/seat-races", planQuery, planQuery + "&boats=1", "/seat-races/new", planQuery + "&p1=1122&p2=2112",
		fmt.Sprintf("/seat-races/%d", one.ID), fmt.Sprintf("/seat-races/%d?piece=1&view=absolute", one.ID), fmt.Sprintf("/seat-races/%d", two.ID),
		fmt.Sprintf("/seat-races/%d/coach", one.ID), fmt.Sprintf("/seat-races/%d/crews", one.ID),
	}
}

func TestRacePagesAreAccessible(t *testing.T) {
	site, service := raceSite(t)
	b := uitest.NewTab(t)
	for i, path := range racePaths(t, service) {
		if i%2 == 0 {
			b.Show("light", 1280)
		} else {
			b.Show("dark", 390)
		}
		b.Axe(site.URL + path)
	}
}

func TestRacePagesFitAPhone(t *testing.T) {
	site, service := raceSite(t)
	b := uitest.NewTab(t)
	b.Show("light", 360)
	for _, path := range racePaths(t, service) {
		b.Open(site.URL + path)
		if over := uitest.Ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
			t.Errorf("%s is %d px wider than a phone", path, over)
		}
	}
}

// TestRunningOrdersPrintOnOneSheet prints eight pieces of two eights.
func TestRunningOrdersPrintOnOneSheet(t *testing.T) {
	site, service := raceSite(t)
	b := uitest.NewTab(t)
	id := bigRace(t, service)
	for _, page := range []string{"coach", "crews"} {
		b.WantOneSheet(fmt.Sprintf("%s/seat-races/%d/%s", site.URL, id, page))
	}
}

func TestRacePagesKeepThePolicy(t *testing.T) {
	_, _, b, _ := launch(t, 1)
	blocked := uitest.Ask[[]string](b, `new Promise(done => { const seen = []; document.addEventListener("securitypolicyviolation", e => seen.push(e.blockedURI + " " + e.violatedDirective));
		const t1 = document.querySelector("#t1"), t2 = document.querySelector("#t2"); t1.value = "3:11"; t2.value = "3:12"; document.querySelector(".launch button[value=raced]").click(); setTimeout(() => done(seen), 1500) })`)
	if len(blocked) > 0 || b.Text("#now-h") != "Piece 3" {
		t.Errorf("blocked: %v", blocked)
	}
}
