package rest

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"

	"thole/api/access"
	"thole/api/gate"
	"thole/api/once"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/wire"
)

// joining asks for somebody to be put on record.
type joining struct {
	Name string `json:"name"`
}

// joined is somebody on record.
type joined struct {
	ID   int64  `json:"id"`
	Name string `json:"name"`
}

// nameless is an answer that says less than was made.
type nameless struct {
	ID int64 `json:"id"`
}

// joiningForm asks for people by a table.
type joiningForm struct {
	File string `formData:"file"`
}

// waitingJobs does work when a test says so.
type waitingJobs struct {
	work  func(context.Context) (any, error)
	there bool // the job that was started last goes on or is done
}

func (w *waitingJobs) StartJob(_ context.Context, work func(context.Context) (any, error)) (wire.Job, error) {
	w.work, w.there = work, true
	return wire.Job{ID: "J1", State: "running"}, nil
}

func (w *waitingJobs) Await(ctx context.Context, _ time.Duration, work func(context.Context) (any, error)) (any, *wire.Job, error) {
	v, err := work(ctx)
	return v, nil, err
}

func (w *waitingJobs) Look(id string) (wire.Job, bool) {
	return wire.Job{ID: id, State: "running"}, w.there && id == "J1"
}

// clubServer puts athletes on record in several ways.
type clubServer struct {
	*echo.Echo
	store *store.Store
	jobs  waitingJobs
}

func newClubServer(t *testing.T) *clubServer {
	c := &clubServer{Echo: echo.New(), store: storetest.Open(t)}
	uploads := gate.NewUploads()
	table := Route{Method: http.MethodPost, Path: "/api/v1/tables", In: joiningForm{}, Out: nameless{}, Counted: true, Access: access.Public}
	big := Create("/api/v1/crews", "s", "d", c.join).AsJob()
	MountRoutes(c.Echo, []Route{
		Get("/api/v1/people/:id", "s", "d", c.look).For(access.Public), Create("/api/v1/people", "s", "d", c.join).For(access.Public),
		Create("/api/v1/guests", "s", "d", c.join).For(access.Public), Get("/api/v1/guests/:id", "s", "d", c.lookLess).For(access.Public),
		Create("/api/v1/secrets", "s", "d", c.join).For(access.Public), Get("/api/v1/secrets/:id", "s", "d", c.look).For(access.Coaches),
		Create("/api/v1/visitors", "s", "d", c.join).For(access.Public),
		big.For(access.Public), Get("/api/v1/crews/:id", "s", "d", c.look).For(access.Public),
		Custom(table, func(call *Call) error {
			f, err := call.TableForm(uploads, []string{"file"})
			if err != nil {
				return call.FailUpload(err)
			}
			made, err := c.join(call.Context(), joining{string(f.File)})
			if err != nil {
				return call.Fail(err)
			}
			return call.Send(nameless{made.ID})
		}),
	}, describedAs(`{}`), &c.jobs, nil, once.New(c.store), slog.New(slog.DiscardHandler))
	return c
}

func (c *clubServer) join(ctx context.Context, r joining) (joined, error) {
	if r.Name == "fault" {
		return joined{}, errors.New("a fault")
	}
	id, err := c.store.AddAthlete(ctx, store.Athlete{Name: r.Name}, storetest.Anna)
	return joined{id, r.Name}, err
}

func (c *clubServer) look(ctx context.Context, r named) (joined, error) {
	a, err := c.store.Athlete(ctx, r.ID)
	return joined{r.ID, a.Name}, err
}

func (c *clubServer) lookLess(ctx context.Context, r named) (nameless, error) {
	seen, err := c.look(ctx, r)
	return nameless{seen.ID}, err
}

// count is how many there are on record.
func (c *clubServer) count(t *testing.T) int {
	t.Helper()
	return len(storetest.Must(c.store.Athletes(t.Context(), store.Filter{})))
}

// TestWhatIsCreatedWithAKeyCountsOnce, and is answered with what it made as far as whoever
// sends it again may look at that: 201 with it, otherwise 204 with its address where it has
// one.
func TestWhatIsCreatedWithAKeyCountsOnce(t *testing.T) {
	for path, c := range map[string]struct {
		status int
		body   bool
		at     string
	}{
		"/api/v1/people":   {201, true, "/api/v1/people/1"},
		"/api/v1/guests":   {204, false, "/api/v1/guests/1"},  // looking at one says less than making one did
		"/api/v1/secrets":  {204, false, "/api/v1/secrets/1"}, // the sender may make one and not look at it
		"/api/v1/visitors": {204, false, ""},                  // nothing looks at one
	} {
		s := newClubServer(t)
		status, first, header := exchange(s.Echo, "POST", path, `{"name":"Edda"}`, headerKey, "k")
		if status != 201 || header.Get(headerReplayed) != "" || !strings.Contains(first, "Edda") || header.Get("Location") != c.at {
			t.Fatalf("%s: %d %v %s", path, status, header, first)
		}
		status, again, header := exchange(s.Echo, "POST", path, `{"name":"Edda"}`, headerKey, "k")
		if status != c.status || header.Get(headerReplayed) != "true" || header.Get("Location") != c.at || header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s again: %d %v, want %d at %s", path, status, header, c.status, c.at)
		}
		if c.body && strings.TrimSpace(again) != strings.TrimSpace(first) || !c.body && again != "" {
			t.Errorf("%s again: %q after %q", path, again, first)
		}
		if n := s.count(t); n != 1 {
			t.Errorf("%s: %d on record", path, n)
		}
	}
}

// TestWhatKeysLetThrough: requests that are no repetition, and those that cannot be told.
func TestWhatKeysLetThrough(t *testing.T) {
	s := newClubServer(t)
	long := `{"name":"` + strings.Repeat("x", MaxBody) + `"}`
	for i, c := range []struct {
		name, body, key string
		status, people  int
	}{
		{"without a key", `{"name":"Edda"}`, "", 201, 1},
		{"without a key again", `{"name":"Frieda"}`, "", 201, 2},
		{"with a key", `{"name":"Gerda"}`, "k", 201, 3},
		{"another one with the key", `{"name":"Hanna"}`, "k", 422, 3},
		{"a key that cannot be read", `{"name":"Hanna"}`, strings.Repeat("k", once.MostKey+1), 400, 3},
		{"too large", long, "l", 413, 3},
		{"a fault", `{"name":"fault"}`, "f", 500, 3},
		{"a fault again", `{"name":"fault"}`, "f", 500, 3}, // it is tried again
	} {
		header := []string{headerKey, c.key}
		if c.key == "" {
			header = nil
		}
		if status, body, _ := exchange(s.Echo, "POST", "/api/v1/people", c.body, header...); status != c.status || s.count(t) != c.people {
			t.Errorf("%d, %s: %d, %d on record: %.200s", i, c.name, status, s.count(t), body)
		}
	}
}

// TestWhatWasRemovedSinceIsGone: a request that is sent again does not bring it back.
func TestWhatWasRemovedSinceIsGone(t *testing.T) {
	s := newClubServer(t)
	_, _, header := exchange(s.Echo, "POST", "/api/v1/people", `{"name":"Edda"}`, headerKey, "k")
	storetest.Check(t, s.store.DeleteAthlete(t.Context(), 1))
	if status, _, again := exchange(s.Echo, "POST", "/api/v1/people", `{"name":"Edda"}`, headerKey, "k"); status != http.StatusGone || again.Get("Location") != header.Get("Location") {
		t.Errorf("%d %v", status, again)
	}
	if n := s.count(t); n != 0 {
		t.Errorf("%d on record", n)
	}
}

// TestAJobIsStartedOnceForAKey: while it goes on it is answered again, and once it is done,
// what it made.
func TestAJobIsStartedOnceForAKey(t *testing.T) {
	s := newClubServer(t)
	ask := func() (int, http.Header) {
		status, _, header := exchange(s.Echo, "POST", "/api/v1/crews", `{"name":"Edda"}`, headerKey, "k", "Prefer", "respond-async")
		return status, header
	}
	if status, header := ask(); status != 202 || header.Get(headerReplayed) != "" {
		t.Fatalf("%d %v", status, header)
	}
	work := s.jobs.work
	s.jobs.work = nil
	if status, header := ask(); status != 202 || header.Get(headerReplayed) != "true" || header.Get("Location") != "/api/v1/jobs/J1" || s.jobs.work != nil {
		t.Errorf("while it goes on: %d %v", status, header)
	}
	if _, err := work(context.Background()); err != nil {
		t.Fatal(err)
	}
	s.jobs.there = false
	if status, header := ask(); status != 201 || header.Get("Location") != "/api/v1/crews/1" || s.count(t) != 1 {
		t.Errorf("when it is done: %d %v, %d on record", status, header, s.count(t))
	}
}

// TestAJobThatFailedIsStartedAgain, for it made nothing that the key stands for.
func TestAJobThatFailedIsStartedAgain(t *testing.T) {
	s := newClubServer(t)
	for range 2 {
		status, _, header := exchange(s.Echo, "POST", "/api/v1/crews", `{"name":"fault"}`, headerKey, "k", "Prefer", "respond-async")
		if status != 202 || header.Get(headerReplayed) != "" {
			t.Fatalf("%d %v", status, header)
		}
		if _, err := s.jobs.work(context.Background()); err == nil {
			t.Fatal("no fault")
		}
		s.jobs.there = false
	}
}

// TestAJobKeepsTheKeyOfItsOwnRequest: the router hands what held the request to the
// next one, long before a job that waited is done.
func TestAJobKeepsTheKeyOfItsOwnRequest(t *testing.T) {
	s := newClubServer(t)
	c := s.NewContext(nil, nil)
	send := func(path, key, prefer string) {
		r := httptest.NewRequest("POST", path, strings.NewReader(`{"name":"Edda"}`))
		r = r.WithContext(access.With(r.Context(), &access.Viewer{Role: access.Boatman, Account: 2}))
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Prefer", prefer)
		r.Header.Set(headerKey, key)
		c.Reset(r, httptest.NewRecorder())
		s.Router().Find(r.Method, r.URL.Path, c)
		if err := c.Handler()(c); err != nil {
			t.Fatal(err)
		}
	}
	send("/api/v1/crews", "k", "respond-async")
	work := s.jobs.work
	send("/api/v1/work", "", "wait")
	if _, err := work(context.Background()); err != nil {
		t.Fatal(err)
	}
	s.jobs.there = false
	status, _, header := exchange(s.Echo, "POST", "/api/v1/crews", `{"name":"Edda"}`, headerKey, "k")
	if got := fmt.Sprint(status, " ", header.Get("Location"), " ", s.count(t)); got != "201 /api/v1/crews/1 1" {
		t.Errorf("the job went on with the key of another request: %s", got)
	}
}

// TestATableIsTakenInOnceForAKey: its content counts, not how its parts are parted.
func TestATableIsTakenInOnceForAKey(t *testing.T) {
	s := newClubServer(t)
	for i, c := range []struct {
		name, key, file, part string
		status, people        int
		replayed              string
	}{
		{"the first", "k", "Edda", "file", 200, 1, ""},
		{"again", "k", "Edda", "file", 204, 1, "true"},
		{"another one with the key", "k", "Frieda", "file", 422, 1, ""},
		{"without a key", "", "Frieda", "file", 200, 2, ""},
		{"refused", "l", "Gerda", "files", 422, 2, ""},
		{"refused and put right", "l", "Gerda", "file", 200, 3, ""},
		{"failed", "m", "fault", "file", 500, 3, ""},
		{"failed again", "m", "fault", "file", 500, 3, ""},
	} {
		r := formOf(c.part, c.file)
		r.URL.Path = "/api/v1/tables"
		if c.key != "" {
			r.Header.Set(headerKey, c.key)
		}
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != c.status || s.count(t) != c.people || w.Header().Get(headerReplayed) != c.replayed {
			t.Errorf("%d, %s: %d %v, %d on record: %.200s", i, c.name, w.Code, w.Header(), s.count(t), cmp.Or(w.Body.String(), "nothing"))
		}
	}
}
