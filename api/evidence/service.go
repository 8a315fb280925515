// Package evidence joins what is on record about athletes' power on the water:
// ergometer tests, seat races, recordings of a crew, and the coach's opinion.
package evidence

import (
	"thole/api/ergometer"
	"thole/api/records"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	ergometer *ergometer.Service
}

// New returns a service over records.
func New(r *records.Records, e *ergometer.Service) *Service {
	return &Service{r, e}
}
