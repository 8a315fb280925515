package people

import (
	"context"

	"thole/api/access"
	"thole/api/rest"
)

// Routes lists the operations of the area. Accounts, invitations and tokens are
// made on the pages alone, by people.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Get("/api/v1/me", "See who you are", "The account behind the request, with its role, and what the token may be used for.", s.Me).For(access.Everyone),
		rest.Get("/api/v1/accounts", "List accounts", "Who may sign in, by name; none where the server has no accounts.", s.Accounts).For(access.Coaches),
		rest.Get("/api/v1/tasks", "List what the boatman was asked to do", "What is to be done, the oldest first, and what was done last.", s.Tasks).For(access.Staff),
		rest.Create("/api/v1/tasks", "Ask the boatman to do something", "Names a page of this server that shows it. The page of an open task is not put there twice: its note is replaced.", s.AddTask).For(access.Staff),
		rest.Remove("/api/v1/tasks/:id", "Close a task", "It is done; the list keeps the last ten.", s.FinishTask).For(access.Staff),
		rest.Get("/api/v1/athletes/:id/seats", "List the seats kept for an athlete", "Rigs of one seat, newest first, with when the boatman was asked for them.", s.SavedSeats).For(access.Staff.OrOwn(access.Body, "id")),
		rest.Create("/api/v1/athletes/:id/seats", "Keep a seat for an athlete", "The rig on the page for one seat, whose address keeps every value. The same rig is kept once, with the newest name and note.", s.SaveSeat).
			For(access.Staff.OrOwn(access.Body, "id")),
		rest.Post("/api/v1/athletes/:id/seats/:seat/send", "Send a kept seat to the boatman", "Puts it among what the boatman is to do. While it is open it is not put there twice.", s.SendSavedSeat).For(access.Staff.OrOwn(access.Body, "id")),
		rest.Remove("/api/v1/athletes/:id/seats/:seat", "Remove a kept seat", "The task that it was sent as goes with it.", s.RemoveSavedSeat).For(access.Staff.OrOwn(access.Body, "id")),
	}
}

// Me is who is behind a request.
type Me struct {
	Name      string      `json:"name" description:"Empty without accounts."`
	Role      access.Role `json:"role" enum:"coach,boatman,athlete,trusted" description:"trusted where the server has no accounts."`
	AthleteID *int64      `json:"athlete_id,omitempty" description:"The record that the account sees; left out but for athletes."`
	Scopes    []string    `json:"scopes" description:"Of the token: read, write."`
}

// Me tells who is behind the request.
func (s *Service) Me(ctx context.Context, _ struct{}) (Me, error) {
	v := access.From(ctx)
	me := Me{Name: v.Name, Role: v.Role, Scopes: []string{}}
	if v.Athlete != 0 {
		me.AthleteID = &v.Athlete
	}
	scopes := v.Scopes
	if scopes == nil {
		scopes = access.Scopes
	}
	for _, scope := range scopes {
		me.Scopes = append(me.Scopes, string(scope))
	}
	return me, nil
}
