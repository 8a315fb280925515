package page

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"mime"
	"net/http"
)

// Frame is what the handlers of every area share: how pages are shown, and the
// message when one cannot be.
type Frame struct {
	Log    *slog.Logger
	Pages  *pages
	Assets *assets
}

// Handler answers one request for a page.
type Handler func(http.ResponseWriter, *http.Request) error

// Page adapts a handler that may fail: the fault is logged, and the reader gets a
// message without detail.
func (s *Frame) Page(h Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		err := readForm(w, r)
		if err != nil {
			err = s.refuseForm(w, r, err)
		} else {
			err = h(w, r)
		}
		if err == nil {
			return
		}
		s.Log.Error("page failed", "method", r.Method, "path", r.URL.Path, "err", err)
		if err := s.Pages.Show(w, http.StatusInternalServerError, "message", Message{
			Title: "This did not work", Text: "This is our fault; it is in the log. Everything you saved is still there.",
		}); err != nil {
			s.Log.Error("showing the fault", "err", err)
		}
	})
}

// largeForms are the addresses of forms that carry more than [MaxForm], with
// what they may carry, bytes.
var largeForms = map[string]int64{"/squad/import": 17 << 20} // a table of 8 MB and more, four signs for three bytes

// readForm reads a form that was posted, unless it carries files: those are read
// by who takes them.
func readForm(w http.ResponseWriter, r *http.Request) error {
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if r.Method != http.MethodPost || kind != "application/x-www-form-urlencoded" {
		return nil
	}
	r.Body = http.MaxBytesReader(w, r.Body, cmp.Or(largeForms[r.URL.Path], MaxForm))
	return r.ParseForm()
}

// refuseForm answers a form that did not arrive whole, or is too large: as a page,
// or in place of the page's content to a script.
func (s *Frame) refuseForm(w http.ResponseWriter, r *http.Request, err error) error {
	large := new(http.MaxBytesError)
	if !errors.As(err, &large) {
		return s.BrokenForm(w)
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

// BrokenForm answers a form that was cut off on its way.
func (s *Frame) BrokenForm(w http.ResponseWriter) error {
	return s.Pages.Show(w, http.StatusBadRequest, "message", Message{Title: "That was cut off", Text: "Go back and send the form again."})
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
func (s *Frame) OwnPages() map[string]Handler {
	return map[string]Handler{"GET /{$}": s.home, "/": s.Missing}
}

func (s *Frame) home(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "home", nil)
}
