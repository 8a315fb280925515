package api_test

import (
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"thole/api/store"
)

// one is the next number never used before, for names that must differ.
var counter atomic.Int64

func fresh(name string) string { return fmt.Sprintf("%s %d", name, counter.Add(1)) }

// created posts a document that must be put on record, and returns its id.
func created(t testing.TB, path string, body object) int64 {
	t.Helper()
	w := post(t, path, body)
	if w.Code != http.StatusCreated {
		t.Fatalf("POST %s: %d %.400s", path, w.Code, w.Body)
	}
	return int64(number(t, decoded[object](t, w.Body.Bytes()), "id"))
}

func fullAthlete() object {
	return object{
		"name": fresh("Ann"), "sex": "female", "birth_date": "2012-05-01", "port_cost_s": 0.0, "starboard_cost_s": 2.0,
		"sculls": true, "note": "tall", "archived": false, "by": "Ines",
	}
}

func bareAthlete() object { return object{"name": fresh("Ben"), "by": "Ines"} }

func fullBody(day string, stature float64) object {
	return object{
		"measured_on": day, "stature_cm": stature, "arm_span_cm": 172.0, "sitting_height_cm": 88.0, "mass_kg": 60.0, "draw_height_cm": 28.0,
		"segments_cm": object{
			"shank": 41.0, "thigh": 41.0, "trunk": 50.0, "arm": 65.0, "half_shoulder": 17.0, "half_depth": 11.0,
			"ankle_along": 6.0, "ankle_off": 8.5, "ball": 20.0, "hip_height": 8.0,
		},
		"measured_by": "Ines", "note": "barefoot",
	}
}

func fullPosture(kind string) object {
	return object{
		"calibrated_on": "2026-01-31", "kind": kind, "shin_deg": 88.0, "lean_deg": 24.0, "layback_deg": 27.0, "protraction_cm": 6.0, "dorsiflexion_deg": 30.0,
		"finish_knee_deg": 174.0, "finish_gap_cm": 2.0, "rotation_max_deg": 40.0, "side_lean_cm": 4.0, "note": "gate sensor",
	}
}

// knownAthlete puts an athlete on record of whom everything is known, and a
// junior's growth with it.
func knownAthlete(t testing.TB) int64 {
	t.Helper()
	id := created(t, "/api/v1/athletes", fullAthlete())
	at := fmt.Sprintf("/api/v1/athletes/%d", id)
	created(t, at+"/measures", fullBody("2026-01-10", 165))
	created(t, at+"/measures", fullBody("2026-06-10", 170))
	created(t, at+"/postures", fullPosture("scull"))
	created(t, at+"/postures", fullPosture("sweep"))
	created(t, at+"/postures", object{"calibrated_on": "2025-01-31", "kind": "scull", "lean_deg": 22.0})
	return id
}

// sparse puts athletes on record of whom little is known, of each another part.
func sparse(t testing.TB) []int64 {
	t.Helper()
	var ids []int64
	for _, segment := range []string{"shank", "thigh"} {
		id := created(t, "/api/v1/athletes", bareAthlete())
		at := fmt.Sprintf("/api/v1/athletes/%d", id)
		created(t, at+"/measures", object{"measured_on": "2026-02-01", "segments_cm": object{segment: 41.0}, "measured_by": "Ines"})
		for _, kind := range []string{"scull", "sweep"} {
			created(t, at+"/postures", object{"calibrated_on": "2026-02-01", "kind": kind})
		}
		ids = append(ids, id)
	}
	return ids
}

func fullBoat() object {
	return object{
		"name": fresh("Heron"), "boat_class": "2-", "hull_mass_kg": 26.0, "built_for_kg": 80.0, "waterline_length_m": 10.0, "waterline_beam_m": 0.36,
		"seat_over_water_cm": 8.0, "note": "old", "archived": false, "by": "Bram",
		"seats": []any{
			object{"number": 1, "side": "starboard", "can_change_sides": true, "adjust": object{"spread_cm": object{"min": 83.0, "max": 88.0, "step": 0.5, "cost": 6.0}}},
			object{"number": 2, "side": "starboard", "can_change_sides": false, "adjust": object{}},
		},
	}
}

func bareBoat() object { return object{"name": fresh("Wren"), "boat_class": "1x", "by": "Bram"} }

// everything is a rig with each setting of a pair's first seat, or a single's.
func everything(version int, scull bool) object {
	values := object{
		"inboard_cm": 116.0, "oar_length_cm": 374.0, "spread_cm": 86.0, "heel_to_pin_cm": 20.0, "heel_depth_cm": 17.0, "plate_angle_deg": 42.0,
		"gate_height_cm": 17.0, "blade_pitch_deg": 0.0, "stern_pitch_deg": 4.0, "outward_pitch_deg": 1.0,
	}
	if scull {
		delete(values, "spread_cm")
		values["span_cm"], values["inboard_cm"], values["oar_length_cm"], values["gate_difference_cm"] = 159.0, 88.0, 288.0, 1.0
	}
	var settings []any
	for _, name := range slices.Sorted(maps.Keys(values)) {
		settings = append(settings, object{"seat": 1, "setting": name, "value": values[name]})
	}
	return object{"version": version, "settings": settings, "why": "as found", "by": "Bram"}
}

// rigged puts a pair and a single on record, each fully measured at bow.
func rigged(t testing.TB) (pair, single int64) {
	t.Helper()
	pair, single = created(t, "/api/v1/boats", fullBoat()), created(t, "/api/v1/boats", bareBoat())
	enter(t, pair, everything(1, false))
	enter(t, single, everything(1, true))
	return pair, single
}

// withRig is a new boat of which the rig is known.
func withRig(boat object, scull bool) object {
	boat["rig"] = everything(1, scull)["settings"]
	return boat
}

func boatPath(id int64) string { return fmt.Sprintf("/api/v1/boats/%d", id) }

// enter enters a rig that must be taken.
func enter(t testing.TB, boat int64, rig object) object {
	t.Helper()
	w := request(http.MethodPut, boatPath(boat)+"/rig", jsonType, encoded(t, rig))
	if w.Code != http.StatusOK {
		t.Fatalf("rig: %d %.400s", w.Code, w.Body)
	}
	return decoded[object](t, w.Body.Bytes())
}

// onRecord gets a document that must be there.
func onRecord(t testing.TB, path string) object {
	t.Helper()
	w := request(http.MethodGet, path, "", "")
	if w.Code != http.StatusOK {
		t.Fatalf("GET %s: %d %.400s", path, w.Code, w.Body)
	}
	return decoded[object](t, w.Body.Bytes())
}

func fullOars(kind string) object {
	o := object{
		"name": fresh("Set"), "kind": kind, "count": 8, "blade": "hatchet", "length_min_cm": 284.0, "length_max_cm": 292.0, "length_step_cm": 0.5, "length_cm": 288.0,
		"inboard_min_cm": 85.0, "inboard_max_cm": 91.0, "inboard_step_cm": 0.5, "inboard_cm": 88.0, "note": "blue", "archived": false, "by": "Bram",
	}
	return o
}

func bareOars() object { return object{"name": fresh("Set"), "kind": "sweep", "by": "Bram"} }

// edited is a document for a PUT: what is put in, with a version.
func edited(body object, version int, changes object) object {
	o := maps.Clone(body)
	o["version"] = version
	maps.Copy(o, changes)
	return o
}

func init() {
	maps.Copy(samples, map[string]func(testing.TB) []sample{
		"GET /api/v1/athletes": func(t testing.TB) []sample {
			knownAthlete(t)
			created(t, "/api/v1/athletes", bareAthlete())
			return []sample{{}, {path: "/api/v1/athletes?name=zzz&archived=true"}}
		},
		"POST /api/v1/athletes":    func(testing.TB) []sample { return []sample{{body: fullAthlete()}, {body: bareAthlete()}} },
		"GET /api/v1/athletes/:id": athletePaths("", "?as_of=2026-07-01"),
		"PUT /api/v1/athletes/:id": func(t testing.TB) []sample {
			full, bare := fullAthlete(), bareAthlete()
			known, unknown := knownAthlete(t), created(t, "/api/v1/athletes", bare)
			list := []sample{{fmt.Sprintf("/api/v1/athletes/%d", known), edited(full, 1, nil)}, {fmt.Sprintf("/api/v1/athletes/%d", unknown), edited(bare, 1, object{"note": "x"})}}
			for _, id := range sparse(t) {
				list = append(list, sample{fmt.Sprintf("/api/v1/athletes/%d", id), edited(bareAthlete(), 1, nil)})
			}
			return list
		},
		"DELETE /api/v1/athletes/:id":      athletePaths(""),
		"GET /api/v1/athletes/:id/changes": editedAthlete,
		"GET /api/v1/athletes/:id/measures": func(t testing.TB) []sample {
			id := knownAthlete(t)
			created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), object{"measured_on": "2026-02-02", "mass_kg": 61.0, "measured_by": "Ines"})
			created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), object{"measured_on": "2026-02-03", "arm_span_cm": 171.0, "measured_by": "Ines"})
			return []sample{{path: fmt.Sprintf("/api/v1/athletes/%d/measures", id)}}
		},
		"POST /api/v1/athletes/:id/measures": func(t testing.TB) []sample {
			some := sparse(t)
			return []sample{
				{fmt.Sprintf("/api/v1/athletes/%d/measures", some[0]), object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", some[1]), object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", knownAthlete(t)), fullBody("2026-03-01", 168)},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", created(t, "/api/v1/athletes", bareAthlete())), object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", created(t, "/api/v1/athletes", bareAthlete())), object{"measured_on": "2026-03-01", "stature_cm": 170.0, "measured_by": "Ines"}},
			}
		},
		"POST /api/v1/athletes/:id/postures": func(t testing.TB) []sample {
			known, bare, some := knownAthlete(t), created(t, "/api/v1/athletes", bareAthlete()), sparse(t)
			return []sample{
				{fmt.Sprintf("/api/v1/athletes/%d/postures", some[0]), object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", some[1]), object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", known), fullPosture("sweep")},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", bare), object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", created(t, "/api/v1/athletes", bareAthlete())), object{"calibrated_on": "2026-03-01", "kind": "scull"}},
			}
		},

		"GET /api/v1/boats": func(t testing.TB) []sample {
			rigged(t)
			return []sample{{}}
		},
		"POST /api/v1/boats": func(testing.TB) []sample {
			return []sample{{body: withRig(fullBoat(), false)}, {body: withRig(bareBoat(), true)}, {body: bareBoat()}}
		},
		"GET /api/v1/boats/:id": boatPaths(""),
		"PUT /api/v1/boats/:id": func(t testing.TB) []sample {
			pair, single := rigged(t)
			return []sample{
				{boatPath(pair), edited(fullBoat(), 2, nil)},
				{boatPath(single), edited(bareBoat(), 2, object{"seats": []any{object{"number": 1}}})},
			}
		},
		"DELETE /api/v1/boats/:id":      boatPaths(""),
		"GET /api/v1/boats/:id/changes": boatPaths("/changes"),
		"PUT /api/v1/boats/:id/rig": func(t testing.TB) []sample {
			pair, single := rigged(t)
			return []sample{{boatPath(pair) + "/rig", everything(2, false)}, {boatPath(single) + "/rig", everything(2, true)}}
		},
		"GET /api/v1/boats/:id/rig": func(t testing.TB) []sample {
			pair, _ := rigged(t)
			undo(t, pair, number(t, onRecord(t, boatPath(pair)+"/rig"), "changes.0.id"))
			workThrough(t, pair)
			return []sample{{path: boatPath(pair) + "/rig"}, {path: boatPath(pair) + "/rig?limit=2&seat=1"}}
		},
		"POST /api/v1/boats/:id/rig/:change/undo": func(t testing.TB) []sample {
			pair, single := rigged(t)
			var list []sample
			for i, boat := range []int64{pair, single} {
				change := number(t, onRecord(t, boatPath(boat)+"/rig"), fmt.Sprintf("changes.%d.id", 2*i))
				list = append(list, sample{fmt.Sprintf("%s/rig/%.0f/undo", boatPath(boat), change), object{"by": "Bram", "why": "wrong seat"}})
			}
			return list
		},

		"GET /api/v1/oars": func(t testing.TB) []sample {
			created(t, "/api/v1/oars", fullOars("scull"))
			created(t, "/api/v1/oars", bareOars())
			return []sample{{}}
		},
		"POST /api/v1/oars":    func(testing.TB) []sample { return []sample{{body: fullOars("scull")}, {body: bareOars()}} },
		"GET /api/v1/oars/:id": oarPaths(""),
		"PUT /api/v1/oars/:id": func(t testing.TB) []sample {
			full, bare := fullOars("scull"), bareOars()
			return []sample{
				{fmt.Sprintf("/api/v1/oars/%d", created(t, "/api/v1/oars", full)), edited(full, 1, object{"count": 9})},
				{fmt.Sprintf("/api/v1/oars/%d", created(t, "/api/v1/oars", bare)), edited(bare, 1, object{"count": 9})},
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

func undo(t testing.TB, boat int64, change float64) {
	t.Helper()
	created(t, fmt.Sprintf("%s/rig/%.0f/undo", boatPath(boat), change), object{"by": "Bram"})
}

func athletePaths(ends ...string) func(testing.TB) []sample {
	return func(t testing.TB) []sample {
		t.Helper()
		var list []sample
		for _, end := range ends {
			list = append(list,
				sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", knownAthlete(t), end)},
				sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", created(t, "/api/v1/athletes", bareAthlete()), end)})
			for _, id := range sparse(t) {
				list = append(list, sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", id, end)})
			}
		}
		return list
	}
}

func boatPaths(end string) func(testing.TB) []sample {
	return func(t testing.TB) []sample {
		t.Helper()
		pair, single := rigged(t)
		undo(t, pair, number(t, onRecord(t, boatPath(pair)+"/rig"), "changes.0.id"))
		return []sample{{path: boatPath(pair) + end}, {path: boatPath(single) + end}, {path: boatPath(created(t, "/api/v1/boats", fullBoat())) + end}}
	}
}

func oarPaths(end string) func(testing.TB) []sample {
	return func(t testing.TB) []sample {
		t.Helper()
		return []sample{
			{path: fmt.Sprintf("/api/v1/oars/%d%s", created(t, "/api/v1/oars", fullOars("scull")), end)},
			{path: fmt.Sprintf("/api/v1/oars/%d%s", created(t, "/api/v1/oars", bareOars()), end)},
		}
	}
}

// editedAthlete and oarChanges make histories with values that come and go.
func editedAthlete(t testing.TB) []sample {
	t.Helper()
	body := fullAthlete()
	at := fmt.Sprintf("/api/v1/athletes/%d", created(t, "/api/v1/athletes", body))
	replaced(t, at, edited(body, 1, object{"birth_date": nil}))
	return []sample{{path: at + "/changes"}}
}

func oarChanges(t testing.TB) []sample {
	t.Helper()
	body := fullOars("scull")
	at := fmt.Sprintf("/api/v1/oars/%d", created(t, "/api/v1/oars", body))
	replaced(t, at, edited(body, 1, object{"inboard_cm": nil, "count": 3}))
	return []sample{{path: at + "/changes"}, {path: at + "/changes?after=1"}}
}

// replaced puts a document that must be taken.
func replaced(t testing.TB, path string, body object) object {
	t.Helper()
	w := request(http.MethodPut, path, jsonType, encoded(t, body))
	if w.Code != http.StatusOK {
		t.Fatalf("PUT %s: %d %.400s", path, w.Code, w.Body)
	}
	return decoded[object](t, w.Body.Bytes())
}

// refusedPut puts a document that must be refused for its values, and returns
// what is said by pointer.
func refusedPut(t testing.TB, path string, body object) map[string]string {
	t.Helper()
	said := map[string]string{}
	for _, f := range problem(t, request(http.MethodPut, path, jsonType, encoded(t, body)), http.StatusUnprocessableEntity).Errors {
		said[f.Pointer] = f.Detail
	}
	return said
}

func TestSecondEditorIsToldWhoChangedWhat(t *testing.T) {
	body := fullBoat()
	at := boatPath(created(t, "/api/v1/boats", body))
	replaced(t, at, edited(body, 1, object{"hull_mass_kg": 25.5, "by": "Ann"}))
	w := request(http.MethodPut, at, jsonType, encoded(t, edited(body, 1, object{"note": "new", "by": "Ben"})))
	p := problem(t, w, http.StatusConflict)
	if p.Version != 2 || len(p.Changes) != 1 {
		t.Fatalf("version %d, changes %+v", p.Version, p.Changes)
	}
	c := p.Changes[0]
	if c.By != "Ann" || c.What != "hull_mass_kg" || *c.From != "26" || *c.To != "25.5" {
		t.Errorf("told %s: %s from %s to %s", c.By, c.What, *c.From, *c.To)
	}
	if note := onRecord(t, at)["note"]; note != "old" {
		t.Errorf("the refused edit left its note %q", note)
	}
}

func TestRigEditFromAnOldVersionIsRefused(t *testing.T) {
	pair, _ := rigged(t)
	enter(t, pair, object{"version": 2, "by": "Ann", "settings": []any{object{"seat": 1, "setting": "spread_cm", "value": 85.5}}})
	late := object{"version": 2, "by": "Ben", "settings": []any{object{"seat": 1, "setting": "inboard_cm", "value": 115.5}}}
	p := problem(t, request(http.MethodPut, boatPath(pair)+"/rig", jsonType, encoded(t, late)), http.StatusConflict)
	if len(p.Changes) != 1 || p.Changes[0].What != "seat 1 spread_cm" || *p.Changes[0].To != "85.5" {
		t.Errorf("told %+v", p.Changes)
	}
	near(t, "inboard", number(t, onRecord(t, boatPath(pair)), "seats.0.seat.inboard_cm"), 116, 0)
}

func TestUndoBringsTheValueBackOnce(t *testing.T) {
	pair, _ := rigged(t)
	enter(t, pair, object{"version": 2, "by": "Ann", "why": "try", "settings": []any{object{"seat": 1, "setting": "spread_cm", "value": 85.5}}})
	change := number(t, onRecord(t, boatPath(pair)+"/rig?seat=1&setting=spread_cm"), "changes.0.id")
	undo(t, pair, change)
	near(t, "spread", number(t, onRecord(t, boatPath(pair)), "seats.0.seat.spread_cm"), 86, 0)
	h := onRecord(t, boatPath(pair)+"/rig?seat=1&setting=spread_cm")
	near(t, "entry taken back", number(t, h, "changes.0.undoes_id"), change, 0)
	if at(t, h, "changes.0.latest") != true || at(t, h, "changes.1.latest") != false {
		t.Error("the history does not tell which entry can be taken back")
	}
	again := post(t, fmt.Sprintf("%s/rig/%.0f/undo", boatPath(pair), change), object{"by": "Ben"})
	problem(t, again, http.StatusConflict)
}

func TestUndoOfAnotherBoatsChangeIsNotFound(t *testing.T) {
	pair, single := rigged(t)
	change := number(t, onRecord(t, boatPath(pair)+"/rig"), "changes.0.id")
	problem(t, post(t, fmt.Sprintf("%s/rig/%.0f/undo", boatPath(single), change), object{"by": "Ben"}), http.StatusNotFound)
}

func TestHistoryGoesOnPageByPage(t *testing.T) {
	pair, _ := rigged(t)
	var ids []float64
	for next := ""; ; {
		h := onRecord(t, boatPath(pair)+"/rig?limit=3"+next)
		for _, c := range at(t, h, "changes").([]any) {
			ids = append(ids, number(t, c, "id"))
		}
		if number(t, h, "next") == 0 {
			break
		}
		next = fmt.Sprintf("&before=%.0f", number(t, h, "next"))
	}
	same(t, "entries", len(ids), 10)
	for i := 1; i < len(ids); i++ {
		if ids[i] >= ids[i-1] {
			t.Errorf("entries out of order: %v", ids)
		}
	}
}

func TestRigValuesAreCheckedInPeoplesUnits(t *testing.T) {
	pair, _ := rigged(t)
	said := refusedPut(t, boatPath(pair)+"/rig", object{"version": 2, "by": "Ann", "settings": []any{
		object{"seat": 1, "setting": "spread_cm", "value": 0.86},
		object{"seat": 2, "setting": "span_cm", "value": 159.0},
		object{"seat": 3, "setting": "spread_cm", "value": 86.0},
		object{"seat": 1, "setting": "gate_height_cm", "value": nil},
	}})
	for pointer, want := range map[string]string{
		"#/settings/0/value": "metres: 86 cm", "#/settings/1/setting": "no such setting", "#/settings/2/seat": "seats 1 to 2", "#/settings/3/value": "needed",
	} {
		if !strings.Contains(said[pointer], want) {
			t.Errorf("%s: %q, want %q", pointer, said[pointer], want)
		}
	}
}

// TestRigIsCheckedAgainstWhatIsThere enters an inboard that fits no spread
// near the one on record.
func TestRigIsCheckedAgainstWhatIsThere(t *testing.T) {
	pair, _ := rigged(t)
	said := refusedPut(t, boatPath(pair)+"/rig", object{"version": 2, "by": "Ann", "settings": []any{object{"seat": 1, "setting": "inboard_cm", "value": 138.0}}})
	if !strings.Contains(said["#/settings/0/value"], "too long for where the pin stands") {
		t.Errorf("told %v", said)
	}
}

func TestBoatsAreChecked(t *testing.T) {
	said := refused(t, "/api/v1/boats", edited(fullBoat(), 0, object{
		"version": 1, "name": " ", "hull_mass_kg": 2600.0, "waterline_length_m": 1000.0, "by": "", "boat_class": "3x",
	}))
	same(t, "unknown member", pointers(said), []string{"#/version"})
	bad := edited(fullBoat(), 0, object{"name": " ", "hull_mass_kg": 2600.0, "waterline_length_m": 1000.0, "by": "", "boat_class": "3x"})
	delete(bad, "version")
	same(t, "boat", pointers(refused(t, "/api/v1/boats", bad)), []string{"#/boat_class", "#/by", "#/hull_mass_kg", "#/name", "#/waterline_length_m"})
	bad = fullBoat()
	bad["seats"] = []any{
		object{"number": 1, "side": "", "adjust": object{"spread_cm": object{"min": 88.0, "max": 83.0, "step": 0.5}, "span_cm": object{}}},
		object{"number": 3, "side": "left", "adjust": object{"spread_cm": object{"min": 8.3, "max": 88.0, "step": 0.0}, "stern_pitch_deg": object{}}},
	}
	same(t, "seats", pointers(refused(t, "/api/v1/boats", bad)), []string{
		"#/seats/0/adjust/span_cm", "#/seats/0/adjust/spread_cm/min", "#/seats/0/side",
		"#/seats/1/adjust/spread_cm/min", "#/seats/1/adjust/spread_cm/step", "#/seats/1/adjust/stern_pitch_deg", "#/seats/1/number", "#/seats/1/side",
	})
}

func TestBoatKeepsItsKindOfSeats(t *testing.T) {
	body := fullBoat()
	at := boatPath(created(t, "/api/v1/boats", body))
	said := refusedPut(t, at, edited(body, 1, object{"boat_class": "2x"}))
	if !strings.Contains(said["#/boat_class"], "another boat") {
		t.Errorf("told %v", said)
	}
}

func TestNamesOnRecordAreToldAtTheName(t *testing.T) {
	for path, body := range map[string]object{"/api/v1/boats": bareBoat(), "/api/v1/oars": bareOars(), "/api/v1/athletes": bareAthlete()} {
		created(t, path, body)
		if said := refused(t, path, body)["#/name"]; !strings.Contains(said, "on record") {
			t.Errorf("%s: told %q", path, said)
		}
	}
}

func TestOddBoatsAreCautioned(t *testing.T) {
	boat := onRecord(t, boatPath(created(t, "/api/v1/boats", fullBoat())))
	same(t, "two riggers on starboard", at(t, boat, "cautions.0.code"), "riggers_uneven")
	same(t, "26 kg", at(t, boat, "cautions.1.code"), "hull_light")
}

// TestNewBoatAlternatesSides holds stroke on port and the sides in turn, as
// most boats are rigged; common practice.
func TestNewBoatAlternatesSides(t *testing.T) {
	boat := onRecord(t, boatPath(created(t, "/api/v1/boats", object{"name": fresh("Four"), "boat_class": "4+", "by": "Bram"})))
	for i, side := range []string{"starboard", "port", "starboard", "port"} {
		same(t, fmt.Sprintf("seat %d", i+1), at(t, boat, fmt.Sprintf("seats.%d.side", i)), side)
	}
	near(t, "least spread", number(t, boat, "seats.3.adjust.spread_cm.min"), 82, 0)
}

func TestAthletesAreChecked(t *testing.T) {
	said := refused(t, "/api/v1/athletes", object{"name": "", "sex": "f", "birth_date": "2999-01-01", "port_cost_s": -1.0, "starboard_cost_s": 61.0, "by": " "})
	same(t, "athlete", pointers(said), []string{"#/birth_date", "#/by", "#/name", "#/port_cost_s", "#/sex", "#/starboard_cost_s"})
	for _, day := range []string{"1.5.2012", "2012-02-30", "1850-01-01", "2012-5-1"} {
		if said := refused(t, "/api/v1/athletes", object{"name": "A", "birth_date": day, "by": "B"}); said["#/birth_date"] == "" {
			t.Errorf("born on %s is taken", day)
		}
	}
}

func TestMeasuresAreChecked(t *testing.T) {
	at := fmt.Sprintf("/api/v1/athletes/%d/measures", created(t, "/api/v1/athletes", fullAthlete()))
	said := refused(t, at, object{"measured_on": "2012-04-30", "stature_cm": 1.72, "segments_cm": object{"shank": 410.0}, "measured_by": ""})
	same(t, "measures", pointers(said), []string{"#/measured_by", "#/measured_on", "#/segments_cm/shank", "#/stature_cm"})
	if !strings.Contains(said["#/stature_cm"], "metres: 172 cm") || !strings.Contains(said["#/segments_cm/shank"], "millimetres: 41 cm") {
		t.Errorf("told %v", said)
	}
	same(t, "nothing measured", pointers(refused(t, at, object{"measured_on": "2026-01-01", "measured_by": "Ann"})), []string{"#/stature_cm"})
	same(t, "two bodies", pointers(refused(t, at, object{"measured_on": "2026-01-01", "measured_by": "Ann", "stature_cm": 200.0, "arm_span_cm": 150.0})), []string{"#/arm_span_cm"})
}

func TestMeasuresOfADayStandTillTheNext(t *testing.T) {
	id := created(t, "/api/v1/athletes", fullAthlete())
	at := fmt.Sprintf("/api/v1/athletes/%d", id)
	created(t, at+"/measures", object{"measured_on": "2026-01-10", "stature_cm": 160.0, "mass_kg": 50.0, "measured_by": "Ann"})
	created(t, at+"/measures", object{"measured_on": "2026-05-10", "stature_cm": 163.0, "measured_by": "Ann"})
	before, after := onRecord(t, at+"?as_of=2026-05-09"), onRecord(t, at+"?as_of=2026-05-10")
	near(t, "height before", number(t, before, "rower.stature_cm"), 160, 0)
	near(t, "height after", number(t, after, "rower.stature_cm"), 163, 0)
	near(t, "mass after", number(t, after, "rower.mass_kg"), 50, 0)
	near(t, "age", number(t, after, "rower.age_years"), 14, 0)
	days := after["measured_on"].(object)
	if days["mass_kg"] != "2026-01-10" || days["stature_cm"] != "2026-05-10" {
		t.Errorf("measured on %v", days)
	}
}

// TestGrowthIsCautioned: 3 cm in four months of a fourteen-year-old is growth
// that the rig feels; an adult's measures stand.
func TestGrowthIsCautioned(t *testing.T) {
	id := created(t, "/api/v1/athletes", fullAthlete())
	at := fmt.Sprintf("/api/v1/athletes/%d", id)
	created(t, at+"/measures", object{"measured_on": "2026-01-10", "stature_cm": 160.0, "measured_by": "Ann"})
	created(t, at+"/measures", object{"measured_on": "2026-05-10", "stature_cm": 163.0, "measured_by": "Ann"})
	for day, want := range map[string][]string{"2026-05-11": {"growing"}, "2026-09-01": {"measure_again", "growing"}, "2026-01-11": nil, "2031-01-01": nil} {
		var codes []string
		for _, c := range onRecord(t, at+"?as_of="+day)["cautions"].([]any) {
			codes = append(codes, c.(object)["code"].(string))
		}
		same(t, day, codes, want)
	}
}

func TestOarsAreChecked(t *testing.T) {
	said := refused(t, "/api/v1/oars", edited(fullOars("sweep"), 0, object{"version": nil, "count": -1, "by": ""}))
	same(t, "unknown", pointers(said), []string{"#/version"})
	bad := fullOars("sweep")
	bad["count"], bad["inboard_min_cm"], bad["length_step_cm"] = -1, 120.0, 30.0
	said = refused(t, "/api/v1/oars", bad)
	same(t, "oars", pointers(said), []string{"#/count", "#/inboard_min_cm", "#/length_step_cm"})
}

func TestRecordsThatAreNotThere(t *testing.T) {
	for _, path := range []string{
		"/api/v1/athletes/999999", "/api/v1/athletes/999999/measures", "/api/v1/athletes/999999/changes", "/api/v1/athletes/x",
		"/api/v1/boats/999999", "/api/v1/boats/999999/rig", "/api/v1/boats/999999/changes", "/api/v1/oars/999999", "/api/v1/oars/999999/changes",
	} {
		problem(t, request(http.MethodGet, path, "", ""), http.StatusNotFound)
	}
	for _, path := range []string{"/api/v1/athletes/999999", "/api/v1/boats/999999", "/api/v1/oars/999999"} {
		problem(t, request(http.MethodDelete, path, "", ""), http.StatusNotFound)
	}
	problem(t, request(http.MethodPut, "/api/v1/boats/999999/rig", jsonType, encoded(t, everything(1, true))), http.StatusNotFound)
	problem(t, request(http.MethodPut, "/api/v1/oars/999999", jsonType, encoded(t, edited(bareOars(), 1, nil))), http.StatusNotFound)
}

func TestSearchFindsNamesWhateverTheAccents(t *testing.T) {
	created(t, "/api/v1/athletes", object{"name": fresh("Zoë Åkerblom"), "by": "Ann"})
	found := onRecord(t, "/api/v1/athletes?name=zoe+akerb")["athletes"].([]any)
	same(t, "found", len(found), 1)
}

func TestNullIsAsLeftOut(t *testing.T) {
	s := onRecord(t, fmt.Sprintf("/api/v1/oars/%d", created(t, "/api/v1/oars", object{"name": fresh("N"), "kind": "scull", "by": "A", "count": nil, "length_cm": nil, "note": nil})))
	same(t, "count", number(t, s, "count"), 0.0)
}
