// Package savedlineup shows line-ups on record: the list, one with its crew from above,
// why it is as it is, its note, and the way to whoever sets the boat up. It takes in what
// the page of line-ups sends to be saved; how that is found is shown by ui/lineup.
package savedlineup

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
		"POST /line-ups/save":              page.For(access.Coaches, s.save),
		"GET /line-ups/saved":              page.For(access.Coaches, s.list),
		"GET /line-ups/saved/{id}":         page.For(access.Coaches, s.show),
		"POST /line-ups/saved/{id}":        page.For(access.Coaches, s.saveNote),
		"POST /line-ups/saved/{id}/remove": page.For(access.Coaches, s.remove),
	}
}
