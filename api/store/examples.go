package store

import (
	"context"
	"strings"
	"thole/api/store/db"
)

// Counts say how much is on record, archived or not.
type Counts struct {
	Athletes int // guests of seat races not counted
	Boats    int
	Oars     int // sets
	Squads   int
	Sheets   int // of boats of the kind
}

func (n *Counts) fields() []any { return []any{&n.Athletes, &n.Boats, &n.Oars, &n.Squads, &n.Sheets} }

// Examples counts what is an example, and what is the club's own.
func (s *Store) Examples(ctx context.Context) (examples, own Counts, err error) {
	type both struct{ examples, own Counts }
	found, err := db.Read(ctx, s.File, func(t *db.Tx) (b both, err error) {
		for example, into := range map[bool]*Counts{true: &b.examples, false: &b.own} {
			err := t.Scan(`SELECT (SELECT count(*) FROM athletes WHERE example = ?1 AND NOT guest), (SELECT count(*) FROM boats WHERE example = ?1),
				(SELECT count(*) FROM oar_sets WHERE example = ?1), (SELECT count(*) FROM squads WHERE example = ?1),
				(SELECT count(*) FROM sheets JOIN boats ON boats.id = boat_id WHERE example = ?1)`, []any{example}, into.fields()...)
			if err != nil {
				return b, err
			}
		}
		return b, nil
	})
	return found.examples, found.own, err
}

// ErrMixed says that examples cannot go because seat races have both examples and
// others in them. It is an [ErrInUse].
type ErrMixed struct{ Races []string }

// Error names the seat races.
func (e *ErrMixed) Error() string { return "examples race in " + strings.Join(e.Races, ", ") }

// Unwrap tells the kind.
func (e *ErrMixed) Unwrap() error { return db.ErrInUse }

// RemoveExamples removes every example with all that is about it, at once, and
// what is about examples alone: line-ups and seat races. Seats that examples have
// in other line-ups fall empty; a seat race in which examples met others keeps
// everything and is [ErrMixed].
func (s *Store) RemoveExamples(ctx context.Context) error {
	_, err := db.Write(ctx, s.File, func(t *db.Tx) (struct{}, error) {
		for _, query := range []string{
			"DELETE FROM seat_races WHERE id IN (SELECT seat_race_id FROM seat_race_athletes JOIN athletes ON athletes.id = athlete_id GROUP BY seat_race_id HAVING min(example) = 1)",
			"DELETE FROM lineups WHERE id IN (SELECT lineup_id FROM lineup_seats JOIN athletes ON athletes.id = athlete_id GROUP BY lineup_id HAVING min(example) = 1)",
		} {
			if err := t.Exec(query); err != nil {
				return struct{}{}, err
			}
		}
		mixed, err := db.List(t, func(name *string) []db.Column { return []db.Column{{"name", name}} },
			"seat_races WHERE id IN (SELECT seat_race_id FROM seat_race_athletes JOIN athletes ON athletes.id = athlete_id WHERE example) ORDER BY name_key")
		switch {
		case err != nil:
			return struct{}{}, err
		case len(mixed) > 0:
			return struct{}{}, &ErrMixed{mixed}
		}
		for _, table := range []string{"boats", "athletes", "oar_sets", "squads"} {
			if err := t.Exec("DELETE FROM " + table + " WHERE example"); err != nil {
				return struct{}{}, err
			}
		}
		return struct{}{}, nil
	})
	return err
}
