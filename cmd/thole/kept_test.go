package main

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"thole/api/access"
)

// counting answers with how many times it was asked.
type counting struct {
	asked  int
	status int
}

func (c *counting) ServeHTTP(w http.ResponseWriter, _ *http.Request) {
	c.asked++
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(c.status)
	_, _ = fmt.Fprint(w, "answer ", c.asked)
}

func TestAnswersAreKeptUntilSomethingIsWritten(t *testing.T) {
	version, day, inner := int64(1), "2026-05-01", &counting{status: http.StatusOK}
	k := &kept{version: func(context.Context) (int64, error) { return version, nil }, today: func() string { return day }, next: inner}
	ask := func(v *access.Viewer, method, path string, headers ...string) string {
		w, r := httptest.NewRecorder(), httptest.NewRequest(method, path, nil)
		r.Header.Set("Accept-Encoding", "gzip")
		for i := 0; i < len(headers); i += 2 {
			r.Header.Set(headers[i], headers[i+1])
		}
		k.ServeHTTP(w, r.WithContext(access.With(r.Context(), v)))
		if w.Header().Get("Cache-Control") != "no-store" {
			t.Errorf("%s: the headers are lost: %v", path, w.Header())
		}
		if w.Header().Get("Content-Encoding") == "gzip" {
			return unzip(t, w.Body.String())
		}
		return w.Body.String()
	}
	coach, other := &access.Viewer{Role: access.Coach, Account: 1}, &access.Viewer{Role: access.Athlete, Account: 2, Athlete: 7}
	for i, c := range []struct {
		what string
		then func()
		ask  func() string
		want string
	}{
		{"the first time", nil, func() string { return ask(coach, "GET", "/athletes/7") }, "answer 1"},
		{"again", nil, func() string { return ask(coach, "GET", "/athletes/7") }, "answer 1"},
		{"somebody else", nil, func() string { return ask(other, "GET", "/athletes/7") }, "answer 2"},
		{"the same with another role", nil, func() string { return ask(&access.Viewer{Role: access.Boatman, Account: 1}, "GET", "/athletes/7") }, "answer 3"},
		{"another address", nil, func() string { return ask(coach, "GET", "/athletes/7?as_of=2026-01-01") }, "answer 4"},
		{"a fragment", nil, func() string { return ask(coach, "GET", "/athletes/7", "HX-Request", "true") }, "answer 5"},
		{"another format", nil, func() string { return ask(coach, "GET", "/athletes/7", "Accept", "text/csv") }, "answer 6"},
		{"a write", nil, func() string { return ask(coach, "POST", "/athletes/7") }, "answer 7"},
		{"what lies in memory", nil, func() string { return ask(coach, "GET", "/api/v1/jobs/7") }, "answer 8"},
		{"who takes no compression", nil, func() string { return ask(coach, "GET", "/athletes/7", "Accept-Encoding", "identity") }, "answer 9"},
		{"still the first", nil, func() string { return ask(coach, "GET", "/athletes/7") }, "answer 1"},
		{"after a write", func() { version++ }, func() string { return ask(coach, "GET", "/athletes/7") }, "answer 10"},
		{"the next day", func() { day = "2026-05-02" }, func() string { return ask(coach, "GET", "/athletes/7") }, "answer 11"},
		{"a failure", func() { inner.status, version = http.StatusNotFound, 3 }, func() string { return ask(coach, "GET", "/athletes/7") }, "answer 12"},
		{"a failure again", nil, func() string { return ask(coach, "GET", "/athletes/7") }, "answer 13"},
	} {
		if c.then != nil {
			c.then()
		}
		if got := c.ask(); got != c.want {
			t.Errorf("%d, %s: %q, want %q", i, c.what, got, c.want)
		}
	}
}

// TestAKeptAnswerKeepsItsTag, another one where it is compressed, and is not sent to
// a reader who has it.
func TestAKeptAnswerKeepsItsTag(t *testing.T) {
	k := &kept{
		version: func(context.Context) (int64, error) { return 1, nil }, today: func() string { return "2026-05-01" },
		next: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("ETag", `"1.x"`)
			_, _ = fmt.Fprint(w, "body")
		}),
	}
	for i, c := range []struct {
		have, tag string
		status    int
	}{{"", `"1.x"`, 200}, {"", `"1.x-gzip"`, 200}, {`"1.x-gzip"`, `"1.x"`, 304}, {`"1.x"`, `"1.x"`, 304}, {`"2.x"`, `"1.x-gzip"`, 200}} {
		w, r := httptest.NewRecorder(), httptest.NewRequest("GET", "/api/v1/boats/7", nil)
		r.Header.Set("Accept-Encoding", "gzip")
		if c.have != "" {
			r.Header.Set("If-None-Match", c.have)
		}
		k.ServeHTTP(w, r.WithContext(access.With(r.Context(), &access.Viewer{Role: access.Coach})))
		if w.Code != c.status || w.Header().Get("ETag") != c.tag || c.status == 304 && w.Body.Len() > 0 {
			t.Errorf("%d: %d %s, %d bytes", i, w.Code, w.Header().Get("ETag"), w.Body.Len())
		}
	}
}

// TestKeptAnswersAreBounded, and what was written meanwhile is not overtaken.
func TestKeptAnswersAreBounded(t *testing.T) {
	k := &kept{}
	k.find("1", "x")
	k.keep("2", "x", http.Header{}, []byte("late"))
	if k.find("1", "x") != nil {
		t.Error("an answer of another state of the records is kept")
	}
	k.bytes = mostKept
	k.keep("1", "y", http.Header{}, []byte("one too many"))
	if k.find("1", "y") != nil {
		t.Error("more is kept than there is room for")
	}
}

// formKey is the key that lets a form count once: each page gets another one.
var formKey = regexp.MustCompile(`name="once" value="\w+"`)

// TestAKeptAnswerIsWhatAFreshOneSays over the demo, for every kind of address whose
// answers are kept: whoever takes no compression is answered afresh.
func TestAKeptAnswerIsWhatAFreshOneSays(t *testing.T) {
	p := start(t, "demo", "-addr", "127.0.0.1:0")
	for _, path := range []string{
		"/boats", "/boats/1", "/athletes", "/athletes/1", "/oars", "/sheets", "/sheets/1", "/squad", "/squad?class=4-",
		"/api/v1/boats", "/api/v1/boats/1", "/api/v1/athletes?limit=5", "/api/v1/oars/1", "/api/v1/sheets/1",
		"/api/v1/recordings?limit=2", "/api/v1/recordings/1", "/api/v1/seat-races", "/api/v1/seat-races/1", "/api/v1/squads", "/api/v1/squads/1",
		"/api/v1/lineups", "/api/v1/lineups/1", "/api/v1/tasks", "/api/v1/squad/evidence", "/api/v1/selection/squad?boat_class=8%2B",
	} {
		name, _, _ := strings.Cut(path, "?")
		if !keepable.MatchString(name) {
			t.Errorf("%s is not kept", path)
		}
		fresh := send(t, http.MethodGet, p.url+path, "", map[string]string{"Accept-Encoding": "identity"})
		send(t, http.MethodGet, p.url+path, "", zipped)
		again := send(t, http.MethodGet, p.url+path, "", zipped)
		if fresh.status != http.StatusOK || again.status != http.StatusOK || formKey.ReplaceAllString(unzip(t, again.body), "") != formKey.ReplaceAllString(fresh.body, "") {
			t.Errorf("%s: %d %.200s\nfrom memory: %d", path, fresh.status, fresh.body, again.status)
		}
		if link := fresh.header.Get("Link"); again.header.Get("Link") != link {
			t.Errorf("%s: %q, want %q", path, again.header.Get("Link"), link)
		}
	}
	for _, path := range []string{"/", "/recordings", "/line-ups", "/setup", "/api/v1/jobs/1", "/api/v1/uploads/1", "/api/v1/recordings/1/samples", "/api/v1/me", "/squads"} {
		if keepable.MatchString(path) {
			t.Errorf("%s is kept", path)
		}
	}
}

// TestAWriteIsSeenAtOnce asks a whole server before and after.
func TestAWriteIsSeenAtOnce(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0")
	list := func() string {
		got := send(t, http.MethodGet, p.url+"/api/v1/athletes", "", zipped)
		if got.header.Get("Content-Encoding") == "gzip" {
			return unzip(t, got.body)
		}
		return got.body
	}
	before := list()
	if again := list(); again != before {
		t.Error("two answers")
	}
	for i := range 3 {
		body := fmt.Sprintf(`{"name":"Ann Lee %d","by":"Ines"}`, i)
		wantStatus(t, send(t, http.MethodPost, p.url+"/api/v1/athletes", body, map[string]string{"Content-Type": "application/json"}), http.StatusCreated)
		if after := list(); after == before {
			t.Errorf("after write %d: %.200s", i, after)
		} else {
			before = after
		}
	}
}
