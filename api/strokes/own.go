package strokes

import (
	"context"

	"thole/api/access"
	"thole/api/records"
	"thole/api/wire"
)

// What an athlete brings in and changes: strokes of their own. Whoever else sat in the
// boat is left out.

// RecordingOwner returns the athlete whose strokes a recording holds; 0 where
// nobody is named.
func (s *Service) RecordingOwner(ctx context.Context, id int64) (int64, error) {
	r, err := s.Store.RecordingRow(ctx, id)
	if err != nil || r.AthleteID == nil {
		return 0, records.RecordError(err)
	}
	return *r.AthleteID, nil
}

// SoleOwner is RecordingOwner with access.ErrOthersToo where recordings of others, or
// of nobody, were kept from the same file.
func (s *Service) SoleOwner(ctx context.Context, id int64) (int64, error) {
	owner, err := s.RecordingOwner(ctx, id)
	if err != nil || owner == 0 {
		return owner, err
	}
	others, err := s.Store.HoldsOthers(ctx, id)
	if err == nil && others {
		err = access.ErrOthersToo
	}
	return owner, records.RecordError(err)
}

// keepsOwn reports whether who asks may keep strokes of an athlete, nil for nobody, and
// complains otherwise.
func keepsOwn(ctx context.Context, p *wire.Problems, at wire.Place, athlete *int64) bool {
	if access.From(ctx).Owns(wire.Or(athlete, 0)) {
		return true
	}
	p.Add(at.Problem("You can keep your own strokes only: a coach can keep those of others."))
	return false
}
