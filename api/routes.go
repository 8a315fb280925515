package api

import "slices"

// Routes lists every operation of the JSON interface by area.
func (s *Service) Routes() []Route {
	return slices.Concat(
		s.riggingRoutes(),
		s.clubRoutes(),
		s.sheetRoutes(),
		s.squadRoutes(),
		s.seatRaceRoutes(),
		s.selectionRoutes(),
		s.strokeRoutes(),
		s.jobRoutes(),
	)
}

func (s *Service) riggingRoutes() []Route {
	return []Route{
		post("/api/v1/rigging/solve", "Solve a seat",
			"What one rower does in one seat: arc, gearing, heights, pitch, entry, what the targets ask of the body, what each centimetre changes.",
			s.SolveSeat),
		post("/api/v1/rigging/fit", "Fit a seat",
			"The settings within their ranges and on their steps that bring one rower to the targets, and what keeps them away.",
			s.FitSeat),
		post("/api/v1/rigging/crew", "Fit a crew",
			"The rig of a whole boat that brings every rower nearest to common targets with one set of oars, and the list of work.",
			s.FitCrew),
		post("/api/v1/rigging/calibrate", "Calibrate a posture",
			"The posture that explains arcs measured on the water.",
			s.Calibrate),
		post("/api/v1/rigging/rules", "Check the rules",
			"The usual federation rules on masses, lightweights, shoes, blades and bow ball.",
			s.CheckRules),
	}
}

func (s *Service) jobRoutes() []Route {
	return []Route{
		get("/api/v1/jobs/:id", "Look at a job", "How far big work has come, and its result once it is done.", s.Job),
		remove("/api/v1/jobs/:id", "Cancel a job", "Stops big work, and answers what it has found by then where that is something.", s.CancelJob),
	}
}
