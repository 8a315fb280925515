// Package seatrace shows the seat races on record: the list, one seat race with its
// results from the water and what they say, and the prints for launch and crews. The
// page that plans one is in ui/schedule.
package seatrace

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
	return s.racePages()
}
