// Package strokes shows recordings on record: one, its marks and what is said of it, two
// compared, those of a squad, and a catch to try. What brings files in lies in ui/strokefile.
package strokes

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
func Pages(f *page.Frame, service *api.Service) map[string]page.Route {
	s := &site{f, service}
	return s.strokePages()
}
