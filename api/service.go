package api

// Service holds the use cases. Its methods are safe for concurrent use.
type Service struct{}

// NewService returns a service.
func NewService() *Service { return &Service{} }
