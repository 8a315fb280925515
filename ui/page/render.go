// Package page holds what every page needs: the frame and its menu, forms and fields
// with their complaints, lists, numbers and words, plots, downloads, and the way from
// a request to an answer for htmx or a plain form. It knows no area's page.
package page

import (
	"bytes"
	"crypto/rand"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"strings"
	"sync"

	"thole/api/access"
	"thole/ui/glossary"
	"thole/ui/usage"
)

// layoutFile holds the frame of every page, and partsFile what several pages
// share; files that end in areaParts hold what the pages of one area share. Every
// other file is one page with its fragments.
const (
	layoutFile = "layout.html"
	partsFile  = "parts.html"
	areaParts  = "_parts.html"
)

// pages holds one template set a page.
type pages struct {
	byName map[string]func() *template.Template
	rules  map[string]access.Rule // of all pages, by pattern
	extras Extras

	patterns *http.ServeMux // the rules once more, by what their patterns match
}

// parsePages finds the pages of the areas; each is parsed when it is first shown.
func parsePages(a *assets, areas ...fs.FS) (*pages, error) {
	base := template.New("layout").Option("missingkey=error").Funcs(formatting).
		Funcs(template.FuncMap{"asset": a.address, "newkey": rand.Text, "choice": choose})
	base, err := base.ParseFS(ownTemplates, layoutFile, partsFile)
	if err != nil {
		return nil, fmt.Errorf("parsing the frame: %w", err)
	}
	p := &pages{byName: map[string]func() *template.Template{}}
	for _, area := range append(areas, ownTemplates) {
		if err := p.parse(base, area); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// choice is what a select offers, for the template options.
type choice struct {
	Options []Option
	Chosen  string
}

func choose(list []Option, chosen string) choice { return choice{list, chosen} }

// parse adds the pages of one area. To parse all at once would take half of a start.
func (p *pages) parse(base *template.Template, area fs.FS) error {
	files, _ := fs.Glob(area, "*.html") // fails only for a pattern that is none
	shared, _ := fs.Glob(area, "*"+areaParts)
	for _, file := range files {
		if file == layoutFile || file == partsFile || strings.HasSuffix(file, areaParts) {
			continue
		}
		name := strings.TrimSuffix(file, ".html")
		if _, twice := p.byName[name]; twice {
			return fmt.Errorf("two pages are named %s", name)
		}
		p.byName[name] = sync.OnceValue(func() *template.Template {
			return template.Must(template.Must(base.Clone()).ParseFS(area, append(shared[:len(shared):len(shared)], file)...))
		})
	}
	return nil
}

// ParseAll panics where a page cannot be parsed.
func (p *pages) ParseAll() {
	for _, parsed := range p.byName {
		parsed()
	}
}

// Show renders a whole page.
func (p *pages) Show(w http.ResponseWriter, status int, page string, data any) error {
	return p.render(w, status, page, layoutFile, data)
}

// Fragment renders one part of a page, for htmx.
func (p *pages) Fragment(w http.ResponseWriter, status int, page, part string, data any) error {
	return p.render(w, status, page, part, data)
}

// render goes through a buffer, so that a reader never sees half a page.
func (p *pages) render(w http.ResponseWriter, status int, page, part string, data any) error {
	parsed, ok := p.byName[page]
	if !ok {
		panic("ui: no page " + page)
	}
	set := parsed()
	if part == layoutFile {
		data = p.inFrame(w, page, p.title(set, data), data)
	}
	var body bytes.Buffer
	if err := set.ExecuteTemplate(&body, part, data); err != nil {
		return fmt.Errorf("rendering %s: %w", page, err)
	}
	text, err := glossary.Link(page, body.Bytes()), error(nil)
	if v := viewerOf(w); part == layoutFile && p.patterns != nil && (v.Role == access.Athlete || v.Role == access.Boatman) {
		if text, err = restricted(text, v, p.patterns); err != nil {
			return fmt.Errorf("rendering %s: %w", page, err)
		}
	}
	if v, ok := w.(*viewing); ok {
		text = usage.Rewrite(v.request.Context(), text)
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	// A fragment must not be restored as a page from the history.
	h.Add("Vary", "HX-Request")
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, err = w.Write(text)
	return err
}
