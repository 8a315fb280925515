package setup_test

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/wire"
	"thole/ui/uitest"
)

// moving is the first line of a sheet that moves something.
func moving(h setup.Sheet) setup.SheetLine {
	for _, seat := range h.Seats {
		for _, l := range seat.Lines {
			if l.Moves {
				return l
			}
		}
	}
	panic("nothing moves")
}

func reading(l setup.SheetLine, value string) url.Values {
	return url.Values{"seat": {fmt.Sprint(l.Seat)}, "setting": {l.Setting}, "value": {value}, "key": {"k" + value}, "target": {fmt.Sprint(l.Target)}, "by": {"Bram"}}
}

func wantAll(t *testing.T, body string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(uitest.OneLine(body), uitest.OneLine(text)) {
			t.Errorf("lacks %q", text)
		}
	}
}

func TestSetupStartsFromTheBoat(t *testing.T) {
	c := uitest.DemoClub(t)
	wantAll(t, c.Opened("/setup"), "Choose a boat", "Nightjar · 8&#43;")
	body := c.Opened(fmt.Sprintf("/setup?boat=%d", c.BoatNamed("Nightjar").ID))
	wantAll(t, body, "Who rows?", "Seat 8, stroke, port", `list="names"`, "Coxswain", "Everyday: stretchers, and gates that are out", "Full re-rig", "championship crew")
	if strings.Contains(body, `form="make"`) {
		t.Error("a sheet can be made for nobody")
	}
}

func TestSetupShowsEverySeat(t *testing.T) {
	c := uitest.DemoClub(t)
	body := c.Opened("/setup?" + c.Eight().Encode())
	for i, name := range uitest.SpringEight {
		wantAll(t, body, fmt.Sprintf(`id="seat-%d"`, i+1), name)
	}
	wantAll(t, body, "To do", "bring this crew together", "on target", "How sure is this?", "Seated check", "Cautions", "least mass of the boat", "Make the work sheet", "stretcher")
	// The answer and its button come before everything that explains them.
	// The hands’ lever of a sweep oar, some 106 cm, × cos 34° × 2.6° is 4.0 cm.
	wantAll(t, body, `right to about
					<span data-m="rig">4 cm</span>`)
	order := []string{"bring this crew together", `id="seat-1"`, "Make the work sheet", "How sure is this?", "Every setting, and values by hand"}
	at := 0
	for _, text := range order {
		next := strings.Index(body[at:], text)
		if next < 0 {
			t.Fatalf("%q does not come next", text)
		}
		at += next
	}
	if strings.Contains(body, "heels up") {
		t.Error("the everyday job moves heels")
	}
	if strings.Contains(body, "NaN") {
		t.Error("NaN on the page")
	}
}

func TestEveryDemoBoatCanBeSetUp(t *testing.T) {
	c := uitest.DemoClub(t)
	for name, crew := range map[string][]string{
		"Halcyon": {"Nell Ashgrove"}, "Brimstone": {"Jonas Wickstead", "Sanna Pirkola"}, "Two Herons": {"Kofi Mensah-Bright", "Sam Okafor"},
		"Kestrel": {"Freya Lund", "Yuki Tanabe", "", "Ingrid Sollberg"}, "Old Friday": {"Walter Stibbe", "Bertram Oakes", "Hanne Grieg", "Dolores Quintanar"},
		"Marl": {"Tomas Verhelde", "Aurel Dascalu"}, "Nightjar": uitest.SpringEight,
	} {
		q := uitest.CrewQuery(c.BoatNamed(name), crew...)
		c.Opened("/setup?" + q.Encode())
		body := c.Opened(c.Made(q))
		wantAll(t, body, name, "Seated check", "&lt;b&gt;spring&lt;/b&gt;")
	}
}

func TestSetupRefusals(t *testing.T) {
	c := uitest.DemoClub(t)
	for name, test := range map[string]struct {
		with        url.Values
		field, text string
	}{
		"nobody of this name": {url.Values{"s2": {"<i>Ghost</i>"}}, "s2", "Nobody of this name is on record"},
		"the same twice":      {url.Values{"s2": {"Lotte Brandvold"}}, "s2", "rows another seat, too"},
		"a first name alone":  {url.Values{"s2": {"Lotte"}}, "s2", "Nobody of this name is on record"},
		"guest in metres":     {url.Values{"s2": {"Guest"}, "s2_stature_cm": {"1,80"}}, "s2_stature_cm", "180 cm?"},
		"no number":           {url.Values{"s2": {"Guest"}, "s2_stature_cm": {"tall"}}, "s2_stature_cm", "is not a number"},
		"guest who is known":  {url.Values{"s2_stature_cm": {"180"}}, "s2", "is on record: leave the measures"},
		"catch out of range":  {url.Values{"catch_deg": {"95"}}, "catch_deg", "from 10 to 85°"},
		"by hand in metres":   {url.Values{"h3_gate_height_cm": {"0.17"}}, "h3_gate_height_cm", "17 cm?"},
		"by hand no number":   {url.Values{"h3_gate_height_cm": {"high"}}, "h3_gate_height_cm", "is not a number"},
		"coxswain of 5 kg":    {url.Values{"cox_mass_kg": {"5"}}, "cox_mass_kg", "20 to 150 kg"},
	} {
		q := c.Eight()
		for key, v := range test.with {
			q[key] = v
		}
		p := c.Get("/setup?" + q.Encode())
		if p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, test.text) || test.field != "" && !strings.Contains(p.Body, `href="#`+test.field+`"`) && !strings.HasPrefix(test.field, "h") {
			t.Errorf("%s: %d, told: %v", name, p.Status, strings.Contains(p.Body, test.text))
		}
		if strings.Contains(p.Body, "<i>Ghost") || !strings.Contains(p.Body, "Chiamaka Obiora") {
			t.Errorf("%s: markup let through, or something typed is lost", name)
		}
		if live := c.Post("/setup", q, uitest.ByHTMX); live.Status != http.StatusUnprocessableEntity || live.Header.Get("HX-Retarget") != "#problems" {
			t.Errorf("%s: to htmx %d", name, live.Status)
		}
	}
}

// TestSeatsAreTypedAsPeopleAreCalled: by the family name, or it first, and one name
// for two is a question at the seat.
func TestSeatsAreTypedAsPeopleAreCalled(t *testing.T) {
	c := uitest.DemoClub(t)
	q := c.Eight()
	q.Set("s1", "brandvold")
	q.Set("s4", "Dascalu, Aurel")
	q.Set("s5", "K. Mensah-Bright")
	if p := c.Get("/setup?" + q.Encode()); p.Status != http.StatusOK || !strings.Contains(p.Body, "Lotte Brandvold") {
		t.Errorf("by family name: %d", p.Status)
	}
	if _, err := c.Service.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: "Brandvold, Zoe"}, By: "Ines"}); err != nil {
		t.Fatal(err)
	}
	p := c.Get("/setup?" + q.Encode())
	if uitest.WantIn(t, "two of a name", p.Body, "“brandvold” can be Brandvold L. or Brandvold Z.: write which one.", `href="#s1"`); p.Status != http.StatusUnprocessableEntity {
		t.Errorf("two of a name: %d", p.Status)
	}
}

func TestSetupLive(t *testing.T) {
	c := uitest.DemoClub(t)
	q := c.Eight()
	q.Set("h1_heel_to_pin_cm", "26")
	p := c.Post("/setup", q, uitest.ByHTMX)
	if p.Status != http.StatusOK || strings.Contains(p.Body, "<!doctype") || !strings.Contains(p.Header.Get("HX-Replace-URL"), "h1_heel_to_pin_cm=26") {
		t.Fatalf("%d %v", p.Status, p.Header)
	}
	wantAll(t, p.Body, `id="results"`, `id="make-fields" hx-swap-oob="true"`, "stretcher 45 mm to the stern", "by hand", `value="26"`)
	plain := c.Post("/setup", q)
	if plain.Status != http.StatusSeeOther || !strings.HasPrefix(plain.Header.Get("Location"), "/setup?") {
		t.Errorf("without a script: %d %s", plain.Status, plain.Header.Get("Location"))
	}
}

func TestAGuestIsSetUp(t *testing.T) {
	c := uitest.DemoClub(t)
	q := uitest.CrewQuery(c.BoatNamed("Wren"), "Visitor <3")
	q.Set("s1_stature_cm", "181")
	q.Set("s1_sex", "female")
	address := c.Made(q)
	wantAll(t, c.Opened(address), "Visitor &lt;3")
}

func TestABoatThatWasNotMeasured(t *testing.T) {
	c := uitest.DemoClub(t)
	boat, err := c.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "New", BoatClass: "1x"}, By: "Bram"})
	if err != nil {
		t.Fatal(err)
	}
	p := c.Get("/setup?" + uitest.CrewQuery(boat, "Nell Ashgrove").Encode())
	if p.Status != http.StatusUnprocessableEntity {
		t.Errorf("%d", p.Status)
	}
	wantAll(t, p.Body, "Measure this at seat 1 first")
}

func TestMakingASheetNeedsAName(t *testing.T) {
	c := uitest.DemoClub(t)
	q := c.Single()
	p := c.Post("/sheets", url.Values{"setup": {q.Encode()}, "boat_version": {fmt.Sprint(c.BoatNamed("Halcyon").Version)}})
	if p.Status != http.StatusUnprocessableEntity {
		t.Errorf("%d", p.Status)
	}
	wantAll(t, p.Body, "Say who you are", "Nell Ashgrove")
}

func TestMakingASheetForABoatThatMoved(t *testing.T) {
	c := uitest.DemoClub(t)
	boat := c.BoatNamed("Halcyon")
	height := 16.0
	if _, err := c.Service.Fleet.UpdateRig(t.Context(), fleet.RigEdit{ID: boat.ID, Version: boat.Version, By: "Cleo", Settings: []fleet.RigSetting{{Seat: 1, Setting: "gate_height_cm", Value: &height}}}); err != nil {
		t.Fatal(err)
	}
	p := c.Post("/sheets", url.Values{"setup": {c.Single().Encode()}, "boat_version": {fmt.Sprint(boat.Version)}, "by": {"Bram"}, "note": {"kept"}})
	if p.Status != http.StatusConflict {
		t.Fatalf("%d", p.Status)
	}
	wantAll(t, p.Body, "The rig changed while this was open", "Cleo", `value="kept"`, "Nell Ashgrove", fmt.Sprintf(`name="boat_version" value="%d"`, boat.Version+1))
}

func TestReadingsByPlainForm(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	p := c.Post(address+"/readings", reading(l, strings.Replace(fmt.Sprintf("%.1f cm", l.Target), ".", ",", 1)))
	if p.Status != http.StatusSeeOther || p.Header.Get("Location") != fmt.Sprintf("%s#line-1-%s", address, l.Setting) {
		t.Fatalf("%d %s", p.Status, p.Header.Get("Location"))
	}
	if got := moving(c.SheetAt(address)).Measured; got == nil || *got != l.Target {
		t.Errorf("measured %v, want %v", got, l.Target)
	}
	wantAll(t, c.Opened(address), `data-state="good"`, "Bram")
}

func TestTickingOffTakesTheValueOfTheSheet(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	form := reading(l, "")
	form.Set("as_on_sheet", "1")
	c.Post(address+"/readings", form)
	if got := moving(c.SheetAt(address)).Measured; got == nil || *got != l.Target {
		t.Errorf("measured %v, want %v", got, l.Target)
	}
}

func TestReadingsOutOfToleranceAreMarked(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	p := c.Post(address+"/readings", reading(l, fmt.Sprint(l.Target+1)), uitest.ByHTMX)
	if p.Status != http.StatusOK {
		t.Fatalf("%d", p.Status)
	}
	wantAll(t, p.Body, `data-state="off"`, "outside ±")
	wantAll(t, c.Opened(address), "1 out of tolerance")
}

func TestReadingsRefused(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Single())
	l := moving(c.SheetAt(address))
	for value, text := range map[string]string{"<b>": "is not a number", "150": "cannot be right", "": "A value is needed"} {
		p := c.Post(address+"/readings", reading(l, value))
		if p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, text) || strings.Contains(p.Body, "<b>”") {
			t.Errorf("%q: %d", value, p.Status)
		}
		if live := c.Post(address+"/readings", reading(l, value), uitest.ByHTMX); live.Status != http.StatusUnprocessableEntity || !strings.Contains(live.Body, text) {
			t.Errorf("%q: to a script %d", value, live.Status)
		}
	}
	if p := c.Post("/sheets/999/readings", reading(l, "17")); p.Status != http.StatusNotFound {
		t.Errorf("no sheet: %d", p.Status)
	}
}

func TestFinishing(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Single())
	h := c.SheetAt(address)
	l := moving(h)
	finish := url.Values{"boat_version": {fmt.Sprint(h.BoatNow)}, "by": {"Bram"}}
	if p := c.Post(address+"/finish", finish); p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "Nothing was measured yet") {
		t.Errorf("nothing measured: %d", p.Status)
	}
	c.Post(address+"/readings", reading(l, fmt.Sprint(l.Target)))
	asked := c.Post(address+"/finish", finish)
	if wantAll(t, asked.Body, "Finish with this still open?", fmt.Sprintf("None of the %d final checks is ticked.", len(h.Recheck)), "Finish all the same"); asked.Status != http.StatusUnprocessableEntity {
		t.Errorf("no check ticked: %d", asked.Status)
	}
	for i := range h.Recheck {
		finish.Add("check", fmt.Sprint(i))
	}
	if p := c.Post(address+"/finish", finish); p.Status != http.StatusSeeOther {
		t.Fatalf("%d: %.300s", p.Status, p.Body)
	}
	body := c.Opened(address)
	wantAll(t, body, "finished by Bram")
	if strings.Contains(body, "<form") {
		t.Error("a finished sheet takes values")
	}
	wantAll(t, c.Opened("/sheets?boat="+fmt.Sprint(h.BoatID)), "finished by Bram")
	if p := c.Post(address+"/remove", nil); p.Status != http.StatusConflict || !strings.Contains(p.Body, "history rests on it") {
		t.Errorf("deleting: %d", p.Status)
	}
	if p := c.Post(address+"/readings", reading(l, "16"), uitest.ByHTMX); p.Status != http.StatusConflict {
		t.Errorf("reading: %d", p.Status)
	}
}

func TestFinishingABoatThatMoved(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Single())
	h := c.SheetAt(address)
	l := moving(h)
	c.Post(address+"/readings", reading(l, fmt.Sprint(l.Target)))
	height := 16.0
	if _, err := c.Service.Fleet.UpdateRig(t.Context(), fleet.RigEdit{ID: h.BoatID, Version: h.BoatNow, By: "Cleo", Settings: []fleet.RigSetting{{Seat: 1, Setting: "gate_height_cm", Value: &height}}}); err != nil {
		t.Fatal(err)
	}
	p := c.Post(address+"/finish", url.Values{"boat_version": {fmt.Sprint(h.BoatNow)}, "by": {"Bram"}, "anyway": {"1"}})
	if p.Status != http.StatusConflict {
		t.Fatalf("%d", p.Status)
	}
	wantAll(t, p.Body, "Cleo changed the boat in the meantime", "Nothing is lost", `data-state="good"`)
	again := formIn(p.Body, "finish")
	again.Set("anyway", "1")
	if p := c.Post(address+"/finish", again); p.Status != http.StatusSeeOther {
		t.Errorf("once more: %d", p.Status)
	}
}

// TestFinishingAsksForWhatIsOpen names seats that were not touched, readings out of
// tolerance, and checks that were not ticked; what was ticked stays ticked, and
// nothing is lost either way.
func TestFinishingAsksForWhatIsOpen(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.UnknownEight())
	h := c.SheetAt(address)
	l := moving(h)
	wantAll(t, c.Opened(address), fmt.Sprintf("<b>%d</b> of %d moves left.", h.ToDo, h.ToDo), "left</small>")
	c.Post(address+"/readings", reading(l, fmt.Sprint(l.Target+3)))
	wantAll(t, c.Opened(address), fmt.Sprintf("<b>%d</b> of %d moves left.", h.ToDo, h.ToDo), fmt.Sprintf("<b id=\"tally-done\">0</b> of %d", h.ToDo))
	finish := url.Values{"boat_version": {fmt.Sprint(h.BoatNow)}, "by": {"Bram"}, "check": {"0", "1", "x", "99", "-1"}}
	p := c.Post(address+"/finish", finish)
	if p.Status != http.StatusUnprocessableEntity || c.SheetAt(address).DoneAt != nil {
		t.Fatalf("%d", p.Status)
	}
	wantAll(t, p.Body, fmt.Sprintf("%g cm outside the tolerance", l.Target+3), "not measured", "Not ticked: gates turn freely", `value="0" checked`, `value="Bram"`)
	if strings.Contains(p.Body, "Not ticked: backstays") {
		t.Error("asked for a check that was ticked")
	}
	finish.Set("anyway", "1")
	if p := c.Post(address+"/finish", finish); p.Status != http.StatusSeeOther {
		t.Errorf("all the same: %d", p.Status)
	}
}

// TestNothingIsLeftAtTheEnd counts down seat by seat.
func TestNothingIsLeftAtTheEnd(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Eight())
	for left := c.SheetAt(address).ToDo; left > 0; left-- {
		wantAll(t, c.Opened(address), fmt.Sprintf("<b>%d</b> of", left))
		for _, s := range c.SheetAt(address).Seats {
			if at := slices.IndexFunc(s.Lines, func(l setup.SheetLine) bool { return l.Moves && l.Measured == nil }); at >= 0 {
				c.Post(address+"/readings", reading(s.Lines[at], fmt.Sprint(s.Lines[at].Target)))
				break
			}
		}
	}
	body := c.Opened(address)
	wantAll(t, body, "Nothing left to move: final checks, then finish.", "✓ set</small>", "stays</small>")
	if strings.Contains(body, " left</small>") {
		t.Error("a seat has something left")
	}
}

func TestACardASeat(t *testing.T) {
	c := uitest.DemoClub(t)
	q := c.Eight()
	q.Set("s5", "Visitor")
	q.Set("s5_mass_kg", "80")
	address := c.Made(q)
	body := c.Opened(address + "/cards")
	for _, s := range c.SheetAt(address).Seats {
		_, card, _ := strings.Cut(body, fmt.Sprintf(`id="card-%d-h">%s<`, s.Number, s.Name))
		card, _, _ = strings.Cut(card, "</section>")
		wantAll(t, card, fmt.Sprintf(`<b class="to">%.1f</b> cm`, s.Planned.Proof.FinishCm), "quick release tried", "Stays:")
		for _, l := range s.Lines {
			if l.Moves && l.Setting == "heel_to_pin_cm" {
				wantAll(t, card, fmt.Sprintf(`set <b class="to">%.1f cm</b>`, l.Target))
			}
		}
		if first := strings.Contains(card, "Measure the height before you move anything here"); first != (s.Number == 5) {
			t.Errorf("seat %d: measure first: %v", s.Number, first)
		}
	}
	if p := c.Get("/sheets/999/cards"); p.Status != http.StatusNotFound {
		t.Errorf("no sheet: %d", p.Status)
	}
}

// formIn reads the form with the id.
func formIn(body, id string) url.Values {
	_, rest, _ := strings.Cut(body, `id="`+id+`"`)
	form, _, _ := strings.Cut(rest, "</form>")
	return uitest.FormValues(form)
}

func TestOpenSheetsAreListedAndDeleted(t *testing.T) {
	c := uitest.DemoClub(t)
	wantAll(t, c.Opened("/sheets"), "No work sheet yet.")
	address := c.Made(c.Single())
	wantAll(t, c.Opened("/sheets"), `href="`+address+`"`, "Halcyon", "made by Bram")
	wantAll(t, c.Opened(address+"/remove"), "Remove the sheet of Halcyon?")
	if p := c.Post(address+"/remove", nil); p.Status != http.StatusSeeOther {
		t.Errorf("%d", p.Status)
	}
	if p := c.Get(address); p.Status != http.StatusNotFound {
		t.Errorf("%d", p.Status)
	}
}

func TestTheNameIsAskedOnce(t *testing.T) {
	c := uitest.DemoClub(t)
	address := c.Made(c.Single())
	c.Post(address+"/name", url.Values{"by": {"Anna Ø"}})
	wantAll(t, c.Opened(address), `id="who" name="by" value="Anna Ø"`)
	l := moving(c.SheetAt(address))
	form := reading(l, fmt.Sprint(l.Target))
	form.Del("by")
	c.Post(address+"/readings", form)
	if by := moving(c.SheetAt(address)).MeasuredBy; by != "Anna Ø" {
		t.Errorf("measured by %q", by)
	}
}

// TestReadingsAreCountedAsTheBoatmanDoes: washers and holes typed at a line become its
// measure; a count without a sign goes the way that the line says.
func TestReadingsAreCountedAsTheBoatmanDoes(t *testing.T) {
	c := uitest.DemoClub(t)
	boat := c.BoatNamed("Halcyon")
	fields := boat.BoatFields
	fields.WasherMm, fields.Stretcher = wire.Ptr(4.0), &seat.Stretcher{Mark: "hole", OffsetCm: wire.Ptr(30.0), HolePitchCm: wire.Ptr(2.0)}
	if _, err := c.Service.Fleet.UpdateBoat(t.Context(), fleet.BoatEdit{ID: boat.ID, Version: boat.Version, BoatFields: fields, Seats: boat.SeatFields(), By: "Ines"}); err != nil {
		t.Fatal(err)
	}
	found := *boat.Seats[0].Seat.GateHeightCm
	q := c.Single()
	q.Set("h1_gate_height_cm", fmt.Sprint(found-0.8))
	address := c.Made(q)
	uitest.WantIn(t, "hints", c.Opened(address), `placeholder="or &#43;2 washers"`, `placeholder="or hole 7"`)
	read := func(setting, said string) *float64 {
		t.Helper()
		l := setup.SheetLine{Seat: 1, Setting: setting}
		if p := c.Post(address+"/readings", reading(l, said)); p.Status != http.StatusSeeOther {
			t.Fatalf("%s: %d", said, p.Status)
		}
		h := c.SheetAt(address)
		for _, l := range h.Seats[0].Lines {
			if l.Setting == setting {
				return l.Measured
			}
		}
		return nil
	}
	if v := read("gate_height_cm", "2 washers"); v == nil || math.Abs(*v-(found-0.8)) > 1e-9 {
		t.Errorf("2 washers from %g as the line says: %v", found, v)
	}
	if v := read("gate_height_cm", "+1 washer"); v == nil || math.Abs(*v-(found+0.4)) > 1e-9 {
		t.Errorf("+1 washer from %g: %v", found, v)
	}
	if v := read("heel_to_pin_cm", "hole 8"); v == nil || *v != 46 {
		t.Errorf("hole 8: %v", v)
	}
	if p := c.Post(address+"/readings", reading(setup.SheetLine{Seat: 1, Setting: "inboard_cm"}, "+1 clam")); p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "What one clam makes is not on record") {
		t.Errorf("a clam that is not on record: %d", p.Status)
	}
}
