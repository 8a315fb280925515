package uitest

import (
	"net/http"
	"os"
	"strings"
	"testing"
	"time"
)

func TestMain(m *testing.M) { os.Exit(Main(m)) }

// TestTheConsoleIsHeard holds that each kind of error reaches the test.
func TestTheConsoleIsHeard(t *testing.T) {
	site, b := NewSite(t), NewTab(t)
	b.Open(site.URL + "/")
	for _, c := range []struct{ script, want string }{
		{`console.error("wrong", 1)`, `"wrong" 1`},
		{`setTimeout(() => { throw new Error("thrown") })`, "thrown"},
		{`document.body.setAttribute("style", "color: red")`, "Content Security Policy"},
		{`document.body.append(Object.assign(document.createElement("script"), { src: "/assets/none.js" }))`, "/assets/none.js"},
	} {
		Ask[any](b, c.script+"; 0")
		var heard string
		for end := time.Now().Add(patience); !strings.Contains(heard, c.want); time.Sleep(20 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatalf("%s: the console shows %q, want %q", c.script, heard, c.want)
			}
			heard += strings.Join(b.Errors(), " ")
		}
	}
	b.Open(site.URL + "/")
	b.Errors() // a script that is missing is told twice
}

// TestWhatIsNoErrorIsNotHeard asks for an address that answers no, and warns.
func TestWhatIsNoErrorIsNotHeard(t *testing.T) {
	site, b := NewSite(t), NewTab(t)
	b.Open(site.URL + "/")
	status := Ask[int](b, `fetch("/nowhere").then(r => { console.warn("careful"); return r.status })`)
	Ask[any](b, "new Promise(done => setTimeout(done, 200))")
	if errors := b.Errors(); status != http.StatusNotFound || len(errors) > 0 {
		t.Errorf("status %d, want 404; the console shows %q", status, errors)
	}
}
