// Package people shows the pages of an area: signing in, accounts and
// invitations, links to one page, measuring from afar, and what the boatman was
// asked to do. Its gate finds out who asks.
package people

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"thole/api"
	"thole/api/access"
	"thole/api/people"
	"thole/api/rest"
	"thole/api/wire"
	"thole/ui/figure/code"
	"thole/ui/page"
)

// Templates are the templates of the area, a page a file.
//
//go:embed *.html
var Templates embed.FS

// Site is what the handlers share.
type Site struct {
	*page.Frame
	service *api.Service
	gate    *Gate        // nil without accounts
	whole   http.Handler // every page, for those that are shown by a link
}

// NewSite returns the area. The gate is nil for a server without accounts, where
// none of its pages is there.
func NewSite(f *page.Frame, service *api.Service, gate *Gate) *Site {
	return &Site{Frame: f, service: service, gate: gate}
}

// Shows tells the area of all pages.
func (s *Site) Shows(whole http.Handler) { s.whole = whole }

// Routes lists the pages of the area by pattern.
func (s *Site) Routes() map[string]page.Route {
	all := map[string]page.Route{
		"GET /sign-in":               page.For(access.Public, s.signInPage),
		"POST /sign-in":              page.For(access.Public, s.signIn),
		"POST /sign-out":             page.For(access.Public, s.signOut),
		"GET /join/{secret}":         page.For(access.Public, s.joinPage),
		"POST /join/{secret}":        page.For(access.Public, s.join),
		"GET /see/{secret}":          page.For(access.Public, s.see),
		"GET /measure/{secret}":      page.For(access.Public, s.measurePage),
		"POST /measure/{secret}":     page.For(access.Public, s.measure),
		"GET /account":               page.For(access.Everyone, s.account),
		"POST /account/password":     page.For(access.Everyone, s.changePassword),
		"POST /account/sessions":     page.For(access.Everyone, s.endSession),
		"POST /account/tokens":       page.For(access.Everyone, s.addToken),
		"POST /account/tokens/{id}":  page.For(access.Everyone, s.removeToken),
		"GET /people":                page.For(access.Coaches, s.people),
		"GET /people/invite":         page.For(access.Coaches, s.invitePage),
		"POST /people/invite":        page.For(access.Coaches, s.invite),
		"POST /people/{id}/role":     page.For(access.Coaches, s.changeRole),
		"POST /people/{id}/password": page.For(access.Coaches, s.resetPassword),
		"POST /people/{id}/end":      page.For(access.Coaches, s.endSessions),
		"GET /people/{id}/remove":    page.For(access.Coaches, s.askRemove),
		"POST /people/{id}/remove":   page.For(access.Coaches, s.remove),
		"GET /athletes/{id}/link":    page.For(access.Coaches, s.measuringLinkPage),
		"POST /athletes/{id}/link":   page.For(access.Coaches, s.measuringLink),
		"GET /links":                 page.For(access.Staff, s.links),
		"POST /links":                page.For(access.Staff, s.share),
		"POST /links/{id}/revoke":    page.For(access.Staff, s.revoke),
		"GET /tasks":                 page.For(access.Staff, s.tasks),
		"POST /tasks":                page.For(access.Staff, s.sendTask),
		"POST /tasks/{id}/done":      page.For(access.Staff, s.finishTask),
	}
	for pattern, route := range all {
		all[pattern] = page.For(route.Access, s.withAccounts(route.Handler))
	}
	all["GET /settings"], all["POST /settings"] = page.For(access.Everyone, s.settings), page.For(access.Everyone, s.saveSettings)
	all["POST /settings/club"] = page.For(access.Coaches, s.saveClubSettings)
	return all
}

// withAccounts answers that there is no such page on a server without accounts.
func (s *Site) withAccounts(h page.Handler) page.Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		if s.gate == nil {
			return s.Missing(w, r)
		}
		return h(w, r)
	}
}

// form is what was typed into a form, with what is wrong.
type form struct {
	Bad     map[string]string // by name of the field
	Problem string            // what belongs to no field
}

// refused takes in an error of a use case and returns the status of the answer;
// 0 for a fault that is ours.
func (f *form) refused(err error) int {
	p := rest.Explain(err)
	if p.Status == http.StatusInternalServerError {
		return 0
	}
	f.Bad = map[string]string{}
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		for _, field := range bad.Fields {
			f.Bad[field.Field] = field.Detail
		}
		return p.Status
	}
	f.Problem = p.Detail
	return p.Status
}

// again shows a form with what is wrong, or returns a fault that is ours.
func (s *Site) again(w http.ResponseWriter, f *form, err error, name string, data any) error {
	status := f.refused(err)
	if status == 0 {
		return err
	}
	return s.Pages.Show(w, status, name, data)
}

// link is the address of a link, for a phone and for a message.
func link(r *http.Request, kind, secret string) string {
	return page.ReachOf(r.Context()).Base + "/" + kind + "/" + secret
}

// Extras returns what the frame shows around every page.
func (s *Site) Extras() page.Extras {
	if s.gate == nil {
		return page.Extras{}
	}
	return page.Extras{Carry: s.carry, Tools: s.tools, Todo: s.todo}
}

// carry reports how a page gets to somebody else's screen: those that can be
// shared do.
func (s *Site) carry(r *http.Request, rule access.Rule, title string) *page.Carry {
	v, base := access.From(r.Context()), page.ReachOf(r.Context()).Base
	if rule.Shared == "" || !v.SignedIn() || base == "" {
		return nil
	}
	address := base + r.URL.RequestURI()
	staff := v.Role != access.Athlete
	return &page.Carry{
		What: rule.Shared, Title: title, Path: r.URL.RequestURI(), Address: address, Code: code.SVG(address),
		Share: staff, Send: staff && rule.Boatmen, Days: people.PageLives,
	}
}

// tools are what can be done with a page beside what is on it.
func (s *Site) tools(r *http.Request) []page.Link {
	if r.Pattern == "GET /athletes/{id}" && access.From(r.Context()).Role == access.Coach {
		return []page.Link{{Name: "Send a measuring link", Address: r.URL.Path + "/link"}}
	}
	if r.Pattern == "GET /athletes" && access.From(r.Context()).Role == access.Coach {
		return []page.Link{{Name: "Invite athletes to sign in", Address: "/people/invite"}}
	}
	return nil
}

// mostOnStart is how many things to do stand on the start page, the oldest, by our own
// judgement.
const mostOnStart = 10

// todo is what waits for the viewer on the start page: what the boatman was asked
// to do, and measures that came in for a coach.
func (s *Site) todo(ctx context.Context) ([]page.Todo, error) {
	v := access.From(ctx)
	if v.Role == access.Athlete {
		return nil, nil
	}
	tasks, err := s.service.People.Tasks(ctx, struct{}{})
	if err != nil {
		return nil, err
	}
	var list []page.Todo
	shown := tasks.Open[:min(len(tasks.Open), mostOnStart)]
	for _, task := range shown {
		list = append(list, page.Todo{Text: task.What, Address: "/tasks", Note: "from " + task.SentBy + ", " + page.When(task.SentAt)})
	}
	if more := len(tasks.Open) - len(shown); more > 0 {
		list = append(list, page.Todo{Text: fmt.Sprintf("%d more to be done", more), Address: "/tasks"})
	}
	if v.Role != access.Coach {
		return list, nil
	}
	links, err := s.service.People.Links(ctx)
	for _, l := range links {
		if l.Kind == "measuring" && !l.UsedAt.IsZero() {
			list = append(list, page.Todo{
				Text: "Measures of " + l.Name, Address: fmt.Sprintf("/athletes/%d", l.AthleteID), Note: "came in " + page.When(l.UsedAt),
			})
		}
	}
	return list, err
}

// roleWords tells a role.
var roleWords = map[access.Role]string{access.Coach: "coach", access.Boatman: "boatman", access.Athlete: "athlete"}

// next is where to go after signing in: a page of this server.
func next(address string) string {
	if _, err := people.Local(address); err != nil || strings.HasPrefix(address, "/sign-in") {
		return "/"
	}
	return address
}
