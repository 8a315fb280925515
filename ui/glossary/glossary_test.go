package glossary_test

import (
	"regexp"
	"strings"
	"testing"

	"thole/api/sources"
	"thole/ui/glossary"
)

// TestLabelsLeadToTheirTerms holds what is linked and what is not.
func TestLabelsLeadToTheirTerms(t *testing.T) {
	link := func(key, text string) string {
		return `<a class="term" href="/guide/glossary#` + key + `">` + text + `</a>`
	}
	aside := func(key, text string) string { // out of the order of the keyboard, where a field takes one step
		return strings.Replace(link(key, text), `">`, `" tabindex="-1">`, 1)
	}
	for name, c := range map[string]struct{ page, want string }{
		"label":         {`<label for="x">Span</label>`, `<label for="x">` + aside("span", "Span") + `</label>`},
		"legend":        {`<legend>Rig</legend>`, `<legend>` + aside("rig", "Rig") + `</legend>`},
		"spaces":        {"<th>\n\tInboard\n</th>", "<th>\n\t" + link("inboard", "Inboard") + "\n</th>"},
		"unit":          {`<th scope="col">Catch °</th>`, `<th scope="col">` + link("catch", "Catch °") + `</th>`},
		"escaped":       {`<th>Blade&#39;s edge over the water</th>`, `<th>` + link("edge-height", "Blade&#39;s edge over the water") + `</th>`},
		"no term":       {`<label>Name</label>`, `<label>Name</label>`},
		"a figure":      {`<span class="name">Peak force</span>`, `<span class="name">` + link("peak-force", "Peak force") + `</span>`},
		"a span":        {`<span>Peak force</span>`, `<span>Peak force</span>`},
		"a cell":        {`<td>Span</td>`, `<td>Span</td>`},
		"in a link":     {`<a href="/"><h3>Span</h3></a>`, `<a href="/"><h3>Span</h3></a>`},
		"in a summary":  {`<summary><h2>Arc</h2></summary><h2>Arc</h2>`, `<summary><h2>Arc</h2></summary><h2>` + link("arc", "Arc") + `</h2>`},
		"once":          {`<table><th>Arc</th><th>Arc</th></table>`, `<table><th>` + link("arc", "Arc") + `</th><th>Arc</th></table>`},
		"once a table":  {`<table><th>Arc</th></table><table><th>Arc</th></table>`, `<table><th>` + link("arc", "Arc") + `</th></table><table><th>` + link("arc", "Arc") + `</th></table>`},
		"wrapped field": {`<label><input type="checkbox"> Arc</label>`, `<label><input type="checkbox"> Arc</label>`},
		"unfinished":    {`<label`, `<label`},
		"open end":      {`<label>Span`, `<label>Span`},
		"no tags":       {`Span`, `Span`},
		"empty":         {``, ``},
	} {
		if got := string(glossary.Link("seat", []byte(c.page))); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// TestTheGuideIsNotLinkedToItself: it has links of its own.
func TestTheGuideIsNotLinkedToItself(t *testing.T) {
	if page := "<dt>Span</dt>"; string(glossary.Link("guide_glossary", []byte(page))) != page {
		t.Error("a page of the guide is linked")
	}
}

// TestEveryTermIsDefinedOnce holds keys, sentences and the sources they name.
func TestEveryTermIsDefinedOnce(t *testing.T) {
	known := map[string]bool{"": true}
	for _, s := range sources.All() {
		known[s.Key] = true
	}
	key := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	seen := map[string]bool{}
	for _, g := range glossary.Groups() {
		for _, term := range g.Terms {
			switch {
			case !key.MatchString(term.Key) || seen[term.Key]:
				t.Errorf("%q: no key, or twice", term.Key)
			case !strings.HasSuffix(term.Says, ".") || len(term.Says) < 15 || len(term.Says) > 220:
				t.Errorf("%s: %q is no short sentence", term.Name, term.Says)
			case !known[term.Source]:
				t.Errorf("%s: no source %q", term.Name, term.Source)
			}
			seen[term.Key] = true
		}
	}
}

// tradesWords are the words of a boathouse that a reader may look for.
var tradesWords = strings.Split(`Line-up, Seat racing, Schedule, Piece, Recording, Force curve, Blade path, Handle travel, Distance per stroke,
	Rhythm, The catch: blade entry, To covered, Too deep, Washing out, Catch slip, Release slip, Curve match, Yaw, Steering moment, Margin,
	Expected gain, Together and apart, Coach’s seat preference, Next in, How firm is it?, Ranking, Next piece, Gearing as in the 2006 survey,
	Span ratio, Oar ratio, Lever ratio, Stretcher position, Stretcher angle, Heel depth, Height, seat to gate, Gate difference,
	Gate and blade pitch, Total pitch, Stern pitch, Lateral pitch, Draw height, Hand separation, Work-through, Seat height over the water,
	Gate height over the water, Arm slope, Target, Rig, As found, Does it suit your reach?, On target, May move, Segments, Estimated body,
	Cautions, Predicted, +5 s a doubling, Power on the water, Single index (Nevill 2010), Port, Starboard, Residual, DTW distance, Component,
	Unusual body, Span, Spread, Inboard, Outboard, Oar length, Overlap, Arc, Catch, Finish, Square, Drive, Recovery, Rate, Pin, Gate, Blade,
	Race power, Critical power, W′, Band, Evidence, Work sheet, Set-up, Effective arc, Peak force, Sitting height, Arm span, Lean, Layback`, ",")

// TestTheTradesWordsAreDefined holds the list.
func TestTheTradesWordsAreDefined(t *testing.T) {
	joined := ""
	for _, w := range tradesWords {
		w = strings.TrimSpace(w)
		if w == "Height" { // Height, seat to gate
			joined = "Height, "
			continue
		}
		if w, joined = joined+w, ""; w != "" {
			if _, ok := glossary.Of(w); !ok {
				t.Errorf("%q is not defined", w)
			}
		}
	}
}

func BenchmarkLink(b *testing.B) {
	page := []byte(strings.Repeat(`<tr><th scope="row">Span</th><td>159.0</td><td class="n">cm</td></tr>`, 3000))
	b.SetBytes(int64(len(page)))
	for b.Loop() {
		glossary.Link("seat", page)
	}
}
