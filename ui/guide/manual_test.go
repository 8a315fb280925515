package guide_test

import (
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"thole/api/sources"
	"thole/ui/figure/measure"
	"thole/ui/glossary"
	"thole/ui/uitest"
)

// guidePage reads one page of the guide.
func guidePage(t *testing.T, address string) string {
	t.Helper()
	status, page := uitest.Fetch(t, uitest.NewSite(t), address)
	if status != 200 {
		t.Fatalf("%s: %d", address, status)
	}
	return page
}

var anchors = regexp.MustCompile(` id="([^"]+)"`)

func anchorsOn(page string) map[string]bool {
	all := map[string]bool{"": true}
	for _, m := range anchors.FindAllStringSubmatch(page, -1) {
		all[m[1]] = true
	}
	return all
}

// TestEveryTermHasAnAnchor: a definition, and where a term is measured or comes
// from, the way there.
func TestEveryTermHasAnAnchor(t *testing.T) {
	page := guidePage(t, "/guide/glossary")
	on, measured := anchorsOn(page), map[string]bool{"": true}
	for _, key := range measure.Keys() {
		measured[key] = true
	}
	count := 0
	for _, g := range glossary.Groups() {
		for _, term := range g.Terms {
			count++
			if !on[term.Key] {
				t.Errorf("%s has no anchor", term.Name)
			}
			if !measured[term.Measure] {
				t.Errorf("%s: no measure %s", term.Name, term.Measure)
			}
		}
	}
	if count < 100 {
		t.Errorf("only %d terms", count)
	}
}

// TestEveryMeasureIsShown: its drawing, its steps, how sure it is, and what an
// error in it does where it moves an angle.
func TestEveryMeasureIsShown(t *testing.T) {
	page := guidePage(t, "/guide/measures")
	for _, key := range measure.Keys() {
		_, rest, found := strings.Cut(page, `<section class="guide-measure" id="`+key+`"`)
		if !found {
			t.Errorf("%s is not on the page", key)
			continue
		}
		part, _, _ := strings.Cut(rest, "</section>")
		if !strings.Contains(part, "<svg") || strings.Count(part, "<li>") < 2 || !strings.Contains(part, "How sure:") || !strings.Contains(part, "Enter it:") {
			t.Errorf("%s: something is missing", key)
		}
	}
	if n := strings.Count(page, `class="guide-measure"`); n != len(measure.Keys()) {
		t.Errorf("%d measures on the page, %d drawings", n, len(measure.Keys()))
	}
	for _, text := range []string{"1 cm more in a single: catch −0.", "1 cm more in an eight: catch −", "1° more in a single: catch "} {
		if !strings.Contains(page, text) {
			t.Errorf("the page lacks %q", text)
		}
	}
}

// TestTheEffectsAreThoseOfTheCalculator holds one figure on the page against the
// calculator: further to the stern, the catch is shorter.
func TestTheEffectsAreThoseOfTheCalculator(t *testing.T) {
	page := guidePage(t, "/guide/measures")
	_, rest, _ := strings.Cut(html.UnescapeString(page), `id="stretcher-position"`)
	m := regexp.MustCompile(`1 cm more in a single: catch ([+−][\d.]+)°, finish ([+−][\d.]+)°`).FindStringSubmatch(rest)
	if m == nil {
		t.Fatal("no figure for the stretcher")
	}
	if !strings.HasPrefix(m[1], "+") || !strings.HasPrefix(m[2], "−") {
		t.Errorf("a stretcher 1 cm further to the stern: catch %s, finish %s", m[1], m[2])
	}
}

// TestEverySourceIsReached: each part of the page of sources is linked to from a
// page where its figures are used.
func TestEverySourceIsReached(t *testing.T) {
	files, err := filepath.Glob("../*/*.html")
	if err != nil || len(files) < 50 {
		t.Fatal("no templates: ", err)
	}
	used := ""
	for _, file := range files {
		if strings.HasPrefix(file, "../guide/") {
			continue // the guide is one more way there
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		used += string(text)
	}
	known := anchorsOn(guidePage(t, "/sources"))
	for _, s := range sources.All() {
		if !known[s.Key] {
			t.Errorf("%s has no anchor", s.Key)
		}
		if !strings.Contains(used, `"/sources#`+s.Key+`"`) {
			t.Errorf("no page leads to the sources of %s", s.Title)
		}
	}
}
