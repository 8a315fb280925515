// Package club shows the people of the club: athletes with their measures, tests on the
// ergometer and kept seats, what was said to keeping it, and squads. Boats and oars are
// in ui/fleet.
package club

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
	all := s.athletePages()
	maps.Copy(all, s.squadPages())
	return all
}
