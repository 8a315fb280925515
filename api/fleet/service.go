// Package fleet holds what a club rows with: boats with their seats and rigs, sets of
// oars and the boats that go with them, what has been changed of each, and how a
// setting is said at the boat. Who rows is in api/club; what is calculated for a seat
// in api/seat.
package fleet

import "thole/api/records"

// Service holds the use cases.
type Service struct{ *records.Records }

// New returns a service over records.
func New(r *records.Records) *Service { return &Service{r} }
