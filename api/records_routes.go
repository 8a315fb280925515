package api

// recordRoutes lists the records: athletes, boats and oars.
func recordRoutes() []Route {
	return []Route{
		get("/api/v1/athletes", "List athletes", "By name, with age, height and mass as of today.", (*Service).Athletes),
		create("/api/v1/athletes", "Add an athlete", "Two athletes share a name only with different birth dates.", (*Service).AddAthlete),
		get("/api/v1/athletes/:id", "Look at an athlete", "With the newest of each measure as of a day, ready for the calculators.", (*Service).Athlete),
		put("/api/v1/athletes/:id", "Edit an athlete", "Writes every field. An edit of an older version is refused with 409 and what others changed.", (*Service).UpdateAthlete),
		remove("/api/v1/athletes/:id", "Remove an athlete", "With everything measured, and wiped from the file. Athletes of a seat-race trial stay.", (*Service).DeleteAthlete),
		get("/api/v1/athletes/:id/changes", "Look at an athlete's history", "Who changed what of the record, and when.", (*Service).AthleteChanges),
		get("/api/v1/athletes/:id/measures", "List measures", "Everything measured of an athlete, by day.", (*Service).Measures),
		create("/api/v1/athletes/:id/measures", "Add measures", "What was taken on one day. Measures are never changed: a wrong one is set right by measuring again.", (*Service).AddMeasures),
		create("/api/v1/athletes/:id/postures", "Add a posture", "How the athlete was found to sit, as from a calibration.", (*Service).AddPosture),
		get("/api/v1/athletes/:id/ergometer", "Look at an athlete's ergometer tests", "Tests with their doubts, race power, time adjusted to mass, critical power, predictions, and what is published about ergometer against water.", (*Service).Ergometer),
		create("/api/v1/athletes/:id/ergometer", "Add an ergometer test", "One all-out test. The same again changes nothing; another result of the same day and distance or time is refused, as is one that is hard to believe unless it is called sure.", (*Service).AddErgTest),
		remove("/api/v1/athletes/:id/ergometer/:test", "Take an ergometer test off", "A wrong one; what it was stays in the athlete's history.", (*Service).RemoveErgTest),

		get("/api/v1/boats", "List boats", "By name.", (*Service).Boats),
		create("/api/v1/boats", "Add a boat", "Its rig is entered as it is measured.", (*Service).AddBoat),
		get("/api/v1/boats/:id", "Look at a boat", "With every seat as found, ready for the calculators.", (*Service).Boat),
		put("/api/v1/boats/:id", "Edit a boat", "Writes every field and the seats; the rig is left alone. An edit of an older version is refused with 409 and what others changed.", (*Service).UpdateBoat),
		remove("/api/v1/boats/:id", "Remove a boat", "With its history and work sheets.", (*Service).DeleteBoat),
		get("/api/v1/boats/:id/changes", "Look at a boat's history", "Who changed what of the record and the rig, and when.", (*Service).BoatChanges),
		put("/api/v1/boats/:id/rig", "Enter a rig", "Values as measured, all of them or none. An entry made from an older version is refused with 409 and what others changed.", (*Service).UpdateRig),
		get("/api/v1/boats/:id/rig", "Look at the rig's history", "What, from, to, when, by whom, why; newest first.", (*Service).RigHistory),
		create("/api/v1/boats/:id/rig/:change/undo", "Take a change back", "Appends the opposite. Refused with 409 when the setting was changed again since.", (*Service).UndoRig),

		get("/api/v1/oars", "List sets of oars", "By name.", (*Service).OarSets),
		create("/api/v1/oars", "Add a set of oars", "A set is adjusted as one.", (*Service).AddOarSet),
		get("/api/v1/oars/:id", "Look at a set of oars", "With what it can be set to.", (*Service).OarSet),
		put("/api/v1/oars/:id", "Edit a set of oars", "Writes every field. An edit of an older version is refused with 409 and what others changed.", (*Service).UpdateOarSet),
		remove("/api/v1/oars/:id", "Remove a set of oars", "The boats stay as they are.", (*Service).DeleteOarSet),
		get("/api/v1/oars/:id/changes", "Look at a set's history", "Who changed what, and when.", (*Service).OarSetChanges),
	}
}
