package setup_test

import (
	"fmt"
	"net/http"
	"testing"
	"time"

	"thole/api"
	"thole/api/apitest"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/setup"
	"thole/api/store"
	"thole/api/storetest"
)

func lineOf(t testing.TB, h setup.Sheet, seat int, setting string) setup.SheetLine {
	t.Helper()
	for _, l := range h.Seats[seat-1].Lines {
		if l.Setting == setting {
			return l
		}
	}
	t.Fatalf("no line for seat %d %s", seat, setting)
	return setup.SheetLine{}
}

func TestASetupIsTheFitOfTheBoatAsFound(t *testing.T) {
	boat, version := apitest.Pair(t)
	a := apitest.Answered(t, apitest.SetupPath(boat), apitest.CrewOfTwo(t))
	apitest.Same(t, "version", int64(apitest.Number(t, a, "boat_version")), version)
	for i := range 2 {
		seat := apitest.At(t, a, fmt.Sprintf("seats.%d", i))
		for _, l := range apitest.At(t, seat, "lines").([]any) {
			found, target := apitest.Number(t, l, "as_found"), apitest.Number(t, l, "target")
			apitest.Same(t, fmt.Sprint(l, ": moves"), apitest.At(t, l, "moves"), any(found != target))
			apitest.Same(t, fmt.Sprint(l, ": found"), found, apitest.PairRig()[apitest.At(t, l, "setting").(string)])
		}
	}
}

func TestWhatIsSetByHandStandsWithItsConsequences(t *testing.T) {
	boat, _ := apitest.Pair(t)
	o := apitest.CrewOfTwo(t)
	plain := apitest.Answered(t, apitest.SetupPath(boat), o)
	o["by_hand"] = []any{apitest.Object{"seat": 1, "setting": "heel_to_pin_cm", "value": 14.0}}
	hand := apitest.Answered(t, apitest.SetupPath(boat), o)
	for _, l := range apitest.At(t, hand, "seats.0.lines").([]any) {
		if apitest.At(t, l, "setting") == "heel_to_pin_cm" {
			apitest.Same(t, "target", apitest.Number(t, l, "target"), 14.0)
			apitest.Same(t, "text", apitest.At(t, l, "text"), any("stretcher 80 mm to the bow"))
		}
	}
	if apitest.Number(t, hand, "seats.0.result.catch_deg") <= apitest.Number(t, plain, "seats.0.result.catch_deg") {
		t.Error("a stretcher to the bow gives no shorter catch")
	}
	apitest.Same(t, "the other seat", apitest.At(t, hand, "seats.1"), apitest.At(t, plain, "seats.1"))
	apitest.Same(t, "verdict", apitest.At(t, hand, "seats.0.result.verdict"), any("off"))
}

func TestWhatASetupRefuses(t *testing.T) {
	boat, _ := apitest.Pair(t)
	for name, c := range map[string]struct {
		change  func(apitest.Object)
		pointer string
	}{
		"nobody":          {func(o apitest.Object) { o["crew"] = []any{} }, "#/crew"},
		"unknown athlete": {func(o apitest.Object) { apitest.Put(o["crew"].([]any)[0].(apitest.Object), "athlete_id", 999999) }, "#/crew/0/athlete_id"},
		"no such seat":    {func(o apitest.Object) { apitest.Put(o["crew"].([]any)[0].(apitest.Object), "seat", 3) }, "#/crew/0/seat"},
		"seat twice":      {func(o apitest.Object) { apitest.Put(o["crew"].([]any)[1].(apitest.Object), "seat", 1) }, "#/crew/1/seat"},
		"neither":         {func(o apitest.Object) { apitest.Drop(o["crew"].([]any)[1].(apitest.Object), "rower") }, "#/crew/1/athlete_id"},
		"guest in metres": {func(o apitest.Object) { apitest.Put(o["crew"].([]any)[1].(apitest.Object), "rower.stature_cm", 1.7) }, "#/crew/1/rower/stature_cm"},
		"by hand, seat": {func(o apitest.Object) {
			o["by_hand"] = []any{apitest.Object{"seat": 5, "setting": "spread_cm", "value": 85.0}}
		}, "#/by_hand/0/seat"},
		"by hand, value": {func(o apitest.Object) {
			o["by_hand"] = []any{apitest.Object{"seat": 1, "setting": "spread_cm", "value": 0.85}}
		}, "#/by_hand/0/value"},
		"job":        {func(o apitest.Object) { o["job"] = "all" }, "#/job"},
		"level":      {func(o apitest.Object) { o["level"] = "olympic" }, "#/level"},
		"limits":     {func(o apitest.Object) { o["limits"] = apitest.Object{"lean_deg": 300.0} }, "#/limits/lean_deg"},
		"no line-up": {func(o apitest.Object) { o["lineup_id"] = 999999 }, "#/lineup_id"},
		"target":     {func(o apitest.Object) { o["targets"] = apitest.Object{"catch_deg": 55.0} }, "#/targets/catch_deg"},
	} {
		o := apitest.CrewOfTwo(t)
		c.change(o)
		if said := apitest.Refused(t, apitest.SetupPath(boat), o); said[c.pointer] == "" {
			t.Errorf("%s: %v; want something at %s", name, said, c.pointer)
		}
	}
}

func TestABoatThatWasNotMeasuredIsToldFirst(t *testing.T) {
	boat := apitest.Created(t, "/api/v1/boats", apitest.Object{"name": apitest.Fresh("New"), "boat_class": "2-", "by": "Bram"})
	said := apitest.Refused(t, apitest.SetupPath(boat), apitest.CrewOfTwo(t))
	apitest.Same(t, "seat", said["#/crew/0/seat"], "Measure this at seat 1 first: spread, inboard, oar length, heel to pin.")
}

func TestASheetIsTheSetup(t *testing.T) {
	boat, version := apitest.Pair(t)
	o := apitest.CrewOfTwo(t)
	planned := apitest.Answered(t, apitest.SetupPath(boat), o)
	o["boat_id"], o["boat_version"], o["by"] = boat, version, "Bram"
	w := apitest.Post(t, apitest.SheetsPath, o)
	h := apitest.Decoded[setup.Sheet](t, w.Body.Bytes())
	for i, seat := range h.Seats {
		for j, l := range seat.Lines {
			at := fmt.Sprintf("seats.%d.lines.%d", i, j)
			apitest.Near(t, at, l.Target, apitest.Number(t, planned, at+".target"), 0)
		}
		apitest.Near(t, "catch", seat.Planned.CatchDeg, apitest.Number(t, planned, fmt.Sprintf("seats.%d.result.catch_deg", i)), 0.011)
		apitest.Near(t, "finish", seat.Planned.FinishDeg, apitest.Number(t, planned, fmt.Sprintf("seats.%d.result.finish_deg", i)), 0.011)
	}
}

func TestASheetForABoatThatMovedIsRefused(t *testing.T) {
	boat, version := apitest.Pair(t)
	o := apitest.CrewOfTwo(t)
	o["boat_id"], o["boat_version"], o["by"] = boat, version, "Bram"
	apitest.PutJSON(t, fmt.Sprintf("/api/v1/boats/%d/rig", boat), apitest.RigOf(version, 1, apitest.Object{"gate_height_cm": 18.0}))
	p := apitest.Problem(t, apitest.Post(t, apitest.SheetsPath, o), http.StatusConflict)
	apitest.Same(t, "what", p.Changes[0].What, "seat 1 gate_height_cm")
}

func TestAReadingSentTwiceCountsOnce(t *testing.T) {
	path, _ := apitest.NewSheet(t, nil)
	for range 2 {
		apitest.Same(t, "status", apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "spread_cm", 85.5)), http.StatusOK)
	}
	apitest.Same(t, "another value", apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "spread_cm", 85)), http.StatusConflict)
	apitest.Same(t, "measured", *lineOf(t, apitest.SheetAt(t, path), 1, "spread_cm").Measured, 85.5)
}

func TestTheLaterMeasuredReadingCounts(t *testing.T) {
	path, _ := apitest.NewSheet(t, nil)
	old := apitest.Reading(1, "spread_cm", 84)
	old["at"] = time.Now().Add(-time.Hour).Format(time.RFC3339)
	apitest.Same(t, "status", apitest.PutJSON(t, path+"/readings/late", apitest.Reading(1, "spread_cm", 85)), http.StatusOK)
	apitest.Same(t, "status", apitest.PutJSON(t, path+"/readings/early", old), http.StatusOK)
	apitest.Same(t, "measured", *lineOf(t, apitest.SheetAt(t, path), 1, "spread_cm").Measured, 85.0)
}

func TestAReadingOutOfToleranceIsTold(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	l := lineOf(t, h, 2, "gate_height_cm")
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(2, "gate_height_cm", l.Target+l.Tolerance+0.3))
	l = lineOf(t, apitest.SheetAt(t, path), 2, "gate_height_cm")
	apitest.Near(t, "beyond", l.Off, 0.3, 1e-9)
	apitest.Same(t, "mend", l.OffText, "gate down 5 mm")
	apitest.PutJSON(t, path+"/readings/b", apitest.Reading(2, "gate_height_cm", l.Target-l.Tolerance))
	apitest.Same(t, "at the edge", lineOf(t, apitest.SheetAt(t, path), 2, "gate_height_cm").Off, 0.0)
}

// TestOnlyWhatLiesWithinItsToleranceIsDone: a move measured too far off is not, and
// is again once it is mended.
func TestOnlyWhatLiesWithinItsToleranceIsDone(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	var l setup.SheetLine
	for _, s := range h.Seats {
		for _, one := range s.Lines {
			if one.Moves {
				l = one
			}
		}
	}
	if h.ToDo == 0 || h.Done != 0 {
		t.Fatalf("%d of %d done on a new sheet", h.Done, h.ToDo)
	}
	for i, c := range []struct {
		off       float64
		done, out int
	}{{2 * l.Tolerance, 0, 1}, {0, 1, 0}, {-2 * l.Tolerance, 0, 1}, {l.Tolerance, 1, 0}} {
		apitest.PutJSON(t, fmt.Sprintf("%s/readings/%d", path, i), apitest.Reading(l.Seat, l.Setting, l.Target+c.off))
		now := apitest.SheetAt(t, path)
		apitest.Same(t, fmt.Sprintf("done at %g", c.off), now.Done, c.done)
		apitest.Same(t, fmt.Sprintf("off at %g", c.off), now.Off, c.out)
	}
}

func TestWhatIsMeasuredChangesTheArcShown(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	apitest.Same(t, "before", h.Seats[0].Measured, (*setup.SeatOutcome)(nil))
	l := lineOf(t, h, 1, "heel_to_pin_cm")
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "heel_to_pin_cm", l.Target+2))
	h = apitest.SheetAt(t, path)
	if h.Seats[0].Measured.CatchDeg >= h.Seats[0].Planned.CatchDeg {
		t.Errorf("measured %v, planned %v", h.Seats[0].Measured, h.Seats[0].Planned)
	}
}

func TestReadingsThatCannotBe(t *testing.T) {
	path, _ := apitest.NewSheet(t, nil)
	for name, c := range map[string]struct {
		path string
		body apitest.Object
		want int
	}{
		"in metres":    {path + "/readings/a", apitest.Reading(1, "spread_cm", 0.85), 422},
		"no setting":   {path + "/readings/a", apitest.Reading(1, "span_cm", 158), 422},
		"no seat":      {path + "/readings/a", apitest.Reading(7, "spread_cm", 85), 404},
		"nobody":       {path + "/readings/a", apitest.Object{"seat": 1, "setting": "spread_cm", "value": 85.0}, 422},
		"no value":     {path + "/readings/a", apitest.Object{"seat": 1, "setting": "spread_cm", "by": "B"}, 422},
		"no sheet":     {apitest.SheetsPath + "/999999/readings/a", apitest.Reading(1, "spread_cm", 85), 404},
		"no such path": {apitest.SheetsPath + "/x/readings/a", apitest.Reading(1, "spread_cm", 85), 404},
	} {
		apitest.Same(t, name, apitest.PutJSON(t, c.path, c.body), c.want)
	}
}

func TestFinishingPutsWhatWasMeasuredIntoTheRig(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "spread_cm", 85.4))
	done := apitest.Answered(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Bram"})
	if apitest.At(t, done, "done_at") == nil || apitest.At(t, done, "done_by") != "Bram" {
		t.Errorf("not done: %v", done["done_at"])
	}
	boat := apitest.BoatAt(t, h.BoatID)
	apitest.Same(t, "measured", *boat.Seats[0].Seat.SpreadCm, 85.4)
	apitest.Same(t, "not measured", *boat.Seats[1].Seat.SpreadCm, 86.0)
	apitest.Same(t, "again", apitest.Post(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Cleo"}).Code, 200)
	apitest.Same(t, "more readings", apitest.PutJSON(t, path+"/readings/b", apitest.Reading(1, "spread_cm", 85)), 409)
	apitest.Same(t, "deleting", apitest.Request(http.MethodDelete, path, "", "").Code, 409)
}

func TestAStaleFinishLosesNothing(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "spread_cm", 85.4))
	apitest.PutJSON(t, fmt.Sprintf("/api/v1/boats/%d/rig", h.BoatID), apitest.Object{"version": h.BoatNow, "by": "Cleo", "settings": []any{apitest.Object{"seat": 1, "setting": "spread_cm", "value": 84.0}}})
	p := apitest.Problem(t, apitest.Post(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Bram"}), http.StatusConflict)
	apitest.Same(t, "who", p.Changes[0].By, "Cleo")
	now := apitest.SheetAt(t, path)
	if now.DoneAt != nil || len(now.Moved) != 1 || *lineOf(t, now, 1, "spread_cm").Measured != 85.4 {
		t.Errorf("something is lost: %+v", now.Moved)
	}
	apitest.Answered(t, path+"/finish", apitest.Object{"boat_version": now.BoatNow, "by": "Bram"})
	apitest.Same(t, "spread", *apitest.BoatAt(t, h.BoatID).Seats[0].Seat.SpreadCm, 85.4)
}

func TestFinishingNothing(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	said := apitest.Refused(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Bram"})
	apitest.Same(t, "told", said["#/lines"], "Nothing was measured yet: type what was set, or delete the sheet.")
}

func TestReadingsThatDoNotFitTheirSeatAreNotFinished(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "inboard_cm", 85.5))
	if code := apitest.Post(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Bram"}).Code; code != 422 {
		t.Errorf("an inboard like the spread: %d", code)
	}
}

func TestASheetOutlivesItsAthlete(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	apitest.Request(http.MethodDelete, fmt.Sprintf("/api/v1/athletes/%d", *h.Seats[0].AthleteID), "", "")
	now := apitest.SheetAt(t, path)
	apitest.Same(t, "name", now.Seats[0].Name, "")
	apitest.Same(t, "plan", now.Seats[0].Planned, (*setup.SeatOutcome)(nil))
	apitest.Same(t, "lines", now.Seats[0].Lines, h.Seats[0].Lines)
}

func TestSheetsAreListedByBoat(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	list := func(query string) []setup.SheetSummary {
		return apitest.Decoded[setup.SheetList](t, apitest.Request(http.MethodGet, apitest.SheetsPath+query, "", "").Body.Bytes()).Sheets
	}
	own := fmt.Sprintf("?boat_id=%d", h.BoatID)
	apitest.Same(t, "open", len(list(own+"&open=true")), 1)
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "spread_cm", 85.4))
	apitest.Answered(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Bram"})
	apitest.Same(t, "open after", len(list(own+"&open=true")), 0)
	apitest.Same(t, "all", len(list(own)), 1)
	if len(list("")) <= 1 {
		t.Error("other boats have no sheets")
	}
}

func TestLineupsFillTheCrew(t *testing.T) {
	records := storetest.Open(t)
	own := api.NewService(records)
	boat := apitest.Must(own.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Heron", BoatClass: "1x"}, By: "Bram"}))
	var settings []fleet.RigSetting
	for name, v := range map[string]float64{"span_cm": 159, "inboard_cm": 88, "oar_length_cm": 288, "heel_to_pin_cm": 23} {
		settings = append(settings, fleet.RigSetting{Seat: 1, Setting: name, Value: &v})
	}
	apitest.Must(own.Fleet.UpdateRig(t.Context(), fleet.RigEdit{ID: boat.ID, Version: 1, Settings: settings, By: "Bram"}))
	ann := apitest.Must(own.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: "Ann"}, By: "Ines"}))
	id := apitest.Must(records.AddLineup(t.Context(), store.Lineup{Name: "Sunday", ClassCode: "1x", Seats: []store.LineupSeat{{AthleteID: &ann.ID}}}, store.By{Name: "Ines"}))
	apitest.Must(records.AddLineup(t.Context(), store.Lineup{Name: "Own", ClassCode: "1x", BoatID: &boat.ID}, store.By{Name: "Ines"}))
	setup := apitest.Must(own.Setup.SetUp(t.Context(), setup.SetupRequest{BoatID: boat.ID, SetupFields: setup.SetupFields{LineupID: &id}}))
	apitest.Same(t, "sculler", setup.Seats[0].Name, "Ann")
	apitest.Same(t, "line-up", setup.LineupName, "Sunday")
	apitest.Same(t, "choice", fmt.Sprint(apitest.Must(own.Setup.LineupsFor(t.Context(), &boat))), "[{2 Own} {1 Sunday}]")
}
