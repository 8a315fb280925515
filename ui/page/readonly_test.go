package page

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/table"
)

// shown is a page with a link and a form of each kind.
const shown = `<main><p>Text <a href="/boats" class="quiet">Boats</a> <a href="/boats">the boats</a> <a href="#top" data-x="1">top</a> <a href="https://example.org/">elsewhere</a></p>
<form method="post" action="/boats"><label for="n">Name</label><input id="n" name="n" value="Wren"><input type="checkbox" value="ticked"><button>Save</button></form>
<form action="/search"><label for="q">Find</label><input id="q" name="q" value="Heron"><select><option>a</option></select></form>
<script>x</script></main>`

// TestAReadOnlyPageLeadsNowhere: nothing of it can be sent or followed, but for
// parts of itself, and what stood in a field is told.
func TestAReadOnlyPageLeadsNowhere(t *testing.T) {
	body, err := ReadOnly([]byte(shown), "Only to look at.")
	if err != nil {
		t.Fatal(err)
	}
	text := string(body)
	for _, want := range []string{`<p class="told">Only to look at.</p>`, "Wren", "Heron", "the boats", `href="#top"`, "<span>Name</span>"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
	for _, no := range []string{"<form", "<button", "<input", "<select", "<script", `href="/boats"`, "Boats</a>", ">Boats<", "data-x", "example.org", "ticked"} {
		if strings.Contains(text, no) {
			t.Errorf("%q is left", no)
		}
	}
}

// TestAPageHoldsWhatItsReaderMayUse: an athlete may look at boats and search, and
// change nothing.
func TestAPageHoldsWhatItsReaderMayUse(t *testing.T) {
	rules := http.NewServeMux()
	none := http.HandlerFunc(func(http.ResponseWriter, *http.Request) {})
	rules.Handle("GET /boats", ruled{none, access.Everyone})
	rules.Handle("POST /boats", ruled{none, access.Staff})
	rules.Handle("GET /search", ruled{none, access.Everyone})
	body, err := restricted([]byte(shown), &access.Viewer{Role: access.Athlete, Athlete: 7}, rules)
	if err != nil {
		t.Fatal(err)
	}
	text := string(body)
	for _, want := range []string{`href="/boats"`, `action="/search"`, `id="q"`, "<select", "<script", `href="https://example.org/"`, `data-x="1"`, "Wren"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	for _, no := range []string{`method="post"`, `id="n"`, "<button"} {
		if strings.Contains(text, no) {
			t.Errorf("%q is left", no)
		}
	}
	if all, err := restricted([]byte(shown), &access.Viewer{Role: access.Coach}, rules); err != nil || !strings.Contains(string(all), `method="post"`) || !strings.Contains(string(all), "<button") {
		t.Errorf("a coach's page lost its form: %v", err)
	}
}

func TestFilesOfAPage(t *testing.T) {
	of := func(name string) table.Table {
		one := table.New(name, table.Texts("Name", "What."))
		one.Add(name + " row")
		return one
	}
	broken := File{"broken", "Broken", func() (table.Table, error) { return table.Table{}, errors.New("no disk") }}
	get := func(f *Files, address string) (bool, *httptest.ResponseRecorder, error) {
		w := httptest.NewRecorder()
		sent, err := f.Send(w, httptest.NewRequest(http.MethodGet, address, nil))
		return sent, w, err
	}
	at := httptest.NewRequest(http.MethodGet, "/boats?q=x&csv=old", nil).URL
	f := NewFiles(at, "boats", TableFile("boats", of("Boats")), TableFile("seats", of("Seats")), broken)
	if f.Tables[1].Address != "/boats?csv=seats&q=x" || f.Tables[1].Title != "Seats" || f.Sheet != "/boats?q=x&xlsx=all" {
		t.Errorf("%+v", f)
	}
	for address, want := range map[string]string{"/boats?csv=boats": "boats.csv", "/boats?csv=seats": "boats-seats.csv"} {
		sent, w, err := get(f, address)
		if !sent || err != nil || !strings.Contains(w.Header().Get("Content-Disposition"), `"`+want+`"`) || !strings.Contains(w.Body.String(), " row") || w.Header().Get("Cache-Control") != "no-store" {
			t.Errorf("%s: %v %v %v", address, sent, err, w.Header())
		}
	}
	for _, address := range []string{"/boats", "/boats?csv=none"} {
		if sent, w, err := get(f, address); sent || err != nil || w.Body.Len() > 0 {
			t.Errorf("%s: %v %v", address, sent, err)
		}
	}
	if sent, _, err := get(f, "/boats?csv=broken"); !sent || err == nil {
		t.Errorf("a broken table: %v %v", sent, err)
	}
	if sent, _, err := get(f, "/boats?xlsx=all"); !sent || err == nil {
		t.Errorf("a sheet with a broken table: %v %v", sent, err)
	}
	whole := NewFiles(at, "boats", TableFile("any", of("Boats")))
	if sent, w, err := get(whole, "/boats?xlsx=all"); !sent || err != nil || !strings.Contains(w.Header().Get("Content-Disposition"), `"boats.xlsx"`) || !strings.HasPrefix(w.Body.String(), "PK") {
		t.Errorf("the sheet: %v %v %v", sent, err, w.Header())
	}
	if _, w, _ := get(whole, "/boats?csv=any"); !strings.Contains(w.Header().Get("Content-Disposition"), `"boats.csv"`) {
		t.Errorf("the only table: %v", w.Header())
	}
	if sent, _, err := get(nil, "/boats?xlsx=all"); sent || err != nil {
		t.Errorf("no files: %v %v", sent, err)
	}
}
