package store

import (
	"context"
	"errors"
	"slices"
	"unicode/utf8"
)

// MakeSeatRace returns a seat race that the athletes with the ids take part in,
// among others. It must not use the store.
type MakeSeatRace func(guests []int64) (SeatRace, error)

// AddSeatRaceWithGuests puts athletes on record and the seat race that is made
// with their ids, all or nothing, and returns the seat race's id. A guest whose
// name is taken is the athlete who has it. Errors are those of make and of
// [Store.AddSeatRace].
func (s *Store) AddSeatRaceWithGuests(ctx context.Context, guests []Athlete, make MakeSeatRace, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		r, err := t.withGuests(guests, make, by)
		if err != nil {
			return 0, err
		}
		return t.addSeatRace(&r, by)
	})
}

// UpdateSeatRaceWithGuests is [Store.UpdateSeatRace] of the seat race that is made
// with the ids of athletes put on record first, all or nothing.
func (s *Store) UpdateSeatRaceWithGuests(ctx context.Context, guests []Athlete, make MakeSeatRace, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		r, err := t.withGuests(guests, make, by)
		if err != nil {
			return 0, err
		}
		return t.updateSeatRace(&r, by)
	})
}

func (t *tx) withGuests(guests []Athlete, make MakeSeatRace, by By) (SeatRace, error) {
	var ids []int64
	for i := range guests {
		id, err := t.create(guests[i].record(), by)
		if errors.Is(err, ErrTaken) {
			id, err = t.namesake(guests[i].Name)
		}
		if err != nil {
			return SeatRace{}, err
		}
		ids = append(ids, id)
	}
	return make(ids)
}

// namesake returns the athlete who has a name but for accents: of those whose
// names hold it, the one with the shortest.
func (t *tx) namesake(name string) (int64, error) {
	f := Filter{Name: name, Archived: true}
	all, err := list(t, (*Athlete).stored, "athletes"+filtered, f.args()...)
	if err != nil {
		return 0, err
	}
	if len(all) == 0 {
		return 0, ErrNotFound
	}
	best := slices.MinFunc(all, func(a, b Athlete) int {
		return utf8.RuneCountInString(a.Name) - utf8.RuneCountInString(b.Name)
	})
	return best.ID, nil
}

// DeleteSeatRace removes a seat race with the guests who take part in no other,
// all or nothing, and wipes the file when it removed any.
func (s *Store) DeleteSeatRace(ctx context.Context, id int64) error {
	gone, err := write(ctx, s, func(t *tx) (gone int, err error) {
		r, err := t.seatRace(id)
		if err != nil {
			return 0, err
		}
		if err := t.remove("seat_races", id); err != nil {
			return 0, err
		}
		if gone, err = t.removeGuests(r.Athletes); err != nil || gone == 0 {
			return gone, err
		}
		return gone, t.toWipe()
	})
	if err != nil || gone == 0 {
		return err
	}
	return s.Wipe(context.WithoutCancel(ctx))
}

// removeGuests removes those who are known from seat races only and are in none
// any more, and returns how many they were.
func (t *tx) removeGuests(of []SeatRaceAthlete) (gone int, err error) {
	for _, a := range of {
		known, err := t.athlete(a.AthleteID)
		if err != nil {
			return 0, err
		}
		if !known.Guest {
			continue
		}
		switch err := t.remove("athletes", a.AthleteID); {
		case err == nil:
			gone++
		case !errors.Is(err, ErrInUse):
			return 0, err
		}
	}
	return gone, nil
}
