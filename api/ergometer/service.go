// Package ergometer holds tests on the ergometer, one by one as they are typed, what an
// athlete's tests tell together, and the race power that they come to, which whoever
// ranks, seats or judges athletes asks for. How power follows from tests is in
// selection/erg; the tests of a whole squad come in and go out by api/squadfile.
package ergometer

import (
	"thole/api/records"
)

// Service holds the use cases.
type Service struct{ *records.Records }

// New returns a service over records.
func New(r *records.Records) *Service { return &Service{r} }
