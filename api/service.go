package api

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"thole/api/store"
)

// Service holds the use cases. Its methods are safe for concurrent use.
type Service struct {
	*Records
	queue   *queue
	uploads *uploads
}

// NewService returns a service over the records in store. The calculators do
// without records, so that store may be nil where only they are asked.
func NewService(store *store.Store) *Service {
	return &Service{Records: &Records{Store: store, Now: time.Now}, queue: newQueue(), uploads: newUploads()}
}

// Close cancels the big work under way, waits for it and removes the files that
// were uploaded. The store stays open.
func (s *Service) Close() {
	s.queue.close()
	s.uploads.close()
}

// Ping tells whether the records answer.
func (s *Service) Ping(ctx context.Context) error {
	if s.Store == nil {
		return nil
	}
	return s.Store.Ping(ctx)
}

// Mount registers the JSON interface on e.
func Mount(e *echo.Echo, s *Service, log *slog.Logger) error {
	spec, err := OpenAPI()
	if err != nil {
		return err
	}
	MountRoutes(e, s.Routes(), spec, s.StartJob, log)
	return nil
}

// OpenAPI returns the OpenAPI 3.1 description of every route as JSON. The bytes
// are shared and must not be changed. It is worked out once: that takes a good
// part of the program's start.
func OpenAPI() ([]byte, error) { return description() }

var description = sync.OnceValues(func() ([]byte, error) { return Describe((&Service{}).Routes()) })
