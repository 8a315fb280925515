package api

func (s *Service) seatRaceRoutes() []Route {
	return []Route{
		post("/api/v1/seat-races/estimate", "Judge seat races",
			"What timed pieces tell of the athletes: effects, every difference with its chance, what they cannot tell and why, outlying pieces.",
			s.EstimateSeatRaces),
		post("/api/v1/seat-races/plan", "Plan seat races",
			"Crews for every piece that make the differences most certain, or what a schedule made by hand will show; the standard error of every pair before anyone rows.",
			s.PlanSeatRaces).asJob(),
		get("/api/v1/trials", "List trials", "Seat races on record, the latest first.", s.Trials),
		create("/api/v1/trials", "Put a trial on record", "A seat race with its athletes and planned pieces. Names that are not on record are kept as guests.", s.CreateTrial),
		get("/api/v1/trials/:id", "Read a trial", "Athletes, terms and pieces.", s.Trial),
		put("/api/v1/trials/:id", "Change a trial", "Replaces what is stated and the pieces without a result; results stay.", s.ChangeTrial),
		remove("/api/v1/trials/:id", "Delete a trial", "With its results, and the guests whom no other trial knows.", s.RemoveTrial),
		put("/api/v1/trials/:id/pieces/:number", "Enter a result", "The result of one piece, or its correction. The same key counts once, however often it comes.", s.RecordPiece),
		get("/api/v1/trials/:id/judgement", "Judge a trial", "What the pieces raced so far tell.", s.JudgeTrial),
		get("/api/v1/trials/:id/power", "Race powers from a trial", "Powers with their covariance, for choosing a line-up.", s.TrialPower),
		get("/api/v1/trials/:id/changes", "History of a trial", "What was changed, when and by whom.", s.TrialChanges),
	}
}
