// Package lineup holds line-ups as they are looked for: the squad of a boat as
// candidates, the search for the best crews and orders, of one boat or two, and what each
// costs and why. Those on record are for api/savedlineup.
package lineup

import (
	"thole/api/ergometer"
	"thole/api/evidence"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seatrace"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	ergometer *ergometer.Service
	evidence  *evidence.Service
	fleet     *fleet.Service
	seatrace  *seatrace.Service
	memory    memory
}

// New returns a service over records.
func New(r *records.Records, f *fleet.Service, e *ergometer.Service, all *evidence.Service, t *seatrace.Service) *Service {
	return &Service{Records: r, fleet: f, ergometer: e, evidence: all, seatrace: t}
}
