package rest

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"github.com/labstack/echo/v4"

	"thole/api/access"
	"thole/api/once"
)

// counted is a record whose version counts what was written.
type counted struct {
	ID      int64 `json:"id"`
	Version int64 `json:"version"`
}

type increment struct {
	ID int64 `path:"id" json:"-"`
}

// counterServer serves one record, number 7, to whoever asks.
func counterServer() *echo.Echo {
	var mu sync.Mutex
	record := counted{ID: 7, Version: 1}
	look := func(_ context.Context, r increment) (counted, error) {
		mu.Lock()
		defer mu.Unlock()
		if r.ID != 7 {
			return counted{}, &Malformed{http.StatusNotFound, "There is none."}
		}
		return record, nil
	}
	count := func(ctx context.Context, r increment) (counted, error) {
		mu.Lock()
		record.Version++
		mu.Unlock()
		return look(ctx, r)
	}
	e := echo.New()
	MountRoutes(e, []Route{
		Get("/api/v1/counts/:id", "s", "d", look).For(access.Public), Put("/api/v1/counts/:id", "s", "d", count).For(access.Public),
		Put("/api/v1/counts/:id/blind", "s", "d", count).For(access.Public), Remove("/api/v1/counts/:id", "s", "d", count).For(access.Public),
	}, describedAs(`{}`), atOnceJobs{}, nil, once.New(nil), slog.New(slog.NewTextHandler(io.Discard, nil)))
	return e
}

// TestWritesAreHeldToWhatWasRead by the rules of RFC 9110, 13.1 and 13.2.
func TestWritesAreHeldToWhatWasRead(t *testing.T) {
	e := counterServer()
	tag := func() string {
		_, _, header := exchange(e, "HEAD", "/api/v1/counts/7", "")
		return header.Get("ETag")
	}
	if !strings.HasPrefix(tag(), `"1.`) {
		t.Errorf("the tag %s does not begin with the version", tag())
	}
	first := tag()
	for i, c := range []struct {
		method, path, name, value string
		status                    int
	}{
		{"GET", "7", "If-None-Match", first, 304},
		{"HEAD", "7", "If-None-Match", "W/" + first, 304}, // compared weakly
		{"GET", "7", "If-None-Match", "*", 304},
		{"GET", "7", "If-None-Match", TagOfCompressed(first), 304},
		{"GET", "7", "If-None-Match", `"x"`, 200},
		{"GET", "8", "If-None-Match", "*", 404},
		{"PUT", "7", "If-Match", `"x"`, 412},
		{"PUT", "7", "If-Match", "W/" + first, 412}, // compared strongly
		{"PUT", "7", "If-None-Match", "*", 412},
		{"DELETE", "7", "If-Match", `"x"`, 412},
		{"PUT", "8", "If-Match", "*", 412},
		{"PUT", "7/blind", "If-Match", "*", 412}, // nothing can be read there
		{"PUT", "7", "If-Match", `"x", ` + first, 200},
		{"PUT", "7", "If-Match", first, 412}, // it moved on
		{"GET", "7", "If-None-Match", first, 200},
		{"PUT", "7", "If-Match", "*", 200},
		{"PUT", "7", "", "", 200},
		{"PUT", "7", "If-None-Match", `"x"`, 200}, // it is not as it must not be
	} {
		status, body, _ := exchange(e, c.method, "/api/v1/counts/"+c.path, map[string]string{"PUT": "{}"}[c.method], c.name, c.value)
		if status != c.status || status == 304 && body != "" {
			t.Errorf("%d, %s %s, %s: %s: %d %.200s", i, c.method, c.path, c.name, c.value, status, body)
		}
	}
	if !strings.HasPrefix(tag(), `"5.`) {
		t.Errorf("four writes went through, and the tag is %s", tag())
	}
}

// TestOfWritesFromOneReadingOneCounts, however many come at once.
func TestOfWritesFromOneReadingOneCounts(t *testing.T) {
	e := counterServer()
	_, _, header := exchange(e, "GET", "/api/v1/counts/7", "")
	met := make(chan int, 20)
	for range cap(met) {
		go func() {
			r := httptest.NewRequest("PUT", "/api/v1/counts/7", strings.NewReader("{}"))
			r.Header.Set("Content-Type", "application/json")
			r.Header.Set("If-Match", header.Get("ETag"))
			w := httptest.NewRecorder()
			e.ServeHTTP(w, r)
			met <- w.Code
		}()
	}
	count := map[int]int{}
	for range cap(met) {
		count[<-met]++
	}
	if count[200] != 1 || count[412] != cap(met)-1 {
		t.Errorf("by status: %v", count)
	}
}

// TestAWriteToWhatCannotBeReadSaysWhyItself: 412 would say that the record is
// another by now, where it is the reading that fails.
func TestAWriteToWhatCannotBeReadSaysWhyItself(t *testing.T) {
	e := echo.New()
	shut := func(context.Context, increment) (counted, error) {
		return counted{}, &Malformed{http.StatusServiceUnavailable, "Not now."}
	}
	MountRoutes(e, []Route{Get("/api/v1/counts/:id", "s", "d", shut).For(access.Public), Put("/api/v1/counts/:id", "s", "d", shut).For(access.Public)},
		describedAs(`{}`), atOnceJobs{}, nil, once.New(nil), slog.New(slog.DiscardHandler))
	if status, body, _ := exchange(e, "PUT", "/api/v1/counts/7", `{}`, "If-Match", `"1.x"`); status != http.StatusServiceUnavailable {
		t.Errorf("%d %s", status, body)
	}
}

// TestTagsNameTheVersionWhereItIsANumber, and go by what is said in any case.
func TestTagsNameTheVersionWhereItIsANumber(t *testing.T) {
	for _, c := range []struct {
		out  any
		want string
	}{
		{counted{ID: 7, Version: 12}, `"12.`}, {&counted{Version: 3}, `"3.`}, {struct{ Version string }{"12"}, `"`}, {nil, `"`}, {"12", `"`},
	} {
		one, other := tagOf(c.out, []byte("a")), tagOf(c.out, []byte("b"))
		if !strings.HasPrefix(one, c.want) || strings.Contains(one, ".") != (len(c.want) > 1) || one == other {
			t.Errorf("%+v: %s and %s", c.out, one, other)
		}
	}
}
