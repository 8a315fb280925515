package club

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/club"
	"thole/api/people"
	"thole/api/records"
	"thole/ui/page"
)

// savedLine is a seat that was kept for the athlete.
type savedLine struct {
	Name, Address, Note, Saved, State string
	Open                              bool // it can be sent to the boatman
}

// addSeats lists the seats that were kept, and the one that the athlete sits in.
func (s *site) addSeats(ctx context.Context, view *athletePage) error {
	list, err := s.service.People.SavedSeats(ctx, records.IDRequest{ID: view.Athlete.ID})
	if err != nil {
		return err
	}
	for i := range list.Seats {
		view.Saved = append(view.Saved, savedLineOf(&list.Seats[i]))
	}
	view.Place, err = s.usualSeat(ctx, view.Athlete.ID)
	return err
}

// usualSeat is the seat that an athlete usually sits in, as forms carry it; "" for
// nowhere.
func (s *site) usualSeat(ctx context.Context, athlete int64) (string, error) {
	boat, seat, err := s.service.Advice.UsualSeat(ctx, athlete)
	if err != nil || boat == 0 {
		return "", err
	}
	return people.PlaceOf(boat, seat), nil
}

func savedLineOf(k *people.SavedSeat) savedLine {
	line := savedLine{
		Name: k.Name, Address: fmt.Sprintf("/athletes/%d/seats/%d", k.AthleteID, k.ID), Note: k.Note,
		Saved: strings.TrimPrefix(k.SavedBy+", ", ", ") + page.When(k.SavedAt), Open: k.SentAt == nil || k.DoneAt != nil,
	}
	switch {
	case k.DoneAt != nil:
		line.State = "done by " + k.DoneBy + ", " + page.When(*k.DoneAt)
	case k.SentAt != nil:
		line.State = "sent to the boatman " + page.When(*k.SentAt)
	}
	return line
}

// checkAthlete leads to the page for one seat with the athlete in the seat that was
// chosen, the usual one where none was named, or back with what is wrong.
func (s *site) checkAthlete(w http.ResponseWriter, r *http.Request) error {
	athlete, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	asked := r.URL.Query().Get("at")
	if !r.URL.Query().Has("at") {
		if asked, err = s.usualSeat(r.Context(), athlete.ID); err != nil {
			return s.Fail(w, err)
		}
	}
	if asked == "" {
		query := url.Values{}
		if !athlete.Sculls && (athlete.PortCostS != nil || athlete.StarboardCostS != nil) {
			query.Set("class", "8+")
		}
		page.SetRower(query, &athlete, athlete.Sculls)
		http.Redirect(w, r, "/seat?"+query.Encode(), http.StatusSeeOther)
		return nil
	}
	view, err := s.athletePage(r, s.newMeasuresForm(r), s.newTestForm(r))
	if err != nil {
		return s.Fail(w, err)
	}
	if !slices.ContainsFunc(view.Places, func(o people.SeatChoice) bool { return o.Value == asked }) {
		view.Place, view.NoPlace = asked, "There is no such seat: choose one of the list."
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "athlete", view)
	}
	boat, seat, _ := people.SeatAt(asked)
	http.Redirect(w, r, fmt.Sprintf("/boats/%d/seats/%d/check?athlete=%s", boat, seat, strconv.FormatInt(athlete.ID, 10)), http.StatusSeeOther)
	return nil
}
