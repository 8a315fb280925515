package video

import (
	"context"

	"thole/api/records"
	"thole/api/wire"
)

// SeatFigures are what the marks in a picture are measured against, as they are on
// record of a seat; nil was never measured.
type SeatFigures struct {
	Boat, BoatClass string
	Seat, Seats     int
	Kind            string // scull or sweep
	Side            string // of the seat; empty in sculling
	AcrossCm        *float64
	InboardCm       *float64
	OarLengthCm     *float64
	GateOverWaterCm *float64
	UsualSeat       bool // the seat's height over the water is that of the class
}

// SeatFigures returns the figures of a seat, 1 is bow, with the height of the gate on
// a side, starboard or port. The error is ErrNotFound.
func (s *Service) SeatFigures(ctx context.Context, boatID int64, number int, side string) (SeatFigures, error) {
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: boatID})
	if err != nil {
		return SeatFigures{}, err
	}
	if number < 1 || number > len(boat.Seats) {
		return SeatFigures{}, wire.ErrNotFound
	}
	place := &boat.Seats[number-1]
	f := SeatFigures{Boat: boat.Name, BoatClass: boat.BoatClass, Seat: number, Seats: len(boat.Seats), Kind: "sweep", Side: place.Side,
		AcrossCm: place.Seat.SpreadCm, InboardCm: place.Seat.InboardCm, OarLengthCm: place.Seat.OarLengthCm, UsualSeat: boat.SeatOverWaterCm == nil}
	if boat.Class.Scull {
		f.Kind, f.Side, f.AcrossCm = "scull", "", place.Seat.SpanCm
	}
	if gate := place.Seat.GateHeightCm; gate != nil {
		height := *gate + wire.Or(boat.SeatOverWaterCm, boat.Class.SeatOverWaterCm)
		if boat.Class.Scull && side == "starboard" {
			height += wire.Or(place.Seat.GateDifferenceCm, usualDifferenceCm)
		}
		f.GateOverWaterCm = wire.Ptr(wire.Round(height, 10))
	}
	return f, nil
}

// usualDifferenceCm is how much higher the starboard gate stands in sculling where
// nobody measured it: the default of [seat.Seat],
// 0.5 to 1.5 cm being common practice.
const usualDifferenceCm = 1.0
