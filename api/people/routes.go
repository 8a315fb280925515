package people

import (
	"context"

	"thole/api/access"
	"thole/api/rest"
)

// Routes lists the operations of the area. Accounts are made on the pages alone, by
// people.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Get("/api/v1/me", "See who you are", "The account behind the request, with its role, and what the token may be used for.", s.Me).For(access.Everyone),
		rest.Get("/api/v1/me/usage", "Show your units and words", "How your pages have units and words: as you chose, or as the club. Where the server has no accounts, as the club.", s.OwnUsage).For(access.Everyone),
		rest.Put("/api/v1/me/usage", "Choose your units and words", "They follow you to every device that you sign in on. Files and the interface of programs stay as they are.", s.SetOwnUsage).For(access.Everyone),
		rest.Get("/api/v1/usage", "Show the club's units and words", "What counts for whoever chose nothing, and for links that are opened without an account.", s.ClubUsage).For(access.Everyone),
		rest.Put("/api/v1/usage", "Choose the club's units and words", "For whoever chose nothing, and for links that are opened without an account.", s.SetClubUsage).For(access.Coaches),
		rest.Get("/api/v1/tokens", "List your tokens", "With which programs do what your account may, the newest first; never their secrets.", s.TokenList).Paged().For(access.Everyone),
		rest.Create("/api/v1/tokens", "Make a token", "It lasts a year. A token makes none that may do more than itself, or lasts longer. The secret is answered this once.", s.MakeToken).For(access.Everyone),
		rest.Remove("/api/v1/tokens/:id", "End a token of yours", "Programs that use it are refused from then on.", s.DropToken).For(access.Everyone),
		rest.Get("/api/v1/accounts", "List accounts", "Who may sign in, by name; none where the server has no accounts.", s.Accounts).Paged().For(access.Coaches),
		rest.Put("/api/v1/accounts/:id", "Change the role of an account", "From its next request on. The only coach stays one.", s.ChangeRole).For(access.Coaches),
		rest.Remove("/api/v1/accounts/:id", "Remove an account", "It is signed out, and its tokens end. Its name stays with what it did; so does the record of an athlete.", s.DropAccount).For(access.Coaches),
		rest.Create("/api/v1/invitations", "Invite people", "A link for each, to be opened at /join/ and its secret, with which they make their account; it works once. The secrets are answered this once.", s.InviteAll).For(access.Coaches),
		rest.Get("/api/v1/links", "List links", "Invitations, links to set a password, read-only and measuring links that were not used up, the newest first.", s.LinkList).Paged().For(access.Coaches),
		rest.Create("/api/v1/links", "Share a page read-only", "A link to be opened at /see/ and its secret, which is answered this once. Only pages that can be shared are shown by it; athletes under 18 are without their names there.", s.ShareLink).For(access.Coaches),
		rest.Remove("/api/v1/links/:id", "Revoke a link", "Whoever has it sees nothing more.", s.DropLink).For(access.Coaches),
		rest.Create("/api/v1/athletes/:id/measuring-links", "Make a measuring link", "With it an athlete sends measures, and those of a seat. To be opened at /measure/ and its secret, which is answered this once.", s.NewMeasuringLink).For(access.Coaches),
		rest.Get("/api/v1/tasks", "List what the boatman was asked to do", "What is to be done, the oldest first, and what was done last.", s.Tasks).Paged().For(access.Staff),
		rest.Create("/api/v1/tasks", "Ask the boatman to do something", "Names a page of this server that shows it. The page of an open task is not put there twice: its note is replaced.", s.AddTask).For(access.Staff),
		rest.Remove("/api/v1/tasks/:id", "Close a task", "It is done; the list keeps the last ten.", s.FinishTask).For(access.Staff),
		rest.Get("/api/v1/athletes/:id/seats", "List the seats kept for an athlete", "Rigs of one seat, newest first, with when the boatman was asked for them.", s.SavedSeats).Paged().For(access.Staff.OrOwn(access.Body, "id")),
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

// Me reports who is behind the request.
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
