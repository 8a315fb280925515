package ui

import (
	"embed"
	"log/slog"
	"net/http"

	"thole/api"
	"thole/ui/club"
	"thole/ui/ergometer"
	"thole/ui/guide"
	"thole/ui/lineup"
	"thole/ui/page"
	"thole/ui/progress"
	"thole/ui/seat"
	"thole/ui/seatrace"
	"thole/ui/setup"
	"thole/ui/strokes"
)

//go:embed assets node_modules/htmx.org/dist/htmx.min.js
var assets embed.FS

// New returns the handler of every page and asset. It fails when a template
// does not parse. GET answers whole pages; the writes answer a fragment to htmx
// and the page to a plain form.
func New(service *api.Service, log *slog.Logger) (http.Handler, error) {
	f, err := page.NewFrame(log, assets, seat.Templates, club.Templates, setup.Templates, strokes.Templates, progress.Templates,
		ergometer.Templates, seatrace.Templates, lineup.Templates, guide.Templates)
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	for _, area := range []map[string]page.Handler{
		f.OwnPages(),
		seat.Pages(f, service),
		club.Pages(f, service),
		setup.Pages(f, service),
		strokes.Pages(f, service),
		progress.Pages(f, service),
		ergometer.Pages(f, service),
		seatrace.Pages(f, service),
		lineup.Pages(f, service),
		guide.Pages(f, service),
	} {
		for pattern, h := range area {
			mux.Handle(pattern, f.Page(h))
		}
	}
	addMoved(mux)
	mux.Handle("GET /assets/{name}", f.Assets)
	return mux, nil
}
