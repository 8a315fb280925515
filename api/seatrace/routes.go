package seatrace

import "thole/api/rest"

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Post("/api/v1/seat-races/estimate", "Judge seat races",
			"What timed pieces tell of the athletes: effects, every difference with its chance, what they cannot tell and why, outlying pieces.",
			s.EstimateSeatRaces),
		rest.Post("/api/v1/seat-races/plan", "Plan seat races",
			"Crews for every piece that make the differences most certain, or what a schedule made by hand will show; the standard error of every pair before anyone rows.",
			s.PlanSeatRaces).AsJob(),
		rest.Get("/api/v1/trials", "List trials", "Seat races on record, the latest first.", s.Trials),
		rest.Create("/api/v1/trials", "Put a trial on record", "A seat race with its athletes and planned pieces. Names that are not on record are kept as guests.", s.CreateTrial),
		rest.Get("/api/v1/trials/:id", "Read a trial", "Athletes, terms and pieces.", s.Trial),
		rest.Put("/api/v1/trials/:id", "Change a trial", "Replaces what is stated and the pieces without a result; results stay.", s.ChangeTrial),
		rest.Remove("/api/v1/trials/:id", "Delete a trial", "With its results, and the guests whom no other trial knows.", s.RemoveTrial),
		rest.Put("/api/v1/trials/:id/pieces/:number", "Enter a result", "The result of one piece, or its correction. The same key counts once, however often it comes.", s.RecordPiece),
		rest.Get("/api/v1/trials/:id/judgement", "Judge a trial", "What the pieces raced so far tell.", s.JudgeTrial),
		rest.Get("/api/v1/trials/:id/power", "Race powers from a trial", "Powers with their covariance, for choosing a line-up.", s.TrialPower),
		rest.Get("/api/v1/trials/:id/changes", "History of a trial", "What was changed, when and by whom.", s.TrialChanges),
	}
}
