// Package evidence joins what is on record about athletes' power on the water:
// ergometer tests, seat races, recordings of a crew, and the coach's opinion.
package evidence

import (
	"thole/api/club"
	"thole/api/ergometer"
	"thole/api/records"
	"thole/api/seatrace"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	club      *club.Service
	ergometer *ergometer.Service
	seatrace  *seatrace.Service
}

// New returns a service over records.
func New(r *records.Records, c *club.Service, e *ergometer.Service, t *seatrace.Service) *Service {
	return &Service{r, c, e, t}
}
