package races

import (
	"context"
	"errors"
	"slices"
	"thole/api/store/athletes"
	"thole/api/store/db"
	"unicode/utf8"
)

// MakeSeatRace returns a seat race that the athletes with the ids take part in,
// among others. It must not use the store.
type MakeSeatRace func(guests []int64) (SeatRace, error)

// AddSeatRace puts athletes on record and the seat race that is made
// with their ids, all or nothing, and returns the seat race's id. A guest whose
// name is taken is the athlete who has it. Errors are those of make; an athlete in a
// crew who does not take part is ErrNotFound, one in two seats of a piece ErrInvalid.
func (s *Records) AddSeatRace(ctx context.Context, guests []athletes.Athlete, make MakeSeatRace, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		r, err := withGuests(t, guests, make, by)
		if err != nil {
			return 0, err
		}
		return addSeatRace(t, &r, by)
	})
}

// UpdateSeatRace puts athletes on record and writes the seat race that is made with
// their ids over the one that was read at its version, all or nothing, and returns the
// new version.
func (s *Records) UpdateSeatRace(ctx context.Context, guests []athletes.Athlete, make MakeSeatRace, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		r, err := withGuests(t, guests, make, by)
		if err != nil {
			return 0, err
		}
		return updateSeatRace(t, &r, by)
	})
}

func withGuests(t *db.Tx, guests []athletes.Athlete, make MakeSeatRace, by db.By) (SeatRace, error) {
	var ids []int64
	for i := range guests {
		id, err := t.Create(guests[i].Record(), by)
		if errors.Is(err, db.ErrTaken) {
			id, err = namesake(t, guests[i].Name)
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
func namesake(t *db.Tx, name string) (int64, error) {
	f := db.Filter{Name: name, Archived: true}
	all, err := db.List(t, (*athletes.Athlete).Stored, "athletes"+db.Filtered, f.Args()...)
	if err != nil {
		return 0, err
	}
	if len(all) == 0 {
		return 0, db.ErrNotFound
	}
	best := slices.MinFunc(all, func(a, b athletes.Athlete) int {
		return utf8.RuneCountInString(a.Name) - utf8.RuneCountInString(b.Name)
	})
	return best.ID, nil
}

// DeleteSeatRace removes a seat race with the guests who take part in no other,
// all or nothing, and wipes the file when it removed any.
func (s *Records) DeleteSeatRace(ctx context.Context, id int64) error {
	gone, err := db.Write(ctx, s.file, func(t *db.Tx) (gone int, err error) {
		r, err := seatRace(t, id)
		if err != nil {
			return 0, err
		}
		if err := t.Remove("seat_races", id); err != nil {
			return 0, err
		}
		if gone, err = removeGuests(t, r.Athletes); err != nil || gone == 0 {
			return gone, err
		}
		return gone, t.ToWipe()
	})
	if err != nil || gone == 0 {
		return err
	}
	return s.file.Wipe(context.WithoutCancel(ctx))
}

// removeGuests removes those who are known from seat races only and are in none
// any more, and returns how many they were.
func removeGuests(t *db.Tx, of []SeatRaceAthlete) (gone int, err error) {
	for _, a := range of {
		known, err := athletes.Find(t, a.AthleteID)
		if err != nil {
			return 0, err
		}
		if !known.Guest {
			continue
		}
		switch err := t.Remove("athletes", a.AthleteID); {
		case err == nil:
			gone++
		case !errors.Is(err, db.ErrInUse):
			return 0, err
		}
	}
	return gone, nil
}
