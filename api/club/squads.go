package club

import (
	"context"
	"errors"
	"slices"
	"strings"

	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// SquadFields are what people edit of a squad.
type SquadFields struct {
	Name       string  `json:"name" validate:"filled,max=80" say:"A name is needed." description:"Such as senior men, or under-18 women."`
	AthleteIDs []int64 `json:"athlete_ids" validate:"omitempty,max=2000,dive,gte=1" description:"Of the athletes in it; an athlete may be in several squads."`
}

// Squad is a group of athletes that a club trains and selects in.
type Squad struct {
	ID      int64 `json:"id"`
	Version int64 `json:"version"`
	SquadFields
}

// SquadList lists squads by name.
type SquadList struct {
	Squads []Squad `json:"squads"`
}

// NewSquad puts a squad on record.
type NewSquad struct{ SquadFields }

// SquadEdit writes the name and the athletes of a squad.
type SquadEdit struct {
	ID      int64 `path:"id" json:"-" validate:"gte=1"`
	Version int64 `json:"version" validate:"required,gte=0" description:"That was read and edited."`
	SquadFields
}

func wireSquad(q *store.Squad) Squad {
	return Squad{ID: q.ID, Version: q.Version, SquadFields: SquadFields{Name: q.Name, AthleteIDs: append([]int64{}, q.Athletes...)}}
}

// Squads lists the squads.
func (s *Service) Squads(ctx context.Context, _ struct{}) (SquadList, error) {
	all, err := s.Store.Squads(ctx)
	list := SquadList{Squads: make([]Squad, 0, len(all))}
	for i := range all {
		list.Squads = append(list.Squads, wireSquad(&all[i]))
	}
	return list, records.RecordError(err)
}

// Squad returns one squad.
func (s *Service) Squad(ctx context.Context, r records.IDRequest) (Squad, error) {
	q, err := s.Store.Squad(ctx, r.ID)
	return wireSquad(&q), records.RecordError(err)
}

// AddSquad puts a squad on record.
func (s *Service) AddSquad(ctx context.Context, r NewSquad) (Squad, error) {
	if err := r.check(); err != nil {
		return Squad{}, err
	}
	id, err := s.Store.AddSquad(ctx, store.Squad{Name: strings.TrimSpace(r.Name), Athletes: r.AthleteIDs})
	if err != nil {
		return Squad{}, squadError(err)
	}
	return s.Squad(ctx, records.IDRequest{ID: id})
}

// UpdateSquad writes the name and the athletes of a squad.
func (s *Service) UpdateSquad(ctx context.Context, r SquadEdit) (Squad, error) {
	if err := r.check(); err != nil {
		return Squad{}, err
	}
	if _, err := s.Store.Squad(ctx, r.ID); err != nil {
		return Squad{}, records.RecordError(err)
	}
	if _, err := s.Store.UpdateSquad(ctx, store.Squad{ID: r.ID, Version: r.Version, Name: strings.TrimSpace(r.Name), Athletes: r.AthleteIDs}); err != nil {
		return Squad{}, squadError(err)
	}
	return s.Squad(ctx, records.IDRequest{ID: r.ID})
}

// DeleteSquad removes a squad; its athletes stay.
func (s *Service) DeleteSquad(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Gone(r.ID, s.Store.DeleteSquad(ctx, r.ID))
}

// squadError describes a name that is taken, and an athlete who is gone, at their
// places.
func squadError(err error) error {
	if errors.Is(err, store.ErrNotFound) {
		return wire.At("athlete_ids").Invalid("An athlete of this list is not on record any more.")
	}
	return records.TakenAs(err, "There is a squad of this name.")
}

func (f *SquadFields) check() error {
	p := wire.Problems{Fields: f.problems()}
	return p.OrNil()
}

func (f *SquadFields) problems() []wire.FieldProblem {
	var p wire.Problems
	p.Printable(wire.At("name"), f.Name, "")
	if strings.TrimSpace(f.Name) != "" && store.NameKey(f.Name) == "" {
		p.Add(wire.At("name").Problem("A name needs letters."))
	}
	if strings.Contains(f.Name, ";") {
		p.Add(wire.At("name").Problem("Leave the semicolon out: it parts squads in tables."))
	}
	p.Check(wire.At(), f)
	return p.Fields
}

// squadsOf lists the squads of each athlete.
func (s *Service) squadsOf(ctx context.Context) (map[int64][]int64, error) {
	all, err := s.Store.Squads(ctx)
	of := map[int64][]int64{}
	for i := range all {
		for _, athlete := range all[i].Athletes {
			of[athlete] = append(of[athlete], all[i].ID)
		}
	}
	return of, records.RecordError(err)
}

// InSquad reports who is in a squad; nil, which keeps everybody, for squad 0. The
// error is ErrNotFound for a squad that is not there.
func (s *Service) InSquad(ctx context.Context, squad int64) (func(athlete int64) bool, error) {
	if squad == 0 {
		return nil, nil
	}
	q, err := s.Store.Squad(ctx, squad)
	if err != nil {
		return nil, records.RecordError(err)
	}
	return func(athlete int64) bool { return slices.Contains(q.Athletes, athlete) }, nil
}
