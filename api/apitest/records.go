package apitest

import (
	"context"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"sync/atomic"
	"testing"

	"thole/api/fleet"
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

func FullBody(day string, stature float64) Object {
	return Object{
		"measured_on": day, "stature_cm": stature, "arm_span_cm": 172.0, "sitting_height_cm": 88.0, "mass_kg": 60.0, "draw_height_cm": 28.0,
		"segments_cm": Object{
			"shank": 41.0, "thigh": 41.0, "trunk": 50.0, "arm": 65.0, "half_shoulder": 17.0, "half_depth": 11.0,
			"ankle_along": 6.0, "ankle_off": 8.5, "ball": 20.0, "hip_height": 8.0,
		},
		"measured_by": "Ines", "note": "barefoot",
	}
}

func FullPosture(kind string) Object {
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
	Created(t, at+"/measures", FullBody("2026-01-10", 165))
	Created(t, at+"/measures", FullBody("2026-06-10", 170))
	Created(t, at+"/postures", FullPosture("scull"))
	Created(t, at+"/postures", FullPosture("sweep"))
	Created(t, at+"/postures", Object{"calibrated_on": "2025-01-31", "kind": "scull", "lean_deg": 22.0})
	return id
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
	set, err := Service.Fleet.AddOarSet(context.Background(), fleet.NewOarSet{OarFields: fleet.OarFields{Name: Fresh("Oars"), Kind: store.Sweep}, By: "Bram"})
	if err != nil {
		panic(err)
	}
	return set.ID
}

func BareBoat() Object { return Object{"name": Fresh("Wren"), "boat_class": "1x", "by": "Bram"} }

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

func Undo(t testing.TB, boat int64, change float64) {
	t.Helper()
	Created(t, fmt.Sprintf("%s/rig/%.0f/undo", BoatPath(boat), change), Object{"by": "Bram"})
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
