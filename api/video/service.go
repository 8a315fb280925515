// Package video measures from pictures and clips: the angle of an oar, the moments
// of blade and hands, lengths of a body. It takes marks, and keeps figures and
// marks when it is asked to. The clip never arrives; one picture beside a reading is
// kept where somebody sends it with the consent of who is in it.
package video

import (
	"thole/api/access"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/rest"
)

// Service holds the use cases. Only what keeps readings needs records.
type Service struct {
	*records.Records
	fleet *fleet.Service
}

// New returns a service over records.
func New(r *records.Records, f *fleet.Service) *Service { return &Service{r, f} }

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return append(s.stillRoutes(), []rest.Route{
		rest.Post("/api/v1/video/angle", "Read an oar's angle from a picture",
			"The angle of one oar from points marked in one picture of a camera whose place, direction and zoom are unknown, with its ±.",
			s.Angle).For(access.Everyone.Calculating()),
		rest.Post("/api/v1/video/strokes", "Read the catch or the release from frames",
			"Times, height of the blade, its speed and the arc missed from the frames of several strokes, with their means and ±.",
			s.Strokes).For(access.Everyone.Calculating()),
		rest.Post("/api/v1/video/body", "Read lengths of a body from a picture",
			"Sitting height, leg and arm against a known length that stands as far from the camera.",
			s.Body).For(access.Everyone.Calculating()),

		rest.Get("/api/v1/athletes/:id/filmed", "List filmed readings", "What was read from pictures and clips of an athlete, newest first.", s.Readings).Paged().For(access.Staff.OrOwn(access.Body, "id")),
		rest.Create("/api/v1/athletes/:id/filmed", "Keep a filmed reading",
			"Calculates the figures from the marks and keeps both, with the rig of that day. An angle that is known well enough calibrates every later set-up of the athlete. No picture is sent or kept.",
			s.Keep).For(access.Staff.OrOwn(access.Body, "id")),
		rest.Remove("/api/v1/athletes/:id/filmed/:reading", "Remove a filmed reading", "The athlete’s posture is expected without it from then on.", s.Remove).For(access.Staff.OrOwn(access.Body, "id")),
	}...)
}
