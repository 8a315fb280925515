package api

// Service holds the use cases. Its methods are safe for concurrent use.
type Service struct{ jobs *jobs }

// NewService returns a service.
func NewService() *Service { return &Service{jobs: newJobs()} }

// Close cancels the big work under way and waits for it.
func (s *Service) Close() { s.jobs.close() }
