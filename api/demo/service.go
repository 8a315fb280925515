// Package demo holds an invented club that fills an empty file through the use
// cases, and a sample file of strokes.
package demo

import (
	"sync"
	"time"

	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/strokefile"
	"thole/api/strokes"
)

// Service fills in the demo club.
type Service struct {
	*records.Records
	club    *club.Service
	fleet   *fleet.Service
	strokes *strokes.Service
	loading sync.Mutex // of the examples
}

// New returns a service over records.
func New(r *records.Records) *Service {
	return &Service{Records: r, club: club.New(r), fleet: fleet.New(r), strokes: strokes.New(r, strokefile.New(r))}
}

// at is the service as it stood at another time.
func (s *Service) at(then time.Time) *Service {
	return New(&records.Records{Store: s.Store, Now: func() time.Time { return then }})
}
