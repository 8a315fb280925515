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
	b.Show("light", 1280)
	b.Open(site.URL + "/seat?class=1x&sex=male")
	before := b.Text(".seatfigures .value")
	b.Write("#stature_cm", "195")
	b.Until(fmt.Sprintf("document.querySelector('.seatfigures .value').textContent !== %q && location.search.includes('stature_cm=195')", before))
	after, address := b.Text(".seatfigures .value"), uitest.Ask[string](b, "location.href")
	// The address alone restores the same result.
	b.Open(address)
	if restored, typed := b.Text(".seatfigures .value"), b.Value("#stature_cm"); restored != after || typed != "195" {
		t.Errorf("the address restores %s and height %s, want %s and 195", restored, typed, after)
	}
}

func TestBadEntryKeepsEverything(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Show("light", 1280)
	b.Open(site.URL + "/seat?class=1x&stature_cm=180")
	result := b.Text(".seatfigures .value")
	b.Write("#span_cm", "1,59")
	b.Until("document.querySelector('#e-span_cm').textContent.includes('metres: 159 cm')")
	if b.Value("#span_cm") != "1,59" || b.Value("#stature_cm") != "180" || b.Text(".seatfigures .value") != result {
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
	b.Show("light", 1280)
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
	b.Show("light", 1280)
	b.WithoutScript()
	b.Open(site.URL + "/seat?class=1x")
	b.Do(chromedp.SendKeys(chromedp.CSS("#stature_cm"), "195"), chromedp.Click(chromedp.CSS("button[type=submit]")))
	b.Do(chromedp.WaitVisible(chromedp.CSS("a[href*='stature_cm=195']")))
}

// TestAPhoneShowsTheAnswerFirst: verdict, figures and scale end within the first
// screen of a phone of 390 × 844 px, with the form folded to one line above.
func TestAPhoneShowsTheAnswerFirst(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Show("light", 390)
	for _, query := range []string{"", "?class=1x&sex=female&stature_cm=172&mass_kg=66&catch_deg=64", "?class=1x&sex=male&stature_cm=193&mass_kg=92&heel_to_pin_cm=14"} {
		b.Open(site.URL + "/seat" + query)
		for _, part := range []string{".answer", ".seatfigures", ".seatkey"} {
			if end := uitest.Ask[float64](b, "document.querySelector('"+part+"').getBoundingClientRect().bottom + scrollY"); end <= 0 || end > 844 {
				t.Errorf("/seat%s: %s ends at %.0f px", query, part, end)
			}
		}
		if b.Shown("#stature_cm") {
			t.Errorf("/seat%s: the form is not folded", query)
		}
	}
	uitest.Ask[any](b, "document.querySelector('.panel-fold > summary').click()")
	if !b.Shown("#stature_cm") {
		t.Error("the form does not unfold")
	}
}

// TestTheReadingIsTypedBesideTheProof types what was read with the rower in the
// seat and follows the button that sets the stretcher by it: one step.
func TestTheReadingIsTypedBesideTheProof(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Show("light", 1280)
	b.Open(site.URL + "/seat?class=1x&sex=male&stature_cm=190&mass_kg=88&heel_to_pin_cm=22")
	b.Write("#read_finish_cm", "68")
	uitest.Ask[any](b, "document.querySelector('.readings button').click()")
	b.Until("location.search.includes('read_finish_cm=68') && document.querySelector('.seatsteps a')?.textContent.startsWith('Set the stretcher to')")
	heel := uitest.Ask[string](b, "document.querySelector('.seatsteps a').textContent.match(/[0-9.]+/)[0]")
	uitest.Ask[any](b, "document.querySelector('.seatsteps a').click()")
	b.Until("document.readyState === 'complete' && document.querySelector('#heel_to_pin_cm')?.value === '" + heel + "'")
	if text := b.Text(".seatproof"); !strings.Contains(text, "Read with the heel 22 cm from the pins") {
		t.Errorf("where it was read is lost: %s", text)
	}
	if text := b.Text(".seatsteps"); strings.Contains(text, "Set the stretcher") || strings.Contains(text, "Stretcher ") {
		t.Errorf("a second step is asked for: %s", text)
	}
}

// TestKeyboardReachesEverything but the terms of a form's labels, which would make
// two steps of each field: they stand in the guide, which the foot leads to.
func TestKeyboardReachesEverything(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	b.Open(site.URL + "/seat")
	if n := uitest.Ask[int](b, `document.querySelectorAll("footer a[href='/guide']").length`); n != 1 {
		t.Errorf("%d links at the foot lead to the guide, want 1", n)
	}
	if n := uitest.Ask[int](b, `[...document.querySelectorAll("a:not(:is(label, legend) > .term),button,input:not([type=hidden]),select,summary")].filter(e => e.tabIndex < 0).length`); n != 0 {
		t.Errorf("%d controls cannot be reached by keyboard", n)
	}
}

// TestSeatPagesAreAccessible by day and by night; with everything unfolded they are no
// wider than a phone.
func TestSeatPagesAreAccessible(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	for _, path := range []string{"/", "/seat", "/seat?class=8%2B&b_spread_cm=84&age_years=15", "/seat?class=1x&span_cm=1.59", "/sources", "/api", "/nowhere"} {
		b.Axe(site.URL+path, uitest.Look{Scheme: "light", Width: 1280}, uitest.Look{Scheme: "dark", Width: 390})
		b.Fits(path, 320, 360, 390)
	}
	for _, path := range []string{"/seat?edit=1&mark=hole", "/seat?class=8%2B&b_spread_cm=84&read_finish_cm=50"} {
		b.Open(site.URL + path)
		b.Fits(path, 320, 360)
	}
}

// TestSeatPrintsOnOneSheet prints one set-up and two, on A4 and Letter.
func TestSeatPrintsOnOneSheet(t *testing.T) {
	site, b := uitest.NewSite(t), uitest.NewTab(t)
	for _, query := range []string{"", "?class=8%2B", "?class=1x&b_span_cm=158&b_inboard_cm=87"} {
		b.WantOneSheet(site.URL + "/seat" + query)
		b.WantLegible(query)
		b.Medium("")
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
