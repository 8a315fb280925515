package ui_test

import (
	"fmt"
	"html"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"thole/api"
	"thole/api/club"
	"thole/api/store"
	"thole/ui"
)

// club is a site with records behind it, and a reader who keeps cookies and
// does not follow redirects.
type clubSite struct {
	t       testing.TB
	url     string
	service *api.Service
	client  http.Client
}

func newClub(t testing.TB) *clubSite {
	t.Helper()
	records, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "club.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = records.Close() })
	c := &clubSite{t: t, service: api.NewService(records)}
	t.Cleanup(c.service.Close)
	pages, err := ui.New(c.service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", policy)
		pages.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	c.url = server.URL
	c.client.Jar, _ = cookiejar.New(nil)
	c.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return c
}

func demoClub(t testing.TB) *clubSite {
	t.Helper()
	c := newClub(t)
	if err := c.service.Demo.FillDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	return c
}

// reply is an answer.
type reply struct {
	status int
	header http.Header
	body   string
}

func (c *clubSite) send(method, path string, form url.Values, headers ...string) reply {
	c.t.Helper()
	r, err := http.NewRequestWithContext(c.t.Context(), method, c.url+path, strings.NewReader(form.Encode()))
	if err != nil {
		c.t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for _, name := range headers {
		r.Header.Set(name, "true")
	}
	answer, err := c.client.Do(r)
	if err != nil {
		c.t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		c.t.Fatal(err)
	}
	return reply{answer.StatusCode, answer.Header, string(body)}
}

func (c *clubSite) get(path string) reply { c.t.Helper(); return c.send(http.MethodGet, path, nil) }

// opened gets a page that must be there.
func (c *clubSite) opened(path string) string {
	c.t.Helper()
	p := c.get(path)
	if p.status != http.StatusOK || !strings.HasPrefix(p.body, "<!doctype html>") || !strings.HasSuffix(strings.TrimSpace(p.body), "</html>") {
		c.t.Fatalf("GET %s: %d %.300s", path, p.status, p.body)
	}
	return p.body
}

func (c *clubSite) post(path string, form url.Values, headers ...string) reply {
	c.t.Helper()
	return c.send(http.MethodPost, path, form, headers...)
}

const byHTMX = "HX-Request"

// formValues reads what a form on a page holds, as a browser would send it.
func formValues(body string) url.Values {
	form := url.Values{}
	for _, tag := range regexp.MustCompile(`<input[^>]*>`).FindAllString(body, -1) {
		name, value := attribute(tag, "name"), attribute(tag, "value")
		if kind := attribute(tag, "type"); (kind == "radio" || kind == "checkbox") && !strings.Contains(tag, " checked") || name == "" {
			continue
		}
		form.Set(name, value)
	}
	for _, m := range regexp.MustCompile(`(?s)<textarea id="(\w+)"[^>]*>(.*?)</textarea>`).FindAllStringSubmatch(body, -1) {
		form.Set(m[1], html.UnescapeString(m[2]))
	}
	for _, m := range regexp.MustCompile(`(?s)<select id="(\w+)".*?</select>`).FindAllStringSubmatch(body, -1) {
		if chosen := regexp.MustCompile(`<option value="([^"]*)" selected>`).FindStringSubmatch(m[0]); chosen != nil {
			form.Set(m[1], html.UnescapeString(chosen[1]))
		}
	}
	return form
}

// formTo cuts out the form of a page that is sent to an address.
func formTo(t testing.TB, body, address string) string {
	t.Helper()
	_, rest, found := strings.Cut(body, ` method="post" action="`+address+`"`)
	form, _, ended := strings.Cut(rest, "</form>")
	if !found || !ended {
		t.Fatalf("no form to %s", address)
	}
	return form
}

func attribute(tag, name string) string {
	m := regexp.MustCompile(` ` + name + `="([^"]*)"`).FindStringSubmatch(tag)
	if m == nil {
		return ""
	}
	return html.UnescapeString(m[1])
}

// form opens a page and returns what its form holds, with changes.
func (c *clubSite) form(path string, changes ...string) url.Values {
	c.t.Helper()
	form := formValues(c.opened(path))
	for i := 0; i < len(changes); i += 2 {
		form.Set(changes[i], changes[i+1])
	}
	return form
}

// wantIn fails unless the body holds every text.
func wantIn(t testing.TB, what, body string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(body, text) {
			t.Errorf("%s lacks %q", what, text)
		}
	}
}

// goesTo fails unless an answer leads on to the path.
func goesTo(t testing.TB, p reply, path string) {
	t.Helper()
	if p.status != http.StatusSeeOther || p.header.Get("Location") != path {
		t.Errorf("status %d to %q, want 303 to %q: %.300s", p.status, p.header.Get("Location"), path, p.body)
	}
}

// recordPaths are pages of the demo club.
var recordPaths = []string{
	"/boats", "/boats?name=x&archived=true", "/boats/new", "/boats/1", "/boats/6", "/boats/9", "/boats/10", "/boats/9/edit", "/boats/1/edit", "/boats/9/remove",
	"/boats/9/seats/8", "/boats/1/seats/1", "/boats/9/seats/4/ranges", "/boats/9/history", "/boats/9/history?seat=4&setting=spread_cm", "/boats/10/history",
	"/athletes", "/athletes?name=zzz", "/athletes/new", "/athletes/13", "/athletes/7", "/athletes/6", "/athletes/13/edit", "/athletes/13/remove",
	"/oars", "/oars?name=zzz", "/oars/new", "/oars/1", "/oars/4", "/oars/1/remove",
}

func TestRecordPagesOfTheDemoClub(t *testing.T) {
	c := demoClub(t)
	for _, path := range recordPaths {
		body := c.opened(path)
		if strings.Contains(body, "<nil>") || strings.Contains(body, "NaN") || strings.Contains(body, "%!") {
			t.Errorf("%s shows a programmer's value", path)
		}
	}
}

func TestRecordPagesOfAnEmptyClub(t *testing.T) {
	c := newClub(t)
	wantIn(t, "no boats", c.opened("/boats"), "No boat is on record yet")
	wantIn(t, "no athletes", c.opened("/athletes"), "Nobody is on record yet")
	wantIn(t, "no oars", c.opened("/oars"), "No oars are on record yet")
}

// TestAwkwardNamesStayText puts markup and a long name on record.
func TestAwkwardNamesStayText(t *testing.T) {
	c := newClub(t)
	awkward := `<b>"Ø&` + strings.Repeat("x", 60)
	goesTo(t, c.post("/boats", url.Values{"name": {awkward}, "boat_class": {"4+"}, "note": {"<script>1</script>"}, "by": {awkward}}), "/boats/1")
	goesTo(t, c.post("/athletes", url.Values{"name": {awkward}, "note": {"</textarea>"}, "by": {awkward}}), "/athletes/1")
	goesTo(t, c.post("/oars", url.Values{"name": {awkward}, "kind": {"sweep"}, "by": {awkward}}), "/oars")
	for _, path := range []string{"/boats", "/boats/1", "/boats/1/edit", "/boats/1/seats/2", "/boats/1/seats/2/ranges", "/boats/1/history", "/boats/1/remove", "/athletes", "/athletes/1", "/athletes/1/edit", "/oars", "/oars/1"} {
		body := c.opened(path)
		wantIn(t, path, body, "&lt;b&gt;")
		if strings.Contains(body, "<b>") || strings.Contains(body, "<script>1") || strings.Contains(body, "></textarea></textarea>") {
			t.Errorf("%s takes a name for markup", path)
		}
	}
}

func TestUnknownRecordsAreToldSo(t *testing.T) {
	c := newClub(t)
	for _, path := range []string{"/boats/7", "/boats/x", "/boats/7/edit", "/boats/7/seats/1", "/boats/7/history", "/boats/7/history/1", "/boats/7/remove", "/boats/7/seats/1/check", "/athletes/7", "/athletes/7/edit", "/athletes/7/check", "/athletes/7/remove", "/athletes/7/tests/1/remove", "/oars/7", "/oars/7/remove"} {
		if p := c.get(path); p.status != http.StatusNotFound || !strings.Contains(p.body, "Not on record") {
			t.Errorf("GET %s: %d", path, p.status)
		}
	}
	for _, path := range []string{"/boats/7", "/boats/7/seats/1", "/boats/7/seats/1/ranges", "/boats/7/remove", "/boats/7/history/1", "/athletes/7", "/athletes/7/measures", "/athletes/7/tests", "/athletes/7/tests/1/remove", "/athletes/7/remove", "/oars/7", "/oars/7/remove"} {
		if p := c.post(path, url.Values{"by": {"Ann"}}); p.status != http.StatusNotFound {
			t.Errorf("POST %s: %d %.200s", path, p.status, p.body)
		}
	}
}

func TestSeatsThatABoatLacks(t *testing.T) {
	c := demoClub(t)
	for _, path := range []string{"/boats/1/seats/0", "/boats/1/seats/2", "/boats/1/seats/-1", "/boats/1/seats/2/ranges"} {
		if p := c.get(path); p.status != http.StatusNotFound {
			t.Errorf("%s: %d", path, p.status)
		}
	}
}

func TestMeasuringASeat(t *testing.T) {
	c := demoClub(t)
	form := c.form("/boats/9/seats/4", "seat4_spread_cm", "84,5", "why", "new pin", "by", "Ann Berg")
	goesTo(t, c.post("/boats/9/seats/4", form), "/boats/9")
	wantIn(t, "history", c.opened("/boats/9/history?seat=4&setting=spread_cm"), "84 cm", "84.5 cm", "Ann Berg", "new pin")
	// The name is kept for the next form.
	if by := c.form("/boats/9/seats/5").Get("by"); by != "Ann Berg" {
		t.Errorf("the next form is signed %q", by)
	}
	form = c.form("/boats/9/seats/5", "then", "next")
	goesTo(t, c.post("/boats/9/seats/5", form), "/boats/9/seats/6")
	form = c.form("/boats/9/seats/8", "then", "next")
	goesTo(t, c.post("/boats/9/seats/8", form), "/boats/9")
}

// TestSecondEditorLosesNothing lets two people measure one seat: the second
// is told what the first changed, and keeps what both changed.
func TestSecondEditorLosesNothing(t *testing.T) {
	c := demoClub(t)
	second := c.form("/boats/9/seats/4", "seat4_inboard_cm", "114", "seat4_heel_to_pin_cm", "26", "why", "for Ben", "by", "Ben")
	first := c.form("/boats/9/seats/4", "seat4_inboard_cm", "115", "seat4_spread_cm", "84.5", "by", "Ann")
	goesTo(t, c.post("/boats/9/seats/4", first), "/boats/9")
	var kept url.Values
	for _, headers := range [][]string{nil, {byHTMX}} {
		p := c.post("/boats/9/seats/4", second, headers...)
		if p.status != http.StatusConflict {
			t.Fatalf("status %d", p.status)
		}
		wantIn(t, "the refused form", p.body, "Ann changed this", "Ann made it “115” (was “114.5”)", "taken over")
		kept = formValues(p.body)
		for name, want := range map[string]string{
			"seat4_inboard_cm": "114", "seat4_heel_to_pin_cm": "26", "seat4_spread_cm": "84.5", "why": "for Ben", "by": "Ben",
		} {
			if kept.Get(name) != want {
				t.Errorf("%s holds %q, want %q", name, kept.Get(name), want)
			}
		}
	}
	goesTo(t, c.post("/boats/9/seats/4", kept), "/boats/9")
	wantIn(t, "history", c.opened("/boats/9/history?seat=4"), "Ann", "Ben", "115 cm", "114 cm", "26 cm")
}

func TestSecondEditorOfAHullLosesNothing(t *testing.T) {
	c := demoClub(t)
	second := c.form("/boats/9/edit", "note", "mine", "seat3_side", "port", "by", "Ben")
	second.Del("seat4_can_change_sides")
	first := c.form("/boats/9/edit", "note", "theirs", "hull_mass_kg", "98", "by", "Ann")
	first.Del("seat3_can_change_sides")
	goesTo(t, c.post("/boats/9", first), "/boats/9")
	p := c.post("/boats/9", second)
	kept := formValues(p.body)
	if p.status != http.StatusConflict || kept.Get("note") != "mine" || kept.Get("hull_mass_kg") != "98" || kept.Get("seat3_side") != "port" ||
		kept.Has("seat3_can_change_sides") || kept.Has("seat4_can_change_sides") {
		t.Errorf("status %d, kept %v", p.status, kept)
	}
	goesTo(t, c.post("/boats/9", kept), "/boats/9")
	boat, err := c.service.Club.Boat(t.Context(), club.IDRequest{ID: 9})
	if err != nil {
		t.Fatal(err)
	}
	if boat.Note != "mine" || *boat.HullMassKg != 98 || boat.Seats[2].Side != "port" || boat.Seats[2].CanChangeSides || boat.Seats[3].CanChangeSides || !boat.Seats[4].CanChangeSides {
		t.Errorf("on record: %q, %v, %+v", boat.Note, *boat.HullMassKg, boat.Seats[2].SeatFields)
	}
}

func TestSecondEditorOfRangesLosesNothing(t *testing.T) {
	c := demoClub(t)
	second := c.form("/boats/9/seats/2/ranges", "seat2_spread_cm_max", "88", "by", "Ben")
	first := c.form("/boats/9/seats/2/ranges", "seat2_spread_cm_max", "87", "seat2_spread_cm_step", "1", "by", "Ann")
	goesTo(t, c.post("/boats/9/seats/2/ranges", first), "/boats/9/seats/2")
	p := c.post("/boats/9/seats/2/ranges", second)
	kept := formValues(p.body)
	if p.status != http.StatusConflict || kept.Get("seat2_spread_cm_max") != "88" || kept.Get("seat2_spread_cm_step") != "1" {
		t.Errorf("status %d, kept %v", p.status, kept)
	}
	wantIn(t, "the refused form", p.body, "Ann made it “87” (was “89”)")
}

func TestRangesForAllSeats(t *testing.T) {
	c := demoClub(t)
	form := c.form("/boats/9/seats/2/ranges", "seat2_spread_cm_min", "", "seat2_spread_cm_max", "", "seat2_plate_angle_deg_min", "40", "seat2_plate_angle_deg_max", "44", "all", "true", "by", "Ann")
	goesTo(t, c.post("/boats/9/seats/2/ranges", form), "/boats/9/seats/2")
	boat, err := c.service.Club.Boat(t.Context(), club.IDRequest{ID: 9})
	if err != nil {
		t.Fatal(err)
	}
	for _, seat := range boat.Seats {
		_, moves := seat.Adjust["spread_cm"]
		if moves || seat.Adjust["plate_angle_deg"].Max != 44 {
			t.Errorf("seat %d: %v", seat.Number, seat.Adjust)
		}
	}
	form = c.form("/boats/9/seats/2/ranges", "seat2_spread_cm_min", "84")
	p := c.post("/boats/9/seats/2/ranges", form)
	if p.status != http.StatusUnprocessableEntity || !strings.Contains(p.body, "Give both ends") {
		t.Errorf("half a range: %d", p.status)
	}
}

// TestBadEntriesStay sends what cannot be: the form comes back with all of it,
// each complaint at its field, and the first bad field in focus.
func TestBadEntriesStay(t *testing.T) {
	c := demoClub(t)
	for _, k := range []struct {
		page, to string
		change   []string
		field    string
		says     string
	}{
		{"/boats/9/seats/4", "/boats/9/seats/4", []string{"seat4_spread_cm", "0.84", "by", "A"}, "seat4_spread_cm", "metres: 84 cm"},
		{"/boats/9/seats/4", "/boats/9/seats/4", []string{"seat4_inboard_cm", "wide", "by", "A"}, "seat4_inboard_cm", "“wide” is not a number"},
		{"/boats/9/seats/4", "/boats/9/seats/4", []string{"seat4_inboard_cm", "", "by", "A"}, "seat4_inboard_cm", "was measured before"},
		{"/boats/9/seats/4", "/boats/9/seats/4", []string{"by", " "}, "by", "Say who you are"},
		{"/boats/9/edit", "/boats/9", []string{"hull_mass_kg", "970", "by", "A"}, "hull_mass_kg", "plausible range"},
		{"/boats/9/edit", "/boats/9", []string{"boat_class", "4x", "by", "A"}, "boat_class", "another boat"},
		{"/boats/9/edit", "/boats/9", []string{"name", "", "by", "A"}, "name", "A name is needed"},
		{"/boats/new", "/boats", []string{"name", "Nightjar", "boat_class", "8+", "by", "A"}, "name", "is on record"},
		{"/boats/9/seats/4/ranges", "/boats/9/seats/4/ranges", []string{"seat4_spread_cm_min", "90", "by", "A"}, "seat4_spread_cm_min", "swap them"},
		{"/athletes/new", "/athletes", []string{"name", "Zed", "birth_date", "2999-01-01", "by", "A"}, "birth_date", "still to come"},
		{"/athletes/13/edit", "/athletes/13", []string{"port_cost_s", "-1", "by", "A"}, "port_cost_s", "from 0 to 60 s"},
		{"/athletes/13", "/athletes/13/measures", []string{"stature_cm", "1.59", "measured_by", "A"}, "stature_cm", "metres: 159 cm"},
		{"/athletes/13", "/athletes/13/measures", []string{"shank_cm", "400", "measured_by", "A"}, "shank_cm", "millimetres: 40 cm"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "fast", "by", "A"}, "time", "“fast” is no time"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "", "by", "A"}, "time", "Say how long it took"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "302", "distance_m", "1000", "by", "A"}, "time", "Was 5:02.0 meant, or 3:02.0? Write it like 7:02.4"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "5:02", "by", "A"}, "time", "beyond the"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "distance_m", "far", "by", "A"}, "distance_m", "“far” is not a number"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "distance_m", "2", "by", "A"}, "distance_m", "kilometres: 2000 m"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "tested_on", "2999-01-01", "by", "A"}, "tested_on", "still to come"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "test_mass_kg", "485", "by", "A"}, "test_mass_kg", "20 to 200 kg"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "test_note", strings.Repeat("x", 2001), "by", "A"}, "test_note", "2000 characters"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "by", " "}, "by", "Say who you are"},
		{"/oars/1", "/oars/1", []string{"count", "1.5", "by", "A"}, "count", "whole number"},
		{"/oars/1", "/oars/1", []string{"length_cm", "2.88", "by", "A"}, "length_cm", "metres: 288 cm"},
		{"/boats/9/history/" + lastChange(c), "/boats/9/history/" + lastChange(c), []string{"by", ""}, "by", "Say who you are"},
	} {
		form := formValues(formTo(t, c.opened(k.page), k.to))
		for i := 0; i < len(k.change); i += 2 {
			form.Set(k.change[i], k.change[i+1])
		}
		for _, headers := range [][]string{nil, {byHTMX}} {
			p := c.post(k.to, form, headers...)
			if p.status != http.StatusUnprocessableEntity {
				t.Errorf("%s %v: status %d", k.to, k.change, p.status)
				continue
			}
			wantIn(t, k.to, p.body, k.says, `id="e-`+k.field+`"`)
			if whole := strings.Contains(p.body, "<!doctype"); whole == (len(headers) > 0) {
				t.Errorf("%s: a page to htmx or a fragment to a plain form", k.to)
			}
			kept := formValues(formTo(t, p.body, k.to))
			for name := range form {
				if kept.Get(name) != form.Get(name) {
					t.Errorf("%s: %s was %q, came back %q", k.to, name, form.Get(name), kept.Get(name))
				}
			}
			if focus := regexp.MustCompile(`<[^>]* autofocus`).FindAllString(p.body, -1); k.field != "boat_class" && (len(focus) != 1 || !strings.Contains(focus[0], `id="`+k.field+`"`)) {
				t.Errorf("%s %v: focus on %q", k.to, k.change, focus)
			}
		}
	}
}

// lastChange is the newest entry of the eight's history.
func lastChange(c *clubSite) string {
	c.t.Helper()
	h, err := c.service.Club.RigHistory(c.t.Context(), club.RigHistoryRequest{ID: 9, Limit: 1})
	if err != nil {
		c.t.Fatal(err)
	}
	return fmt.Sprint(h.Changes[0].ID)
}

func TestUndoFromTheHistory(t *testing.T) {
	c := demoClub(t)
	change := "/boats/9/history/" + lastChange(c)
	wantIn(t, "history", c.opened("/boats/9/history"), change)
	wantIn(t, "the question", c.opened(change), "17.5 cm", "18 cm")
	goesTo(t, c.post(change, url.Values{"by": {"Ann"}, "why": {"wrong gate"}}), "/boats/9/history")
	wantIn(t, "history", c.opened("/boats/9/history"), "Taken back.", "wrong gate")
	p := c.post(change, url.Values{"by": {"Ann"}})
	if p.status != http.StatusConflict || !strings.Contains(p.body, "Ann changed this") {
		t.Errorf("a second time: %d", p.status)
	}
}

func TestHtmxIsSentOnAfterSaving(t *testing.T) {
	c := demoClub(t)
	p := c.post("/oars/1", c.form("/oars/1", "count", "17", "by", "Ann"), byHTMX)
	if p.status != http.StatusNoContent || p.header.Get("HX-Redirect") != "/oars" {
		t.Errorf("status %d to %q", p.status, p.header.Get("HX-Redirect"))
	}
	wantIn(t, "oars", c.opened("/oars"), "17 sculls")
}

func TestRecordsArePutAsideAndFoundAgain(t *testing.T) {
	c := demoClub(t)
	goesTo(t, c.post("/athletes/1", c.form("/athletes/1/edit", "archived", "true", "by", "Ann")), "/athletes/1")
	if strings.Contains(c.opened("/athletes"), "Ingrid") {
		t.Error("an athlete put aside is in the list")
	}
	wantIn(t, "the whole list", c.opened("/athletes?archived=true"), "Ingrid", "put aside")
}

func TestRemovingRecords(t *testing.T) {
	c := demoClub(t)
	for _, path := range []string{"/athletes/1", "/boats/10", "/oars/4"} {
		goesTo(t, c.post(path+"/remove", nil), path[:strings.LastIndexByte(path, '/')])
		if p := c.get(path); p.status != http.StatusNotFound {
			t.Errorf("%s is still there: %d", path, p.status)
		}
	}
}

// TestCheckingASeatFillsTheForm leads from a boat's seat and an athlete to the
// page for one seat, which takes every name.
func TestCheckingASeatFillsTheForm(t *testing.T) {
	c := demoClub(t)
	p := c.get("/boats/9/seats/4/check?athlete=7")
	address := p.header.Get("Location")
	form := formValues(c.opened(address))
	for name, want := range map[string]string{
		"class": "8+", "side": "port", "spread_cm": "84", "heel_to_pin_cm": "24.5", "stature_cm": "193.5", "sex": "male", "lean_deg": "27", "sitting_height_cm": "100",
	} {
		if form.Get(name) != want {
			t.Errorf("%s holds %q, want %q", name, form.Get(name), want)
		}
	}
	query, err := url.ParseQuery(strings.TrimPrefix(address, "/seat?"))
	if err != nil {
		t.Fatal(err)
	}
	for name := range query {
		if !form.Has(name) {
			t.Errorf("the page for one seat has no %s", name)
		}
	}
	goesTo(t, c.get("/athletes/7/check?boat=9&seat=4"), "/boats/9/seats/4/check?athlete=7")
	wantIn(t, "an athlete alone", c.get("/athletes/13/check").header.Get("Location"), "stature_cm=158.6")
}

func TestMeasuringAnAthlete(t *testing.T) {
	c := demoClub(t)
	form := c.form("/athletes/13", "stature_cm", "159,2", "arm_cm", "62", "note", "barefoot", "measured_by", "Ann")
	goesTo(t, c.post("/athletes/13/measures", form), "/athletes/13")
	wantIn(t, "the athlete", c.opened("/athletes/13"), "159.2 cm", "barefoot", "Arm cm", "Grew")
}

// TestGrowthIsDrawnToScale: of two days with 4 cm between, the older stands at
// the foot of the drawing and the newer at its head.
func TestGrowthIsDrawnToScale(t *testing.T) {
	c := newClub(t)
	goesTo(t, c.post("/athletes", url.Values{"name": {"A"}, "by": {"B"}}), "/athletes/1")
	for day, height := range map[string]string{"2026-01-01": "160", "2026-07-01": "165", "2026-10-01": "164"} {
		goesTo(t, c.post("/athletes/1/measures", url.Values{"measured_on": {day}, "stature_cm": {height}, "measured_by": {"B"}}), "/athletes/1")
	}
	wantIn(t, "the drawing", c.opened("/athletes/1"), `d="M40 124L220.34 22L312 42.4"`, "Height from 160 to 164 cm between 1 Jan 2026 and 1 Oct 2026")
}

func TestBoatDrawingNamesEverySide(t *testing.T) {
	c := demoClub(t)
	eight := c.opened("/boats/9")
	wantIn(t, "the eight", eight, "seat 1 starboard, seat 2 port", "Seat 1, bow, starboard", "Seat 8, stroke, port", "cox")
	if n := strings.Count(eight, `class="pin"`); n != 12 {
		t.Errorf("%d pins, want 8 and 4 that could be", n)
	}
	if n := strings.Count(c.opened("/boats/6"), `class="pin"`); n != 8 {
		t.Errorf("%d pins on a quad", n)
	}
}

// BenchmarkRecordPages serves each page of a club with 200 boats and 500
// athletes.
func BenchmarkRecordPages(b *testing.B) {
	c := bigClub(b)
	pages, err := ui.New(c.service, slog.New(slog.DiscardHandler))
	if err != nil {
		b.Fatal(err)
	}
	for _, path := range []string{"/boats", "/boats/9", "/boats/9/edit", "/boats/9/seats/4", "/boats/9/history", "/athletes", "/athletes?name=51", "/athletes/13", "/oars", "/oars/1"} {
		b.Run(path, func(b *testing.B) {
			for b.Loop() {
				w := httptest.NewRecorder()
				pages.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
				if w.Code != http.StatusOK {
					b.Fatal(w.Code)
				}
			}
		})
	}
}

func bigClub(b *testing.B) *clubSite {
	b.Helper()
	c := demoClub(b)
	for i := range 190 {
		if _, err := c.service.Club.AddBoat(b.Context(), club.NewBoat{BoatFields: club.BoatFields{Name: fmt.Sprint("Boat ", i), BoatClass: "4+"}, By: "B"}); err != nil {
			b.Fatal(err)
		}
	}
	for i := range 476 {
		a, err := c.service.Club.AddAthlete(b.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: fmt.Sprint("Athlete ", i)}, By: "B"})
		if err != nil {
			b.Fatal(err)
		}
		for j := range 5 {
			stature, mass := 160+float64(j), 60+float64(j)
			_, err := c.service.Club.AddMeasures(b.Context(), club.NewMeasures{AthleteID: a.ID, MeasuredOn: fmt.Sprintf("202%d-01-01", j+1), MeasuredBy: "B",
				MeasuredBody: club.MeasuredBody{StatureCm: &stature, MassKg: &mass}})
			if err != nil {
				b.Fatal(err)
			}
		}
	}
	return c
}
