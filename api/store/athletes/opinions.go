package athletes

import (
	"context"
	"thole/api/store/db"
	"time"
)

// Opinion is what a coach holds an athlete's power on the water to be.
type Opinion struct {
	ID, AthleteID int64
	SaidOn        string  // YYYY-MM-DD
	PowerW, SDW   float64 // over 2000 m
	Note          string
	SaidBy        string
	EnteredAt     time.Time
}

func (o *Opinion) columns() []db.Column {
	return []db.Column{
		{"athlete_id", &o.AthleteID}, {"said_on", &o.SaidOn}, {"power_w", &o.PowerW}, {"sd_w", &o.SDW},
		{"note", &o.Note}, {"said_by", &o.SaidBy}, {"entered_at", (*db.Stamp)(&o.EnteredAt)},
	}
}

func (o *Opinion) stored() []db.Column { return append(o.columns(), db.Column{"id", &o.ID}) }

// AddOpinion puts an opinion on record and returns its id. It stays out of the
// athlete's history, which the athlete reads.
func (s *Records) AddOpinion(ctx context.Context, o Opinion) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		if err := t.Exists("athletes", o.AthleteID); err != nil {
			return 0, err
		}
		o.EnteredAt = t.Moment(o.EnteredAt)
		return t.Insert("opinions", o.columns())
	})
}

// newestOpinions orders opinions so that the one that counts comes first.
const newestOpinions = " ORDER BY said_on DESC, id DESC"

// Opinions returns the opinions of all athletes, newest first.
func (s *Records) Opinions(ctx context.Context) ([]Opinion, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Opinion, error) { return db.List(t, (*Opinion).stored, "opinions"+newestOpinions) })
}

// OpinionsOf returns the opinions of an athlete, newest first. An athlete who is
// not on record is ErrNotFound.
func (s *Records) OpinionsOf(ctx context.Context, athleteID int64) ([]Opinion, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Opinion, error) {
		if err := t.Exists("athletes", athleteID); err != nil {
			return nil, err
		}
		return db.List(t, (*Opinion).stored, "opinions WHERE athlete_id = ?"+newestOpinions, athleteID)
	})
}

// RemoveOpinion removes an opinion of an athlete.
func (s *Records) RemoveOpinion(ctx context.Context, athleteID, id int64) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		if err := t.Scan("DELETE FROM opinions WHERE id = ? AND athlete_id = ? RETURNING id", []any{id, athleteID}, &id); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, t.ToWipe()
	})
	return err
}

// RecordedPower is the mean power of one rower in one recording.
type RecordedPower struct {
	AthleteID, BoatID int64
	RecordedOn        string  // YYYY-MM-DD
	PowerW            float64 // at the handle
	RatePerMin        float64
}

// RecordedPowers returns the newest recording in a boat of every athlete that
// has a power and a rate, oldest first.
func (s *Records) RecordedPowers(ctx context.Context) ([]RecordedPower, error) {
	columns := func(p *RecordedPower) []db.Column {
		return []db.Column{{"athlete_id", &p.AthleteID}, {"boat_id", &p.BoatID}, {"recorded_on", &p.RecordedOn}, {"power", &p.PowerW}, {"rate", &p.RatePerMin}}
	}
	return db.Read(ctx, s.file, func(t *db.Tx) ([]RecordedPower, error) {
		return db.List(t, columns, `(SELECT r.id, r.athlete_id, r.boat_id, r.recorded_on, p.value AS power, f.value AS rate,
			row_number() OVER (PARTITION BY r.athlete_id ORDER BY r.recorded_on DESC, r.id DESC) AS newest
			FROM recordings AS r
			JOIN recording_features AS p ON p.recording_id = r.id AND p.stroke = 0 AND p.feature = 'power_w'
			JOIN recording_features AS f ON f.recording_id = r.id AND f.stroke = 0 AND f.feature = 'rate_per_min'
			WHERE r.athlete_id IS NOT NULL AND r.boat_id IS NOT NULL) WHERE newest = 1 ORDER BY recorded_on, id`)
	})
}
