// Package intake takes a club's own spreadsheets as they are: it asks what cannot be
// told, shows what a file of athletes, boats or oars would do before it is saved, puts
// what can be used into the tables that the areas read, and keeps how such files are
// read. What the columns mean is told in api/columns.
package intake

import (
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/squadfile"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	fleet  *fleet.Service
	squads *squadfile.Service
}

// New returns a service over records.
func New(r *records.Records, f *fleet.Service, q *squadfile.Service) *Service {
	return &Service{r, f, q}
}
