package advice

import (
	"context"

	"thole/api/records"
	"thole/api/strokes"
)

// UsualSeat returns where an athlete usually sits: the seat that the newest work sheet
// puts them in, or else that of the newest recording in a boat of the club whose file
// tells the seat; boat 0 for nowhere.
func (s *Service) UsualSeat(ctx context.Context, athlete int64) (boat int64, seat int, err error) {
	boat, seat, err = s.setup.SeatOf(ctx, athlete)
	if err != nil || boat != 0 {
		return boat, seat, err
	}
	told, err := s.strokes.Recordings(ctx, strokes.RecordingsRequest{AthleteID: athlete})
	if err != nil {
		return 0, 0, err
	}
	for i := range told.Recordings {
		if boat, seat, err = s.rowedIn(ctx, &told.Recordings[i]); err != nil || boat != 0 {
			return boat, seat, err
		}
	}
	return 0, 0, nil
}

// rowedIn returns the seat of a boat of the club that a recording was rowed in; boat 0
// where it tells none.
func (s *Service) rowedIn(ctx context.Context, r *strokes.RecordingSummary) (boat int64, seat int, err error) {
	if r.BoatID == nil {
		return 0, 0, nil
	}
	b, err := s.fleet.Boat(ctx, records.IDRequest{ID: *r.BoatID})
	if err != nil {
		return 0, 0, err
	}
	if seat = SeatNumber(r.Seat, len(b.Seats)); seat == 0 {
		return 0, 0, nil
	}
	return b.ID, seat, nil
}
