package uitest

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Walker goes through pages the way a person does: by what is written on links and
// buttons, and by the fields of forms. [Reader] is one without script, [Walking] one
// with a keyboard at a phone.
type Walker interface {
	Home()                      // presses the club's name at the head of the page
	Open(address string)        // follows a link from outside, such as an invitation
	Press(text string)          // a link, a button or what a fold says; with … at its end how that begins
	Follow(address string)      // the first link whose address begins so
	Fill(name, value string)    // a field
	Choose(name, option string) // of a list, by how an option begins
	Chosen(name, button string) // sends a choice with its button, where it is not sent by itself
	Tick(name, value string)    // a box or a choice
	Upload(name, file string)   // a file of this machine
	Says(texts ...string)       // wants the main part of the page to say something
	Told() string               // what the main part of the page says
	At() *url.URL               // where the walk is
	Done() Done                 // what it took
}

// Done is what a walk took.
type Done struct {
	Pressed, Filled, Pages int
	Screens                float64 // heights of a phone's screen that were scrolled through, there and back
}

func (d Done) String() string {
	return fmt.Sprintf("%d presses, %d fields, %d pages, %.1f screens scrolled", d.Pressed, d.Filled, d.Pages, d.Screens)
}

// Reader is a walker whose browser runs no script: plain requests and forms.
type Reader struct {
	t      testing.TB
	site   string
	client http.Client
	at     *url.URL
	root   *html.Node
	done   Done
}

// NewReader returns a reader at the start page of a site, whose address has no slash
// at its end.
func NewReader(t testing.TB, site string) *Reader {
	t.Helper()
	r := &Reader{t: t, site: site}
	r.client.Jar, _ = cookiejar.New(nil)
	r.get(site + "/")
	return r
}

// Open follows a link from outside.
func (r *Reader) Open(address string) { r.t.Helper(); r.done.Pressed++; r.get(address) }

// Home goes to the start page.
func (r *Reader) Home() { r.t.Helper(); r.done.Pressed++; r.get(r.site + "/") }

// At returns the address of the page.
func (r *Reader) At() *url.URL { return r.at }

// Done returns what the walk took.
func (r *Reader) Done() Done { return r.done }

func (r *Reader) get(address string) {
	r.t.Helper()
	request, err := http.NewRequestWithContext(r.t.Context(), http.MethodGet, address, nil)
	if err != nil {
		r.t.Fatal(err)
	}
	r.send(request)
}

func (r *Reader) send(request *http.Request) {
	r.t.Helper()
	answer, err := r.client.Do(request)
	if err != nil {
		r.t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	if answer.StatusCode != http.StatusOK && answer.StatusCode != http.StatusUnprocessableEntity {
		body, _ := io.ReadAll(answer.Body)
		r.t.Fatalf("%s %s: %s: %.600s", request.Method, request.URL, answer.Status, body)
	}
	if r.root, err = html.Parse(answer.Body); err != nil {
		r.t.Fatal(err)
	}
	r.at = answer.Request.URL
	r.done.Pages++
}

// attr returns an attribute of an element, and whether it is there.
func attr(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

func value(n *html.Node, name string) string { v, _ := attr(n, name); return v }

func setAttr(n *html.Node, name, to string) {
	for i := range n.Attr {
		if n.Attr[i].Key == name {
			n.Attr[i].Val = to
			return
		}
	}
	n.Attr = append(n.Attr, html.Attribute{Key: name, Val: to})
}

func dropAttr(n *html.Node, name string) {
	for i := range n.Attr {
		if n.Attr[i].Key == name {
			n.Attr = append(n.Attr[:i:i], n.Attr[i+1:]...)
			return
		}
	}
}

// text returns what is written in an element.
func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode && d.Parent.Data != "script" {
			b.WriteString(d.Data)
		}
	}
	return OneLine(b.String())
}

// find returns the first element that fits.
func (r *Reader) find(fits func(*html.Node) bool) *html.Node {
	for n := range r.root.Descendants() {
		if n.Type == html.ElementNode && fits(n) {
			return n
		}
	}
	return nil
}

// hidden reports whether a page without script shows nothing of an element.
func hidden(n *html.Node) bool {
	for ; n != nil; n = n.Parent {
		if _, is := attr(n, "hidden"); is {
			return true
		}
	}
	return false
}

// Told returns what the main part of the page says.
func (r *Reader) Told() string {
	r.t.Helper()
	main := r.find(func(n *html.Node) bool { return n.Data == "main" })
	if main == nil {
		r.t.Fatalf("%s has no main part", r.at)
	}
	return text(main)
}

// Says wants the page to say something.
func (r *Reader) Says(texts ...string) {
	r.t.Helper()
	WantIn(r.t, r.at.Path, r.Told(), texts...)
}

// Press follows a link or presses a button.
func (r *Reader) Press(label string) {
	r.t.Helper()
	r.done.Pressed++
	n := r.find(func(n *html.Node) bool {
		return (n.Data == "a" || n.Data == "button" && value(n, "type") != "button" || n.Data == "summary") && !hidden(n) && labelled(text(n), label)
	})
	switch {
	case n == nil:
		r.t.Fatalf("%s has nothing called %q; it says %.3000s", r.at, label, r.Told())
	case n.Data == "a":
		to, err := r.at.Parse(value(n, "href"))
		if err != nil {
			r.t.Fatal(err)
		}
		if to.Path != r.at.Path || to.RawQuery != r.at.RawQuery { // else it is a place on this page
			r.get(to.String())
		}
	case n.Data == "button":
		r.submit(n)
	}
}

// Follow presses the first link whose address begins so.
func (r *Reader) Follow(address string) {
	r.t.Helper()
	r.done.Pressed++
	n := r.find(func(n *html.Node) bool {
		return n.Data == "a" && !hidden(n) && strings.HasPrefix(value(n, "href"), address)
	})
	if n == nil {
		r.t.Fatalf("%s has no link to %s", r.at, address)
	}
	to, err := r.at.Parse(value(n, "href"))
	if err != nil {
		r.t.Fatal(err)
	}
	r.get(to.String())
}

// labelled reports whether a text is a label or, before an ellipsis, begins with it.
func labelled(text, label string) bool {
	begin, open := strings.CutSuffix(label, "…")
	return text == label || open && strings.HasPrefix(text, begin)
}

// formOf returns the form that a control belongs to.
func (r *Reader) formOf(n *html.Node) *html.Node {
	if id, is := attr(n, "form"); is {
		return r.find(func(f *html.Node) bool { return f.Data == "form" && value(f, "id") == id })
	}
	for p := n.Parent; p != nil; p = p.Parent {
		if p.Data == "form" {
			return p
		}
	}
	return nil
}

// field finds a control that is seen, by its name.
func (r *Reader) field(name string, fits func(*html.Node) bool) *html.Node {
	r.t.Helper()
	n := r.find(func(n *html.Node) bool {
		return value(n, "name") == name && value(n, "type") != "hidden" && !hidden(n) && fits(n)
	})
	if n == nil {
		r.t.Fatalf("%s has no field %q of that kind; it says %.3000s", r.at, name, r.Told())
	}
	r.done.Filled++
	return n
}

// Fill writes into a field.
func (r *Reader) Fill(name, text string) {
	r.t.Helper()
	n := r.field(name, func(n *html.Node) bool { return n.Data == "input" || n.Data == "textarea" })
	setAttr(n, "data-filled", text)
}

// Choose takes an option of a list.
func (r *Reader) Choose(name, option string) {
	r.t.Helper()
	list := r.field(name, func(n *html.Node) bool { return n.Data == "select" })
	found := false
	for o := range list.Descendants() {
		if o.Data != "option" {
			continue
		}
		dropAttr(o, "selected")
		if !found && strings.HasPrefix(text(o), option) {
			setAttr(o, "selected", "")
			found = true
		}
	}
	if !found {
		r.t.Fatalf("%s: %s offers no %q but %s", r.at, name, option, text(list))
	}
}

// Chosen presses the button that sends a choice.
func (r *Reader) Chosen(_, button string) { r.t.Helper(); r.Press(button) }

// Tick ticks a box or takes one choice of several.
func (r *Reader) Tick(name, of string) {
	r.t.Helper()
	n := r.field(name, func(n *html.Node) bool {
		kind := value(n, "type")
		return (kind == "checkbox" || kind == "radio") && cmp.Or(value(n, "value"), "on") == of
	})
	if value(n, "type") == "radio" {
		for d := range r.root.Descendants() {
			if value(d, "name") == name {
				dropAttr(d, "checked")
			}
		}
	}
	setAttr(n, "checked", "")
}

// Upload chooses a file.
func (r *Reader) Upload(name, file string) {
	r.t.Helper()
	setAttr(r.field(name, func(n *html.Node) bool { return value(n, "type") == "file" }), "data-filled", file)
}

// submit sends the form of a button as a browser does.
func (r *Reader) submit(button *html.Node) {
	r.t.Helper()
	form := r.formOf(button)
	if form == nil {
		r.t.Fatalf("%s: the button %q belongs to no form", r.at, text(button))
	}
	sent, files := r.entries(form, button)
	to, err := r.at.Parse(cmp.Or(value(button, "formaction"), value(form, "action"), r.at.String()))
	if err != nil {
		r.t.Fatal(err)
	}
	if !strings.EqualFold(cmp.Or(value(button, "formmethod"), value(form, "method")), http.MethodPost) {
		to.RawQuery = sent.Encode()
		r.get(to.String())
		return
	}
	body, kind := strings.NewReader(sent.Encode()), "application/x-www-form-urlencoded"
	if value(form, "enctype") == "multipart/form-data" {
		body, kind = r.parts(sent, files)
	}
	request, err := http.NewRequestWithContext(r.t.Context(), http.MethodPost, to.String(), body)
	if err != nil {
		r.t.Fatal(err)
	}
	request.Header.Set("Content-Type", kind)
	r.send(request)
}

// entries are the names and values of a form, its button included, and its files.
func (r *Reader) entries(form, button *html.Node) (sent url.Values, files map[string]string) {
	sent, files = url.Values{}, map[string]string{}
	for n := range r.root.Descendants() {
		name := value(n, "name")
		if _, off := attr(n, "disabled"); n.Type != html.ElementNode || name == "" || off || r.formOf(n) != form {
			continue
		}
		filled, typed := attr(n, "data-filled")
		switch kind := value(n, "type"); {
		case n.Data == "button" || kind == "submit":
			if n == button {
				sent.Add(name, value(n, "value"))
			}
		case kind == "checkbox" || kind == "radio":
			if _, on := attr(n, "checked"); on {
				sent.Add(name, cmp.Or(value(n, "value"), "on"))
			}
		case kind == "file":
			files[name] = filled
		case n.Data == "select":
			if v, any := option(n); any {
				sent.Add(name, v)
			}
		case typed:
			sent.Add(name, filled)
		case n.Data == "textarea":
			sent.Add(name, content(n))
		case n.Data == "input":
			sent.Add(name, value(n, "value"))
		}
	}
	return sent, files
}

// content is the text of an element as it stands.
func content(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		b.WriteString(d.Data)
	}
	return b.String()
}

// option is the value of the option of a list that is chosen, or of its first.
func option(list *html.Node) (chosen string, any bool) {
	for o := range list.Descendants() {
		if o.Type != html.ElementNode || o.Data != "option" {
			continue
		}
		v, has := attr(o, "value")
		if !has {
			v = text(o)
		}
		if _, on := attr(o, "selected"); on || !any {
			chosen, any = v, true
			if on {
				return chosen, true
			}
		}
	}
	return chosen, any
}

// parts writes a form with files.
func (r *Reader) parts(sent url.Values, files map[string]string) (*strings.Reader, string) {
	r.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, values := range sent {
		for _, v := range values {
			if err := form.WriteField(name, v); err != nil {
				r.t.Fatal(err)
			}
		}
	}
	for name, file := range files {
		content, err := []byte(nil), error(nil)
		if file != "" {
			content, err = os.ReadFile(file)
		}
		part, errPart := form.CreateFormFile(name, filepath.Base(file))
		if err == nil {
			err = errPart
		}
		if err == nil {
			_, err = part.Write(content)
		}
		if err != nil {
			r.t.Fatal(err)
		}
	}
	if err := form.Close(); err != nil {
		r.t.Fatal(err)
	}
	return strings.NewReader(body.String()), form.FormDataContentType()
}
