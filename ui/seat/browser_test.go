package seat_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/ui/uitest"
)

func TestTypingRecalculates(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Open(site.URL + "/seat?class=1x&sex=male")
	before := b.Text(".big .value")
	b.Write("#stature_cm", "195")
	b.Until(fmt.Sprintf("document.querySelector('.big .value').textContent !== %q && location.search.includes('stature_cm=195')", before))
	after, address := b.Text(".big .value"), uitest.Ask[string](b, "location.href")
	// The address alone restores the same result.
	b.Open(address)
	if restored, typed := b.Text(".big .value"), b.Value("#stature_cm"); restored != after || typed != "195" {
		t.Errorf("the address restores %s and height %s, want %s and 195", restored, typed, after)
	}
}

func TestBadEntryKeepsEverything(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Open(site.URL + "/seat?class=1x&stature_cm=180")
	result := b.Text(".big .value")
	b.Write("#span_cm", "1,59")
	b.Until("document.querySelector('#e-span_cm').textContent.includes('metres: 159 cm')")
	if b.Value("#span_cm") != "1,59" || b.Value("#stature_cm") != "180" || b.Text(".big .value") != result {
		t.Error("something that was typed or shown is lost")
	}
	uitest.Ask[any](b, "document.querySelector('button[type=submit]').click()")
	b.Until("document.activeElement.id === 'span_cm' && document.activeElement.getAttribute('aria-invalid') === 'true'")
	// Mending it takes the complaint away.
	b.Write("#span_cm", "158")
	b.Until("document.querySelector('#e-span_cm').textContent === '' && document.querySelector('#problems').textContent.trim() === '' && !document.querySelector('[aria-invalid]')")
}

func TestChoosingAnotherBoat(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Open(site.URL + "/seat?class=1x")
	b.Write("#stature_cm", "190")
	uitest.Ask[any](b, "(s => { s.value = '8+'; s.dispatchEvent(new Event('change', {bubbles: true})) })(document.querySelector('#class'))")
	b.Until("document.querySelector('#spread_cm')")
	if spread, stature, side := b.Value("#spread_cm"), b.Value("#stature_cm"), b.Value("[name=side]:checked"); spread != "85" || stature != "190" || side != "port" {
		t.Errorf("spread %q, height %q, side %q; want a common eight and the rower kept", spread, stature, side)
	}
}

func TestSeatWithoutScript(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.WithoutScript()
	b.Open(site.URL + "/seat?class=1x")
	b.Do(chromedp.SendKeys(chromedp.CSS("#stature_cm"), "195"), chromedp.Click(chromedp.CSS("button[type=submit]")))
	b.Do(chromedp.WaitVisible(chromedp.CSS("a[href*='stature_cm=195']")))
}

func TestKeyboardReachesEverything(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Open(site.URL + "/seat")
	if n := uitest.Ask[int](b, `[...document.querySelectorAll("a,button,input:not([type=hidden]),select,summary")].filter(e => e.tabIndex < 0).length`); n != 0 {
		t.Errorf("%d controls cannot be reached by keyboard", n)
	}
}

func TestSeatPagesAreAccessible(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	for _, path := range []string{"/", "/seat", "/seat?class=8%2B&b_spread_cm=84&age_years=15", "/seat?class=1x&span_cm=1.59", "/sources", "/api", "/nowhere"} {
		b.Axe(site.URL+path, uitest.Look{Scheme: "light", Width: 1280}, uitest.Look{Scheme: "dark", Width: 390})
	}
}

// TestSeatPagesFitAPhone checks that no page scrolls sideways.
func TestSeatPagesFitAPhone(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Show("light", 360)
	for _, path := range []string{"/", "/seat", "/seat?class=8%2B&b_spread_cm=84", "/sources", "/api"} {
		b.Open(site.URL + path)
		if over := uitest.Ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
			t.Errorf("%s is %d px wider than a phone", path, over)
		}
	}
}

// TestSeatPrintsOnOneSheet prints one set-up and two, on A4 and Letter.
func TestSeatPrintsOnOneSheet(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	for _, query := range []string{"", "?class=8%2B", "?class=1x&b_span_cm=158&b_inboard_cm=87&age_years=15&stature_cm=150"} {
		b.WantOneSheet(site.URL + "/seat" + query)
	}
}

// TestPolicyIsKept fails when the strict content security policy stops
// anything a page wants to load or run.
func TestPolicyIsKept(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Open(site.URL + "/seat")
	blocked := uitest.Ask[[]string](b, `new Promise(done => { const seen = []; document.addEventListener("securitypolicyviolation", e => seen.push(e.blockedURI + " " + e.violatedDirective));
		document.querySelector("#stature_cm").value = "181"; document.querySelector("#stature_cm").dispatchEvent(new Event("change", {bubbles: true})); setTimeout(() => done(seen), 1500) })`)
	if len(blocked) > 0 || !strings.Contains(uitest.Ask[string](b, "location.search"), "stature_cm=181") {
		t.Errorf("blocked: %v", blocked)
	}
}
