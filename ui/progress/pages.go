// Package progress shows the pages of an area: A rower's progress, a crew's between
// two days, and the report for an athlete.
package progress

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
		"GET /athletes/{id}/progress": page.For(access.Coaches.OrOwn(access.Body, "id"), s.athlete),
		"GET /boats/{id}/progress":    page.For(access.Coaches, s.crew),
		"GET /reports/{recording}":    page.For(access.Coaches.OrOwn(access.Recording, "recording").SharedAs("report"), s.report),
	}
}
