package rest

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"

	"thole/api/access"
	"thole/api/once"
	"thole/api/table"
	"thole/api/wire"
)

// sent is what the routes of the tests take; got is what they answer.
type sent struct {
	Name  string    `json:"name"`
	Spans []float64 `json:"spans,omitempty"`
	Inner struct {
		Cm *float64 `json:"cm"`
	} `json:"inner,omitempty"`
}

type sentTo struct {
	ID int64 `path:"id" json:"-"`
	sent
}

type got struct {
	ID    int64  `json:"id"`
	Said  string `json:"said"`
	Count int    `json:"count"`
}

type named struct {
	ID int64 `path:"id" json:"-"`
}

func echoed(_ context.Context, r sent) (got, error) {
	switch r.Name {
	case "fault":
		return got{}, errors.New("a secret of the disk")
	case "bad":
		return got{}, wire.At("name").Invalid("Not this one.")
	case "gone":
		return got{}, wire.ErrNotFound
	case "given up":
		return got{}, context.Canceled
	}
	return got{0, r.Name, len(r.Spans)}, nil
}

func put(ctx context.Context, r sentTo) (got, error) {
	g, err := echoed(ctx, r.sent)
	g.ID = r.ID
	return g, err
}

func listed(_ context.Context, r named) (got, error) { return got{ID: r.ID, Said: "json"}, nil }

func tabled(_ context.Context, r named) (table.Table, string, error) {
	if r.ID == 404 {
		return table.Table{}, "", wire.ErrNotFound
	}
	t := table.New("Things", table.Texts("Said", "What."))
	t.Add("a table")
	return t, "things", nil
}

// atOnceJobs does work when it is asked for; what is named slow goes on.
type atOnceJobs struct{}

func (atOnceJobs) StartJob(_ context.Context, work func(context.Context) (any, error)) (wire.Job, error) {
	v, err := work(context.Background())
	if err != nil {
		return wire.Job{}, err
	}
	return wire.Job{ID: "J" + v.(got).Said}, nil
}

func (atOnceJobs) Look(string) (wire.Job, bool) { return wire.Job{}, false }

func (atOnceJobs) Await(ctx context.Context, _ time.Duration, work func(context.Context) (any, error)) (any, *wire.Job, error) {
	v, err := work(ctx)
	if g, ok := v.(got); ok && g.Said == "slow" {
		return nil, &wire.Job{ID: "goes on", State: "running"}, nil
	}
	return v, nil, err
}

// describedAs is a description that is at hand.
func describedAs(text string) func() ([]byte, error) {
	return func() ([]byte, error) { return []byte(text), nil }
}

// TestADescriptionThatFailsIsToldAsAFault, and no sooner than somebody asks for it.
func TestADescriptionThatFailsIsToldAsAFault(t *testing.T) {
	e := echo.New()
	MountRoutes(e, nil, func() ([]byte, error) { return nil, errors.New("a secret") }, atOnceJobs{}, nil, once.New(nil), slog.New(slog.DiscardHandler))
	if status, body, _ := exchange(e, "GET", "/api/v1/openapi.json", ""); status != 500 || strings.Contains(body, "secret") {
		t.Errorf("%d %s", status, body)
	}
}

// server mounts a route of each kind; what it logs goes to log.
func server(log io.Writer) *echo.Echo {
	e := echo.New()
	MountRoutes(e, []Route{
		Tabled(Get("/api/v1/things/:id", "s", "d", listed).For(access.Public), Columns{}, tabled), Put("/api/v1/things/:id", "s", "d", put).For(access.Public),
		Create("/api/v1/things", "s", "d", echoed).For(access.Public), Post("/api/v1/work", "s", "d", echoed).AsJob().For(access.Public),
		Get("/api/v1/secrets/:id", "s", "d", listed).For(access.Coaches),
	}, describedAs(`{"openapi":"3.1.0"}`), atOnceJobs{}, nil, once.New(nil), slog.New(slog.NewTextHandler(log, nil)))
	return e
}

// asked sends a request and returns status, body and header.
func exchange(e *echo.Echo, method, path, body string, header ...string) (int, string, http.Header) {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r = r.WithContext(access.With(r.Context(), &access.Viewer{Role: access.Boatman, Account: 2}))
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r)
	return w.Code, w.Body.String(), w.Header()
}

func TestRequestsAreReadStrictly(t *testing.T) {
	e := server(io.Discard)
	for _, c := range []struct {
		method, path, body string
		status             int
		says               string
	}{
		{"POST", "/api/v1/things", `{"name":"Wren","spans":[1,2.5]}`, 201, `"count":2`},
		{"PUT", "/api/v1/things/7", `{"name":"Wren"}`, 200, `"id":7`},
		{"PUT", "/api/v1/things/7", `{"name":"Wren","inner":{"cm":null}}`, 200, `"id":7`},
		{"PUT", "/api/v1/things/7", `{"name":"Wren","id":7,"said":"json","count":{"any":1}}`, 200, `"id":7`}, // as it was read
		{"PUT", "/api/v1/things/7", `{"name":"Wren","said":1,"said":1}`, 422, "This name stands here twice."},
		{"PUT", "/api/v1/things/7", `{"name":"Wren","sad":"json"}`, 422, "This name is not known here."},
		{"POST", "/api/v1/things", `{"name":"Wren","said":"json"}`, 422, "This name is not known here."},
		{"PUT", "/api/v1/things/x", `{"name":"Wren"}`, 404, ""},
		{"POST", "/api/v1/things", `{"name":"Wren"`, 400, "at byte"},
		{"POST", "/api/v1/things", `[1]`, 400, "Send one JSON object"},
		{"POST", "/api/v1/things", `{"nme":"Wren"}`, 422, "This name is not known here."},
		{"POST", "/api/v1/things", `{"name":"a","name":"b"}`, 422, "This name stands here twice."},
		{"POST", "/api/v1/things", `{"name":4}`, 422, `"pointer":"#/name"`},
		{"POST", "/api/v1/things", `{"name":"a","spans":[1,"x"]}`, 422, `"pointer":"#/spans/1"`},
		{"POST", "/api/v1/things", `{"name":"a","inner":{"cm":"x"}}`, 422, `"pointer":"#/inner/cm"`},
		{"POST", "/api/v1/things", `{"name":"a","inner":{"mm":3}}`, 422, `"pointer":"#/inner/mm"`},
		{"POST", "/api/v1/things", `{"name":"` + strings.Repeat("x", MaxBody) + `"}`, 413, "larger than 1024 kB"},
		{"POST", "/api/v1/things", `{"name":"bad"}`, 422, "Not this one."},
		{"POST", "/api/v1/things", `{"name":"gone"}`, 404, ""},
		{"POST", "/api/v1/things", `{"name":"given up"}`, 503, "given up"},
		{"GET", "/api/v1/nothing", "", 404, ""},
		{"DELETE", "/api/v1/things/7", "", 405, ""},
		{"GET", "/api/v1/secrets/7", "", 403, ""},
		{"GET", "/api/v1/openapi.json", "", 200, `"openapi":"3.1.0"`},
	} {
		status, body, header := exchange(e, c.method, c.path, c.body)
		if status != c.status || !strings.Contains(body, c.says) {
			t.Errorf("%s %s %.60s: %d %.300s", c.method, c.path, c.body, status, body)
		}
		if status >= 400 && !strings.HasPrefix(header.Get("Content-Type"), "application/problem+json") {
			t.Errorf("%s %s: the problem is %s", c.method, c.path, header.Get("Content-Type"))
		}
		if status == 405 && !strings.Contains(header.Get("Allow"), "PUT") {
			t.Errorf("allowed: %q", header.Get("Allow"))
		}
	}
	if status, _, _ := exchange(e, "POST", "/api/v1/things", `{"name":"a"}`, "Content-Type", "text/plain"); status != http.StatusUnsupportedMediaType {
		t.Errorf("plain text: %d", status)
	}
}

// TestAFaultIsLoggedAndNotTold: what is nobody's business but ours stays here.
func TestAFaultIsLoggedAndNotTold(t *testing.T) {
	var log strings.Builder
	e := server(&log)
	status, body, _ := exchange(e, "POST", "/api/v1/things", `{"name":"fault"}`)
	if status != 500 || strings.Contains(body, "secret") || !strings.Contains(log.String(), "secret") {
		t.Errorf("%d %s, logged %q", status, body, log.String())
	}
	log.Reset()
	if exchange(e, "POST", "/api/v1/things", `{"name":"bad"}`); log.String() != "" {
		t.Errorf("a refusal was logged: %s", log.String())
	}
}

func TestOnlyBigWorkBecomesAJob(t *testing.T) {
	e := server(io.Discard)
	status, _, header := exchange(e, "POST", "/api/v1/work", `{"name":"x"}`, "Prefer", "respond-async")
	if status != 202 || header.Get("Location") != "/api/v1/jobs/Jx" || header.Get("Preference-Applied") != "respond-async" {
		t.Errorf("%d %v", status, header)
	}
	if status, body, _ := exchange(e, "POST", "/api/v1/work", `{"name":"x"}`); status != 200 || !strings.Contains(body, `"said":"x"`) {
		t.Errorf("without the wish: %d %s", status, body)
	}
	if status, _, _ := exchange(e, "POST", "/api/v1/things", `{"name":"x"}`, "Prefer", "respond-async"); status != 201 {
		t.Errorf("small work: %d", status)
	}
	if status, _, _ := exchange(e, "POST", "/api/v1/work", `{"name":"bad"}`, "Prefer", "respond-async"); status != 422 {
		t.Errorf("work that cannot start: %d", status)
	}
}

// TestTheFormatOfATable follows RFC 9110, 12.5.1: the greatest weight counts, and
// one that cannot be read counts for nothing.
func TestTheFormatOfATable(t *testing.T) {
	e := server(io.Discard)
	for _, c := range []struct {
		query, accept, want string
		status              int
	}{
		{"", "", "json", 200}, {"", "*/*", "json", 200}, {"", "text/csv", "a table", 200}, {"", "text/csv;q=0.5, application/json", "json", 200},
		{"", "application/json;q=0.2, text/csv;q=0.4", "a table", 200}, {"", "text/csv;q=0", "json", 200}, {"", "text/csv;q=x", "json", 200}, {"", ";;, text/csv", "a table", 200},
		{"", "text/csv, application/*", "a table", 200}, {"?format=csv", "", "a table", 200}, {"?format=csv", "application/json", "a table", 200},
		{"?format=json", "text/csv", "json", 200}, {"?format=pdf", "", "Say json, csv or xlsx.", 422},
	} {
		status, body, header := exchange(e, "GET", "/api/v1/things/7"+c.query, "", "Accept", c.accept)
		if status != c.status || !strings.Contains(body, c.want) {
			t.Errorf("%q %q: %d %.200s", c.query, c.accept, status, body)
		}
		if !strings.Contains(strings.Join(header.Values("Vary"), ","), "Accept") {
			t.Errorf("%q %q varies by %v", c.query, c.accept, header.Values("Vary"))
		}
		if c.want == "a table" && !strings.Contains(header.Get("Content-Disposition"), "things.csv") {
			t.Errorf("the file is %q", header.Get("Content-Disposition"))
		}
	}
	if status, _, _ := exchange(e, "GET", "/api/v1/things/404?format=csv", ""); status != 404 {
		t.Errorf("a table of nothing: %d", status)
	}
	if status, _, _ := exchange(e, "GET", "/api/v1/things/x?format=csv", ""); status != 404 {
		t.Errorf("a table at a broken address: %d", status)
	}
}

// TestHabitsOfEveryRoute: HEAD and OPTIONS, where to look at what was created and at
// work that goes on, and nothing for caches to keep.
func TestHabitsOfEveryRoute(t *testing.T) {
	e := server(io.Discard)
	for _, c := range []struct {
		method, path, body string
		status             int
		header, value      string
	}{
		{"HEAD", "/api/v1/things/7", "", 200, "Cache-Control", "no-store"},
		{"HEAD", "/api/v1/secrets/7", "", 403, "Cache-Control", "no-store"},
		{"HEAD", "/api/v1/openapi.json", "", 200, "Content-Type", "application/json"},
		{"OPTIONS", "/api/v1/things/7", "", 204, "Allow", "GET, HEAD, PUT, OPTIONS"},
		{"OPTIONS", "/api/v1/work", "", 204, "Allow", "POST, OPTIONS"},
		{"OPTIONS", "/api/v1/nothing", "", 404, "Allow", ""},
		{"POST", "/api/v1/things", `{"name":"Wren"}`, 201, "Location", "/api/v1/things/0"},
		{"POST", "/api/v1/work", `{"name":"Wren"}`, 200, "Location", ""},
		{"POST", "/api/v1/work", `{"name":"slow"}`, 202, "Location", "/api/v1/jobs/goes on"},
		{"POST", "/api/v1/work", `{"name":"slow"}`, 202, "Retry-After", "1"},
		{"POST", "/api/v1/things", `{"name":"given up"}`, 503, "Retry-After", RetryAfter},
	} {
		status, body, header := exchange(e, c.method, c.path, c.body)
		if status != c.status || header.Get(c.header) != c.value {
			t.Errorf("%s %s %s: %d, %s %q, want %q: %.200s", c.method, c.path, c.body, status, c.header, header.Get(c.header), c.value, body)
		}
	}
}

// TestWhatIsCreatedHasAnAddressWhereItCanBeLookedAt: by GET, at the path of one thing and
// not of a part of it.
func TestWhatIsCreatedHasAnAddressWhereItCanBeLookedAt(t *testing.T) {
	create, post := Create("/api/v1/rows", "s", "d", echoed).For(access.Public), Post("/api/v1/rows", "s", "d", echoed).For(access.Public)
	for name, c := range map[string]struct {
		made, other Route
		at          string
	}{
		"looked at":        {create, Get("/api/v1/rows/:id", "s", "d", listed).For(access.Public), "/api/v1/rows/0"},
		"written":          {create, Put("/api/v1/rows/:id", "s", "d", put).For(access.Public), ""},
		"removed":          {create, Remove("/api/v1/rows/:id", "s", "d", listed).For(access.Public), ""},
		"a part looked at": {create, Get("/api/v1/rows/:id/parts", "s", "d", listed).For(access.Public), ""},
		"elsewhere":        {create, Get("/api/v1/rowers/:id", "s", "d", listed).For(access.Public), ""},
		"worked out":       {post, Get("/api/v1/rows/:id", "s", "d", listed).For(access.Public), ""},
	} {
		e := echo.New()
		MountRoutes(e, []Route{c.made, c.other}, describedAs(`{}`), atOnceJobs{}, nil, once.New(nil), slog.New(slog.DiscardHandler))
		if _, body, header := exchange(e, "POST", "/api/v1/rows", `{"name":"Wren"}`); header.Get("Location") != c.at || !strings.Contains(body, "Wren") {
			t.Errorf("%s: %q, want %q: %s", name, header.Get("Location"), c.at, body)
		}
	}
}

// TestAFileToBeShownIsStoredByNobody on its way.
func TestAFileToBeShownIsStoredByNobody(t *testing.T) {
	e := echo.New()
	picture := func(_ context.Context, r named) ([]byte, error) {
		if r.ID == 404 {
			return nil, wire.ErrNotFound
		}
		return []byte("a picture"), nil
	}
	MountRoutes(e, []Route{GetFile("/api/v1/things/:id/picture", "s", "d", "image/png", picture).For(access.Public)}, describedAs(`{}`), atOnceJobs{}, nil, once.New(nil), slog.New(slog.DiscardHandler))
	for id, c := range map[string]struct {
		status     int
		kind, body string
	}{"7": {200, "image/png", "a picture"}, "404": {404, "application/problem+json", "not found"}, "x": {404, "application/problem+json", "not found"}} {
		status, body, header := exchange(e, "GET", "/api/v1/things/"+id+"/picture", "")
		if status != c.status || header.Get("Content-Type") != c.kind || header.Get("Cache-Control") != "no-store" || !strings.Contains(strings.ToLower(body), c.body) && status == 200 {
			t.Errorf("%s: %d %v %s", id, status, header, body)
		}
	}
}

func TestOperationsAreNamed(t *testing.T) {
	for _, c := range []struct{ method, path, id, tag string }{
		{"GET", "/api/v1/boats/:id/changes", "getBoatsByIdChanges", "boats"}, {"POST", "/api/v1/seat-races", "postSeatRaces", "seat-races"},
		{"GET", "/api/v1/squad/table.csv", "getSquadTableCsv", "squad"},
	} {
		r := Route{Method: c.method, Path: c.path}
		if r.operationID() != c.id || r.tag() != c.tag {
			t.Errorf("%s %s: %s of %s", c.method, c.path, r.operationID(), r.tag())
		}
	}
}
