package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"thole/api"
	"thole/api/apitest/hostile"
	"thole/ui"
	"thole/ui/page"
	"thole/ui/people"
)

// form is what a page lets a reader send.
type form struct {
	method, action string
	values         url.Values
	files          []string // fields that take a file
	lists          int      // long lists met so far
}

// walker follows the links of a club and gathers its forms.
type walker struct {
	testing.TB
	pages   http.Handler
	page    *html.Node // that is being read
	service *api.Service
	long    bool
	cookies []*http.Cookie
	log     bytes.Buffer
	seen    map[string]int // pages by their address without numbers
	forms   map[string]form
	pending []string
}

// Bounds of a walk: so many pages of each kind, since one boat's are like another's,
// and no answer that takes longer, however busy the machine is.
const (
	pagesOfAKind = 2
	hang         = time.Minute
)

var digits = regexp.MustCompile(`\d+`)

// kind is an address without what makes it one of many.
func kind(address string) string {
	path, query, _ := strings.Cut(address, "?")
	values, _ := url.ParseQuery(query)
	return digits.ReplaceAllString(path+"?"+strings.Join(slices.Sorted(maps.Keys(values)), "&"), "N")
}

// walked signs in as the first coach of the demo club and reads pages, sending every
// form as it stands but those that take something away. In a long walk it follows
// all links.
func walked(t testing.TB, long bool, pages ...string) *walker {
	t.Helper()
	w := &walker{TB: t, long: long, seen: map[string]int{}, forms: map[string]form{}, pending: pages}
	set := &settings{demo: true, zone: time.UTC}
	set.way.accounts = true
	h, err := open(t.Context(), set, slog.New(slog.NewTextHandler(&w.log, nil)))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := h.close(); err != nil {
			t.Error(err)
		}
	})
	w.pages, w.service = h.handler, h.service
	link, _, err := h.service.People.FirstLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	join := form{method: http.MethodPost, action: "/join/" + link.Secret}
	w.cookies = w.send("joining", join.request(url.Values{"name": {"Carla"}, "password": {"row the boat gently"}}, "", false)).Result().Cookies()
	for len(w.pending) > 0 {
		address := w.pending[0]
		w.pending = w.pending[1:]
		if k := kind(address); w.seen[k] < pagesOfAKind {
			w.seen[k]++
			w.read(address)
		}
	}
	return w
}

// read takes the links and forms of a page.
func (w *walker) read(address string) {
	answer := w.send("the page "+address, httptest.NewRequest(http.MethodGet, "http://localhost"+address, nil))
	if !strings.HasPrefix(answer.Header().Get("Content-Type"), "text/html") {
		return
	}
	doc, err := html.Parse(answer.Body)
	if err != nil {
		w.Fatal(err)
	}
	w.page = doc
	base, err := url.Parse("http://localhost" + address)
	if err != nil {
		w.Fatal(err)
	}
	for n := range doc.Descendants() {
		switch n.Data {
		case "a":
			w.link(base, valueOf(n, "href"))
		case "form":
			w.form(base, n)
		}
	}
}

// link is followed where it leads to another page of the club.
func (w *walker) link(base *url.URL, href string) {
	if to, err := base.Parse(href); err == nil && w.long && href != "" && to.Host == base.Host {
		to.Fragment = ""
		w.pending = append(w.pending, to.RequestURI())
	}
}

// form notes a form with what stands in its fields.
func (w *walker) form(base *url.URL, n *html.Node) {
	to, err := base.Parse(valueOf(n, "action"))
	if err != nil {
		w.Errorf("%s: a form leads to %q", base, valueOf(n, "action"))
		return
	}
	f := form{method: strings.ToUpper(valueOf(n, "method")), action: to.RequestURI(), values: url.Values{}}
	if f.method == "" {
		f.method = http.MethodGet
	}
	for field := range n.Descendants() {
		if name := valueOf(field, "name"); name != "" {
			f.take(field, name)
		}
	}
	for field := range w.page.Descendants() {
		if name := valueOf(field, "name"); name != "" && valueOf(n, "id") != "" && valueOf(field, "form") == valueOf(n, "id") {
			f.take(field, name)
		}
	}
	path, _, _ := strings.Cut(kind(f.action), "?")
	key := f.method + " " + path
	if known, there := w.forms[key]; there && len(known.values) >= len(f.values) {
		return // of those that lead to one place, the longest stands for all
	}
	w.forms[key] = f
	switch {
	case ends(key) || !w.long:
	case f.method == http.MethodGet:
		w.pending = append(w.pending, f.request(f.values, "", false).URL.RequestURI())
	default:
		answer := w.send("the form "+f.action, f.request(f.values, "name\nAnna\n", false))
		w.link(base, answer.Header().Get("Location"))
	}
}

// likely stands in fields that a page leaves open.
var likely = map[string]string{"name": "Wherry", "family_name": "Byrne", "note": "As seen.", "power_w": "250", "time": "7:00", "distance_m": "2000", "mass_kg": "80", "stature_cm": "185"}

// take notes what somebody would send of a field: what stands there, or what is
// likely to. Of long lists, such as those of athletes, every field takes another.
func (f *form) take(field *html.Node, name string) {
	value, kind := valueOf(field, "value"), valueOf(field, "type")
	switch {
	case kind == "file":
		f.files = append(f.files, name)
		return
	case field.Data == "select":
		value = f.choose(field)
	case field.Data == "textarea" && field.FirstChild != nil:
		value = field.FirstChild.Data
	case (kind == "checkbox" || kind == "radio") && !hasAttribute(field, "checked") && (value == "true" || value == "" || f.values.Has(name)):
		if !f.values.Has(name) {
			f.values.Set(name, "")
		}
		return
	}
	if value == "" {
		value = likely[name]
	}
	f.values.Add(name, value)
}

// choose is what is chosen in a list, or the first that means something.
func (f *form) choose(list *html.Node) string {
	var options []string
	for option := range list.Descendants() {
		switch {
		case option.Data != "option":
		case hasAttribute(option, "selected") && valueOf(option, "value") != "":
			return valueOf(option, "value")
		case valueOf(option, "value") != "":
			options = append(options, valueOf(option, "value"))
		}
	}
	if len(options) == 0 {
		return ""
	}
	if len(options) > 8 {
		f.lists++
		return options[f.lists%len(options)]
	}
	return options[0]
}

func valueOf(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func hasAttribute(n *html.Node, name string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == name })
}

// send fails where the answer is a fault of ours, or none.
func (w *walker) send(what string, r *http.Request) *httptest.ResponseRecorder {
	answer := httptest.NewRecorder()
	ctx, end := context.WithTimeout(r.Context(), hang)
	defer end()
	r.RemoteAddr = "127.0.0.1:1"
	for _, c := range w.cookies {
		r.AddCookie(c)
	}
	w.log.Reset()
	w.pages.ServeHTTP(answer, r.WithContext(ctx))
	if ctx.Err() != nil {
		w.Errorf("%s: no answer in %v", what, hang)
	}
	if answer.Code >= 500 {
		w.Errorf("%s: %d %.300s\n%s", what, answer.Code, answer.Body, w.log.String())
	}
	return answer
}

// request is what a browser, or a script where part is wanted, would send.
func (f form) request(values url.Values, file string, part bool) *http.Request {
	address, body, contentType := "http://localhost"+f.action, io.Reader(nil), ""
	switch {
	case f.method == http.MethodGet:
		path, _, _ := strings.Cut(address, "?")
		address = path + "?" + values.Encode()
	case len(f.files) > 0:
		var whole bytes.Buffer
		m := multipart.NewWriter(&whole)
		for name, list := range values {
			_ = m.WriteField(name, list[0]) // to memory, as what follows
		}
		for _, name := range f.files {
			to, _ := m.CreateFormFile(name, "table.csv")
			_, _ = io.WriteString(to, file)
		}
		_ = m.Close()
		body, contentType = &whole, m.FormDataContentType()
	default:
		body, contentType = strings.NewReader(values.Encode()), "application/x-www-form-urlencoded"
	}
	r := httptest.NewRequest(f.method, address, body)
	r.Header.Set("Content-Type", contentType)
	if part {
		r.Header.Set("HX-Request", "true")
	}
	return r
}

// ends tells a form that takes something away, which comes after the others.
func ends(key string) bool { return ending.MatchString(key) }

var ending = regexp.MustCompile(`remove|delete|examples|sign-out|sessions|password|/end|revoke|cancel`)

// TestHostileForms puts hostile values into the fields of the forms of a page of each
// kind: none is answered by a fault, and none without end.
func TestHostileForms(t *testing.T) {
	w := walked(t, false, "/athletes/new", "/athletes/1", "/boats/new", "/boats/1", "/boats/1/seats/1", "/oars/new", "/squads", "/seat", "/setup?boat=1", "/catch",
		"/video", "/recordings/1", "/recordings/import", "/seat-races/new", "/squad/evidence?athlete=1", "/squad/import", "/account", "/people", "/tasks")
	w.spoil(1)
}

// TestHostileFormsOfEveryPage does the same with all pages that links lead to, and
// sends hostile values to every write besides.
func TestHostileFormsOfEveryPage(t *testing.T) {
	if !long() {
		t.Skip("set THOLE_LONG for the walk over all pages, which takes minutes")
	}
	w := walked(t, true, "/")
	w.spoilUnmet()
	w.spoil(2)
	if len(w.forms) < 50 || len(w.seen) < 150 {
		t.Errorf("only %d pages with %d forms were met", len(w.seen), len(w.forms))
	}
}

// spoil sends every form with hostile values in place of each field, so many in turn.
func (w *walker) spoil(many int) {
	turn, sent, answers := 0, 0, map[int]int{}
	keys := slices.Sorted(maps.Keys(w.forms))
	slices.SortStableFunc(keys, func(a, b string) int { return cmp.Compare(btoi(ends(a)), btoi(ends(b))) })
	for _, key := range keys {
		f := w.forms[key]
		for _, name := range append(slices.Sorted(maps.Keys(f.values)), f.files...) {
			for range many {
				text := hostile.Texts[turn%len(hostile.Texts)]
				values := maps.Clone(f.values)
				values[name] = []string{text}
				what := fmt.Sprintf("%s %s with %s = %.40q", f.method, f.action, name, text)
				answers[w.send(what, f.request(values, text, turn%2 == 0)).Code]++
				turn++
				sent++
			}
		}
		turn += 3 // so that a field of the next form meets others
	}
	w.Logf("%d pages, %d forms, %d requests, answers %v", len(w.seen), len(w.forms), sent, answers)
	if sent < 250 || answers[http.StatusUnprocessableEntity] < 100 {
		w.Errorf("only %d requests were sent: %v", sent, answers)
	}
}

func btoi(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

var pathNames = regexp.MustCompile(`\{\w+\}`)

// spoilUnmet sends every name that a form has, with hostile values, to the writes to
// which no form has led.
func (w *walker) spoilUnmet() {
	met, names := map[string]bool{}, map[string]bool{}
	for _, f := range w.forms {
		path, _, _ := strings.Cut(kind(f.action), "?")
		met[path] = true
		for name := range f.values {
			names[name] = true
		}
	}
	turn := 0
	for pattern := range ui.Routes(new(page.Frame), w.service, people.NewSite(new(page.Frame), w.service, nil)) {
		path, write := strings.CutPrefix(pattern, "POST ")
		if !write || met[pathNames.ReplaceAllString(path, "N")] || path == "/sign-out" {
			continue
		}
		for range 20 {
			values := url.Values{}
			for name := range names {
				values.Set(name, hostile.Texts[turn%len(hostile.Texts)])
				turn++
			}
			f := form{method: http.MethodPost, action: pathNames.ReplaceAllString(path, "1"), values: values}
			w.send("POST "+f.action+" with hostile values", f.request(values, "", turn%2 == 0))
		}
	}
}
