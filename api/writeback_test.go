package api_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/api/access"
	"thole/api/apitest"
	"thole/api/store"
	"thole/api/storetest"
)

// demoServer serves the interface over the demo club to a coach who is signed in.
func demoServer(t testing.TB) *echo.Echo {
	t.Helper()
	records := apitest.DemoRecords(t)
	if _, err := storetest.AddAccount(records, store.Account{Name: "Ines", Role: "coach"}, "row the boat gently"); err != nil {
		t.Fatal(err)
	}
	s := api.NewService(records)
	t.Cleanup(s.Close)
	e := echo.New()
	api.Mount(e, s, slog.New(slog.DiscardHandler))
	return e
}

// asCoach is the context of a request of a coach who is signed in.
func asCoach(ctx context.Context) context.Context {
	return access.With(ctx, &access.Viewer{Account: 1, Name: "Ines", Role: access.Coach})
}

// ask sends a request of a coach with a JSON body, which may be empty.
func ask(e http.Handler, method, path, body string, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", apitest.JSONType)
	}
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r.WithContext(asCoach(r.Context())))
	return w
}

// writable lists the paths of the description that can be read and written.
func writable(t testing.TB) (paths []string) {
	t.Helper()
	for path, item := range apitest.Described(t).Paths.Map() {
		if item.Get != nil && (item.Put != nil || item.Patch != nil) {
			paths = append(paths, path)
		}
	}
	slices.Sort(paths)
	return paths
}

// things returns the addresses on the demo club that a path stands for, as its
// collection lists them.
func things(t testing.TB, e http.Handler, path string) (list []string) {
	t.Helper()
	collection, rest, many := strings.Cut(path, "/{")
	if !many {
		return []string{path} // there is one of it
	}
	parameter, below, _ := strings.Cut(rest, "}")
	w := ask(e, http.MethodGet, collection, "")
	if w.Code != http.StatusOK {
		t.Fatalf("GET %s: %d %.300s", collection, w.Code, w.Body)
	}
	for _, member := range apitest.Decoded[apitest.Object](t, w.Body.Bytes()) {
		items, _ := member.([]any)
		for _, item := range items {
			if id := item.(apitest.Object)[parameter]; id != nil {
				list = append(list, fmt.Sprintf("%s/%v%s", collection, id, below))
			}
		}
	}
	return list
}

// TestWhatWasReadCanBeWrittenBack reads every thing of the demo club that can be
// read and written, writes it back as it is, and finds it as it was.
func TestWhatWasReadCanBeWrittenBack(t *testing.T) {
	e := demoServer(t)
	if len(writable(t)) < 9 {
		t.Errorf("only %v can be read and written", writable(t))
	}
	enter(t, e, http.MethodPut, "/api/v1/mappings/ours", `{"mapping":`+apitest.PlainMapping+`}`)
	enter(t, e, http.MethodPost, "/api/v1/squads", `{"name":"Ours","athlete_ids":[1,2]}`)
	race := enter(t, e, http.MethodPost, apitest.RacesPath, raceOfTwo)
	enter(t, e, http.MethodPut, fmt.Sprintf("%s/%v/pieces/1", apitest.RacesPath, race["id"]), `{"key":"k","typed":["3:10.4","+1.2"]}`)
	for _, path := range writable(t) {
		list := things(t, e, path)
		if len(list) == 0 {
			t.Errorf("%s: the demo club has none", path)
		}
		for _, at := range list {
			writeBack(t, e, path, at)
		}
	}
}

// raceOfTwo is a seat race with much of what one can hold.
const raceOfTwo = `{"name":"Saturday","held_on":"2026-03-14","boat_class":"2x","note":"flat",
	"athletes":[{"name":"Ann","side":"port"},{"name":"Bea"},{"name":"Cat"},{"name":"Dot"}],
	"pieces":[{"crews":[["Ann","Bea"],["Cat","Dot"]],"note":"start"},{"crews":[["Cat","Bea"],["Ann","Dot"]]}],
	"terms":{"boats":2,"rest_min":10,"expected_time_s":190,"mean_power_w":300,"prior":{"sd_s":1,"means_s":{"Ann":0.5}}}}`

// enter puts something on record and returns the answer.
func enter(t testing.TB, e http.Handler, method, path, body string) apitest.Object {
	t.Helper()
	w := ask(e, method, path, body)
	if w.Code >= 300 {
		t.Fatalf("%s %s: %d %.500s", method, path, w.Code, w.Body)
	}
	return apitest.Decoded[apitest.Object](t, w.Body.Bytes())
}

func writeBack(t *testing.T, e http.Handler, path, at string) {
	t.Helper()
	before := ask(e, http.MethodGet, at, "")
	if before.Code != http.StatusOK {
		t.Errorf("GET %s: %d %.300s", at, before.Code, before.Body)
		return
	}
	read := before.Body.String()
	if err := fitsRequest(t, "PUT "+path, decodedAny(t, read)); err != nil {
		t.Errorf("PUT %s: what was read does not fit the description: %v", at, err)
	}
	tag := before.Header().Get("ETag")
	if w := ask(e, http.MethodGet, at, "", "If-None-Match", `"x", `+tag); w.Code != http.StatusNotModified || w.Body.Len() > 0 || w.Header().Get("ETag") != tag {
		t.Errorf("GET %s, read again: %d %.300s", at, w.Code, w.Body)
	}
	apitest.Problem(t, ask(e, http.MethodPut, at, read, "If-Match", `"x"`), http.StatusPreconditionFailed)
	apitest.Problem(t, ask(e, http.MethodPut, at, read, "If-None-Match", "*"), http.StatusPreconditionFailed)
	if w := ask(e, http.MethodPut, at, read, "If-Match", tag); w.Code != http.StatusOK {
		t.Errorf("PUT %s: %d %.600s", at, w.Code, w.Body)
		return
	}
	after := ask(e, http.MethodGet, at, "").Body.String()
	if !reflect.DeepEqual(unversioned(t, after), unversioned(t, read)) {
		t.Errorf("PUT %s changed\n%s\nto\n%s", at, read, after)
	}
}

func decodedAny(t testing.TB, text string) (v any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// unversioned is a document without what a writing that changes nothing may count up.
func unversioned(t testing.TB, text string) any {
	t.Helper()
	v := decodedAny(t, text)
	if o, ok := v.(apitest.Object); ok {
		delete(o, "version")
		delete(o, "saved_at")
	}
	return v
}
