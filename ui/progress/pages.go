// Package progress shows the pages of an area: A rower's progress, a crew's between
// two days, and the report for an athlete.
package progress

import (
	"embed"

	"thole/api"
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
func Pages(f *page.Frame, service *api.Service) map[string]page.Handler {
	s := &site{f, service}
	return map[string]page.Handler{
		"GET /athletes/{id}/progress": s.athlete, "GET /boats/{id}/progress": s.crew, "GET /reports/{recording}": s.report,
	}
}
