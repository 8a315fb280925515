package seatrace

import (
	"thole/api/access"
	"thole/api/rest"
)

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Tabled(rest.Get("/api/v1/seat-races", "List seat races", "Seat races, the latest first.", s.Races).Paged().For(access.Coaches),
			rest.Columns{First: raceColumns}, s.RaceTable),
		rest.Create("/api/v1/seat-races", "Add a seat race", "A seat race with its athletes and its schedule of pieces. Names that are not in the squad are added as guests.", s.CreateRace).For(access.Coaches),
		rest.Tabled(rest.Get("/api/v1/seat-races/:id", "Read a seat race", "Athletes, terms and pieces.", s.Race).For(access.Coaches),
			rest.Columns{First: pieceColumns}, s.PieceTable),
		rest.Put("/api/v1/seat-races/:id", "Change a seat race", "Replaces its content and the pieces without a result; results stay.", s.ChangeRace).For(access.Coaches),
		rest.Remove("/api/v1/seat-races/:id", "Remove a seat race", "With its results, and the guests who are in no other seat race.", s.RemoveRace).For(access.Coaches),
		rest.Put("/api/v1/seat-races/:id/pieces/:number", "Enter a result", "The result of one piece, or its correction. The same key counts once, however often it comes.", s.RecordPiece).For(access.Coaches),
		rest.Tabled(rest.Get("/api/v1/seat-races/:id/judgement", "Rank the athletes of a seat race", "Ranking and chances from the pieces raced so far.", s.JudgeRace).For(access.Coaches),
			rest.Columns{First: rankingColumns}, s.RankingTable),
		rest.Get("/api/v1/seat-races/:id/power", "Race power from a seat race", "Powers with their covariance, for choosing a line-up.", s.RacePower).For(access.Coaches),
		rest.ChangesTabled(rest.Get("/api/v1/seat-races/:id/changes", "History of a seat race", "What was changed, when and by whom.", s.RaceChanges).Paged().For(access.Coaches), s.RaceChanges),
	}
}
