package ui_test

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"thole/api"
	"thole/ui/uitest"
)

// oldWords are words and turns that do not appear on pages, in the OpenAPI
// document or in messages, each with what is said instead: the trade's word, one
// word for one thing, and no riddles.
var oldWords = []struct {
	old *regexp.Regexp
	say string
}{
	{word(`foretell|foretold|foretells`), "predict, predicted"},
	{word(`lest|anew|heed|thereof|whence|hereby|henceforth|begets?`), "plain modern English"},
	{word(`alike|likeness|look-?alikes?`), "match, the same"},
	{word(`beside`), "next to, with, compare"},
	{word(`put(s|ting)? (it |them |the \w+ )?aside|put away|those put away`), "archive, archived"},
	{word(`put(s|ting)? (\w+ ){0,6}on record`), "add, keep"},
	{word(`take(s|n)? off|take it back`), "remove, undo"},
	{word(`wanted`), "target"},
	{word(`coin[- ]flip`), "open"},
	{word(`two by two`), "together and apart"},
	{word(`the ladder|race for seats|trial|trials`), "ranking, seat race"},
	{word(`who sits where|seat orders?|read strokes`), "line-up, recordings"},
	{word(`straight s|straight boat|behind s|worth knowing`), "yaw, margin, expected gain"},
	{word(`foot ?plates?`), "stretcher, stretcher angle"},
	{word(`heel to pins?`), "stretcher position"},
	{word(`sternwards?|leans? outwards`), "towards the stern, stern pitch, lateral pitch"},
	{word(`hands meet the body|between the handle ends|between the hands`), "draw height, hand separation"},
	{word(`(seat|gate) over the water`), "seat height, gate height over the water"},
	{word(`as near as it comes|by tolerances`), "nearly, what it would bring in degrees"},
	{word(`rig as found|rig as it stands`), "rig"},
	{word(`taking the water|until covered|way of the (blade|handle|boat)|handle’s way`), "the catch: blade entry, to covered, blade path, handle travel"},
	{word(`warping distance|ways? \d( |:)|the ways in which`), "DTW distance, component"},
	{word(`left over|left out by hand|rarity`), "residual, not used, excluded, unusual body"},
	{word(`another look|look at|looked at|arrive whole`), "check, show"},
	{word(`work(s|ed)? (it|them|this|the \w+) out|worked out|works out|go on`), "calculate, continue"},
	{word(`bring(s)? (it |them |the same \w+ )?in\b( (the|a|again)\b|$)`), "import"},
	{word(`index for the single|by doublings|rule of doublings`), "single index, +5 s a doubling"},
	{word(`for programs|where the figures come from`), "API, sources"},
	{word(`filled in from|fill in missing`), "estimated from"},
}

func word(pattern string) *regexp.Regexp {
	return regexp.MustCompile(`(?i)(^|[^\pL_-])(` + pattern + `)($|[^\pL_-])`)
}

// faultIn returns the first old word in a text and what to say instead.
func faultIn(text string) (old, say string) {
	for _, w := range oldWords {
		if m := w.old.FindStringSubmatch(text); m != nil {
			return m[2], w.say
		}
	}
	return "", ""
}

// TestOldWordsAreFound holds the table against sentences that it must refuse and
// sentences that are right.
func TestOldWordsAreFound(t *testing.T) {
	for text, want := range map[string]string{
		"Results foretold": "foretold", "They are alike.": "alike", "Stands beside it": "beside", "Put it aside": "Put it aside",
		"Way 1: 97 %": "Way 1:", "Look at a boat": "Look at", "Worked out for you": "Worked out",
		"Next to it": "", "Latest of the unlikely": "", "Show the rig": "", "A lesser way": "", "Two ways to read it": "", "Works out of doors": "Works out",
	} {
		if old, _ := faultIn(text); old != want {
			t.Errorf("%q: %q, want %q", text, old, want)
		}
	}
}

// spoken are the attributes that are shown or read out.
var spoken = map[string]bool{"aria-label": true, "placeholder": true, "title": true, "alt": true, "hx-confirm": true}

// textsOf lists what a page shows and reads out, and where it leads.
func textsOf(t *testing.T, body string) (texts, links []string) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	for n := range doc.Descendants() {
		if n.Type == html.TextNode && !unspoken[n.Parent.Data] {
			texts = append(texts, strings.Join(strings.Fields(n.Data), " "))
		}
		for _, a := range n.Attr {
			switch {
			case spoken[a.Key]:
				texts = append(texts, a.Val)
			case a.Key == "href" || a.Key == "hx-get":
				links = append(links, a.Val)
			}
		}
	}
	return texts, links
}

// unspoken are the elements whose text is none of ours: names for programs and texts that
// are quoted, such as licences, stay as they are.
var unspoken = map[string]bool{"script": true, "style": true, "code": true, "pre": true}

// action is what a template does in a text.
var action = regexp.MustCompile(`(?s)\{\{.*?\}\}`)

var numbers = regexp.MustCompile(`\d+`)

// kindOf is an address without its numbers and values: a page of each kind is read
// once.
func kindOf(address string) string {
	path, query, _ := strings.Cut(address, "?")
	names := ""
	if strings.HasPrefix(path, "/setup") || path == "/seat" || strings.HasPrefix(path, "/line-ups") {
		names = regexp.MustCompile(`=[^&]*`).ReplaceAllString(query, "")
	}
	return numbers.ReplaceAllString(path, "0") + "?" + names
}

// readable reports whether an address is one of this site's pages.
func readable(address string) bool {
	return strings.HasPrefix(address, "/") && !strings.HasPrefix(address, "/api/v1") && !strings.HasPrefix(address, "/assets/") &&
		!strings.Contains(address, "csv=") && !strings.Contains(address, "xlsx=") && !strings.Contains(address, ".csv") && !strings.Contains(address, ".json")
}

// walk reads one page of each kind that can be reached from the start by links.
func walk(t *testing.T, get func(address string) (int, string), visit func(address, body string)) int {
	t.Helper()
	seen, queue := map[string]bool{}, []string{"/", "/no-such-page", "/athletes/1/edit", "/boats/1/edit"}
	count := 0
	for len(queue) > 0 {
		address, _, _ := strings.Cut(queue[0], "#")
		queue = queue[1:]
		if !readable(address) || seen[kindOf(address)] {
			continue
		}
		seen[kindOf(address)] = true
		status, body := get(address)
		if status >= http.StatusInternalServerError {
			t.Errorf("%s: %d", address, status)
		}
		count++
		visit(address, body)
		_, links := textsOf(t, body)
		queue = append(queue, links...)
	}
	return count
}

// TestNoPageSaysOldWords walks the pages of the demo club.
func TestNoPageSaysOldWords(t *testing.T) {
	club := uitest.DemoClub(t)
	pages := walk(t, asServed(t, club), func(address, body string) {
		texts, _ := textsOf(t, body)
		slices.Sort(texts)
		held(t, address, slices.Compact(texts))
	})
	if pages < 60 {
		t.Errorf("only %d pages were read", pages)
	}
}

var (
	markup  = regexp.MustCompile(`<[^>]*>`)
	onlyOne = regexp.MustCompile(`\b1 (?:athletes|boats|crews|days|degrees of|exchanges|moves|pairs|pieces|recordings|rows|seats|strokes|tests|values|weeks)\b`)
)

// TestOneIsNotSeveral: where there is one of a thing, its word is that for one. The race
// that was called off has one piece.
func TestOneIsNotSeveral(t *testing.T) {
	club := uitest.SeasonClub(t)
	held := func(address, body string) {
		if said := onlyOne.FindString(uitest.OneLine(markup.ReplaceAllString(body, " "))); said != "" {
			t.Errorf("%s says %q", address, said)
		}
	}
	walk(t, asServed(t, club), held)
	plan := club.Get("/seat-races/3/replan").Header.Get("Location")
	for _, address := range []string{plan, "/seat-races/3", "/seat-races/3/coach", "/seat-races/3/crews", "/seat-races?archived=true"} {
		held(address, club.Opened(address))
	}
	if onlyOne.FindString("1 pieces") == "" {
		t.Error("several are not told from one")
	}
}

// TestTheInterfaceSaysNoOldWords reads every text of the OpenAPI document; its
// names stay as programs know them.
func TestTheInterfaceSaysNoOldWords(t *testing.T) {
	raw, err := api.OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	var doc any
	if err := json.Unmarshal(raw, &doc); err != nil {
		t.Fatal(err)
	}
	count := 0
	var read func(place string, v any)
	read = func(place string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for key, member := range v {
				read(place+"/"+key, member)
			}
		case []any:
			for i, member := range v {
				read(place+"/"+strconv.Itoa(i), member)
			}
		case string:
			if !strings.HasSuffix(place, "/description") && !strings.HasSuffix(place, "/summary") {
				return
			}
			count++
			if old, say := faultIn(v); old != "" {
				t.Errorf("%s says %q: %.200q; say %s", place, old, v, say)
			}
		}
	}
	read("", doc)
	if count < 500 {
		t.Errorf("only %d texts were read", count)
	}
}

// TestNoMessageSaysOldWords reads the strings of the program's own source, in
// which messages stand that no walk meets: errors, cautions, help of the command;
// and the documents for those who run and build it.
func TestNoMessageSaysOldWords(t *testing.T) {
	count := 0
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := entry.Name()
		if entry.IsDir() && (name == "node_modules" || name == "testdata" || name == ".git" || name == "apitest" || name == "uitest" || name == "storetest") {
			return filepath.SkipDir
		}
		switch {
		case strings.HasSuffix(name, "_test.go") || path == filepath.Join("..", "api", "columns", "fields.go"):
			return nil // the headings of other people's tables are as they are
		case strings.HasSuffix(name, ".go"):
			count += messagesOf(t, path)
		case strings.HasSuffix(name, ".md"):
			body, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			count += held(t, path, strings.Split(string(body), "\n"))
		case strings.HasSuffix(name, ".html"):
			body, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			texts, _ := textsOf(t, action.ReplaceAllString(string(body), ""))
			count += held(t, path, texts)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if count < 3000 {
		t.Errorf("only %d texts were read", count)
	}
}

// messagesOf reads the strings of a file that hold more than one word.
func messagesOf(t *testing.T, path string) int {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	ast.Inspect(file, func(n ast.Node) bool {
		if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
			if text, err := strconv.Unquote(l.Value); err == nil && strings.Contains(strings.TrimSpace(text), " ") && !strings.HasPrefix(text, "json:") {
				texts = append(texts, text)
			}
		}
		return true
	})
	return held(t, path, texts)
}

// held reports old words in texts of one place, and returns how many texts it read.
func held(t *testing.T, place string, texts []string) int {
	t.Helper()
	for _, text := range texts {
		if old, say := faultIn(text); old != "" {
			t.Errorf("%s says %q: %.160q; say %s", place, old, text, say)
		}
	}
	return len(texts)
}

// asServed reads pages with the links of their labels.
func asServed(t *testing.T, club *uitest.ClubSite) func(address string) (int, string) {
	return func(address string) (int, string) {
		t.Helper()
		answer, err := club.Client.Get(club.URL + address)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		if err != nil {
			t.Fatal(err)
		}
		return answer.StatusCode, string(body)
	}
}

// TestLinksToTheGuideLand: every link of a page to the guide or to the sources
// lands on an anchor that is there, labels with a term have such links, and only
// labels do.
func TestLinksToTheGuideLand(t *testing.T) {
	club := uitest.DemoClub(t)
	anchors, terms := map[string]map[string]bool{}, map[string]bool{}
	on := func(address string) map[string]bool {
		if anchors[address] == nil {
			status, body := club.Look(address)
			if status != http.StatusOK {
				t.Errorf("%s: %d", address, status)
			}
			anchors[address] = map[string]bool{"": true}
			for _, m := range regexp.MustCompile(` id="([^"]+)"`).FindAllStringSubmatch(body, -1) {
				anchors[address][m[1]] = true
			}
		}
		return anchors[address]
	}
	walk(t, asServed(t, club), func(address, body string) {
		_, links := textsOf(t, body)
		for _, link := range links {
			path, anchor, _ := strings.Cut(link, "#")
			if path == "" {
				path = address
			}
			if (strings.HasPrefix(path, "/guide") || path == "/sources") && !on(path)[anchor] {
				t.Errorf("%s leads to %s, which is not there", address, link)
			}
		}
		for _, m := range regexp.MustCompile(`<(\w+)[^>]*>\s*<a class="term" href="[^"#]*#([^"]*)"`).FindAllStringSubmatch(body, -1) {
			terms[m[2]] = true
			if m[1] == "td" || m[1] == "option" || m[1] == "summary" {
				t.Errorf("%s: a term is linked in a %s", address, m[1])
			}
		}
	})
	if len(terms) < 60 {
		t.Errorf("only %d terms are linked from pages", len(terms))
	}
}
