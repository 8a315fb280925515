package ui

import (
	"log/slog"
	"net/http"

	"thole/api"
)

// site holds what the handlers share.
type site struct {
	*Frame
	service *api.Service
}

// New returns the handler of every page and asset. It fails when a template
// does not parse.
func New(service *api.Service, log *slog.Logger) (http.Handler, error) {
	f, err := NewFrame(log, assetFiles)
	if err != nil {
		return nil, err
	}
	s := &site{f, service}
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
		s.squadPages(), s.orderPages(),
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

func (s *site) home(w http.ResponseWriter, _ *http.Request) error {
	return s.pages.show(w, http.StatusOK, "home", nil)
}
