// Package setup shows the pages of an area: Set-ups of a boat for a crew, and the work sheets made of them.
package setup

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
	maps.Copy(all, s.crewSetPages())
	maps.Copy(all, s.sheetPages())
	return all
}
