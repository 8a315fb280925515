package store

import "context"

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
// the record itself has changed. It is [Store.AddAthlete] or [Store.UpdateAthlete],
// [Store.AddMeasures] on the day (YYYY-MM-DD) and [Store.SaveErgTests] in one
// transaction; the tests take the athlete's id.
func (s *Store) SaveSquad(ctx context.Context, squad []SquadMember, day string, by By) ([]int64, error) {
	return write(ctx, s, func(t *tx) ([]int64, error) {
		ids := make([]int64, len(squad))
		for i := range squad {
			id, err := t.saveMember(&squad[i], day, by)
			if err != nil {
				return nil, err
			}
			ids[i] = id
		}
		return ids, nil
	})
}

func (t *tx) saveMember(m *SquadMember, day string, by By) (int64, error) {
	id, err := t.saveAthlete(&m.Athlete, by)
	if err != nil {
		return 0, err
	}
	if m.Body != (Body{}) {
		taken := Measures{AthleteID: id, MeasuredOn: day, MeasuredBy: by.name(t), Body: m.Body, EnteredAt: t.moment(by.At)}
		if _, err := t.insert("measures", taken.columns()); err != nil {
			return 0, err
		}
	}
	if m.Squads != nil {
		if err := t.setSquadsOf(id, m.Squads); err != nil {
			return 0, err
		}
	}
	if err := t.joinSquads(id, m.Join); err != nil {
		return 0, err
	}
	var done Saved
	for _, e := range m.Tests {
		e.AthleteID = id
		if err := t.saveErgTest(e, &done); err != nil {
			return 0, err
		}
	}
	return id, nil
}

// saveAthlete adds a new athlete or writes over one as read.
func (t *tx) saveAthlete(a *Athlete, by By) (int64, error) {
	if a.ID == 0 {
		return t.create(a.record(), by)
	}
	_, err := t.updateAthlete(a, by)
	return a.ID, err
}
