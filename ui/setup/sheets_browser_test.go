package setup_test

import (
	"fmt"
	"net/url"
	"regexp"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/setup"
	"thole/ui/uitest"
)

func lineOf(l setup.SheetLine) string { return fmt.Sprintf("#line-%d-%s", l.Seat, l.Setting) }

func TestEditingByHandShowsTheConsequences(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/setup?" + c.Single().Encode())
	before := b.Text("#seat-1 .verdict")
	b.TypeIn("#h1_heel_to_pin_cm", "30")
	b.Until(fmt.Sprintf("document.querySelector('#seat-1 .verdict').textContent !== %q && location.search.includes('h1_heel_to_pin_cm=30')", before))
	if v := b.Value("#h1_heel_to_pin_cm"); v != "30" {
		t.Errorf("the field holds %q", v)
	}
	// A mistake keeps everything and tells at once.
	b.TypeIn("#catch_deg", "much")
	b.Until("document.querySelector('#e-catch_deg').textContent.includes('not a number')")
	if b.Value("#h1_heel_to_pin_cm") != "30" || b.Value("#catch_deg") != "much" || b.Value("#s1") != "Nell Ashgrove" {
		t.Error("something typed is lost")
	}
	b.TypeIn("#catch_deg", "58")
	b.Until("document.querySelector('#problems').textContent.trim() === '' && location.search.includes('catch_deg=58')")
}

func TestTheSheetIsMadeFromWhatIsShown(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/setup?" + c.Single().Encode())
	b.TypeIn("#h1_gate_height_cm", "15")
	b.Until("document.querySelector('#make-fields [name=setup]').value.includes('h1_gate_height_cm=15')")
	uitest.Ask[any](b, "document.querySelector('#by').value = 'Bram'; document.querySelector('button[form=make]').click(); 0")
	b.Until("location.pathname.startsWith('/sheets/') && document.querySelector('#line-1-gate_height_cm')")
	if text := b.Text("#line-1-gate_height_cm .to"); text != "15" {
		t.Errorf("gate at %q", text)
	}
}

func TestReadingsAreSavedAndMarkedAtOnce(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	b.Open(c.URL + address)
	b.TypeIn("#who", "Bram")
	b.TypeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target+1))
	b.Until(fmt.Sprintf("document.querySelector(%q).classList.contains('off')", lineOf(l)))
	b.Until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	if left := b.Text("#left"); left != "1 of 1 moves left." {
		t.Errorf("out of tolerance, %q", left)
	}
	b.TypeIn(lineOf(l)+" [name=value]", "150") // cannot be
	b.Until(fmt.Sprintf("document.querySelector('%s .state').dataset.state === 'bad'", lineOf(l)))
	if left, seat := b.Text("#left"), b.Text(".seatnav .count"); left != "1 of 1 moves left." || seat != "1 left" {
		t.Errorf("refused, %q and %q", left, seat)
	}
	uitest.Ask[any](b, fmt.Sprintf("document.querySelector('%s .tick').click()", lineOf(l)))
	b.Until(fmt.Sprintf("document.querySelector('%s .state').textContent.includes('Bram')", lineOf(l)))
	b.Until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	if got := moving(c.SheetAt(address)).Measured; got == nil || *got != l.Target {
		t.Errorf("measured %v, want %v", got, l.Target)
	}
	if left, seat := b.Text("#left"), b.Text(".seatnav .count"); left != "Nothing left to move: final checks, then finish." || seat != "✓ set" {
		t.Errorf("at the end, %q and %q", left, seat)
	}
	// A check that was ticked is still ticked when the page is opened again.
	uitest.Ask[any](b, "document.querySelector('.ticks [value=\"2\"]').click()")
	b.Open(c.URL + address)
	b.Until("[...document.querySelectorAll('.ticks :checked')].map((e) => e.value).join() === '2'")
}

func TestReadingsOutliveALostConnection(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	c.Post(address+"/name", url.Values{"by": {"Bram"}})
	b.Open(c.URL + address)
	b.TypeIn("#who", "Bram")
	uitest.Ask[any](b, uitest.CutOff)
	b.TypeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target-1))
	b.Until(fmt.Sprintf("document.querySelector('#sync').textContent.includes('1 value kept') && document.querySelector(%q).classList.contains('waiting')", lineOf(l)))
	if text := b.Text(lineOf(l) + " .state"); text == "" {
		t.Error("out of tolerance is not told without a connection")
	}
	// Finishing waits.
	uitest.Ask[any](b, "document.querySelector('#finish button').click()")
	b.Until("document.querySelector('#sync').textContent.includes('this device') || document.querySelector('#sync').textContent.includes('connection')")
	if c.SheetAt(address).DoneAt != nil {
		t.Fatal("finished without the value")
	}
	b.Open(c.URL + address) // the page is loaded again, and there is a connection
	b.Until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	if got := moving(c.SheetAt(address)).Measured; got == nil || *got != l.Target-1 {
		t.Errorf("measured %v, want %v", got, l.Target-1)
	}
}

// TestFinishingGoesOnWhenTheValuesHaveArrived: pressed while one is on its way, it needs no
// second press; where the value is typed anew meanwhile, it does.
func TestFinishingGoesOnWhenTheValuesHaveArrived(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	for _, again := range []bool{true, false} { // a sheet that is done leaves nothing to move
		address, done := c.Made(c.Single()), !again
		l := moving(c.SheetAt(address))
		b.Open(c.URL + address)
		b.TypeIn("#who", "Bram")
		uitest.Ask[any](b, "window.whole = window.fetch; 0")
		uitest.Ask[any](b, uitest.CutOff)
		b.TypeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target))
		b.Until("document.querySelector('#sync').textContent.includes('1 value kept')")
		uitest.Ask[any](b, "document.querySelectorAll('.ticks [name=check]').forEach(e => e.checked = true); document.querySelector('#finish button').click()")
		if again {
			b.TypeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target-0.1))
		}
		uitest.Ask[any](b, "window.fetch = window.whole; window.dispatchEvent(new Event('online')); 0")
		if !done {
			b.Until("document.querySelector('#sync').textContent === 'Everything is saved.'")
		} else {
			b.Until("document.readyState === 'complete' && document.querySelector('main').textContent.includes('finished by Bram')")
		}
		if got := c.SheetAt(address); (got.DoneAt != nil) != done || moving(got).Measured == nil {
			t.Errorf("typed again %t: finished %v, measured %v", again, got.DoneAt, moving(got).Measured)
		}
	}
}

func TestAnAnswerThatWasLostCountsOnce(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	b.Open(c.URL + address)
	b.TypeIn("#who", "Bram")
	// The request arrives, its answer does not.
	uitest.Ask[any](b, "window.whole = window.fetch; window.sent = []; window.fetch = (a, o) => { if (a.endsWith('readings')) window.sent.push(o.body.get('key')); return window.whole(a, o).then(() => { throw new TypeError('lost') }) }; 0")
	b.TypeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target))
	b.Until("window.sent.length >= 1 && document.querySelector('#sync').textContent.includes('1 value kept')")
	uitest.Ask[any](b, "window.fetch = (a, o) => { if (a.endsWith('readings')) window.sent.push(o.body.get('key')); return window.whole(a, o) }; window.dispatchEvent(new Event('online')); 0")
	b.Until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	if uitest.Ask[int](b, "new Set(window.sent).size") != 1 || uitest.Ask[int](b, "window.sent.length") < 2 {
		t.Errorf("sent under %s", uitest.Ask[string](b, "window.sent.join()"))
	}
}

func TestWhatIsRefusedStays(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	b.Open(c.URL + address)
	b.TypeIn("#who", "Bram")
	b.TypeIn(lineOf(l)+" [name=value]", "150")
	b.Until(fmt.Sprintf("document.querySelector('%s .state').dataset.state === 'bad'", lineOf(l)))
	if v := b.Value(lineOf(l) + " [name=value]"); v != "150" {
		t.Errorf("the field holds %q", v)
	}
	b.TypeIn(lineOf(l)+" [name=value]", fmt.Sprint(l.Target))
	b.Until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	b.Until(fmt.Sprintf("document.querySelector('%s .state').dataset.state === 'good'", lineOf(l)))
}

func TestASheetWithoutScript(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	b.WithoutScript()
	b.Open(c.URL + address)
	// The browser keeps cookies of other tests: a name of its own.
	b.Press("document.querySelector('#who').value = 'Nora'; document.querySelector('.nameform button')")
	b.Until("document.querySelector('#who')?.defaultValue === 'Nora' && document.readyState === 'complete'")
	b.Press(fmt.Sprintf("document.querySelector('%s .tick')", lineOf(l)))
	b.Until("location.hash.startsWith('#line-') && document.querySelector('.workline.good') && document.readyState === 'complete'")
	if got := moving(c.SheetAt(address)).Measured; got == nil || *got != l.Target {
		t.Fatalf("measured %v, want %v", got, l.Target)
	}
	b.Press("document.querySelector('#finish button')")
	b.Until("document.querySelector('.askfinish') && document.readyState === 'complete'")
	b.Press("document.querySelector('.askfinish button')")
	b.Until("document.querySelector('[data-done]')")
	if by := c.SheetAt(address).DoneBy; by != "Nora" {
		t.Errorf("finished by %q", by)
	}
}

func TestSetupWithoutScript(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.WithoutScript()
	b.Open(fmt.Sprintf("%s/setup?boat=%d", c.URL, c.BoatNamed("Halcyon").ID))
	b.Do(chromedp.SendKeys(chromedp.CSS("#s1"), "Nell Ashgrove"), chromedp.Click(chromedp.CSS("#setup-form .actions button")), chromedp.WaitVisible(chromedp.CSS("#seat-1")))
	b.Do(chromedp.SendKeys(chromedp.CSS("#by"), "Bram"), chromedp.Click(chromedp.CSS("button[form=make]")), chromedp.WaitVisible(chromedp.CSS("#worksheet")))
}

// TestSheetPagesAreAccessible by day and by night; with everything unfolded they are no
// wider than a phone.
func TestSheetPagesAreAccessible(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	sheet := c.Made(c.Eight())
	bad := c.Single()
	bad.Set("catch_deg", "x")
	for _, path := range []string{"/setup", "/setup?" + c.Eight().Encode(), "/setup?" + bad.Encode(), "/sheets", sheet, sheet + "/cards", sheet + "/remove"} {
		b.Axe(c.URL+path, uitest.Look{Scheme: "light", Width: 1280}, uitest.Look{Scheme: "dark", Width: 390})
		b.Fits(path, 360)
	}
}

// TestASheetIsOnePage prints a single, a quad, an eight, and an eight of which
// little was measured, so that there is something to do in every row.
func TestASheetIsOnePage(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	full := c.Made(c.Eight())
	addresses := []string{full, c.Made(c.Single()), c.Made(uitest.CrewQuery(c.BoatNamed("Kestrel"), "Freya Lund", "Yuki Tanabe", "Oskar Wendt", "Ingrid Sollberg")), c.Made(c.UnknownEight())}
	for _, address := range addresses {
		b.WantOneSheet(c.URL+address, chromedp.PDFPreferCSSPageSize())
	}
	// On no boat is half of the page empty: it is 194 mm between its margins.
	b.Show("light", 1062)
	b.Medium("print")
	for _, address := range addresses {
		b.Open(c.URL + address)
		if mm := uitest.Ask[float64](b, "document.querySelector('.paper').getBoundingClientRect().height * 25.4 / 96"); mm < 120 || mm > 194 {
			t.Errorf("%s is %.0f mm high on paper", address, mm)
		}
	}
	b.Open(c.URL + full + "/cards")
	if n := b.Printed(chromedp.PDFPreferCSSPageSize()); n != 2 {
		t.Errorf("eight seat cards on %d pages", n)
	}
}

// TestReadingsInInchesOutliveALostConnection: a fraction is judged on the device in the
// reader's unit, stands in its field again in that unit, and is kept as it was typed.
func TestReadingsInInchesOutliveALostConnection(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	c.Post(address+"/name", url.Values{"by": {"Bram"}})
	c.Post("/settings/club", url.Values{"club_rig_lengths": {"in_fractions"}, "club_decimals": {"comma"}})
	b.Open(c.URL + address)
	b.TypeIn("#who", "Bram")
	uitest.Ask[any](b, uitest.CutOff)
	b.TypeIn(lineOf(l)+" [name=value]", "9 1/2")
	b.Until(fmt.Sprintf(`document.querySelector(%q).textContent.includes("9\u00a01/2 in")`, lineOf(l)+" .state"))
	if text := b.Text(lineOf(l) + " .state"); !regexp.MustCompile(`^▲ 9\W1/2 in: [^a-z]+ in too (much|little)`).MatchString(text) {
		t.Errorf("without a connection: %q", text)
	}
	b.Open(c.URL + address)
	b.Until("document.querySelector('#sync').textContent === 'Everything is saved.'")
	if got := moving(c.SheetAt(address)).Measured; got == nil || *got != 24.13 || b.Value(lineOf(l)+" [name=value]") != "9 1/2" {
		t.Errorf("measured %v, shown as %q", got, b.Value(lineOf(l)+" [name=value]"))
	}
}
