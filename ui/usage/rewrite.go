package usage

import (
	"bytes"
	"regexp"
	"strings"

	"golang.org/x/net/html"

	"thole/api/people"
)

// was goes before the name of a field that keeps, beside one that is shown in other
// units, what stands on record and how it was shown: sent back as it was shown it is what
// it was, to the last digit.
const was = "was:"

// Rewrite returns a page, or a part of one, in the reader's units and words. What people
// wrote themselves stays as they wrote it: in fields and in elements of the class typed,
// between quotation marks, and wherever one of their names or notes stands.
func (u Usage) Rewrite(page []byte, theirs Typed) []byte {
	if u.leaves(page) {
		return page
	}
	w := writing{u: u, theirs: theirs}
	z := html.NewTokenizer(bytes.NewReader(page))
	for z.Next() != html.ErrorToken {
		raw := append([]byte(nil), z.Raw()...)
		w.take(z.Token(), raw)
	}
	return w.out.Bytes()
}

// leaves reports whether nothing of a page is to be changed.
func (u Usage) leaves(page []byte) bool { return u.Default() && !showsDay(page) }

// showsDay reports whether a page tells a day in the order of files: in its text, or in an
// attribute that readers are told.
func showsDay(page []byte) bool {
	if !holdsDay(page) {
		return false
	}
	for _, at := range isoDay.FindAllIndex(page, -1) {
		before := page[:at[0]]
		tag := bytes.LastIndexByte(before, '<')
		if bytes.LastIndexByte(before, '>') >= tag { // both are -1 before the first tag
			return true
		}
		said := bytes.LastIndex(before, []byte(`="`))
		if name := bytes.LastIndexAny(before[:max(said, 0)], " \n\t"); said > tag && prosy[string(before[name+1:said])] {
			return true
		}
	}
	return false
}

// writing is a page on its way.
type writing struct {
	u      Usage
	theirs Typed
	out    bytes.Buffer
	open   []element
	unit   kind // that the next element of the class unit is of
	tables []table
	said   bool // lengths are of a body until the item or the paragraph ends
}

// table is an open table: the kinds of its columns, as their heads say them.
type table struct {
	kinds  map[int]kind
	column int // of the present cell
	next   int
	head   bool
}

// headUnit ends the head of a column of lengths.
var headUnit = regexp.MustCompile(`(^|[\s,])cm\s*$`)

// inTable follows the cells of tables, and gives a cell the kind of its column.
func (w *writing) inTable(t *html.Token, e *element) {
	if t.Data == "table" {
		w.tables = append(w.tables, table{kinds: map[int]kind{}})
	}
	if len(w.tables) == 0 {
		return
	}
	in := &w.tables[len(w.tables)-1]
	switch t.Data {
	case "thead":
		in.head = true
	case "tbody":
		in.head = false
	case "tr":
		in.next = 0
	case "th", "td":
		in.column, e.head = in.next, in.head
		in.next += max(1, int(number(attribute(t, "colspan"))))
		if k := in.kinds[in.column]; k != none && !in.head && t.Data == "td" {
			e.cell = k
		}
	}
}

// headed takes the unit from the head of a column.
func (w *writing) headed(e *element, text string) {
	if e.head && e.cell == none && len(w.tables) > 0 && headUnit.MatchString(text) {
		in := &w.tables[len(w.tables)-1]
		in.kinds[in.column], e.cell = rigLength, rigLength
	}
}

// element is an open element.
type element struct {
	name  string
	typed bool // its text is somebody's own
	body  bool // its lengths are of a body
	cell  kind // it holds numbers of a kind
	label kind // it names the unit of the field before it
	badge bool // its text may be the letter of a side
	head  bool // it is the head of a column
}

// void are the elements that have no end.
var void = map[string]bool{"area": true, "base": true, "br": true, "col": true, "embed": true, "hr": true, "img": true, "input": true, "link": true, "meta": true, "source": true, "track": true, "wbr": true}

// own are the elements whose text is not a page's prose.
var own = map[string]bool{"textarea": true, "script": true, "style": true, "code": true, "pre": true}

func (w *writing) take(t html.Token, raw []byte) {
	switch t.Type {
	case html.TextToken:
		w.text(string(raw))
	case html.StartTagToken, html.SelfClosingTagToken:
		w.start(&t, raw)
	case html.EndTagToken:
		w.end(t.Data)
		w.out.Write(raw)
	default:
		w.out.Write(raw)
	}
}

func (w *writing) top() element {
	if len(w.open) == 0 {
		return element{}
	}
	return w.open[len(w.open)-1]
}

// end closes an element with those left open in it.
func (w *writing) end(name string) {
	if name == "li" || name == "p" {
		w.said = false
	}
	for i := len(w.open) - 1; i >= 0; i-- {
		if w.open[i].name == name {
			if name == "table" {
				w.tables = w.tables[:len(w.tables)-1]
			}
			w.open = w.open[:i]
			return
		}
	}
}

// attribute of a tag; "" for none.
func attribute(t *html.Token, name string) string {
	for _, a := range t.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func hasClass(t *html.Token, class string) bool {
	for _, c := range strings.Fields(attribute(t, "class")) {
		if c == class {
			return true
		}
	}
	return false
}

func (w *writing) start(t *html.Token, raw []byte) {
	e := w.top()
	e.name, e.label = t.Data, none
	e.typed = e.typed || own[t.Data] || hasClass(t, "typed")
	id := attribute(t, "id")
	if len(id) > 2 && id[1] == '-' && kindOf(id[2:]) == bodyLength {
		e.body = true
	}
	w.inTable(t, &e)
	switch m := attribute(t, "data-m"); m {
	case "":
	case "said":
		e.body = true
	default:
		e.cell, e.body = kinds[m], m == string(bodyLength)
	}
	if field, here := strings.CutPrefix(attribute(t, "href"), "#"); here && kindOf(field) == bodyLength {
		w.said = true
	}
	if w.unit != none && hasClass(t, "unit") {
		e.label, w.unit = w.unit, none
	}
	e.badge = w.u.Stroke && (hasClass(t, "badge") || hasClass(t, "paperside") || hasClass(t, "fig-letter"))
	switch {
	case t.Data == "input":
		w.input(t, raw)
	default:
		w.tag(t, raw, e)
	}
	if !void[t.Data] && t.Type == html.StartTagToken {
		w.open = append(w.open, e)
	}
}

// letters of the sides as stroke side and bow side.
var letters = map[string]string{"P": "S", "S": "B"}

// prosy are the attributes that readers are told.
var prosy = map[string]bool{"aria-label": true, "title": true, "placeholder": true, "alt": true, "aria-description": true, "hx-confirm": true}

// tag writes a tag with what its attributes tell.
func (w *writing) tag(t *html.Token, raw []byte, e element) {
	changed := false
	for i, a := range t.Attr {
		if prosy[a.Key] && !e.typed {
			if said := w.prose(a.Val, e.body); said != a.Val {
				t.Attr[i].Val, changed = said, true
			}
		}
	}
	if t.Data == "form" && attribute(t, "data-unit") != "" && (w.u.Rig != "" || w.u.Comma) {
		t.Attr = append(t.Attr, w.toldToScript(attribute(t, "data-unit"))...)
		changed = true
	}
	if !changed {
		w.out.Write(raw)
		return
	}
	w.out.WriteString(t.String())
}

// toldToScript are the attributes by which a page's script writes and reads numbers of a
// unit in the reader's way.
func (w *writing) toldToScript(unit string) []html.Attribute {
	list := []html.Attribute{{Key: "data-decimal", Val: map[bool]string{true: ",", false: "."}[w.u.Comma]}}
	if unit == "cm" && w.u.Rig != "" {
		list = append(list, html.Attribute{Key: "data-rig", Val: w.u.Rig})
	}
	return list
}

// fieldKind reports what a field holds: by data-m, by its name, or a number.
func fieldKind(t *html.Token) kind {
	switch attribute(t, "type") {
	case "", "text", "number":
	default:
		return none
	}
	k := kindOf(attribute(t, "name"))
	of := attribute(t, "data-m")
	if said, ok := kinds[of]; ok && (k == none || of == "hole") {
		return said
	}
	if k != none || attribute(t, "inputmode") != "decimal" && !aTime.MatchString(attribute(t, "value")) {
		return k
	}
	return aNumber
}

// input writes a field with its value in the reader's units, and beside it what it was.
func (w *writing) input(t *html.Token, raw []byte) {
	name, k := attribute(t, "name"), fieldKind(t)
	if !w.u.writes(k) || name == "" {
		w.tag(t, raw, w.top())
		return
	}
	changes := w.u.changes(k) && k != aNumber
	if changes {
		w.unit = k
	}
	value := attribute(t, "value")
	shown := w.u.typed(k, value)
	for i, a := range t.Attr {
		switch a.Key {
		case "value":
			t.Attr[i].Val = shown
		case "type":
			t.Attr[i].Val = "text" // browsers refuse fractions and commas otherwise
		case "placeholder", "data-blank":
			t.Attr[i].Val = w.u.cell(a.Val, k)
		case "inputmode":
			if changes && (k == bodyLength || w.u.Rig == people.Fractions) {
				t.Attr[i].Val = "text"
			}
		case "aria-label":
			said := w.prose(a.Val, k == bodyLength)
			if changes && k != bodyLength {
				said = bareCm.ReplaceAllString(said, "${1}"+w.u.unitOf(k))
			}
			t.Attr[i].Val = said
		}
	}
	w.out.WriteString(t.String())
	hidden := html.Token{Type: html.SelfClosingTagToken, Data: "input", Attr: []html.Attribute{
		{Key: "type", Val: "hidden"}, {Key: "name", Val: was + name}, {Key: "value", Val: string(k) + "|" + value + "|" + shown},
	}}
	if form := attribute(t, "form"); form != "" {
		hidden.Attr = append(hidden.Attr, html.Attribute{Key: "form", Val: form})
	}
	w.out.WriteString(hidden.String())
}

// prose rewrites a text but for what people wrote.
func (w *writing) prose(text string, body bool) string {
	return w.theirs.around(text, func(text string) string { return w.u.prose(text, body) })
}

// text writes a text, which is raw as the page has it.
func (w *writing) text(raw string) {
	e := w.top()
	plain := strings.TrimSpace(raw)
	switch {
	case e.typed || plain == "":
		w.out.WriteString(raw)
		return
	case e.badge && letters[plain] != "":
		w.out.WriteString(letters[plain])
		return
	case e.label != none:
		w.out.WriteString(w.u.unitOf(e.label))
		return
	}
	text, said := html.UnescapeString(raw), ""
	w.headed(&e, text)
	if e.cell != none {
		said = w.theirs.around(text, func(text string) string { return w.u.cell(text, e.cell) })
	} else {
		said = w.prose(text, e.body || w.said)
	}
	if said == text {
		w.out.WriteString(raw)
		return
	}
	w.out.WriteString(html.EscapeString(said))
}
