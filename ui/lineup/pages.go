// Package lineup shows the pages of line-ups: the squad with the rules, what was found for
// one boat or for two, what it costs and how firm it is. Line-ups on record are shown by
// ui/savedlineup.
package lineup

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
	return s.lineupPages()
}
