package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"

	"thole/api/apitest"
)

// TestACreationWithAKeyCountsOnce sends creations of several areas again with
// their key, one after the other and all at once.
func TestACreationWithAKeyCountsOnce(t *testing.T) {
	e := demoServer(t)
	for path, body := range map[string]string{
		"/api/v1/athletes":            `{"name":"Quill"}`,
		"/api/v1/boats":               `{"name":"Quill","boat_class":"1x"}`,
		"/api/v1/squads":              `{"name":"Quill","athlete_ids":[1]}`,
		"/api/v1/lineups":             `{"name":"Quill","boat_class":"1x","seats":[{"athlete_id":1}]}`,
		"/api/v1/athletes/1/measures": `{"measured_on":"2026-01-10","stature_cm":171.1}`,
		apitest.RacesPath:             raceOfTwo,
	} {
		list := func() string { return ask(e, http.MethodGet, path, "").Body.String() }
		none := list()
		first := ask(e, http.MethodPost, path, body, "Idempotency-Key", "key of "+path)
		if first.Code != http.StatusCreated || first.Header().Get("Idempotency-Replayed") != "" {
			t.Errorf("POST %s: %d %.400s", path, first.Code, first.Body)
			continue
		}
		one := list()
		for range 2 {
			again := ask(e, http.MethodPost, path, body, "Idempotency-Key", "key of "+path)
			if again.Header().Get("Idempotency-Replayed") != "true" || again.Header().Get("Location") != first.Header().Get("Location") {
				t.Errorf("POST %s again: %v", path, again.Header())
			}
			if again.Code == http.StatusCreated {
				same(t, path, first.Body.String(), again.Body.String())
			} else if again.Code != http.StatusNoContent || again.Body.Len() > 0 {
				t.Errorf("POST %s again: %d %.300s", path, again.Code, again.Body)
			}
		}
		apitest.Same(t, path+": the list", list(), one)
		if one == none {
			t.Errorf("POST %s left no trace in the list", path)
		}
		other := strings.Replace(strings.Replace(body, "Quill", "Quilt", 1), "171.1", "172.1", 1)
		apitest.Problem(t, ask(e, http.MethodPost, path, strings.Replace(other, "flat", "wind", 1), "Idempotency-Key", "key of "+path), http.StatusUnprocessableEntity)
		apitest.Same(t, path+": the list after another request", list(), one)
		if at := first.Header().Get("Location"); at != "" && path != "/api/v1/lineups" {
			enter(t, e, http.MethodDelete, at, "")
			apitest.Problem(t, ask(e, http.MethodPost, path, body, "Idempotency-Key", "key of "+path), http.StatusGone)
		}
	}
}

// same checks that all that was answered first is answered again.
func same(t *testing.T, path, first, again string) {
	t.Helper()
	later := decodedAny(t, again).(apitest.Object)
	for name, value := range decodedAny(t, first).(apitest.Object) {
		apitest.Same(t, path+": "+name, later[name], value)
	}
}

// TestOfCreationsAtOnceOneCounts: ten phones send the same.
func TestOfCreationsAtOnceOneCounts(t *testing.T) {
	e := demoServer(t)
	var wait sync.WaitGroup
	for range 10 {
		wait.Go(func() {
			if w := ask(e, http.MethodPost, "/api/v1/athletes", `{"name":"Quill"}`, "Idempotency-Key", "k"); w.Code != http.StatusCreated {
				t.Errorf("%d %.300s", w.Code, w.Body)
			}
		})
	}
	wait.Wait()
	if n := strings.Count(ask(e, http.MethodGet, "/api/v1/athletes?name=Quill", "").Body.String(), `"id"`); n != 1 {
		t.Errorf("%d athletes", n)
	}
}

// TestARefusedCreationMayBeMended under its key: nothing of it was counted.
func TestARefusedCreationMayBeMended(t *testing.T) {
	e := demoServer(t)
	apitest.Problem(t, ask(e, http.MethodPost, "/api/v1/athletes", `{"name":""}`, "Idempotency-Key", "k"), http.StatusUnprocessableEntity)
	if w := ask(e, http.MethodPost, "/api/v1/athletes", `{"name":"Quill"}`, "Idempotency-Key", "k"); w.Code != http.StatusCreated {
		t.Errorf("%d %.300s", w.Code, w.Body)
	}
	apitest.Problem(t, ask(e, http.MethodPost, "/api/v1/athletes", `{"name":"Quill"}`, "Idempotency-Key", strings.Repeat("k", 201)), http.StatusBadRequest)
}

// TestNothingOfAPersonStaysWithAKey: the key is remembered, what it made is not.
func TestNothingOfAPersonStaysWithAKey(t *testing.T) {
	e := demoServer(t)
	w := ask(e, http.MethodPost, "/api/v1/athletes", `{"name":"Zebedee Quillfeather"}`, "Idempotency-Key", "k")
	var made struct{ ID int64 }
	if err := json.Unmarshal(w.Body.Bytes(), &made); err != nil || made.ID == 0 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	enter(t, e, http.MethodDelete, fmt.Sprintf("/api/v1/athletes/%d", made.ID), "")
	again := ask(e, http.MethodPost, "/api/v1/athletes", `{"name":"Zebedee Quillfeather"}`, "Idempotency-Key", "k")
	if strings.Contains(apitest.Problem(t, again, http.StatusGone).Detail, "Zebedee") || strings.Contains(again.Body.String(), "Quill") {
		t.Errorf("%s", again.Body)
	}
}
