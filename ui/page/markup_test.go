package page_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// widest is the most characters a line of a template may have: what two windows
// side by side show, our judgement.
const widest = 160

// linesOf returns the lines of the files that match, and fails when they are
// fewer than the number known.
func linesOf(t *testing.T, pattern string, known int) map[string][]string {
	t.Helper()
	names, err := filepath.Glob(pattern)
	if err != nil || len(names) < known {
		t.Fatalf("%s: %d files, want %d or more: %v", pattern, len(names), known, err)
	}
	lines := map[string][]string{}
	for _, name := range names {
		body, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		lines[name] = strings.Split(string(body), "\n")
	}
	return lines
}

func TestTemplatesAreWrittenInLines(t *testing.T) {
	for name, lines := range linesOf(t, "../*/*.html", 42) {
		for i, line := range lines {
			if n := utf8.RuneCountInString(line); n > widest {
				t.Errorf("%s:%d has %d characters, want at most %d", name, i+1, n, widest)
			}
		}
	}
}

// TestStyleSheetsAreWrittenInLines holds one rule a line. A cell that is found by
// counting changes its look when a column is added before it: it has a class.
func TestStyleSheetsAreWrittenInLines(t *testing.T) {
	for name, lines := range linesOf(t, "../assets/css/*.css", 9) {
		for i, line := range lines {
			if strings.Count(line, "{") > 1 || utf8.RuneCountInString(line) > widest {
				t.Errorf("%s:%d holds more than one rule or is too long: %s", name, i+1, line)
			}
			if strings.Contains(line, "nth-child(") {
				t.Errorf("%s:%d counts: %s", name, i+1, line)
			}
		}
	}
}
