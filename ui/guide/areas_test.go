package guide_test

import (
	"cmp"
	"encoding/json"
	"html"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/ui/uitest"
)

// calls matches how an operation is asked with curl, and the first of its statuses.
var calls = regexp.MustCompile(`(?s)<pre><code>curl(?: -X (\w+))? '(http://[^/]+)([^']+)'(.*?)</code></pre>.*?<dt><code>(\d+)</code>`)

// shown is a call as the pages show it.
type shown struct {
	method, path, body string
	json               bool // it has a document
	given              bool // which is not shown, but stands in a file of the caller's
	file               bool
	status             int // of a success, as the page says it
}

// shownCalls lists the calls in the order in which they can be made: what is written,
// what is read, and what is removed, the last first.
func shownCalls(t *testing.T) []shown {
	t.Helper()
	var list, removals []shown
	for _, m := range calls.FindAllStringSubmatch(referencePage(t), -1) {
		c := shown{method: cmp.Or(m[1], http.MethodGet), path: html.UnescapeString(m[3])}
		c.status, _ = strconv.Atoi(m[5])
		_, body, found := strings.Cut(html.UnescapeString(m[4]), "-d '")
		c.body, c.json = strings.TrimSuffix(strings.ReplaceAll(body, `'\''`, "'"), "'"), found
		c.given, c.file = strings.Contains(m[4], "@request.json"), strings.Contains(m[4], "=@table.csv")
		if c.method == http.MethodDelete {
			removals = append(removals, c)
			continue
		}
		list = append(list, c)
	}
	slices.SortStableFunc(list, func(a, b shown) int { return cmp.Compare(b.method, a.method) }) // PUT, POST, GET
	slices.Reverse(removals)
	return append(list, removals...)
}

// notThere are the addresses that the demo has nothing at, with the reason.
var notThere = map[string]string{
	"/api/v1/jobs/1":                        "big work goes on for a moment only",
	"/api/v1/uploads/1":                     "files come in and go",
	"/api/v1/uploads/1/curves":              "files come in and go",
	"/api/v1/accounts/1":                    "nobody signs in to the demo",
	"/api/v1/tokens/1":                      "nobody signs in to the demo",
	"/api/v1/me/usage":                      "nobody signs in to the demo",
	"/api/v1/athletes/1/filmed/6/still":     "a picture is kept where somebody says so",
	"/api/v1/athletes/1/filmed/6/still.jpg": "a picture is kept where somebody says so",
	"/api/v1/recordings/progress":           "asks for two recordings of one rower in the query",
}

// elsewhere are things that the demo has under another number or name.
var elsewhere = map[string]string{
	"/api/v1/athletes/1/filmed/1":   "/api/v1/athletes/1/filmed/6",
	"/api/v1/athletes/1/opinions/1": "/api/v1/athletes/3/opinions/2",
	"/api/v1/athletes/1/seats/1":    "/api/v1/athletes/13/seats/1",
	"/api/v1/tasks/1":               "/api/v1/tasks/2", // the first is done
	"/api/v1/table-mappings/1/1":    "/api/v1/table-mappings/oars/The%20boathouse%E2%80%99s%20list",
	"/api/v1/sheets/1/":             "/api/v1/sheets/2/", // the first is done
}

// record is the address of a record at the beginning of what belongs to it.
var record = regexp.MustCompile(`^/api/v1/[\w-]+/\d+`)

// unsigned are the records whose history names nobody.
var unsigned = map[string]bool{"/api/v1/usage": true, "/api/v1/squads/1": true, "/api/v1/boats/1/crew": true}

// there is where the demo has what a page asks for at a path.
func there(path string) string {
	for shown, place := range elsewhere {
		if rest, found := strings.CutPrefix(path, shown); found {
			return place + rest
		}
	}
	return path
}

// documents are the bodies of calls that the pages show without one. That of a PUT
// which is not here is what a GET answers: what was read can be written back.
var documents = map[string]string{
	"POST /api/v1/links":                `{"name": "Set-up", "address": "/setup", "days": 7}`,
	"PUT /api/v1/seat-races/1/pieces/1": `{"version": VERSION, "key": "k", "typed": ["3:42.4", "+1.2"], "by": "Ines"}`,
	"PUT /api/v1/sheets/2/readings/1":   `{"seat": 1, "setting": "span_cm", "value": 159, "by": "Bram"}`,
	"PUT /api/v1/sheets/2/arcs/1":       `{"seat": 1, "finish_cm": 50, "by": "Bram"}`,
	"PUT /api/v1/lineups/1/note":        `{"version": 1, "note": "For Saturday.", "by": "Ines"}`,
	"PUT /api/v1/recordings/1/mark":     `{"version": VERSION, "start_s": START, "left_out": true, "note": "crab", "by": "Ines"}`,
	"PUT /api/v1/boats/1/table":         `{"version": VERSION, "seats": [{"number": 1}], "rig": [{"seat": 1, "setting": "span_cm", "value": 159}], "by": "Ines"}`,
	"PUT /api/v1/mappings/1":            `{"mapping": {"separator": "comma", "force": "handle", "header_lines": 1, "columns": [{"index": 0, "quantity": "time", "unit": "s"}, {"index": 1, "quantity": "oar_angle", "unit": "deg"}, {"index": 2, "quantity": "force", "unit": "n"}]}}`,
}

// TestTheCallsOfTheReferenceWork sends what the pages show to the demo club: every
// call but those with a file, each of which is to be answered with the status that
// the page names.
func TestTheCallsOfTheReferenceWork(t *testing.T) {
	c := uitest.SeasonClub(t)
	e := echo.New()
	api.Mount(e, c.Service, slog.New(slog.DiscardHandler))
	sent := map[string]int{}
	for _, call := range shownCalls(t) {
		call.path = there(call.path)
		if notThere[call.path] != "" || call.file || call.given && !call.fill(t, e) {
			continue
		}
		w := ask(e, call.method, call.path, call.body)
		sent[call.method]++
		if w.Code != call.status {
			t.Errorf("%s %s: %d, want %d: %.300s", call.method, call.path, w.Code, call.status, w.Body)
		}
	}
	if sent[http.MethodGet] < 50 || sent[http.MethodPost] < 25 || sent[http.MethodPut] < 14 || sent[http.MethodDelete] < 15 {
		t.Errorf("only %v were sent", sent)
	}
}

// fill gives a call its document, and reports whether there is one.
func (c *shown) fill(t *testing.T, e *echo.Echo) bool {
	t.Helper()
	body, found := documents[c.method+" "+c.path]
	if !found && c.method == http.MethodPut {
		var record map[string]any
		if err := json.Unmarshal(ask(e, http.MethodGet, c.path, "").Body.Bytes(), &record); err != nil {
			t.Fatal(c.path, err)
		}
		if !unsigned[c.path] {
			record["by"] = "Ines"
		}
		written, err := json.Marshal(record)
		if err != nil {
			t.Fatal(c.path, err)
		}
		body, found = string(written), true
	}
	for name, place := range map[string][2]string{"START": {"/api/v1/recordings/1", `"start_s":([\d.]+)`}, "VERSION": {record.FindString(c.path), `"version":(\d+)`}} {
		if strings.Contains(body, name) {
			seen := regexp.MustCompile(place[1]).FindStringSubmatch(ask(e, http.MethodGet, place[0], "").Body.String())
			body = strings.ReplaceAll(body, name, seen[1])
		}
	}
	c.body = body
	return found
}

func ask(e *echo.Echo, method, path, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r)
	return w
}
