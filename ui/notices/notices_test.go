package notices_test

import (
	"runtime/debug"
	"strings"
	"testing"

	"thole/ui/notices"
)

// TestEveryKnownLibraryHasALicence and no two have one file of texts.
func TestEveryKnownLibraryHasALicence(t *testing.T) {
	files, owned := map[string]bool{}, 0
	list := notices.Known()
	for _, l := range list {
		if l.Name == "" || len(l.Licences) == 0 || files[notices.FileName(l.Name)] {
			t.Errorf("%+v", l)
		}
		if files[notices.FileName(l.Name)] = true; len(l.Copyright) > 0 {
			owned++
		}
	}
	if len(list) < 30 || owned < len(list)-5 {
		t.Errorf("%d libraries, %d with a line of copyright", len(list), owned)
	}
}

// TestABuildTellsItsLibraries with the versions that are in it, one of which nothing is
// known among them.
func TestABuildTellsItsLibraries(t *testing.T) {
	build := &debug.BuildInfo{GoVersion: "go1.99", Deps: []*debug.Module{
		{Path: "github.com/mattn/go-sqlite3", Version: "v9.9.9"}, {Path: "example.org/unheard/of", Version: "v0.1.0"},
	}}
	list := notices.In(build)
	var told strings.Builder
	if err := notices.Write(&told, list); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Go standard library go1.99\nBSD-3-Clause\nCopyright 2009 The Go Authors.", "github.com/mattn/go-sqlite3 v9.9.9\nMIT\n",
		"example.org/unheard/of v0.1.0\nlicence not known\nThe licence in full: https://example.org/unheard/of", "SQLite within github.com/mattn/go-sqlite3\npublic domain"} {
		if !strings.Contains(told.String(), want) {
			t.Errorf("%q is not in\n%s", want, told.String())
		}
	}
	if len(list) != 4 {
		t.Errorf("%d libraries", len(list))
	}
	if n := len(notices.In(&debug.BuildInfo{})); n != len(notices.Known())+1 {
		t.Errorf("a build that knows nothing of itself: %d", n)
	}
}

// TestATextStandsInPlaceOfItsAddress where the build has it.
func TestATextStandsInPlaceOfItsAddress(t *testing.T) {
	l := notices.Library{Name: "example.org/lib", Version: "v1.0.0", Licences: []string{"MIT"}, Text: "All of it.\n"}
	var told strings.Builder
	if err := notices.Write(&told, []notices.Library{l}); err != nil || !strings.Contains(told.String(), "\n\nAll of it.\n") || strings.Contains(told.String(), "in full") {
		t.Errorf("%v %s", err, told.String())
	}
	for name, want := range map[string]string{
		"htmx.org": "", notices.Standard: "", "github.com/a/b/v2": "https://github.com/a/b", "github.com/a/b/part/v3": "https://github.com/a/b",
		"gonum.org/v1/gonum": "https://gonum.org/v1/gonum", "gopkg.in/yaml.v2": "https://gopkg.in/yaml.v2",
	} {
		if got := (&notices.Library{Name: name}).Address(); got != want {
			t.Errorf("%s: %s", name, got)
		}
	}
}
