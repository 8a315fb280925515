// Package strokes holds files of measured strokes from the upload to the record,
// and what is read from recordings: features, curves and how alike they are.
package strokes

import (
	"thole/api/club"
	"thole/api/records"
	"thole/api/seat"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	club    *club.Service
	seat    *seat.Service
	uploads *uploads

	measurings *cache[*remeasured]
	rankings   *cache[*ranked]
	catches    *cache[CatchTry]
}

// What is kept in memory: recordings as measured, of a few megabytes each at
// most, and rankings of a few kilobytes.
const (
	keptMeasurings = 16
	keptRankings   = 512
	keptCatches    = 128
)

// New returns a service over records.
func New(r *records.Records, c *club.Service, s *seat.Service) *Service {
	return &Service{Records: r, club: c, seat: s, uploads: newUploads(), measurings: newCache[*remeasured](keptMeasurings), rankings: newCache[*ranked](keptRankings), catches: newCache[CatchTry](keptCatches)}
}

// Close removes the files that were uploaded.
func (s *Service) Close() { s.uploads.close() }
