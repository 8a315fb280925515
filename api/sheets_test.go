package api_test

import (
	"fmt"
	"maps"
	"net/http"
	"path/filepath"
	"testing"
	"time"

	"thole/api"
	"thole/api/store"
)

const sheetsPath = "/api/v1/sheets"

// pairRig is a rig that each seat of a pair stands at.
func pairRig() object {
	return object{
		"spread_cm": 86.0, "inboard_cm": 116.0, "oar_length_cm": 374.0, "heel_to_pin_cm": 22.0, "heel_depth_cm": 17.0, "plate_angle_deg": 42.0,
		"gate_height_cm": 17.0, "blade_pitch_deg": 0.0, "stern_pitch_deg": 4.0, "outward_pitch_deg": 0.0,
	}
}

func rigOf(version int64, seats int, rig object) object {
	var settings []any
	for seat := range seats {
		for name, v := range rig {
			settings = append(settings, object{"seat": seat + 1, "setting": name, "value": v})
		}
	}
	return object{"version": version, "settings": settings, "why": "overhaul", "by": "Bram"}
}

// pair puts a measured pair on record, and sweeper an athlete of a height.
func pair(t testing.TB) (boat, version int64) {
	t.Helper()
	boat = created(t, "/api/v1/boats", object{"name": fresh("Two Herons"), "boat_class": "2-", "hull_mass_kg": 27.5, "by": "Bram"})
	w := request(http.MethodPut, fmt.Sprintf("/api/v1/boats/%d/rig", boat), jsonType, encoded(t, rigOf(1, 2, pairRig())))
	if w.Code != http.StatusOK {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	return boat, int64(number(t, decoded[object](t, w.Body.Bytes()), "version"))
}

func sweeper(t testing.TB, stature float64) int64 {
	t.Helper()
	id := created(t, "/api/v1/athletes", object{"name": fresh("Ann"), "sex": "male", "port_cost_s": 0.0, "by": "Ines"})
	created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), object{"measured_on": "2026-01-10", "stature_cm": stature, "mass_kg": 85.0, "measured_by": "Ines"})
	return id
}

// crewOfTwo is an athlete at bow and a guest at stroke.
func crewOfTwo(t testing.TB) object {
	return object{"crew": []any{
		object{"seat": 1, "athlete_id": sweeper(t, 192)},
		object{"seat": 2, "name": "Guest", "rower": object{"sex": "female", "stature_cm": 168.0}, "posture": object{"lean_deg": 27.0}},
	}}
}

func setupPath(boat int64) string { return fmt.Sprintf("/api/v1/boats/%d/setup", boat) }

// newSheet puts a work sheet on record and returns its address and itself.
func newSheet(t testing.TB, change func(object)) (string, api.Sheet) {
	t.Helper()
	boat, version := pair(t)
	o := crewOfTwo(t)
	o["boat_id"], o["boat_version"], o["by"] = boat, version, "Bram"
	if change != nil {
		change(o)
	}
	w := post(t, sheetsPath, o)
	if w.Code != http.StatusCreated {
		t.Fatalf("%d: %.600s", w.Code, w.Body)
	}
	h := decoded[api.Sheet](t, w.Body.Bytes())
	return fmt.Sprintf("%s/%d", sheetsPath, h.ID), h
}

func putJSON(t testing.TB, path string, body any) int {
	t.Helper()
	return request(http.MethodPut, path, jsonType, encoded(t, body)).Code
}

func reading(seat int, setting string, value float64) object {
	return object{"seat": seat, "setting": setting, "value": value, "by": "Bram"}
}

func sheetAt(t testing.TB, path string) api.Sheet {
	t.Helper()
	w := request(http.MethodGet, path, "", "")
	if w.Code != http.StatusOK {
		t.Fatalf("%s: %d %s", path, w.Code, w.Body)
	}
	return decoded[api.Sheet](t, w.Body.Bytes())
}

func lineOf(t testing.TB, h api.Sheet, seat int, setting string) api.SheetLine {
	t.Helper()
	for _, l := range h.Seats[seat-1].Lines {
		if l.Setting == setting {
			return l
		}
	}
	t.Fatalf("no line for seat %d %s", seat, setting)
	return api.SheetLine{}
}

func boatAt(t testing.TB, id int64) api.Boat {
	t.Helper()
	return decoded[api.Boat](t, request(http.MethodGet, fmt.Sprintf("/api/v1/boats/%d", id), "", "").Body.Bytes())
}

func TestASetupIsTheFitOfTheBoatAsFound(t *testing.T) {
	boat, version := pair(t)
	a := answered(t, setupPath(boat), crewOfTwo(t))
	same(t, "version", int64(number(t, a, "boat_version")), version)
	for i := range 2 {
		seat := at(t, a, fmt.Sprintf("seats.%d", i))
		for _, l := range at(t, seat, "lines").([]any) {
			found, target := number(t, l, "as_found"), number(t, l, "target")
			same(t, fmt.Sprint(l, ": moves"), at(t, l, "moves"), any(found != target))
			same(t, fmt.Sprint(l, ": found"), found, pairRig()[at(t, l, "setting").(string)])
		}
	}
}

func TestWhatIsSetByHandStandsWithItsConsequences(t *testing.T) {
	boat, _ := pair(t)
	o := crewOfTwo(t)
	plain := answered(t, setupPath(boat), o)
	o["by_hand"] = []any{object{"seat": 1, "setting": "heel_to_pin_cm", "value": 31.0}}
	hand := answered(t, setupPath(boat), o)
	for _, l := range at(t, hand, "seats.0.lines").([]any) {
		if at(t, l, "setting") == "heel_to_pin_cm" {
			same(t, "target", number(t, l, "target"), 31.0)
			same(t, "text", at(t, l, "text"), any("stretcher 90 mm to the stern"))
		}
	}
	if number(t, hand, "seats.0.result.catch_deg") >= number(t, plain, "seats.0.result.catch_deg") {
		t.Error("a stretcher to the stern gives no longer catch")
	}
	same(t, "the other seat", at(t, hand, "seats.1"), at(t, plain, "seats.1"))
	same(t, "why", at(t, hand, "seats.0.unmet.0.why"), any("by_hand"))
}

func TestWhatASetupRefuses(t *testing.T) {
	boat, _ := pair(t)
	for name, c := range map[string]struct {
		change  func(object)
		pointer string
	}{
		"nobody":          {func(o object) { o["crew"] = []any{} }, "#/crew"},
		"unknown athlete": {func(o object) { put(o["crew"].([]any)[0].(object), "athlete_id", 999999) }, "#/crew/0/athlete_id"},
		"no such seat":    {func(o object) { put(o["crew"].([]any)[0].(object), "seat", 3) }, "#/crew/0/seat"},
		"seat twice":      {func(o object) { put(o["crew"].([]any)[1].(object), "seat", 1) }, "#/crew/1/seat"},
		"neither":         {func(o object) { drop(o["crew"].([]any)[1].(object), "rower") }, "#/crew/1/athlete_id"},
		"guest in metres": {func(o object) { put(o["crew"].([]any)[1].(object), "rower.stature_cm", 1.7) }, "#/crew/1/rower/stature_cm"},
		"by hand, seat":   {func(o object) { o["by_hand"] = []any{object{"seat": 5, "setting": "spread_cm", "value": 85.0}} }, "#/by_hand/0/seat"},
		"by hand, value":  {func(o object) { o["by_hand"] = []any{object{"seat": 1, "setting": "spread_cm", "value": 0.85}} }, "#/by_hand/0/value"},
		"cannot be moved": {func(o object) { o["move"] = []any{"blade_pitch_deg"} }, "#/move/0"},
		"no line-up":      {func(o object) { o["lineup_id"] = 999999 }, "#/lineup_id"},
		"target":          {func(o object) { o["targets"] = object{"catch_deg": 55.0} }, "#/targets/catch_deg"},
	} {
		o := crewOfTwo(t)
		c.change(o)
		if said := refused(t, setupPath(boat), o); said[c.pointer] == "" {
			t.Errorf("%s: %v; want something at %s", name, said, c.pointer)
		}
	}
}

func TestABoatThatWasNotMeasuredIsToldFirst(t *testing.T) {
	boat := created(t, "/api/v1/boats", object{"name": fresh("New"), "boat_class": "2-", "by": "Bram"})
	said := refused(t, setupPath(boat), crewOfTwo(t))
	same(t, "seat", said["#/crew/0/seat"], "Measure this at seat 1 first: spread, inboard, oar length, heel to pin.")
}

func TestASheetIsTheSetup(t *testing.T) {
	boat, version := pair(t)
	o := crewOfTwo(t)
	setup := answered(t, setupPath(boat), o)
	o["boat_id"], o["boat_version"], o["by"] = boat, version, "Bram"
	w := post(t, sheetsPath, o)
	h := decoded[api.Sheet](t, w.Body.Bytes())
	for i, seat := range h.Seats {
		for j, l := range seat.Lines {
			at := fmt.Sprintf("seats.%d.lines.%d", i, j)
			near(t, at, l.Target, number(t, setup, at+".target"), 0)
		}
		near(t, "catch", seat.Planned.CatchDeg, number(t, setup, fmt.Sprintf("seats.%d.result.catch_deg", i)), 0.011)
		near(t, "finish", seat.Planned.FinishDeg, number(t, setup, fmt.Sprintf("seats.%d.result.finish_deg", i)), 0.011)
	}
}

func TestASheetForABoatThatMovedIsRefused(t *testing.T) {
	boat, version := pair(t)
	o := crewOfTwo(t)
	o["boat_id"], o["boat_version"], o["by"] = boat, version, "Bram"
	putJSON(t, fmt.Sprintf("/api/v1/boats/%d/rig", boat), rigOf(version, 1, object{"gate_height_cm": 18.0}))
	p := problem(t, post(t, sheetsPath, o), http.StatusConflict)
	same(t, "what", p.Changes[0].What, "seat 1 gate_height_cm")
}

func TestAReadingSentTwiceCountsOnce(t *testing.T) {
	path, _ := newSheet(t, nil)
	for range 2 {
		same(t, "status", putJSON(t, path+"/readings/a", reading(1, "spread_cm", 85.5)), http.StatusOK)
	}
	same(t, "another value", putJSON(t, path+"/readings/a", reading(1, "spread_cm", 85)), http.StatusConflict)
	same(t, "measured", *lineOf(t, sheetAt(t, path), 1, "spread_cm").Measured, 85.5)
}

func TestTheLaterMeasuredReadingCounts(t *testing.T) {
	path, _ := newSheet(t, nil)
	old := reading(1, "spread_cm", 84)
	old["at"] = time.Now().Add(-time.Hour).Format(time.RFC3339)
	same(t, "status", putJSON(t, path+"/readings/late", reading(1, "spread_cm", 85)), http.StatusOK)
	same(t, "status", putJSON(t, path+"/readings/early", old), http.StatusOK)
	same(t, "measured", *lineOf(t, sheetAt(t, path), 1, "spread_cm").Measured, 85.0)
}

func TestAReadingOutOfToleranceIsTold(t *testing.T) {
	path, h := newSheet(t, nil)
	l := lineOf(t, h, 2, "gate_height_cm")
	putJSON(t, path+"/readings/a", reading(2, "gate_height_cm", l.Target+l.Tolerance+0.3))
	l = lineOf(t, sheetAt(t, path), 2, "gate_height_cm")
	near(t, "beyond", l.Off, 0.3, 1e-9)
	same(t, "mend", l.OffText, "gate down 5 mm")
	putJSON(t, path+"/readings/b", reading(2, "gate_height_cm", l.Target-l.Tolerance))
	same(t, "at the edge", lineOf(t, sheetAt(t, path), 2, "gate_height_cm").Off, 0.0)
}

func TestWhatIsMeasuredChangesTheArcShown(t *testing.T) {
	path, h := newSheet(t, nil)
	same(t, "before", h.Seats[0].Measured, (*api.ArcEnds)(nil))
	l := lineOf(t, h, 1, "heel_to_pin_cm")
	putJSON(t, path+"/readings/a", reading(1, "heel_to_pin_cm", l.Target+2))
	h = sheetAt(t, path)
	if h.Seats[0].Measured.CatchDeg >= h.Seats[0].Planned.CatchDeg {
		t.Errorf("measured %v, planned %v", h.Seats[0].Measured, h.Seats[0].Planned)
	}
}

func TestReadingsThatCannotBe(t *testing.T) {
	path, _ := newSheet(t, nil)
	for name, c := range map[string]struct {
		path string
		body object
		want int
	}{
		"in metres":    {path + "/readings/a", reading(1, "spread_cm", 0.85), 422},
		"no setting":   {path + "/readings/a", reading(1, "span_cm", 158), 422},
		"no seat":      {path + "/readings/a", reading(7, "spread_cm", 85), 404},
		"nobody":       {path + "/readings/a", object{"seat": 1, "setting": "spread_cm", "value": 85.0}, 422},
		"no value":     {path + "/readings/a", object{"seat": 1, "setting": "spread_cm", "by": "B"}, 422},
		"no sheet":     {sheetsPath + "/999999/readings/a", reading(1, "spread_cm", 85), 404},
		"no such path": {sheetsPath + "/x/readings/a", reading(1, "spread_cm", 85), 404},
	} {
		same(t, name, putJSON(t, c.path, c.body), c.want)
	}
}

func TestFinishingPutsWhatWasMeasuredIntoTheRig(t *testing.T) {
	path, h := newSheet(t, nil)
	putJSON(t, path+"/readings/a", reading(1, "spread_cm", 85.4))
	done := answered(t, path+"/finish", object{"boat_version": h.BoatNow, "by": "Bram"})
	if at(t, done, "done_at") == nil || at(t, done, "done_by") != "Bram" {
		t.Errorf("not done: %v", done["done_at"])
	}
	boat := boatAt(t, h.BoatID)
	same(t, "measured", *boat.Seats[0].Seat.SpreadCm, 85.4)
	same(t, "not measured", *boat.Seats[1].Seat.SpreadCm, 86.0)
	same(t, "again", post(t, path+"/finish", object{"boat_version": h.BoatNow, "by": "Cleo"}).Code, 200)
	same(t, "more readings", putJSON(t, path+"/readings/b", reading(1, "spread_cm", 85)), 409)
	same(t, "deleting", request(http.MethodDelete, path, "", "").Code, 409)
}

func TestAStaleFinishLosesNothing(t *testing.T) {
	path, h := newSheet(t, nil)
	putJSON(t, path+"/readings/a", reading(1, "spread_cm", 85.4))
	putJSON(t, fmt.Sprintf("/api/v1/boats/%d/rig", h.BoatID), object{"version": h.BoatNow, "by": "Cleo", "settings": []any{object{"seat": 1, "setting": "spread_cm", "value": 84.0}}})
	p := problem(t, post(t, path+"/finish", object{"boat_version": h.BoatNow, "by": "Bram"}), http.StatusConflict)
	same(t, "who", p.Changes[0].By, "Cleo")
	now := sheetAt(t, path)
	if now.DoneAt != nil || len(now.Moved) != 1 || *lineOf(t, now, 1, "spread_cm").Measured != 85.4 {
		t.Errorf("something is lost: %+v", now.Moved)
	}
	answered(t, path+"/finish", object{"boat_version": now.BoatNow, "by": "Bram"})
	same(t, "spread", *boatAt(t, h.BoatID).Seats[0].Seat.SpreadCm, 85.4)
}

func TestFinishingNothing(t *testing.T) {
	path, h := newSheet(t, nil)
	said := refused(t, path+"/finish", object{"boat_version": h.BoatNow, "by": "Bram"})
	same(t, "told", said["#/lines"], "Nothing was measured yet: type what was set, or delete the sheet.")
}

func TestReadingsThatDoNotFitTheirSeatAreNotFinished(t *testing.T) {
	path, h := newSheet(t, nil)
	putJSON(t, path+"/readings/a", reading(1, "inboard_cm", 85.5))
	if code := post(t, path+"/finish", object{"boat_version": h.BoatNow, "by": "Bram"}).Code; code != 422 {
		t.Errorf("an inboard like the spread: %d", code)
	}
}

func TestASheetOutlivesItsAthlete(t *testing.T) {
	path, h := newSheet(t, nil)
	request(http.MethodDelete, fmt.Sprintf("/api/v1/athletes/%d", *h.Seats[0].AthleteID), "", "")
	now := sheetAt(t, path)
	same(t, "name", now.Seats[0].Name, "")
	same(t, "plan", now.Seats[0].Planned, (*api.ArcEnds)(nil))
	same(t, "lines", now.Seats[0].Lines, h.Seats[0].Lines)
}

func TestSheetsAreListedByBoat(t *testing.T) {
	path, h := newSheet(t, nil)
	list := func(query string) []api.SheetSummary {
		return decoded[api.SheetList](t, request(http.MethodGet, sheetsPath+query, "", "").Body.Bytes()).Sheets
	}
	own := fmt.Sprintf("?boat_id=%d", h.BoatID)
	same(t, "open", len(list(own+"&open=true")), 1)
	putJSON(t, path+"/readings/a", reading(1, "spread_cm", 85.4))
	answered(t, path+"/finish", object{"boat_version": h.BoatNow, "by": "Bram"})
	same(t, "open after", len(list(own+"&open=true")), 0)
	same(t, "all", len(list(own)), 1)
	if len(list("")) <= 1 {
		t.Error("other boats have no sheets")
	}
}

func TestLineupsFillTheCrew(t *testing.T) {
	records, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "club.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = records.Close() })
	own := api.NewService(records)
	boat := must(own.AddBoat(t.Context(), api.NewBoat{BoatFields: api.BoatFields{Name: "Heron", BoatClass: "1x"}, By: "Bram"}))
	var settings []api.RigSetting
	for name, v := range map[string]float64{"span_cm": 159, "inboard_cm": 88, "oar_length_cm": 288, "heel_to_pin_cm": 23} {
		settings = append(settings, api.RigSetting{Seat: 1, Setting: name, Value: &v})
	}
	must(own.UpdateRig(t.Context(), api.RigEdit{ID: boat.ID, Version: 1, Settings: settings, By: "Bram"}))
	ann := must(own.AddAthlete(t.Context(), api.NewAthlete{AthleteFields: api.AthleteFields{Name: "Ann"}, By: "Ines"}))
	id := must(records.AddLineup(t.Context(), store.Lineup{Name: "Sunday", ClassCode: "1x", Seats: []store.LineupSeat{{AthleteID: &ann.ID}}}, store.By{Name: "Ines"}))
	must(records.AddLineup(t.Context(), store.Lineup{Name: "Own", ClassCode: "1x", BoatID: &boat.ID}, store.By{Name: "Ines"}))
	setup := must(own.SetUp(t.Context(), api.SetupRequest{BoatID: boat.ID, SetupFields: api.SetupFields{LineupID: &id}}))
	same(t, "sculler", setup.Seats[0].Name, "Ann")
	same(t, "line-up", setup.LineupName, "Sunday")
	same(t, "choice", fmt.Sprint(must(own.LineupsFor(t.Context(), &boat))), "[{2 Own} {1 Sunday}]")
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func init() {
	settled = append(settled,
		"PUT "+sheetsPath+"/:id/readings/:key.measured", // a reading was just entered
		"POST "+sheetsPath+".seats.lines.measured", "POST "+sheetsPath+".seats.measured", "POST "+sheetsPath+".seats.planned", "POST "+sheetsPath+".done_at", "POST "+sheetsPath+".moved",
		"POST "+sheetsPath+"/:id/finish.done_at", "POST "+sheetsPath+"/:id/finish.moved", "POST "+sheetsPath+"/:id/finish.seats.planned",
		// A set-up is asked nothing that has a largest value.
		"POST /api/v1/boats/:id/setup.rules", "POST "+sheetsPath+".rules", "GET "+sheetsPath+"/:id.rules", "POST "+sheetsPath+"/:id/finish.rules",
	)
	samples["POST /api/v1/boats/:id/setup"] = setupSamples
	samples["POST "+sheetsPath] = func(t testing.TB) []sample {
		var list []sample
		for _, s := range setupSamples(t)[:2] {
			var boat int64
			_, _ = fmt.Sscanf(s.path, "/api/v1/boats/%d", &boat)
			s.body["boat_id"], s.body["boat_version"], s.body["by"] = boat, boatAt(t, boat).Version, "Bram"
			list = append(list, sample{body: s.body})
		}
		return list
	}
	samples["GET "+sheetsPath] = func(t testing.TB) []sample { someSheets(t); return []sample{{}} }
	samples["GET "+sheetsPath+"/:id"] = func(t testing.TB) []sample { return someSheets(t) }
	samples["DELETE "+sheetsPath+"/:id"] = func(t testing.TB) []sample { path, _ := newSheet(t, nil); return []sample{{path: path}} }
	samples["PUT "+sheetsPath+"/:id/readings/:key"] = func(t testing.TB) []sample {
		path, _ := newSheet(t, nil)
		bare := someSheets(t)[1].path
		full := reading(1, "spread_cm", 85)
		full["at"] = "2026-01-02T10:00:00Z"
		return []sample{{path + "/readings/a", full}, {bare + "/readings/b", reading(1, "gate_height_cm", 17)}}
	}
	samples["POST "+sheetsPath+"/:id/finish"] = func(t testing.TB) []sample {
		var list []sample
		for _, s := range someSheets(t)[:2] {
			now := sheetAt(t, s.path).BoatNow
			list = append(list, sample{s.path + "/finish", object{"boat_version": now, "by": "Bram"}})
		}
		return list
	}
}

// setupSamples are set-ups of a boat that is known in part, of one that is known
// whole, of one that cannot be rowed as found, and one that cannot as set.
func setupSamples(t testing.TB) []sample {
	boat, _ := pair(t)
	whole := crewOfTwo(t)
	whole["cox_mass_kg"], whole["targets"], whole["move"], whole["own_inboard"] = 55.0, object{"catch_deg": -55.0, "finish_deg": 35.0}, []any{"heel_to_pin_cm"}, true
	far := object{"crew": []any{object{"seat": 1, "rower": object{"stature_cm": 180.0}}}}
	stuck := maps.Clone(far)
	stuck["by_hand"] = []any{object{"seat": 1, "setting": "heel_to_pin_cm", "value": 62.0}}
	return []sample{
		{setupPath(boat), whole}, {setupPath(partlyKnown(t, 22)), object{"crew": []any{object{"seat": 1, "athlete_id": sweeper(t, 186)}}}},
		{setupPath(partlyKnown(t, 22)), stuck}, {setupPath(partlyKnown(t, 62)), far},
	}
}

// partlyKnown puts a single on record of which only what must be known is.
func partlyKnown(t testing.TB, heel float64) int64 {
	t.Helper()
	boat := created(t, "/api/v1/boats", object{"name": fresh("Wren"), "boat_class": "1x", "hull_mass_kg": 14.0, "by": "Bram"})
	rig := object{"span_cm": 159.0, "inboard_cm": 88.0, "oar_length_cm": 288.0, "heel_to_pin_cm": heel}
	if code := putJSON(t, fmt.Sprintf("/api/v1/boats/%d/rig", boat), rigOf(1, 1, rig)); code != http.StatusOK {
		t.Fatalf("%d", code)
	}
	return boat
}

// someSheets are sheets with and without readings, of an athlete that is gone,
// of boats that have moved since, and one that is done.
func someSheets(t testing.TB) []sample {
	t.Helper()
	first, _ := newSheet(t, nil)
	putJSON(t, first+"/readings/a", reading(1, "spread_cm", 85.4))
	boat := partlyKnown(t, 22)
	w := post(t, sheetsPath, object{"boat_id": boat, "boat_version": boatAt(t, boat).Version, "by": "Bram", "crew": []any{object{"seat": 1, "athlete_id": sweeper(t, 186)}}})
	bare := fmt.Sprintf("%s/%d", sheetsPath, decoded[api.Sheet](t, w.Body.Bytes()).ID)
	putJSON(t, bare+"/readings/a", reading(1, "span_cm", 158))
	edit := boatAt(t, boat)
	putJSON(t, fmt.Sprintf("/api/v1/boats/%d/rig", boat), rigOf(edit.Version, 1, object{"gate_height_cm": 16.0}))
	edit = boatAt(t, boat)
	putJSON(t, fmt.Sprintf("/api/v1/boats/%d", boat), object{"version": edit.Version, "name": edit.Name, "boat_class": "1x", "by": "Cleo",
		"seats": []any{object{"number": 1, "side": "", "can_change_sides": false, "adjust": object{}}}})
	gone, lost := newSheet(t, nil)
	request(http.MethodDelete, fmt.Sprintf("/api/v1/athletes/%d", *lost.Seats[0].AthleteID), "", "")
	done, last := newSheet(t, nil)
	putJSON(t, done+"/readings/a", reading(1, "spread_cm", 85.4))
	answered(t, done+"/finish", object{"boat_version": last.BoatNow, "by": "Bram"})
	return []sample{{path: first}, {path: bare}, {path: gone}, {path: done}}
}
