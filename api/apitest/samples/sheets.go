package samples

import (
	"fmt"
	"maps"
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/fleet"
	"thole/api/setup"
)

func init() {
	apitest.Settled = append(apitest.Settled,
		"PUT "+apitest.SheetsPath+"/:id/readings/:key.measured", // a reading was just entered
		"POST "+apitest.SheetsPath+".seats.lines.measured", "POST "+apitest.SheetsPath+".seats.measured", "POST "+apitest.SheetsPath+".seats.planned", "POST "+apitest.SheetsPath+".done_at", "POST "+apitest.SheetsPath+".moved",
		"PUT "+apitest.SheetsPath+"/:id/arcs/:key.done_at", "PUT "+apitest.SheetsPath+"/:id/arcs/:key.rules.findings", // an open sheet, and no masses asked for
		"POST "+apitest.SheetsPath+"/:id/finish.done_at", "POST "+apitest.SheetsPath+"/:id/finish.moved", "POST "+apitest.SheetsPath+"/:id/finish.seats.planned",
		// A set-up is asked nothing that has a largest value.
		"POST /api/v1/boats/:id/last-setup.rig.value", // what stood then was measured
		"POST /api/v1/boats/:id/setup.rules", "POST "+apitest.SheetsPath+".rules", "GET "+apitest.SheetsPath+"/:id.rules", "POST "+apitest.SheetsPath+"/:id/finish.rules",
	)
	Of["POST /api/v1/boats/:id/setup"] = setupSamples
	Of["POST /api/v1/boats/:id/loads"] = func(t testing.TB) []Sample {
		list := setupSamples(t)
		for i := range list {
			list[i].path = strings.TrimSuffix(list[i].path, "/setup") + "/loads"
		}
		return list
	}
	Of["POST "+apitest.SheetsPath] = func(t testing.TB) []Sample {
		var list []Sample
		for _, s := range setupSamples(t)[:2] {
			var boat int64
			_, _ = fmt.Sscanf(s.path, "/api/v1/boats/%d", &boat)
			s.Body["boat_id"], s.Body["boat_version"], s.Body["by"] = boat, apitest.BoatAt(t, boat).Version, "Bram"
			list = append(list, Sample{Body: s.Body})
		}
		return list
	}
	Of["GET /api/v1/boats/:id/crew"] = func(t testing.TB) []Sample {
		boat, _ := apitest.Pair(t)
		apitest.PutJSON(t, apitest.UsualCrewPath(boat), apitest.Object{"seats": []any{apitest.Object{"seat": 2, "athlete_id": apitest.Sweeper(t, 186)}}})
		bare, _ := apitest.Pair(t)
		return []Sample{{path: apitest.UsualCrewPath(boat)}, {path: apitest.UsualCrewPath(bare)}}
	}
	Of["PUT /api/v1/boats/:id/crew"] = func(t testing.TB) []Sample {
		boat, _ := apitest.Pair(t)
		return []Sample{{apitest.UsualCrewPath(boat), apitest.Object{"seats": []any{apitest.Object{"seat": 1, "athlete_id": apitest.Sweeper(t, 186)}}}}, {apitest.UsualCrewPath(boat), apitest.Object{"seats": []any{}}}}
	}
	Of["POST /api/v1/boats/:id/last-setup"] = func(t testing.TB) []Sample {
		one := apitest.Sweeper(t, 189)
		path, h := apitest.NewSheet(t, func(o apitest.Object) { o["crew"] = []any{apitest.Object{"seat": 1, "athlete_id": one}} })
		apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "spread_cm", 85.2))
		apitest.Post(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Bram"})
		apitest.Request(http.MethodPut, fmt.Sprintf("/api/v1/boats/%d/rig", h.BoatID), apitest.JSONType, apitest.Encoded(t, apitest.Object{"version": apitest.BoatAt(t, h.BoatID).Version, "by": "Bram", "settings": []any{apitest.Object{"seat": 1, "setting": "spread_cm", "value": 86.0}}}))
		last := fmt.Sprintf("/api/v1/boats/%d/last-setup", h.BoatID)
		return []Sample{{last, apitest.Object{"crew": []any{apitest.Object{"seat": 1, "athlete_id": one}}}}, {last, apitest.Object{}}}
	}
	Of["GET "+apitest.SheetsPath] = func(t testing.TB) []Sample { someSheets(t); return []Sample{{}} }
	Of["GET "+apitest.SheetsPath+"/:id"] = func(t testing.TB) []Sample { return someSheets(t) }
	Of["DELETE "+apitest.SheetsPath+"/:id"] = func(t testing.TB) []Sample { path, _ := apitest.NewSheet(t, nil); return []Sample{{path: path}} }
	Of["PUT "+apitest.SheetsPath+"/:id/readings/:key"] = func(t testing.TB) []Sample {
		path, _ := apitest.NewSheet(t, nil)
		bare := someSheets(t)[1].path
		full := apitest.Reading(1, "spread_cm", 85)
		full["at"] = "2026-01-02T10:00:00Z"
		return []Sample{{path + "/readings/a", full}, {bare + "/readings/b", apitest.Reading(1, "gate_height_cm", 17)}, {path + "/readings/c", apitest.Reading(1, "heel_to_pin_cm", 22)},
			{path + "/readings/d", apitest.Object{"seat": 1, "setting": "heel_to_pin_cm", "said": "22,5 cm", "by": "Bram"}}}
	}
	Of["PUT "+apitest.SheetsPath+"/:id/arcs/:key"] = func(t testing.TB) []Sample {
		path, _ := apitest.NewSheet(t, nil)
		apitest.PutJSON(t, path+"/readings/a", apitest.Reading(2, "spread_cm", 85.4))
		sheets := someSheets(t)
		return []Sample{
			{sheets[1].path + "/arcs/a", apitest.Object{"seat": 1, "finish_cm": 60.0, "by": "Bram"}}, {sheets[2].path + "/arcs/a", apitest.Object{"seat": 2, "finish_cm": 50.0, "by": "Bram"}},
			{path + "/arcs/a", apitest.Object{"seat": 1, "finish_cm": 50.0, "catch_cm": 75.0, "at": "2026-01-02T10:00:00Z", "by": "Bram"}},
			{path + "/arcs/b", apitest.Object{"seat": 2, "catch_cm": 78.0, "by": "Bram"}},
		}
	}
	Of["POST "+apitest.SheetsPath+"/:id/finish"] = func(t testing.TB) []Sample {
		var list []Sample
		for _, s := range someSheets(t)[:2] {
			now := apitest.SheetAt(t, s.path).BoatNow
			list = append(list, Sample{s.path + "/finish", apitest.Object{"boat_version": now, "by": "Bram"}})
		}
		return list
	}
}

// setupSamples are set-ups of a boat that is known in part, of one that is known
// whole, of one that cannot be rowed as found, and one that cannot as set.
func setupSamples(t testing.TB) []Sample {
	boat, _ := apitest.Pair(t)
	whole := apitest.CrewOfTwo(t)
	whole["cox_mass_kg"], whole["targets"], whole["job"], whole["level"], whole["light"] = 55.0, apitest.Object{"catch_deg": -55.0, "finish_deg": 35.0}, "full_rerig", "championship", true
	whole["limits"] = apitest.Object{"lean_deg": 32.0, "layback_deg": 35.0, "knee_flexion_deg": 140.0, "trunk_thigh_deg": 165.0}
	oars := apitest.Post(t, "/api/v1/oars", apitest.Object{"name": apitest.Fresh("Set"), "kind": "sweep", "inboard_cm": 114.0, "by": "Bram"})
	whole["oar_set_id"] = apitest.Decoded[fleet.OarSet](t, oars.Body.Bytes()).ID
	far := apitest.Object{"crew": []any{apitest.Object{"seat": 1, "rower": apitest.Object{"stature_cm": 180.0}}}}
	stuck := maps.Clone(far)
	stuck["by_hand"] = []any{apitest.Object{"seat": 1, "setting": "heel_to_pin_cm", "value": 88.0}}
	return []Sample{
		{apitest.SetupPath(boat), whole}, {apitest.SetupPath(partlyKnown(t, 22)), apitest.Object{"crew": []any{apitest.Object{"seat": 1, "athlete_id": apitest.Sweeper(t, 186)}}}},
		{apitest.SetupPath(partlyKnown(t, 22)), stuck}, {apitest.SetupPath(partlyKnown(t, 88)), far},
	}
}

// partlyKnown puts a single on record of which only what must be known is, and a
// height of the gate to start from.
func partlyKnown(t testing.TB, heel float64) int64 {
	t.Helper()
	boat := apitest.Created(t, "/api/v1/boats", apitest.Object{"name": apitest.Fresh("Wren"), "boat_class": "1x", "hull_mass_kg": 14.0, "by": "Bram"})
	known := apitest.BoatAt(t, boat)
	seats := known.SeatFields()
	seats[0].Starts = map[string]float64{"gate_height_cm": 17.5}
	table := apitest.RigOf(1, 1, apitest.Object{"span_cm": 159.0, "inboard_cm": 88.0, "oar_length_cm": 288.0, "heel_to_pin_cm": heel})
	table["rig"], table["seats"] = table["settings"], seats
	delete(table, "settings")
	if code := apitest.PutJSON(t, fmt.Sprintf("/api/v1/boats/%d/table", boat), table); code != http.StatusOK {
		t.Fatalf("%d", code)
	}
	return boat
}

// someSheets are sheets with and without readings, of an athlete that is gone,
// of boats that have moved since, and one that is done.
func someSheets(t testing.TB) []Sample {
	t.Helper()
	first, _ := apitest.NewSheet(t, nil)
	apitest.PutJSON(t, first+"/readings/a", apitest.Reading(1, "spread_cm", 85.4))
	boat := partlyKnown(t, 22)
	w := apitest.Post(t, apitest.SheetsPath, apitest.Object{"boat_id": boat, "boat_version": apitest.BoatAt(t, boat).Version, "by": "Bram", "crew": []any{apitest.Object{"seat": 1, "athlete_id": apitest.Sweeper(t, 186)}}})
	bare := fmt.Sprintf("%s/%d", apitest.SheetsPath, apitest.Decoded[setup.Sheet](t, w.Body.Bytes()).ID)
	apitest.PutJSON(t, bare+"/readings/a", apitest.Reading(1, "span_cm", 158))
	edit := apitest.BoatAt(t, boat)
	apitest.PutJSON(t, fmt.Sprintf("/api/v1/boats/%d/rig", boat), apitest.RigOf(edit.Version, 1, apitest.Object{"gate_height_cm": 16.0}))
	edit = apitest.BoatAt(t, boat)
	apitest.PutJSON(t, fmt.Sprintf("/api/v1/boats/%d", boat), apitest.Object{"version": edit.Version, "name": edit.Name, "boat_class": "1x", "by": "Cleo",
		"seats": []any{apitest.Object{"number": 1, "side": "", "can_change_sides": false, "adjust": apitest.Object{}}}})
	gone, lost := apitest.NewSheet(t, nil)
	apitest.Request(http.MethodDelete, fmt.Sprintf("/api/v1/athletes/%d", *lost.Seats[0].AthleteID), "", "")
	done, last := apitest.NewSheet(t, nil)
	apitest.PutJSON(t, done+"/readings/a", apitest.Reading(1, "spread_cm", 85.4))
	apitest.Answered(t, done+"/finish", apitest.Object{"boat_version": last.BoatNow, "by": "Bram"})
	return []Sample{{path: first}, {path: bare}, {path: gone}, {path: done}}
}
