// Package advice prices what a recorded stroke could gain: what to work on first,
// the catch to try, the entry that matches the water, and the posture that a
// recording shows.
package advice

import (
	"thole/api/access"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/strokes"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	club    *club.Service
	fleet   *fleet.Service
	seat    *seat.Service
	setup   *setup.Service
	strokes *strokes.Service

	rankings *records.Cache[*Ranked]
	catches  *records.Cache[CatchTry]
	steps    *records.Cache[Centimetres]
}

// The results kept in memory, of a few kilobytes each; our judgement.
const (
	keptRankings = 512
	keptCatches  = 128
)

// New returns a service over records.
func New(r *records.Records, c *club.Service, f *fleet.Service, s *seat.Service, set *setup.Service, measured *strokes.Service) *Service {
	return &Service{
		Records: r, club: c, fleet: f, seat: s, setup: set, strokes: measured,
		rankings: records.NewCache[*Ranked](keptRankings), catches: records.NewCache[CatchTry](keptCatches),
		steps: records.NewCache[Centimetres](stepsKept),
	}
}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Get("/api/v1/catch", "Try the catch", "What one entry of the blade is worth in a class and rig: the blade path, what is missed and backed, both prices, and the best moment.", s.TryCatch).For(access.Everyone),
		rest.Post("/api/v1/boats/:id/loads", "Compare the loads of a crew", "How heavy each seat of a set-up is rigged for its rower's arc, against the boat's mean; for the same fields as a set-up.", s.Loads).For(access.Staff.Calculating()),
		rest.Post("/api/v1/rigging/centimetres", "Price a centimetre", "What one step of each setting of a seat does to the arc, to the load at equal power and to the time over 2000 m, with its range; for the same fields as solving a seat.", s.PriceSteps).For(access.Everyone.Calculating()),
		rest.Get("/api/v1/recordings/:id/first", "What to work on first", "At most three things beyond the noise from stroke to stroke, ranked by what they are worth, with what was measured, what it is held against, and both prices with their ranges.", s.First).For(access.Coaches.OrOwn(access.Recording, "id")),
		rest.Post("/api/v1/recordings/:id/entry", "Calculate the entry", "How fast the handle must go at the measured catch to match the water, and what a lower carry would save.", s.StrokeEntry).For(access.Coaches.OrOwn(access.Recording, "id").Calculating()),
		rest.Post("/api/v1/recordings/:id/calibrate", "Calibrate from a recording", "The posture that explains the measured catch and finish; it is kept only when it is added to the athlete.", s.CalibrateRecording).For(access.Coaches.OrOwn(access.Recording, "id").Calculating()),
	}
}
