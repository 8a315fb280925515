package strokes

import (
	"thole/api/records"
	"thole/api/uploads"
)

// Files holds the use cases.
type Files struct {
	*records.Records
	uploads *uploads.Line[StrokeProposal]
}

// NewFiles returns a service over records.
func NewFiles(r *records.Records) *Files {
	waiting := newUploads()
	r.WhenRemoved(waiting.Forget)
	return &Files{r, waiting}
}

// Close removes the files that were uploaded.
func (s *Files) Close() { s.uploads.Close() }
