// Package club holds who and what a club has: athletes with their measures, boats
// with their rigs, sets of oars, and the history of each.
package club

import "thole/api/records"

// Service holds the use cases.
type Service struct {
	*records.Records
	people everybody
}

// New returns a service over records.
func New(r *records.Records) *Service { return &Service{Records: r} }
