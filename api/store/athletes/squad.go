package athletes

import (
	"context"
	"thole/api/store/db"
)

// SquadMember is one athlete of a squad that comes in as a whole.
type SquadMember struct {
	Athlete Athlete  // without an ID a new one, else as read and changed
	Body    Body     // measured on the day the squad comes in; empty for nothing new
	Squads  []int64  // the squads they are in from now on; nil leaves those they are in
	Join    []string // names of squads they are in as well, new ones included
	Tests   []ErgTest
}

// SaveSquad puts athletes with their masses and tests on record, all or none,
// and returns the ids; an athlete who is edited keeps the version where nothing of
// the record itself has changed. It is [Records.AddAthlete] or [Records.UpdateAthlete],
// [Records.AddMeasures] on the day (YYYY-MM-DD) and [Records.SaveErgTests] in one
// transaction; the tests take the athlete's id.
func (s *Records) SaveSquad(ctx context.Context, squad []SquadMember, day string, by db.By) ([]int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) ([]int64, error) {
		ids := make([]int64, len(squad))
		for i := range squad {
			id, err := saveMember(t, &squad[i], day, by)
			if err != nil {
				return nil, err
			}
			ids[i] = id
		}
		return ids, nil
	})
}

func saveMember(t *db.Tx, m *SquadMember, day string, by db.By) (int64, error) {
	id, err := saveAthlete(t, &m.Athlete, by)
	if err != nil {
		return 0, err
	}
	if m.Body != (Body{}) {
		taken := Measures{AthleteID: id, MeasuredOn: day, MeasuredBy: by.Signer(t), Body: m.Body, EnteredAt: t.Moment(by.At)}
		if _, err := t.Insert("measures", taken.columns()); err != nil {
			return 0, err
		}
	}
	if m.Squads != nil {
		if err := setSquadsOf(t, id, m.Squads); err != nil {
			return 0, err
		}
	}
	if err := joinSquads(t, id, m.Join); err != nil {
		return 0, err
	}
	var done Saved
	for _, e := range m.Tests {
		e.AthleteID = id
		if err := saveErgTest(t, e, &done); err != nil {
			return 0, err
		}
	}
	return id, nil
}

// saveAthlete adds a new athlete or writes over one as read.
func saveAthlete(t *db.Tx, a *Athlete, by db.By) (int64, error) {
	if a.ID == 0 {
		return t.Create(a.Record(), by)
	}
	_, err := updateAthlete(t, a, by)
	return a.ID, err
}
