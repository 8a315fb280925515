package store

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"thole/api/store/accounts"
	"thole/api/store/athletes"
	"thole/api/store/db"
)

// DeleteAthlete removes an athlete with everything that belongs to them alone:
// measures, postures, tests, recordings, consent, the account, links and the
// history. Line-ups and work sheets lose the name; in a seat race, whose result
// others rest on, somebody without a name takes the place. What the athlete did
// to other records stays, without the name. The file is wiped then: an error
// that wraps [ErrTraces] says that the athlete is gone, and that the wiping is to
// be tried again. Somebody without a name who is in a seat race is [ErrInUse].
func (s *Store) DeleteAthlete(ctx context.Context, id int64) error {
	_, err := db.Write(ctx, s.File, func(t *db.Tx) (struct{}, error) { return struct{}{}, eraseAthlete(t, id) })
	if err != nil {
		return err
	}
	return s.Wipe(context.WithoutCancel(ctx))
}

func eraseAthlete(t *db.Tx, id int64) error {
	a, err := athletes.Find(t, id)
	if err != nil {
		return err
	}
	if !a.Anonymous {
		if err := leaveRaces(t, &a); err != nil {
			return err
		}
		if err := unsign(t, &a); err != nil {
			return err
		}
	}
	if err := t.Remove("athletes", id); err != nil {
		return err
	}
	return t.ToWipe()
}

// leaveRaces puts somebody without a name in the athlete's place in every seat
// race.
func leaveRaces(t *db.Tx, a *athletes.Athlete) error {
	type part struct{ race int64 }
	races, err := db.List(t, func(p *part) []db.Column { return []db.Column{{"seat_race_id", &p.race}} }, "seat_race_athletes WHERE athlete_id = ?", a.ID)
	if err != nil || len(races) == 0 {
		return err
	}
	nobody, err := nobody(t)
	if err != nil {
		return err
	}
	for _, r := range races {
		if err := replaceInRace(t, r.race, a.ID, nobody); err != nil {
			return err
		}
	}
	return nil
}

// nobody puts somebody without a name on record and returns the id, by which they
// are called.
func nobody(t *db.Tx) (int64, error) {
	a := athletes.Athlete{Name: "Former athlete", Guest: true, Archived: true, Anonymous: true}
	a.Given, a.Family = "", a.Name
	var last int64
	if err := t.Scan("SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = 'athletes'", nil, &last); err != nil {
		return 0, err
	}
	a.Family = fmt.Sprintf("%s %d", a.Name, last+1)
	return t.Create(a.Record(), db.By{})
}

// replaceInRace writes one athlete for another in a seat race, its terms, its
// history and the results as they were sent in.
func replaceInRace(t *db.Tx, race, old, next int64) error {
	for _, query := range []string{
		"INSERT INTO seat_race_athletes (seat_race_id, athlete_id, side) SELECT seat_race_id, ?2, side FROM seat_race_athletes WHERE seat_race_id = ?3 AND athlete_id = ?1",
		"UPDATE seat_race_seats SET athlete_id = ?2 WHERE seat_race_id = ?3 AND athlete_id = ?1",
		"DELETE FROM seat_race_athletes WHERE seat_race_id = ?3 AND athlete_id = ?1",
		"UPDATE edits SET of_athlete = ?2 WHERE seat_race_id = ?3 AND of_athlete = ?1",
	} {
		if err := t.Exec(query, old, next, race); err != nil {
			return err
		}
	}
	in := func(text string) string { return replaceID(text, old, next) }
	for _, cells := range []struct{ table, key, column, where string }{
		{"seat_races", "id", "terms", "id = ?"},
		{"edits", "id", "from_value", "seat_race_id = ? AND field IN ('terms', 'crew')"},
		{"edits", "id", "to_value", "seat_race_id = ? AND field IN ('terms', 'crew')"},
		{"seat_race_entries", "client_key", "content", "seat_race_id = ?"},
	} {
		if err := rewrite(t, cells.table, cells.key, cells.column, cells.where, race, in); err != nil {
			return err
		}
	}
	return nil
}

// rewrite changes the texts of a column in the rows of a seat race.
func rewrite(t *db.Tx, table, key, text, where string, race int64, change func(string) string) error {
	type cell struct{ key, text *string }
	cells, err := db.List(t, func(c *cell) []db.Column { return []db.Column{{key, &c.key}, {text, &c.text}} }, table+" WHERE "+where, race)
	if err != nil {
		return err
	}
	for _, c := range cells {
		if c.text == nil {
			continue
		}
		changed := change(*c.text)
		if changed == *c.text {
			continue
		}
		if err := t.Exec(fmt.Sprintf("UPDATE %s SET %s = ? WHERE %s AND %s = ?", table, text, where, key), changed, race, *c.key); err != nil {
			return err
		}
	}
	return nil
}

// The members of JSON texts of a seat race in which athletes stand by number: in
// lists, or as the names of members.
var (
	numbersIn = []string{"pairs", "Crew"}
	namedIn   = []string{"prior_means_s", "prior_sds_s"}
)

// replaceID writes one number for another in a text of a seat race: in a crew, such
// as 3 14 15, or in JSON.
func replaceID(text string, old, next int64) string {
	from, to := strconv.FormatInt(old, 10), strconv.FormatInt(next, 10)
	decoder := json.NewDecoder(strings.NewReader(text))
	decoder.UseNumber()
	var value any
	if decoder.Decode(&value) != nil || decoder.More() {
		crew := strings.Fields(text)
		for i := range crew {
			if crew[i] == from {
				crew[i] = to
			}
		}
		return strings.Join(crew, " ")
	}
	switch v := value.(type) {
	case json.Number: // a crew of one
		if v.String() == from {
			return to
		}
		return text
	case map[string]any:
		replaceIn(v, from, to)
	}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	if encoder.Encode(value) != nil {
		return text
	}
	return strings.TrimSuffix(out.String(), "\n")
}

func replaceIn(value any, from, to string) {
	switch v := value.(type) {
	case map[string]any:
		for name, inner := range v {
			if slices.Contains(numbersIn, name) {
				v[name] = replaceNumbers(inner, from, to)
			}
			if byID, ok := inner.(map[string]any); ok && slices.Contains(namedIn, name) {
				if held, there := byID[from]; there {
					delete(byID, from)
					byID[to] = held
				}
			}
			replaceIn(v[name], from, to)
		}
	case []any:
		for _, inner := range v {
			replaceIn(inner, from, to)
		}
	}
}

func replaceNumbers(value any, from, to string) any {
	switch v := value.(type) {
	case json.Number:
		if v.String() == from {
			return json.Number(to)
		}
	case []any:
		for i := range v {
			v[i] = replaceNumbers(v[i], from, to)
		}
	}
	return value
}

// formerSigner stands for who did something and was removed since.
const formerSigner = "former athlete"

// byLink is added to the name of an athlete whose measures come in by a link.
const byLink = ", by link"

// ByLink is who signs what an athlete sends in by a link.
func ByLink(name string) string { return name + byLink }

// unsign takes the athlete's names out of what they did to other records, unless
// somebody else has the name.
func unsign(t *db.Tx, a *athletes.Athlete) error {
	names, err := signatures(t, a)
	if err != nil {
		return err
	}
	type signed struct{ table, name string }
	columns, err := db.List(t, func(c *signed) []db.Column { return []db.Column{{"m.name", &c.table}, {"c.name", &c.name}} },
		"sqlite_schema AS m, pragma_table_info(m.name) AS c WHERE m.type = 'table' AND (c.name = 'by' OR c.name LIKE '%\\_by' ESCAPE '\\')")
	if err != nil {
		return err
	}
	for _, c := range columns {
		for _, name := range names {
			if err := t.Exec(fmt.Sprintf(`UPDATE %q SET %q = ? WHERE %q = ?`, c.table, c.name, c.name), formerSigner, name); err != nil {
				return err
			}
		}
	}
	return nil
}

// signatures are the names that an athlete signs with.
func signatures(t *db.Tx, a *athletes.Athlete) ([]string, error) {
	names := []string{}
	var others int
	if err := t.Scan("SELECT (SELECT count(*) FROM athletes WHERE name = ?1 AND id <> ?2) + (SELECT count(*) FROM accounts WHERE name = ?1 AND athlete_id IS NOT ?2)",
		[]any{a.Name, a.ID}, &others); err != nil {
		return nil, err
	}
	if others == 0 {
		names = append(names, a.Name, ByLink(a.Name))
	}
	account, err := db.One(t, (*accounts.Account).Stored, "accounts WHERE athlete_id = ?", a.ID)
	switch {
	case err == nil && account.Name != a.Name:
		names = append(names, account.Name)
	case err != nil && !errors.Is(err, db.ErrNotFound):
		return nil, err
	}
	return names, nil
}
