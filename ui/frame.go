package ui

import (
	"embed"
	"io/fs"
	"log/slog"
	"net/http"
)

// Frame is what the handlers of every area share: how pages are shown, and what
// is told when one cannot be.
type Frame struct {
	log    *slog.Logger
	pages  *pages
	assets *assets
}

// handler answers one request for a page.
type handler func(http.ResponseWriter, *http.Request) error

// page adapts a handler that may fail: the fault is logged, and the reader is
// told without detail.
func (s *Frame) page(h handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		err := h(w, r)
		if err == nil {
			return
		}
		s.log.Error("page failed", "method", r.Method, "path", r.URL.Path, "err", err)
		if err := s.pages.show(w, http.StatusInternalServerError, "message", message{
			Title: "This did not work", Text: "The fault is ours and has been noted. What you had saved is still there.",
		}); err != nil {
			s.log.Error("showing the fault", "err", err)
		}
	})
}

// message is a page with a title and one sentence.
type message struct{ Title, Text string }

func (s *Frame) missing(w http.ResponseWriter, _ *http.Request) error {
	return s.pages.show(w, http.StatusNotFound, "message", message{
		Title: "Nothing here", Text: "There is no page at this address. Start again from one of the jobs above.",
	})
}

// brokenForm answers a form that did not arrive whole.
func (s *Frame) brokenForm(w http.ResponseWriter) error {
	return s.pages.show(w, http.StatusBadRequest, "message", message{Title: "This did not arrive whole", Text: "Go back and send the form again."})
}

//go:embed templates/*.html
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
	return &Frame{log: log, pages: pages, assets: assets}, nil
}
