package store

import "context"

// Athlete is a person who rows. Two athletes can share a name, whatever its
// case and accents, when their birth dates or years differ; one left out counts
// as one of them.
type Athlete struct {
	ID, Version int64
	Example     bool // see [AsExample]; never written with the record
	// Name is Given, a blank and Family. Where both parts are empty, a name that
	// is written is split by [SplitName].
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

func (a *Athlete) columns() []column {
	return []column{
		{"name", &a.Name}, {"given_name", &a.Given}, {"family_name", &a.Family}, {"sex", &a.Sex}, {"birth_date", &a.BirthDate}, {"birth_year", &a.BirthYear},
		{"port_cost_s", &a.PortCostS}, {"starboard_cost_s", &a.StarboardCostS}, {"sculls", &a.Sculls}, {"coxes", &a.Coxes}, {"guest", &a.Guest}, {"anonymous", &a.Anonymous},
		{"note", &a.Note}, {"archived", &a.Archived},
	}
}

func (a *Athlete) stored() []column {
	return append(a.columns(), column{"id", &a.ID}, column{"version", &a.Version}, column{"example", &a.Example})
}

// record is the row; the name is made one with its parts.
func (a *Athlete) record() record {
	if a.Given == "" && a.Family == "" {
		a.Given, a.Family = SplitName(a.Name)
	}
	a.Name = JoinName(a.Given, a.Family)
	return record{subject: AthleteRecord, id: a.ID, version: a.Version, name: a.Name, columns: a.columns()}
}

// AddAthlete puts an athlete on record and returns the id. A name with the same
// birth date is ErrTaken.
func (s *Store) AddAthlete(ctx context.Context, a Athlete, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) { return t.create(a.record(), by) })
}

// UpdateAthlete writes every field of an athlete read at a.Version and returns
// the new version.
func (s *Store) UpdateAthlete(ctx context.Context, a Athlete, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) { return t.updateAthlete(&a, by) })
}

func (t *tx) updateAthlete(a *Athlete, by By) (int64, error) {
	old, err := t.athlete(a.ID)
	if err != nil {
		return 0, err
	}
	version, err := t.revise(old.record(), a.record(), by)
	if err != nil || version == old.Version {
		return version, err
	}
	return version, t.forgetNames(a.ID)
}

// Athlete returns one athlete.
func (s *Store) Athlete(ctx context.Context, id int64) (Athlete, error) {
	return read(ctx, s, func(t *tx) (Athlete, error) { return t.athlete(id) })
}

func (t *tx) athlete(id int64) (Athlete, error) {
	a, err := one(t, (*Athlete).stored, "athletes WHERE id = ?", id)
	t.shield(&a)
	return a, err
}

// Athletes lists athletes by name, those of a squad where the filter has one.
func (s *Store) Athletes(ctx context.Context, f Filter) ([]Athlete, error) {
	return read(ctx, s, func(t *tx) ([]Athlete, error) {
		found, err := list(t, (*Athlete).stored, "athletes"+ofSquad+filtered[len(" WHERE"):], append([]any{f.Squad, f.Squad}, f.args()...)...)
		for i := range found {
			t.shield(&found[i])
		}
		return found, err
	})
}

// AthletesMark differs wherever anything of an athlete differs: ids are not given
// twice, and every edit counts the version up.
type AthletesMark struct{ Count, Newest, Versions int64 }

// AthletesMark returns the mark of the athletes as they are.
func (s *Store) AthletesMark(ctx context.Context) (AthletesMark, error) {
	return read(ctx, s, func(t *tx) (m AthletesMark, err error) {
		err = t.scan("SELECT count(*), coalesce(max(id), 0), coalesce(sum(version), 0) FROM athletes", nil, &m.Count, &m.Newest, &m.Versions)
		return m, err
	})
}

// ofSquad is the beginning of a condition that keeps the athletes of a squad, or
// all for squad 0.
const ofSquad = " WHERE (? = 0 OR id IN (SELECT athlete_id FROM squad_athletes WHERE squad_id = ?)) AND"
