package ui

import (
	"embed"
	"log/slog"
	"net/http"

	"thole/api"
	"thole/api/access"
	"thole/ui/club"
	"thole/ui/ergometer"
	"thole/ui/fleet"
	"thole/ui/guide"
	"thole/ui/intake"
	"thole/ui/lineup"
	"thole/ui/notices"
	"thole/ui/page"
	"thole/ui/people"
	"thole/ui/progress"
	"thole/ui/rig"
	"thole/ui/savedlineup"
	"thole/ui/schedule"
	"thole/ui/seat"
	"thole/ui/seatrace"
	"thole/ui/setup"
	"thole/ui/strokefile"
	"thole/ui/strokes"
	"thole/ui/usage"
	"thole/ui/video"
)

//go:embed assets node_modules/htmx.org/dist/htmx.min.js
var assets embed.FS

// New returns the handler of every page and asset, behind a gate that finds out who
// asks; nil is a server without accounts. It fails when an asset is missing or two
// pages have one name. GET answers whole pages; the writes answer a fragment to htmx
// and the page to a plain form.
func New(gate *people.Gate, service *api.Service, log *slog.Logger) (http.Handler, error) {
	f, err := newFrame(log)
	if err != nil {
		return nil, err
	}
	f.Owners, f.Gate, f.Uploads = service, service.Club.Gate, service.Club.Uploads
	site := people.NewSite(f, service, gate)
	mux := http.NewServeMux()
	rules, readers := map[string]access.Rule{}, usage.NewReaders(service.People, log)
	for pattern, route := range Routes(f, service, site) {
		mux.Handle(pattern, readers.Handler(service.Once.Forms(rememberSquad(f.Guarded(route)), page.MaxForm), page.MaxForm))
		rules[pattern] = route.Access
	}
	extras := site.Extras()
	extras.Start = firstSteps(service)
	f.Complete(rules, extras)
	addMoved(mux)
	mux.Handle("GET /assets/{name}", f.Assets)
	site.Shows(mux)
	return mux, nil
}

// newFrame returns the frame of the pages of all areas.
func newFrame(log *slog.Logger) (*page.Frame, error) {
	return page.NewFrame(log, assets, seat.Templates, club.Templates, fleet.Templates, setup.Templates, strokefile.Templates, strokes.Templates, progress.Templates,
		ergometer.Templates, intake.Templates, rig.Templates, schedule.Templates, seatrace.Templates, lineup.Templates, savedlineup.Templates, video.Templates, guide.Templates, people.Templates, notices.Templates)
}

// Routes lists every page and write of pages by pattern, with who may use it.
// What it leaves out is for everybody: the assets, and former addresses, which
// lead to present ones.
func Routes(f *page.Frame, service *api.Service, site *people.Site) map[string]page.Route {
	all := map[string]page.Route{}
	for _, area := range []map[string]page.Route{
		f.OwnPages(),
		seat.Pages(f, service),
		club.Pages(f, service),
		fleet.Pages(f, service),
		setup.Pages(f, service),
		strokefile.Pages(f, service), strokes.Pages(f, service),
		progress.Pages(f, service),
		ergometer.Pages(f, service),
		intake.Pages(f, service),
		rig.Pages(f, service),
		schedule.Pages(f, service),
		seatrace.Pages(f, service),
		lineup.Pages(f, service),
		savedlineup.Pages(f, service),
		video.Pages(f, service),
		guide.Pages(f, service),
		notices.Pages(f, Libraries),
		site.Routes(),
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
