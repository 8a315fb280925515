package ui

import (
	"io/fs"
	"strings"
	"testing"
)

// TestEveryPackageOfThePagesIsNamed with its licence in full.
func TestEveryPackageOfThePagesIsNamed(t *testing.T) {
	inside, err := fs.Glob(assets, "node_modules/*")
	if err != nil || len(inside) == 0 {
		t.Fatalf("%v, %v", inside, err)
	}
	list := frontLibraries(front)
	for _, folder := range inside {
		named := false
		for _, l := range list {
			named = named || "node_modules/"+l.Name == folder && l.Version != "" && l.Licences[0] != "" && l.Whole()
		}
		if !named {
			t.Errorf("%s is in the program, and not among its libraries", folder)
		}
	}
}

// TestLibrariesAreThoseOfTheProgram: of the pages, of Go, and what stands within others.
func TestLibrariesAreThoseOfTheProgram(t *testing.T) {
	var names []string
	for _, l := range Libraries() {
		names = append(names, l.Name)
	}
	all := strings.Join(names, "\n")
	for _, want := range []string{"htmx.org", "Go standard library", "github.com/mattn/go-sqlite3", "SQLite", "gonum.org/v1/gonum"} {
		if !strings.Contains(all, want) {
			t.Errorf("%s is not in\n%s", want, all)
		}
	}
}
