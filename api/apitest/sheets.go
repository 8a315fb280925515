package apitest

import (
	"fmt"
	"maps"
	"net/http"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/setup"
)

const SheetsPath = "/api/v1/sheets"

// PairRig is a rig that each seat of a pair stands at.
func PairRig() Object {
	return Object{
		"spread_cm": 86.0, "inboard_cm": 116.0, "oar_length_cm": 374.0, "heel_to_pin_cm": 22.0, "heel_depth_cm": 17.0, "plate_angle_deg": 42.0,
		"gate_height_cm": 17.0, "blade_pitch_deg": 0.0, "stern_pitch_deg": 4.0, "outward_pitch_deg": 0.0,
	}
}

func RigOf(version int64, seats int, rig Object) Object {
	var settings []any
	for seat := range seats {
		for name, v := range rig {
			settings = append(settings, Object{"seat": seat + 1, "setting": name, "value": v})
		}
	}
	return Object{"version": version, "settings": settings, "why": "overhaul", "by": "Bram"}
}

// Pair puts a measured pair on record, and sweeper an athlete of a height.
func Pair(t testing.TB) (boat, version int64) {
	t.Helper()
	boat = Created(t, "/api/v1/boats", Object{"name": Fresh("Two Herons"), "boat_class": "2-", "hull_mass_kg": 27.5, "by": "Bram",
		"stretcher": Object{"mark": "toe", "offset_cm": 1.0, "toe_along_cm": 26.0}})
	w := Request(http.MethodPut, fmt.Sprintf("/api/v1/boats/%d/rig", boat), JSONType, Encoded(t, RigOf(1, 2, PairRig())))
	if w.Code != http.StatusOK {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	return boat, int64(Number(t, Decoded[Object](t, w.Body.Bytes()), "version"))
}

func sweeper(t testing.TB, stature float64) int64 {
	t.Helper()
	id := Created(t, "/api/v1/athletes", Object{"name": Fresh("Ann"), "sex": "male", "port_cost_s": 0.0, "by": "Ines"})
	Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), Object{"measured_on": "2026-01-10", "stature_cm": stature, "mass_kg": 85.0, "measured_by": "Ines"})
	return id
}

// CrewOfTwo is an athlete at bow and a guest at stroke.
func CrewOfTwo(t testing.TB) Object {
	return Object{"crew": []any{
		Object{"seat": 1, "athlete_id": sweeper(t, 192)},
		Object{"seat": 2, "name": "Guest", "rower": Object{"sex": "female", "stature_cm": 168.0}, "posture": Object{"lean_deg": 27.0}},
	}}
}

func SetupPath(boat int64) string { return fmt.Sprintf("/api/v1/boats/%d/setup", boat) }

// UsualCrewPath is where the usual crew of a boat is.
func UsualCrewPath(boat int64) string { return fmt.Sprintf("/api/v1/boats/%d/crew", boat) }

// NewSheet puts a work sheet on record and returns its address and itself.
func NewSheet(t testing.TB, change func(Object)) (string, setup.Sheet) {
	t.Helper()
	boat, version := Pair(t)
	o := CrewOfTwo(t)
	o["boat_id"], o["boat_version"], o["by"] = boat, version, "Bram"
	if change != nil {
		change(o)
	}
	w := Post(t, SheetsPath, o)
	if w.Code != http.StatusCreated {
		t.Fatalf("%d: %.600s", w.Code, w.Body)
	}
	h := Decoded[setup.Sheet](t, w.Body.Bytes())
	return fmt.Sprintf("%s/%d", SheetsPath, h.ID), h
}

func PutJSON(t testing.TB, path string, body any) int {
	t.Helper()
	return Request(http.MethodPut, path, JSONType, Encoded(t, body)).Code
}

func Reading(seat int, setting string, value float64) Object {
	return Object{"seat": seat, "setting": setting, "value": value, "by": "Bram"}
}

func SheetAt(t testing.TB, path string) setup.Sheet {
	t.Helper()
	w := Request(http.MethodGet, path, "", "")
	if w.Code != http.StatusOK {
		t.Fatalf("%s: %d %s", path, w.Code, w.Body)
	}
	return Decoded[setup.Sheet](t, w.Body.Bytes())
}

func BoatAt(t testing.TB, id int64) club.Boat {
	t.Helper()
	return Decoded[club.Boat](t, Request(http.MethodGet, fmt.Sprintf("/api/v1/boats/%d", id), "", "").Body.Bytes())
}

func Must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func init() {
	Settled = append(Settled,
		"PUT "+SheetsPath+"/:id/readings/:key.measured", // a reading was just entered
		"POST "+SheetsPath+".seats.lines.measured", "POST "+SheetsPath+".seats.measured", "POST "+SheetsPath+".seats.planned", "POST "+SheetsPath+".done_at", "POST "+SheetsPath+".moved",
		"PUT "+SheetsPath+"/:id/arcs/:key.done_at", "PUT "+SheetsPath+"/:id/arcs/:key.rules.findings", // an open sheet, and no masses asked for
		"POST "+SheetsPath+"/:id/finish.done_at", "POST "+SheetsPath+"/:id/finish.moved", "POST "+SheetsPath+"/:id/finish.seats.planned",
		// A set-up is asked nothing that has a largest value.
		"POST /api/v1/boats/:id/last-setup.rig.value", // what stood then was measured
		"POST /api/v1/boats/:id/setup.rules", "POST "+SheetsPath+".rules", "GET "+SheetsPath+"/:id.rules", "POST "+SheetsPath+"/:id/finish.rules",
	)
	Samples["POST /api/v1/boats/:id/setup"] = setupSamples
	Samples["POST /api/v1/boats/:id/loads"] = func(t testing.TB) []sample {
		list := setupSamples(t)
		for i := range list {
			list[i].path = strings.TrimSuffix(list[i].path, "/setup") + "/loads"
		}
		return list
	}
	Samples["POST "+SheetsPath] = func(t testing.TB) []sample {
		var list []sample
		for _, s := range setupSamples(t)[:2] {
			var boat int64
			_, _ = fmt.Sscanf(s.path, "/api/v1/boats/%d", &boat)
			s.Body["boat_id"], s.Body["boat_version"], s.Body["by"] = boat, BoatAt(t, boat).Version, "Bram"
			list = append(list, sample{Body: s.Body})
		}
		return list
	}
	Samples["GET /api/v1/boats/:id/crew"] = func(t testing.TB) []sample {
		boat, _ := Pair(t)
		PutJSON(t, UsualCrewPath(boat), Object{"seats": []any{Object{"seat": 2, "athlete_id": sweeper(t, 186)}}})
		bare, _ := Pair(t)
		return []sample{{path: UsualCrewPath(boat)}, {path: UsualCrewPath(bare)}}
	}
	Samples["PUT /api/v1/boats/:id/crew"] = func(t testing.TB) []sample {
		boat, _ := Pair(t)
		return []sample{{UsualCrewPath(boat), Object{"seats": []any{Object{"seat": 1, "athlete_id": sweeper(t, 186)}}}}, {UsualCrewPath(boat), Object{"seats": []any{}}}}
	}
	Samples["POST /api/v1/boats/:id/last-setup"] = func(t testing.TB) []sample {
		one := sweeper(t, 189)
		path, h := NewSheet(t, func(o Object) { o["crew"] = []any{Object{"seat": 1, "athlete_id": one}} })
		PutJSON(t, path+"/readings/a", Reading(1, "spread_cm", 85.2))
		Post(t, path+"/finish", Object{"boat_version": h.BoatNow, "by": "Bram"})
		Request(http.MethodPut, fmt.Sprintf("/api/v1/boats/%d/rig", h.BoatID), JSONType, Encoded(t, Object{"version": BoatAt(t, h.BoatID).Version, "by": "Bram", "settings": []any{Object{"seat": 1, "setting": "spread_cm", "value": 86.0}}}))
		last := fmt.Sprintf("/api/v1/boats/%d/last-setup", h.BoatID)
		return []sample{{last, Object{"crew": []any{Object{"seat": 1, "athlete_id": one}}}}, {last, Object{}}}
	}
	Samples["GET "+SheetsPath] = func(t testing.TB) []sample { someSheets(t); return []sample{{}} }
	Samples["GET "+SheetsPath+"/:id"] = func(t testing.TB) []sample { return someSheets(t) }
	Samples["DELETE "+SheetsPath+"/:id"] = func(t testing.TB) []sample { path, _ := NewSheet(t, nil); return []sample{{path: path}} }
	Samples["PUT "+SheetsPath+"/:id/readings/:key"] = func(t testing.TB) []sample {
		path, _ := NewSheet(t, nil)
		bare := someSheets(t)[1].path
		full := Reading(1, "spread_cm", 85)
		full["at"] = "2026-01-02T10:00:00Z"
		return []sample{{path + "/readings/a", full}, {bare + "/readings/b", Reading(1, "gate_height_cm", 17)}, {path + "/readings/c", Reading(1, "heel_to_pin_cm", 22)},
			{path + "/readings/d", Object{"seat": 1, "setting": "heel_to_pin_cm", "said": "22,5 cm", "by": "Bram"}}}
	}
	Samples["PUT "+SheetsPath+"/:id/arcs/:key"] = func(t testing.TB) []sample {
		path, _ := NewSheet(t, nil)
		PutJSON(t, path+"/readings/a", Reading(2, "spread_cm", 85.4))
		sheets := someSheets(t)
		return []sample{
			{sheets[1].path + "/arcs/a", Object{"seat": 1, "finish_cm": 60.0, "by": "Bram"}}, {sheets[2].path + "/arcs/a", Object{"seat": 2, "finish_cm": 50.0, "by": "Bram"}},
			{path + "/arcs/a", Object{"seat": 1, "finish_cm": 50.0, "catch_cm": 75.0, "at": "2026-01-02T10:00:00Z", "by": "Bram"}},
			{path + "/arcs/b", Object{"seat": 2, "catch_cm": 78.0, "by": "Bram"}},
		}
	}
	Samples["POST "+SheetsPath+"/:id/finish"] = func(t testing.TB) []sample {
		var list []sample
		for _, s := range someSheets(t)[:2] {
			now := SheetAt(t, s.path).BoatNow
			list = append(list, sample{s.path + "/finish", Object{"boat_version": now, "by": "Bram"}})
		}
		return list
	}
}

// setupSamples are set-ups of a boat that is known in part, of one that is known
// whole, of one that cannot be rowed as found, and one that cannot as set.
func setupSamples(t testing.TB) []sample {
	boat, _ := Pair(t)
	whole := CrewOfTwo(t)
	whole["cox_mass_kg"], whole["targets"], whole["job"], whole["level"], whole["light"] = 55.0, Object{"catch_deg": -55.0, "finish_deg": 35.0}, "full_rerig", "championship", true
	whole["limits"] = Object{"lean_deg": 32.0, "layback_deg": 35.0, "knee_flexion_deg": 140.0, "trunk_thigh_deg": 165.0}
	oars := Post(t, "/api/v1/oars", Object{"name": Fresh("Set"), "kind": "sweep", "inboard_cm": 114.0, "by": "Bram"})
	whole["oar_set_id"] = Decoded[club.OarSet](t, oars.Body.Bytes()).ID
	far := Object{"crew": []any{Object{"seat": 1, "rower": Object{"stature_cm": 180.0}}}}
	stuck := maps.Clone(far)
	stuck["by_hand"] = []any{Object{"seat": 1, "setting": "heel_to_pin_cm", "value": 88.0}}
	return []sample{
		{SetupPath(boat), whole}, {SetupPath(partlyKnown(t, 22)), Object{"crew": []any{Object{"seat": 1, "athlete_id": sweeper(t, 186)}}}},
		{SetupPath(partlyKnown(t, 22)), stuck}, {SetupPath(partlyKnown(t, 88)), far},
	}
}

// partlyKnown puts a single on record of which only what must be known is, and a
// height of the gate to start from.
func partlyKnown(t testing.TB, heel float64) int64 {
	t.Helper()
	boat := Created(t, "/api/v1/boats", Object{"name": Fresh("Wren"), "boat_class": "1x", "hull_mass_kg": 14.0, "by": "Bram"})
	known := BoatAt(t, boat)
	seats := known.SeatFields()
	seats[0].Starts = map[string]float64{"gate_height_cm": 17.5}
	table := RigOf(1, 1, Object{"span_cm": 159.0, "inboard_cm": 88.0, "oar_length_cm": 288.0, "heel_to_pin_cm": heel})
	table["rig"], table["seats"] = table["settings"], seats
	delete(table, "settings")
	if code := PutJSON(t, fmt.Sprintf("/api/v1/boats/%d/table", boat), table); code != http.StatusOK {
		t.Fatalf("%d", code)
	}
	return boat
}

// someSheets are sheets with and without readings, of an athlete that is gone,
// of boats that have moved since, and one that is done.
func someSheets(t testing.TB) []sample {
	t.Helper()
	first, _ := NewSheet(t, nil)
	PutJSON(t, first+"/readings/a", Reading(1, "spread_cm", 85.4))
	boat := partlyKnown(t, 22)
	w := Post(t, SheetsPath, Object{"boat_id": boat, "boat_version": BoatAt(t, boat).Version, "by": "Bram", "crew": []any{Object{"seat": 1, "athlete_id": sweeper(t, 186)}}})
	bare := fmt.Sprintf("%s/%d", SheetsPath, Decoded[setup.Sheet](t, w.Body.Bytes()).ID)
	PutJSON(t, bare+"/readings/a", Reading(1, "span_cm", 158))
	edit := BoatAt(t, boat)
	PutJSON(t, fmt.Sprintf("/api/v1/boats/%d/rig", boat), RigOf(edit.Version, 1, Object{"gate_height_cm": 16.0}))
	edit = BoatAt(t, boat)
	PutJSON(t, fmt.Sprintf("/api/v1/boats/%d", boat), Object{"version": edit.Version, "name": edit.Name, "boat_class": "1x", "by": "Cleo",
		"seats": []any{Object{"number": 1, "side": "", "can_change_sides": false, "adjust": Object{}}}})
	gone, lost := NewSheet(t, nil)
	Request(http.MethodDelete, fmt.Sprintf("/api/v1/athletes/%d", *lost.Seats[0].AthleteID), "", "")
	done, last := NewSheet(t, nil)
	PutJSON(t, done+"/readings/a", Reading(1, "spread_cm", 85.4))
	Answered(t, done+"/finish", Object{"boat_version": last.BoatNow, "by": "Bram"})
	return []sample{{path: first}, {path: bare}, {path: gone}, {path: done}}
}
