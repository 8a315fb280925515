// Package intake reads a club's own spreadsheets as they are: it recognises what
// the columns mean by their headings, asks what cannot be told, and puts the rest
// into the tables that the areas read.
package intake

import (
	"thole/api/club"
	"thole/api/ergometer"
	"thole/api/records"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	club      *club.Service
	ergometer *ergometer.Service
}

// New returns a service over records.
func New(r *records.Records, c *club.Service, e *ergometer.Service) *Service {
	return &Service{r, c, e}
}
