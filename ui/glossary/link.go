package glossary

import (
	"bytes"
	"html"
	"strings"
)

// labelled are the elements whose text is a label, by name. Cells are none.
var labelled = map[string]bool{"label": true, "th": true, "dt": true, "legend": true, "h2": true, "h3": true}

// acting are the elements in which no link may stand, since they act themselves.
var acting = map[string]bool{"a": true, "button": true, "summary": true}

// beginning are the elements in which each term is linked once more: in one form
// or table the first label leads to the definition, the others do not.
var beginning = map[string]bool{"form": true, "table": true, "dl": true, "main": true}

// opens and ends stand around a tag.
var opens, ends = []byte("<"), []byte(">")

// Link returns a page or a part of one in which labels that are terms lead to
// their definition. It reads what html/template wrote, in which every < is a tag.
// Pages of the guide, whose templates' names begin so, are left as they are.
func Link(name string, page []byte) []byte {
	if strings.HasPrefix(name, "guide") {
		return page
	}
	l := &linker{page: page, linked: map[string]bool{}}
	for rest := page; ; {
		_, begun, _ := bytes.Cut(rest, opens)
		tag, after, ended := bytes.Cut(begun, ends)
		if !ended {
			break
		}
		l.tag(tag, len(page)-len(after))
		rest = after
	}
	if l.done == 0 {
		return page
	}
	return append(l.out, page[l.done:]...)
}

// linker goes through a page once.
type linker struct {
	page   []byte
	out    []byte
	done   int // how much of the page is in out
	acting int // how many elements that act are open
	linked map[string]bool
}

// tag takes what stands in one tag, whose text begins at from.
func (l *linker) tag(tag []byte, from int) {
	name, closing := nameOf(tag)
	switch {
	case acting[string(name)] && closing:
		l.acting = max(0, l.acting-1)
	case acting[string(name)]:
		l.acting++
	case beginning[string(name)] && !closing:
		clear(l.linked)
	case (labelled[string(name)] || named(tag)) && !closing && l.acting == 0:
		l.label(from, ofForm[string(name)])
	}
}

// ofForm are the labels of a form. Their links stand outside the order of the
// keyboard, in which each field would take two steps; its reader finds the terms in
// the guide.
var ofForm = map[string]bool{"label": true, "legend": true}

// label links the text that begins at from, where it is a term.
func (l *linker) label(from int, aside bool) {
	text, _, whole := bytes.Cut(l.page[from:], opens)
	if !whole {
		return
	}
	word := bytes.TrimSpace(text)
	term, ok := Of(html.UnescapeString(string(word)))
	if !ok || l.linked[term.Key] {
		return
	}
	l.linked[term.Key] = true
	start := from + bytes.Index(text, word)
	l.out = append(l.out, l.page[l.done:start]...)
	order := ""
	if aside {
		order = ` tabindex="-1"`
	}
	l.out = append(l.out, `<a class="term" href="`+term.Link()+`"`+order+`>`...)
	l.out = append(append(l.out, word...), "</a>"...)
	l.done = start + len(word)
}

// named reports whether a tag opens the name of a figure, which is set above it.
func named(tag []byte) bool { return bytes.Equal(tag, []byte(`span class="name"`)) }

// nameOf is the name in a tag, and whether it closes.
func nameOf(tag []byte) (name []byte, closing bool) {
	tag, closing = bytes.CutPrefix(tag, []byte("/"))
	if end := bytes.IndexAny(tag, " \t\n/"); end >= 0 {
		tag = tag[:end]
	}
	return tag, closing
}

// units end a label in the head of a table.
var units = []string{" °", " cm", " mm", " kg", " s", " ms", " W", " N", " %", " m/s", " m", ", °", ", cm", ", N", ", W", ", s", ", m", ", ms", ", m/s", ", %"}

// Of returns the term that a label names, with or without its unit.
func Of(label string) (Term, bool) {
	label = strings.ReplaceAll(label, "\u00a0", " ")
	if t, ok := byLabel[strings.ToLower(label)]; ok {
		return t, true
	}
	for _, u := range units {
		if bare, cut := strings.CutSuffix(label, u); cut {
			t, ok := byLabel[strings.ToLower(bare)]
			return t, ok
		}
	}
	return Term{}, false
}
