package page

import (
	"net/http"
	"net/http/httptest"
	"testing"
)

// TestTheSquadIsRememberedInThisBrowserAlone: what an address asks for is kept until
// the browser is closed, and nothing that is no squad is.
func TestTheSquadIsRememberedInThisBrowserAlone(t *testing.T) {
	ask := func(path, kept string) (set *http.Cookie, shown any) {
		r, w := httptest.NewRequest("GET", path, nil), httptest.NewRecorder()
		if kept != "" {
			r.AddCookie(&http.Cookie{Name: squadCookie, Value: kept})
		}
		r = rememberSquad(w, r)
		for _, c := range w.Result().Cookies() {
			set = c
		}
		return set, r.Context().Value(squadKey{})
	}
	set, shown := ask("/line-ups?among=3", "")
	if set == nil || set.Value != "3" || set.MaxAge != 0 || !set.Expires.IsZero() || !set.HttpOnly || shown != nil {
		t.Errorf("asked for: %v, shown %v", set, shown)
	}
	if set, shown = ask("/line-ups", "3"); set != nil || shown != "3" {
		t.Errorf("remembered: %v, %v", set, shown)
	}
	if set, shown = ask("/line-ups?among=all", "3"); set == nil || set.Value != "all" || shown != nil {
		t.Errorf("everybody: %v, %v", set, shown)
	}
	if set, _ = ask("/line-ups?among=3", "3"); set != nil {
		t.Errorf("kept again: %v", set)
	}
	for _, odd := range []string{"%3Cb%3E", "-1", "x"} {
		if set, _ = ask("/line-ups?among="+odd, ""); set != nil {
			t.Errorf("%s is kept as %v", odd, set)
		}
	}
}
