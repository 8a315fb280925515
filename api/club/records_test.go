package club_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
)

// TestANameAndItsPartsSayTheSame holds that either can be sent, that a program that
// knows only the name splits nothing wrongly, and that two that differ are refused.
func TestANameAndItsPartsSayTheSame(t *testing.T) {
	name := strings.ReplaceAll(apitest.Fresh("Perez"), " ", "q")
	id := apitest.Created(t, "/api/v1/athletes", apitest.Object{"name": "Gómez " + name + ", Ana", "by": "Ines"})
	at := fmt.Sprintf("/api/v1/athletes/%d", id)
	var a apitest.Object
	want := func(full, given, family string) {
		t.Helper()
		a = apitest.OnRecord(t, at)
		if label, _ := a["label"].(string); a["name"] != full || a["given_name"] != given || a["family_name"] != family || label == "" || strings.Contains(label, ",") {
			t.Errorf("%+v, want %s: %s | %s", a, full, given, family)
		}
	}
	put := func(o apitest.Object) {
		t.Helper()
		o["version"], o["by"] = a["version"], "Ines"
		if w := apitest.Request("PUT", at, "application/json", apitest.Encoded(t, o)); w.Code != 200 {
			t.Fatalf("%v: %d %s", o, w.Code, w.Body)
		}
	}
	want("Ana Gómez "+name, "Ana", "Gómez "+name)
	put(apitest.Object{"name": a["name"], "note": "left hand"})
	want("Ana Gómez "+name, "Ana", "Gómez "+name)
	put(apitest.Object{"name": a["name"], "given_name": "Ana Gómez", "family_name": name})
	want("Ana Gómez "+name, "Ana Gómez", name)
	put(apitest.Object{"name": "Anna " + name, "given_name": a["given_name"], "family_name": a["family_name"]})
	want("Anna "+name, "Anna", name)
	put(apitest.Object{"name": "", "given_name": "Eve", "family_name": name})
	want("Eve "+name, "Eve", name)
	said := apitest.Refused(t, "/api/v1/athletes", apitest.Object{"name": "Ann Lee", "given_name": "Bea", "family_name": "Moor", "by": "Ines"})
	if !strings.Contains(said["#/name"], "Bea Moor") {
		t.Errorf("said %v", said)
	}
}

func TestTheNameOfAnotherIsToldAtTheName(t *testing.T) {
	body := apitest.BareAthlete()
	apitest.Created(t, "/api/v1/athletes", body)
	if said := apitest.Refused(t, "/api/v1/athletes", body)["#/name"]; !strings.Contains(said, "on record") {
		t.Errorf("told %q", said)
	}
}

func TestAthletesAreChecked(t *testing.T) {
	said := apitest.Refused(t, "/api/v1/athletes", apitest.Object{"name": "", "sex": "f", "birth_date": "2999-01-01", "port_cost_s": -1.0, "starboard_cost_s": 61.0, "by": " "})
	apitest.Same(t, "athlete", apitest.Pointers(said), []string{"#/birth_date", "#/by", "#/name", "#/port_cost_s", "#/sex", "#/starboard_cost_s"})
	for _, day := range []string{"1.5.2012", "2012-02-30", "1850-01-01", "2012-5-1"} {
		if said := apitest.Refused(t, "/api/v1/athletes", apitest.Object{"name": "A", "birth_date": day, "by": "B"}); said["#/birth_date"] == "" {
			t.Errorf("born on %s is taken", day)
		}
	}
}

func TestMeasuresAreChecked(t *testing.T) {
	at := fmt.Sprintf("/api/v1/athletes/%d/measures", apitest.Created(t, "/api/v1/athletes", apitest.FullAthlete()))
	said := apitest.Refused(t, at, apitest.Object{"measured_on": "2012-04-30", "stature_cm": 1.72, "segments_cm": apitest.Object{"shank": 410.0}, "measured_by": ""})
	apitest.Same(t, "measures", apitest.Pointers(said), []string{"#/measured_by", "#/measured_on", "#/segments_cm/shank", "#/stature_cm"})
	if !strings.Contains(said["#/stature_cm"], "metres: 172 cm") || !strings.Contains(said["#/segments_cm/shank"], "millimetres: 41 cm") {
		t.Errorf("told %v", said)
	}
	apitest.Same(t, "nothing measured", apitest.Pointers(apitest.Refused(t, at, apitest.Object{"measured_on": "2026-01-01", "measured_by": "Ann"})), []string{"#/stature_cm"})
	apitest.Same(t, "two bodies", apitest.Pointers(apitest.Refused(t, at, apitest.Object{"measured_on": "2026-01-01", "measured_by": "Ann", "stature_cm": 200.0, "arm_span_cm": 150.0})), []string{"#/arm_span_cm"})
}

func TestMeasuresOfADayStandTillTheNext(t *testing.T) {
	id := apitest.Created(t, "/api/v1/athletes", apitest.FullAthlete())
	at := fmt.Sprintf("/api/v1/athletes/%d", id)
	apitest.Created(t, at+"/measures", apitest.Object{"measured_on": "2026-01-10", "stature_cm": 160.0, "mass_kg": 50.0, "measured_by": "Ann"})
	apitest.Created(t, at+"/measures", apitest.Object{"measured_on": "2026-05-10", "stature_cm": 163.0, "measured_by": "Ann"})
	before, after := apitest.OnRecord(t, at+"?as_of=2026-05-09"), apitest.OnRecord(t, at+"?as_of=2026-05-10")
	apitest.Near(t, "height before", apitest.Number(t, before, "rower.stature_cm"), 160, 0)
	apitest.Near(t, "height after", apitest.Number(t, after, "rower.stature_cm"), 163, 0)
	apitest.Near(t, "mass after", apitest.Number(t, after, "rower.mass_kg"), 50, 0)
	apitest.Near(t, "age", apitest.Number(t, after, "rower.age_years"), 14, 0)
	days := after["measured_on"].(apitest.Object)
	if days["mass_kg"] != "2026-01-10" || days["stature_cm"] != "2026-05-10" {
		t.Errorf("measured on %v", days)
	}
}

// TestGrowthIsCautioned: 3 cm in four months of a fourteen-year-old is growth
// that the rig feels; an adult's measures stand.
func TestGrowthIsCautioned(t *testing.T) {
	id := apitest.Created(t, "/api/v1/athletes", apitest.FullAthlete())
	at := fmt.Sprintf("/api/v1/athletes/%d", id)
	apitest.Created(t, at+"/measures", apitest.Object{"measured_on": "2026-01-10", "stature_cm": 160.0, "measured_by": "Ann"})
	apitest.Created(t, at+"/measures", apitest.Object{"measured_on": "2026-05-10", "stature_cm": 163.0, "measured_by": "Ann"})
	for day, want := range map[string][]string{"2026-05-11": {"growing"}, "2026-09-01": {"measure_again", "growing"}, "2026-01-11": nil, "2031-01-01": nil} {
		var codes []string
		for _, c := range apitest.OnRecord(t, at+"?as_of="+day)["cautions"].([]any) {
			codes = append(codes, c.(apitest.Object)["code"].(string))
		}
		apitest.Same(t, day, codes, want)
	}
}

func TestSearchFindsNamesWhateverTheAccents(t *testing.T) {
	apitest.Created(t, "/api/v1/athletes", apitest.Object{"name": apitest.Fresh("Zoë Åkerblom"), "by": "Ann"})
	found := apitest.OnRecord(t, "/api/v1/athletes?name=zoe+akerb")["athletes"].([]any)
	apitest.Same(t, "found", len(found), 1)
}

func TestAthletesWhoAreNotThere(t *testing.T) {
	for _, path := range []string{"/api/v1/athletes/999999", "/api/v1/athletes/999999/measures", "/api/v1/athletes/999999/changes", "/api/v1/athletes/x"} {
		apitest.Problem(t, apitest.Request(http.MethodGet, path, "", ""), http.StatusNotFound)
	}
	apitest.Problem(t, apitest.Request(http.MethodDelete, "/api/v1/athletes/999999", "", ""), http.StatusNotFound)
}
