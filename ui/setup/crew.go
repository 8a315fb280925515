package setup

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/setup"
	"thole/ui/page"
)

// What a boat knows of its crew: who usually rows it, how it last stood for the crew
// at hand, and a substitute in one choice.

// crewKnown is what the page shows of it.
type crewKnown struct {
	Usual   bool   // the crew at hand is the usual one
	CanKeep bool   // it can be made so
	Last    string // when the boat was last set for it; empty: never
	Again   string // address that brings that back; empty where the boat stands so
	Differs int    // settings that stand elsewhere now
	Whole   string // address of the set-up of every seat, where only some are set
	Seats   []page.Option
}

// onlySeats reads which seats alone are set.
func (p *crewSetPage) onlySeats() []int {
	var seats []int
	for _, text := range p.typed["only"] {
		if n, err := strconv.Atoi(text); err == nil && !slices.Contains(seats, n) && strings.TrimSpace(p.typed.Get(place(n))) != "" {
			seats = append(seats, n)
		}
	}
	return seats
}

// seatUsual seats the usual crew where nothing but the boat was asked for.
func (s *site) seatUsual(ctx context.Context, p *crewSetPage) error {
	for name := range p.typed {
		if name != "boat" && name != "oars" && name != page.Among {
			return nil
		}
	}
	usual, err := s.service.Setup.UsualCrew(ctx, records.IDRequest{ID: p.Boat.ID})
	for _, u := range usual.Seats {
		p.typed.Set(place(u.Seat), p.wholeName[u.AthleteID])
	}
	p.Filled = len(usual.Seats) > 0
	return err
}

// knowCrew fills in what the boat knows of the crew that was asked for.
func (s *site) knowCrew(ctx context.Context, p *crewSetPage) error {
	if access.From(ctx).Shared { // who has but a link sees this set-up and nothing else
		return nil
	}
	usual, err := s.service.Setup.UsualCrew(ctx, records.IDRequest{ID: p.Boat.ID})
	if err != nil {
		return err
	}
	k := &crewKnown{Usual: isUsual(usual.Seats, p.request.Crew)}
	k.CanKeep = !k.Usual && len(p.request.Only) == 0 && slices.ContainsFunc(p.request.Crew, func(c setup.CrewPlace) bool { return c.AthleteID != nil })
	for i := range p.Plan.Seats {
		seat := &p.Plan.Seats[i]
		k.Seats = append(k.Seats, page.Option{Value: strconv.Itoa(seat.Number), Label: fmt.Sprintf("%d, %s", seat.Number, seat.Name)})
	}
	if len(p.request.Only) > 0 {
		whole := cloned(p.typed)
		whole.Del("only")
		k.Whole = "/setup?" + setupQuery(whole)
	}
	p.Known = k
	last, err := s.service.Setup.LastSetup(ctx, p.Boat, p.request.Crew)
	if err != nil || last.SheetID == 0 {
		return err
	}
	k.Last = fmt.Sprintf("sheet %d, %s", last.SheetID, page.When(*last.DoneAt))
	if k.Differs = last.Differs; last.Differs > 0 {
		k.Again = "/setup?" + setupQuery(againQuery(p.typed, &last))
	}
	return nil
}

// againQuery asks for the rig that a crew was last set to, by hand.
func againQuery(typed url.Values, last *setup.LastSetup) url.Values {
	q := cloned(typed)
	q.Del("only")
	q.Del("job") // a full re-rig would move more
	for name := range q {
		if strings.HasPrefix(name, "h") && strings.Contains(name, "_") {
			q.Del(name)
		}
	}
	for _, v := range last.Rig {
		page.SetNumber(q, byHand(v.Seat, v.Setting), v.Value)
	}
	setTargets(q, last)
	return q
}

// setTargets asks for the targets of a set-up that was.
func setTargets(q url.Values, last *setup.LastSetup) {
	if last.CatchDeg != nil {
		catch := -*last.CatchDeg
		page.SetNumber(q, "catch_deg", &catch)
	}
	if last.FinishDeg != nil {
		page.SetNumber(q, "finish_deg", last.FinishDeg)
	}
}

func cloned(q url.Values) url.Values {
	c := url.Values{}
	for name, values := range q {
		c[name] = slices.Clone(values)
	}
	return c
}

// isUsual reports whether a crew is the usual one.
func isUsual(usual []setup.UsualSeat, crew []setup.CrewPlace) bool {
	if len(usual) == 0 || len(usual) != len(crew) {
		return false
	}
	for _, c := range crew {
		if c.AthleteID == nil || !slices.ContainsFunc(usual, func(u setup.UsualSeat) bool { return u.Seat == c.Seat && u.AthleteID == *c.AthleteID }) {
			return false
		}
	}
	return true
}

// substitute leads to the set-up with somebody else in one seat, which alone is set:
// to the targets that the boat was last set to for the rest of the crew.
func (s *site) substitute(w http.ResponseWriter, r *http.Request) error {
	asked := r.URL.Query()
	q, err := url.ParseQuery(asked.Get("setup"))
	seat, err2 := strconv.Atoi(asked.Get("seat"))
	if err != nil || err2 != nil || seat < 1 {
		return s.Broken(w)
	}
	name := strings.TrimSpace(asked.Get("name"))
	if name == "" {
		http.Redirect(w, r, "/setup?"+setupQuery(q), http.StatusSeeOther)
		return nil
	}
	for field := range q {
		if strings.HasPrefix(field, guestPrefix(seat)) || strings.HasPrefix(field, byHand(seat, "")) {
			q.Del(field)
		}
	}
	q.Del("lineup") // its seats would come back
	q.Del("seated")
	q.Set(place(seat), name)
	q.Add("only", strconv.Itoa(seat))
	p, err := s.planCrew(r, cloned(q))
	if err != nil {
		return s.Fail(w, err)
	}
	if p.Boat != nil {
		last, err := s.service.Setup.LastTargets(r.Context(), p.Boat, p.request.Crew, seat)
		if err != nil {
			return s.Fail(w, err)
		}
		if last.SheetID != 0 {
			setTargets(q, &last)
		}
	}
	http.Redirect(w, r, "/setup?"+setupQuery(q), http.StatusSeeOther)
	return nil
}

// keepCrew makes the crew of a set-up the usual one of its boat.
func (s *site) keepCrew(w http.ResponseWriter, r *http.Request) error {
	_, p, err := s.plannedAgain(w, r)
	if p == nil {
		return err
	}
	if p.Boat == nil || p.Plan == nil {
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "setup", p)
	}
	crew := setup.CrewOfBoat{BoatID: p.Boat.ID}
	for _, c := range p.request.Crew {
		if c.AthleteID != nil { // guests are nobody's usual crew
			crew.Seats = append(crew.Seats, setup.CrewChoice{Seat: c.Seat, AthleteID: *c.AthleteID})
		}
	}
	if _, err := s.service.Setup.SetUsualCrew(r.Context(), crew); err != nil {
		told := rest.Explain(err)
		if told.Status == http.StatusInternalServerError {
			return err
		}
		p.bad[""] = told.Detail
		p.complain()
		return s.Pages.Show(w, told.Status, "setup", p)
	}
	return page.Saved(w, r, p.Address)
}
