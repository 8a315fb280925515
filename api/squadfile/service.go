// Package squadfile holds the squad's table of athletes and tests, a row a test: out as
// CSV or in a spreadsheet, and in again with what it would do told before it is saved.
// It reads the files of rows, too, whose columns api/columns tells the meaning of. What
// tests tell is for api/ergometer.
package squadfile

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
