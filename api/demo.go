package api

import "context"

// FillDemo puts the demo club on record, unless there is something there.
func (s *Service) FillDemo(ctx context.Context) error {
	return nil
}
