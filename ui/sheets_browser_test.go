package ui_test

import (
	"fmt"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/club"
	"thole/api/setup"
)

// typeIn puts text into a field and leaves it.
func (b *tab) typeIn(selector, text string) {
	b.t.Helper()
	ask[any](b, fmt.Sprintf("(e => { e.value = %q; e.dispatchEvent(new Event('change', {bubbles: true})) })(document.querySelector(%q))", text, selector))
}

func lineOf(l setup.SheetLine) string { return fmt.Sprintf("#line-%d-%s", l.Seat, l.Setting) }

func TestEditingByHandShowsTheConsequences(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + "/setup?" + c.single().Encode())
	before := b.text("#seat-1 .verdict")
	b.typeIn("#h1_heel_to_pin_cm", "30")
	b.until(fmt.Sprintf("document.querySelector('#seat-1 .verdict').textContent !== %q && location.search.includes('h1_heel_to_pin_cm=30')", before))
	if v := b.value("#h1_heel_to_pin_cm"); v != "30" {
		t.Errorf("the field holds %q", v)
	}
	// A mistake keeps everything and tells at once.
	b.typeIn("#catch_deg", "much")
	b.until("document.querySelector('#e-catch_deg').textContent.includes('not a number')")
	if b.value("#h1_heel_to_pin_cm") != "30" || b.value("#catch_deg") != "much" || b.value("#s1") != "Nell Ashgrove" {
		t.Error("something typed is lost")
	}
	b.typeIn("#catch_deg", "58")
	b.until("document.querySelector('#problems').textContent.trim() === '' && location.search.includes('catch_deg=58')")
}

func TestTheSheetIsMadeFromWhatIsShown(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.open(c.url + "/setup?" + c.single().Encode())
	b.typeIn("#h1_gate_height_cm", "15")
	b.until("document.querySelector('#make-fields [name=setup]').value.includes('h1_gate_height_cm=15')")
	ask[any](b, "document.querySelector('#by').value = 'Bram'; document.querySelector('button[form=make]').click(); 0")
	b.until("location.pathname.startsWith('/sheets/') && document.querySelector('#line-1-gate_height_cm')")
	if text := b.text("#line-1-gate_height_cm .to"); text != "15" {
		t.Errorf("gate at %q", text)
	}
}

func TestReadingsAreSavedAndMarkedAtOnce(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	b.open(c.url + address)
	b.typeIn("#who", "Bram")
	b.typeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target+1))
	b.until(fmt.Sprintf("document.querySelector(%q).classList.contains('off')", lineOf(l)))
	b.until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	ask[any](b, fmt.Sprintf("document.querySelector('%s .tick').click()", lineOf(l)))
	b.until(fmt.Sprintf("document.querySelector('%s .state').textContent.includes('Bram')", lineOf(l)))
	b.until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	if got := moving(c.sheetAt(address)).Measured; got == nil || *got != l.Target {
		t.Errorf("measured %v, want %v", got, l.Target)
	}
}

func TestReadingsOutliveALostConnection(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	c.post(address+"/name", url.Values{"by": {"Bram"}})
	b.open(c.url + address)
	b.typeIn("#who", "Bram")
	ask[any](b, cutOff)
	b.typeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target-1))
	b.until(fmt.Sprintf("document.querySelector('#sync').textContent.includes('1 value kept') && document.querySelector(%q).classList.contains('waiting')", lineOf(l)))
	if text := b.text(lineOf(l) + " .state"); text == "" {
		t.Error("out of tolerance is not told without a connection")
	}
	// Finishing waits.
	ask[any](b, "document.querySelector('#finish button').click()")
	b.until("document.querySelector('#sync').textContent.includes('this device') || document.querySelector('#sync').textContent.includes('connection')")
	if c.sheetAt(address).DoneAt != nil {
		t.Fatal("finished without the value")
	}
	b.open(c.url + address) // the page is loaded again, and there is a connection
	b.until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	if got := moving(c.sheetAt(address)).Measured; got == nil || *got != l.Target-1 {
		t.Errorf("measured %v, want %v", got, l.Target-1)
	}
}

func TestAnAnswerThatWasLostCountsOnce(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	b.open(c.url + address)
	b.typeIn("#who", "Bram")
	// The request arrives, its answer does not.
	ask[any](b, "window.whole = window.fetch; window.sent = []; window.fetch = (a, o) => { if (a.endsWith('readings')) window.sent.push(o.body.get('key')); return window.whole(a, o).then(() => { throw new TypeError('lost') }) }; 0")
	b.typeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target))
	b.until("window.sent.length >= 1 && document.querySelector('#sync').textContent.includes('1 value kept')")
	ask[any](b, "window.fetch = (a, o) => { if (a.endsWith('readings')) window.sent.push(o.body.get('key')); return window.whole(a, o) }; window.dispatchEvent(new Event('online')); 0")
	b.until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	if ask[int](b, "new Set(window.sent).size") != 1 || ask[int](b, "window.sent.length") < 2 {
		t.Errorf("sent under %s", ask[string](b, "window.sent.join()"))
	}
}

func TestWhatIsRefusedStays(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	b.open(c.url + address)
	b.typeIn("#who", "Bram")
	b.typeIn(lineOf(l)+" [name=value]", "0.3")
	b.until(fmt.Sprintf("document.querySelector('%s .state').dataset.state === 'bad'", lineOf(l)))
	if v := b.value(lineOf(l) + " [name=value]"); v != "0.3" {
		t.Errorf("the field holds %q", v)
	}
	b.typeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target))
	b.until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	b.until(fmt.Sprintf("document.querySelector('%s .state').dataset.state === 'good'", lineOf(l)))
}

func TestASheetWithoutScript(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	b.withoutScript()
	b.open(c.url + address)
	// The browser keeps cookies of other tests: a name of its own.
	b.press("document.querySelector('#who').value = 'Nora'; document.querySelector('.nameform button')")
	b.until("document.querySelector('#who')?.defaultValue === 'Nora' && document.readyState === 'complete'")
	b.press(fmt.Sprintf("document.querySelector('%s .tick')", lineOf(l)))
	b.until("location.hash.startsWith('#line-') && document.querySelector('.workline.good') && document.readyState === 'complete'")
	if got := moving(c.sheetAt(address)).Measured; got == nil || *got != l.Target {
		t.Fatalf("measured %v, want %v", got, l.Target)
	}
	b.press("document.querySelector('#finish button')")
	b.until("document.querySelector('[data-done]')")
	if by := c.sheetAt(address).DoneBy; by != "Nora" {
		t.Errorf("finished by %q", by)
	}
}

// press clicks a button, where no script of the page's own runs and the page
// may still be scrolling to its place.
func (b *tab) press(button string) {
	b.t.Helper()
	ask[any](b, button+".click(); 0")
}

func TestSetupWithoutScript(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.withoutScript()
	b.open(fmt.Sprintf("%s/setup?boat=%d", c.url, c.boatNamed("Halcyon").ID))
	b.do(chromedp.SendKeys(chromedp.CSS("#s1"), "Nell Ashgrove"), chromedp.Click(chromedp.CSS("#setup-form .actions button")), chromedp.WaitVisible(chromedp.CSS("#seat-1")))
	b.do(chromedp.SendKeys(chromedp.CSS("#by"), "Bram"), chromedp.Click(chromedp.CSS("button[form=make]")), chromedp.WaitVisible(chromedp.CSS("#worksheet")))
}

func TestSheetPagesAreAccessible(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	sheet := c.made(c.eight())
	bad := c.single()
	bad.Set("catch_deg", "x")
	for _, path := range []string{"/setup", "/setup?" + c.eight().Encode(), "/setup?" + bad.Encode(), "/sheets", sheet, sheet + "/remove"} {
		b.show("light", 1280)
		b.axe(c.url + path)
		b.show("dark", 390)
		b.axe(c.url + path)
	}
}

func TestSheetPagesFitAPhone(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.show("light", 360)
	sheet := c.made(c.eight())
	for _, path := range []string{"/setup", "/setup?" + c.eight().Encode(), "/sheets", sheet} {
		b.open(c.url + path)
		if over := ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
			t.Errorf("%s is %d px wider than a phone", path, over)
		}
	}
}

// TestASheetIsOnePage prints a single, a quad, an eight, and an eight of which
// little was measured, so that there is something to do in every row.
func TestASheetIsOnePage(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	full := c.made(c.eight())
	addresses := []string{full, c.made(c.single()), c.made(crewQuery(c.boatNamed("Kestrel"), "Freya Lund", "Yuki Tanabe", "Oskar Wendt", "Ingrid Sollberg")), c.made(c.unknownEight())}
	for name, paper := range map[string]chromedp.PDFOption{"A4": chromedp.PDFPaper(chromedp.PaperA4), "Letter": chromedp.PDFPaper(chromedp.PaperLetter)} {
		for _, address := range addresses {
			if n := b.sheets(c.url+address, paper); n != 1 {
				t.Errorf("%s, %s: %d pages, want 1", name, address, n)
			}
		}
	}
}

// unknownEight is the eight as a boat of which only what must be known is, with
// long names in it.
func (c *clubSite) unknownEight() url.Values {
	c.t.Helper()
	ctx := c.t.Context()
	boat, err := c.service.Club.AddBoat(ctx, club.NewBoat{BoatFields: club.BoatFields{Name: "The Honourable Society’s Centenary Eight", BoatClass: "8+"}, By: "Bram"})
	if err != nil {
		c.t.Fatal(err)
	}
	edit := club.RigEdit{ID: boat.ID, Version: boat.Version, By: "Bram"}
	for seat := range 8 {
		for name, v := range map[string]float64{"spread_cm": 84, "inboard_cm": 113, "oar_length_cm": 380, "heel_to_pin_cm": 15} {
			edit.Settings = append(edit.Settings, club.RigSetting{Seat: seat + 1, Setting: name, Value: &v})
		}
	}
	if boat, err = c.service.Club.UpdateRig(ctx, edit); err != nil {
		c.t.Fatal(err)
	}
	q := crewQuery(boat)
	for seat := range 8 {
		q.Set(fmt.Sprintf("s%d", seat+1), fmt.Sprintf("Maximiliana von Hohenfels-Wittgenstein %d", seat+1))
		q.Set(fmt.Sprintf("s%d_stature_cm", seat+1), fmt.Sprint(160+5*seat))
		q.Set(fmt.Sprintf("s%d_age_years", seat+1), fmt.Sprint(15+seat))
	}
	return q
}
