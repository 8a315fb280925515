package athletes

import (
	"context"
	"thole/api/store/db"
)

// Athlete is a person who rows. Two athletes can share a name, whatever its
// case and accents, when their birth dates or years differ; one left out counts
// as one of them.
type Athlete struct {
	ID, Version int64
	Example     bool // see [db.AsExample]; never written with the record
	// Name is Given, a blank and Family. Where both parts are empty, a name that
	// is written is split by [db.SplitName].
	Name, Given, Family string
	Sex                 string  // female, male or empty
	BirthDate           *string // YYYY-MM-DD
	BirthYear           *int64  // where the day is not known, and no date then
	// PortCostS and StarboardCostS are the athlete's own cost of rowing the
	// side in s over 2000 m, 0 for the better one; nil is a side that the
	// athlete cannot row.
	PortCostS, StarboardCostS *float64
	Sculls                    bool
	Coxes                     bool
	Guest                     bool // known from seat races only
	Anonymous                 bool // somebody whose record was removed, in seat races only
	Note                      string
	Archived                  bool
}

func (a *Athlete) columns() []db.Column {
	return []db.Column{
		{"name", &a.Name}, {"given_name", &a.Given}, {"family_name", &a.Family}, {"sex", &a.Sex}, {"birth_date", &a.BirthDate}, {"birth_year", &a.BirthYear},
		{"port_cost_s", &a.PortCostS}, {"starboard_cost_s", &a.StarboardCostS}, {"sculls", &a.Sculls}, {"coxes", &a.Coxes}, {"guest", &a.Guest}, {"anonymous", &a.Anonymous},
		{"note", &a.Note}, {"archived", &a.Archived},
	}
}

func (a *Athlete) Stored() []db.Column {
	return append(a.columns(), db.Column{"id", &a.ID}, db.Column{"version", &a.Version}, db.Column{"example", &a.Example})
}

// Record is the row; the name is made one with its parts.
func (a *Athlete) Record() db.Record {
	if a.Given == "" && a.Family == "" {
		a.Given, a.Family = db.SplitName(a.Name)
	}
	a.Name = db.JoinName(a.Given, a.Family)
	return db.Record{Subject: db.AthleteRecord, ID: a.ID, Version: a.Version, Name: a.Name, Columns: a.columns()}
}

// AddAthlete puts an athlete on record and returns the id. A name with the same
// birth date is ErrTaken.
func (s *Records) AddAthlete(ctx context.Context, a Athlete, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) { return t.Create(a.Record(), by) })
}

// UpdateAthlete writes every field of an athlete read at a.Version and returns
// the new version.
func (s *Records) UpdateAthlete(ctx context.Context, a Athlete, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) { return updateAthlete(t, &a, by) })
}

func updateAthlete(t *db.Tx, a *Athlete, by db.By) (int64, error) {
	old, err := Find(t, a.ID)
	if err != nil {
		return 0, err
	}
	version, err := t.Revise(old.Record(), a.Record(), by)
	if err != nil || version == old.Version {
		return version, err
	}
	return version, forgetNames(t, a.ID)
}

// Athlete returns one athlete.
func (s *Records) Athlete(ctx context.Context, id int64) (Athlete, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Athlete, error) { return Find(t, id) })
}

// Find returns one athlete within a transaction. The error is ErrNotFound.
func Find(t *db.Tx, id int64) (Athlete, error) {
	a, err := db.One(t, (*Athlete).Stored, "athletes WHERE id = ?", id)
	shield(t, &a)
	return a, err
}

// Athletes lists athletes by name, those of a squad where the filter has one.
func (s *Records) Athletes(ctx context.Context, f db.Filter) ([]Athlete, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Athlete, error) {
		found, err := db.Page(t, (*Athlete).Stored, "athletes"+ofSquad+db.Filtered[len(" WHERE"):], append([]any{f.Squad, f.Squad}, f.Args()...)...)
		for i := range found {
			shield(t, &found[i])
		}
		return found, err
	})
}

// AthletesMark differs wherever anything of an athlete differs: ids are not given
// twice, and every edit counts the version up.
type AthletesMark struct{ Count, Newest, Versions int64 }

// AthletesMark returns the mark of the athletes as they are.
func (s *Records) AthletesMark(ctx context.Context) (AthletesMark, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (m AthletesMark, err error) {
		err = t.Scan("SELECT count(*), coalesce(max(id), 0), coalesce(sum(version), 0) FROM athletes", nil, &m.Count, &m.Newest, &m.Versions)
		return m, err
	})
}

// ofSquad is the beginning of a condition that keeps the athletes of a squad, or
// all for squad 0.
const ofSquad = " WHERE (? = 0 OR id IN (SELECT athlete_id FROM squad_athletes WHERE squad_id = ?)) AND"
