package once_test

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"testing"

	"thole/api/once"
	"thole/api/store"
	"thole/api/storetest"
)

// TestFormsCountOnce: what the browser is told where a form comes again.
func TestFormsCountOnce(t *testing.T) {
	s := storetest.Open(t)
	k := once.New(s)
	send := func(k *once.Keeper, key, name, location string, fault error, header ...string) (w *httptest.ResponseRecorder, worked bool) {
		t.Helper()
		r := httptest.NewRequest(http.MethodPost, "/athletes", nil)
		r.PostForm, r.Form = url.Values{"name": {name}, "once": {key}}, url.Values{"name": {name}, "once": {key}}
		for i := 0; i < len(header); i += 2 {
			r.Header.Set(header[i], header[i+1])
		}
		w = httptest.NewRecorder()
		err := k.Form(w, r, func(w http.ResponseWriter, r *http.Request) (int, error) {
			worked = true
			if r.PostForm.Has("once") || r.Form.Has("once") {
				t.Error("the key is left in the form")
			}
			_, err := s.AddAthlete(r.Context(), store.Athlete{Name: name}, storetest.Anna)
			w.Header().Set("Location", location)
			return http.StatusSeeOther, errors.Join(err, fault)
		})
		if !errors.Is(err, fault) {
			t.Error(err)
		}
		return w, worked
	}
	send(k, "a", "Edda", "/athletes/1?told=Edda", nil)
	send(k, "b", "Frieda", "", nil)
	for i, c := range []struct {
		key, name   string
		header      []string
		status      int
		says, value string
	}{
		{"a", "Edda", nil, 303, "Location", "/athletes/1"},
		{"a", "Edda", []string{"HX-Request", "true"}, 204, "HX-Redirect", "/athletes/1"},
		{"b", "Frieda", nil, 303, "Location", "/"},
		{"b", "Frieda", []string{"Referer", "http://localhost/athletes"}, 303, "Location", "http://localhost/athletes"},
		{"b", "Frieda", []string{"HX-Request", "true"}, 204, "HX-Refresh", "true"},
	} {
		if w, worked := send(k, c.key, c.name, "", nil, c.header...); worked || w.Code != c.status || w.Header().Get(c.says) != c.value {
			t.Errorf("%d: worked %v, %d %v", i, worked, w.Code, w.Header())
		}
	}
	broken := errors.New("broken")
	if _, worked := send(k, "c", "Gerda", "", broken); !worked {
		t.Error("a fresh form was left aside")
	}
	if _, worked := send(k, "c", "Gerda 2", "", nil); !worked {
		t.Error("what failed cannot be sent again")
	}
	for _, keeper := range []*once.Keeper{k, nil} {
		if _, worked := send(keeper, map[bool]string{true: "", false: "d"}[keeper == k], "Hanna "+map[bool]string{true: "1", false: "2"}[keeper == k], "", nil); !worked {
			t.Error("without a key, or without a keeper, each form counts")
		}
	}
}
