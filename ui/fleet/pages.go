// Package fleet shows what the club rows with: boats with their seats as rigged, what
// each setting can reach, what was changed and taken back, and oars. Who rows in them
// is in ui/club.
package fleet

import (
	"embed"
	"maps"

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
	all := s.boatPages()
	maps.Copy(all, s.oarPages())
	return all
}
