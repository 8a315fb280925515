package page_test

import (
	"os"
	"path/filepath"
	"regexp"
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

var (
	inner    = regexp.MustCompile(`\([^()]*\)`)
	cssRule  = regexp.MustCompile(`([^{}]+)\{([^{}]*)\}`)
	oneClass = regexp.MustCompile(`^\.([\w-]+)$`)
	tableTag = regexp.MustCompile(`<(?:table|thead|tbody|tr|th|td)\b[^>]*?class="([^"]*)"`)
)

// TestNoOtherListLaysOutATable holds that no class which a rule of its own lays out, or
// hides on paper, stands on a table or a row: a list of links and the table of small
// moves once had one name, so that the heads stood beside their columns and paper had no
// table. What is meant for a table names it (table.name, .list tr).
func TestNoOtherListLaysOutATable(t *testing.T) {
	laid := map[string]string{}
	for name, lines := range linesOf(t, "../assets/css/*.css", 9) {
		for _, rule := range cssRule.FindAllStringSubmatch(strings.Join(lines, "\n"), -1) {
			for selector := range strings.SplitSeq(inner.ReplaceAllString(rule[1], ""), ",") {
				if m := oneClass.FindStringSubmatch(strings.TrimSpace(selector)); m != nil && strings.Contains(rule[2], "display:") {
					laid[m[1]] = name
				}
			}
		}
	}
	if laid["trylinks"] == "" {
		t.Fatalf("no rule was read: %v", laid)
	}
	action := regexp.MustCompile(`\{\{[^}]*\}\}`)
	for name, lines := range linesOf(t, "../*/*.html", 42) {
		for _, tag := range tableTag.FindAllStringSubmatch(action.ReplaceAllString(strings.Join(lines, "\n"), " "), -1) {
			for class := range strings.FieldsSeq(tag[1]) {
				if laid[class] != "" {
					t.Errorf("%s: %s lays out .%s, which stands on %s", name, laid[class], class, tag[0])
				}
			}
		}
	}
}
