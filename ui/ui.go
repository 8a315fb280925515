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
	f.Owners = service
	mux := http.NewServeMux()
	for pattern, route := range Routes(f, service) {
		mux.Handle(pattern, f.Guarded(route))
	}
	addMoved(mux)
	mux.Handle("GET /assets/{name}", f.Assets)
	return mux, nil
}

// Routes lists every page and write of pages by pattern, with who may use it.
// What it leaves out is for everybody: the assets, and former addresses, which
// lead to present ones.
func Routes(f *page.Frame, service *api.Service) map[string]page.Route {
	all := map[string]page.Route{}
	for _, area := range []map[string]page.Route{
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
		for pattern, route := range area {
			if _, twice := all[pattern]; twice {
				panic("ui: two pages at " + pattern)
			}
			all[pattern] = route
		}
	}
	return all
}
