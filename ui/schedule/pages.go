// Package schedule has the page that plans a seat race: a squad, the pairs to compare
// and the pieces go in, the crews of each piece and how accurate the comparisons will
// be come out, and the plan goes on record. Seat races on record
// are in ui/seatrace.
package schedule

import (
	"embed"

	"thole/api"
	"thole/api/access"
	"thole/ui/page"
)

// Templates are the templates of the area, a page a file.
//
//go:embed *.html
var Templates embed.FS

// site holds what the handlers share.
type site struct {
	*page.Frame
	service *api.Service
}

// Pages lists the pages of the area by pattern.
func Pages(f *page.Frame, service *api.Service) map[string]page.Route {
	s := &site{f, service}
	return map[string]page.Route{
		"POST /seat-races":     page.For(access.Coaches, s.saveSchedule),
		"GET /seat-races/new":  page.For(access.Coaches, s.newSchedule).Heavy(),
		"POST /seat-races/new": page.For(access.Coaches, s.newScheduleLive).Heavy(),
	}
}
