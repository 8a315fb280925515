package savedlineup

import (
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/savedlineup"
	"thole/api/wire"
	"thole/ui/page"
)

// save saves a line-up and goes to its page.
func (s *site) save(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.Broken(w)
	}
	form := r.PostForm
	page.Remember(w, form.Get("by"))
	saved, err := s.service.Savedlineup.Save(r.Context(), readLineup(form))
	var bad *wire.Invalid
	switch {
	case errors.As(err, &bad):
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "lineup_save", &saveForm{form, bad.Fields})
	case errors.Is(err, wire.ErrNotFound):
		return s.Missing(w, r)
	case err != nil:
		return err
	}
	http.Redirect(w, r, fmt.Sprintf("/line-ups/saved/%d", saved.ID), http.StatusSeeOther)
	return nil
}

func readLineup(form url.Values) savedlineup.NewLineup {
	l := savedlineup.NewLineup{By: strings.TrimSpace(form.Get("by")), LineupContent: savedlineup.LineupContent{
		Name: strings.TrimSpace(form.Get("name")), BoatClass: form.Get("class"), Source: "the best line-ups", Note: strings.TrimSpace(form.Get("note")),
	}}
	sides := strings.Split(form.Get("sides"), ".")
	for i, id := range strings.Split(form.Get("seats"), ".") {
		place := savedlineup.LineupPlace{}
		if n, err := strconv.ParseInt(id, 10, 64); err == nil {
			place.AthleteID = &n
		}
		if i < len(sides) {
			place.Side = sides[i]
		}
		l.Seats = append(l.Seats, place)
	}
	if boat, err := strconv.ParseInt(form.Get("boat"), 10, 64); err == nil {
		l.BoatID = &boat
	}
	if cox, ok := page.ParseNumber(form.Get("cox")); ok {
		l.CoxMassKg = &cox
	}
	return l
}

// saveForm is the form of a line-up that could not be saved as it is.
type saveForm struct {
	Form     url.Values
	Problems []wire.FieldProblem
}

// saveFields are the fields that the form shows.
var saveFields = []wire.Place{wire.At("name"), wire.At("by"), wire.At("note")}

// Get returns what was typed.
func (f *saveForm) Get(name string) string { return f.Form.Get(name) }

// Wrong returns the complaint about a field.
func (f *saveForm) Wrong(name string) string {
	for _, p := range f.Problems {
		if p.Place() == wire.At(name) {
			return p.Detail
		}
	}
	return ""
}

// Others are the complaints about what the form does not show.
func (f *saveForm) Others() []wire.FieldProblem {
	var list []wire.FieldProblem
	for _, p := range f.Problems {
		if !slices.Contains(saveFields, p.Place()) {
			list = append(list, p)
		}
	}
	return list
}

// line is a line-up in the list.
type line struct {
	savedlineup.SavedLineup
	Saved string // when
}

// list lists the line-ups on record.
func (s *site) list(w http.ResponseWriter, r *http.Request) error {
	list, err := s.service.Savedlineup.Lineups(r.Context(), records.ListRequest{})
	if err != nil {
		return err
	}
	view := savedList{Files: page.NewFiles(r.URL, "line-ups", page.FileOf(r.Context(), "line-ups", "Line-ups", s.service.Savedlineup.Table, records.ListRequest{}))}
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	for _, l := range list.Lineups {
		view.Lineups = append(view.Lineups, line{l, page.When(l.SavedAt)})
	}
	return s.Pages.Show(w, http.StatusOK, "lineups_saved", view)
}

// savedList is the page of the line-ups on record.
type savedList struct {
	Lineups []line
	Files   *page.Files
}

// lineupPage is one line-up on record.
type lineupPage struct {
	Files *page.Files
	savedlineup.SavedLineup
	Saved string // when
	Boat  template.HTML
	Boats []fleet.BoatSummary // that it can be rowed in
	Again string              // address that compares it with other line-ups
	Send  bool                // the boatman can be asked for it
	For   string              // name of the boat that it is meant for

	Case     *caseView
	NoteForm *noteForm
}

// show shows one line-up.
func (s *site) show(w http.ResponseWriter, r *http.Request) error {
	p, err := s.view(r, page.PathID(r, "id"))
	if errors.Is(err, wire.ErrNotFound) {
		return s.Missing(w, r)
	}
	if err != nil {
		return err
	}
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "lineup_saved", p)
}

// view gathers what the page of one line-up shows.
func (s *site) view(r *http.Request, id int64) (*lineupPage, error) {
	saved, err := s.service.Savedlineup.Lineup(r.Context(), records.IDRequest{ID: id})
	if err != nil {
		return nil, err
	}
	p := newPage(saved)
	p.Send, p.NoteForm = s.service.People.On, noteOf(r, &saved)
	p.Files = page.NewFiles(r.URL, saved.Name, page.FileOf(r.Context(), "seats", "Line-up", s.service.Savedlineup.CrewTable, records.IDRequest{ID: saved.ID}))
	if p.Case, err = s.caseOf(r, id); err != nil {
		return nil, err
	}
	boats, err := s.service.Fleet.Boats(r.Context(), records.ListRequest{})
	if err != nil {
		return nil, err
	}
	for _, b := range boats.Boats {
		if b.BoatClass == saved.BoatClass {
			p.Boats = append(p.Boats, b)
		}
		if b.ID == wire.Or(saved.BoatID, 0) {
			p.For = b.Name
		}
	}
	return p, nil
}

// crewWidths are the widths at which a crew is drawn, px; our judgement.
var crewWidths = []float64{288, 358, 440}

func newPage(l savedlineup.SavedLineup) *lineupPage {
	p := &lineupPage{SavedLineup: l, Saved: page.When(l.SavedAt)}
	q := url.Values{"class": {l.BoatClass}}
	boat := fleet.BareBoat(l.BoatClass)
	f := page.BoatFigure{Boat: boat, Widths: crewWidths, ID: "crew", Title: "The crew from above"}
	var ids []string
	for i, seat := range l.Seats {
		boat.Seats = append(boat.Seats, fleet.BoatSeat{SeatFields: fleet.SeatFields{Number: i + 1, Side: seat.Side}})
		name := "empty"
		if seat.AthleteID != nil {
			name = seat.Name
			ids = append(ids, strconv.FormatInt(*seat.AthleteID, 10))
		}
		f.Names = append(f.Names, name)
		if seat.Side != "" {
			q.Set("pattern", "own")
			q.Set(fmt.Sprintf("g%d", i+1), strings.ToUpper(seat.Side[:1]))
		}
	}
	p.Boat = f.HTML()
	q.Set("own", strings.Join(ids, "."))
	p.Again = "/line-ups?" + q.Encode()
	return p
}

// remove removes a line-up.
func (s *site) remove(w http.ResponseWriter, r *http.Request) error {
	_, err := s.service.Savedlineup.Remove(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if errors.Is(err, wire.ErrNotFound) {
		return s.Missing(w, r)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/line-ups/saved", http.StatusSeeOther)
	return nil
}
