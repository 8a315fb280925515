package store

import (
	"context"
	"errors"
	"slices"
)

// Squad is a group of athletes that a club trains and selects in; an athlete may be
// in several.
type Squad struct {
	ID, Version int64
	Name        string
	Athletes    []int64 // ids, ascending
}

func (q *Squad) columns() []column {
	return []column{{"id", &q.ID}, {"version", &q.Version}, {"name", &q.Name}}
}

// membership is an athlete in a squad.
type membership struct{ squad, athlete int64 }

func (m *membership) columns() []column {
	return []column{{"squad_id", &m.squad}, {"athlete_id", &m.athlete}}
}

// Squads lists the squads by name, with their athletes, archived ones included.
func (s *Store) Squads(ctx context.Context) ([]Squad, error) {
	return read(ctx, s, (*tx).squads)
}

func (t *tx) squads() ([]Squad, error) {
	all, err := list(t, (*Squad).columns, "squads ORDER BY name_key")
	if err != nil {
		return nil, err
	}
	members, err := list(t, (*membership).columns, "squad_athletes ORDER BY squad_id, athlete_id")
	for i := range all {
		all[i].Athletes = []int64{}
		for _, m := range members {
			if m.squad == all[i].ID {
				all[i].Athletes = append(all[i].Athletes, m.athlete)
			}
		}
	}
	return all, err
}

// Squad returns one squad.
func (s *Store) Squad(ctx context.Context, id int64) (Squad, error) {
	return read(ctx, s, func(t *tx) (Squad, error) { return t.squad(id) })
}

func (t *tx) squad(id int64) (Squad, error) {
	q, err := one(t, (*Squad).columns, "squads WHERE id = ?", id)
	if err != nil {
		return Squad{}, err
	}
	members, err := list(t, (*membership).columns, "squad_athletes WHERE squad_id = ? ORDER BY athlete_id", id)
	q.Athletes = []int64{}
	for _, m := range members {
		q.Athletes = append(q.Athletes, m.athlete)
	}
	return q, err
}

// AddSquad puts a squad on record and returns the id. A name that another has,
// whatever its case and accents, is ErrTaken; an athlete who is not there is
// ErrNotFound.
func (s *Store) AddSquad(ctx context.Context, q Squad) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		id, err := t.addSquad(q.Name)
		if err != nil {
			return 0, err
		}
		return id, t.setMembers(id, q.Athletes)
	})
}

func (t *tx) addSquad(name string) (int64, error) {
	key, version := NameKey(name), int64(1)
	id, err := t.insert("squads", t.marked("squads", []column{{"name", &name}, {"name_key", &key}, {"version", &version}}))
	return id, taken(err)
}

// UpdateSquad writes the name and the athletes of a squad read at q.Version and
// returns the new version. What a squad was is not kept.
func (s *Store) UpdateSquad(ctx context.Context, q Squad) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		old, err := t.squad(q.ID)
		if err != nil {
			return 0, err
		}
		if old.Version != q.Version {
			return 0, &ErrConflict{Subject: "squad", ID: q.ID, Version: old.Version}
		}
		key, version := NameKey(q.Name), old.Version+1
		if err := t.update("squads", q.ID, []column{{"name", &q.Name}, {"name_key", &key}, {"version", &version}}); err != nil {
			return 0, taken(err)
		}
		return version, t.setMembers(q.ID, q.Athletes)
	})
}

// setMembers makes the athletes those of a squad.
func (t *tx) setMembers(squad int64, athletes []int64) error {
	if err := t.exec("DELETE FROM squad_athletes WHERE squad_id = ?", squad); err != nil {
		return err
	}
	for _, id := range athletes {
		if err := t.exists("athletes", id); err != nil {
			return err
		}
		if err := t.exec("INSERT OR IGNORE INTO squad_athletes (squad_id, athlete_id) VALUES (?, ?)", squad, id); err != nil {
			return err
		}
	}
	return nil
}

// DeleteSquad removes a squad; its athletes stay.
func (s *Store) DeleteSquad(ctx context.Context, id int64) error { return erase(ctx, s, "squads", id) }

// setSquadsOf makes the squads those of an athlete, each change a version of the
// squad.
func (t *tx) setSquadsOf(athlete int64, squads []int64) error {
	all, err := t.squads()
	if err != nil {
		return err
	}
	for _, id := range squads {
		if !slices.ContainsFunc(all, func(q Squad) bool { return q.ID == id }) {
			return ErrNotFound
		}
	}
	for i := range all {
		q := &all[i]
		was, is := slices.Contains(q.Athletes, athlete), slices.Contains(squads, q.ID)
		switch {
		case was == is:
			continue
		case is:
			err = t.exec("INSERT INTO squad_athletes (squad_id, athlete_id) VALUES (?, ?)", q.ID, athlete)
		default:
			err = t.exec("DELETE FROM squad_athletes WHERE squad_id = ? AND athlete_id = ?", q.ID, athlete)
		}
		if err == nil {
			err = t.exec("UPDATE squads SET version = version + 1 WHERE id = ?", q.ID)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// joinSquads adds an athlete to squads by name; those that are not there yet are
// added.
func (t *tx) joinSquads(athlete int64, names []string) error {
	for _, name := range names {
		var id int64
		err := t.scan("SELECT id FROM squads WHERE name_key = ?", []any{NameKey(name)}, &id)
		if errors.Is(err, ErrNotFound) {
			id, err = t.addSquad(name)
		}
		if err != nil {
			return err
		}
		if err := t.joinSquad(athlete, id); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) joinSquad(athlete, squad int64) error {
	added, err := t.ExecContext(t.ctx, "INSERT OR IGNORE INTO squad_athletes (squad_id, athlete_id) VALUES (?, ?)", squad, athlete)
	if err != nil {
		return err
	}
	if n, err := added.RowsAffected(); err != nil || n == 0 {
		return err // in it already
	}
	return t.exec("UPDATE squads SET version = version + 1 WHERE id = ?", squad)
}
