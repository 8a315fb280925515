package savedlineup

import (
	"context"
	"fmt"
	"time"

	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// LineupContent is what a line-up on record holds.
type LineupContent struct {
	Name      string        `json:"name" validate:"filled,max=80" say:"A name is needed."`
	BoatClass string        `json:"boat_class" validate:"required,boatclass"`
	BoatID    *int64        `json:"boat_id,omitempty" validate:"omitempty,gte=0" description:"Where it is meant for one boat."`
	Seats     []LineupPlace `json:"seats" validate:"required,omitempty,max=9" description:"Bow first."`
	CoxMassKg *float64      `json:"cox_mass_kg,omitempty" validate:"omitempty,plausible=cox_mass"`
	RowsOn    *string       `json:"rows_on,omitempty" validate:"omitempty,day" description:"YYYY-MM-DD."`
	Source    string        `json:"source,omitempty" validate:"omitempty,max=200" description:"How the seats were chosen."`
	Note      string        `json:"note,omitempty" validate:"omitempty,max=2000"`
}

// LineupPlace is one seat of a line-up.
type LineupPlace struct {
	AthleteID *int64 `json:"athlete_id" validate:"omitempty,gte=0" description:"Null: the seat is empty."`
	Name      string `json:"name,omitempty" validate:"omitempty,max=200" description:"In answers."`
	Side      string `json:"side,omitempty" validate:"omitempty,oneof=port starboard" description:"Sweep."`
}

// NewLineup adds a line-up.
type NewLineup struct {
	LineupContent
	By string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who saves it, for the history."`
}

// SavedLineup is a line-up on record.
type SavedLineup struct {
	ID      int64     `json:"id"`
	Version int64     `json:"version"`
	SavedBy string    `json:"saved_by" description:"Who saved it as it stands."`
	SavedAt time.Time `json:"saved_at" description:"When that was."`
	LineupContent
}

// SavedLineups lists line-ups.
type SavedLineups struct {
	Lineups []SavedLineup `json:"lineups"`
}

// Save adds a line-up. The error is an *Invalid or ErrNotFound.
func (s *Service) Save(ctx context.Context, r NewLineup) (SavedLineup, error) {
	class, err := seat.ClassOf(r.BoatClass)
	if err != nil {
		return SavedLineup{}, err
	}
	if err := r.check(class); err != nil {
		return SavedLineup{}, err
	}
	l := store.Lineup{
		Name: r.Name, ClassCode: r.BoatClass, BoatID: r.BoatID, CoxMassKg: r.CoxMassKg,
		RowsOn: r.RowsOn, Source: r.Source, Note: r.Note,
	}
	for _, seat := range r.Seats {
		l.Seats = append(l.Seats, store.LineupSeat{AthleteID: seat.AthleteID, Side: seat.Side})
	}
	id, err := s.Store.AddLineup(ctx, l, s.Signed(r.By))
	if err != nil {
		return SavedLineup{}, records.RecordError(err)
	}
	return s.Lineup(ctx, records.IDRequest{ID: id})
}

func (r *NewLineup) check(class rigging.Class) error {
	var p wire.Problems
	if len(r.Seats) != class.Rowers {
		p.Add(wire.At("seats").Problem(fmt.Sprintf("A %s has %d seats; %d were given.", class.Code, class.Rowers, len(r.Seats))))
	}
	seen := map[int64]int{}
	for i, seat := range r.Seats {
		field := wire.At("seats").Item(i)
		if _, ok := rigging.ParseSide(seat.Side); ok == class.Scull {
			p.Add(field.Name("side").Problem("Say port or starboard in sweep, nothing in sculling."))
		}
		if seat.AthleteID == nil {
			continue
		}
		if first, twice := seen[*seat.AthleteID]; twice {
			p.Add(field.Name("athlete_id").Problem(fmt.Sprintf("This athlete sits in seat %d already.", first)))
		}
		seen[*seat.AthleteID] = i + 1
	}
	p.Check(wire.At(), r)
	return p.OrNil()
}

// Lineups lists the line-ups on record by name.
func (s *Service) Lineups(ctx context.Context, r records.ListRequest) (SavedLineups, error) {
	list, err := s.Store.Lineups(store.Paged(ctx), r.Filter())
	if err != nil {
		return SavedLineups{}, records.RecordError(err)
	}
	answer := SavedLineups{Lineups: []SavedLineup{}}
	for i := range list {
		answer.Lineups = append(answer.Lineups, wireLineup(&list[i], nil))
	}
	return answer, nil
}

// Lineup returns one line-up with the names of its crew. The error is
// ErrNotFound.
func (s *Service) Lineup(ctx context.Context, r records.IDRequest) (SavedLineup, error) {
	l, err := s.Store.Lineup(ctx, r.ID)
	if err != nil {
		return SavedLineup{}, records.RecordError(err)
	}
	athletes, err := s.Store.Athletes(ctx, store.Filter{Archived: true})
	if err != nil {
		return SavedLineup{}, records.RecordError(err)
	}
	names := map[int64]string{}
	for _, a := range athletes {
		names[a.ID] = a.Name
	}
	return wireLineup(&l, names), nil
}

// Remove removes a line-up.
func (s *Service) Remove(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Gone(r.ID, s.Store.DeleteLineup(ctx, r.ID))
}

func wireLineup(l *store.Lineup, names map[int64]string) SavedLineup {
	w := SavedLineup{ID: l.ID, Version: l.Version, SavedBy: l.SavedBy, SavedAt: l.SavedAt, LineupContent: LineupContent{
		Name: l.Name, BoatClass: l.ClassCode, BoatID: l.BoatID, CoxMassKg: l.CoxMassKg,
		RowsOn: l.RowsOn, Source: l.Source, Note: l.Note, Seats: []LineupPlace{},
	}}
	for _, seat := range l.Seats {
		w.Seats = append(w.Seats, LineupPlace{AthleteID: seat.AthleteID, Name: names[wire.Or(seat.AthleteID, 0)], Side: seat.Side})
	}
	return w
}
