package athletes

import (
	"context"
	"errors"
	"slices"
	"thole/api/store/db"
)

// Squad is a group of athletes that a club trains and selects in; an athlete may be
// in several.
type Squad struct {
	ID, Version int64
	Name        string
	Athletes    []int64 // ids, ascending
}

func (q *Squad) columns() []db.Column {
	return []db.Column{{"id", &q.ID}, {"version", &q.Version}, {"name", &q.Name}}
}

// membership is an athlete in a squad.
type membership struct{ squad, athlete int64 }

func (m *membership) columns() []db.Column {
	return []db.Column{{"squad_id", &m.squad}, {"athlete_id", &m.athlete}}
}

// Squads lists the squads by name, with their athletes, archived ones included.
func (s *Records) Squads(ctx context.Context) ([]Squad, error) {
	return db.Read(ctx, s.file, allSquads)
}

func allSquads(t *db.Tx) ([]Squad, error) {
	all, err := db.List(t, (*Squad).columns, "squads ORDER BY name_key")
	if err != nil {
		return nil, err
	}
	members, err := db.List(t, (*membership).columns, "squad_athletes ORDER BY squad_id, athlete_id")
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
func (s *Records) Squad(ctx context.Context, id int64) (Squad, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Squad, error) { return squad(t, id) })
}

func squad(t *db.Tx, id int64) (Squad, error) {
	q, err := db.One(t, (*Squad).columns, "squads WHERE id = ?", id)
	if err != nil {
		return Squad{}, err
	}
	members, err := db.List(t, (*membership).columns, "squad_athletes WHERE squad_id = ? ORDER BY athlete_id", id)
	q.Athletes = []int64{}
	for _, m := range members {
		q.Athletes = append(q.Athletes, m.athlete)
	}
	return q, err
}

// AddSquad puts a squad on record and returns the id. A name that another has,
// whatever its case and accents, is ErrTaken; an athlete who is not there is
// ErrNotFound.
func (s *Records) AddSquad(ctx context.Context, q Squad) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		id, err := addSquad(t, q.Name)
		if err != nil {
			return 0, err
		}
		return id, setMembers(t, id, q.Athletes)
	})
}

func addSquad(t *db.Tx, name string) (int64, error) {
	key, version := db.NameKey(name), int64(1)
	id, err := t.Insert("squads", t.Marked("squads", []db.Column{{"name", &name}, {"name_key", &key}, {"version", &version}}))
	return id, db.Taken(err)
}

// UpdateSquad writes the name and the athletes of a squad read at q.Version and
// returns the new version. What a squad was is not kept.
func (s *Records) UpdateSquad(ctx context.Context, q Squad) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		old, err := squad(t, q.ID)
		if err != nil {
			return 0, err
		}
		if old.Version != q.Version {
			return 0, &db.ErrConflict{Subject: "squad", ID: q.ID, Version: old.Version}
		}
		key, version := db.NameKey(q.Name), old.Version+1
		if err := t.Update("squads", q.ID, []db.Column{{"name", &q.Name}, {"name_key", &key}, {"version", &version}}); err != nil {
			return 0, db.Taken(err)
		}
		return version, setMembers(t, q.ID, q.Athletes)
	})
}

// setMembers makes the athletes those of a squad.
func setMembers(t *db.Tx, squad int64, athletes []int64) error {
	if err := t.Exec("DELETE FROM squad_athletes WHERE squad_id = ?", squad); err != nil {
		return err
	}
	for _, id := range athletes {
		if err := t.Exists("athletes", id); err != nil {
			return err
		}
		if err := t.Exec("INSERT OR IGNORE INTO squad_athletes (squad_id, athlete_id) VALUES (?, ?)", squad, id); err != nil {
			return err
		}
	}
	return nil
}

// DeleteSquad removes a squad; its athletes stay.
func (s *Records) DeleteSquad(ctx context.Context, id int64) error {
	return db.Erase(ctx, s.file, "squads", id)
}

// setSquadsOf makes the squads those of an athlete, each change a version of the
// squad.
func setSquadsOf(t *db.Tx, athlete int64, squads []int64) error {
	all, err := allSquads(t)
	if err != nil {
		return err
	}
	for _, id := range squads {
		if !slices.ContainsFunc(all, func(q Squad) bool { return q.ID == id }) {
			return db.ErrNotFound
		}
	}
	for i := range all {
		q := &all[i]
		was, is := slices.Contains(q.Athletes, athlete), slices.Contains(squads, q.ID)
		switch {
		case was == is:
			continue
		case is:
			err = t.Exec("INSERT INTO squad_athletes (squad_id, athlete_id) VALUES (?, ?)", q.ID, athlete)
		default:
			err = t.Exec("DELETE FROM squad_athletes WHERE squad_id = ? AND athlete_id = ?", q.ID, athlete)
		}
		if err == nil {
			err = t.Exec("UPDATE squads SET version = version + 1 WHERE id = ?", q.ID)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// joinSquads adds an athlete to squads by name; those that are not there yet are
// added.
func joinSquads(t *db.Tx, athlete int64, names []string) error {
	for _, name := range names {
		var id int64
		err := t.Scan("SELECT id FROM squads WHERE name_key = ?", []any{db.NameKey(name)}, &id)
		if errors.Is(err, db.ErrNotFound) {
			id, err = addSquad(t, name)
		}
		if err != nil {
			return err
		}
		if err := joinSquad(t, athlete, id); err != nil {
			return err
		}
	}
	return nil
}

func joinSquad(t *db.Tx, athlete, squad int64) error {
	added, err := t.ExecContext(t.Ctx, "INSERT OR IGNORE INTO squad_athletes (squad_id, athlete_id) VALUES (?, ?)", squad, athlete)
	if err != nil {
		return err
	}
	if n, err := added.RowsAffected(); err != nil || n == 0 {
		return err // in it already
	}
	return t.Exec("UPDATE squads SET version = version + 1 WHERE id = ?", squad)
}
