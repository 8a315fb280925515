package club

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"thole/api/access"
	"thole/api/club"
	"thole/api/directory"
	"thole/api/records"
	"thole/api/wire"
	"thole/ui/page"
)

// squadPages lists the pages of this area.
func (s *site) squadPages() map[string]page.Route {
	return map[string]page.Route{
		"GET /squads": page.For(access.Staff, s.squads), "POST /squads": page.For(access.Coaches, s.addSquad),
		"GET /squads/{id}": page.For(access.Coaches, s.squad), "POST /squads/{id}": page.For(access.Coaches, s.saveSquad),
		"GET /squads/{id}/remove": page.For(access.Coaches, s.askRemoveSquad), "POST /squads/{id}/remove": page.For(access.Coaches, s.removeSquad),
	}
}

// squadsPage lists the squads, with a form for another.
type squadsPage struct {
	*page.RecordForm
	Squads []squadLine
	New    []page.Value
}

// squadLine is a squad in the list.
type squadLine struct {
	ID    int64
	Name  string
	Count int // of those who are not archived
}

func (s *site) squads(w http.ResponseWriter, r *http.Request) error {
	p, err := s.squadsPage(r, page.NewForm(url.Values{}))
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "squads", p)
}

func (s *site) squadsPage(r *http.Request, f *page.RecordForm) (*squadsPage, error) {
	squads, err := s.squadList(r)
	if err != nil {
		return nil, err
	}
	athletes, err := s.service.Club.AthleteNames(r.Context())
	if err != nil {
		return nil, err
	}
	p := &squadsPage{RecordForm: f, New: []page.Value{page.TextField("name", "New squad", "Such as senior men, or under-18 women.").AsNeeded()}}
	for i := range squads {
		q := &squads[i]
		line := squadLine{ID: q.ID, Name: q.Name}
		for k := range athletes {
			if slices.Contains(q.AthleteIDs, athletes[k].ID) {
				line.Count++
			}
		}
		p.Squads = append(p.Squads, line)
	}
	f.Address, f.Back = "/squads", "/squads"
	f.Fill(p.New)
	return p, nil
}

func (s *site) addSquad(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	form := page.FormPage{Page: "squads", Part: "squad-new", Build: func() (any, error) { return s.squadsPage(r, f) }}
	return s.Submit(w, r, f, form, func() (string, error) {
		q, err := s.service.Club.AddSquad(r.Context(), club.NewSquad{SquadFields: club.SquadFields{Name: f.Text("name")}})
		return fmt.Sprintf("/squads/%d", q.ID), err
	})
}

// squadPage is one squad: its name and who is in it.
type squadPage struct {
	*page.RecordForm
	Squad   club.Squad
	Name    []page.Value
	Members []page.Value
	Count   int
}

func (s *site) squad(w http.ResponseWriter, r *http.Request) error {
	q, err := s.service.Club.Squad(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	typed := url.Values{"name": {q.Name}, "version": {strconv.FormatInt(q.Version, 10)}}
	for _, id := range q.AthleteIDs {
		page.SetTick(typed, memberTick(id), true)
	}
	p, err := s.squadPage(r, &q, page.NewForm(typed))
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "squads_edit", p)
}

// memberTick names the box of an athlete.
func memberTick(id int64) string { return "athlete_" + strconv.FormatInt(id, 10) }

func (s *site) squadPage(r *http.Request, q *club.Squad, f *page.RecordForm) (*squadPage, error) {
	athletes, err := s.service.Club.AthleteNames(r.Context())
	if err != nil {
		return nil, err
	}
	p := &squadPage{RecordForm: f, Squad: *q, Name: []page.Value{page.TextField("name", "Name", "").AsNeeded()}}
	f.SetPlace("name", wire.At("name"))
	for i := range athletes {
		a := &athletes[i]
		p.Members = append(p.Members, page.TextField(memberTick(a.ID), a.Whole, "").As("check"))
		if f.Ticked(memberTick(a.ID)) {
			p.Count++
		}
	}
	f.Saved, f.Address, f.Back = true, fmt.Sprintf("/squads/%d", q.ID), "/squads"
	f.Fill(p.Name, p.Members)
	return p, nil
}

func (s *site) saveSquad(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	q, err := s.service.Club.Squad(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	athletes, err := s.service.Club.AthleteNames(r.Context())
	if err != nil {
		return s.Fail(w, err)
	}
	edit := club.SquadEdit{ID: q.ID, Version: f.KnownVersion(), SquadFields: club.SquadFields{Name: f.Text("name"), AthleteIDs: []int64{}}}
	for _, id := range q.AthleteIDs { // archived ones are not in the form, and stay
		if !slices.ContainsFunc(athletes, func(a directory.Athlete) bool { return a.ID == id }) {
			edit.AthleteIDs = append(edit.AthleteIDs, id)
		}
	}
	for i := range athletes {
		if f.Ticked(memberTick(athletes[i].ID)) {
			edit.AthleteIDs = append(edit.AthleteIDs, athletes[i].ID)
		}
	}
	form := page.FormPage{Page: "squads_edit", Part: "squad-form", Build: func() (any, error) { return s.squadPage(r, &q, f) }}
	return s.Submit(w, r, f, form, func() (string, error) {
		_, err := s.service.Club.UpdateSquad(r.Context(), edit)
		return "/squads", err
	})
}

func (s *site) askRemoveSquad(w http.ResponseWriter, r *http.Request) error {
	q, err := s.service.Club.Squad(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	at := fmt.Sprintf("/squads/%d", q.ID)
	return s.Pages.Show(w, http.StatusOK, "record_remove", page.Removal{
		Title: "Remove the squad " + q.Name + "?", Text: "Its athletes stay on record.", Address: at + "/remove", Back: at,
	})
}

func (s *site) removeSquad(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.Club.DeleteSquad(r.Context(), records.IDRequest{ID: page.PathID(r, "id")}); err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, "/squads")
}
