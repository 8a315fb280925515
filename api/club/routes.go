package club

import (
	"thole/api/access"
	"thole/api/rest"
)

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Tabled(rest.Get("/api/v1/athletes", "List athletes", "By name, with age, height and mass as of today; all, or those of a squad.", s.AthletesIn).Paged().For(access.Staff),
			rest.Columns{First: athleteColumns}, s.AthleteTable),
		rest.Create("/api/v1/athletes", "Add an athlete", "Two athletes share a name only with different birth dates.", s.AddAthlete).For(access.Coaches),
		rest.Get("/api/v1/athletes/:id", "Show an athlete", "With the newest of each measure as of a day, ready for the calculators.", s.Athlete).For(access.Staff.OrOwn(access.Body, "id")),
		rest.Put("/api/v1/athletes/:id", "Edit an athlete", "Writes every field. An edit of an older version is refused with 409 and what others changed.", s.UpdateAthlete).For(access.Coaches),
		rest.Remove("/api/v1/athletes/:id", "Remove an athlete", "With everything measured, the consent, the account and the history, and wiped from the file. In seat races somebody without a name takes the place; what the athlete did to other records stays, without the name.", s.DeleteAthlete).For(access.Coaches),
		rest.ChangesTabled(rest.Get("/api/v1/athletes/:id/changes", "Show an athlete's history", "Who changed what of the record, and when.", s.AthleteChanges).Paged().For(access.Coaches.OrOwn(access.Body, "id")), s.AthleteChanges),
		rest.Tabled(rest.Get("/api/v1/athletes/:id/measures", "List measures", "Everything measured of an athlete, by day.", s.Measures).Paged().For(access.Staff.OrOwn(access.Body, "id")),
			rest.Columns{First: measureColumns}, s.MeasureTable),
		rest.Create("/api/v1/athletes/:id/measures", "Add measures", "What was taken on one day. Measures are never changed: a wrong one is set right by measuring again.", s.AddMeasures).For(access.Staff.OrOwn(access.Body, "id")),
		rest.Create("/api/v1/athletes/:id/postures", "Add a posture", "How the athlete was found to sit, as from a calibration.", s.AddPosture).For(access.Staff),

		rest.Get("/api/v1/squads", "List squads", "By name, with their athletes.", s.Squads).Paged().For(access.Staff),
		rest.Create("/api/v1/squads", "Add a squad", "A group that the club trains and selects in, such as senior men or under-18 women.", s.AddSquad).For(access.Coaches),
		rest.Get("/api/v1/squads/:id", "Show a squad", "With its athletes.", s.Squad).For(access.Staff),
		rest.Put("/api/v1/squads/:id", "Edit a squad", "Writes the name and the athletes. An edit of an older version is refused with 409.", s.UpdateSquad).For(access.Coaches),
		rest.Remove("/api/v1/squads/:id", "Remove a squad", "Its athletes stay.", s.DeleteSquad).For(access.Coaches),
	}
}
