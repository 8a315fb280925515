// Package club shows the pages of an area: Athletes, boats and oars: lists, records, histories, and an athlete's tests on the ergometer.
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
	all := map[string]page.Route{}
	maps.Copy(all, s.athletePages())
	maps.Copy(all, s.boatPages())
	maps.Copy(all, s.oarPages())
	maps.Copy(all, s.squadPages())
	return all
}
