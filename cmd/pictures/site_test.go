package main

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestKindsOfPages(t *testing.T) {
	for address, want := range map[string]string{
		"/": "start", "/boats/3/seats/1": "boats-n-seats-n", "/line-ups?show=1&class=8%2B": "line-ups--class-show",
		"/recordings/12": "recordings-n", "/2k": "2k",
	} {
		u, err := url.Parse(address)
		if err != nil {
			t.Fatal(err)
		}
		if got := kind(u); got != want {
			t.Errorf("%s is of the kind %q, want %q", address, got, want)
		}
	}
	long := &url.URL{Path: "/" + strings.Repeat("x", 200)}
	if n := len(kind(long)); n != 80 {
		t.Errorf("a name of %d letters, want 80", n)
	}
}

// small is a site of three kinds of pages, with a file and a link away.
func small(t *testing.T, more string) string {
	mux := http.NewServeMux()
	page := func(body string) http.HandlerFunc {
		return func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			_, _ = w.Write([]byte(body))
		}
	}
	mux.HandleFunc("/{$}", page(`<a href="/boats/1">a</a> <a href="/boats/2">b</a> <a href="#x">here</a>
		<a href="https://example.org/away">away</a> <a href="/list.csv">file</a>`+more))
	mux.HandleFunc("/boats/{id}", page(`<a href="?all=yes">all</a> <a href="/">back</a>`))
	mux.HandleFunc("/list.csv", func(w http.ResponseWriter, _ *http.Request) { w.Header().Set("Content-Type", "text/csv") })
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server.URL
}

func TestCrawlFindsOnePageOfEachKind(t *testing.T) {
	pages, err := crawl(t.Context(), small(t, ""))
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, p := range pages {
		found = append(found, p.address+" "+p.name)
	}
	if got, want := strings.Join(found, ", "), "/ start, /boats/1 boats-n, /boats/1?all=yes boats-n--all"; got != want {
		t.Errorf("found %s, want %s", got, want)
	}
	if a, err := addressOf(pages, "boats-n--"); a != "/boats/1?all=yes" || err != nil {
		t.Errorf("%q, %v", a, err)
	}
	if _, err := addressOf(pages, "oars"); err == nil {
		t.Error("a kind that is not there has an address")
	}
}

func TestALinkThatLeadsNowhereIsAnError(t *testing.T) {
	if _, err := crawl(t.Context(), small(t, `<a href="/gone">gone</a>`)); err == nil || !strings.Contains(err.Error(), "/gone: 404") {
		t.Errorf("got %v", err)
	}
}

func TestTheIndexNamesEveryPicture(t *testing.T) {
	folder := t.TempDir()
	if err := writeIndex(folder, []visit{{"/boats/1", "boats-n"}}); err != nil {
		t.Fatal(err)
	}
	body, err := os.ReadFile(filepath.Join(folder, "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"/boats/1", "boats-n-light-320.png", "boats-n-dark-1280.png", "boats-n.pdf"} {
		if !strings.Contains(string(body), want) {
			t.Errorf("the index lacks %s", want)
		}
	}
}

func TestSheetsLieOrStand(t *testing.T) {
	for head, want := range map[string]bool{
		"%PDF /MediaBox [0 0 841.92004 594.95996] /MediaBox [0 0 10 20]": true, "/MediaBox [0 0 594.95996 841.92004]": false, "nothing": false,
	} {
		if got := isLandscape([]byte(head)); got != want {
			t.Errorf("%s: landscape %t, want %t", head, got, want)
		}
	}
}
