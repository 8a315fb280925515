package main

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"thole/api"
	"thole/api/gate"
)

// TestFiguresForAProgramThatWatches holds that requests are counted by kind alone,
// at an address of their own.
func TestFiguresForAProgramThatWatches(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-metrics", "127.0.0.1:0", "-log-json=false")
	for _, path := range []string{"/", "/athletes/4711", "/api/v1/boats", "/api/v1/boats/4712", "/healthz", "/readyz"} {
		get(t, p.url+path)
	}
	if got := get(t, p.url+"/metrics"); got.status != http.StatusNotFound {
		t.Errorf("the club's own address shows them: %d", got.status)
	}
	p.end(t)
	found := regexp.MustCompile(`msg=metrics url=(http://127\.0\.0\.1:\d+/metrics)`).FindStringSubmatch(p.log.String())
	if found == nil {
		t.Fatalf("the log does not say where: %s", p.log)
	}
	m := newMetrics(api.NewService(nil))
	h := m.around(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/none" {
			w.WriteHeader(http.StatusNotFound)
		}
		_, _ = io.WriteString(w, "x")
	}))
	for _, asked := range [][2]string{{"GET", "/athletes/ashgrove"}, {"GET", "/none"}, {"POST", "/api/v1/boats"}, {"BREW", "/assets/x"}} {
		h.ServeHTTP(httptest.NewRecorder(), httptest.NewRequest(asked[0], asked[1], nil))
	}
	text := figures(t, m)
	for _, want := range []string{
		`thole_request_seconds_count{kind="page",method="GET",status="200"} 1`, `thole_request_seconds_count{kind="page",method="GET",status="404"} 1`,
		`thole_request_seconds_count{kind="interface",method="POST",status="200"} 1`, `kind="asset",method="other"`, "thole_heavy_waiting 0", "thole_jobs 0", "go_goroutines", "process_resident_memory_bytes",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.Contains(text, "ashgrove") || strings.Contains(text, "BREW") {
		t.Error("the figures tell what was asked for")
	}
}

// figures are the metrics as they are served.
func figures(t *testing.T, m *metrics) string {
	t.Helper()
	list, err := m.all.Gather()
	if err != nil || len(list) == 0 {
		t.Fatal(len(list), err)
	}
	server := httptest.NewServer(m.handler())
	defer server.Close()
	got := get(t, server.URL+"/metrics")
	wantStatus(t, got, http.StatusOK)
	if !strings.HasPrefix(got.header.Get("Content-Type"), "text/plain") {
		t.Errorf("type %s", got.header.Get("Content-Type"))
	}
	return got.body
}

// TestTheLogAsJSON holds that each line is one object, with no name, address of a
// person or query in it.
func TestTheLogAsJSON(t *testing.T) {
	var log strings.Builder
	h := observed(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("a fault") }), newLog(streams{err: &log}, true, true))
	h.ServeHTTP(httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, "/setup?s1=Ann+Lee", nil))
	lines := strings.Split(strings.TrimSpace(log.String()), "\n")
	if len(lines) != 2 || strings.Contains(log.String(), "Ann") {
		t.Errorf("%q", lines)
	}
	for _, line := range lines {
		var one struct{ Time, Level, Msg, Path string }
		if err := json.Unmarshal([]byte(line), &one); err != nil || one.Path != "/setup" || one.Msg == "" {
			t.Errorf("%q: %v", line, err)
		}
	}
}

func TestReadyWhileThereIsRoom(t *testing.T) {
	service := api.NewService(nil)
	service.Club.Gate = gate.New(gate.Limits{AtOnce: 1, Patience: patience, Longest: patience})
	h := ready(service, healthy(service, silent))
	ask := func() int {
		w := httptest.NewRecorder()
		h(w, httptest.NewRequest(http.MethodGet, "/readyz", nil))
		return w.Code
	}
	if code := ask(); code != http.StatusOK {
		t.Errorf("with room: %d", code)
	}
	_, _, err := service.Club.Gate.Enter(t.Context())
	if code := ask(); err != nil || code != http.StatusServiceUnavailable {
		t.Errorf("without: %d %v", code, err)
	}
}
