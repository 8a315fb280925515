package figure

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"thole/rigging"
	"thole/ui/figure/draw"
)

// gallery is one drawing of each sort at several widths.
func gallery(t testing.TB) []*draw.Drawing {
	t.Helper()
	var all []*draw.Drawing
	number := 0
	add := func(d *draw.Drawing) {
		number++
		d.ID = "d" + string(rune('a'+number/26)) + string(rune('a'+number%26))
		all = append(all, d)
	}
	for _, width := range fiveWidths {
		for _, b := range []sitter{usual(rigging.Female, 1.50, 48), usual(rigging.Male, 1.80, 80), usual(rigging.Male, 2.05, 105)} {
			for _, s := range b.sides(t, width) {
				add(s.Draw())
			}
		}
		lying := width >= 620
		add(scull(width, lying, 64, 44).Draw())
		add(sweep(Port, 5, width, lying, 56, 34).Draw())
		for _, c := range []*Crew{eight("spspspsp"), scullers(4)} {
			c.Width, c.Lying = width, width >= 868
			add(c.Draw())
		}
		add(reach(width, "catch", 64, 62, 4, 66).Draw())
		add(reach(width, "finish", 44, 43, 3, 47).Draw())
	}
	return all
}

// TestNoStylesAndOneNameEach: the pages' content security policy forbids
// styles in attributes; every id stands once and every reference has its id.
func TestNoStylesAndOneNameEach(t *testing.T) {
	html := string(draw.Responsive(gallery(t)...))
	if strings.Contains(html, "style=") || strings.Contains(html, "<style") || strings.Contains(html, "url(") {
		t.Error("a drawing carries styles")
	}
	seen := map[string]int{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		seen[m[1]]++
	}
	for id, n := range seen {
		if n != 1 {
			t.Errorf("id %s stands %d times", id, n)
		}
	}
	for _, m := range regexp.MustCompile(`aria-labelledby="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		for _, id := range strings.Fields(m[1]) {
			if seen[id] != 1 {
				t.Errorf("no element %s", id)
			}
		}
	}
	if n := strings.Count(html, "<title "); n != strings.Count(html, "<svg ") || n != strings.Count(html, "<desc ") {
		t.Error("a drawing lacks its title or description")
	}
	for _, bad := range []string{"NaN", "Inf", "ZgotmplZ"} {
		if strings.Contains(html, bad) {
			t.Errorf("%s in a drawing", bad)
		}
	}
}

// TestNamesAreEscaped: a name is text wherever it stands.
func TestNamesAreEscaped(t *testing.T) {
	c := scullers(1)
	c.Width = 868
	c.Seats[0].Family = `<script>&"x"`
	html := string(c.Draw().HTML())
	if strings.Contains(html, "<script") || !strings.Contains(html, "&lt;script&gt;&amp;") {
		t.Errorf("the name came out as it went in: %.400s", html)
	}
}

const sheetFile = "../assets/css/15-figure.css"

// TestSheetDressesEveryClass: each class of a drawing has a rule.
func TestSheetDressesEveryClass(t *testing.T) {
	sheet := read(t, sheetFile)
	plain := map[string]bool{"fig-side": true, "fig-above": true, "fig-crew": true, "fig-reach": true, "fig-width": true} // for pages that place a drawing
	for _, m := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(string(draw.Responsive(gallery(t)...)), -1) {
		for _, class := range strings.Fields(m[1]) {
			if !plain[class] && !regexp.MustCompile(`\.`+regexp.QuoteMeta(class)+`[^\w-]`).MatchString(sheet) {
				t.Errorf("no rule for .%s", class)
				plain[class] = true
			}
		}
	}
}

// TestSheetUsesTokens: colours stand in the two lists of tokens and nowhere
// else, one rule a line.
func TestSheetUsesTokens(t *testing.T) {
	for i, row := range strings.Split(read(t, sheetFile), "\n") {
		if !strings.HasPrefix(strings.TrimSpace(row), "--") && !strings.Contains(row, ":root {") && regexp.MustCompile(`#[0-9a-fA-F]{3}`).MatchString(row) {
			t.Errorf("line %d has a colour of its own: %s", i+1, row)
		}
		if strings.Count(row, "}") > 2 {
			t.Errorf("line %d holds more than one rule", i+1)
		}
	}
}

// TestSheetKnowsEveryWidth: the sheet has the rules for each width it is told
// of; a test in a browser tries them.
func TestSheetKnowsEveryWidth(t *testing.T) {
	sheet := strings.Join(strings.Fields(read(t, sheetFile)), " ")
	for i, w := range everyWidth {
		px := draw.Coord(w)
		rules := []string{".fig-w" + px + " .fig { max-width: " + px + "px; }"}
		if i > 0 {
			rules = append(rules, "@container (min-width: "+px+"px) { .fig-from"+px+" { display: block; } }", "@container (min-width: "+px+"px) { .fig-to"+px+" { display: none; } }")
		}
		for _, rule := range rules {
			if !strings.Contains(sheet, rule) {
				t.Errorf("no %s", rule)
			}
		}
	}
}

func read(t *testing.T, name string) string {
	t.Helper()
	body, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}
