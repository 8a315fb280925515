package fleet

import (
	"thole/api/access"
	"thole/api/rest"
)

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Tabled(rest.Get("/api/v1/boats", "List boats", "By name.", s.Boats).Paged().For(access.Everyone),
			rest.Columns{First: seatColumns}, s.BoatTable),
		rest.Create("/api/v1/boats", "Add a boat", "Its rig is entered as it is measured.", s.AddBoat).For(access.Staff),
		rest.Tabled(rest.Get("/api/v1/boats/:id", "Show a boat", "With every seat as found, ready for the calculators.", s.Boat).For(access.Everyone),
			rest.Columns{First: seatColumns}, s.SeatTable),
		rest.Put("/api/v1/boats/:id", "Edit a boat", "Writes every field and the seats; the rig is left alone. An edit of an older version is refused with 409 and what others changed.", s.UpdateBoat).For(access.Staff),
		rest.Remove("/api/v1/boats/:id", "Remove a boat", "With its history and work sheets.", s.DeleteBoat).For(access.Staff),
		rest.ChangesTabled(rest.Get("/api/v1/boats/:id/changes", "Show a boat's history", "Who changed what of the record and the rig, and when.", s.BoatChanges).Paged().For(access.Everyone), s.BoatChanges),
		rest.Put("/api/v1/boats/:id/rig", "Enter a rig", "Values as measured, all of them or none. An entry made from an older version is refused with 409 and what others changed.", s.UpdateRig).For(access.Staff),
		rest.Put("/api/v1/boats/:id/table", "Enter a boat's seats and rig", "All seats at once with what was measured, all of it or nothing. An entry made from an older version is refused with 409 and what others changed.", s.SaveBoatTable).For(access.Staff),
		rest.Tabled(rest.Get("/api/v1/boats/:id/rig", "Show the rig's history", "What, from, to, when, by whom, why; newest first.", s.RigHistory).Paged().For(access.Everyone),
			rest.Columns{First: rigHistoryColumns}, s.RigHistoryTable),
		rest.Create("/api/v1/boats/:id/rig/sheets/:sheet/undo", "Undo a work sheet", "Appends the opposite of all that the sheet changed of the rig. Refused with 409 when one of its settings was changed again since.", s.UndoSheet).For(access.Staff),
		rest.Create("/api/v1/boats/:id/rig/:change/undo", "Take a change back", "Appends the opposite. Refused with 409 when the setting was changed again since.", s.UndoRig).For(access.Staff),

		rest.Tabled(rest.Get("/api/v1/oars", "List sets of oars", "By name.", s.OarSets).Paged().For(access.Everyone),
			rest.Columns{First: oarColumns}, s.OarTable),
		rest.Create("/api/v1/oars", "Add a set of oars", "A set is adjusted as one.", s.AddOarSet).For(access.Staff),
		rest.Get("/api/v1/oars/:id", "Show a set of oars", "With what it can be set to.", s.OarSet).For(access.Everyone),
		rest.Put("/api/v1/oars/:id", "Edit a set of oars", "Writes every field. A length or an inboard that is changed is entered at every seat of the boats that go with the set. An edit of an older version is refused with 409 and what others changed.", s.UpdateOarSet).For(access.Staff),
		rest.Remove("/api/v1/oars/:id", "Remove a set of oars", "The boats stay as they are.", s.DeleteOarSet).For(access.Staff),
		rest.Get("/api/v1/oars/:id/boats", "List the boats of a set", "Those that usually go with it, by name.", s.OarSetBoats).Paged().For(access.Everyone),
		rest.ChangesTabled(rest.Get("/api/v1/oars/:id/changes", "Show a set's history", "Who changed what, and when.", s.OarSetChanges).Paged().For(access.Everyone), s.OarSetChanges),
	}
}
