package main

import (
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// documents are those for developers, in which names of files and folders are those of
// this tree.
const documents = "DEVELOPERS.md"

// ofTree matches a path between backticks that begins at the top of the tree.
var ofTree = regexp.MustCompile("`((?:api|cmd|rigging|selection|ui|testdata|\\.ci)(?:/[\\w.-]+)+)`")

// absent lists the paths that a document names and the tree lacks.
func absent(document string, files []string) []string {
	var found []string
	for _, m := range ofTree.FindAllStringSubmatch(document, -1) {
		named := strings.TrimSuffix(m[1], "/")
		there := func(file string) bool { return file == named || strings.HasPrefix(file, named+"/") }
		if !slices.ContainsFunc(files, there) {
			found = append(found, named)
		}
	}
	return found
}

// unlisted lists the packages of api that the table of its rooms lacks; those of the store
// have a table of their own.
func unlisted(document string, files []string) []string {
	var found []string
	for _, file := range files {
		room, ok := strings.CutPrefix(path.Dir(file), "api/")
		if !ok || strings.Contains(room, "/") || path.Ext(file) != ".go" || support["api/"+room] != 0 || room == "store" || slices.Contains(found, room) {
			continue
		}
		if !strings.Contains(document, "\n| `"+room+"` | ") {
			found = append(found, room)
		}
	}
	return found
}

func TestDocumentsNameWhatIsThere(t *testing.T) {
	text, files := readTop(t, documents), tree(t)
	if n := len(ofTree.FindAllString(text, -1)); n < 40 {
		t.Errorf("only %d paths found in %s", n, documents)
	}
	for _, name := range absent(text, files) {
		t.Errorf("%s names %s, which is not there", documents, name)
	}
	for _, room := range unlisted(text, files) {
		t.Errorf("%s says nothing of api/%s", documents, room)
	}
}

func TestWrongDocumentsAreSeen(t *testing.T) {
	files := []string{"api/wire/units.go", "api/club/club.go", "api/apitest/apitest.go", "cmd/thole/main.go"}
	text := "| `wire` | units |\nSee `api/wire`, `cmd/thole/main.go`, `api/wire/gone.go`, `api/old` and `/api/v1`, `./api/wire`.\n"
	if got := absent(text, files); !slices.Equal(got, []string{"api/wire/gone.go", "api/old"}) {
		t.Errorf("absent: %q", got)
	}
	if got := unlisted("\n"+text, files); !slices.Equal(got, []string{"club"}) {
		t.Errorf("unlisted: %q", got)
	}
}
