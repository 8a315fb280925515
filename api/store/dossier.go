package store

import (
	"context"
	"database/sql"
	"encoding/base64"
	"fmt"
	"thole/api/store/db"
)

// Row is a row of a table by its columns.
type Row = map[string]any

// Dossier is all that is on record about one athlete, by the tables' names. Series
// of samples are base64 of 64-bit little-endian floating-point numbers, pictures
// base64 of the JPEG.
type Dossier map[string][]Row

// partsOf are the tables with rows of an athlete, and how their rows are found. ?1
// stands for the athlete.
var partsOf = []struct{ table, where string }{
	{"athletes", "id = ?1"},
	{"measures", "athlete_id = ?1"},
	{"postures", "athlete_id = ?1"},
	{"erg_tests", "athlete_id = ?1"},
	{"opinions", "athlete_id = ?1"},
	{"recordings", "athlete_id = ?1"},
	{"recording_features", "recording_id IN (SELECT id FROM recordings WHERE athlete_id = ?1)"},
	{"recording_series", "recording_id IN (SELECT id FROM recordings WHERE athlete_id = ?1)"},
	{"recording_edits", "recording_id IN (SELECT id FROM recordings WHERE athlete_id = ?1)"},
	{"recording_marks", "recording_id IN (SELECT id FROM recordings WHERE athlete_id = ?1)"},
	{"filmed_readings", "athlete_id = ?1"},
	{"filmed_stills", "filmed_reading_id IN (SELECT id FROM filmed_readings WHERE athlete_id = ?1)"},
	{"measured_arcs", "athlete_id = ?1"},
	{"saved_seats", "athlete_id = ?1"},
	{"tasks", "saved_seat_id IN (SELECT id FROM saved_seats WHERE athlete_id = ?1)"},
	{"squad_athletes", "athlete_id = ?1"},
	{"boat_crews", "athlete_id = ?1"},
	{"lineup_seats", "athlete_id = ?1"},
	{"sheets", "crew IS NOT NULL AND EXISTS (SELECT 1 FROM json_each(crew) WHERE json_extract(value, '$.athlete_id') = ?1)"},
	{"seat_race_athletes", "athlete_id = ?1"},
	{"seat_race_seats", "athlete_id = ?1"},
	{"consents", "athlete_id = ?1"},
	{"edits", "athlete_id = ?1 OR of_athlete = ?1"},
	{"accounts", "athlete_id = ?1"},
	{"tokens", "account_id IN (SELECT id FROM accounts WHERE athlete_id = ?1)"},
	{"usages", "account_id IN (SELECT id FROM accounts WHERE athlete_id = ?1)"},
	{"links", "athlete_id = ?1 OR account_id IN (SELECT id FROM accounts WHERE athlete_id = ?1)"},
}

// keptBack are columns that say nothing of a person: what makes passwords and
// links secret, keys to search by, and who else sits on a sheet.
var keptBack = map[string]bool{"hash": true, "name_key": true, "crew": true}

// Dossier returns all that is on record about an athlete.
func (s *Store) Dossier(ctx context.Context, athlete int64) (Dossier, error) {
	return db.Read(ctx, s.File, func(t *db.Tx) (Dossier, error) {
		if err := t.Exists("athletes", athlete); err != nil {
			return nil, err
		}
		all := Dossier{}
		for _, part := range partsOf {
			rows, err := rows(t, fmt.Sprintf("SELECT * FROM %s WHERE %s", part.table, part.where), athlete)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", part.table, err)
			}
			if len(rows) > 0 {
				all[part.table] = rows
			}
		}
		return all, nil
	})
}

// rows reads whole rows, without the columns that are kept back.
func rows(t *db.Tx, query string, args ...any) ([]Row, error) {
	found, err := t.QueryContext(t.Ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer found.Close()
	columns, err := found.Columns()
	if err != nil {
		return nil, err
	}
	var all []Row
	for found.Next() {
		row, err := rowOf(found, columns)
		if err != nil {
			return nil, err
		}
		all = append(all, row)
	}
	return all, found.Err()
}

func rowOf(found *sql.Rows, columns []string) (Row, error) {
	values, into := make([]any, len(columns)), make([]any, len(columns))
	for i := range values {
		into[i] = &values[i]
	}
	if err := found.Scan(into...); err != nil {
		return nil, err
	}
	row := Row{}
	for i, name := range columns {
		if keptBack[name] {
			continue
		}
		if bytes, ok := values[i].([]byte); ok {
			values[i] = base64.StdEncoding.EncodeToString(bytes)
		}
		row[name] = values[i]
	}
	return row, nil
}
