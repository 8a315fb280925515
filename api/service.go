package api

import (
	"context"
	"time"

	"thole/api/store"
)

// Service holds the use cases. Its methods are safe for concurrent use.
type Service struct {
	store *store.Store
	jobs  *jobs
	now   func() time.Time

	uploads *uploads
}

// NewService returns a service over the records in store. The calculators do
// without records, so that store may be nil where only they are asked.
func NewService(store *store.Store) *Service {
	return &Service{store: store, jobs: newJobs(), now: time.Now, uploads: newUploads()}
}

// Close cancels the big work under way, waits for it and removes the files that
// were uploaded. The store stays open.
func (s *Service) Close() {
	s.jobs.close()
	s.uploads.close()
}

// Ping tells whether the records answer.
func (s *Service) Ping(ctx context.Context) error {
	if s.store == nil {
		return nil
	}
	return s.store.Ping(ctx)
}
