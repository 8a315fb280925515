// Package video measures from pictures and clips: the angle of an oar, the moments
// of blade and hands, lengths of a body. It takes marks and keeps nothing; the
// picture itself never arrives.
package video

import (
	"thole/api/access"
	"thole/api/rest"
)

// Service holds the use cases. They need no records.
type Service struct{}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Post("/api/v1/video/angle", "Read an oar's angle from a picture",
			"The angle of one oar from points marked in one picture of a camera whose place, direction and zoom are unknown, with its ±.",
			s.Angle).For(access.Everyone.Calculating()),
		rest.Post("/api/v1/video/strokes", "Read the catch or the release from frames",
			"Times, height of the blade, its speed and the arc missed from the frames of several strokes, with their means and ±.",
			s.Strokes).For(access.Everyone.Calculating()),
		rest.Post("/api/v1/video/body", "Read lengths of a body from a picture",
			"Sitting height, leg and arm against a known length that stands as far from the camera.",
			s.Body).For(access.Everyone.Calculating()),
	}
}
