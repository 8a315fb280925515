package people

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// mostSavedSeats is how many rigs are kept for one athlete; our own judgement.
const mostSavedSeats = 100

// seatPage is the path of the page that shows a saved seat.
const seatPage = "/seat"

// SavedSeat is a rig of one seat that was kept for an athlete.
type SavedSeat struct {
	ID        int64      `json:"id"`
	AthleteID int64      `json:"athlete_id"`
	Name      string     `json:"name"`
	Address   string     `json:"address" description:"Path and query of the page for one seat, with every value."`
	BoatID    *int64     `json:"boat_id,omitempty" description:"Left out where it is of no boat on record."`
	Seat      int        `json:"seat,omitempty" description:"1 is bow; left out without a boat."`
	Note      string     `json:"note"`
	SavedBy   string     `json:"saved_by"`
	SavedAt   time.Time  `json:"saved_at"`
	SentAt    *time.Time `json:"sent_at,omitempty" description:"When the boatman was asked for it last; left out before."`
	DoneBy    string     `json:"done_by" description:"Who did it; empty before."`
	DoneAt    *time.Time `json:"done_at,omitempty"`
}

// SavedSeatList is what was kept for an athlete.
type SavedSeatList struct {
	Seats []SavedSeat `json:"seats" description:"Newest first."`
}

// NewSavedSeat is a rig to keep for an athlete.
type NewSavedSeat struct {
	AthleteID int64  `path:"id" json:"-" validate:"gte=1"`
	Name      string `json:"name" validate:"filled,max=120" say:"Name this seat." description:"Such as the boat with the seat."`
	Address   string `json:"address" validate:"filled,max=3000" say:"Name the page that shows it." description:"Path and query of the page for one seat."`
	BoatID    *int64 `json:"boat_id,omitempty" validate:"omitempty,gte=0" description:"The boat on record that it is of."`
	Seat      int    `json:"seat,omitempty" description:"Of that boat; 1 is bow."`
	Note      string `json:"note" validate:"max=500" description:"For the boatman, when it is sent."`
	Send      bool   `json:"send,omitempty" description:"Ask the boatman for it at once."`
	By        string `json:"by" validate:"max=80" description:"Who saves it; with accounts it is the account."`
}

// SavedSeatRequest names a seat that was kept for an athlete.
type SavedSeatRequest struct {
	AthleteID int64 `path:"id" json:"-" validate:"gte=1"`
	ID        int64 `path:"seat" json:"-" validate:"gte=1"`
}

// SendSavedSeat asks the boatman for a seat that was kept.
type SendSavedSeat struct {
	AthleteID int64  `path:"id" json:"-" validate:"gte=1"`
	ID        int64  `path:"seat" json:"-" validate:"gte=1"`
	By        string `json:"by" validate:"max=80" description:"Who asks; with accounts it is the account."`
}

func wireSavedSeat(k store.SavedSeat) SavedSeat {
	w := SavedSeat{
		ID: k.ID, AthleteID: k.AthleteID, Name: k.Name, Address: k.Address, BoatID: k.BoatID, Seat: k.Seat, Note: k.Note,
		SavedBy: k.SavedBy, SavedAt: k.SavedAt, DoneBy: k.DoneBy,
	}
	if !k.SentAt.IsZero() {
		w.SentAt = &k.SentAt
	}
	if !k.DoneAt.IsZero() {
		w.DoneAt = &k.DoneAt
	}
	return w
}

// SavedSeats lists what was kept for an athlete, newest first.
func (s *Service) SavedSeats(ctx context.Context, r records.IDRequest) (SavedSeatList, error) {
	found, err := s.Store.SavedSeats(ctx, r.ID)
	list := SavedSeatList{Seats: make([]SavedSeat, len(found))}
	for i := range found {
		list.Seats[i] = wireSavedSeat(found[i])
	}
	return list, records.RecordError(err)
}

// SavedSeat returns one that was kept for an athlete.
func (s *Service) SavedSeat(ctx context.Context, r SavedSeatRequest) (SavedSeat, error) {
	k, err := s.Store.SavedSeat(ctx, r.AthleteID, r.ID)
	return wireSavedSeat(k), records.RecordError(err)
}

// SaveSeat keeps a rig of one seat for an athlete. The same rig is kept once,
// with the newest name and note.
func (s *Service) SaveSeat(ctx context.Context, r NewSavedSeat) (SavedSeat, error) {
	if err := s.checkSavedSeat(ctx, &r); err != nil {
		return SavedSeat{}, err
	}
	kept := store.SavedSeat{
		AthleteID: r.AthleteID, BoatID: r.BoatID, Seat: r.Seat, Name: strings.TrimSpace(r.Name), Address: r.Address, Note: strings.TrimSpace(r.Note),
	}
	id, err := s.Store.SaveSeat(ctx, kept, s.Signed(r.By))
	if err != nil {
		return SavedSeat{}, records.RecordError(err)
	}
	if r.Send {
		return s.SendSavedSeat(ctx, SendSavedSeat{r.AthleteID, id, r.By})
	}
	return s.SavedSeat(ctx, SavedSeatRequest{r.AthleteID, id})
}

// checkSavedSeat looks for everything that is wrong at once.
func (s *Service) checkSavedSeat(ctx context.Context, r *NewSavedSeat) error {
	var p wire.Problems
	p.Check(wire.At(), *r)
	if u, err := Local(r.Address); r.Address != "" && (err != nil || u.Path != seatPage) {
		p.Add(wire.At("address").Problem("This is no page for one seat: it begins with " + seatPage + "?"))
	}
	switch {
	case r.BoatID != nil:
		b, err := s.Store.Boat(ctx, *r.BoatID)
		if err != nil {
			return records.RecordError(err)
		}
		if r.Seat < 1 || r.Seat > len(b.Seats) {
			p.Add(wire.At("seat").Problem(fmt.Sprintf("%s has %d seats.", b.Name, len(b.Seats))))
		}
	case r.Seat != 0:
		p.Add(wire.At("seat").Problem("Name the boat that the seat is of."))
	}
	if err := p.OrNil(); err != nil {
		return err
	}
	have, err := s.Store.SavedSeats(ctx, r.AthleteID)
	if err == nil && len(have) >= mostSavedSeats {
		return &wire.Refusal{Status: http.StatusConflict, Text: fmt.Sprintf("%d seats are kept for this athlete: remove one first", len(have))}
	}
	return records.RecordError(err)
}

// SendSavedSeat asks the boatman for a rig that was kept. The task leads to it,
// and goes with it.
func (s *Service) SendSavedSeat(ctx context.Context, r SendSavedSeat) (SavedSeat, error) {
	athlete, err := s.Store.Athlete(ctx, r.AthleteID)
	if err != nil {
		return SavedSeat{}, records.RecordError(err)
	}
	kept, err := s.Store.SavedSeat(ctx, r.AthleteID, r.ID)
	if err != nil {
		return SavedSeat{}, records.RecordError(err)
	}
	task := store.Task{What: athlete.Name + ": " + kept.Name, Address: fmt.Sprintf("/athletes/%d/seats/%d", r.AthleteID, r.ID), Note: kept.Note}
	if err := s.Store.SendSavedSeat(ctx, r.AthleteID, r.ID, task, s.Signed(r.By)); err != nil {
		return SavedSeat{}, records.RecordError(err)
	}
	return s.SavedSeat(ctx, SavedSeatRequest{r.AthleteID, r.ID})
}

// RemoveSavedSeat removes what was kept, with the task it was sent as.
func (s *Service) RemoveSavedSeat(ctx context.Context, r SavedSeatRequest) (records.Removed, error) {
	return records.Gone(r.ID, s.Store.DeleteSavedSeat(ctx, r.AthleteID, r.ID))
}
