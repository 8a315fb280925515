// Package strokefile reads files of strokes: it proposes how a file is to be read and
// asks what it leaves open, keeps files that were sent until they are used and mappings
// by name, and measures the strokes in them. Its types say on the wire what was measured,
// of files and of recordings. How strokes are cut and measured is in selection/stroke;
// what goes on record of a file is for api/strokes.
package strokefile

import (
	"thole/api/records"
	"thole/api/uploads"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	uploads *uploads.Line[StrokeProposal]
}

// New returns a service over records.
func New(r *records.Records) *Service {
	waiting := newUploads()
	r.WhenRemoved(waiting.Forget)
	return &Service{r, waiting}
}

// Close removes the files that were uploaded.
func (s *Service) Close() { s.uploads.Close() }
