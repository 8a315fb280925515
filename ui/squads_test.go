package ui

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"thole/ui/page"
)

// TestTheSquadIsRememberedInThisBrowserAlone: what an address asks for is kept until
// the browser is closed, and nothing that is no squad is. What is shown of it is
// tested with the pages.
func TestTheSquadIsRememberedInThisBrowserAlone(t *testing.T) {
	ask := func(path, kept string) (set *http.Cookie, chosen bool) {
		r, w := httptest.NewRequest("GET", path, nil), httptest.NewRecorder()
		if kept != "" {
			r.AddCookie(&http.Cookie{Name: squadCookie, Value: kept})
		}
		rememberSquad(http.HandlerFunc(func(_ http.ResponseWriter, inner *http.Request) {
			chosen = inner.Context() != r.Context()
		})).ServeHTTP(w, r)
		for _, c := range w.Result().Cookies() {
			set = c
		}
		return set, chosen
	}
	set, chosen := ask("/line-ups?among=3", "")
	if set == nil || set.Value != "3" || set.MaxAge != 0 || !set.Expires.IsZero() || !set.HttpOnly || chosen {
		t.Errorf("asked for: %v, chosen before %v", set, chosen)
	}
	if set, chosen = ask("/line-ups", "3"); set != nil || !chosen {
		t.Errorf("remembered: %v, %v", set, chosen)
	}
	if set, chosen = ask("/line-ups?among="+page.Everybody, "3"); set == nil || set.Value != page.Everybody || chosen {
		t.Errorf("everybody: %v, %v", set, chosen)
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
