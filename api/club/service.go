// Package club holds who is in a club: athletes with their measures, postures and
// sides, the squads that they train in, and the history of each. What they row with
// is in api/fleet.
package club

import "thole/api/records"

// Service holds the use cases.
type Service struct {
	*records.Records
	people everybody
}

// New returns a service over records.
func New(r *records.Records) *Service { return &Service{Records: r} }
