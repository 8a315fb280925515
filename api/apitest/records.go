package apitest

import (
	"context"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"sync/atomic"
	"testing"

	"thole/api/club"
	"thole/api/store"
)

// one is the next number never used before, for names that must differ.
var counter atomic.Int64

func Fresh(name string) string { return fmt.Sprintf("%s %d", name, counter.Add(1)) }

// Created posts a document that must be put on record, and returns its id.
func Created(t testing.TB, path string, body Object) int64 {
	t.Helper()
	w := Post(t, path, body)
	if w.Code != http.StatusCreated {
		t.Fatalf("POST %s: %d %.400s", path, w.Code, w.Body)
	}
	return int64(Number(t, Decoded[Object](t, w.Body.Bytes()), "id"))
}

func FullAthlete() Object {
	return Object{
		"name": Fresh("Ann"), "sex": "female", "birth_date": "2012-05-01", "port_cost_s": 0.0, "starboard_cost_s": 2.0,
		"sculls": true, "coxes": true, "note": "tall", "archived": false, "by": "Ines",
	}
}

// BareAthlete is somebody of whom the name alone is known.
func BareAthlete() Object { return Object{"name": Fresh("Ben"), "by": "Ines"} }

func fullBody(day string, stature float64) Object {
	return Object{
		"measured_on": day, "stature_cm": stature, "arm_span_cm": 172.0, "sitting_height_cm": 88.0, "mass_kg": 60.0, "draw_height_cm": 28.0,
		"segments_cm": Object{
			"shank": 41.0, "thigh": 41.0, "trunk": 50.0, "arm": 65.0, "half_shoulder": 17.0, "half_depth": 11.0,
			"ankle_along": 6.0, "ankle_off": 8.5, "ball": 20.0, "hip_height": 8.0,
		},
		"measured_by": "Ines", "note": "barefoot",
	}
}

func fullPosture(kind string) Object {
	return Object{
		"calibrated_on": "2026-01-31", "kind": kind, "shin_deg": 88.0, "lean_deg": 24.0, "layback_deg": 27.0, "protraction_cm": 6.0, "dorsiflexion_deg": 30.0,
		"finish_knee_deg": 174.0, "finish_gap_cm": 2.0, "rotation_max_deg": 40.0, "side_lean_cm": 4.0, "note": "gate sensor",
	}
}

// KnownAthlete puts an athlete on record of whom everything is known, and a
// junior's growth with it.
func KnownAthlete(t testing.TB) int64 {
	t.Helper()
	id := Created(t, "/api/v1/athletes", FullAthlete())
	at := fmt.Sprintf("/api/v1/athletes/%d", id)
	Created(t, at+"/measures", fullBody("2026-01-10", 165))
	Created(t, at+"/measures", fullBody("2026-06-10", 170))
	Created(t, at+"/postures", fullPosture("scull"))
	Created(t, at+"/postures", fullPosture("sweep"))
	Created(t, at+"/postures", Object{"calibrated_on": "2025-01-31", "kind": "scull", "lean_deg": 22.0})
	return id
}

// sparse puts athletes on record of whom little is known, of each another part.
func sparse(t testing.TB) []int64 {
	t.Helper()
	var ids []int64
	for _, segment := range []string{"shank", "thigh"} {
		body := BareAthlete()
		body["birth_year"] = 1999
		id := Created(t, "/api/v1/athletes", body)
		at := fmt.Sprintf("/api/v1/athletes/%d", id)
		Created(t, at+"/measures", Object{"measured_on": "2026-02-01", "segments_cm": Object{segment: 41.0}, "measured_by": "Ines"})
		for _, kind := range []string{"scull", "sweep"} {
			Created(t, at+"/postures", Object{"calibrated_on": "2026-02-01", "kind": kind})
		}
		ids = append(ids, id)
	}
	return ids
}

func FullBoat() Object {
	return Object{
		"name": Fresh("Heron"), "boat_class": "2-", "stretcher": Object{"mark": "hole", "offset_cm": 4.0, "toe_along_cm": 26.0, "hole_pitch_cm": 1.5}, "hull_mass_kg": 26.0, "built_for_kg": 80.0, "waterline_length_m": 10.0, "waterline_beam_m": 0.36,
		"seat_over_water_cm": 8.0, "oar_set_id": sweepOars(), "washer_mm": 4.0, "clam_mm": 10.0, "insert_deg": 1.0, "note": "old", "archived": false, "by": "Bram",
		"seats": []any{
			Object{"number": 1, "side": "starboard", "can_change_sides": true, "starts": Object{"spread_cm": 85.5}, "adjust": Object{"spread_cm": Object{"min": 83.0, "max": 88.0, "step": 0.5, "cost": 6.0}}},
			Object{"number": 2, "side": "starboard", "can_change_sides": false, "adjust": Object{}},
		},
	}
}

// sweepOars puts a set of sweep oars on record of which nothing is known.
func sweepOars() int64 {
	set, err := Service.Club.AddOarSet(context.Background(), club.NewOarSet{OarFields: club.OarFields{Name: Fresh("Oars"), Kind: store.Sweep}, By: "Bram"})
	if err != nil {
		panic(err)
	}
	return set.ID
}

func BareBoat() Object { return Object{"name": Fresh("Wren"), "boat_class": "1x", "by": "Bram"} }

// heelBoat is a single whose stretcher is read at the heel from the line of work.
func heelBoat() Object { return Put(BareBoat(), "stretcher", Object{"mark": "heel"}) }

// heelBoatRigged puts one on record, fully measured.
func heelBoatRigged(t testing.TB) int64 {
	t.Helper()
	id := Created(t, "/api/v1/boats", heelBoat())
	Enter(t, id, Everything(1, true))
	return id
}

// Everything is a rig with each setting of a pair's first seat, or a single's.
func Everything(version int, scull bool) Object {
	values := Object{
		"inboard_cm": 116.0, "oar_length_cm": 374.0, "spread_cm": 86.0, "heel_to_pin_cm": 20.0, "heel_depth_cm": 17.0, "plate_angle_deg": 42.0,
		"gate_height_cm": 17.0, "blade_pitch_deg": 0.0, "stern_pitch_deg": 4.0, "outward_pitch_deg": 1.0,
	}
	if scull {
		delete(values, "spread_cm")
		values["span_cm"], values["inboard_cm"], values["oar_length_cm"], values["gate_difference_cm"] = 159.0, 88.0, 288.0, 1.0
	}
	var settings []any
	for _, name := range slices.Sorted(maps.Keys(values)) {
		settings = append(settings, Object{"seat": 1, "setting": name, "value": values[name]})
	}
	return Object{"version": version, "settings": settings, "why": "as found", "by": "Bram"}
}

// Rigged puts a pair and a single on record, each fully measured at bow.
func Rigged(t testing.TB) (pair, single int64) {
	t.Helper()
	pair, single = Created(t, "/api/v1/boats", FullBoat()), Created(t, "/api/v1/boats", BareBoat())
	Enter(t, pair, Everything(1, false))
	Enter(t, single, Everything(1, true))
	return pair, single
}

// withRig is a new boat of which the rig is known.
func withRig(boat Object, scull bool) Object {
	boat["rig"] = Everything(1, scull)["settings"]
	return boat
}

func BoatPath(id int64) string { return fmt.Sprintf("/api/v1/boats/%d", id) }

// Enter enters a rig that must be taken.
func Enter(t testing.TB, boat int64, rig Object) Object {
	t.Helper()
	w := Request(http.MethodPut, BoatPath(boat)+"/rig", JSONType, Encoded(t, rig))
	if w.Code != http.StatusOK {
		t.Fatalf("rig: %d %.400s", w.Code, w.Body)
	}
	return Decoded[Object](t, w.Body.Bytes())
}

// OnRecord gets a document that must be there.
func OnRecord(t testing.TB, path string) Object {
	t.Helper()
	w := Request(http.MethodGet, path, "", "")
	if w.Code != http.StatusOK {
		t.Fatalf("GET %s: %d %.400s", path, w.Code, w.Body)
	}
	return Decoded[Object](t, w.Body.Bytes())
}

func FullOars(kind string) Object {
	o := Object{
		"name": Fresh("Set"), "kind": kind, "count": 8, "blade": "hatchet", "blade_kind": "macon", "length_min_cm": 284.0, "length_max_cm": 292.0, "length_step_cm": 0.5, "length_cm": 288.0,
		"inboard_min_cm": 85.0, "inboard_max_cm": 91.0, "inboard_step_cm": 0.5, "inboard_cm": 88.0, "note": "blue", "archived": false, "by": "Bram",
	}
	return o
}

func BareOars() Object { return Object{"name": Fresh("Set"), "kind": "sweep", "by": "Bram"} }

// Edited is a document for a PUT: what is put in, with a version.
func Edited(body Object, version int, changes Object) Object {
	o := maps.Clone(body)
	o["version"] = version
	maps.Copy(o, changes)
	return o
}

func init() {
	Settled = append(Settled, "GET /api/v1/boats/:id/rig.settings.value")    // only what is known is listed
	Settled = append(Settled, "GET /api/v1/oars/:id/boats.boats.oar_set_id") // it is that of the set
	maps.Copy(Samples, map[string]func(testing.TB) []sample{
		"GET /api/v1/athletes": func(t testing.TB) []sample {
			KnownAthlete(t)
			Created(t, "/api/v1/athletes", BareAthlete())
			return []sample{{}, {path: "/api/v1/athletes?name=zzz&archived=true"}}
		},
		"POST /api/v1/athletes": func(testing.TB) []sample {
			born := BareAthlete()
			born["birth_year"] = 1999
			return []sample{{Body: FullAthlete()}, {Body: BareAthlete()}, {Body: born}}
		},
		"GET /api/v1/athletes/:id": athletePaths("", "?as_of=2026-07-01"),
		"PUT /api/v1/athletes/:id": func(t testing.TB) []sample {
			full, bare := FullAthlete(), BareAthlete()
			known, unknown := KnownAthlete(t), Created(t, "/api/v1/athletes", bare)
			list := []sample{{fmt.Sprintf("/api/v1/athletes/%d", known), Edited(full, 1, nil)}, {fmt.Sprintf("/api/v1/athletes/%d", unknown), Edited(bare, 1, Object{"note": "x"})}}
			for _, id := range sparse(t) {
				list = append(list, sample{fmt.Sprintf("/api/v1/athletes/%d", id), Edited(BareAthlete(), 1, Object{"birth_year": 1999})})
			}
			return list
		},
		"DELETE /api/v1/athletes/:id":      athletePaths(""),
		"GET /api/v1/athletes/:id/changes": editedAthlete,
		"GET /api/v1/athletes/:id/measures": func(t testing.TB) []sample {
			id := KnownAthlete(t)
			Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), Object{"measured_on": "2026-02-02", "mass_kg": 61.0, "measured_by": "Ines"})
			Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), Object{"measured_on": "2026-02-03", "arm_span_cm": 171.0, "measured_by": "Ines"})
			return []sample{{path: fmt.Sprintf("/api/v1/athletes/%d/measures", id)}}
		},
		"POST /api/v1/athletes/:id/measures": func(t testing.TB) []sample {
			some := sparse(t)
			return []sample{
				{fmt.Sprintf("/api/v1/athletes/%d/measures", some[0]), Object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", some[1]), Object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", KnownAthlete(t)), fullBody("2026-03-01", 168)},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", Created(t, "/api/v1/athletes", BareAthlete())), Object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", Created(t, "/api/v1/athletes", BareAthlete())), Object{"measured_on": "2026-03-01", "stature_cm": 170.0, "measured_by": "Ines"}},
			}
		},
		"POST /api/v1/athletes/:id/postures": func(t testing.TB) []sample {
			known, bare, some := KnownAthlete(t), Created(t, "/api/v1/athletes", BareAthlete()), sparse(t)
			return []sample{
				{fmt.Sprintf("/api/v1/athletes/%d/postures", some[0]), Object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", some[1]), Object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", known), fullPosture("sweep")},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", bare), Object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", Created(t, "/api/v1/athletes", BareAthlete())), Object{"calibrated_on": "2026-03-01", "kind": "scull"}},
			}
		},

		"GET /api/v1/squads": func(t testing.TB) []sample {
			Created(t, "/api/v1/squads", fullSquad(t))
			Created(t, "/api/v1/squads", Object{"name": Fresh("Juniors")})
			return []sample{{}}
		},
		"POST /api/v1/squads": func(t testing.TB) []sample {
			return []sample{{Body: fullSquad(t)}, {Body: Object{"name": Fresh("Juniors")}}}
		},
		"GET /api/v1/squads/:id":    squadPaths,
		"DELETE /api/v1/squads/:id": squadPaths,
		"PUT /api/v1/squads/:id": func(t testing.TB) []sample {
			body := fullSquad(t)
			return []sample{{fmt.Sprintf("/api/v1/squads/%d", Created(t, "/api/v1/squads", body)), Edited(body, 1, Object{"athlete_ids": []any{}})}}
		},

		"GET /api/v1/boats": func(t testing.TB) []sample {
			Rigged(t)
			heelBoatRigged(t)
			return []sample{{}}
		},
		"POST /api/v1/boats": func(testing.TB) []sample {
			return []sample{{Body: withRig(FullBoat(), false)}, {Body: withRig(BareBoat(), true)}, {Body: BareBoat()}, {Body: heelBoat()}}
		},
		"GET /api/v1/boats/:id": boatPaths(""),
		"PUT /api/v1/boats/:id": func(t testing.TB) []sample {
			pair, single := Rigged(t)
			return []sample{
				{BoatPath(pair), Edited(FullBoat(), 2, nil)},
				{BoatPath(single), Edited(BareBoat(), 2, Object{"seats": []any{Object{"number": 1}}})},
				{BoatPath(heelBoatRigged(t)), Edited(heelBoat(), 2, Object{"seats": []any{Object{"number": 1}}})},
			}
		},
		"DELETE /api/v1/boats/:id":      boatPaths(""),
		"GET /api/v1/boats/:id/changes": boatPaths("/changes"),
		"PUT /api/v1/boats/:id/rig": func(t testing.TB) []sample {
			pair, single := Rigged(t)
			heel := heelBoatRigged(t)
			return []sample{{BoatPath(pair) + "/rig", Everything(2, false)}, {BoatPath(single) + "/rig", Everything(2, true)}, {BoatPath(heel) + "/rig", Everything(2, true)}}
		},
		"PUT /api/v1/boats/:id/table": func(t testing.TB) []sample {
			pair, single := Rigged(t)
			heel := heelBoatRigged(t)
			table := func(scull bool, seats any) Object {
				o := Everything(2, scull)
				o["rig"] = o["settings"]
				delete(o, "settings")
				return Put(o, "seats", seats)
			}
			one := []any{Object{"number": 1}}
			return []sample{{BoatPath(pair) + "/table", table(false, FullBoat()["seats"])}, {BoatPath(single) + "/table", table(true, one)}, {BoatPath(heel) + "/table", table(true, one)}}
		},
		"GET /api/v1/boats/:id/rig": func(t testing.TB) []sample {
			pair, _ := Rigged(t)
			Undo(t, pair, Number(t, OnRecord(t, BoatPath(pair)+"/rig"), "changes.0.id"))
			workThrough(t, pair)
			return []sample{{path: BoatPath(pair) + "/rig"}, {path: BoatPath(pair) + "/rig?limit=2&seat=1"}}
		},
		"POST /api/v1/boats/:id/rig/:change/undo": func(t testing.TB) []sample {
			pair, single := Rigged(t)
			var list []sample
			for i, boat := range []int64{pair, single, heelBoatRigged(t)} {
				change := Number(t, OnRecord(t, BoatPath(boat)+"/rig"), fmt.Sprintf("changes.%d.id", 2*min(i, 1)))
				list = append(list, sample{fmt.Sprintf("%s/rig/%.0f/undo", BoatPath(boat), change), Object{"by": "Bram", "why": "wrong seat"}})
			}
			return list
		},
		"POST /api/v1/boats/:id/rig/sheets/:sheet/undo": func(t testing.TB) []sample {
			pair, single := Rigged(t)
			list := []sample{}
			for _, boat := range []int64{pair, single, heelBoatRigged(t)} {
				sheet := workDone(t, boat)
				list = append(list, sample{fmt.Sprintf("%s/rig/sheets/%d/undo", BoatPath(boat), sheet), Object{"by": "Bram", "why": "wrong boat"}})
			}
			return list
		},

		"GET /api/v1/oars": func(t testing.TB) []sample {
			Created(t, "/api/v1/oars", FullOars("scull"))
			Created(t, "/api/v1/oars", BareOars())
			return []sample{{}}
		},
		"POST /api/v1/oars": func(testing.TB) []sample { return []sample{{Body: FullOars("scull")}, {Body: BareOars()}} },
		"GET /api/v1/oars/:id/boats": func(t testing.TB) []sample {
			set := Created(t, "/api/v1/oars", BareOars())
			for _, boat := range []Object{FullBoat(), {"name": Fresh("Tern"), "boat_class": "2-", "by": "Bram"}, {"name": Fresh("Crane"), "boat_class": "4-", "stretcher": Object{"mark": "heel"}, "by": "Bram"}} {
				Created(t, "/api/v1/boats", Put(boat, "oar_set_id", set))
			}
			return []sample{{path: fmt.Sprintf("/api/v1/oars/%d/boats", set)}}
		},
		"GET /api/v1/oars/:id": oarPaths(""),
		"PUT /api/v1/oars/:id": func(t testing.TB) []sample {
			full, bare := FullOars("scull"), BareOars()
			return []sample{
				{fmt.Sprintf("/api/v1/oars/%d", Created(t, "/api/v1/oars", full)), Edited(full, 1, Object{"count": 9})},
				{fmt.Sprintf("/api/v1/oars/%d", Created(t, "/api/v1/oars", bare)), Edited(bare, 1, Object{"count": 9})},
			}
		},
		"DELETE /api/v1/oars/:id":      oarPaths(""),
		"GET /api/v1/oars/:id/changes": oarChanges,
	})
}

// workThrough finishes a work sheet of one line on a boat that stands at
// version 3.
func workThrough(t testing.TB, boat int64) {
	t.Helper()
	by := store.By{Name: "Bram"}
	sheet, err := scratch.AddSheet(t.Context(), store.Sheet{BoatID: boat, BoatVersion: 3, Lines: []store.SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85}}}, by)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := scratch.RecordReading(t.Context(), sheet, store.Reading{Seat: 1, Setting: "spread_cm", Value: 85, Key: "a"}, by); err != nil {
		t.Fatal(err)
	}
	if _, err := scratch.FinishSheet(t.Context(), sheet, 3, by); err != nil {
		t.Fatal(err)
	}
}

// workDone finishes a work sheet that moves the heels of seat 1, and returns its
// number.
func workDone(t testing.TB, boat int64) int64 {
	t.Helper()
	by := store.By{Name: "Bram"}
	b := BoatAt(t, boat)
	sheet, err := scratch.AddSheet(t.Context(), store.Sheet{BoatID: boat, BoatVersion: b.Version, Lines: []store.SheetLine{{Seat: 1, Setting: "heel_to_pin_cm", Target: 23}}}, by)
	if err == nil {
		_, err = scratch.RecordReading(t.Context(), sheet, store.Reading{Seat: 1, Setting: "heel_to_pin_cm", Value: 23.4, Key: "a"}, by)
	}
	if err == nil {
		_, err = scratch.FinishSheet(t.Context(), sheet, b.Version, by)
	}
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

func Undo(t testing.TB, boat int64, change float64) {
	t.Helper()
	Created(t, fmt.Sprintf("%s/rig/%.0f/undo", BoatPath(boat), change), Object{"by": "Bram"})
}

func athletePaths(ends ...string) func(testing.TB) []sample {
	return func(t testing.TB) []sample {
		t.Helper()
		var list []sample
		for _, end := range ends {
			list = append(list,
				sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", KnownAthlete(t), end)},
				sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", Created(t, "/api/v1/athletes", BareAthlete()), end)})
			for _, id := range sparse(t) {
				list = append(list, sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", id, end)})
			}
		}
		return list
	}
}

func fullSquad(t testing.TB) Object {
	return Object{"name": Fresh("Senior men"), "athlete_ids": []any{KnownAthlete(t)}}
}

func squadPaths(t testing.TB) []sample {
	t.Helper()
	return []sample{
		{path: fmt.Sprintf("/api/v1/squads/%d", Created(t, "/api/v1/squads", fullSquad(t)))},
		{path: fmt.Sprintf("/api/v1/squads/%d", Created(t, "/api/v1/squads", Object{"name": Fresh("Juniors")}))},
	}
}

func boatPaths(end string) func(testing.TB) []sample {
	return func(t testing.TB) []sample {
		t.Helper()
		pair, single := Rigged(t)
		Undo(t, pair, Number(t, OnRecord(t, BoatPath(pair)+"/rig"), "changes.0.id"))
		return []sample{{path: BoatPath(pair) + end}, {path: BoatPath(single) + end}, {path: BoatPath(heelBoatRigged(t)) + end}, {path: BoatPath(Created(t, "/api/v1/boats", FullBoat())) + end}}
	}
}

func oarPaths(end string) func(testing.TB) []sample {
	return func(t testing.TB) []sample {
		t.Helper()
		return []sample{
			{path: fmt.Sprintf("/api/v1/oars/%d%s", Created(t, "/api/v1/oars", FullOars("scull")), end)},
			{path: fmt.Sprintf("/api/v1/oars/%d%s", Created(t, "/api/v1/oars", BareOars()), end)},
		}
	}
}

// editedAthlete and oarChanges make histories with values that come and go.
func editedAthlete(t testing.TB) []sample {
	t.Helper()
	body := FullAthlete()
	at := fmt.Sprintf("/api/v1/athletes/%d", Created(t, "/api/v1/athletes", body))
	Replaced(t, at, Edited(body, 1, Object{"birth_date": nil}))
	return []sample{{path: at + "/changes"}}
}

func oarChanges(t testing.TB) []sample {
	t.Helper()
	body := FullOars("scull")
	at := fmt.Sprintf("/api/v1/oars/%d", Created(t, "/api/v1/oars", body))
	Replaced(t, at, Edited(body, 1, Object{"inboard_cm": nil, "count": 3}))
	return []sample{{path: at + "/changes"}, {path: at + "/changes?after=1"}}
}

// Replaced puts a document that must be taken.
func Replaced(t testing.TB, path string, body Object) Object {
	t.Helper()
	w := Request(http.MethodPut, path, JSONType, Encoded(t, body))
	if w.Code != http.StatusOK {
		t.Fatalf("PUT %s: %d %.400s", path, w.Code, w.Body)
	}
	return Decoded[Object](t, w.Body.Bytes())
}
