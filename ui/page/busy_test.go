package page

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"thole/api/access"
	"thole/api/gate"
	"thole/api/wire"
)

// frameOf is a frame behind a gate that lets one in and lets nobody wait.
func frameOf(t *testing.T) *Frame {
	t.Helper()
	f, err := NewFrame(slog.New(slog.DiscardHandler), fstest.MapFS{
		"assets/css/a.css": {}, "assets/js/a.js": {}, "assets/mark.svg": {}, "node_modules/htmx.org/dist/htmx.min.js": {},
	})
	if err != nil {
		t.Fatal(err)
	}
	f.Gate = gate.New(gate.Limits{AtOnce: 1, Patience: time.Second, Longest: time.Millisecond})
	return f
}

// heavy asks a page that takes long.
func heavy(f *Frame, h Handler, headers ...string) *httptest.ResponseRecorder {
	w, r := httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, "/", nil)
	for _, name := range headers {
		r.Header.Set(name, "true")
	}
	f.Guarded(For(access.Everyone, h).Heavy()).ServeHTTP(w, r)
	return w
}

func TestWhereThereIsNoRoomThePageSaysSo(t *testing.T) {
	f := frameOf(t)
	_, leave, err := f.Gate.Enter(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	never := func(http.ResponseWriter, *http.Request) error { t.Error("the work was done"); return nil }
	whole, part := heavy(f, never), heavy(f, never, "HX-Request")
	for _, w := range []*httptest.ResponseRecorder{whole, part} {
		if w.Code != http.StatusServiceUnavailable || w.Header().Get("Retry-After") == "" || !strings.Contains(w.Body.String(), "Much is going on at once") {
			t.Errorf("%d %v %.300s", w.Code, w.Header(), w.Body)
		}
	}
	if strings.Contains(part.Body.String(), "<html") || part.Header().Get("HX-Retarget") != "main" || !strings.Contains(whole.Body.String(), "<html") {
		t.Error("a script gets a page, or a reader a part of one")
	}
	leave()
	if w := heavy(f, func(w http.ResponseWriter, _ *http.Request) error { w.WriteHeader(http.StatusTeapot); return nil }); w.Code != http.StatusTeapot {
		t.Errorf("with room: %d", w.Code)
	}
}

func TestWorkThatTakesTooLongIsTold(t *testing.T) {
	f := frameOf(t)
	w := heavy(f, func(_ http.ResponseWriter, r *http.Request) error { <-r.Context().Done(); return r.Context().Err() })
	if w.Code != http.StatusServiceUnavailable || !strings.Contains(w.Body.String(), "took too long") {
		t.Errorf("%d %.300s", w.Code, w.Body)
	}
	if busyMessage(errors.New("a fault")) != nil || busyMessage(context.DeadlineExceeded) == nil {
		t.Error("faults and want of time are mixed up")
	}
}

// TestOnlyARefusalForWantOfRoomIsBusy.
func TestOnlyARefusalForWantOfRoomIsBusy(t *testing.T) {
	full := &wire.Refusal{Status: http.StatusServiceUnavailable, Text: "eight files come in already"}
	if m := busyMessage(fmt.Errorf("reading: %w", full)); m == nil || !strings.HasPrefix(m.Text, "Eight files") {
		t.Errorf("%+v", m)
	}
	if m := busyMessage(&wire.Refusal{Status: http.StatusUnprocessableEntity, Text: "no"}); m != nil {
		t.Errorf("a refusal of another kind: %+v", m)
	}
}

// TestWhoeverWentAwayMadeNoPageFail: a page whose reader closed it is no fault in the log,
// and no second page is written behind the first; one that failed for somebody who waits is.
func TestWhoeverWentAwayMadeNoPageFail(t *testing.T) {
	for gone, faults := range map[bool]int{true: 0, false: 1} {
		f, log := frameOf(t), new(strings.Builder)
		f.Log = slog.New(slog.NewTextHandler(log, nil))
		ctx, leave := context.WithCancel(t.Context())
		defer leave()
		w := httptest.NewRecorder()
		f.Page(func(http.ResponseWriter, *http.Request) error {
			if gone {
				leave()
			}
			return errors.New("the connection was cut")
		}).ServeHTTP(w, httptest.NewRequestWithContext(ctx, http.MethodGet, "/", nil))
		if n := strings.Count(log.String(), "page failed"); n != faults || (w.Body.Len() > 0) != (faults > 0) {
			t.Errorf("gone %t: %d faults, answered %d with %d bytes", gone, n, w.Code, w.Body.Len())
		}
	}
}
