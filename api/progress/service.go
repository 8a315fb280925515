// Package progress says what changed in a rower from one recording to another:
// own trends with their noise, two dates in words, a crew between two days, and
// the athlete's report.
package progress

import (
	"thole/api/access"
	"thole/api/advice"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/strokes"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	club    *club.Service
	fleet   *fleet.Service
	strokes *strokes.Service
	advice  *advice.Service

	profiles *records.Cache[*profile]
}

// keptProfiles is how many recordings are kept in memory stroke by stroke, of
// about a hundred kilobytes each; our judgement.
const keptProfiles = 256

// New returns a service over records.
func New(r *records.Records, c *club.Service, f *fleet.Service, measured *strokes.Service, a *advice.Service) *Service {
	return &Service{Records: r, club: c, fleet: f, strokes: measured, advice: a, profiles: records.NewCache[*profile](keptProfiles)}
}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Get("/api/v1/athletes/:id/progress", "Show an athlete's progress", "The recordings of a rower at one rate, oldest first: each measure with its noise, the own trend, and what was changed at the rig in between.", s.Athlete).For(access.Coaches.OrOwn(access.Body, "id")),
		rest.Get("/api/v1/recordings/progress", "Compare a rower on two dates", "What changed in one rower from one recording to another, in words and figures, each with its noise; a difference in rate is named.", s.Between).For(access.Coaches),
		rest.Get("/api/v1/boats/:id/progress", "Show a crew's progress", "What each rower who was recorded in the boat on two days gained between them, a row a rower.", s.Crew).For(access.Coaches),
		rest.Get("/api/v1/recordings/:id/report", "Report for the athlete", "One page in plain words: what to work on first, what changed since the recording before, what was measured and what the model leaves out.", s.Report).For(access.Coaches.OrOwn(access.Recording, "id")),
	}
}
