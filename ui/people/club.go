package people

import (
	"fmt"
	"html/template"
	"net/http"
	"strconv"

	"thole/api/access"
	"thole/api/directory"
	"thole/api/people"
	"thole/api/wire"
	"thole/ui/figure/code"
	"thole/ui/page"
)

// peoplePage lists who may sign in.
type peoplePage struct {
	form
	Accounts []accountLine
	Open     []linkLine // invitations that nobody used yet
	Roles    []page.Option
	Records  []directory.Athlete // that an athlete's account can see
}

type accountLine struct {
	ID         int64
	Name, Role string
	RoleName   string // as forms send it
	Athlete    string
	AthleteID  int64
	Since      string
	Devices    int
	Own        bool
}

func (s *Site) people(w http.ResponseWriter, r *http.Request) error {
	p, err := s.peoplePage(r)
	if err != nil {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "people", p)
}

func (s *Site) peoplePage(r *http.Request) (*peoplePage, error) {
	ctx, p := r.Context(), new(peoplePage)
	accounts, err := s.service.People.Accounts(ctx, struct{}{})
	if err != nil {
		return nil, err
	}
	names, err := s.athleteNames(r)
	if err != nil {
		return nil, err
	}
	sessions, err := s.gate.all(r.Context())
	if err != nil {
		return nil, err
	}
	devices := map[int64]int{}
	for i := range sessions {
		devices[sessions[i].in.Account]++
	}
	for _, a := range accounts.Accounts {
		line := accountLine{
			ID: a.ID, Name: a.Name, Role: roleWords[a.Role], RoleName: string(a.Role), Since: page.When(a.CreatedAt), Devices: devices[a.ID], Own: a.ID == access.From(ctx).Account,
		}
		if a.AthleteID != nil {
			line.AthleteID, line.Athlete = *a.AthleteID, names[*a.AthleteID]
		}
		p.Accounts = append(p.Accounts, line)
	}
	for _, role := range access.Roles {
		p.Roles = append(p.Roles, page.Option{Value: string(role), Label: roleWords[role]})
	}
	if p.Records, err = s.service.Club.AthleteNames(ctx); err != nil {
		return nil, err
	}
	links, err := s.linkLines(r)
	for _, l := range links {
		if l.Joins {
			p.Open = append(p.Open, l)
		}
	}
	return p, err
}

// athleteNames reports the athletes in the lists by number.
func (s *Site) athleteNames(r *http.Request) (map[int64]string, error) {
	list, err := s.service.Club.AthleteNames(r.Context())
	names := map[int64]string{}
	for _, a := range list {
		names[a.ID] = a.Label
	}
	return names, err
}

// inviteForm is the page on which to choose whom to invite.
type inviteForm struct {
	form
	Athletes   []page.Option
	Chosen     map[string]bool
	Name, Role string
}

func (s *Site) inviteForm(r *http.Request) (*inviteForm, error) {
	accounts, err := s.service.People.Accounts(r.Context(), struct{}{})
	if err != nil {
		return nil, err
	}
	has := map[int64]bool{}
	for _, a := range accounts.Accounts {
		has[wire.Or(a.AthleteID, 0)] = true
	}
	athletes, err := s.service.Club.AthleteNames(r.Context())
	f := &inviteForm{Chosen: map[string]bool{}, Role: string(access.Boatman)}
	for _, a := range athletes {
		if !has[a.ID] {
			f.Athletes = append(f.Athletes, page.Option{Value: strconv.FormatInt(a.ID, 10), Label: a.Label})
		}
	}
	return f, err
}

func (s *Site) invitePage(w http.ResponseWriter, r *http.Request) error {
	f, err := s.inviteForm(r)
	if err != nil {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "people_invite", f)
}

func (s *Site) invite(w http.ResponseWriter, r *http.Request) error {
	f, err := s.inviteForm(r)
	if err != nil {
		return err
	}
	var list []people.Invitation
	for _, text := range r.PostForm["athlete"] {
		id, _ := strconv.ParseInt(text, 10, 64) // 0 is nobody, and told as such
		f.Chosen[text] = true
		list = append(list, people.Invitation{Role: access.Athlete, AthleteID: id})
	}
	f.Name, f.Role = r.PostForm.Get("name"), r.PostForm.Get("role")
	if f.Name != "" {
		list = append(list, people.Invitation{Role: access.Role(f.Role), Name: f.Name})
	}
	for _, one := range list {
		if one.AthleteID == 0 && one.Role == access.Athlete {
			return s.again(w, &f.form, wire.At("role").Invalid("Choose athletes from the list."), "people_invite", f)
		}
	}
	made, err := s.service.People.Invite(r.Context(), list)
	if err != nil {
		return s.again(w, &f.form, err, "people_invite", f)
	}
	return s.showLinks(w, r, linksMade{
		Title: "Invitations", Text: "Hand each code or link to the one it names; it works once. It is shown this once.", Back: "/people",
	}, "join", made...)
}

// linksMade shows links that were made, with their codes.
type linksMade struct {
	Title, Text, Back string
	Links             []madeLine
}

type madeLine struct {
	Name, Address, Until string
	Code                 template.HTML
}

func (s *Site) showLinks(w http.ResponseWriter, r *http.Request, p linksMade, kind string, made ...people.Made) error {
	for _, m := range made {
		address := link(r, kind, m.Secret)
		p.Links = append(p.Links, madeLine{m.Name, address, page.When(m.ExpiresAt), code.SVG(address)})
	}
	return s.Pages.Show(w, http.StatusOK, "people_links", p)
}

func (s *Site) resetPassword(w http.ResponseWriter, r *http.Request) error {
	made, err := s.service.People.ResetLink(r.Context(), page.PathID(r, "id"))
	if err != nil {
		return s.Fail(w, err)
	}
	return s.showLinks(w, r, linksMade{
		Title: "Set a password", Text: "With this link " + made.Name + " sets a new password. It works once. It is shown this once.", Back: "/people",
	}, "join", made)
}

// changeRole gives an account another role.
func (s *Site) changeRole(w http.ResponseWriter, r *http.Request) error {
	edit := people.RoleEdit{ID: page.PathID(r, "id"), Role: access.Role(r.PostForm.Get("role"))}
	if id, err := strconv.ParseInt(r.PostForm.Get("athlete_id"), 10, 64); err == nil && edit.Role == access.Athlete {
		edit.AthleteID = &id
	}
	_, err := s.service.People.ChangeRole(r.Context(), edit)
	var f form
	switch status := f.refused(err); {
	case err == nil:
		http.Redirect(w, r, "/people", http.StatusSeeOther)
		return nil
	case status != 0:
		text := f.Problem
		for _, said := range f.Bad {
			text = said
		}
		return s.Pages.Show(w, status, "message", page.Message{Title: "The role was not changed", Text: text})
	}
	return s.Fail(w, err)
}

// endSessions signs somebody out everywhere.
func (s *Site) endSessions(w http.ResponseWriter, r *http.Request) error {
	id := page.PathID(r, "id")
	if err := s.gate.endAll(r, func(one *session) bool { return one.in.Account == id }); err != nil {
		return err
	}
	http.Redirect(w, r, "/people", http.StatusSeeOther)
	return nil
}

func (s *Site) removal(r *http.Request) (page.Removal, error) {
	a, err := s.service.People.Account(r.Context(), page.PathID(r, "id"))
	return page.Removal{
		Title:   "Remove the account of " + a.Name + "?",
		Text:    "They are signed out and cannot sign in any more. What they entered stays, with their name; so does the record of an athlete.",
		Address: fmt.Sprintf("/people/%d/remove", a.ID), Back: "/people",
	}, err
}

func (s *Site) askRemove(w http.ResponseWriter, r *http.Request) error {
	p, err := s.removal(r)
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "record_remove", p)
}

func (s *Site) remove(w http.ResponseWriter, r *http.Request) error {
	p, err := s.removal(r)
	if err != nil {
		return s.Fail(w, err)
	}
	if err := s.service.People.RemoveAccount(r.Context(), page.PathID(r, "id")); err != nil {
		var f form
		status := f.refused(err)
		if status == 0 {
			return err
		}
		p.Problem = f.Problem
		return s.Pages.Show(w, status, "record_remove", p)
	}
	http.Redirect(w, r, "/people", http.StatusSeeOther)
	return nil
}
