// Package intake shows the pages of an area: the club's own tables of athletes, boats
// and oars, read as they are, and how their columns are kept to be read.
package intake

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
	squad, boats, oars := s.importer(squadKind{service}), s.importer(boatsKind(service)), s.importer(oarsKind(service))
	return map[string]page.Route{
		"GET /squad/import": page.For(access.Coaches, squad), "POST /squad/import": page.For(access.Coaches, squad),
		"GET /boats/import": page.For(access.Staff, boats), "POST /boats/import": page.For(access.Staff, boats),
		"GET /oars/import": page.For(access.Staff, oars), "POST /oars/import": page.For(access.Staff, oars),
		"GET /import/mappings": page.For(access.Staff, s.mappings), "POST /import/mappings": page.For(access.Staff, s.removeMapping),
	}
}
