package seat

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"thole/api/access"
	"thole/api/club"
	"thole/api/people"
	"thole/api/records"
	"thole/api/wire"
	"thole/ui/page"
)

// keepForm keeps the seat that is shown for its athlete.
type keepForm struct {
	Address string // that takes it
	Name    string
	Note    string
	Place   bool     // it is of a boat on record
	Moves   []string // against the boat on record
	Said    []string // of what was kept already
	Enter   string   // address at which the boat takes the values; empty where there is nothing to enter
	Send    bool     // there is a boatman with an account
}

// keepForm returns the form, nil where the viewer may not keep it for anybody.
func (s *site) keepForm(ctx context.Context, p *seatPage) *keepForm {
	v := access.From(ctx)
	if p.AthleteID == 0 || s.service.Club.Store == nil || v.Shared || !v.Owns(p.AthleteID) {
		return nil
	}
	f := &keepForm{Address: fmt.Sprintf("/athletes/%d/seats", p.AthleteID), Name: p.keptName(), Send: v.SignedIn()}
	s.addMoves(ctx, f, p)
	saved, _ := strconv.ParseInt(p.typed.Get("saved"), 10, 64) // 0 is none
	kept, err := s.service.People.SavedSeat(ctx, people.SavedSeatRequest{AthleteID: p.AthleteID, ID: saved})
	if err == nil {
		f.Name, f.Note, f.Said = kept.Name, kept.Note, savedWords(&kept)
	}
	return f
}

// keptName is what a seat is called unless somebody says otherwise.
func (p *seatPage) keptName() string {
	if p.Boat != "" {
		return p.Boat
	}
	return p.Class.Name
}

// savedWords say what became of a seat that was kept.
func savedWords(k *people.SavedSeat) []string {
	said := []string{"Saved " + signed(k.SavedBy, k.SavedAt) + "."}
	switch {
	case k.DoneAt != nil:
		said = append(said, "Done "+signed(k.DoneBy, *k.DoneAt)+".")
	case k.SentAt != nil:
		said = append(said, "Sent to the boatman "+page.When(*k.SentAt)+".")
	}
	if k.Note != "" {
		said = append(said, "Note: "+k.Note)
	}
	return said
}

// signed reports who did something and when, or when alone.
func signed(by string, at time.Time) string {
	if by == "" {
		return page.When(at)
	}
	return "by " + by + ", " + page.When(at)
}

// addMoves reports what the seat that is kept, the second of two, moves at the boat
// on record.
func (s *site) addMoves(ctx context.Context, f *keepForm, p *seatPage) {
	id, number, ok := people.SeatAt(p.At)
	if !ok {
		return
	}
	boat, err := s.service.Fleet.Boat(ctx, records.IDRequest{ID: id})
	if err != nil || number > len(boat.Seats) || boat.BoatClass != p.Class.Code {
		return
	}
	f.Place = true
	values, rig := url.Values{}, &boat.Seats[number-1].Seat
	for _, name := range boat.Settings() {
		text := p.value(name)
		if p.Comparing && p.value(second+name) != "" {
			text = p.value(second + name)
		}
		to, ok := page.ParseNumber(text)
		if !ok {
			continue
		}
		read := page.Known(&to, page.UnitOf(name))
		if name == "heel_to_pin_cm" && p.Mark != "" {
			to = p.heelOf(to)
			read, _ = p.inMark(to)
		}
		was := rig.Setting(name)
		if was != nil && page.Plain(*was) == page.Plain(to) {
			continue
		}
		f.Moves = append(f.Moves, fmt.Sprintf("%s %s → %s", page.SettingLabels[name], p.readAs(name, was), read))
		values.Set(page.SeatField(number, name), page.Plain(to))
	}
	if access.From(ctx).Role != access.Athlete && len(values) > 0 {
		values.Set("why", "For "+p.Rower+".")
		f.Enter = fmt.Sprintf("/boats/%d/seats/%d?%s", id, number, values.Encode())
	}
}

// readAs is a value on record as it is read at the boat.
func (p *seatPage) readAs(name string, v *float64) string {
	if v != nil && name == "heel_to_pin_cm" && p.Mark != "" {
		shown, _ := p.inMark(*v)
		return shown
	}
	return page.Known(v, page.UnitOf(name))
}

// heelOf is the heel's place for the number that the stretcher is read in, cm.
func (p *seatPage) heelOf(reading float64) float64 {
	if p.request.Stretcher == nil {
		return reading
	}
	heel, err := p.request.Stretcher.HeelToPinCm(reading, p.plate())
	if err != nil {
		return reading
	}
	return heel
}

// saveSeat keeps a seat for an athlete, and sends it where that is asked for.
func (s *site) saveSeat(w http.ResponseWriter, r *http.Request) error {
	form, id := r.PostForm, page.PathID(r, "id")
	request := people.NewSavedSeat{
		AthleteID: id, Name: form.Get("name"), Address: form.Get("address"), Note: form.Get("note"), Send: form.Get("then") == "send", By: page.Who(r),
	}
	if boat, seat, ok := people.SeatAt(form.Get("at")); ok {
		request.BoatID, request.Seat = &boat, seat
	}
	kept, err := s.service.People.SaveSeat(r.Context(), request)
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "message", page.Message{Title: "This seat was not saved", Text: bad.Fields[0].Detail + " Go back: nothing you typed is lost."})
	}
	if err != nil {
		return s.Fail(w, err)
	}
	http.Redirect(w, r, fmt.Sprintf("/athletes/%d/seats/%d", id, kept.ID), http.StatusSeeOther)
	return nil
}

// savedSeat leads to the page for one seat with what was kept.
func (s *site) savedSeat(w http.ResponseWriter, r *http.Request) error {
	ask := people.SavedSeatRequest{AthleteID: page.PathID(r, "id"), ID: page.PathID(r, "seat")}
	kept, err := s.service.People.SavedSeat(r.Context(), ask)
	if err != nil {
		return s.Fail(w, err)
	}
	athlete, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: ask.AthleteID})
	if err != nil {
		return s.Fail(w, err)
	}
	_, text, _ := strings.Cut(kept.Address, "?")
	query, err := url.ParseQuery(text)
	if err != nil {
		return s.Fail(w, wire.ErrNotFound)
	}
	query.Set("rower", athlete.Name)
	query.Set("athlete", strconv.FormatInt(athlete.ID, 10))
	query.Set("saved", strconv.FormatInt(kept.ID, 10))
	http.Redirect(w, r, "/seat?"+query.Encode(), http.StatusSeeOther)
	return nil
}

// sendSavedSeat asks the boatman for what was kept.
func (s *site) sendSavedSeat(w http.ResponseWriter, r *http.Request) error {
	ask := people.SendSavedSeat{AthleteID: page.PathID(r, "id"), ID: page.PathID(r, "seat"), By: page.Who(r)}
	if _, err := s.service.People.SendSavedSeat(r.Context(), ask); err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, fmt.Sprintf("/athletes/%d#seats", ask.AthleteID))
}

// removeSavedSeat removes what was kept.
func (s *site) removeSavedSeat(w http.ResponseWriter, r *http.Request) error {
	ask := people.SavedSeatRequest{AthleteID: page.PathID(r, "id"), ID: page.PathID(r, "seat")}
	if _, err := s.service.People.RemoveSavedSeat(r.Context(), ask); err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, fmt.Sprintf("/athletes/%d#seats", ask.AthleteID))
}
