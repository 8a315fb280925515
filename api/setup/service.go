// Package setup holds set-ups, a boat's targets for a crew, and the work sheets
// that bring a boat there.
package setup

import (
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	club  *club.Service
	fleet *fleet.Service
	seat  *seat.Service
}

// New returns a service over records.
func New(r *records.Records, c *club.Service, f *fleet.Service, s *seat.Service) *Service {
	return &Service{r, c, f, s}
}
