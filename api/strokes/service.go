package strokes

import "thole/api/records"

// Service holds the use cases.
type Service struct {
	*records.Records
	files *Files

	measurings *records.Cache[*Remeasured]
}

// keptMeasurings is how many recordings are kept in memory as measured, of a few
// megabytes each at most; our judgement.
const keptMeasurings = 16

// New returns a service over records and the files that wait.
func New(r *records.Records, files *Files) *Service {
	return &Service{Records: r, files: files, measurings: records.NewCache[*Remeasured](keptMeasurings)}
}
