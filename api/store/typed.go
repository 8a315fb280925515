package store

import (
	"context"
	"strings"
	"thole/api/store/db"
)

// typedColumns are the columns that hold what people wrote in their own words, by table.
var typedColumns = []struct{ table, columns string }{
	{"athletes", "name given_name family_name note"},
	{"boats", "name note"},
	{"oar_sets", "name blade note"},
	{"lineups", "name note"},
	{"seat_races", "name note"},
	{"seat_race_pieces", "note entered_by"},
	{"squads", "name"},
	{"sheets", "note created_by done_by"},
	{"rig_changes", "why by"},
	{"recordings", "note source_file entered_by"},
	{"recording_marks", "note"},
	{"measures", "note measured_by"},
	{"postures", "note"},
	{"erg_tests", "note"},
	{"opinions", "note said_by"},
	{"filmed_readings", "boat note"},
	{"saved_seats", "name note"},
	{"consents", "guardian note"},
	{"accounts", "name"},
	{"tokens", "name"},
	{"links", "name"},
	{"tasks", "what note"},
	{"import_mappings", "name"},
	{"table_mappings", "name"},
}

// rewritable finds texts that a reader's units and words could change: sides, measures,
// decimals and days.
const rewritable = `t <> '' AND (t LIKE '%port%' OR t LIKE '%starboard%' OR t GLOB '*[0-9]*' AND (t GLOB '*[0-9]*[cmk][mg]*' OR t GLOB '*[0-9].[0-9]*'
	OR t GLOB '*[0-9]-[0-9][0-9]-[0-9]*' OR t GLOB '*[0-9] [JFMASOND][aepuco][nbrylgptvc]*'))`

// typedQuery reads the columns, what they held before, and the names of guests on sheets.
var typedQuery = func() string {
	var parts []string
	for _, of := range typedColumns {
		for _, column := range strings.Fields(of.columns) {
			parts = append(parts, "SELECT "+column+" AS t FROM "+of.table)
		}
	}
	for _, value := range []string{"from_value", "to_value"} {
		for _, table := range []string{"edits", "recording_edits"} {
			parts = append(parts, "SELECT "+value+" FROM "+table+" WHERE field IN ('name', 'note', 'blade')")
		}
	}
	parts = append(parts, "SELECT json_extract(value, '$.name') FROM sheets, json_each(sheets.crew) WHERE crew IS NOT NULL")
	return "SELECT DISTINCT t FROM (" + strings.Join(parts, " UNION ALL ") + ") WHERE " + rewritable
}()

// Typed lists names and notes as people wrote them, of those that hold a number or a word
// that pages say in the reader's way.
func (s *Store) Typed(ctx context.Context) ([]string, error) {
	return db.Read(ctx, s.File, func(t *db.Tx) ([]string, error) {
		found, err := t.QueryContext(t.Ctx, typedQuery)
		if err != nil {
			return nil, err
		}
		defer found.Close()
		var list []string
		for found.Next() {
			var text string
			if err := found.Scan(&text); err != nil {
				return nil, err
			}
			list = append(list, text)
		}
		return list, found.Err()
	})
}
