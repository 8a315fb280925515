package advice

import (
	"context"
	"errors"

	"thole/api/seat"
	"thole/api/setup"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/speed"
)

// CrewLoads tells how heavy each seat of a set-up is rigged for its rower's arc.
type CrewLoads struct {
	BoatID     int64      `json:"boat_id"`
	RatePerMin float64    `json:"rate_per_min" description:"Strokes a minute."`
	PeakN      float64    `json:"peak_n" description:"Peak force on one handle of the mean seat: usual, for nobody measured it."`
	Seats      []SeatLoad `json:"seats" description:"Bow first; empty where the model rows no steady stroke."`
	Said       string     `json:"said" description:"How it is meant."`
}

// SeatLoad is the load of one seat.
type SeatLoad struct {
	Number     int     `json:"number" description:"1 is bow."`
	Name       string  `json:"name"`
	ArcDeg     float64 `json:"arc_deg" description:"To expect."`
	LeverRatio float64 `json:"lever_ratio"`
	LoadPct    float64 `json:"load_pct" description:"How much harder each stroke is pulled than on the boat's mean, at the same power: above zero is heavier."`
}

// saidOfLoads says how the loads are meant.
const saidOfLoads = "How much harder each stroke is pulled than on the boat’s mean, if everybody gives the same power: a short arc and a short inboard are heavy. " +
	"From the arc to expect and the levers as set, each rowed by a whole crew in the same way; strength and mass are not in it."

// Loads works a set-up out and tells how heavy each seat is rigged.
func (s *Service) Loads(ctx context.Context, r setup.SetupRequest) (CrewLoads, error) {
	found, err := s.setup.SetUp(ctx, r)
	if err != nil {
		return CrewLoads{}, err
	}
	return s.LoadsOf(&found)
}

// LoadsOf tells it of a set-up that is worked out already.
func (s *Service) LoadsOf(found *setup.Setup) (CrewLoads, error) {
	class, err := seat.ClassOf(found.BoatClass)
	if err != nil {
		return CrewLoads{}, err
	}
	w := CrewLoads{BoatID: found.BoatID, RatePerMin: usualTryRate, PeakN: usualPeak(class), Seats: []SeatLoad{}, Said: saidOfLoads}
	var seats []speed.Seat
	for i := range found.Seats {
		p := &found.Seats[i]
		if p.Result == nil {
			continue
		}
		seats = append(seats, w.seat(class, p))
		w.Seats = append(w.Seats, SeatLoad{
			Number: p.Number, Name: p.Name, ArcDeg: wire.Round(p.Result.FinishDeg-p.Result.CatchDeg, 100), LeverRatio: p.Result.LeverRatio,
		})
	}
	if len(seats) == 0 {
		return w, nil
	}
	loads, err := crewOf(class, meanSeat(seats), w.RatePerMin, class.Rowers).Loads(seats)
	var fields rigging.FieldErrors
	if errors.Is(err, speed.ErrNoStroke) || errors.As(err, &fields) {
		w.Seats = []SeatLoad{}
		return w, nil
	}
	w.spread(loads)
	return w, err
}

// seat is a rower of the set-up in the model, of the class's usual mass.
func (w *CrewLoads) seat(class rigging.Class, p *setup.SetupSeat) speed.Seat {
	rig := rigging.Setup{Class: class}
	for _, l := range p.Lines {
		switch l.Setting {
		case "inboard_cm":
			rig.Inboard = wire.FromCm(l.Target)
		case "oar_length_cm":
			rig.OarLength = wire.FromCm(l.Target)
		}
	}
	boat := speed.NewBoat(class)
	one := speed.UsualSeat(class, rig.Levers(), (class.ReferenceMass-boat.EmptyMass())/float64(class.Rowers))
	one.Catch, one.Finish, one.Peak = wire.FromDeg(p.Result.CatchDeg), wire.FromDeg(p.Result.FinishDeg), w.PeakN
	return one
}

// meanSeat has the mean arc and levers of seats.
func meanSeat(seats []speed.Seat) speed.Seat {
	mean, n := seats[0], float64(len(seats))
	mean.Catch, mean.Finish, mean.LeverIn, mean.LeverOut = 0, 0, 0, 0
	for _, s := range seats {
		mean.Catch += s.Catch / rigging.Angle(n)
		mean.Finish += s.Finish / rigging.Angle(n)
		mean.LeverIn += s.LeverIn / n
		mean.LeverOut += s.LeverOut / n
	}
	return mean
}

// spread puts the loads against their mean.
func (w *CrewLoads) spread(loads []float64) {
	mean := 0.0
	for _, load := range loads {
		mean += (1 + load) / float64(len(loads))
	}
	for i, load := range loads {
		w.Seats[i].LoadPct = wire.Round(100*((1+load)/mean-1), 100)
	}
}
