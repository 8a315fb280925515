package rig

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"thole/api/directory"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/setup"
	"thole/api/wire"
	"thole/ui/page"
)

// Who usually rows a boat.

// crewPage is the form of the usual crew.
type crewPage struct {
	*page.RecordForm
	Boat   fleet.Boat
	Places []page.Value
	Names  []string // of the athletes who are offered
}

// crewSeat is the field of a seat.
func crewSeat(number int) string { return page.SeatField(number, "athlete") }

func (s *site) usualCrew(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.boatOf(r)
	if err != nil {
		return s.Fail(w, err)
	}
	usual, err := s.service.Setup.UsualCrew(r.Context(), records.IDRequest{ID: boat.ID})
	if err != nil {
		return s.Fail(w, err)
	}
	people, err := s.service.Club.AthleteNames(r.Context())
	if err != nil {
		return s.Fail(w, err)
	}
	typed := url.Values{}
	for _, u := range usual.Seats {
		for i := range people {
			if people[i].ID == u.AthleteID {
				typed.Set(crewSeat(u.Seat), people[i].Whole)
			}
		}
	}
	return s.Pages.Show(w, http.StatusOK, "boat_crew", newCrewPage(page.NewForm(typed), &boat, people))
}

func newCrewPage(f *page.RecordForm, boat *fleet.Boat, people []directory.Athlete) *crewPage {
	view := &crewPage{RecordForm: f, Boat: *boat}
	f.Address, f.Back, f.Saved = fmt.Sprintf("/boats/%d/crew", boat.ID), fmt.Sprintf("/boats/%d", boat.ID), true
	for i := range boat.Seats {
		v := page.TextField(crewSeat(i+1), page.SeatWords(boat, &boat.Seats[i]), "")
		v.Blank = "nobody"
		view.Places = append(view.Places, v)
	}
	f.Fill(view.Places)
	for i := range people {
		if !people[i].Archived {
			view.Names = append(view.Names, people[i].Whole)
		}
	}
	return view
}

// saveCrew makes those who were named the usual crew.
func (s *site) saveCrew(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	boat, err := s.boatOf(r)
	if err != nil {
		return s.Fail(w, err)
	}
	people, err := s.service.Club.AthleteNames(r.Context())
	if err != nil {
		return s.Fail(w, err)
	}
	crew := crewSent(f, &boat, people)
	form := page.FormPage{Page: "boat_crew", Part: "boat-crew", Build: func() (any, error) { return newCrewPage(f, &boat, people), nil }}
	return s.Submit(w, r, f, form, func() (string, error) {
		_, err := s.service.Setup.SetUsualCrew(r.Context(), crew)
		return fmt.Sprintf("/boats/%d", boat.ID), err
	})
}

// crewSent finds the athletes who were named.
func crewSent(f *page.RecordForm, boat *fleet.Boat, people []directory.Athlete) setup.CrewOfBoat {
	crew, book := setup.CrewOfBoat{BoatID: boat.ID, Seats: []setup.CrewChoice{}}, directory.NewBook(people)
	for i := range boat.Seats {
		field := crewSeat(i + 1)
		name := f.Text(field)
		found := book.FindFull(name)
		switch {
		case strings.TrimSpace(name) == "":
		case len(found) == 0:
			f.Complaints[field] = "Nobody of this name is on record."
		case len(found) > 1:
			f.Complaints[field] = directory.WhichOne(name, found)
		default:
			f.SetPlace(field, wire.At("seats").Item(len(crew.Seats)))
			crew.Seats = append(crew.Seats, setup.CrewChoice{Seat: i + 1, AthleteID: found[0].ID})
		}
	}
	return crew
}
