package page

import (
	"bytes"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"golang.org/x/net/html"

	"thole/api/access"
)

// ReadOnly returns a page without forms, buttons, scripts and links to other
// pages, with a note at its head. What stands in a field of a form is told as
// text.
func ReadOnly(page []byte, note string) ([]byte, error) {
	doc, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		return nil, err
	}
	new(reader).clean(doc, true)
	if main := find(doc, "main"); main != nil {
		p := &html.Node{Type: html.ElementNode, Data: "p", Attr: []html.Attribute{{Key: "class", Val: "told"}}}
		p.AppendChild(&html.Node{Type: html.TextNode, Data: note})
		main.InsertBefore(p, main.FirstChild)
	}
	return rendered(doc)
}

// restricted returns a page with only those links and forms that lead where the
// viewer is let in. Other forms tell what stands in their fields.
func restricted(page []byte, v *access.Viewer, rules *http.ServeMux) ([]byte, error) {
	doc, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		return nil, err
	}
	(&reader{v, rules}).clean(doc, false)
	return rendered(doc)
}

func rendered(doc *html.Node) ([]byte, error) {
	var text bytes.Buffer
	err := html.Render(&text, doc)
	return text.Bytes(), err
}

// reader is whom a page is made ready for; without rules somebody who may go
// nowhere else.
type reader struct {
	viewer *access.Viewer
	rules  *http.ServeMux // answers with the rules of the pages, see ruled
}

// ruled is a rule as a handler, so that the patterns of the pages can be asked
// for it as they are for the page.
type ruled struct {
	http.Handler
	access.Rule
}

// lets reports whether the reader may send a request to an address of this server.
func (d *reader) lets(method, address string) bool {
	u, err := url.Parse(address)
	if d.rules == nil || err != nil {
		return false
	}
	if u.Host != "" || u.Path == "" {
		return true // a part of the page itself, or another site
	}
	handler, _ := d.rules.Handler(&http.Request{Method: method, URL: &url.URL{Path: u.Path}})
	rule, ok := handler.(ruled)
	return !ok || rule.Lets(d.viewer.Role)
}

// dropped are the elements that are left out of what is only read, with all that
// is in them.
var dropped = map[string]bool{
	"script": true, "button": true, "select": true, "textarea": true, "nav": true, "dialog": true, "template": true,
}

// clean makes the inside of a node ready; locked says that fields and buttons
// are of no use in it.
func (d *reader) clean(n *html.Node, locked bool) {
	for c := n.FirstChild; c != nil; {
		following := c.NextSibling
		if c.Type == html.ElementNode {
			d.element(n, c, locked)
		}
		c = following
	}
}

func (d *reader) element(parent, e *html.Node, locked bool) {
	switch {
	case locked && dropped[e.Data]:
		parent.RemoveChild(e)
		return
	case locked && e.Data == "input":
		tell(parent, e)
		return
	case e.Data == "form" && !d.letsForm(e):
		e.Data, locked = "div", true
		keepAttributes(e, "class", "id")
	case locked && e.Data == "label":
		e.Data = "span"
		keepAttributes(e, "class", "id")
	case e.Data == "a" && !d.lets(http.MethodGet, attributeOf(e, "href")) && !strings.HasPrefix(attributeOf(e, "href"), "#"):
		if strings.Contains(attributeOf(e, "class"), "act") || strings.Contains(attributeOf(e, "class"), "quiet") {
			parent.RemoveChild(e)
			return
		}
		e.Data = "span"
		keepAttributes(e, "class", "id")
	}
	if locked {
		e.Attr = slices.DeleteFunc(e.Attr, func(a html.Attribute) bool {
			return strings.HasPrefix(a.Key, "hx-") || strings.HasPrefix(a.Key, "data-")
		})
	}
	d.clean(e, locked)
}

// letsForm reports whether the reader may send a form.
func (d *reader) letsForm(e *html.Node) bool {
	method := strings.ToUpper(attributeOf(e, "method"))
	if method == "" {
		method = http.MethodGet
	}
	return d.lets(method, attributeOf(e, "action"))
}

// tell puts in place of a field what stands in it.
func tell(parent, field *html.Node) {
	kind := attributeOf(field, "type")
	if kind == "" || kind == "text" || kind == "date" || kind == "number" {
		parent.InsertBefore(&html.Node{Type: html.TextNode, Data: attributeOf(field, "value")}, field)
	}
	parent.RemoveChild(field)
}

func find(n *html.Node, name string) *html.Node {
	if n.Type == html.ElementNode && n.Data == name {
		return n
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if found := find(c, name); found != nil {
			return found
		}
	}
	return nil
}

func keepAttributes(e *html.Node, names ...string) {
	e.Attr = slices.DeleteFunc(e.Attr, func(a html.Attribute) bool { return !slices.Contains(names, a.Key) })
}

func attributeOf(e *html.Node, name string) string {
	for _, a := range e.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}
