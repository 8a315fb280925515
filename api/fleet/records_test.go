package fleet_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
)

// refusedPut puts a document that must be refused for its values, and returns
// what is said by pointer.
func refusedPut(t testing.TB, path string, body apitest.Object) map[string]string {
	t.Helper()
	said := map[string]string{}
	for _, f := range apitest.Problem(t, apitest.Request(http.MethodPut, path, apitest.JSONType, apitest.Encoded(t, body)), http.StatusUnprocessableEntity).Errors {
		said[f.Pointer] = f.Detail
	}
	return said
}

func TestSecondEditorIsToldWhoChangedWhat(t *testing.T) {
	body := apitest.FullBoat()
	at := apitest.BoatPath(apitest.Created(t, "/api/v1/boats", body))
	apitest.Replaced(t, at, apitest.Edited(body, 1, apitest.Object{"hull_mass_kg": 25.5, "by": "Ann"}))
	w := apitest.Request(http.MethodPut, at, apitest.JSONType, apitest.Encoded(t, apitest.Edited(body, 1, apitest.Object{"note": "new", "by": "Ben"})))
	p := apitest.Problem(t, w, http.StatusConflict)
	if p.Version != 2 || len(p.Changes) != 1 {
		t.Fatalf("version %d, changes %+v", p.Version, p.Changes)
	}
	c := p.Changes[0]
	if c.By != "Ann" || c.What != "hull_mass_kg" || *c.From != "26" || *c.To != "25.5" {
		t.Errorf("told %s: %s from %s to %s", c.By, c.What, *c.From, *c.To)
	}
	if note := apitest.OnRecord(t, at)["note"]; note != "old" {
		t.Errorf("the refused edit left its note %q", note)
	}
}

func TestRigEditFromAnOldVersionIsRefused(t *testing.T) {
	pair, _ := apitest.Rigged(t)
	apitest.Enter(t, pair, apitest.Object{"version": 2, "by": "Ann", "settings": []any{apitest.Object{"seat": 1, "setting": "spread_cm", "value": 85.5}}})
	late := apitest.Object{"version": 2, "by": "Ben", "settings": []any{apitest.Object{"seat": 1, "setting": "inboard_cm", "value": 115.5}}}
	p := apitest.Problem(t, apitest.Request(http.MethodPut, apitest.BoatPath(pair)+"/rig", apitest.JSONType, apitest.Encoded(t, late)), http.StatusConflict)
	if len(p.Changes) != 1 || p.Changes[0].What != "seat 1 spread_cm" || *p.Changes[0].To != "85.5" {
		t.Errorf("told %+v", p.Changes)
	}
	apitest.Near(t, "inboard", apitest.Number(t, apitest.OnRecord(t, apitest.BoatPath(pair)), "seats.0.seat.inboard_cm"), 116, 0)
}

func TestUndoBringsTheValueBackOnce(t *testing.T) {
	pair, _ := apitest.Rigged(t)
	apitest.Enter(t, pair, apitest.Object{"version": 2, "by": "Ann", "why": "try", "settings": []any{apitest.Object{"seat": 1, "setting": "spread_cm", "value": 85.5}}})
	change := apitest.Number(t, apitest.OnRecord(t, apitest.BoatPath(pair)+"/rig?seat=1&setting=spread_cm"), "changes.0.id")
	apitest.Undo(t, pair, change)
	apitest.Near(t, "spread", apitest.Number(t, apitest.OnRecord(t, apitest.BoatPath(pair)), "seats.0.seat.spread_cm"), 86, 0)
	h := apitest.OnRecord(t, apitest.BoatPath(pair)+"/rig?seat=1&setting=spread_cm")
	apitest.Near(t, "entry taken back", apitest.Number(t, h, "changes.0.undoes_id"), change, 0)
	if apitest.At(t, h, "changes.0.latest") != true || apitest.At(t, h, "changes.1.latest") != false {
		t.Error("the history does not tell which entry can be taken back")
	}
	again := apitest.Post(t, fmt.Sprintf("%s/rig/%.0f/undo", apitest.BoatPath(pair), change), apitest.Object{"by": "Ben"})
	apitest.Problem(t, again, http.StatusConflict)
}

func TestUndoOfAnotherBoatsChangeIsNotFound(t *testing.T) {
	pair, single := apitest.Rigged(t)
	change := apitest.Number(t, apitest.OnRecord(t, apitest.BoatPath(pair)+"/rig"), "changes.0.id")
	apitest.Problem(t, apitest.Post(t, fmt.Sprintf("%s/rig/%.0f/undo", apitest.BoatPath(single), change), apitest.Object{"by": "Ben"}), http.StatusNotFound)
}

func TestHistoryGoesOnPageByPage(t *testing.T) {
	pair, _ := apitest.Rigged(t)
	var ids []float64
	for next := ""; ; {
		h := apitest.OnRecord(t, apitest.BoatPath(pair)+"/rig?limit=3"+next)
		for _, c := range apitest.At(t, h, "changes").([]any) {
			ids = append(ids, apitest.Number(t, c, "id"))
		}
		if apitest.Number(t, h, "next") == 0 {
			break
		}
		next = fmt.Sprintf("&before=%.0f", apitest.Number(t, h, "next"))
	}
	apitest.Same(t, "entries", len(ids), 10)
	for i := 1; i < len(ids); i++ {
		if ids[i] >= ids[i-1] {
			t.Errorf("entries out of order: %v", ids)
		}
	}
}

func TestRigValuesAreCheckedInPeoplesUnits(t *testing.T) {
	pair, _ := apitest.Rigged(t)
	said := refusedPut(t, apitest.BoatPath(pair)+"/rig", apitest.Object{"version": 2, "by": "Ann", "settings": []any{
		apitest.Object{"seat": 1, "setting": "spread_cm", "value": 0.86},
		apitest.Object{"seat": 2, "setting": "span_cm", "value": 159.0},
		apitest.Object{"seat": 3, "setting": "spread_cm", "value": 86.0},
		apitest.Object{"seat": 1, "setting": "gate_height_cm", "value": nil},
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
	pair, _ := apitest.Rigged(t)
	said := refusedPut(t, apitest.BoatPath(pair)+"/rig", apitest.Object{"version": 2, "by": "Ann", "settings": []any{apitest.Object{"seat": 1, "setting": "inboard_cm", "value": 138.0}}})
	if !strings.Contains(said["#/settings/0/value"], "too long for where the pin stands") {
		t.Errorf("told %v", said)
	}
}

func TestBoatsAreChecked(t *testing.T) {
	said := apitest.Refused(t, "/api/v1/boats", apitest.Edited(apitest.FullBoat(), 0, apitest.Object{
		"version": 1, "name": " ", "hull_mass_kg": 2600.0, "waterline_length_m": 1000.0, "by": "", "boat_class": "3x",
	}))
	apitest.Same(t, "unknown member", apitest.Pointers(said), []string{"#/version"})
	bad := apitest.Edited(apitest.FullBoat(), 0, apitest.Object{"name": " ", "hull_mass_kg": 2600.0, "waterline_length_m": 1000.0, "by": "", "boat_class": "3x"})
	delete(bad, "version")
	apitest.Same(t, "boat", apitest.Pointers(apitest.Refused(t, "/api/v1/boats", bad)), []string{"#/boat_class", "#/by", "#/hull_mass_kg", "#/name", "#/waterline_length_m"})
	bad = apitest.FullBoat()
	bad["seats"] = []any{
		apitest.Object{"number": 1, "side": "", "adjust": apitest.Object{"spread_cm": apitest.Object{"min": 88.0, "max": 83.0, "step": 0.5}, "span_cm": apitest.Object{}}},
		apitest.Object{"number": 3, "side": "left", "adjust": apitest.Object{"spread_cm": apitest.Object{"min": 8.3, "max": 88.0, "step": 0.0}, "stern_pitch_deg": apitest.Object{}}},
	}
	apitest.Same(t, "seats", apitest.Pointers(apitest.Refused(t, "/api/v1/boats", bad)), []string{
		"#/seats/0/adjust/span_cm", "#/seats/0/adjust/spread_cm/min", "#/seats/0/side",
		"#/seats/1/adjust/spread_cm/min", "#/seats/1/adjust/spread_cm/step", "#/seats/1/adjust/stern_pitch_deg", "#/seats/1/number", "#/seats/1/side",
	})
}

func TestBoatKeepsItsKindOfSeats(t *testing.T) {
	body := apitest.FullBoat()
	at := apitest.BoatPath(apitest.Created(t, "/api/v1/boats", body))
	said := refusedPut(t, at, apitest.Edited(body, 1, apitest.Object{"boat_class": "2x"}))
	if !strings.Contains(said["#/boat_class"], "another boat") {
		t.Errorf("told %v", said)
	}
}

func TestNamesOnRecordAreToldAtTheName(t *testing.T) {
	for path, body := range map[string]apitest.Object{"/api/v1/boats": apitest.BareBoat(), "/api/v1/oars": apitest.BareOars()} {
		apitest.Created(t, path, body)
		if said := apitest.Refused(t, path, body)["#/name"]; !strings.Contains(said, "on record") {
			t.Errorf("%s: told %q", path, said)
		}
	}
}

func TestOddBoatsAreCautioned(t *testing.T) {
	boat := apitest.OnRecord(t, apitest.BoatPath(apitest.Created(t, "/api/v1/boats", apitest.FullBoat())))
	apitest.Same(t, "two riggers on starboard", apitest.At(t, boat, "cautions.0.code"), "riggers_uneven")
	apitest.Same(t, "26 kg", apitest.At(t, boat, "cautions.1.code"), "hull_light")
}

// TestNewBoatAlternatesSides holds stroke on port and the sides in turn, as
// most boats are rigged; common practice.
func TestNewBoatAlternatesSides(t *testing.T) {
	boat := apitest.OnRecord(t, apitest.BoatPath(apitest.Created(t, "/api/v1/boats", apitest.Object{"name": apitest.Fresh("Four"), "boat_class": "4+", "by": "Bram"})))
	for i, side := range []string{"starboard", "port", "starboard", "port"} {
		apitest.Same(t, fmt.Sprintf("seat %d", i+1), apitest.At(t, boat, fmt.Sprintf("seats.%d.side", i)), side)
	}
	apitest.Near(t, "least spread", apitest.Number(t, boat, "seats.3.adjust.spread_cm.min"), 82, 0)
}

func TestOarsAreChecked(t *testing.T) {
	said := apitest.Refused(t, "/api/v1/oars", apitest.Edited(apitest.FullOars("sweep"), 0, apitest.Object{"version": nil, "count": -1, "by": ""}))
	apitest.Same(t, "unknown", apitest.Pointers(said), []string{"#/version"})
	bad := apitest.FullOars("sweep")
	bad["count"], bad["inboard_min_cm"], bad["length_step_cm"] = -1, 120.0, 30.0
	said = apitest.Refused(t, "/api/v1/oars", bad)
	apitest.Same(t, "oars", apitest.Pointers(said), []string{"#/count", "#/inboard_min_cm", "#/length_step_cm"})
}

func TestRecordsThatAreNotThere(t *testing.T) {
	for _, path := range []string{
		"/api/v1/boats/999999", "/api/v1/boats/999999/rig", "/api/v1/boats/999999/changes", "/api/v1/boats/x", "/api/v1/oars/999999", "/api/v1/oars/999999/changes",
	} {
		apitest.Problem(t, apitest.Request(http.MethodGet, path, "", ""), http.StatusNotFound)
	}
	for _, path := range []string{"/api/v1/boats/999999", "/api/v1/oars/999999"} {
		apitest.Problem(t, apitest.Request(http.MethodDelete, path, "", ""), http.StatusNotFound)
	}
	apitest.Problem(t, apitest.Request(http.MethodPut, "/api/v1/boats/999999/rig", apitest.JSONType, apitest.Encoded(t, apitest.Everything(1, true))), http.StatusNotFound)
	apitest.Problem(t, apitest.Request(http.MethodPut, "/api/v1/oars/999999", apitest.JSONType, apitest.Encoded(t, apitest.Edited(apitest.BareOars(), 1, nil))), http.StatusNotFound)
}

func TestNullIsAsLeftOut(t *testing.T) {
	s := apitest.OnRecord(t, fmt.Sprintf("/api/v1/oars/%d", apitest.Created(t, "/api/v1/oars", apitest.Object{"name": apitest.Fresh("N"), "kind": "scull", "by": "A", "count": nil, "length_cm": nil, "note": nil})))
	apitest.Same(t, "count", apitest.Number(t, s, "count"), 0.0)
}
