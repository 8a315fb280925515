package uitest

import (
	"net/http"
	"os"
	"strings"
	"testing"
)

func TestMain(m *testing.M) { os.Exit(Main(m)) }

// TestTheConsoleIsHeard holds that each kind of error reaches the test, and that
// a warning and an answer that refuses do not.
func TestTheConsoleIsHeard(t *testing.T) {
	site, b := NewSite(t), NewTab(t)
	b.Open(site.URL + "/")
	for script, want := range map[string]string{
		`console.error("wrong", 1)`: `"wrong" 1`,
		`new Promise(done => { setTimeout(() => { setTimeout(done, 50); throw new Error("thrown") }) })`:                                            "thrown",
		`document.body.setAttribute("style", "color: red")`:                                                                                         "Content Security Policy",
		`new Promise(done => { const s = document.createElement("script"); s.onerror = done; s.src = "/assets/none.js"; document.body.append(s) })`: "/assets/none.js",
		`console.warn("careful")`: "",
		`fetch("/nowhere")`:       "",
	} {
		Ask[any](b, script+"; 0")
		got := b.Errors()
		if want == "" && len(got) > 0 || want != "" && (len(got) != 1 || !strings.Contains(got[0], want)) {
			t.Errorf("%s: the console shows %q, want %q", script, got, want)
		}
	}
	if answer, err := http.Get(site.URL + "/nowhere"); err != nil || answer.StatusCode != http.StatusNotFound {
		t.Errorf("the address that is refused answers %v, %v", answer, err)
	}
}
