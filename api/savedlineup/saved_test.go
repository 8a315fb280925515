package savedlineup_test

import (
	"fmt"
	"net/http"
	"slices"
	"testing"
	"time"

	"thole/api/apitest"
)

func TestSavedLineups(t *testing.T) {
	body := apitest.SavedPair(t)
	id := apitest.Created(t, apitest.SavedPath, body)
	at := fmt.Sprintf("%s/%d", apitest.SavedPath, id)
	got := apitest.Decoded[apitest.Object](t, apitest.Request(http.MethodGet, at, "", "").Body.Bytes())
	for _, name := range []string{"name", "boat_class", "boat_id", "rows_on", "source", "note", "cox_mass_kg"} {
		apitest.Same(t, name, fmt.Sprint(got[name]), fmt.Sprint(body[name]))
	}
	wantSaved(t, got, "Ines")
	list := apitest.Decoded[apitest.Object](t, apitest.Request(http.MethodGet, apitest.SavedPath, "", "").Body.Bytes())["lineups"].([]any)
	i := slices.IndexFunc(list, func(l any) bool { return l.(apitest.Object)["id"] == got["id"] })
	apitest.Same(t, "saved, in the list", []any{list[i].(apitest.Object)["saved_by"], list[i].(apitest.Object)["saved_at"]}, []any{got["saved_by"], got["saved_at"]})
	seat := got["seats"].([]any)[0].(apitest.Object)
	if seat["side"] != "starboard" || seat["name"] == "" || seat["athlete_id"] == nil {
		t.Errorf("%v", seat)
	}
	apitest.Same(t, "removed", apitest.Request(http.MethodDelete, at, "", "").Code, http.StatusOK)
	apitest.Same(t, "after that", apitest.Request(http.MethodGet, at, "", "").Code, http.StatusNotFound)
	apitest.Same(t, "and again", apitest.Request(http.MethodDelete, at, "", "").Code, http.StatusNotFound)
}

// wantSaved fails unless a line-up says that somebody saved it just now.
func wantSaved(t *testing.T, l apitest.Object, by string) {
	t.Helper()
	apitest.Same(t, "saved by", l["saved_by"], any(by))
	at, err := time.Parse(time.RFC3339, fmt.Sprint(l["saved_at"]))
	if ago := time.Since(at); err != nil || ago < -time.Second || ago > time.Minute {
		t.Errorf("saved at %v: %v ago, %v", l["saved_at"], ago, err)
	}
}

func TestLineupsThatCannotBeSaved(t *testing.T) {
	someone := apitest.KnownAthlete(t)
	seat := func(side string) any { return apitest.Object{"athlete_id": someone, "side": side} }
	for name, c := range map[string]struct {
		member  string
		value   any
		pointer string
	}{
		"no name":    {"name", " ", "#/name"},
		"no author":  {"by", "", "#/by"},
		"one seat":   {"seats", []any{seat("port")}, "#/seats"},
		"twice":      {"seats", []any{seat("port"), seat("starboard")}, "#/seats/1/athlete_id"},
		"no side":    {"seats", []any{seat(""), apitest.Object{"athlete_id": nil, "side": "port"}}, "#/seats/0/side"},
		"heavy cox":  {"cox_mass_kg", 900, "#/cox_mass_kg"},
		"other boat": {"boat_class", "9x", "#/boat_class"},
		"which day":  {"rows_on", "tomorrow", "#/rows_on"},
	} {
		if said := apitest.Refused(t, apitest.SavedPath, apitest.Put(apitest.SavedPair(t), c.member, c.value)); said[c.pointer] == "" {
			t.Errorf("%s: %q", name, said)
		}
	}
	stranger := apitest.Put(apitest.SavedPair(t), "seats", []any{apitest.Object{"athlete_id": 999999, "side": "port"}, apitest.Object{"athlete_id": nil, "side": "starboard"}})
	apitest.Same(t, "a stranger", apitest.Post(t, apitest.SavedPath, stranger).Code, http.StatusNotFound)
}
