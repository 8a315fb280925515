// Package ergometer holds tests on the ergometer, the race power that they come
// to, and the squad's table of athletes and tests, out and in.
package ergometer

import (
	"thole/api/club"
	"thole/api/records"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	club *club.Service
}

// New returns a service over records.
func New(r *records.Records, c *club.Service) *Service { return &Service{r, c} }
