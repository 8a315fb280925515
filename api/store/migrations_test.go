package store_test

import (
	"cmp"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/storetest"
)

// rowsAddedAt fills the tables that a step of the database brought, as the
// program of that time wrote them.
var rowsAddedAt = map[int]string{
	1: `INSERT INTO athletes (id, version, name, name_key, sex, birth_date, port_cost_s, starboard_cost_s, sculls, note, archived) VALUES
			(1, 3, 'Edda', 'edda', 'female', '1999-04-30', 0, 1.5, 1, 'left hand', 0),
			(2, 1, 'Frieda', 'frieda', '', NULL, NULL, 0, 0, 'Guest: known from seat races only.', 1),
			(3, 1, 'Gerda', 'gerda', '', NULL, NULL, NULL, 0, 'Guest: known from seat races only.', 0),
			(4, 2, 'Hanna', 'hanna', 'female', NULL, 0, NULL, 0, 'retired', 1);
		INSERT INTO measures (id, athlete_id, measured_on, stature_cm, mass_kg, measured_by, note, entered_at) VALUES (1, 1, '2026-01-05', 178.5, 71, 'Anna', 'barefoot', '2026-01-05T17:00:00.000Z');
		INSERT INTO postures (id, athlete_id, calibrated_on, kind, shin_deg, note, entered_at) VALUES (1, 1, '2026-01-06', 'sweep', 91, 'video', '2026-01-06T17:00:00.000Z');
		INSERT INTO erg_tests (id, athlete_id, tested_on, fixed, distance_m, time_s, mass_kg, note, entered_at) VALUES (1, 1, '2026-01-07', 'distance', 2000, 431.2, 70.5, 'calm', '2026-01-07T17:00:00.000Z');`,
	2: `INSERT INTO boats (id, version, name, name_key, class_code, hull_mass_kg, note, archived) VALUES (1, 2, 'Kingfisher', 'kingfisher', '2-', 27, 'new', 0);
		INSERT INTO seats (boat_id, number, side, can_change_sides) VALUES (1, 1, 'starboard', 0), (1, 2, 'port', 1);
		INSERT INTO adjustments (boat_id, seat, setting, min, max, step, cost) VALUES (1, 1, 'spread_cm', 83, 88, .5, 6);
		INSERT INTO oar_sets (id, version, name, name_key, kind, count, blade, length_cm, note, archived) VALUES (1, 1, 'Old', 'old', 'sweep', 2, 'big', 376, '', 0);`,
	3: `INSERT INTO lineups (id, version, name, name_key, class_code, boat_id, cox_mass_kg, rows_on, source, note, archived) VALUES (1, 1, 'Spring', 'spring', '2-', 1, NULL, '2026-02-01', 'by hand', '', 0);
		INSERT INTO lineup_seats (lineup_id, number, athlete_id, side) VALUES (1, 1, 1, 'starboard'), (1, 2, NULL, 'port');
		INSERT INTO sheets (id, boat_id, boat_version, lineup_id, guests, target_catch_deg, target_lever_ratio, note, created_by, created_at, done_by, done_at) VALUES
			(1, 1, 2, 1, '{"crew":[{"seat":1,"athlete_id":1},{"seat":2,"name":"Guest"}],"cox_mass_kg":55.5,"chosen":["catch_deg","finish_deg"]}', -55, 2.2, 'wind', 'Anna', '2026-02-02T10:00:00.000Z', 'Bert', '2026-02-02T11:00:00.000Z'),
			(2, 1, 2, NULL, '{"crew":[]}', NULL, NULL, '', 'Anna', '2026-02-03T10:00:00.000Z', '', NULL),
			(3, 1, 2, NULL, '[{"seat":1,"name":"Guest"}]', NULL, NULL, '', 'Anna', '2026-02-04T10:00:00.000Z', '', NULL),
			(4, 1, 2, NULL, NULL, NULL, NULL, '', 'Anna', '2026-02-05T10:00:00.000Z', '', NULL);
		INSERT INTO rig_changes (id, boat_id, version, seat, setting, to_value, at, by, why, sheet_id) VALUES (1, 1, 2, 1, 'spread_cm', 84.5, '2026-02-02T11:00:00.000Z', 'Bert', '', 1);
		INSERT INTO rig (boat_id, seat, setting, value, change_id) VALUES (1, 1, 'spread_cm', 84.5, 1);
		INSERT INTO sheet_lines (id, sheet_id, position, seat, setting, target, tolerance, measured, measured_at, measured_by) VALUES (1, 1, 0, 1, 'spread_cm', 84.5, .2, 84.5, '2026-02-02T10:30:00.000Z', 'Bert');
		INSERT INTO sheet_readings (sheet_id, client_key, line_id, value, at, by) VALUES (1, 'k', 1, 84.5, '2026-02-02T10:30:00.000Z', 'Bert');`,
	4: `INSERT INTO import_mappings (name, mapping, saved_at) VALUES ('gate', '{"rate":50}', '2026-02-06T10:00:00.000Z');
		INSERT INTO recordings (id, athlete_id, boat_id, seat, side, recorded_on, source_file, mapping_name, thresholds, note, entered_at) VALUES (1, 1, 1, '2', 'port', '2026-02-06', 'a.csv', 'gate', '{}', 'flat', '2026-02-06T10:00:00.000Z');
		INSERT INTO recording_features (recording_id, stroke, feature, value, sd) VALUES (1, 0, 'catch_deg', -54.5, .6);
		INSERT INTO recording_series (recording_id, name, samples) VALUES (1, 'time_s', x'000000000000F03F');`,
	5: `INSERT INTO trials (id, version, name, name_key, held_on, distance_m, class_code, prior, note, archived) VALUES
			(1, 4, 'Spring', 'spring', '2026-03-01', 1000, '1x', '{"boats":2,"expected_time_s":200}', 'calm', 0),
			(2, 1, 'Odd', 'odd', '2026-03-02', 500, '1x', '{"boats":"two"}', '', 0),
			(3, 1, 'Bare', 'bare', '2026-03-03', 500, '1x', NULL, '', 1);
		INSERT INTO trial_athletes (trial_id, athlete_id, side) VALUES (1, 1, 'port'), (1, 2, ''), (2, 1, '');
		INSERT INTO trial_pieces (trial_id, number, state, rerun_of, note, entered_by, entered_at) VALUES
			(1, 1, 'raced', NULL, 'Margins only.', 'Anna', '2026-03-01T10:00:00.000Z'),
			(1, 2, 'raced', 1, 'Margins only. Wash at 300 m', 'Anna', '2026-03-01T10:10:00.000Z'),
			(1, 3, 'raced', NULL, 'Clocked. Margins only. no', 'Anna', '2026-03-01T10:20:00.000Z'),
			(1, 4, 'planned', NULL, 'Margins only. if windy', '', NULL),
			(1, 5, 'abandoned', NULL, 'crab', 'Anna', '2026-03-01T10:30:00.000Z');
		INSERT INTO trial_boats (trial_id, piece, boat, time_s) VALUES (1, 1, 1, 200), (1, 1, 2, 201.5), (1, 2, 1, 200);
		INSERT INTO trial_seats (trial_id, piece, boat, seat, athlete_id) VALUES (1, 1, 1, 1, 1), (1, 1, 2, 1, 2), (1, 2, 1, 1, 2);
		INSERT INTO trial_entries (trial_id, client_key, content) VALUES
			(1, 'k2', '{"Number":2,"State":"raced","RerunOf":1,"Note":"Margins only. Wash at 300 m","EnteredBy":"","EnteredAt":"0001-01-01T00:00:00Z","Boats":[{"Crew":[2],"TimeS":200}],"Key":"k2","Version":0}'),
			(1, 'k3', '{"Number":3,"State":"raced","RerunOf":null,"Note":"Clocked. Margins only. no","EnteredBy":"","EnteredAt":"0001-01-01T00:00:00Z","Boats":null,"Key":"k3","Version":0}');`,
	6: `INSERT INTO edits (id, athlete_id, version, what, to_value, at, by) VALUES (1, 1, 1, 'name', 'Edda', '2026-01-01T10:00:00.000Z', 'Anna');
		INSERT INTO edits (id, trial_id, version, what, from_value, to_value, at, by) VALUES
			(2, 1, 1, 'name', NULL, 'Spring', '2026-03-01T09:00:00.000Z', 'Anna'), (3, 1, 2, 'prior', '{}', '{"boats":2}', '2026-03-01T09:30:00.000Z', 'Anna'),
			(4, 1, 3, 'piece 2 note', '', 'Margins only. Wash at 300 m', '2026-03-01T10:10:00.000Z', 'Anna');`,
	7: `INSERT INTO accounts (id, name, name_key, hash, created_at) VALUES (1, 'Anna', 'anna', 'h', '2026-03-05T10:00:00.000Z');
		INSERT INTO sessions (token, data, expiry) VALUES ('t', x'01', 2461100.5);`,
	8: `INSERT INTO edits (id, seat_race_id, version, what, from_value, to_value, at, by) VALUES
			(5, 1, 4, 'piece 12 boat 2 time_s', NULL, '201.5', '2026-03-06T10:00:00.000Z', 'Anna'), (6, 1, 4, 'side of athlete 2', '', 'port', '2026-03-06T10:00:00.000Z', 'Anna');`,
	9: `INSERT INTO edits (id, boat_id, version, what, from_value, to_value, at, by) VALUES
			(7, 1, 2, 'seat 2 can_change_sides', 'false', 'true', '2026-03-07T10:00:00.000Z', 'Anna'),
			(8, 1, 2, 'seat 1 range of spread_cm', NULL, '83 to 88 step 0.5 cost 6', '2026-03-07T10:00:00.000Z', 'Anna'),
			(9, 1, 2, 'seat 1 range of inboard_cm', '-1.5 to 1e+06 step 0 cost 1', NULL, '2026-03-07T10:00:00.000Z', 'Anna');
		INSERT INTO edits (id, lineup_id, version, what, from_value, to_value, at, by) VALUES (10, 1, 1, 'seat 12 athlete_id', NULL, '1', '2026-03-07T10:00:00.000Z', 'Anna');
		INSERT INTO edits (id, athlete_id, version, what, from_value, to_value, at, by) VALUES
			(11, 1, 3, 'ergometer test 2026-01-07', NULL, '2000 m in 7:11.2', '2026-03-07T10:00:00.000Z', 'Anna'), (12, 1, 3, 'note', 'seat 3 side', 'piece 1 boat 2', '2026-03-07T10:00:00.000Z', 'Anna');
		INSERT INTO measured_arcs (id, athlete_id, sheet_id, seat, client_key, class_code, finish_cm, blade, side, at, by) VALUES (1, 1, 1, 1, 'a', '2-', 40, '', 'port', '2026-03-07T10:00:00.000Z', 'Anna');`,
	10: `INSERT INTO recording_edits (id, recording_id, version, what, from_value, to_value, at, by) VALUES (1, 1, 2, 'note', 'flat', 'wind', '2026-03-08T10:00:00.000Z', 'Anna');`,
	11: `INSERT INTO athletes (id, version, name, name_key, sex, sculls, guest, note, archived) VALUES
			(11, 1, 'Ek, Mia', 'ek, mia', 'female', 1, 0, '', 0), (12, 1, 'Nils von Holt', 'nils von holt', '', 0, 0, '', 0);`,
	12: `INSERT INTO athletes (id, version, name, given_name, family_name, name_key, sex, birth_date, sculls, guest, note, archived) VALUES
			(21, 1, 'Ola Ny', 'Ola', 'Ny', 'ola ny', 'male', '2001-02-03', 1, 0, '', 0), (22, 1, 'Ola Ny', 'Ola', 'Ny', 'ola ny', '', NULL, 0, 0, '', 0);`,
	13: `INSERT INTO squads (id, version, name, name_key) VALUES (1, 1, 'Men', 'men');
		INSERT INTO squad_athletes (squad_id, athlete_id) VALUES (1, 1);`,
	14: `INSERT INTO recording_marks (recording_id, start_s, left_out, note, by, at) VALUES (1, 12.34, 1, 'crab', 'Anna', '2026-03-09T10:00:00.000Z');`,
	15: `INSERT INTO accounts (id, name, name_key, hash, created_at, role, athlete_id) VALUES (2, 'edda', 'edda', 'h', '2026-03-10T10:00:00.000Z', 'athlete', 1);
		INSERT INTO links (id, kind, hash, name, athlete_id, boat_id, seat, created_by, created_at, expires_at) VALUES (1, 'measuring', 'l', 'Edda', 1, 1, 2, 'Anna', '2026-03-10T10:00:00.000Z', '2026-03-24T10:00:00.000Z');
		INSERT INTO tokens (id, account_id, name, hash, scopes, created_at, expires_at) VALUES (1, 1, 'logger', 't', 'read', '2026-03-10T10:00:00.000Z', '2027-03-10T10:00:00.000Z');
		INSERT INTO tasks (id, what, address, note, sent_by, sent_at) VALUES (1, 'Seat 2', '/boats/1', 'soon', 'Anna', '2026-03-10T10:00:00.000Z');
		INSERT INTO secrets (name, value) VALUES ('browsers', x'0102');`,
	16: `INSERT INTO table_mappings (kind, name, mapping, saved_at) VALUES ('squad', 'ours', '{"Nachname":"family_name"}', '2026-03-11T10:00:00.000Z');`,
	17: `INSERT INTO filmed_readings (id, athlete_id, boat_id, boat, class_code, seat, filmed_on, end, angle_deg, angle_sd_deg, tells, strokes, marks, blade, side, spread_cm, note, at, by) VALUES
			(1, 1, 1, 'Kingfisher', '2-', 1, '2026-03-12', 'catch', -54.5, 1.2, 1, 0, '{}', '', 'port', 84.5, 'calm', '2026-03-12T10:00:00.000Z', 'Anna');`,
	18: `INSERT INTO saved_seats (id, athlete_id, boat_id, seat, name, address, note, saved_by, saved_at) VALUES (1, 1, 1, 2, 'Kingfisher, stroke', '/seat?class=2-', 'soon', 'edda', '2026-03-12T10:00:00.000Z');
		INSERT INTO tasks (id, what, address, note, sent_by, sent_at, saved_seat_id) VALUES (2, 'Edda: Kingfisher, stroke', '/athletes/1/seats/1', 'soon', 'edda', '2026-03-12T10:00:00.000Z', 1);`,
	19: `INSERT INTO opinions (id, athlete_id, said_on, power_w, sd_w, note, said_by, entered_at) VALUES (1, 1, '2026-03-12', 260, 12.5, 'calm', 'Anna', '2026-03-12T10:00:00.000Z');
		INSERT INTO edits (id, athlete_id, version, field, to_value, at, by) VALUES (13, 21, 1, 'name', 'Ola Nyman', '2026-03-12T10:00:00.000Z', 'Anna');
		INSERT INTO edits (id, athlete_id, version, field, from_value, to_value, at, by) VALUES (14, 21, 2, 'name', 'Ola Nyman', 'Ola Ny', '2026-03-12T10:00:00.000Z', 'Anna');
		INSERT INTO edits (id, athlete_id, version, field, tested_on, to_value, at, by) VALUES (15, 21, 2, 'ergometer_test', '2026-03-01', '2000 m in 6:40', '2026-03-12T10:00:00.000Z', 'Anna');
		INSERT INTO edits (id, athlete_id, version, field, tested_on, from_value, at, by) VALUES (16, 21, 2, 'ergometer_test', '2026-03-01', '2000 m in 6:40', '2026-03-12T10:00:00.000Z', 'Anna');`,
	20: `INSERT INTO seat_starts (boat_id, seat, setting, value) VALUES (1, 2, 'spread_cm', 85);
		INSERT INTO sheet_lines (id, sheet_id, position, seat, setting, target, tolerance, measured_by, stands_on) VALUES (2, 1, 1, 2, 'spread_cm', 85, .2, '', 85);`,
	21: `INSERT INTO athletes (id, version, name, given_name, family_name, name_key, sex, sculls, guest, note, archived, example) VALUES (31, 1, 'Ex Ample', 'Ex', 'Ample', 'ex ample', '', 0, 0, '', 0, 1);
		INSERT INTO squads (id, version, name, name_key, example) VALUES (2, 1, 'Example', 'example', 1);`,
	22: `INSERT INTO boat_crews (boat_id, seat, athlete_id) VALUES (1, 1, 1), (1, 2, 4);`,
	23: `INSERT INTO oar_sets (id, version, name, name_key, kind, count, blade, note, archived, blade_kind) VALUES (2, 1, 'New', 'new', 'sweep', 2, 'big', '', 0, 'large');
		INSERT INTO boats (id, version, name, name_key, class_code, note, archived, oar_set_id, washer_mm, clam_mm, insert_deg) VALUES (2, 1, 'Wren', 'wren', '2-', '', 0, 2, 4, 10, 1);`,
	24: `INSERT INTO consents (id, athlete_id, given, said_on, guardian, note, entered_by, entered_at) VALUES (1, 1, 1, '2026-03-13', '', 'said so', 'Anna', '2026-03-13T10:00:00.000Z');
		INSERT INTO wipes (id, since) SELECT 1, '2026-03-13T10:00:00.000Z' WHERE NOT EXISTS (SELECT 1 FROM wipes);
		INSERT INTO seat_races (id, version, name, name_key, held_on, distance_m, class_code, terms, note, archived) VALUES
			(24, 1, 'Fours', 'fours', '2026-03-13', 1000, '4-', '{"boats":2,"tell_w":12.5,"hulls":true}', '', 0), (25, 1, 'Pairs', 'pairs', '2026-03-13', 1000, '2-', '{"boats":2}', '', 0);`,
	25: `INSERT INTO sent_keys (account, key, request, sent_at, status, location) VALUES (1, zeroblob(32), zeroblob(32), '2026-03-14T10:00:00.000Z', 201, '/api/v1/athletes/1');`,
	26: `INSERT INTO filmed_stills (filmed_reading_id, picture, width_px, height_px, at, by) VALUES (1, x'FFD8', 4, 3, '2026-03-13T10:00:00.000Z', 'Anna');`,
	27: `INSERT INTO tasks (id, what, address, note, sent_by, sent_at, done_by, done_at) VALUES
			(3, 'Seat 3', '/boats/1?seat=3', '', 'Anna', '2026-03-15T10:00:00.000Z', 'Bert', '2026-03-15T12:00:00.000Z'),
			(4, 'Seat 4', '/boats/1?seat=4', '', 'Anna', '2026-03-15T10:00:00.000Z', 'Bert', '2026-03-15T11:00:00.000Z');`,
	28: `INSERT INTO clock (id, latest) SELECT 1, '2026-03-13T10:00:00.000Z' WHERE NOT EXISTS (SELECT 1 FROM clock);
		INSERT INTO recordings (id, athlete_id, seat, side, recorded_on, source_file, mapping_name, thresholds, note, entered_at) VALUES
			(2, 1, '1', '', '2026-03-14', 'b.csv', '', '{}', '', '2026-03-14T10:00:00.000Z'), (3, 4, '2', '', '2026-03-14', 'b.csv', '', '{}', '', '2026-03-14T10:01:30.000Z'),
			(4, 1, '1', 'port', '2026-03-15', 'b.csv', '', '{}', '', '2026-03-15T10:00:00.000Z'), (5, 1, '1', 'starboard', '2026-03-15', 'b.csv', '', '{}', '', '2026-03-15T10:00:00.000Z');`,
	29: `INSERT INTO recordings (id, athlete_id, seat, side, recorded_on, source_file, mapping_name, thresholds, note, entered_at, entered_by, kept_with) VALUES
			(6, 1, '1', '', '2026-03-16', 'c.csv', '', '{}', '', '2026-03-16T10:00:00.000Z', 'Anna', 6);`,
	30: `INSERT INTO accounts (id, name, name_key, hash, created_at, role) VALUES (3, 'Bert', 'bert', 'h', '2026-03-15T10:00:00.000Z', 'boatman');
		INSERT INTO usages (id, account_id, body_lengths, rig_lengths, masses, sides, days, decimals) VALUES
			(1, 1, 'ft_in', 'in_fractions', 'lb', 'stroke_bow', 'mdy', 'comma'), (2, NULL, 'cm', 'mm', 'kg', 'port_starboard', 'ymd', 'point');`,
}

// movedCells are the values that a step moved elsewhere or wrote in another
// way, by "table key column" with the old names; the tests of the steps look at
// what became of them.
var movedCells = map[string]bool{
	"athletes 11 name": true, "clock 1 latest": true, "seat_races 24 terms": true, "athletes 11 name_key": true,
	"athletes 2 note": true, "sheets 1 guests": true, "sheets 2 guests": true, "trial_pieces 1 1 note": true, "trial_pieces 1 2 note": true,
	"trial_entries 1 k2 content": true, "edits 3 what": true,
	"edits 4 what": true, "edits 5 what": true, "edits 6 what": true, "edits 7 what": true, "edits 8 what": true, "edits 8 to_value": true,
	"edits 13 to_value": true, "edits 14 from_value": true, "edits 15 to_value": true, "edits 16 from_value": true, "edits 9 what": true, "edits 9 from_value": true, "edits 10 what": true, "edits 11 what": true,
}

// renamed gives today's names of tables and columns.
var renamedTables = map[string]string{
	"trials": "seat_races", "trial_athletes": "seat_race_athletes", "trial_pieces": "seat_race_pieces", "trial_boats": "seat_race_boats",
	"trial_seats": "seat_race_seats", "trial_entries": "seat_race_entries",
}
var renamedColumns = map[string]string{"trial_id": "seat_race_id", "trials.prior": "terms", "sheets.guests": "crew", "edits.what": "field", "recording_edits.what": "field"}

// fileOf makes a file as the program left it whose newest step is given, with
// rows in every table.
func fileOf(t *testing.T, step int) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), fmt.Sprintf("step%d.db", step))
	storetest.Check(t, os.WriteFile(path, filesMade.of(t, step), 0o600))
	return path
}

// stages are files by their newest step, each made once.
type stages struct {
	mu   sync.Mutex
	made map[int][]byte
}

var filesMade = stages{made: map[int][]byte{}}

func (s *stages) of(t *testing.T, step int) []byte {
	t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	first := step
	for ; first > lastOfOldNames && s.made[first] == nil; first-- {
	}
	path := filepath.Join(t.TempDir(), "stage.db")
	for i := first; i <= step; i++ {
		if s.made[i] != nil {
			storetest.Check(t, os.WriteFile(path, s.made[i], 0o600))
			continue
		}
		storetest.UpTo(t, path, int64(i))
		addRows(t, path, i)
		s.made[i] = storetest.Must(os.ReadFile(path))
	}
	return s.made[step]
}

// lastOfOldNames is the step after which tables and columns have other names
// than the rows of the steps up to it.
const lastOfOldNames = 7

// addRows adds the rows of a step, with those of all before it to the first file
// that takes rows.
func addRows(t *testing.T, path string, step int) {
	t.Helper()
	db := storetest.Raw(t, path)
	defer db.Close()
	first := step
	if step <= lastOfOldNames {
		first = 1
	}
	for i := first; i <= step; i++ {
		_, err := db.Exec(rowsAddedAt[i])
		storetest.Check(t, err)
	}
}

// table is the rows of a table by the values of their key.
type table map[string]map[string]any

// tables reads every table of the program but the one that counts the steps.
func tables(t *testing.T, path string) map[string]table {
	t.Helper()
	db := storetest.Raw(t, path)
	defer db.Close()
	all := map[string]table{}
	for _, name := range texts(t, db, "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'goose_%'") {
		keys := texts(t, db, "SELECT name FROM pragma_table_info(?) WHERE pk > 0 ORDER BY pk", name)
		all[name] = rowsByKey(t, db, name, keys)
	}
	return all
}

func texts(t *testing.T, db *sql.DB, query string, args ...any) (list []string) {
	t.Helper()
	rows, err := db.Query(query, args...)
	storetest.Check(t, err)
	defer rows.Close()
	for rows.Next() {
		var text string
		storetest.Check(t, rows.Scan(&text))
		list = append(list, text)
	}
	storetest.Check(t, rows.Err())
	return list
}

func rowsByKey(t *testing.T, db *sql.DB, name string, keys []string) table {
	t.Helper()
	rows, err := db.Query("SELECT * FROM " + name)
	storetest.Check(t, err)
	defer rows.Close()
	columns := storetest.Must(rows.Columns())
	all := table{}
	for rows.Next() {
		values, row := make([]any, len(columns)), map[string]any{}
		into := make([]any, len(columns))
		for i := range values {
			into[i] = &values[i]
		}
		storetest.Check(t, rows.Scan(into...))
		for i, c := range columns {
			row[c] = values[i]
		}
		var key []string
		for _, k := range keys {
			key = append(key, fmt.Sprint(row[k]))
		}
		all[strings.Join(key, " ")] = row
	}
	storetest.Check(t, rows.Err())
	return all
}

// today gives a table's or a column's present name.
func today(names map[string]string, name string) string {
	if now, ok := names[name]; ok {
		return now
	}
	return name
}

// TestAFileOfEveryVersionKeepsAllItHolds opens a file of every earlier version and
// looks for each of its values; that the references still lead somewhere; and that
// the tables are those of a new file.
func TestAFileOfEveryVersionKeepsAllItHolds(t *testing.T) {
	fresh := storetest.New(t)
	whole := schema(t, fresh)
	for step := 1; step <= len(rowsAddedAt); step++ {
		t.Run(fmt.Sprint("step ", step), func(t *testing.T) {
			t.Parallel()
			path := fileOf(t, step)
			before := tables(t, path)
			s := storetest.At(t, path)
			storetest.Check(t, store.Sound(storetest.Ctx, path))
			storetest.WantEqual(t, schema(t, s), whole)
			storetest.Check(t, s.Close())
			wantKept(t, step, before, tables(t, path))
		})
	}
}

func schema(t *testing.T, s *store.Store) []string {
	t.Helper()
	return texts(t, storetest.Writer(s), "SELECT type || ' ' || name || ' ' || ifnull(sql, '') FROM sqlite_schema ORDER BY 1")
}

// wantKept looks for every value of a file in what it became.
func wantKept(t *testing.T, step int, before, after map[string]table) {
	t.Helper()
	cells := 0
	for name, rows := range before {
		if len(rows) == 0 && !(step == 2 && strings.HasPrefix(name, "rig")) { // refer to sheets, which step 3 brings
			t.Errorf("the file has nothing in %s", name)
		}
		now := after[today(renamedTables, name)]
		if len(now) != len(rows) {
			t.Errorf("%d rows of %s became %d", len(rows), name, len(now))
		}
		for key, row := range rows {
			for column, want := range row {
				got, there := now[key][today(renamedColumns, today(renamedColumns, name+"."+column))]
				if !there {
					got, there = now[key][today(renamedColumns, column)]
				}
				if cells++; !there || fmt.Sprint(got) != fmt.Sprint(want) && !movedCells[name+" "+key+" "+column] {
					t.Errorf("%s %s %s was %v, is %v", name, key, column, want, got)
				}
			}
		}
	}
	t.Logf("%d values", cells)
}

// TestChangesOfOldFilesHaveColumns holds that what was told in a text is reported in
// columns, and reads as it did.
func TestChangesOfOldFilesHaveColumns(t *testing.T) {
	s := storetest.At(t, fileOf(t, 10))
	var got []string
	for _, r := range []struct {
		subject store.Subject
		id      int64
	}{{store.AthleteRecord, 1}, {store.BoatRecord, 1}, {store.LineupRecord, 1}, {store.SeatRaceRecord, 1}} {
		for _, c := range storetest.Must(s.Changes(storetest.Ctx, r.subject, r.id, 0)) {
			got = append(got, fmt.Sprintf("%v: %s", c.Part, c.What()))
			if c.Ranged {
				from, to := c.Ranges()
				storetest.WantEqual(t, []bool{from == nil, to == nil}, []bool{c.From == nil, c.To == nil})
				storetest.WantEqual(t, map[string]store.Adjustment{
					"spread_cm": {Setting: "spread_cm", Min: 83, Max: 88, Step: 0.5, Cost: 6}, "inboard_cm": {Setting: "inboard_cm", Min: -1.5, Max: 1e6, Step: 0, Cost: 1},
				}[c.Field], *cmp.Or(from, to))
			}
		}
	}
	slices.Sort(got)
	storetest.WantEqual(t, got, []string{
		"{athlete_id 12 false 0 0 0 }: seat 12 athlete_id",
		"{can_change_sides 2 false 0 0 0 }: seat 2 can_change_sides",
		"{ergometer_test 0 false 0 0 0 2026-01-07}: ergometer test 2026-01-07",
		"{inboard_cm 1 true 0 0 0 }: seat 1 range of inboard_cm",
		"{name 0 false 0 0 0 }: name",
		"{name 0 false 0 0 0 }: name",
		"{note 0 false 0 0 0 }: note",
		"{note 0 false 2 0 0 }: piece 2 note",
		"{side 0 false 0 0 2 }: side of athlete 2",
		"{spread_cm 1 false 0 0 0 }: seat 1 spread_cm",
		"{spread_cm 1 true 0 0 0 }: seat 1 range of spread_cm",
		"{terms 0 false 0 0 0 }: terms",
		"{time_s 0 false 12 2 0 }: piece 12 boat 2 time_s",
	})
}

func TestGuestsOfOldFilesAreMarked(t *testing.T) {
	s := storetest.At(t, fileOf(t, 7))
	var got []string
	for _, a := range storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Archived: true})) {
		got = append(got, fmt.Sprint(a.Name, " ", a.Guest, " ", a.Note))
	}
	storetest.WantEqual(t, got, []string{"Edda false left hand", "Frieda true ", "Gerda false Guest: known from seat races only.", "Hanna false retired"})
}

func TestNamesOfOldFilesHaveParts(t *testing.T) {
	s := storetest.At(t, fileOf(t, 11))
	for id, want := range map[int64][]string{1: {"Edda", "Edda", ""}, 11: {"Mia Ek", "Mia", "Ek"}, 12: {"Nils von Holt", "Nils", "von Holt"}} {
		a := storetest.Must(s.Athlete(storetest.Ctx, id))
		storetest.WantEqual(t, []string{a.Name, a.Given, a.Family}, want)
	}
	storetest.WantEqual(t, len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Name: "mia ek"}))), 1)
}

func TestCrewsOfOldSheetsHaveColumns(t *testing.T) {
	s := storetest.At(t, fileOf(t, 3))
	h := storetest.Must(s.Sheet(storetest.Ctx, 1))
	storetest.WantEqual(t, h.Crew, storetest.Ptr(`[{"seat":1,"athlete_id":1},{"seat":2,"name":"Guest"}]`))
	storetest.WantEqual(t, h.CoxMassKg, storetest.Ptr(55.5))
	storetest.WantEqual(t, h.ChosenTargets, storetest.Ptr(`["catch_deg","finish_deg"]`))
	h = storetest.Must(s.Sheet(storetest.Ctx, 2))
	storetest.WantEqual(t, []any{h.Crew, h.CoxMassKg, h.ChosenTargets}, []any{storetest.Ptr("[]"), (*float64)(nil), (*string)(nil)})
	h = storetest.Must(s.Sheet(storetest.Ctx, 3))
	storetest.WantEqual(t, h.Crew, storetest.Ptr(`[{"seat":1,"name":"Guest"}]`))
	storetest.WantEqual(t, storetest.Must(s.Sheet(storetest.Ctx, 4)).Crew, (*string)(nil))
}

func TestPiecesOfOldFilesSayWhetherAClockWasRead(t *testing.T) {
	s := storetest.At(t, fileOf(t, 7))
	r := storetest.Must(s.SeatRace(storetest.Ctx, 1))
	var got []string
	for _, p := range r.Pieces {
		got = append(got, fmt.Sprint(p.Number, " ", p.MarginsOnly, " ", p.Note))
	}
	storetest.WantEqual(t, got, []string{"1 true ", "2 true Wash at 300 m", "3 false Clocked. Margins only. no", "4 false Margins only. if windy", "5 false crab"})
	storetest.WantEqual(t, r.Terms, storetest.Ptr(`{"boats":2,"expected_time_s":200}`))
	storetest.WantEqual(t, storetest.Must(s.SeatRace(storetest.Ctx, 2)).Terms, storetest.Ptr(`{"boats":"two"}`))
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.SeatRaceRecord, 1, 1)))[0], `terms {} {"boats":2} Anna`)
	_, err := storetest.Writer(s).Exec("UPDATE edits SET at = ''")
	storetest.WantError(t, db.Explain(err), store.ErrInvalid)
}

// TestRecordingsOfOldFilesKnowWhatTheyCameWith: what came on one day from files of one
// name counts as kept at once.
func TestRecordingsOfOldFilesKnowWhatTheyCameWith(t *testing.T) {
	s := storetest.At(t, fileOf(t, 28))
	for id, want := range map[int64]struct {
		with   int64
		others bool
	}{1: {1, false}, 2: {2, true}, 3: {2, true}, 4: {4, false}, 5: {4, false}} {
		storetest.WantEqual(t, storetest.Must(s.RecordingRow(storetest.Ctx, id)).KeptWith, want.with)
		storetest.WantEqual(t, storetest.Must(s.HoldsOthers(storetest.Ctx, id)), want.others)
	}
}

// A phone can send a result again after the program was renewed.
func TestAResultSentToTheOldProgramCountsOnce(t *testing.T) {
	s := storetest.At(t, fileOf(t, 7))
	e := store.PieceEntry{Key: "k2", Piece: store.Piece{
		Number: 2, State: store.Raced, RerunOf: storetest.Ptr(1), MarginsOnly: true, Note: "Wash at 300 m", Boats: []store.PieceBoat{{Crew: []int64{2}, TimeS: storetest.Ptr(200.0)}},
	}}
	storetest.WantEqual(t, storetest.Must(s.RecordPiece(storetest.Ctx, 1, e, storetest.Anna)), int64(4))
	e.Note = "Wash at 400 m"
	_, err := s.RecordPiece(storetest.Ctx, 1, e, storetest.Anna)
	storetest.WantError(t, err, store.ErrKeyReused)
	e = store.PieceEntry{Key: "k3", Piece: store.Piece{Number: 3, State: store.Raced, Note: "Clocked. Margins only. no"}}
	storetest.WantEqual(t, storetest.Must(s.RecordPiece(storetest.Ctx, 1, e, storetest.Anna)), int64(4))
}

// TestAFileIsCopiedBeforeItIsUpgraded holds that the copy is the file as the
// older program left it, and that the oldest copies go, but nothing else.
func TestAFileIsCopiedBeforeItIsUpgraded(t *testing.T) {
	path := fileOf(t, 14)
	before := storetest.CopiesBefore(t, path)
	for _, old := range []string{"20250101T000000Z", "20250102T000000Z", "of mine"} {
		storetest.Check(t, os.WriteFile(path+".before-"+old, nil, 0o600))
	}
	storetest.At(t, path)
	copies := storetest.CopiesBefore(t, path)
	if len(before) != 0 || len(copies) != 2 || !strings.HasSuffix(copies[0].Path, "20250102T000000Z") {
		t.Fatalf("%+v, then %+v", before, copies)
	}
	if _, err := os.Stat(path + ".before-of mine"); err != nil {
		t.Error(err)
	}
	var step int
	storetest.Check(t, storetest.Raw(t, copies[1].Path).QueryRow("SELECT max(version_id) FROM goose_db_version").Scan(&step))
	if step != 14 {
		t.Errorf("the copy is at step %d", step)
	}
	if a := storetest.Must(storetest.At(t, copies[1].Path).Athlete(storetest.Ctx, 1)); a.Name != "Edda" {
		t.Errorf("%+v", a)
	}
}

// TestOldNamesAreSplitAlike holds the step of the database against what the
// program does with a name that comes in today: neither loses a letter, and a
// name that somebody has already stays as it is written.
func TestOldNamesAreSplitAlike(t *testing.T) {
	path := fileOf(t, 11)
	file := storetest.Raw(t, path)
	for name := range storetest.Splits {
		_, err := file.Exec(`INSERT INTO athletes (version, name, name_key, sex, sculls, note, archived) VALUES (1, ?, ?, '', 0, '', 0)`, strings.TrimSpace(name), store.NameKey(name))
		if err != nil && !strings.Contains(err.Error(), "UNIQUE") {
			t.Fatal(err)
		}
	}
	storetest.Check(t, file.Close())
	s := storetest.At(t, path)
	kept := map[string]bool{}
	for _, a := range storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Archived: true})) {
		given, family := store.SplitName(a.Name)
		storetest.WantEqual(t, []string{a.Given, a.Family}, []string{given, family})
		if join := store.JoinName(a.Given, a.Family); a.Name != join {
			kept[a.Name] = true
			if len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Name: join}))) == 0 {
				t.Errorf("%q is not joined as %q, and nobody else is called so", a.Name, join)
			}
		}
		if key := store.NameKey(a.Name); len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Name: key, Archived: true}))) == 0 {
			t.Errorf("%q is not found", a.Name)
		}
	}
	if len(kept) == 0 {
		t.Error("two spellings of one name did not meet")
	}
	for _, written := range []string{"Kofi Mensah-Bright", "Jan van der Berg", "Lee, Ann, cox", "Mia Ek"} {
		if len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Name: written}))) != 1 {
			t.Errorf("%s is not on record", written)
		}
	}
}

// TestTheSmallestDifferenceKeepsItsValue, and terms without one get none.
func TestTheSmallestDifferenceKeepsItsValue(t *testing.T) {
	s := storetest.At(t, fileOf(t, 26))
	for id, want := range map[int64]string{24: `{"boats":2,"hulls":true,"smallest_w":12.5}`, 25: `{"boats":2}`} {
		if r := storetest.Must(s.SeatRace(storetest.Ctx, id)); *r.Terms != want {
			t.Errorf("race %d: %s, want %s", id, *r.Terms, want)
		}
	}
}

// TestDoneTasksOfOldFilesAreInOrder holds that what was done last is listed first.
func TestDoneTasksOfOldFilesAreInOrder(t *testing.T) {
	s := storetest.At(t, fileOf(t, 27))
	_, done, err := s.Tasks(storetest.Ctx)
	storetest.Check(t, err)
	var ids []int64
	for _, task := range done {
		ids = append(ids, task.ID)
	}
	storetest.WantEqual(t, ids, []int64{3, 4})
}
