package store

import "context"

// CrewSeat is who usually rows a seat of a boat.
type CrewSeat struct {
	Seat      int // 1 is bow
	AthleteID int64
}

func (c *CrewSeat) columns() []column {
	return []column{{"seat", &c.Seat}, {"athlete_id", &c.AthleteID}}
}

// BoatCrew returns the usual crew of a boat, bow first; none where nobody has said
// who it is. Archived athletes are among them.
func (s *Store) BoatCrew(ctx context.Context, boatID int64) ([]CrewSeat, error) {
	return read(ctx, s, func(t *tx) ([]CrewSeat, error) {
		if err := t.exists("boats", boatID); err != nil {
			return nil, err
		}
		return list(t, (*CrewSeat).columns, "boat_crews WHERE boat_id = ? ORDER BY seat", boatID)
	})
}

// SetBoatCrew makes a crew the usual one of a boat; none takes it away. A boat, a
// seat of it or an athlete who is not there is ErrNotFound. What the crew was is not
// kept.
func (s *Store) SetBoatCrew(ctx context.Context, boatID int64, crew []CrewSeat) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) { return struct{}{}, t.setBoatCrew(boatID, crew) })
	return err
}

func (t *tx) setBoatCrew(boatID int64, crew []CrewSeat) error {
	if err := t.exists("boats", boatID); err != nil {
		return err
	}
	if err := t.exec("DELETE FROM boat_crews WHERE boat_id = ?", boatID); err != nil {
		return err
	}
	for i := range crew {
		c := &crew[i]
		if err := t.scan("SELECT number FROM seats WHERE boat_id = ? AND number = ?", []any{boatID, c.Seat}, new(int)); err != nil {
			return err
		}
		if err := t.exists("athletes", c.AthleteID); err != nil {
			return err
		}
		if err := t.exec("INSERT INTO boat_crews (boat_id, seat, athlete_id) VALUES (?, ?, ?)", boatID, c.Seat, c.AthleteID); err != nil {
			return err
		}
	}
	return nil
}
