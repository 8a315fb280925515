package page

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"thole/api/access"
)

// sends is a request to the frame.
type sends struct {
	method, path, body string
	viewer             *access.Viewer
	script             bool
	plain              bool // is no form
}

// ask sends a request to a page of its own frame and returns the answer.
func ask(f *Frame, p Route, s sends) *httptest.ResponseRecorder {
	w, r := httptest.NewRecorder(), httptest.NewRequest(s.method, s.path, strings.NewReader(s.body))
	if s.method == http.MethodPost && !s.plain {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if s.script {
		r.Header.Set("HX-Request", "true")
	}
	if s.viewer != nil {
		r = r.WithContext(access.With(r.Context(), s.viewer))
	}
	f.Guarded(p).ServeHTTP(w, r)
	return w
}

func says(text string) Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		_, err := w.Write([]byte(text + r.PostFormValue("by")))
		return err
	}
}

var (
	visitor = &access.Viewer{}
	rower   = &access.Viewer{Role: access.Athlete, Account: 4, Name: "Ada", Athlete: 7}
	boatman = &access.Viewer{Role: access.Boatman, Account: 3, Name: "Bo"}
	coach   = &access.Viewer{Role: access.Coach, Account: 2, Name: "Cy"}
)

// TestPagesLeadToTheSignIn, and back to where the reader wanted to go: never to a
// write, which would be done again, and a script is told where to go.
func TestPagesLeadToTheSignIn(t *testing.T) {
	f := frameOf(t)
	for _, c := range []struct {
		sends
		status       int
		header, want string
	}{
		{sends{method: "GET", path: "/boats?x=1", viewer: visitor}, 303, "Location", "/sign-in?next=%2Fboats%3Fx%3D1"},
		{sends{method: "GET", path: "/", viewer: visitor}, 303, "Location", "/sign-in"},
		{sends{method: "POST", path: "/boats", viewer: visitor}, 303, "Location", "/sign-in"},
		{sends{method: "GET", path: "/boats", viewer: visitor, script: true}, 204, "HX-Redirect", "/sign-in?next=%2Fboats"},
		{sends{method: "GET", path: "/boats", viewer: coach}, 200, "Location", ""},
		{sends{method: "GET", path: "/boats", viewer: rower}, 403, "Location", ""},
		{sends{method: "GET", path: "/boats"}, 200, "Location", ""}, // the machine's own user
	} {
		w := ask(f, For(access.Staff, says("boats")), c.sends)
		if w.Code != c.status || w.Header().Get(c.header) != c.want {
			t.Errorf("%+v: %d %s", c.sends, w.Code, w.Header().Get(c.header))
		}
	}
}

// TestWhoWritesIsTheAccount, whatever the form says; nobody is named who was not.
func TestWhoWritesIsTheAccount(t *testing.T) {
	f := frameOf(t)
	for _, c := range []struct {
		sends
		want string
	}{
		{sends{method: "POST", path: "/x", body: "by=Somebody", viewer: coach}, "by Cy"},
		{sends{method: "POST", path: "/x", body: "name=Wren", viewer: coach}, "by "},
		{sends{method: "POST", path: "/x", body: "by=Somebody"}, "by Somebody"},
	} {
		if w := ask(f, For(access.Staff, says("by ")), c.sends); w.Body.String() != c.want {
			t.Errorf("%+v: %s", c.sends, w.Body)
		}
	}
}

// TestFormsTooLargeAreRefusedAsAPage, and to a script in place of the page's content.
func TestFormsTooLargeAreRefusedAsAPage(t *testing.T) {
	f := frameOf(t)
	large := "note=" + strings.Repeat("x", MaxForm)
	reached := For(access.Everyone, says("reached"))
	if w := ask(f, reached, sends{method: "POST", path: "/x", body: large}); w.Code != 413 || !strings.Contains(w.Body.String(), "<!DOCTYPE") && !strings.Contains(w.Body.String(), "<!doctype") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	w := ask(f, reached, sends{method: "POST", path: "/x", body: large, script: true})
	if w.Code != 413 || w.Header().Get("HX-Retarget") != "main" || strings.Contains(strings.ToLower(w.Body.String()), "<!doctype") {
		t.Errorf("%d %v %s", w.Code, w.Header(), w.Body)
	}
	if w := ask(f, reached, sends{method: "POST", path: "/squad/import", body: large}); w.Code != 200 {
		t.Errorf("a table of the same size: %d", w.Code)
	}
	if w := ask(f, reached, sends{method: "POST", path: "/x", body: "a=%zz"}); w.Code != 400 {
		t.Errorf("a form that cannot be read: %d", w.Code)
	}
	if w := ask(f, reached, sends{method: "POST", path: "/x", body: large, plain: true}); w.Code != 200 {
		t.Errorf("what is no form is not read: %d", w.Code)
	}
}

// TestFaultsAreShownWithoutDetail.
func TestFaultsAreShownWithoutDetail(t *testing.T) {
	w := ask(frameOf(t), For(access.Everyone, func(http.ResponseWriter, *http.Request) error { return errors.New("a secret of the disk") }), sends{method: "GET", path: "/x"})
	if w.Code != 500 || strings.Contains(w.Body.String(), "secret") || !strings.Contains(w.Body.String(), "This did not work") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

// openTo tells the frame that only these pages are there, with their rules.
func openTo(f *Frame) {
	f.Complete(map[string]access.Rule{
		"GET /boats": access.Staff, "GET /setup": access.Staff, "GET /athletes": access.Coaches, "GET /squad/import": access.Coaches, "GET /seat": access.Everyone,
	}, Extras{
		Todo: func(context.Context) ([]Todo, error) { return []Todo{{Text: "Two sheets wait"}}, nil },
		Start: func(context.Context) (Start, error) {
			return Start{Empty: true, Steps: []Step{{Title: "Add athletes"}}}, nil
		},
	})
}

// TestTheNavigationShowsWhatTheViewerMayOpen, an athlete's own page first.
func TestTheNavigationShowsWhatTheViewerMayOpen(t *testing.T) {
	f := frameOf(t)
	openTo(f)
	for name, c := range map[string]struct {
		viewer *access.Viewer
		want   []string
	}{
		"coach":   {coach, []string{"/boats", "/setup", "/seat", "/athletes", "/squad/import"}},
		"boatman": {boatman, []string{"/boats", "/setup", "/seat"}},
		"athlete": {rower, []string{"/athletes/7", "/seat"}},
		"nobody":  {visitor, nil},
		"reader":  {&access.Viewer{Role: access.Athlete, Account: 4, Athlete: 7, Shared: true}, nil},
	} {
		r := httptest.NewRequest(http.MethodGet, "/athletes/7", nil)
		s := f.Pages.inFrame(&viewing{httptest.NewRecorder(), r.WithContext(access.With(r.Context(), c.viewer)), access.Everyone}, "athlete", "Ada", nil)
		var got []string
		for _, p := range s.Places {
			for _, l := range p.Links {
				got = append(got, l.Address)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
		if name == "athlete" && (!s.Places[0].Present || !s.Places[0].Links[0].Present) {
			t.Error("the own page is not marked")
		}
		if s.Plain != true {
			t.Errorf("%s is not told that the connection is plain", name)
		}
	}
	trusted := f.Pages.inFrame(httptest.NewRecorder(), "athlete", "Ada", nil)
	if len(trusted.Places) != len(places) || trusted.Plain {
		t.Errorf("the machine's own user: %+v", trusted)
	}
}

// TestTheStartPageOfEachPerson: what waits for those who signed in, first steps for
// those who can take them.
func TestTheStartPageOfEachPerson(t *testing.T) {
	f := frameOf(t)
	openTo(f)
	home := f.OwnPages()["GET /{$}"]
	for name, c := range map[string]struct {
		viewer   *access.Viewer
		has, not []string
	}{
		"coach":   {coach, []string{"Two sheets wait", "Add athletes", "Load the examples", "Set a boat up", "Fit the boat"}, []string{"My page"}},
		"boatman": {boatman, []string{"Two sheets wait", "Set a boat up"}, []string{"Add athletes", "Load the examples", "My page"}},
		"athlete": {rower, []string{"Two sheets wait", "My page", "<h1>Ada</h1>", "Measure yourself", "My seat"}, []string{"Add athletes", "Set a boat up"}},
		"trusted": {nil, []string{"Add athletes", "Set a boat up"}, []string{"Two sheets wait", "My page"}},
	} {
		w := ask(f, home, sends{method: "GET", path: "/", viewer: c.viewer})
		text := w.Body.String()
		if w.Code != http.StatusOK {
			t.Errorf("%s: %d", name, w.Code)
		}
		for _, want := range c.has {
			if !strings.Contains(text, want) {
				t.Errorf("%s: no %q", name, want)
			}
		}
		for _, no := range c.not {
			if strings.Contains(text, no) {
				t.Errorf("%s: there is %q", name, no)
			}
		}
	}
}

// frameWith is a frame with pages of the test's own.
func frameWith(t *testing.T, templates fstest.MapFS) *Frame {
	t.Helper()
	f, err := NewFrame(slog.New(slog.DiscardHandler), fstest.MapFS{
		"assets/css/a.css": {}, "assets/js/a.js": {}, "assets/mark.svg": {}, "node_modules/htmx.org/dist/htmx.min.js": {},
	}, templates)
	if err != nil {
		t.Fatal(err)
	}
	f.Pages.ParseAll()
	return f
}

// TestLinksThatLeadNowhereForTheReaderAreText on whole pages; fragments are left as
// they are, since their page was made ready.
func TestLinksThatLeadNowhereForTheReaderAreText(t *testing.T) {
	f := frameWith(t, fstest.MapFS{"probe.html": {Data: []byte(`{{define "title"}}Probe · Thole{{end}}{{define "main"}}<p><a href="/athletes">all of them</a></p>{{end}}`)}})
	var carried []string
	openTo(f)
	f.Pages.extras.Carry = func(_ *http.Request, _ access.Rule, title string) *Carry {
		carried = append(carried, title)
		return nil
	}
	for _, c := range []struct {
		viewer      *access.Viewer
		whole, part bool
	}{{rower, false, true}, {boatman, false, true}, {coach, true, true}, {nil, true, true}} {
		for _, whole := range []bool{true, false} {
			show := For(access.Everyone, func(w http.ResponseWriter, _ *http.Request) error {
				if whole {
					return f.Pages.Show(w, http.StatusOK, "probe", nil)
				}
				return f.Pages.Fragment(w, http.StatusOK, "probe", "main", nil)
			})
			w := ask(f, show, sends{method: "GET", path: "/seat", viewer: c.viewer})
			want := c.whole && whole || c.part && !whole
			if leads := strings.Contains(w.Body.String(), `<a href="/athletes">all of them</a>`); w.Code != http.StatusOK || leads != want {
				t.Errorf("%+v, whole %v: %d, leads on %v", c.viewer, whole, w.Code, leads)
			}
		}
	}
	if want := []string{"Probe", "Probe", "Probe"}; !slices.Equal(carried, want) {
		t.Errorf("%q can be carried to another screen, want %q: whole pages of those who signed in", carried, want)
	}
}

// TestOnlyPagesThatAreReadCanBeCarried to another screen: no message, nothing posted.
func TestOnlyPagesThatAreReadCanBeCarried(t *testing.T) {
	f := frameWith(t, fstest.MapFS{"bare.html": {Data: []byte(`{{define "main"}}{{end}}`)}})
	carried := ""
	f.Complete(nil, Extras{Carry: func(_ *http.Request, _ access.Rule, title string) *Carry { carried += title + "."; return nil }})
	for _, c := range []struct{ method, page, want string }{{"GET", "bare", "Thole."}, {"POST", "bare", ""}, {"GET", "message", ""}} {
		carried = ""
		w := ask(f, For(access.Everyone, func(w http.ResponseWriter, _ *http.Request) error {
			return f.Pages.Show(w, http.StatusOK, c.page, Message{Title: "x"})
		}), sends{method: c.method, path: "/x", viewer: coach})
		if w.Code != http.StatusOK || carried != c.want {
			t.Errorf("%s %s: %d, %q", c.method, c.page, w.Code, carried)
		}
	}
}

// TestAreasKeepTheirPagesApart: parts that pages share are no pages, and no two pages
// have one name.
func TestAreasKeepTheirPagesApart(t *testing.T) {
	f := frameWith(t, fstest.MapFS{"a.html": {Data: []byte(`{{define "main"}}{{template "shared"}}{{end}}`)}, "x_parts.html": {Data: []byte(`{{define "shared"}}both{{end}}`)}})
	for name, want := range map[string]bool{"a": true, "message": true, "x_parts": false, "layout": false, "parts": false} {
		if _, ok := f.Pages.byName[name]; ok != want {
			t.Errorf("%s is a page: %v", name, ok)
		}
	}
	w := httptest.NewRecorder()
	if err := f.Pages.Fragment(w, http.StatusOK, "a", "main", nil); err != nil || w.Body.String() != "both" {
		t.Errorf("%v %s", err, w.Body)
	}
	assets := fstest.MapFS{"assets/css/a.css": {}, "assets/js/a.js": {}, "assets/mark.svg": {}, "node_modules/htmx.org/dist/htmx.min.js": {}}
	if _, err := NewFrame(slog.New(slog.DiscardHandler), assets, fstest.MapFS{"message.html": {Data: []byte("x")}}); err == nil {
		t.Error("two pages have one name")
	}
}
