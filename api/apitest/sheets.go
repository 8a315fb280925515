package apitest

import (
	"fmt"
	"net/http"
	"testing"

	"thole/api/fleet"
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

// Pair puts a measured pair on record, and Sweeper an athlete of a height.
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

func Sweeper(t testing.TB, stature float64) int64 {
	t.Helper()
	id := Created(t, "/api/v1/athletes", Object{"name": Fresh("Ann"), "sex": "male", "port_cost_s": 0.0, "by": "Ines"})
	Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), Object{"measured_on": "2026-01-10", "stature_cm": stature, "mass_kg": 85.0, "measured_by": "Ines"})
	return id
}

// CrewOfTwo is an athlete at bow and a guest at stroke.
func CrewOfTwo(t testing.TB) Object {
	return Object{"crew": []any{
		Object{"seat": 1, "athlete_id": Sweeper(t, 192)},
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

func BoatAt(t testing.TB, id int64) fleet.Boat {
	t.Helper()
	return Decoded[fleet.Boat](t, Request(http.MethodGet, fmt.Sprintf("/api/v1/boats/%d", id), "", "").Body.Bytes())
}

func Must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
