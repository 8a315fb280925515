package main

import (
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestComplaintsNameTheirPlace(t *testing.T) {
	if got := at([]string{"a", "b"}, "printed"); !slices.Equal(got, []string{"printed: a", "printed: b"}) {
		t.Errorf("%q", got)
	}
}

// TestWhatStopsTheWorkIsTold, in the order in which it is met: flags, the checker, the
// folder, the browser.
func TestWhatStopsTheWorkIsTold(t *testing.T) {
	folder := t.TempDir()
	axe, blocked := filepath.Join(folder, "axe.js"), filepath.Join(folder, "blocked")
	for _, file := range []string{axe, blocked} {
		if err := os.WriteFile(file, nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("PATH", folder) // holds no browser, and no go to start a demo with
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"-nonsense"}, "not defined"}, {[]string{"-axe", filepath.Join(folder, "none.js")}, "run npm ci"}, {[]string{"-axe", axe, "-to", filepath.Join(blocked, "x")}, "not a directory"},
		{[]string{"-axe", axe, "-to", folder}, `"go"`}, {[]string{"-axe", axe, "-to", folder, "-site", "http://127.0.0.1:1/"}, "no Chromium"},
	} {
		if err := run(t.Context(), c.args, io.Discard); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.args, err, c.want)
		}
	}
}

func TestASiteIsTakenAsGiven(t *testing.T) {
	site, stop, err := siteAt(t.Context(), "http://127.0.0.1:8080//")
	if stop(); site != "http://127.0.0.1:8080" || err != nil {
		t.Errorf("%s, %v", site, err)
	}
}

// TestADemoIsWaitedFor: a command in the place of go that names its address, and one that
// ends before it does.
func TestADemoIsWaitedFor(t *testing.T) {
	for script, want := range map[string]string{"echo waiting >&2; echo ready at http://127.0.0.1:4711/ >&2; exec sleep 5": "http://127.0.0.1:4711", "echo failed >&2": ""} {
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, "go"), []byte("#!/bin/sh\n"+script+"\n"), 0o700); err != nil {
			t.Fatal(err)
		}
		t.Setenv("PATH", folder+string(os.PathListSeparator)+os.Getenv("PATH"))
		site, stop, err := siteAt(t.Context(), "")
		if site != want || (err == nil) != (want != "") {
			t.Errorf("%s: %q, %v", script, site, err)
		}
		if stop != nil {
			stop()
		}
	}
}

// TestLinksOfAPageAreItsOwn: no other host, no place on the same page, no form or image.
func TestLinksOfAPageAreItsOwn(t *testing.T) {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if w.Header().Set("Content-Type", "text/html"); r.URL.Path == "/refused" {
			w.WriteHeader(http.StatusUnprocessableEntity)
		}
		_, _ = io.WriteString(w, `<a href="/boats?x=1">a</a><a name="b" href="c/d">b</a><a href="#e">c</a><a href="https://example.org/f">d</a><link href="/g"><img src="/h"><a>e</a><a href="?i=2">f</a><form href="/j">`)
	}))
	defer server.Close()
	for _, page := range []string{"/a/b", "/refused"} {
		links, isPage, err := linksOn(t.Context(), server.URL, page)
		if err != nil || !isPage {
			t.Fatal(isPage, err)
		}
		told := ""
		for _, u := range links {
			told += u.RequestURI() + " "
		}
		if want := map[string]string{"/a/b": "/boats?x=1 /a/c/d /a/b?i=2 ", "/refused": "/boats?x=1 /c/d /refused?i=2 "}[page]; told != want {
			t.Errorf("%s: %s, want %s", page, told, want)
		}
	}
	if _, _, err := linksOn(t.Context(), "http://127.0.0.1:1", "/"); err == nil {
		t.Error("a site that is not there has links")
	}
	if _, err := crawl(t.Context(), "http://127.0.0.1:1"); err == nil {
		t.Error("a site that is not there is crawled")
	}
}

// TestASheetLiesWhereItIsWider: a square stands, and sizes that are none stand.
func TestASheetLiesWhereItIsWider(t *testing.T) {
	for head, want := range map[string]bool{"/MediaBox [0 0 595 595]": false, "/MediaBox [0 0 1.2.3 0.5]": false, "/MediaBox [0 0 842 1.2.3]": false, "/MediaBox [0 0 595.1 595]": true} {
		if got := isLandscape([]byte(head)); got != want {
			t.Errorf("%s: %v", head, got)
		}
	}
	if err := writeIndex(filepath.Join(t.TempDir(), "none"), nil); err == nil {
		t.Error("an index in no folder is written")
	}
}
