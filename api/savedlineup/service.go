// Package savedlineup keeps line-ups on record: crews in their seats, however they were
// chosen, with a note that is printed with them. It says why one is as it is by all that
// is known today, and what the crew raced. How line-ups are found and what they cost is
// for api/lineup.
package savedlineup

import (
	"thole/api/access"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/rest"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	lineup *lineup.Service
}

// New returns a service over records.
func New(r *records.Records, l *lineup.Service) *Service { return &Service{r, l} }

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Tabled(rest.Get("/api/v1/lineups", "List line-ups", "The saved line-ups.", s.Lineups).Paged().For(access.Coaches),
			rest.Columns{First: savedColumns}, s.Table),
		rest.Create("/api/v1/lineups", "Save a line-up", "Adds a crew in its seats.", s.Save).For(access.Coaches),
		rest.Tabled(rest.Get("/api/v1/lineups/:id", "Read a line-up", "One line-up with the names of its crew.", s.Lineup).For(access.Coaches),
			rest.Columns{First: savedColumns}, s.CrewTable),
		rest.Remove("/api/v1/lineups/:id", "Remove a line-up", "Removes a saved line-up.", s.Remove).For(access.Coaches),
		rest.Get("/api/v1/lineups/:id/why", "Say why a line-up", "What decided a saved line-up, what would change it, what is open, who would do as well, and what the crew has raced: by all evidence of today.", s.Why).For(access.Coaches),
		rest.Put("/api/v1/lineups/:id/note", "Write the note of a line-up", "It is printed with the crew.", s.SetNote).For(access.Coaches),
	}
}
