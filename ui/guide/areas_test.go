package guide_test

import (
	"html"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/ui/uitest"
)

// calls matches how an operation is asked with curl.
var calls = regexp.MustCompile(`(?s)<pre><code>curl(?: -X (\w+))? '(http://[^/]+)([^']+)'(.*?)</code></pre>`)

// notThere are the addresses that the demo club has nothing at, with the reason.
var notThere = map[string]string{
	"/api/v1/jobs/1":                        "big work goes on for a moment only",
	"/api/v1/uploads/1":                     "files come in and go",
	"/api/v1/uploads/1/curves":              "files come in and go",
	"/api/v1/mappings/1":                    "named by who saves it",
	"/api/v1/sheets/1":                      "of a boat's day",
	"/api/v1/seat-races/1/judgement":        "no piece is raced",
	"/api/v1/seat-races/1/power":            "no piece is raced",
	"/api/v1/athletes/1/filmed/1/still.jpg": "a picture is kept where somebody says so",
	"/api/v1/recordings/progress":           "asks for two recordings of one rower in the query",
	"/api/v1/lineups/1/why":                 "of a line-up that a call further down saves",
}

// TestTheCallsOfTheReferenceWork sends what the pages show to the demo club: every
// call that reads, and every one with a body.
func TestTheCallsOfTheReferenceWork(t *testing.T) {
	c := uitest.DemoClub(t)
	e := echo.New()
	api.Mount(e, c.Service, slog.New(slog.DiscardHandler))
	sent, bodies := 0, 0
	for _, m := range calls.FindAllStringSubmatch(referencePage(t), -1) {
		method, path, rest := m[1], html.UnescapeString(m[3]), html.UnescapeString(m[4])
		_, body, example := strings.Cut(rest, "-d '")
		if method != "" && !example {
			continue
		}
		if method == "" {
			method = http.MethodGet
		}
		if _, not := notThere[path]; not {
			continue
		}
		r := httptest.NewRequest(method, path, strings.NewReader(strings.TrimSuffix(strings.ReplaceAll(body, `'\''`, "'"), "'")))
		if example {
			r.Header.Set("Content-Type", "application/json")
			bodies++
		}
		w := httptest.NewRecorder()
		e.ServeHTTP(w, r)
		sent++
		if w.Code != http.StatusOK && w.Code != http.StatusCreated {
			t.Errorf("%s %s: %d %.300s", method, path, w.Code, w.Body)
		}
	}
	if sent < 70 || bodies < 25 {
		t.Errorf("%d calls, %d with bodies", sent, bodies)
	}
}
