// Package demo holds an invented club that fills an empty file through the use
// cases, and a sample file of strokes.
package demo

import (
	"sync"
	"time"

	"thole/api/club"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/strokes"
)

// Service fills in the demo club.
type Service struct {
	*records.Records
	club    *club.Service
	strokes *strokes.Service
	loading sync.Mutex // of the examples
}

// New returns a service over records.
func New(r *records.Records) *Service {
	c := club.New(r)
	return &Service{Records: r, club: c, strokes: strokes.New(r, c, &seat.Service{})}
}

// at is the service as it stood at another time.
func (s *Service) at(then time.Time) *Service {
	return New(&records.Records{Store: s.Store, Now: func() time.Time { return then }})
}
