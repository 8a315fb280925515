// Package strokes holds the use cases of recorded strokes: keeping what files hold,
// measuring recordings again, correcting them, marking moments, and comparing curves.
// Files are read in api/strokefile; what strokes could gain is in api/advice.
package strokes

import (
	"thole/api/records"
	"thole/api/strokefile"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	files *strokefile.Service

	measurings *records.Cache[*Remeasured]
}

// keptMeasurings is how many recordings are kept in memory as measured, of a few
// megabytes each at most; our judgement.
const keptMeasurings = 16

// New returns a service over records and the files that wait.
func New(r *records.Records, files *strokefile.Service) *Service {
	return &Service{Records: r, files: files, measurings: records.NewCache[*Remeasured](keptMeasurings)}
}
