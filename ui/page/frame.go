package page

import (
	"cmp"
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"mime"
	"net/http"
	"net/url"

	"thole/api/access"
	"thole/api/gate"
	"thole/api/rest"
	"thole/api/wire"
)

// Frame is what the handlers of every area share: how pages are shown, and the
// message when one cannot be.
type Frame struct {
	Log    *slog.Logger
	Owners access.Owners // says what is whose, for the rules of the pages

	Gate    *gate.Gate    // for pages that take long; nil lets all in
	Uploads *gate.Uploads // for large forms; nil lets all in

	Pages  *pages
	Assets *assets
}

// Handler answers one request for a page.
type Handler func(http.ResponseWriter, *http.Request) error

// Route is a page, or a write of one, with who may use it.
type Route struct {
	Handler Handler
	Access  access.Rule
	heavy   bool
}

// Heavy says that the page takes long to work out: it passes the gate.
func (p Route) Heavy() Route {
	p.heavy = true
	return p
}

// For declares who may use a page.
func For(rule access.Rule, h Handler) Route { return Route{Handler: h, Access: rule} }

// Guarded is [Frame.Page] for those whom the page's rule lets in. The others are
// led to sign in, or told that it is not for them.
func (s *Frame) Guarded(p Route) http.Handler {
	shown := s.Page(s.throughGate(p))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w = &viewing{w, r, p.Access}
		query := r.URL.Query()
		err := p.Access.Check(r.Context(), access.Request{Method: r.Method, Param: r.PathValue, Query: query}, s.Owners)
		if err != nil {
			s.Page(func(w http.ResponseWriter, r *http.Request) error { return s.keepOut(w, r, err) }).ServeHTTP(w, r)
			return
		}
		if p.Access.Narrow != "" {
			r.URL.RawQuery = query.Encode()
		}
		shown.ServeHTTP(w, r)
	})
}

// keepOut answers somebody whom a rule does not let in.
func (s *Frame) keepOut(w http.ResponseWriter, r *http.Request, why error) error {
	switch {
	case errors.Is(why, access.ErrSignIn):
		return leadToSignIn(w, r)
	case errors.Is(why, access.ErrNotOwn), errors.Is(why, wire.ErrNotFound):
		return s.Missing(w, r)
	case errors.Is(why, access.ErrOthersToo):
		return s.Pages.Show(w, http.StatusForbidden, "message", Message{
			Title: "Only a coach changes this", Text: "The file it came from holds others, too. Ask a coach of your club.",
		})
	case errors.Is(why, access.ErrRole), errors.Is(why, access.ErrScope):
		return s.Pages.Show(w, http.StatusForbidden, "message", Message{
			Title: "This is not for your account", Text: "Ask a coach of your club if you need it.",
		})
	}
	return why
}

// leadToSignIn sends the reader to the page on which to sign in, from which a
// page that was asked for is reached again.
func leadToSignIn(w http.ResponseWriter, r *http.Request) error {
	to := "/sign-in"
	if r.Method == http.MethodGet && r.URL.Path != "/" {
		to += "?next=" + url.QueryEscape(r.URL.RequestURI())
	}
	if r.Header.Get("HX-Request") != "" {
		w.Header().Set("HX-Redirect", to)
		w.WriteHeader(http.StatusNoContent)
		return nil
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// Page adapts a handler that may fail: the fault is logged, and the reader gets a
// message without detail, unless they went away meanwhile.
func (s *Frame) Page(h Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		err := s.readForm(w, r)
		if err != nil {
			err = s.refuseForm(w, r, err)
		} else {
			err = h(w, r)
		}
		if err == nil {
			return
		}
		if said := busyMessage(err); said != nil {
			err = s.showBusy(w, r, *said)
		}
		if err == nil {
			return
		}
		if errors.Is(r.Context().Err(), context.Canceled) {
			return // whoever asked is gone: nothing of ours failed, and nobody reads a message
		}
		s.Log.Error("page failed", "method", r.Method, "path", r.URL.Path, "err", err)
		status, said := fault(err)
		if err := s.Pages.Show(w, status, "message", said); err != nil {
			s.Log.Error("showing the fault", "err", err)
		}
	})
}

// fault is how an error that no form shows is told: in its own words where it has
// some for the reader. That what was saved is still there is for the error to say:
// where the file is damaged it is not so.
func fault(err error) (int, Message) {
	p := rest.Explain(err)
	return p.Status, Message{Title: "This did not work", Text: cmp.Or(p.Detail, "This is our fault; it is in the log.")}
}

// largeForms are the addresses of forms that carry more than [MaxForm], with
// what they may carry, bytes.
var largeForms = map[string]int64{"/squad/import": largeTable, "/boats/import": largeTable, "/oars/import": largeTable}

// largeTable is a table of 8 MB and more, four signs for three bytes; our judgement.
const largeTable = 17 << 20

// readForm reads a form that was posted, unless it carries files: those are read
// by who takes them.
func (s *Frame) readForm(w http.ResponseWriter, r *http.Request) error {
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if r.Method != http.MethodPost || kind != "application/x-www-form-urlencoded" {
		return nil
	}
	most, large := largeForms[r.URL.Path]
	if large {
		done, err := s.Uploads.Admit(w, r)
		if err != nil {
			return err
		}
		defer done()
	}
	r.Body = http.MaxBytesReader(w, r.Body, cmp.Or(most, MaxForm))
	err := r.ParseForm()
	Sign(r)
	return err
}

// Sign puts the name of the account in place of those that were typed.
func Sign(r *http.Request) {
	v := access.From(r.Context())
	if !v.SignedIn() {
		return
	}
	for _, form := range []url.Values{r.PostForm, r.Form} {
		for _, name := range []string{"by", "measured_by"} {
			if form.Has(name) {
				form.Set(name, v.Name)
			}
		}
	}
}

// refuseForm answers a form that did not arrive whole, or is too large: as a page,
// or in place of the page's content to a script.
func (s *Frame) refuseForm(w http.ResponseWriter, r *http.Request, err error) error {
	large, busy := new(http.MaxBytesError), new(wire.Refusal)
	switch {
	case errors.As(err, &busy):
		return err
	case !errors.As(err, &large):
		return s.Broken(w)
	}
	said := Message{Title: "This is too large", Text: fmt.Sprintf("A form holds up to %d kB: go back, shorten what was typed and send it again.", large.Limit>>10)}
	if r.Header.Get("HX-Request") == "" {
		return s.Pages.Show(w, http.StatusRequestEntityTooLarge, "message", said)
	}
	w.Header().Set("HX-Retarget", "main")
	w.Header().Set("HX-Reswap", "innerHTML")
	return s.Pages.Fragment(w, http.StatusRequestEntityTooLarge, "message", "main", said)
}

// Message is a page with a title and one sentence.
type Message struct{ Title, Text string }

func (s *Frame) Missing(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusNotFound, "message", Message{
		Title: "No such page", Text: "There is no page at this address. Choose a place from the navigation.",
	})
}

//go:embed *.html
var ownTemplates embed.FS

// NewFrame parses the templates of the areas and reads the assets. It fails when
// a template does not parse or an asset is missing.
func NewFrame(log *slog.Logger, assetFiles fs.FS, areas ...fs.FS) (*Frame, error) {
	assets, err := loadAssets(assetFiles)
	if err != nil {
		return nil, err
	}
	pages, err := parsePages(assets, areas...)
	if err != nil {
		return nil, err
	}
	return &Frame{Log: log, Pages: pages, Assets: assets}, nil
}

// OwnPages lists the start page, and what is shown where there is none.
func (s *Frame) OwnPages() map[string]Route {
	return map[string]Route{"GET /{$}": For(access.Everyone, s.home), "/": For(access.Everyone, s.Missing)}
}

// homePage is the start page.
type homePage struct {
	frame  *Frame
	viewer *access.Viewer
	Start
}

// Signed reports whether somebody has signed in.
func (p *homePage) Signed() bool { return p.viewer.SignedIn() }

// Name is that of the viewer's account.
func (p *homePage) Name() string { return p.viewer.Name }

// Athlete is the number of the viewer's own record, 0 for none.
func (p *homePage) Athlete() int64 { return p.viewer.Athlete }

// Lets reports whether the viewer may open the page at an address.
func (p *homePage) Lets(address string) bool { return p.frame.Pages.lets(address, p.viewer) }

func (s *Frame) home(w http.ResponseWriter, r *http.Request) (err error) {
	p := &homePage{frame: s, viewer: access.From(r.Context())}
	if start := s.Pages.extras.Start; start != nil && p.Lets("/squad/import") {
		if p.Start, err = start(r.Context()); err != nil {
			return err
		}
	}
	if todo := s.Pages.extras.Todo; p.viewer.SignedIn() && todo != nil {
		sent, err := todo(r.Context())
		if p.Todo = append(sent, p.Todo...); err != nil {
			return err
		}
	}
	return s.Pages.Show(w, http.StatusOK, "home", p)
}
