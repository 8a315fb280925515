package seatrace_test

import (
	"fmt"
	"math"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api"
	"thole/api/records"
	"thole/api/seatrace"
	"thole/ui/uitest"
)

func TestPlanFollowsTheForm(t *testing.T) {
	site, _ := raceSite(t)
	b := uitest.NewTab(t)
	b.Open(site.URL + planQuery)
	b.Do(chromedp.Click(chromedp.CSS(".panel-fold > summary")))
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
	open := b.Text(".big:nth-last-child(2) .value")
	choose := func(cell, boat string) {
		uitest.Ask[any](b, fmt.Sprintf("(s => { s.value = %q; s.dispatchEvent(new Event('change', {bubbles: true})) })(document.querySelector('#%s'))", boat, cell))
	}
	choose("c2_0", "2")
	b.Until("document.querySelector('#problems').textContent.includes('rowers instead of 2')")
	choose("c2_2", "1")
	b.Until(fmt.Sprintf("document.querySelector('#problems').textContent.trim() === '' && document.querySelector('.big:nth-last-child(2) .value').textContent !== %q", open))
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
	race, err := service.Seatrace.Race(t.Context(), records.IDRequest{ID: 1})
	if err != nil {
		t.Fatal(err)
	}
	return race.Pieces[piece-1]
}

// TestTrialDayOnAPhone times pieces with the stopwatch as a coach in a launch does:
// a press too early taken back, a watch that was not stopped, a phone that was
// locked and opened again, no signal, a time corrected by hand, and what the piece
// said at the head of the page.
func TestTrialDayOnAPhone(t *testing.T) {
	_, service, b, address := launch(t, 1)
	b.Phone()
	b.Open(address)
	press := func(form, key string) {
		b.Do(chromedp.Click(chromedp.CSS(fmt.Sprintf("form[data-piece='%s'] %s", form, key))))
	}
	finish := func(boat int) string { return fmt.Sprintf("[data-watch=finish][data-boat='%d']", boat) }
	if !uitest.Ask[bool](b, "document.querySelector(\"[data-watch=finish]\").disabled") {
		t.Error("a boat can finish before the start")
	}
	press("2", "[data-watch=start]")
	press("2", "[data-watch=split][data-boat='1']")
	press("2", finish(2)) // too early
	press("2", "[data-watch=undo]")
	if left := b.Value("#t2"); left != "" {
		t.Errorf("taken back, and still there: %s", left)
	}
	// The phone is locked for the piece, and the page is opened again.
	uitest.Ask[any](b, `Object.keys(localStorage).filter(k => k.startsWith("thole-draft")).forEach(k => {
		const d = JSON.parse(localStorage[k]); d.watch.taps.forEach(t => { t.at -= 190000 }); localStorage[k] = JSON.stringify(d) })`)
	b.Open(address)
	b.Until("document.querySelector('.clock').textContent.startsWith('3:1') && document.querySelector('[data-watch=start]').hidden")
	press("2", finish(1))
	b.Until("/^3:1\\d\\.\\d\\d$/.test(document.querySelector('#t1').value)")
	stopped := b.Value("#t1")
	press("2", "[value=raced]") // and the second boat is still under way
	b.Until("document.querySelector('#e-t2').textContent.includes('still runs') && document.activeElement.id === 't2'")
	b.Connected(false)
	press("2", finish(2))
	b.Until("document.querySelector('[data-watch-says]').textContent.startsWith('Boat 1 by ')")
	b.Write("#t2", "3")
	uitest.Ask[any](b, "document.querySelectorAll('.typing button')[1].click()") // the colon, into the field last touched
	b.Do(chromedp.SendKeys(chromedp.CSS("#t2"), "21.5"))
	press("2", "[value=raced]")
	b.Until("document.querySelector('#waiting').textContent.includes('piece 2') && document.activeElement.matches(\"form[data-piece='3'] [data-watch=start]\")")
	if recorded(t, service, 2).State != "planned" || b.Value("#t1") != stopped {
		t.Fatal("the times were sent or lost")
	}
	b.Write("#p3-t1", "3:12")
	b.Write("#p3-t2", "302")
	press("3", "[value=raced]")
	b.Until("document.querySelector('#waiting').textContent.includes('piece 2, piece 3')")
	b.Connected(true)
	b.Until("document.querySelector('#waiting').hidden && document.querySelector('#e-t2')?.textContent.includes('type it so')")
	p := recorded(t, service, 2)
	if p.State != "raced" || entered(*p.TimesS[0]) != stopped || *p.TimesS[1] != 201.5 || !strings.HasPrefix(p.Note, "Splits: boat 1 0:0") {
		t.Errorf("%+v, want %s", p, stopped)
	}
	if b.Value("#t1") != "3:12" || b.Value("#t2") != "302" {
		t.Error("what was refused is lost")
	}
	b.Write("#t2", "3:13")
	press("3", "[value=raced]")
	b.Until("document.querySelector('#now-h').textContent === 'Piece 4' && document.activeElement.id === 'latest-h'")
	if said := uitest.Ask[string](b, "document.querySelector('#latest').innerText"); !strings.Contains(said, "Piece 3: boat 1 by 1.0 s") || !strings.Contains(said, "Against piece 2 the boat is") {
		t.Errorf("the piece just raced does not lead: %s", said)
	}
	if left := uitest.Ask[string](b, "Object.keys(localStorage).filter(k => k.startsWith('thole-draft')).join() + localStorage.getItem('thole-to-send')"); left != "[]" {
		t.Errorf("left behind: %s", left)
	}
}

// entered writes seconds as the watch does.
func entered(s float64) string { return fmt.Sprintf("%d:%05.2f", int(s)/60, math.Mod(s, 60)) }

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
		fmt.Sprintf("/seat-races/%d/why", one.ID),
	}
}

// TestRacePagesAreAccessible by day and by night, wide and narrow; with everything
// unfolded they are no wider than a phone.
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
		b.Fits(path, 360)
	}
}

// TestRunningOrdersPrintOnOneSheet prints eight pieces of two eights.
func TestRunningOrdersPrintOnOneSheet(t *testing.T) {
	site, service := raceSite(t)
	b := uitest.NewTab(t)
	id := bigRace(t, service)
	for _, page := range []string{"coach", "crews", "why"} {
		b.WantOneSheet(fmt.Sprintf("%s/seat-races/%d/%s", site.URL, id, page))
	}
}
