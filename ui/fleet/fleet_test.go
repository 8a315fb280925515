package fleet_test

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/setup"
	"thole/ui/uitest"
)

func TestSeatsThatABoatLacks(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, path := range []string{"/boats/1/seats/0", "/boats/1/seats/2", "/boats/1/seats/-1", "/boats/1/seats/2/ranges"} {
		if p := c.Get(path); p.Status != http.StatusNotFound {
			t.Errorf("%s: %d", path, p.Status)
		}
	}
}

func TestMeasuringASeat(t *testing.T) {
	c := uitest.DemoClub(t)
	form := c.Form("/boats/9/seats/4", "seat4_spread_cm", "84,5", "why", "new pin", "by", "Ann Berg")
	uitest.GoesTo(t, c.Post("/boats/9/seats/4", form), "/boats/9")
	uitest.WantIn(t, "history", c.Opened("/boats/9/history?seat=4&setting=spread_cm"), "84 cm", "84.5 cm", "Ann Berg", "new pin")
	// The name is kept for the next form.
	if by := c.Form("/boats/9/seats/5").Get("by"); by != "Ann Berg" {
		t.Errorf("the next form is signed %q", by)
	}
	form = c.Form("/boats/9/seats/5", "then", "next")
	uitest.GoesTo(t, c.Post("/boats/9/seats/5", form), "/boats/9/seats/6")
	form = c.Form("/boats/9/seats/8", "then", "next")
	uitest.GoesTo(t, c.Post("/boats/9/seats/8", form), "/boats/9")
}

// TestSecondEditorLosesNothing lets two people measure one seat: the second
// is told what the first changed, and keeps what both changed.
func TestSecondEditorLosesNothing(t *testing.T) {
	c := uitest.DemoClub(t)
	second := c.Form("/boats/9/seats/4", "seat4_inboard_cm", "114", "seat4_heel_to_pin_cm", "26", "why", "for Ben", "by", "Ben")
	first := c.Form("/boats/9/seats/4", "seat4_inboard_cm", "115", "seat4_spread_cm", "84.5", "by", "Ann")
	uitest.GoesTo(t, c.Post("/boats/9/seats/4", first), "/boats/9")
	var kept url.Values
	for _, headers := range [][]string{nil, {uitest.ByHTMX}} {
		p := c.Post("/boats/9/seats/4", second, headers...)
		if p.Status != http.StatusConflict {
			t.Fatalf("status %d", p.Status)
		}
		uitest.WantIn(t, "the refused form", p.Body, "Ann changed this", "Ann made it “115” (was “114.5”)", "taken over")
		kept = uitest.FormValues(p.Body)
		for name, want := range map[string]string{
			"seat4_inboard_cm": "114", "seat4_heel_to_pin_cm": "26", "seat4_spread_cm": "84.5", "why": "for Ben", "by": "Ben",
		} {
			if kept.Get(name) != want {
				t.Errorf("%s holds %q, want %q", name, kept.Get(name), want)
			}
		}
	}
	uitest.GoesTo(t, c.Post("/boats/9/seats/4", kept), "/boats/9")
	uitest.WantIn(t, "history", c.Opened("/boats/9/history?seat=4"), "Ann", "Ben", "115 cm", "114 cm", "26 cm")
}

func TestSecondEditorOfAHullLosesNothing(t *testing.T) {
	c := uitest.DemoClub(t)
	second := c.Form("/boats/9/edit", "note", "mine", "seat3_side", "port", "by", "Ben")
	second.Del("seat4_can_change_sides")
	first := c.Form("/boats/9/edit", "note", "theirs", "hull_mass_kg", "98", "by", "Ann")
	first.Del("seat3_can_change_sides")
	uitest.GoesTo(t, c.Post("/boats/9", first), "/boats/9")
	p := c.Post("/boats/9", second)
	kept := uitest.FormValues(p.Body)
	if p.Status != http.StatusConflict || kept.Get("note") != "mine" || kept.Get("hull_mass_kg") != "98" || kept.Get("seat3_side") != "port" ||
		kept.Has("seat3_can_change_sides") || kept.Has("seat4_can_change_sides") {
		t.Errorf("status %d, kept %v", p.Status, kept)
	}
	uitest.GoesTo(t, c.Post("/boats/9", kept), "/boats/9")
	boat, err := c.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: 9})
	if err != nil {
		t.Fatal(err)
	}
	if boat.Note != "mine" || *boat.HullMassKg != 98 || boat.Seats[2].Side != "port" || boat.Seats[2].CanChangeSides || boat.Seats[3].CanChangeSides || !boat.Seats[4].CanChangeSides {
		t.Errorf("on record: %q, %v, %+v", boat.Note, *boat.HullMassKg, boat.Seats[2].SeatFields)
	}
}

func TestSecondEditorOfRangesLosesNothing(t *testing.T) {
	c := uitest.DemoClub(t)
	second := c.Form("/boats/9/seats/2/ranges", "seat2_spread_cm_max", "88", "by", "Ben")
	first := c.Form("/boats/9/seats/2/ranges", "seat2_spread_cm_max", "87", "seat2_spread_cm_step", "1", "by", "Ann")
	uitest.GoesTo(t, c.Post("/boats/9/seats/2/ranges", first), "/boats/9/seats/2")
	p := c.Post("/boats/9/seats/2/ranges", second)
	kept := uitest.FormValues(p.Body)
	if p.Status != http.StatusConflict || kept.Get("seat2_spread_cm_max") != "88" || kept.Get("seat2_spread_cm_step") != "1" {
		t.Errorf("status %d, kept %v", p.Status, kept)
	}
	uitest.WantIn(t, "the refused form", p.Body, "Ann made it “87” (was “89”)")
}

func TestRangesForAllSeats(t *testing.T) {
	c := uitest.DemoClub(t)
	form := c.Form("/boats/9/seats/2/ranges", "seat2_spread_cm_min", "", "seat2_spread_cm_max", "", "seat2_plate_angle_deg_min", "40", "seat2_plate_angle_deg_max", "44", "all", "true", "by", "Ann")
	uitest.GoesTo(t, c.Post("/boats/9/seats/2/ranges", form), "/boats/9/seats/2")
	boat, err := c.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: 9})
	if err != nil {
		t.Fatal(err)
	}
	for _, seat := range boat.Seats {
		_, moves := seat.Adjust["spread_cm"]
		if moves || seat.Adjust["plate_angle_deg"].Max != 44 {
			t.Errorf("seat %d: %v", seat.Number, seat.Adjust)
		}
	}
	form = c.Form("/boats/9/seats/2/ranges", "seat2_spread_cm_min", "84")
	p := c.Post("/boats/9/seats/2/ranges", form)
	if p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "Give both ends") {
		t.Errorf("half a range: %d", p.Status)
	}
}

// lastChange is the newest entry of the eight's history.
func lastChange(c *uitest.ClubSite) string {
	c.T.Helper()
	h, err := c.Service.Fleet.RigHistory(c.T.Context(), fleet.RigHistoryRequest{ID: 9, Limit: 1})
	if err != nil {
		c.T.Fatal(err)
	}
	return fmt.Sprint(h.Changes[0].ID)
}

// TestTheHistoryExplains: which sheet a change came from, and the sheet taken back
// as a whole; the first entry of a setting can be taken back, too.
func TestTheHistoryExplains(t *testing.T) {
	c := uitest.DemoClub(t)
	sheet := c.Made(c.Single())
	made := c.SheetAt(sheet)
	line := made.Seats[0].Lines[0]
	ctx := t.Context()
	if _, err := c.Service.Setup.RecordReading(ctx, setup.NewReading{SheetID: made.ID, Key: "a", Seat: 1, Setting: line.Setting, Value: new(*line.AsFound + 0.5), By: "Bram"}); err != nil {
		t.Fatal(err)
	}
	if _, err := c.Service.Setup.FinishSheet(ctx, setup.FinishRequest{SheetID: made.ID, BoatVersion: made.BoatNow, By: "Bram"}); err != nil {
		t.Fatal(err)
	}
	history := fmt.Sprintf("/boats/%d/history", made.BoatID)
	undo := fmt.Sprintf("%s/sheets/%d", history, made.ID)
	body := c.Opened(history)
	uitest.WantIn(t, "history", body, fmt.Sprintf(`<a href="%s">Work sheet %d</a>`, sheet, made.ID), undo, "Undo the whole sheet")
	uitest.WantIn(t, "the question", c.Opened(undo), fmt.Sprintf("Undo work sheet %d?", made.ID), "1 setting as before the sheet", "All of it or nothing")
	if unsigned := c.Post(undo, url.Values{}); unsigned.Status != http.StatusUnprocessableEntity {
		t.Errorf("unsigned: %d", unsigned.Status)
	}
	uitest.GoesTo(t, c.Post(undo, url.Values{"by": {"Ann"}, "why": {"wrong day"}}), history)
	after := c.Opened(history)
	uitest.WantIn(t, "history", after, "Undone.", "wrong day")
	if strings.Contains(after, "Undo the whole sheet") {
		t.Error("a sheet that is undone can be undone again")
	}
	if again := c.Post(undo, url.Values{"by": {"Ann"}}); again.Status != http.StatusConflict {
		t.Errorf("again: %d", again.Status)
	}
	if none := c.Get(history + "/sheets/999"); none.Status != http.StatusNotFound {
		t.Errorf("no such sheet: %d", none.Status)
	}
}

func TestUndoFromTheHistory(t *testing.T) {
	c := uitest.DemoClub(t)
	change := "/boats/9/history/" + lastChange(c)
	uitest.WantIn(t, "history", c.Opened("/boats/9/history"), change)
	uitest.WantIn(t, "the question", c.Opened(change), "17.5 cm", "18 cm")
	uitest.GoesTo(t, c.Post(change, url.Values{"by": {"Ann"}, "why": {"wrong gate"}}), "/boats/9/history")
	uitest.WantIn(t, "history", c.Opened("/boats/9/history"), "Undone.", "wrong gate")
	p := c.Post(change, url.Values{"by": {"Ann"}})
	if p.Status != http.StatusConflict || !strings.Contains(p.Body, "Ann changed this") {
		t.Errorf("a second time: %d", p.Status)
	}
}

func TestHtmxIsSentOnAfterSaving(t *testing.T) {
	c := uitest.DemoClub(t)
	p := c.Post("/oars/1", c.Form("/oars/1", "count", "17", "by", "Ann"), uitest.ByHTMX)
	if p.Status != http.StatusNoContent || p.Header.Get("HX-Redirect") != "/oars" {
		t.Errorf("status %d to %q", p.Status, p.Header.Get("HX-Redirect"))
	}
	uitest.WantIn(t, "oars", c.Opened("/oars"), "17 sculls")
}

// TestBoatDrawingNamesEverySide: each boat is drawn at every width with a disc
// or a square for every pin, and the description says the same.
func TestBoatDrawingNamesEverySide(t *testing.T) {
	c := uitest.DemoClub(t)
	eight := c.Opened("/boats/9")
	uitest.WantIn(t, "the eight", eight, "1, starboard. 2, port.", "8, port. Cox. Bow at the top", "Bow to the left", "a 8&#43; from above",
		">Seat 1, bow, starboard<", ">Seat 8, stroke, port<", "The riggers of seats 3, 4, 5 and 6 fit both sides.")
	if strings.Contains(eight, "open") {
		t.Error("a boat without its crew has open seats")
	}
	for path, pins := range map[string]int{"/boats/9": 8, "/boats/6": 8, "/boats/1": 2, "/boats/5": 2} {
		if n := strings.Count(c.Opened(path), "fig-sidemark"); n != 3*pins {
			t.Errorf("%s: %d pins at three widths, want %d", path, n, 3*pins)
		}
	}
}

// TestSeatPageMarksItsSeat: the drawing beside the form marks one seat.
func TestSeatPageMarksItsSeat(t *testing.T) {
	body := uitest.DemoClub(t).Opened("/boats/9/seats/4")
	uitest.WantIn(t, "the seat", body, "Seat 4 is marked.")
	if n := strings.Count(body, "fig-onhere"); n != 2 {
		t.Errorf("%d marks at two widths", n)
	}
}

func TestABoatKeepsItsBladesAndItsStretcherMark(t *testing.T) {
	c := uitest.DemoClub(t)
	boat := c.BoatNamed("Marl")
	address := fmt.Sprintf("/boats/%d", boat.ID)
	form := uitest.FormValues(c.Opened(address + "/edit"))
	form.Set("by", "Bram")
	form.Set("blade", "macon")
	form.Set("stretcher_mark", "hole")
	if p := c.Post(address, form); p.Status != http.StatusUnprocessableEntity {
		t.Errorf("holes without a distance: %d", p.Status)
	}
	form.Set("stretcher_hole_pitch_cm", "1,5")
	form.Set("stretcher_offset_cm", "8")
	if p := c.Post(address, form); p.Status != http.StatusSeeOther {
		t.Fatalf("%d %.2000s", p.Status, p.Body)
	}
	now := c.BoatNamed("Marl")
	if now.Stretcher == nil || now.Stretcher.Mark != "hole" || *now.Stretcher.OffsetCm != 8 || *now.Stretcher.HolePitchCm != 1.5 || now.Seats[0].Blade != "macon" || now.Seats[3].Blade != "macon" {
		t.Errorf("%+v, blades %q %q", now.Stretcher, now.Seats[0].Blade, now.Seats[3].Blade)
	}
	body := c.Opened(address)
	for _, text := range []string{"Macon", "hole, 1.5 cm apart"} {
		if !strings.Contains(body, text) {
			t.Errorf("the boat's page lacks %q", text)
		}
	}
	again := uitest.FormValues(c.Opened(address + "/edit"))
	for name, want := range map[string]string{"blade": "macon", "stretcher_mark": "hole", "stretcher_hole_pitch_cm": "1.5"} {
		if again.Get(name) != want {
			t.Errorf("%s is %q in the form, want %q", name, again.Get(name), want)
		}
	}
}

// TestBadEntriesStay sends what cannot be: the form comes back with all of it,
// each complaint at its field, and the first bad field in focus.
func TestBadEntriesStay(t *testing.T) {
	c := uitest.DemoClub(t)
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
		{"/oars/1", "/oars/1", []string{"count", "1.5", "by", "A"}, "count", "whole number"},
		{"/oars/1", "/oars/1", []string{"length_cm", "2.88", "by", "A"}, "length_cm", "metres: 288 cm"},
		{"/boats/9/history/" + lastChange(c), "/boats/9/history/" + lastChange(c), []string{"by", ""}, "by", "Say who you are"},
	} {
		c.Refused(k.page, k.to, k.field, k.says, k.change...)
	}
}

// fleetPaths are pages of the demo club's boats and oars.
var fleetPaths = []string{
	"/boats", "/boats?name=x&archived=true", "/boats/new", "/boats/1", "/boats/6", "/boats/9", "/boats/10", "/boats/9/edit", "/boats/1/edit", "/boats/9/remove",
	"/boats/9/seats/8", "/boats/1/seats/1", "/boats/9/seats/4/ranges", "/boats/9/history", "/boats/9/history?seat=4&setting=spread_cm", "/boats/10/history",
	"/oars", "/oars?name=zzz", "/oars/new", "/oars/1", "/oars/4", "/oars/1/remove",
}

func TestFleetPagesOfTheDemoClub(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, path := range fleetPaths {
		body := c.Opened(path)
		if strings.Contains(body, "<nil>") || strings.Contains(body, "NaN") || strings.Contains(body, "%!") {
			t.Errorf("%s shows a programmer's value", path)
		}
	}
}

func TestFleetPagesOfAnEmptyClub(t *testing.T) {
	c := uitest.NewClub(t)
	uitest.WantIn(t, "no boats", c.Opened("/boats"), "No boat is on record yet")
	uitest.WantIn(t, "no oars", c.Opened("/oars"), "No oars are on record yet")
}

// TestAwkwardNamesStayText puts markup and a long name on record.
func TestAwkwardNamesStayText(t *testing.T) {
	c := uitest.NewClub(t)
	awkward := `<b>"Ø&` + strings.Repeat("x", 60)
	uitest.GoesTo(t, c.Post("/boats", url.Values{"name": {awkward}, "boat_class": {"4+"}, "note": {"<script>1</script>"}, "by": {awkward}}), "/boats/1")
	uitest.GoesTo(t, c.Post("/oars", url.Values{"name": {awkward}, "kind": {"sweep"}, "by": {awkward}}), "/oars")
	for _, path := range []string{"/boats", "/boats/1", "/boats/1/edit", "/boats/1/seats/2", "/boats/1/seats/2/ranges", "/boats/1/history", "/boats/1/remove", "/oars", "/oars/1"} {
		body := c.Opened(path)
		uitest.WantIn(t, path, body, "&lt;b&gt;")
		if strings.Contains(body, "<b>") || strings.Contains(body, "<script>1") || strings.Contains(body, "></textarea></textarea>") {
			t.Errorf("%s takes a name for markup", path)
		}
	}
}

func TestUnknownRecordsAreToldSo(t *testing.T) {
	c := uitest.NewClub(t)
	for _, path := range []string{"/boats/7", "/boats/x", "/boats/7/edit", "/boats/7/seats/1", "/boats/7/history", "/boats/7/history/1", "/boats/7/remove", "/boats/7/seats/1/check", "/oars/7", "/oars/7/remove"} {
		if p := c.Get(path); p.Status != http.StatusNotFound || !strings.Contains(p.Body, "Not found") {
			t.Errorf("GET %s: %d", path, p.Status)
		}
	}
	for _, path := range []string{"/boats/7", "/boats/7/seats/1", "/boats/7/seats/1/ranges", "/boats/7/remove", "/boats/7/history/1", "/oars/7", "/oars/7/remove"} {
		if p := c.Post(path, url.Values{"by": {"Ann"}}); p.Status != http.StatusNotFound {
			t.Errorf("POST %s: %d %.200s", path, p.Status, p.Body)
		}
	}
}

func TestRemovingRecords(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, path := range []string{"/boats/10", "/oars/4"} {
		uitest.GoesTo(t, c.Post(path+"/remove", nil), path[:strings.LastIndexByte(path, '/')])
		if p := c.Get(path); p.Status != http.StatusNotFound {
			t.Errorf("%s is still there: %d", path, p.Status)
		}
	}
}

// TestCheckingASeatFillsTheForm leads from a boat's seat, with an athlete in it, to the
// page for one seat, which takes every name.
func TestCheckingASeatFillsTheForm(t *testing.T) {
	c := uitest.DemoClub(t)
	p := c.Get("/boats/9/seats/4/check?athlete=7")
	address := p.Header.Get("Location")
	form := uitest.FormValues(c.Opened(address))
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
}

// TestASeatLeadsToItsNeighbours: the first has none before it and the last none after.
func TestASeatLeadsToItsNeighbours(t *testing.T) {
	c := uitest.DemoClub(t)
	for number, want := range map[int][2]string{1: {"", "2"}, 4: {"3", "5"}, 8: {"7", ""}} {
		body := c.Opened(fmt.Sprintf("/boats/9/seats/%d", number))
		if before := strings.Contains(body, "‹ Seat "); before != (want[0] != "") || before && !strings.Contains(body, `href="/boats/9/seats/`+want[0]+`">‹ Seat `+want[0]+`</a>`) {
			t.Errorf("seat %d: a seat before it: %t, want %q", number, before, want[0])
		}
		if after := strings.Contains(body, " ›</a>"); after != (want[1] != "") || after && !strings.Contains(body, `href="/boats/9/seats/`+want[1]+`">Seat `+want[1]+` ›</a>`) {
			t.Errorf("seat %d: a seat after it: %t, want %q", number, after, want[1])
		}
	}
}

// TestEverySideIsAskedForOnce: the riggers of a sweep boat by their seats, from the bow.
func TestEverySideIsAskedForOnce(t *testing.T) {
	form := uitest.FormValues(uitest.DemoClub(t).Opened("/boats/9/edit"))
	for number := 1; number <= 8; number++ {
		if side := form.Get(fmt.Sprintf("seat%d_side", number)); side != "port" && side != "starboard" {
			t.Errorf("seat %d: %q", number, side)
		}
	}
}

// TestALongHistoryLeadsToWhatIsOlder, and a short one to nothing.
func TestALongHistoryLeadsToWhatIsOlder(t *testing.T) {
	c := uitest.DemoClub(t)
	for at, want := range map[string]bool{"/boats/9/history": true, "/boats/9/history?seat=4&setting=spread_cm": false} {
		body := c.Opened(at)
		if got := strings.Contains(body, ">Older</a>"); got != want {
			t.Errorf("%s leads further: %t", at, got)
		}
		if want {
			address := regexp.MustCompile(`href="(\?[^"]*)">Older</a>`).FindStringSubmatch(body)
			if older := c.Opened("/boats/9/history" + html.UnescapeString(address[1])); strings.Contains(older, ">Older</a>") {
				t.Error("the oldest lead further")
			}
		}
	}
}
