// Package guide shows the guide: how measures are taken, what numbers mean, the
// glossary and the walks; the sources of the figures, and the reference of the API.
package guide

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
	all := s.guidePages()
	maps.Copy(all, s.examplePages())
	return all
}
