// Package lineup holds line-ups: the squad of a boat as candidates, the search for
// the best orders, what each costs and why, and the line-ups kept on record.
package lineup

import (
	"thole/api/club"
	"thole/api/ergometer"
	"thole/api/evidence"
	"thole/api/records"
	"thole/api/seatrace"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	club      *club.Service
	ergometer *ergometer.Service
	evidence  *evidence.Service
	seatrace  *seatrace.Service
	memory    memory
}

// New returns a service over records.
func New(r *records.Records, c *club.Service, e *ergometer.Service, all *evidence.Service, t *seatrace.Service) *Service {
	return &Service{Records: r, club: c, ergometer: e, evidence: all, seatrace: t}
}
