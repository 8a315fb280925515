package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"thole/api"
	"thole/api/rest"
	"thole/api/wire"
)

var silent = slog.New(slog.DiscardHandler)

// serveHandler serves h on a free port of this machine.
func serveHandler(t testing.TB, h http.Handler) string {
	t.Helper()
	server := httptest.NewServer(h)
	t.Cleanup(server.Close)
	return server.URL
}

// around serves the whole house with other pages.
func around(t testing.TB, pages http.Handler, log *slog.Logger) string {
	t.Helper()
	h, err := newHandler(api.NewService(nil), pages, new(reach), nil, log)
	if err != nil {
		t.Fatal(err)
	}
	return serveHandler(t, h)
}

func text(body string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = io.WriteString(w, body)
	})
}

func TestSecurityHeadersOnEveryAnswer(t *testing.T) {
	url := start(t, "serve", "-addr", "127.0.0.1:0").url
	foreign := map[string]string{"Sec-Fetch-Site": "cross-site"}
	for name, got := range map[string]answer{
		"page":         get(t, url+"/"),
		"no page":      get(t, url+"/no/such/page"),
		"health":       get(t, url+"/healthz"),
		"description":  get(t, url+"/api/v1/openapi.json"),
		"no route":     get(t, url+"/api/v1/nothing"),
		"JSON":         send(t, http.MethodPost, url+solvePath, solvable, asJSON),
		"bad JSON":     send(t, http.MethodPost, url+solvePath, "{", asJSON),
		"cross-origin": send(t, http.MethodPost, url+solvePath, solvable, foreign),
		"not asked":    send(t, http.MethodDelete, url+"/healthz", "", nil),
	} {
		for header, want := range map[string]string{
			"Content-Security-Policy":      contentPolicy,
			"X-Content-Type-Options":       "nosniff",
			"Referrer-Policy":              "same-origin",
			"Cross-Origin-Opener-Policy":   "same-origin",
			"Cross-Origin-Resource-Policy": "same-origin",
		} {
			if value := got.header.Get(header); value != want {
				t.Errorf("%s (status %d): %s is %q", name, got.status, header, value)
			}
		}
	}
}

func TestPathsThatDoNotExist(t *testing.T) {
	url := start(t, "serve", "-addr", "127.0.0.1:0").url
	page, route := get(t, url+"/no/such/page"), get(t, url+"/api/v1/nothing")
	wantStatus(t, page, http.StatusNotFound)
	wantStatus(t, route, http.StatusNotFound)
	if kind := page.header.Get("Content-Type"); !strings.HasPrefix(kind, "text/html") {
		t.Errorf("a missing page is %s", kind)
	}
	wantProblem(t, route)
}

func wantProblem(t *testing.T, got answer) wire.Problem {
	t.Helper()
	if kind := got.header.Get("Content-Type"); kind != "application/problem+json" {
		t.Fatalf("%s: %.200s", kind, got.body)
	}
	var p wire.Problem
	if err := json.Unmarshal([]byte(got.body), &p); err != nil {
		t.Fatal(err)
	}
	if p.Status != got.status {
		t.Errorf("the problem says %d, the answer %d", p.Status, got.status)
	}
	return p
}

func TestWritesFromOtherSites(t *testing.T) {
	url := around(t, text("written"), silent)
	own := strings.TrimPrefix(url, "http://")
	for _, c := range []struct {
		name, method string
		headers      map[string]string
		want         int
	}{
		{"a form on another site", http.MethodPost, map[string]string{"Sec-Fetch-Site": "cross-site"}, http.StatusForbidden},
		{"another port", http.MethodPut, map[string]string{"Sec-Fetch-Site": "same-site"}, http.StatusForbidden},
		{"an old browser elsewhere", http.MethodDelete, map[string]string{"Origin": "http://elsewhere.example"}, http.StatusForbidden},
		{"our own form", http.MethodPost, map[string]string{"Sec-Fetch-Site": "same-origin"}, http.StatusOK},
		{"our own form in an old browser", http.MethodPost, map[string]string{"Origin": "http://" + own}, http.StatusOK},
		{"a program", http.MethodPost, nil, http.StatusOK},
		{"a link on another site", http.MethodGet, map[string]string{"Sec-Fetch-Site": "cross-site"}, http.StatusOK},
	} {
		got := send(t, c.method, url+"/boats", "x=1", c.headers)
		if got.status != c.want {
			t.Errorf("%s: status %d, want %d", c.name, got.status, c.want)
		}
		if c.want == http.StatusForbidden && wantProblem(t, got).Detail == "" {
			t.Errorf("%s: refused without a word", c.name)
		}
	}
}

func TestNamesOfThisMachine(t *testing.T) {
	for host, want := range map[string]bool{
		"127.0.0.1:8080": true, "127.0.0.1": true, "127.9.9.9:1": true, "localhost": true, "LOCALHOST:8080": true, "[::1]:8080": true, "[::1]": true,
		"": false, "boats.example": false, "boats.example:8080": false, "localhost.boats.example": false, "127.0.0.1.boats.example": false,
		"192.0.2.1:8080": false, "0.0.0.0:8080": false, "[::]:8080": false,
	} {
		if got := namesThisMachine(host); got != want {
			t.Errorf("%q: %v, want %v", host, got, want)
		}
	}
}

func TestForeignNameForThisMachineIsRefused(t *testing.T) {
	h, err := newHandler(api.NewService(nil), text("secret"), new(reach), nil, silent)
	if err != nil {
		t.Fatal(err)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "http://boats.example/", nil))
	if w.Code != http.StatusMisdirectedRequest || strings.Contains(w.Body.String(), "secret") {
		t.Errorf("status %d: %s", w.Code, w.Body)
	}
}

func TestPanicIsAnsweredAndLogged(t *testing.T) {
	var log bytes.Buffer
	url := around(t, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Cache-Control", "max-age=31536000, immutable")
		panic("oar adrift")
	}), slog.New(slog.NewTextHandler(&log, nil)))
	got := get(t, url+"/")
	wantStatus(t, got, http.StatusInternalServerError)
	if p := wantProblem(t, got); strings.Contains(p.Detail, "adrift") || got.header.Get("Cache-Control") != "no-store" {
		t.Errorf("problem %+v, Cache-Control %q", p, got.header.Get("Cache-Control"))
	}
	if !strings.Contains(log.String(), "oar adrift") || !strings.Contains(log.String(), "handler_test.go") {
		t.Errorf("log without the fault and its place: %s", log.String())
	}
}

func TestPanicInTheMiddleBreaksTheAnswerOff(t *testing.T) {
	url := around(t, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = io.WriteString(w, strings.Repeat("half a page ", 10_000))
		panic("oar adrift")
	}), silent)
	response, err := http.Get(url)
	if err != nil {
		return // broken off before the headers went out
	}
	defer func() { _ = response.Body.Close() }()
	if _, err := io.ReadAll(response.Body); err == nil {
		t.Error("half an answer passes for a whole one")
	}
}

var zipped = map[string]string{"Accept-Encoding": "gzip"}

func unzip(t *testing.T, body string) string {
	t.Helper()
	r, err := gzip.NewReader(strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(plain)
}

func TestLongAnswersAreCompressed(t *testing.T) {
	page := strings.Repeat("<p>stroke and bow</p>", 500)
	got := send(t, http.MethodGet, around(t, text(page), silent), "", zipped)
	if got.header.Get("Content-Encoding") != "gzip" || !strings.Contains(got.header.Get("Vary"), "Accept-Encoding") {
		t.Fatalf("headers %v", got.header)
	}
	if len(got.body) > len(page)/10 || unzip(t, got.body) != page {
		t.Errorf("%d bytes of %d came over", len(got.body), len(page))
	}
}

func TestCompressedAnswersAreLeftAlone(t *testing.T) {
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, _ = io.WriteString(z, strings.Repeat("x", 100_000)+"end")
	_ = z.Close()
	body := packed.String() + strings.Repeat("\x00", 4096) // long enough to be worth compressing
	pages := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/css")
		w.Header().Set("Content-Encoding", "gzip")
		_, _ = io.WriteString(w, body)
	})
	if got := send(t, http.MethodGet, around(t, pages, silent), "", zipped); got.body != body {
		t.Errorf("%d bytes became %d", len(body), len(got.body))
	}
}

// slow is a handler that answers once it is let.
type slow struct{ entered, leave chan struct{} }

func (s slow) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	close(s.entered)
	select {
	case <-s.leave:
		_, _ = io.WriteString(w, "done")
	case <-r.Context().Done():
	}
}

// stopDuring asks for a slow answer, tells the server to stop while it is
// under way and calls then. It returns how serving ended, and the answer.
func stopDuring(t *testing.T, h slow, limit time.Duration, then func()) (served error, body string, asked error) {
	t.Helper()
	listener, err := (&settings{addr: "127.0.0.1:0"}).listen()
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- serveUntil(ctx, newServer(h, silent), listener, limit) }()
	answered := make(chan struct{})
	go func() {
		defer close(answered)
		body, asked = fetch("http://" + listener.Addr().String())
	}()
	<-h.entered
	cancel()
	waitClosed(t, listener.Addr())
	then()
	served = <-ended
	<-answered
	return served, body, asked
}

func fetch(url string) (string, error) {
	response, err := http.Get(url)
	if err != nil {
		return "", err
	}
	defer func() { _ = response.Body.Close() }()
	body, err := io.ReadAll(response.Body)
	return string(body), err
}

// waitClosed returns once nobody listens on addr.
func waitClosed(t *testing.T, addr net.Addr) {
	t.Helper()
	for deadline := time.Now().Add(patience); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		c, err := net.Dial(addr.Network(), addr.String())
		if err != nil {
			return
		}
		_ = c.Close()
	}
	t.Fatal("the port still takes connections")
}

func TestAnswersUnderWayAreFinishedBeforeTheStop(t *testing.T) {
	h := slow{make(chan struct{}), make(chan struct{})}
	served, body, asked := stopDuring(t, h, patience, func() { close(h.leave) })
	if served != nil || asked != nil || body != "done" {
		t.Errorf("served %v, asked %v, body %q", served, asked, body)
	}
}

func TestStopDoesNotWaitForEver(t *testing.T) {
	h := slow{make(chan struct{}), make(chan struct{})}
	served, body, asked := stopDuring(t, h, time.Millisecond, func() {})
	if served == nil || !strings.Contains(served.Error(), "still under way") || asked == nil {
		t.Errorf("served %v, asked %v, body %q", served, asked, body)
	}
}

func TestServerHasLimits(t *testing.T) {
	s := newServer(text(""), silent)
	for name, limit := range map[string]time.Duration{"header": s.ReadHeaderTimeout, "read": s.ReadTimeout, "write": s.WriteTimeout, "idle": s.IdleTimeout} {
		if limit <= 0 {
			t.Errorf("no limit: %s", name)
		}
	}
}

func TestBuildDescription(t *testing.T) {
	info := &debug.BuildInfo{GoVersion: "go1.26.0", Main: debug.Module{Version: "v1.2.3"}, Settings: []debug.BuildSetting{
		{Key: "vcs.revision", Value: "abc123"}, {Key: "vcs.modified", Value: "true"},
	}}
	want := "thole v1.2.3 revision abc123 with changes, interface " + rest.Version + ", go1.26.0"
	if got := describeBuild(info); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
