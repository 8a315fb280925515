// Package schedule holds the calculators of seat races that need none on record: a
// schedule of pieces searched or foreseen, timed pieces judged, the terms on which
// pieces are rowed, and what to mind before they are. Seat races on record are in
// api/seatrace, the methods in selection/seatrace.
package schedule

import (
	"thole/api/access"
	"thole/api/rest"
)

// Service holds the use cases.
type Service struct{}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Post("/api/v1/seat-races/estimate", "Rank athletes from timed pieces",
			"Effect of every athlete on the boat, every difference with its chance, what the pieces do not show and why, outlying pieces.",
			s.Estimate).For(access.Coaches.Calculating()),
		rest.Post("/api/v1/seat-races/plan", "Plan a schedule of pieces",
			"Crews for every piece that make the differences most certain, or the expected result of a schedule made by hand, with the standard error of every pair.",
			s.Plan).AsJob().For(access.Coaches.Calculating()),
	}
}
