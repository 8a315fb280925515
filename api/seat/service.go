// Package seat holds the calculators of one seat and of a boat's seats together:
// solving, fitting, calibrating, and the federation's rules. It keeps nothing on
// record.
package seat

import (
	"thole/api/access"
	"thole/api/rest"
)

// Service holds the use cases. They need no records.
type Service struct{}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Post("/api/v1/rigging/solve", "Solve a seat",
			"What one rower does in one seat: arc, gearing, heights, pitch, entry, what the targets ask of the body, what each centimetre changes.",
			s.SolveSeat).For(access.Everyone.Calculating()),
		rest.Post("/api/v1/rigging/fit", "Fit a seat",
			"The settings within their ranges and on their steps that bring one rower to the targets, and what keeps them away.",
			s.FitSeat).For(access.Everyone.Calculating()),
		rest.Post("/api/v1/rigging/crew", "Fit a crew",
			"The rig of a whole boat that brings every rower nearest to common targets with one set of oars, and the list of work.",
			s.FitCrew).For(access.Staff.Calculating()),
		rest.Post("/api/v1/rigging/calibrate", "Calibrate a posture",
			"The posture that explains arcs measured on the water.",
			s.Calibrate).For(access.Everyone.Calculating()),
		rest.Post("/api/v1/rigging/rules", "Check the rules",
			"The usual federation rules on masses, lightweights, shoes, blades and bow ball.",
			s.CheckRules).For(access.Everyone.Calculating()),
	}
}
