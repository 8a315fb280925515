package jobs

import (
	"log/slog"

	"thole/api/access"
	"thole/api/rest"
)

// Service runs big work and answers how far it has come.
type Service struct{ queue *queue }

// New returns a service that runs nothing yet. Faults of the work are logged to
// log.
func New(log *slog.Logger) *Service { return &Service{newQueue(log)} }

// Close cancels the work under way and waits for it.
func (s *Service) Close() { s.queue.close() }

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Get("/api/v1/jobs/:id", "Show a job", "How far big work has come, and its result once it is done. It is for who asked for it, and for coaches.", s.Job).For(access.Coaches.OrSent(access.Job, "id")),
		rest.Remove("/api/v1/jobs/:id", "Cancel a job", "Stops big work, and answers what it has found by then where that is something. It is for who asked for it, and for coaches.", s.CancelJob).For(access.Coaches.OrSent(access.Job, "id")),
	}
}
