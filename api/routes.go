package api

import (
	"slices"

	"thole/api/exports"
	"thole/api/rest"
)

// Routes lists every operation of the JSON interface by area.
func (s *Service) Routes() []rest.Route {
	return withExamples(slices.Concat(
		s.Seat.Routes(),
		s.Club.Routes(),
		s.Fleet.Routes(),
		s.Setup.Routes(),
		s.Ergometer.Routes(),
		s.Squadfile.Routes(),
		s.Intake.Routes(),
		s.Schedule.Routes(),
		s.Seatrace.Routes(),
		s.Evidence.Routes(),
		s.Lineup.Routes(),
		s.Savedlineup.Routes(),
		s.Strokefile.Routes(),
		exports.Recordings{Service: s.Strokes}.Routes(),
		s.Advice.Routes(),
		s.Progress.Routes(),
		s.Video.Routes(),
		s.Jobs.Routes(),
		s.People.Routes(),
		s.Demo.Routes(),
		s.Privacy.Routes(),
	))
}

// Routes lists the operations without a service behind them, to be described.
func Routes() []rest.Route { return new(Service).Routes() }
