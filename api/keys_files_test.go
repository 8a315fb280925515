package api_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"thole/api/apitest"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
)

// sendForm posts a multipart request with a key; each has a boundary of its own, as
// whoever sends again makes another one.
func sendForm(e http.Handler, path, key string, parts ...apitest.Part) *httptest.ResponseRecorder {
	r := apitest.MultipartRequest(path, parts...)
	r.Header.Set("Idempotency-Key", key)
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r.WithContext(asCoach(r.Context())))
	return w
}

func replayed(w *httptest.ResponseRecorder) bool {
	return w.Header().Get("Idempotency-Replayed") == "true"
}

// imports are a table for every import, and where what it brings is listed.
var imports = map[string][2]string{
	"/api/v1/boats":    {"Boat,Class,Seat,Side,Spread\nQuill,2-,1,port,85\nQuill,2-,2,starboard,85\n", "/api/v1/boats"},
	"/api/v1/oars":     {"Set,Kind,How many,Length\nQuill,sweep,8,376\n", "/api/v1/oars"},
	"/api/v1/athletes": {"Name,Born,Weight,2k,2k date\nQuill,2001-04-30,70 kg,7:00.0,2026-01-10\n", "/api/v1/athletes"},
	"/api/v1/squad":    {"name,sculls,port_cost_s\nQuill,yes,1\n", "/api/v1/athletes"},
}

// TestAnImportWithAKeyCountsOnce sends tables again, one after the other and all at
// once: what the first brought is there once, and removed it does not come back.
func TestAnImportWithAKeyCountsOnce(t *testing.T) {
	for path, about := range imports {
		e := demoServer(t)
		send := func(key, table string) *httptest.ResponseRecorder {
			return sendForm(e, path+"/import", key, apitest.Value("by", "Ines"), apitest.FileOf(table))
		}
		list := func() string { return ask(e, http.MethodGet, about[1], "").Body.String() }
		if first := send("k", about[0]); first.Code != http.StatusOK || replayed(first) {
			t.Fatalf("%s: %d %s", path, first.Code, first.Body)
		}
		one := list()
		if !strings.Contains(one, "Quill") {
			t.Fatalf("%s brought nothing", path)
		}
		if again := send("k", about[0]); again.Code != http.StatusNoContent || !replayed(again) {
			t.Errorf("%s again: %d %s", path, again.Code, again.Body)
		}
		apitest.Problem(t, send("k", strings.ReplaceAll(about[0], "Quill", "Quilt")), http.StatusUnprocessableEntity)
		apitest.Same(t, path+": the list", list(), one)

		var all sync.WaitGroup
		codes := make([]int, 6)
		for i := range codes {
			all.Go(func() { codes[i] = send("all", strings.ReplaceAll(about[0], "Quill", "Quaver")).Code })
		}
		all.Wait()
		did := map[int]int{}
		for _, code := range codes {
			did[code]++
		}
		if did[http.StatusOK] != 1 || did[http.StatusNoContent] != 5 {
			t.Errorf("%s at once: %v", path, codes)
		}
		refused := sendForm(e, path+"/import", "refused", apitest.FileOf(about[0])) // without a name
		apitest.Problem(t, refused, http.StatusUnprocessableEntity)
		if again := sendForm(e, path+"/import", "refused", apitest.Value("by", "Ines"), apitest.FileOf(about[0])); again.Code != http.StatusOK {
			t.Errorf("%s: what was refused cannot be sent again: %d %s", path, again.Code, again.Body)
		}
	}
}

// TestAnUploadWithAKeyCountsOnce sends a file again, whose answer is the first one's.
func TestAnUploadWithAKeyCountsOnce(t *testing.T) {
	e := demoServer(t)
	file := apitest.FileOf(apitest.Rows(12, apitest.Known))
	first := sendForm(e, apitest.UploadsPath, "k", file)
	if first.Code != http.StatusCreated || replayed(first) {
		t.Fatalf("%d %s", first.Code, first.Body)
	}
	again := sendForm(e, apitest.UploadsPath, "k", file)
	if again.Code != http.StatusCreated || !replayed(again) {
		t.Errorf("again: %d %v", again.Code, again.Header())
	}
	apitest.Same(t, "the upload", again.Body.String(), first.Body.String())
	apitest.Problem(t, sendForm(e, apitest.UploadsPath, "k", apitest.FileOf(apitest.Rows(13, apitest.Known))), http.StatusUnprocessableEntity)

	ids := make([]string, 6)
	var all sync.WaitGroup
	for i := range ids {
		all.Go(func() {
			ids[i] = apitest.Decoded[strokefile.Upload](t, sendForm(e, apitest.UploadsPath, "all", file).Body.Bytes()).ID
		})
	}
	all.Wait()
	for _, id := range ids {
		if id != ids[0] || id == "" {
			t.Errorf("at once: %v", ids)
		}
	}
	enter(t, e, http.MethodDelete, first.Header().Get("Location"), "")
	apitest.Problem(t, sendForm(e, apitest.UploadsPath, "k", file), http.StatusGone)
}

// TestAJobWithAKeyCountsOnce keeps recordings as a job, sends the same again while the
// job goes on and afterwards, and all at once.
func TestAJobWithAKeyCountsOnce(t *testing.T) {
	e := demoServer(t)
	upload := func() string {
		w := sendForm(e, apitest.UploadsPath, fmt.Sprint("of ", time.Now().UnixNano()), apitest.FileOf(apitest.Rows(20, apitest.Known)))
		return apitest.Decoded[strokefile.Upload](t, w.Body.Bytes()).ID
	}
	count := func() int {
		w := ask(e, http.MethodGet, apitest.RecordingsPath, "")
		return len(apitest.Decoded[strokes.RecordingList](t, w.Body.Bytes()).Recordings)
	}
	keep := func(key, upload string) *httptest.ResponseRecorder {
		body := apitest.Encoded(t, apitest.KeepingOf(upload, nil, 1))
		return ask(e, http.MethodPost, apitest.RecordingsPath, body, "Prefer", "respond-async", "Idempotency-Key", key)
	}
	file, none := upload(), count()
	first := keep("k", file)
	if first.Code != http.StatusAccepted || replayed(first) {
		t.Fatalf("%d %s", first.Code, first.Body)
	}
	at := first.Header().Get("Location")
	for range 2 { // while it goes on, or when it is done: the same job
		again := keep("k", file)
		if again.Code != http.StatusAccepted || !replayed(again) || again.Header().Get("Location") != at {
			t.Errorf("again: %d %v %s", again.Code, again.Header(), again.Body)
		}
		ended(t, e, at, "done")
	}
	apitest.Problem(t, keep("k", upload()), http.StatusUnprocessableEntity)
	if got := count(); got != none+1 {
		t.Errorf("%d recordings came of it", got-none)
	}

	file = upload()
	jobs := make([]string, 6)
	var all sync.WaitGroup
	for i := range jobs {
		all.Go(func() { jobs[i] = keep("all", file).Header().Get("Location") })
	}
	all.Wait()
	for _, job := range jobs {
		if job != jobs[0] || job == "" {
			t.Errorf("at once: %v", jobs)
		}
	}
	ended(t, e, jobs[0], "done")
	if got := count(); got != none+2 {
		t.Errorf("%d recordings came of both", got-none)
	}

	gone := keep("failed", "NONE")
	ended(t, e, gone.Header().Get("Location"), "failed")
	if again := keep("failed", "NONE"); again.Code != http.StatusAccepted || replayed(again) || again.Header().Get("Location") == gone.Header().Get("Location") {
		t.Errorf("what failed cannot be asked for again: %d %v", again.Code, again.Header())
	}
}

// ended waits for a job to end in a state.
func ended(t *testing.T, e http.Handler, at, state string) {
	t.Helper()
	for start := time.Now(); time.Since(start) < time.Minute; time.Sleep(5 * time.Millisecond) {
		job := apitest.Decoded[wire.Job](t, ask(e, http.MethodGet, at, "").Body.Bytes())
		if job.State == state {
			return
		}
		if job.State != "running" {
			t.Fatalf("%s: %+v", at, job)
		}
	}
	t.Fatal(at, "goes on")
}
