package ui_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api"
)

// boatNamed finds a boat of the demo club.
func (c *club) boatNamed(name string) api.Boat {
	c.t.Helper()
	list, err := c.service.Boats(c.t.Context(), api.ListRequest{Name: name})
	if err != nil || len(list.Boats) == 0 {
		c.t.Fatalf("no boat %s: %v", name, err)
	}
	boat, err := c.service.Boat(c.t.Context(), api.IDRequest{ID: list.Boats[0].ID})
	if err != nil {
		c.t.Fatal(err)
	}
	return boat
}

// springEight is a crew for the demo club's eight.
var springEight = []string{"Lotte Brandvold", "Maeve Tarrant", "Ruth Amsel", "Aurel Dascalu", "Kofi Mensah-Bright", "Chiamaka Obiora", "Yuki Tanabe", "Ingrid Sollberg"}

// crewQuery asks to set a boat up for a crew, bow first.
func crewQuery(boat api.Boat, crew ...string) url.Values {
	q := url.Values{"boat": {fmt.Sprint(boat.ID)}}
	for i, name := range crew {
		q.Set(fmt.Sprintf("s%d", i+1), name)
	}
	return q
}

func (c *club) eight() url.Values { return crewQuery(c.boatNamed("Nightjar"), springEight...) }

func (c *club) single() url.Values { return crewQuery(c.boatNamed("Halcyon"), "Nell Ashgrove") }

// made makes a work sheet and returns its address.
func (c *club) made(q url.Values) string {
	c.t.Helper()
	boat, err := c.service.Boat(c.t.Context(), api.IDRequest{ID: number(q.Get("boat"))})
	if err != nil {
		c.t.Fatal(err)
	}
	p := c.post("/sheets", url.Values{"setup": {q.Encode()}, "boat_version": {fmt.Sprint(boat.Version)}, "by": {"Bram"}, "note": {"<b>spring</b>"}})
	if p.status != http.StatusSeeOther {
		c.t.Fatalf("%d: %.2000s", p.status, p.body)
	}
	return p.header.Get("Location")
}

func number(text string) (n int64) {
	_, _ = fmt.Sscan(text, &n)
	return n
}

func (c *club) sheetAt(address string) api.Sheet {
	c.t.Helper()
	h, err := c.service.Sheet(c.t.Context(), api.IDRequest{ID: number(strings.TrimPrefix(address, "/sheets/"))})
	if err != nil {
		c.t.Fatal(err)
	}
	return h
}

// moving is the first line of a sheet that moves something.
func moving(h api.Sheet) api.SheetLine {
	for _, seat := range h.Seats {
		for _, l := range seat.Lines {
			if l.Moves {
				return l
			}
		}
	}
	panic("nothing moves")
}

func reading(l api.SheetLine, value string) url.Values {
	return url.Values{"seat": {fmt.Sprint(l.Seat)}, "setting": {l.Setting}, "value": {value}, "key": {"k" + value}, "target": {fmt.Sprint(l.Target)}, "by": {"Bram"}}
}

func wantAll(t *testing.T, body string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(body, text) {
			t.Errorf("lacks %q", text)
		}
	}
}

func TestSetupStartsFromTheBoat(t *testing.T) {
	c := demoClub(t)
	wantAll(t, c.opened("/setup"), "Choose a boat", "Nightjar · 8&#43;")
	body := c.opened(fmt.Sprintf("/setup?boat=%d", c.boatNamed("Nightjar").ID))
	wantAll(t, body, "Who rows?", "Seat 8, stroke, port", `list="names"`, "Coxswain", "Inboards may differ")
	if strings.Contains(body, `id="make-h"`) {
		t.Error("a sheet can be made for nobody")
	}
}

func TestSetupShowsEverySeat(t *testing.T) {
	c := demoClub(t)
	body := c.opened("/setup?" + c.eight().Encode())
	for i, name := range springEight {
		wantAll(t, body, fmt.Sprintf(`id="seat-%d"`, i+1), name)
	}
	wantAll(t, body, "To do", "How near each seat comes", "What would help", "Take care", "least mass of the boat", "Make the work sheet", "heels up", "stretcher")
	if strings.Contains(body, "NaN") {
		t.Error("NaN on the page")
	}
}

func TestEveryDemoBoatCanBeSetUp(t *testing.T) {
	c := demoClub(t)
	for name, crew := range map[string][]string{
		"Halcyon": {"Nell Ashgrove"}, "Brimstone": {"Jonas Wickstead", "Sanna Pirkola"}, "Two Herons": {"Kofi Mensah-Bright", "Sam Okafor"},
		"Kestrel": {"Freya Lund", "Yuki Tanabe", "", "Ingrid Sollberg"}, "Old Friday": {"Walter Stibbe", "Bertram Oakes", "Hanne Grieg", "Dolores Quintanar"},
		"Marl": {"Tomas Verhelde", "Aurel Dascalu"}, "Nightjar": springEight,
	} {
		q := crewQuery(c.boatNamed(name), crew...)
		c.opened("/setup?" + q.Encode())
		body := c.opened(c.made(q))
		wantAll(t, body, name, "Work down the rows", "&lt;b&gt;spring&lt;/b&gt;")
	}
}

func TestSetupRefusals(t *testing.T) {
	c := demoClub(t)
	for name, test := range map[string]struct {
		with        url.Values
		field, text string
	}{
		"nobody of this name":  {url.Values{"s2": {"<i>Ghost</i>"}}, "s2", "Nobody of this name is on record"},
		"the same twice":       {url.Values{"s2": {"Lotte Brandvold"}}, "s2", "rows another seat, too"},
		"guest in metres":      {url.Values{"s2": {"Guest"}, "s2_stature_cm": {"1,80"}}, "s2_stature_cm", "180 cm?"},
		"no number":            {url.Values{"s2": {"Guest"}, "s2_stature_cm": {"tall"}}, "s2_stature_cm", "is not a number"},
		"guest who is known":   {url.Values{"s2_stature_cm": {"180"}}, "s2", "is on record: leave the measures"},
		"catch out of range":   {url.Values{"catch_deg": {"95"}}, "catch_deg", "from 10 to 85°"},
		"by hand in metres":    {url.Values{"h3_gate_height_cm": {"0.17"}}, "h3_gate_height_cm", "17 cm?"},
		"by hand no number":    {url.Values{"h3_gate_height_cm": {"high"}}, "h3_gate_height_cm", "is not a number"},
		"coxswain of 5 kg":     {url.Values{"cox_mass_kg": {"5"}}, "cox_mass_kg", "20 to 150 kg"},
		"nothing may be moved": {url.Values{"choosing": {"1"}}, "", "Nothing may be moved"},
	} {
		q := c.eight()
		for key, v := range test.with {
			q[key] = v
		}
		p := c.get("/setup?" + q.Encode())
		if p.status != http.StatusUnprocessableEntity || !strings.Contains(p.body, test.text) || test.field != "" && !strings.Contains(p.body, `href="#`+test.field+`"`) && !strings.HasPrefix(test.field, "h") {
			t.Errorf("%s: %d, told: %v", name, p.status, strings.Contains(p.body, test.text))
		}
		if strings.Contains(p.body, "<i>Ghost") || !strings.Contains(p.body, "Chiamaka Obiora") {
			t.Errorf("%s: markup let through, or something typed is lost", name)
		}
		if live := c.post("/setup", q, byHTMX); live.status != http.StatusUnprocessableEntity || live.header.Get("HX-Retarget") != "#problems" {
			t.Errorf("%s: to htmx %d", name, live.status)
		}
	}
}

func TestSetupLive(t *testing.T) {
	c := demoClub(t)
	q := c.eight()
	q.Set("h1_heel_to_pin_cm", "26")
	p := c.post("/setup", q, byHTMX)
	if p.status != http.StatusOK || strings.Contains(p.body, "<!doctype") || !strings.Contains(p.header.Get("HX-Replace-Url"), "h1_heel_to_pin_cm=26") {
		t.Fatalf("%d %v", p.status, p.header)
	}
	wantAll(t, p.body, `id="results"`, `id="make-fields" hx-swap-oob="true"`, "stretcher 45 mm to the stern", "with what is set by hand it is missed", `value="26"`)
	plain := c.post("/setup", q)
	if plain.status != http.StatusSeeOther || !strings.HasPrefix(plain.header.Get("Location"), "/setup?") {
		t.Errorf("without a script: %d %s", plain.status, plain.header.Get("Location"))
	}
}

func TestAGuestIsSetUp(t *testing.T) {
	c := demoClub(t)
	q := crewQuery(c.boatNamed("Wren"), "Visitor <3")
	q.Set("s1_stature_cm", "181")
	q.Set("s1_sex", "female")
	address := c.made(q)
	wantAll(t, c.opened(address), "Visitor &lt;3")
}

func TestABoatThatWasNotMeasured(t *testing.T) {
	c := demoClub(t)
	boat, err := c.service.AddBoat(t.Context(), api.NewBoat{BoatFields: api.BoatFields{Name: "New", BoatClass: "1x"}, By: "Bram"})
	if err != nil {
		t.Fatal(err)
	}
	p := c.get("/setup?" + crewQuery(boat, "Nell Ashgrove").Encode())
	if p.status != http.StatusUnprocessableEntity {
		t.Errorf("%d", p.status)
	}
	wantAll(t, p.body, "Measure this at seat 1 first")
}

func TestMakingASheetNeedsAName(t *testing.T) {
	c := demoClub(t)
	q := c.single()
	p := c.post("/sheets", url.Values{"setup": {q.Encode()}, "boat_version": {fmt.Sprint(c.boatNamed("Halcyon").Version)}})
	if p.status != http.StatusUnprocessableEntity {
		t.Errorf("%d", p.status)
	}
	wantAll(t, p.body, "Say who you are", "Nell Ashgrove")
}

func TestMakingASheetForABoatThatMoved(t *testing.T) {
	c := demoClub(t)
	boat := c.boatNamed("Halcyon")
	height := 16.0
	if _, err := c.service.UpdateRig(t.Context(), api.RigEdit{ID: boat.ID, Version: boat.Version, By: "Cleo", Settings: []api.RigSetting{{Seat: 1, Setting: "gate_height_cm", Value: &height}}}); err != nil {
		t.Fatal(err)
	}
	p := c.post("/sheets", url.Values{"setup": {c.single().Encode()}, "boat_version": {fmt.Sprint(boat.Version)}, "by": {"Bram"}, "note": {"kept"}})
	if p.status != http.StatusConflict {
		t.Fatalf("%d", p.status)
	}
	wantAll(t, p.body, "The boat has moved while this was open", "Cleo", `value="kept"`, "Nell Ashgrove", fmt.Sprintf(`name="boat_version" value="%d"`, boat.Version+1))
}

func TestReadingsByPlainForm(t *testing.T) {
	c := demoClub(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	p := c.post(address+"/readings", reading(l, strings.Replace(fmt.Sprintf("%.1f cm", l.Target), ".", ",", 1)))
	if p.status != http.StatusSeeOther || p.header.Get("Location") != fmt.Sprintf("%s#line-1-%s", address, l.Setting) {
		t.Fatalf("%d %s", p.status, p.header.Get("Location"))
	}
	if got := moving(c.sheetAt(address)).Measured; got == nil || *got != l.Target {
		t.Errorf("measured %v, want %v", got, l.Target)
	}
	wantAll(t, c.opened(address), `data-state="good"`, "Bram")
}

func TestTickingOffTakesTheValueOfTheSheet(t *testing.T) {
	c := demoClub(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	form := reading(l, "")
	form.Set("as_on_sheet", "1")
	c.post(address+"/readings", form)
	if got := moving(c.sheetAt(address)).Measured; got == nil || *got != l.Target {
		t.Errorf("measured %v, want %v", got, l.Target)
	}
}

func TestReadingsOutOfToleranceAreMarked(t *testing.T) {
	c := demoClub(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	p := c.post(address+"/readings", reading(l, fmt.Sprint(l.Target+1)), byHTMX)
	if p.status != http.StatusOK {
		t.Fatalf("%d", p.status)
	}
	wantAll(t, p.body, `data-state="off"`, "outside ±")
	wantAll(t, c.opened(address), "1 out of tolerance")
}

func TestReadingsRefused(t *testing.T) {
	c := demoClub(t)
	address := c.made(c.single())
	l := moving(c.sheetAt(address))
	for value, text := range map[string]string{"<b>": "is not a number", "0.2": "cannot be right", "": "A value is needed"} {
		p := c.post(address+"/readings", reading(l, value))
		if p.status != http.StatusUnprocessableEntity || !strings.Contains(p.body, text) || strings.Contains(p.body, "<b>”") {
			t.Errorf("%q: %d", value, p.status)
		}
		if live := c.post(address+"/readings", reading(l, value), byHTMX); live.status != http.StatusUnprocessableEntity || !strings.Contains(live.body, text) {
			t.Errorf("%q: to a script %d", value, live.status)
		}
	}
	if p := c.post("/sheets/999/readings", reading(l, "17")); p.status != http.StatusNotFound {
		t.Errorf("no sheet: %d", p.status)
	}
}

func TestFinishing(t *testing.T) {
	c := demoClub(t)
	address := c.made(c.single())
	h := c.sheetAt(address)
	l := moving(h)
	finish := url.Values{"boat_version": {fmt.Sprint(h.BoatNow)}, "by": {"Bram"}}
	if p := c.post(address+"/finish", finish); p.status != http.StatusUnprocessableEntity || !strings.Contains(p.body, "Nothing was measured yet") {
		t.Errorf("nothing measured: %d", p.status)
	}
	c.post(address+"/readings", reading(l, fmt.Sprint(l.Target)))
	if p := c.post(address+"/finish", finish); p.status != http.StatusSeeOther {
		t.Fatalf("%d: %.300s", p.status, p.body)
	}
	body := c.opened(address)
	wantAll(t, body, "finished by Bram")
	if strings.Contains(body, "<form") {
		t.Error("a finished sheet takes values")
	}
	wantAll(t, c.opened("/sheets?boat="+fmt.Sprint(h.BoatID)), "finished by Bram")
	if p := c.post(address+"/remove", nil); p.status != http.StatusConflict || !strings.Contains(p.body, "history rests on it") {
		t.Errorf("deleting: %d", p.status)
	}
	if p := c.post(address+"/readings", reading(l, "16"), byHTMX); p.status != http.StatusConflict {
		t.Errorf("reading: %d", p.status)
	}
}

func TestFinishingABoatThatMoved(t *testing.T) {
	c := demoClub(t)
	address := c.made(c.single())
	h := c.sheetAt(address)
	l := moving(h)
	c.post(address+"/readings", reading(l, fmt.Sprint(l.Target)))
	height := 16.0
	if _, err := c.service.UpdateRig(t.Context(), api.RigEdit{ID: h.BoatID, Version: h.BoatNow, By: "Cleo", Settings: []api.RigSetting{{Seat: 1, Setting: "gate_height_cm", Value: &height}}}); err != nil {
		t.Fatal(err)
	}
	p := c.post(address+"/finish", url.Values{"boat_version": {fmt.Sprint(h.BoatNow)}, "by": {"Bram"}})
	if p.status != http.StatusConflict {
		t.Fatalf("%d", p.status)
	}
	wantAll(t, p.body, "Cleo changed the boat in the meantime", "Nothing is lost", `data-state="good"`)
	if p := c.post(address+"/finish", formIn(p.body, "finish")); p.status != http.StatusSeeOther {
		t.Errorf("once more: %d", p.status)
	}
}

// formIn reads the form with the id.
func formIn(body, id string) url.Values {
	_, rest, _ := strings.Cut(body, `id="`+id+`"`)
	form, _, _ := strings.Cut(rest, "</form>")
	return formValues(form)
}

func TestOpenSheetsAreListedAndDeleted(t *testing.T) {
	c := demoClub(t)
	wantAll(t, c.opened("/sheets"), "None.")
	address := c.made(c.single())
	wantAll(t, c.opened("/sheets"), `href="`+address+`"`, "Halcyon", "made by Bram")
	wantAll(t, c.opened(address+"/remove"), "Delete the sheet for Halcyon?")
	if p := c.post(address+"/remove", nil); p.status != http.StatusSeeOther {
		t.Errorf("%d", p.status)
	}
	if p := c.get(address); p.status != http.StatusNotFound {
		t.Errorf("%d", p.status)
	}
}

func TestTheNameIsAskedOnce(t *testing.T) {
	c := demoClub(t)
	address := c.made(c.single())
	c.post(address+"/name", url.Values{"by": {"Anna Ø"}})
	wantAll(t, c.opened(address), `id="who" name="by" value="Anna Ø"`)
	l := moving(c.sheetAt(address))
	form := reading(l, fmt.Sprint(l.Target))
	form.Del("by")
	c.post(address+"/readings", form)
	if by := moving(c.sheetAt(address)).MeasuredBy; by != "Anna Ø" {
		t.Errorf("measured by %q", by)
	}
}
