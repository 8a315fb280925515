package strokes

import (
	"thole/api/records"
	"thole/api/seat"
	"thole/api/uploads"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	seat    *seat.Service
	uploads *uploads.Line[StrokeProposal]

	measurings *records.Cache[*Remeasured]
}

// keptMeasurings is how many recordings are kept in memory as measured, of a few
// megabytes each at most; our judgement.
const keptMeasurings = 16

// New returns a service over records.
func New(r *records.Records, s *seat.Service) *Service {
	waiting := newUploads()
	r.WhenRemoved(waiting.Forget)
	return &Service{Records: r, seat: s, uploads: waiting, measurings: records.NewCache[*Remeasured](keptMeasurings)}
}

// Close removes the files that were uploaded.
func (s *Service) Close() { s.uploads.Close() }
