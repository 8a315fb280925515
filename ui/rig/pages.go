// Package rig shows the pages of an area: a boat in one table, all its seats at once, what can be moved at a seat, and who usually rows it.
package rig

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
		"GET /boats/{id}/table": page.For(access.Staff, s.table), "POST /boats/{id}/table": page.For(access.Staff, s.saveTable),
		"GET /boats/{id}/crew": page.For(access.Staff, s.usualCrew), "POST /boats/{id}/crew": page.For(access.Staff, s.saveCrew),
		"GET /boats/{id}/seats/{seat}/ranges": page.For(access.Staff, s.seatRanges), "POST /boats/{id}/seats/{seat}/ranges": page.For(access.Staff, s.saveSeatRanges),
	}
}
