package once_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"thole/api/once"
	"thole/api/store"
	"thole/api/storetest"
)

// athletesForm puts the athlete of a form on record and leads to the address that the
// form names.
func athletesForm(t *testing.T, s *store.Store) http.Handler {
	return once.New(s).Forms(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := r.ParseForm(); err != nil || r.Form.Has("once") {
			t.Errorf("the key is left in the form: %v, %v", r.Form, err)
		}
		if _, err := s.AddAthlete(r.Context(), store.Athlete{Name: r.Form.Get("name")}, storetest.Anna); err != nil {
			http.Error(w, err.Error(), http.StatusConflict)
			return
		}
		w.Header().Set("Worked", "true")
		switch to := r.Form.Get("to"); to {
		case "":
			_, _ = fmt.Fprint(w, "saved")
		case "fail":
			w.WriteHeader(http.StatusInternalServerError)
		default:
			http.Redirect(w, r, to, http.StatusSeeOther)
		}
	}), 1000)
}

func posted(h http.Handler, body string, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, "/athletes", strings.NewReader(body))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// TestFormsCountOnce: what the browser is told where a form comes again, and which
// forms count each time.
func TestFormsCountOnce(t *testing.T) {
	h := athletesForm(t, storetest.Open(t))
	led := "name=Edda&once=a&to=" + url.QueryEscape("/athletes/1?told=Edda")
	for i, c := range []struct {
		body   string
		header []string
		worked bool
		status int
		says   string
		value  string
	}{
		{led, nil, true, 303, "Location", "/athletes/1?told=Edda"},
		{led, nil, false, 303, "Location", "/athletes/1"},
		{led, []string{"HX-Request", "true"}, false, 204, "HX-Redirect", "/athletes/1"},
		{"name=Frieda&once=a", nil, true, 200, "Location", ""}, // another content
		{"name=Frieda&once=a", nil, false, 303, "Location", "/"},
		{"name=Frieda&once=a", []string{"Referer", "http://localhost/athletes"}, false, 303, "Location", "http://localhost/athletes"},
		{"once=a&name=Frieda", []string{"HX-Request", "true"}, false, 204, "HX-Refresh", "true"},
		{"name=Gerda&once=b&to=fail", nil, true, 500, "", ""},
		{"name=Gerda&once=b&to=fail", nil, false, 409, "", ""}, // worked on again, and refused for the name
		{"name=Hanna", nil, true, 200, "", ""},
		{"name=Ida&once=", nil, true, 200, "", ""},
		{"name=Jana&once=" + strings.Repeat("x", 300), nil, true, 200, "", ""}, // no key of ours
	} {
		w := posted(h, c.body, c.header...)
		if (w.Header().Get("Worked") != "") != c.worked || w.Code != c.status || w.Header().Get(c.says) != c.value {
			t.Errorf("%d: %d %v", i, w.Code, w.Header())
		}
	}
}

// TestLargeFormsAreLeftToTheHandler, and are read whole by it.
func TestLargeFormsAreLeftToTheHandler(t *testing.T) {
	got := 0
	h := once.New(storetest.Open(t)).Forms(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		_ = r.ParseForm()
		got = len(r.Form.Get("note")) + len(r.Form.Get("once"))
	}), 1000)
	for _, n := range []int{10, 2000} {
		for _, told := range []bool{true, false} { // whether the length is told beforehand
			r := httptest.NewRequest(http.MethodPost, "/athletes", strings.NewReader("once=k&note="+strings.Repeat("x", n)))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			if !told {
				r.ContentLength = -1
			}
			h.ServeHTTP(httptest.NewRecorder(), r)
			if want := map[int]int{10: 10, 2000: 2001}[n]; got != want {
				t.Errorf("%d bytes: %d arrived, want %d", n, got, want)
			}
		}
	}
}
