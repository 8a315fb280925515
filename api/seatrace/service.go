// Package seatrace holds seat races on record: who takes part, the pieces planned,
// results as they come in from the water, and what these say of the athletes. What is
// calculated from pieces in a request alone is in api/schedule.
package seatrace

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
func New(r *records.Records, e *ergometer.Service) *Service { return &Service{r, e} }
