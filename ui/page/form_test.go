package page

import (
	"errors"
	"io/fs"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"thole/api/records"
	"thole/api/wire"
)

// changes reads "field from→to who", where nothing stands for no value.
func changes(lines ...string) []wire.RecordChange {
	var list []wire.RecordChange
	for i, line := range lines {
		before, after, _ := strings.Cut(line, "→")
		at := strings.LastIndex(before, " ")
		to, by, _ := cutLast(after)
		c := wire.RecordChange{Version: int64(i + 2), By: by, At: time.Date(2026, 5, 3, 12, 0, 0, 0, time.Local)}
		c.Field = before[:at]
		if rest, ok := strings.CutPrefix(c.Field, "seat "); ok {
			number, field, _ := strings.Cut(rest, " ")
			c.Seat, _ = strconv.Atoi(number)
			c.Field = field
		}
		if from := before[at+1:]; from != "" {
			c.From = &from
		}
		if to != "" {
			c.To = &to
		}
		list = append(list, c)
	}
	return list
}

func cutLast(text string) (before, after string, found bool) {
	at := strings.LastIndex(text, " ")
	return text[:max(at, 0)], text[at+1:], at >= 0
}

func typed(pairs ...string) url.Values {
	v := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		v.Set(pairs[i], pairs[i+1])
	}
	return v
}

func TestFormsReadWhatWasTyped(t *testing.T) {
	f := NewForm(typed("version", "7", "name", "  Ann ", "mass", "85,5 kg", "odd", "many", "on", "true", "off", "yes", "blank", " "))
	is(t, "version", f.KnownVersion(), 7)
	is(t, "text", f.Text("name"), "Ann")
	is(t, "number", *f.Number("mass"), 85.5)
	is(t, "no number", f.Number("odd"), nil)
	is(t, "left out", f.Number("blank"), nil)
	is(t, "complaints", len(f.Complaints) == 1 && strings.Contains(f.Complaints["odd"], "many"), true)
	is(t, "ticks", f.Ticked("on") && !f.Ticked("off") && !f.Ticked("none"), true)
	into := url.Values{}
	SetNumber(into, "a", new(1.25))
	SetNumber(into, "b", nil)
	SetTick(into, "c", true)
	SetTick(into, "d", false)
	SetText(into, "e", "x")
	is(t, "filled", into.Encode(), "a=1.25&c=true&e=x")
}

// TestComplaintsStandAtTheirFields; what belongs to no field is told on top, and
// the first field that needs another look has the focus.
func TestComplaintsStandAtTheirFields(t *testing.T) {
	f := NewForm(typed("name", "<b>", "mass", "x"))
	f.Number("mass")
	f.SetPlace("name", wire.At("boat", "name"))
	if !f.refused(&wire.Invalid{Fields: []wire.FieldProblem{wire.At("boat", "name").Problem("Taken."), wire.At("boat", "hull_mass_kg").Problem("Odd.")}}) {
		t.Fatal("not refused")
	}
	group := []Value{ByField(), TextField("name", "Name", "").AsNeeded(), NumberField("mass", "Mass", "kg", "", "")}
	f.Fill(group)
	is(t, "kept", group[1].Value+group[2].Value, "<b>x")
	is(t, "said", group[1].Problem, "Taken.")
	is(t, "focus", !group[0].Focus && group[1].Focus && !group[2].Focus, true)
	is(t, "on top", len(f.Problems), 3)
	is(t, "first", f.Problems[0], Problem{"name", "Name", "Taken."})
	is(t, "of no field", f.Problems[2], Problem{Label: "Hull mass", Text: "Odd."})
	is(t, "status", f.refusal(), http.StatusUnprocessableEntity)
	is(t, "a fault is none", f.refused(errors.New("a fault")), false)
}

// met is a form that met the changes of others, with one group of fields.
func met(t *testing.T, typed url.Values, list []wire.RecordChange, names ...string) (*RecordForm, []Value) {
	t.Helper()
	f := NewForm(typed)
	if !f.refused(&records.Conflict{Version: 9, Changes: list}) || f.refusal() != http.StatusConflict {
		t.Fatal("no conflict")
	}
	var group []Value
	for _, name := range names {
		group = append(group, TextField(name, name, ""))
	}
	f.Fill(group)
	return f, group
}

// TestEditsThatMeet: what the reader left as it was is taken over, what both
// changed stays as typed and is told, what both changed alike is no matter.
func TestEditsThatMeet(t *testing.T) {
	f, group := met(t, typed("version", "1", "name", "Ann", "note", "mine", "mass_kg", "85.0", "age", "15"),
		changes("name Ann→Anne Bea", "note old→theirs Bea", "mass_kg 80→85 Cy", "hidden 1→2 Cy"), "name", "note", "mass_kg", "age")
	is(t, "version", f.Version, "9")
	is(t, "who", f.Clash.Who, "Bea and Cy")
	is(t, "taken over", group[0].Value, "Anne")
	is(t, "mine", group[1].Value, "mine")
	is(t, "theirs beside mine", strings.Contains(group[1].Theirs, "theirs") && strings.Contains(group[1].Theirs, "Bea") && strings.Contains(group[1].Theirs, "old"), true)
	is(t, "no other", group[0].Theirs+group[2].Theirs+group[3].Theirs, "")
	is(t, "the same number", group[2].Value, "85.0")
	is(t, "untouched", group[3].Value, "15")
	is(t, "lines", len(f.Clash.Lines), 4)
	outcomes := map[string]bool{}
	for _, l := range f.Clash.Lines {
		outcomes[l.Outcome] = true
	}
	is(t, "four outcomes", len(outcomes), 4)
	is(t, "hidden is not typed in", f.Typed.Has("hidden"), false)
}

// TestSeveralChangesOfAFieldCountFromTheFirst to the last.
func TestSeveralChangesOfAFieldCountFromTheFirst(t *testing.T) {
	f, group := met(t, typed("name", "Ann", "note", "b"), changes("name Ann→Anne Bea", "name Anne→Anja Cy", "note a→b Bea", "note b→a Cy"), "name", "note")
	is(t, "the last", group[0].Value, "Anja")
	is(t, "from the first", f.Clash.Lines[0].From+" "+f.Clash.Lines[0].To+" "+f.Clash.Lines[0].By, "Ann Anja Cy")
	is(t, "there and back", group[1].Value, "b")
	is(t, "lines", len(f.Clash.Lines), 2)
}

// TestChangesOfSeatsAndRangesReachTheirFields.
func TestChangesOfSeatsAndRangesReachTheirFields(t *testing.T) {
	_, group := met(t, typed("seat3_span_cm", "159", "boat_class", "8+", "span_cm_min", "83", "span_cm_max", "88", "span_cm_step", "0.5"),
		changes("seat 3 span_cm 159→160 Bea", "boat_class 8+→4+ Bea"), "seat3_span_cm", "boat_class")
	is(t, "seat", group[0].Value, "160")
	is(t, "class", group[1].Value, "4+")
	from, to := &wire.ChangedRange{Min: 83, Max: 88, Step: 0.5, Cost: 6}, &wire.ChangedRange{Min: 84, Max: 90, Step: 1, Cost: 7}
	_, group = met(t, typed("span_cm_min", "83", "span_cm_max", "89", "span_cm_step", "0.5"),
		[]wire.RecordChange{{Field: "span_cm", FromRange: from, ToRange: to, By: "Bea"}}, "span_cm_min", "span_cm_max", "span_cm_step")
	is(t, "parts", group[0].Value+" "+group[1].Value+" "+group[2].Value, "84 89 1")
	is(t, "met", strings.Contains(group[1].Theirs, "90") && strings.Contains(group[1].Theirs, "88"), true)
}

func TestValuesOfFormsAreCompared(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{{"1", "1.0", true}, {"1,5", "1.5", true}, {"", "false", true}, {"", "true", false}, {"a", "b", false}, {"", "0", false}, {"x", "x", true}, {"1", "x", false}} {
		is(t, c.a+" and "+c.b, sameText(c.a, c.b), c.same)
	}
	is(t, "words", shownText("")+shownText("true")+shownText("false")+shownText("x"), "emptyyesnox")
	is(t, "nobody", ClashNames(nil) != "", true)
	is(t, "who twice", ClashNames(changes("a 1→2 Ann", "a 2→3 Ann")), "Ann")
}

// frame is a frame over assets of its own, with one page more.
func frame(t *testing.T) *Frame {
	t.Helper()
	files := fstest.MapFS{}
	for _, name := range []string{"assets/css/a.css", "assets/css/b.css", "assets/js/a.js", "assets/mark.svg", "node_modules/htmx.org/dist/htmx.min.js"} {
		files[name] = &fstest.MapFile{Data: []byte("/* " + name + " */")}
	}
	area := fstest.MapFS{"own.html": {Data: []byte(`{{define "title"}}Own{{end}}{{define "main"}}{{template "form" .}}{{end}}{{define "form"}}<form>{{.}}</form>{{end}}`)}}
	f, err := NewFrame(slog.New(slog.DiscardHandler), files, area)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := NewFrame(slog.New(slog.DiscardHandler), files, area, area); err == nil {
		t.Error("two pages of a name")
	}
	delete(files, "assets/mark.svg")
	if _, err := NewFrame(slog.New(slog.DiscardHandler), fs.FS(files), area); err == nil {
		t.Error("an asset is missing")
	}
	return f
}

func posted(form url.Values, htmx bool) *http.Request {
	r := httptest.NewRequest(http.MethodPost, "/x", strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if htmx {
		r.Header.Set("HX-Request", "true")
	}
	return r
}

// submitted sends a form whose writing ends in an error.
func submitted(t *testing.T, f *Frame, htmx bool, form url.Values, number string, fault error) (*httptest.ResponseRecorder, bool) {
	t.Helper()
	w, wrote := httptest.NewRecorder(), false
	r := posted(form, htmx)
	sent := f.Sent(w, r)
	sent.Number(number)
	err := f.Submit(w, r, sent, FormPage{Page: "own", Part: "form", Build: func() (any, error) { return "again", nil }},
		func() (string, error) { wrote = true; return "/y", fault })
	if err != nil {
		t.Fatal(err)
	}
	return w, wrote
}

func TestFormsAreSavedOrShownAgain(t *testing.T) {
	f := frame(t)
	for _, htmx := range []bool{false, true} {
		w, wrote := submitted(t, f, htmx, typed("by", " Ann "), "a", nil)
		if status := map[bool]int{false: http.StatusSeeOther, true: http.StatusNoContent}[htmx]; w.Code != status || !wrote || w.Header().Get("Location")+w.Header().Get("HX-Redirect") != "/y" {
			t.Errorf("saved, %t: %d %v", htmx, w.Code, w.Header())
		}
		if cookie := w.Result().Cookies(); len(cookie) != 1 || cookie[0].Value != "Ann" || !cookie[0].HttpOnly {
			t.Errorf("the name: %v", cookie)
		}
		for status, fault := range map[int]error{http.StatusUnprocessableEntity: wire.At("name").Invalid("x"), http.StatusConflict: &records.Conflict{Version: 2}} {
			w, _ = submitted(t, f, htmx, nil, "a", fault)
			if w.Code != status || strings.Contains(w.Body.String(), "<html") == htmx || !strings.Contains(w.Body.String(), "<form>again</form>") {
				t.Errorf("refused, %t: %d %s", htmx, w.Code, w.Body)
			}
		}
		w, wrote = submitted(t, f, htmx, typed("a", "x"), "a", nil)
		if w.Code != http.StatusUnprocessableEntity || wrote {
			t.Errorf("no number: %d, written: %t", w.Code, wrote)
		}
	}
	w, _ := submitted(t, f, false, nil, "a", wire.ErrNotFound)
	is(t, "gone", w.Code, http.StatusNotFound)
	w, _ = submitted(t, f, false, nil, "a", &wire.Refusal{Status: http.StatusConflict, Text: "in use"})
	is(t, "in use", w.Code == http.StatusConflict && strings.Contains(w.Body.String(), "In use."), true)
	is(t, "too large", f.Sent(httptest.NewRecorder(), posted(typed("a", strings.Repeat("x", MaxForm)), false)), nil)
	is(t, "as large as may be", f.Sent(httptest.NewRecorder(), posted(typed("a", strings.Repeat("x", MaxForm-2)), false)) != nil, true)
	fault := errors.New("a fault")
	is(t, "a fault of ours", f.Fail(httptest.NewRecorder(), fault), fault)
}

func TestWhoEditsIsRemembered(t *testing.T) {
	w := httptest.NewRecorder()
	Remember(w, "  ")
	is(t, "nobody", len(w.Result().Cookies()), 0)
	w = httptest.NewRecorder()
	Remember(w, " Zoë; Ann ")
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	is(t, "not known yet", Who(r), "")
	r.AddCookie(w.Result().Cookies()[0])
	is(t, "known", Who(r), "Zoë; Ann")
}

func TestPagesThatFailAreAnswered(t *testing.T) {
	f := frame(t)
	for status, h := range map[int]Handler{
		http.StatusInternalServerError: func(http.ResponseWriter, *http.Request) error { return errors.New("secret") },
		http.StatusOK:                  f.home, http.StatusNotFound: f.Missing,
		http.StatusBadRequest: func(w http.ResponseWriter, _ *http.Request) error { return f.Broken(w) },
	} {
		w := httptest.NewRecorder()
		f.Page(h).ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
		if w.Code != status || strings.Contains(w.Body.String(), "secret") || w.Header().Get("Cache-Control") != "no-store" || w.Header().Get("Vary") != "HX-Request" {
			t.Errorf("%d, want %d: %v", w.Code, status, w.Header())
		}
	}
}

func TestAssetsAreKeptForGood(t *testing.T) {
	f := frame(t)
	address, err := f.Assets.address("thole.css")
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodGet, address, nil)
	r.SetPathValue("name", strings.TrimPrefix(address, "/assets/"))
	w := httptest.NewRecorder()
	f.Assets.ServeHTTP(w, r)
	if w.Code != http.StatusOK || w.Body.String() != "/* assets/css/a.css *//* assets/css/b.css */" || !strings.Contains(w.Header().Get("Cache-Control"), "immutable") ||
		!strings.HasPrefix(w.Header().Get("Content-Type"), "text/css") {
		t.Errorf("%d %v %s", w.Code, w.Header(), w.Body)
	}
	if _, err := f.Assets.address("none.css"); err == nil {
		t.Error("an asset that is not there has an address")
	}
	r.SetPathValue("name", "none.css")
	w = httptest.NewRecorder()
	f.Assets.ServeHTTP(w, r)
	is(t, "missing", w.Code, http.StatusNotFound)
}

func TestListsAndAddresses(t *testing.T) {
	q := NewListQuery(httptest.NewRequest(http.MethodGet, "/?name=+Ann+&archived=true", nil))
	is(t, "query", q, ListQuery{Name: "Ann", Archived: true})
	is(t, "request", q.Request().Name == "Ann" && q.Request().Archived, true)
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	r.SetPathValue("id", "12")
	r.SetPathValue("no", "x")
	is(t, "id", PathID(r, "id"), 12)
	is(t, "no id", PathID(r, "no"), 0)
}
