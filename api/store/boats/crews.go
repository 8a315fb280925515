package boats

import (
	"context"
	"thole/api/store/db"
)

// CrewSeat is who usually rows a seat of a boat.
type CrewSeat struct {
	Seat      int // 1 is bow
	AthleteID int64
}

func (c *CrewSeat) columns() []db.Column {
	return []db.Column{{"seat", &c.Seat}, {"athlete_id", &c.AthleteID}}
}

// BoatCrew returns the usual crew of a boat, bow first; none where nobody has said
// who it is. Archived athletes are among them.
func (s *Records) BoatCrew(ctx context.Context, boatID int64) ([]CrewSeat, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]CrewSeat, error) {
		if err := t.Exists("boats", boatID); err != nil {
			return nil, err
		}
		return db.List(t, (*CrewSeat).columns, "boat_crews WHERE boat_id = ? ORDER BY seat", boatID)
	})
}

// SetBoatCrew makes a crew the usual one of a boat; none takes it away. A boat, a
// seat of it or an athlete who is not there is ErrNotFound. What the crew was is not
// kept.
func (s *Records) SetBoatCrew(ctx context.Context, boatID int64, crew []CrewSeat) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) { return struct{}{}, setBoatCrew(t, boatID, crew) })
	return err
}

func setBoatCrew(t *db.Tx, boatID int64, crew []CrewSeat) error {
	if err := t.Exists("boats", boatID); err != nil {
		return err
	}
	if err := t.Exec("DELETE FROM boat_crews WHERE boat_id = ?", boatID); err != nil {
		return err
	}
	for i := range crew {
		c := &crew[i]
		if err := t.Scan("SELECT number FROM seats WHERE boat_id = ? AND number = ?", []any{boatID, c.Seat}, new(int)); err != nil {
			return err
		}
		if err := t.Exists("athletes", c.AthleteID); err != nil {
			return err
		}
		if err := t.Exec("INSERT INTO boat_crews (boat_id, seat, athlete_id) VALUES (?, ?, ?)", boatID, c.Seat, c.AthleteID); err != nil {
			return err
		}
	}
	return nil
}
