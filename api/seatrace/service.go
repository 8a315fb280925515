// Package seatrace holds seat races: their schedules of pieces, results as they
// come in from the water, and what these say of the athletes.
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
