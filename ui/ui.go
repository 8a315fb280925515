package ui

import (
	"log/slog"
	"net/http"

	"thole/api"
)

// site holds what the handlers share.
type site struct {
	service *api.Service
	log     *slog.Logger
	pages   *pages
	assets  *assets
}

// New returns the handler of every page and asset. It fails when a template
// does not parse.
func New(service *api.Service, log *slog.Logger) (http.Handler, error) {
	assets, err := loadAssets()
	if err != nil {
		return nil, err
	}
	pages, err := parsePages(assets)
	if err != nil {
		return nil, err
	}
	s := &site{service: service, log: log, pages: pages, assets: assets}
	return s.routes(), nil
}

// routes is the list of pages by area. GET answers whole pages; the writes
// answer a fragment to htmx and the page to a plain form.
func (s *site) routes() http.Handler {
	mux := http.NewServeMux()
	for _, area := range []map[string]handler{
		{"GET /{$}": s.home, "/": s.missing},
		s.boatPages(), s.athletePages(), s.oarPages(),
		s.crewSetPages(), s.sheetPages(),
		s.seatPages(),
		s.trialPages(),
		s.orderPages(),
		s.strokePages(),
		s.aboutPages(),
	} {
		for pattern, h := range area {
			mux.Handle(pattern, s.page(h))
		}
	}
	mux.Handle("GET /assets/{name}", s.assets)
	return mux
}

// handler answers one request for a page.
type handler func(http.ResponseWriter, *http.Request) error

// page adapts a handler that may fail: the fault is logged, and the reader is
// told without detail.
func (s *site) page(h handler) http.Handler {
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

func (s *site) missing(w http.ResponseWriter, _ *http.Request) error {
	return s.pages.show(w, http.StatusNotFound, "message", message{
		Title: "Nothing here", Text: "There is no page at this address. Start again from one of the jobs above.",
	})
}

func (s *site) home(w http.ResponseWriter, _ *http.Request) error {
	return s.pages.show(w, http.StatusOK, "home", nil)
}
