package store_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/storetest"
)

// marked gives an athlete a word that stands nowhere else, in every table that can
// hold one.
func fillAbout(t *testing.T, s *store.Store, word string) (id, race int64) {
	t.Helper()
	id = storetest.AddNamed(t, s, word)
	other := storetest.AddNamed(t, s, "Other")
	storetest.Run(t, storetest.Writer(s), fmt.Sprintf(`
		INSERT INTO measures (athlete_id, measured_on, stature_cm, measured_by, note, entered_at) VALUES (%[1]d, '2026-01-05', 178.5, 'Anna', '%[2]s', '2026-01-05T17:00:00.000Z'),
			(%[3]d, '2026-01-05', 178.5, '%[2]s', '', '2026-01-05T17:00:00.000Z');
		INSERT INTO postures (athlete_id, calibrated_on, kind, shin_deg, note, entered_at) VALUES (%[1]d, '2026-01-06', 'sweep', 91, '%[2]s', '2026-01-06T17:00:00.000Z');
		INSERT INTO squads (id, version, name, name_key) VALUES (1, 1, 'Men', 'men');
		INSERT INTO squad_athletes (squad_id, athlete_id) VALUES (1, %[1]d);
		INSERT INTO accounts (id, name, name_key, hash, created_at, role, athlete_id) VALUES (5, '%[2]s2', 'x', 'secret', '2026-01-01T10:00:00.000Z', 'athlete', %[1]d);
		INSERT INTO usages (account_id, body_lengths, rig_lengths, masses, sides, days, decimals) VALUES (5, 'ft_in', 'in', 'lb', 'stroke_bow', 'mdy', 'comma');
		INSERT INTO tokens (account_id, name, hash, scopes, created_at, expires_at) VALUES (5, '%[2]s', 'secret', 'read', '2026-01-01T10:00:00.000Z', '2027-01-01T10:00:00.000Z');
		INSERT INTO links (kind, hash, name, athlete_id, created_by, created_at, expires_at) VALUES ('measuring', 'secret', '%[2]s', %[1]d, 'Anna', '2026-01-01T10:00:00.000Z', '2027-01-01T10:00:00.000Z');
		INSERT INTO saved_seats (athlete_id, name, address, note, saved_by, saved_at) VALUES (%[1]d, '%[2]s', '/seat', '', '%[2]s2', '2026-01-01T10:00:00.000Z');
		INSERT INTO tasks (what, address, note, sent_by, sent_at, saved_seat_id) VALUES ('%[2]s', '/seat', '', '%[2]s2', '2026-01-01T10:00:00.000Z', 1);
		INSERT INTO opinions (athlete_id, said_on, power_w, sd_w, note, said_by, entered_at) VALUES (%[1]d, '2026-01-12', 260, 12.5, '%[2]s', 'Anna', '2026-01-12T10:00:00.000Z');
		INSERT INTO measured_arcs (athlete_id, seat, client_key, class_code, finish_cm, blade, side, at, by) VALUES (%[1]d, 1, 'a', '2-', 40, '', 'port', '2026-01-07T10:00:00.000Z', '%[2]s');
		INSERT INTO filmed_readings (athlete_id, boat, class_code, seat, filmed_on, end, angle_deg, angle_sd_deg, tells, strokes, marks, blade, side, note, at, by) VALUES
			(%[1]d, 'K', '2-', 1, '2026-01-12', 'catch', -54.5, 1.2, 1, 0, '{}', '', 'port', '%[2]s', '2026-01-12T10:00:00.000Z', 'Anna');
		INSERT INTO filmed_stills (filmed_reading_id, picture, width_px, height_px, at, by) VALUES (1, CAST('%[2]s' AS BLOB), 4, 3, '2026-01-12T10:00:00.000Z', 'Anna');
		INSERT INTO consents (athlete_id, given, said_on, guardian, note, entered_by, entered_at) VALUES (%[1]d, 1, '2026-01-12', '%[2]s', '', 'Anna', '2026-01-12T10:00:00.000Z');`, id, word, other))
	storetest.Must(s.AddErgTest(storetest.Ctx, store.ErgTest{AthleteID: id, TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 421, Note: word}, storetest.Anna))
	storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{AthleteID: &id, RecordedOn: "2026-03-01", Thresholds: "{}", SourceFile: word, Samples: store.Samples{TimeS: []float64{1, 2}},
		Features: []store.FeatureValue{{Stroke: 1, Feature: "catch_deg", Value: -55}}}))
	storetest.Run(t, storetest.Writer(s), `INSERT INTO recording_marks (recording_id, start_s, left_out, note, by, at) VALUES (1, 1, 1, '`+word+`', 'Anna', '2026-03-09T10:00:00.000Z');
		INSERT INTO recording_edits (recording_id, version, field, to_value, at, by) VALUES (1, 2, 'note', '`+word+`', '2026-03-08T10:00:00.000Z', 'Anna')`)
	storetest.Run(t, storetest.Writer(s), fmt.Sprintf(`INSERT INTO boat_crews (boat_id, seat, athlete_id) VALUES (%d, 1, %d)`, storetest.AddFour(t, s), id))
	storetest.Must(s.AddLineup(storetest.Ctx, store.Lineup{Name: "Spring", ClassCode: "4-", Seats: []store.LineupSeat{{AthleteID: &id}, {AthleteID: &other}}}, storetest.Anna))
	storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: 1, BoatVersion: 1, Crew: storetest.Ptr(fmt.Sprintf(`[{"seat":1,"athlete_id":%d}]`, id)), Lines: []store.SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85}}}, store.By{Name: word}))
	race = storetest.Must(storetest.AddSeatRace(s, store.SeatRace{Name: "Trial", HeldOn: "2026-03-02", DistanceM: 1000, ClassCode: "1x",
		Terms:    storetest.Ptr(fmt.Sprintf(`{"boats":2,"pairs":[[%d,%d]],"prior_means_s":{"%d":-0.5,"%d":0.25}}`, id, other, id, other)),
		Athletes: []store.SeatRaceAthlete{{AthleteID: id, Side: "port"}, {AthleteID: other}},
		Pieces:   []store.Piece{{Number: 1, State: store.Planned, Boats: []store.PieceBoat{{Crew: []int64{id}}, {Crew: []int64{other}}}}}}, storetest.Anna))
	storetest.Must(s.RecordPiece(storetest.Ctx, race, store.PieceEntry{Key: "k", Piece: store.Piece{Number: 1, State: store.Raced,
		Boats: []store.PieceBoat{{Crew: []int64{other}, TimeS: storetest.Ptr(200.0)}, {Crew: []int64{id}, TimeS: storetest.Ptr(201.5)}}}}, store.By{Name: word}))
	return id, race
}

// TestNothingOfARemovedAthleteIsLeft removes somebody of whom every table knows, and
// who raced and signed.
func TestNothingOfARemovedAthleteIsLeft(t *testing.T) {
	s := storetest.New(t)
	const word = "Xanthippe"
	id, race := fillAbout(t, s, word)
	before := storetest.Must(s.SeatRace(storetest.Ctx, race))
	storetest.WantThere(t, s, word, strings.ToLower(word))
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, id))
	storetest.WantGone(t, s, word, strings.ToLower(word))
	if since := storetest.Must(s.Traces(storetest.Ctx)); !since.IsZero() {
		t.Errorf("still to be wiped since %v", since)
	}
	_, err := s.Athlete(storetest.Ctx, id)
	storetest.WantError(t, err, store.ErrNotFound)
	storetest.Check(t, store.Sound(storetest.Ctx, s.Path()))

	after := storetest.Must(s.SeatRace(storetest.Ctx, race))
	var nobody int64
	for _, a := range after.Athletes {
		if a.Side == "port" {
			nobody = a.AthleteID
		}
	}
	a := storetest.Must(s.Athlete(storetest.Ctx, nobody))
	if a.Name != fmt.Sprintf("Former athlete %d", nobody) || !a.Anonymous || !a.Guest || !a.Archived || a.BirthDate != nil || a.Sex != "" {
		t.Errorf("%+v", a)
	}
	storetest.WantEqual(t, after.Pieces[0].Boats[1].Crew, []int64{nobody})
	storetest.WantEqual(t, *after.Pieces[0].Boats[1].TimeS, *before.Pieces[0].Boats[1].TimeS)
	if !sameJSON(t, *after.Terms, fmt.Sprintf(`{"boats":2,"pairs":[[%d,2]],"prior_means_s":{"%d":-0.5,"2":0.25}}`, nobody, nobody)) {
		t.Errorf("the terms are %s", *after.Terms)
	}
	for _, line := range storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.SeatRaceRecord, race, 0))) {
		if _, crews, ok := strings.Cut(line, "crew "); ok && slices.Contains(strings.Fields(crews), fmt.Sprint(id)) {
			t.Errorf("the history knows the number still: %s", line)
		}
	}
	storetest.WantError(t, s.DeleteAthlete(storetest.Ctx, nobody), store.ErrInUse)
	storetest.Check(t, s.DeleteSeatRace(storetest.Ctx, race))
	_, err = s.Athlete(storetest.Ctx, nobody)
	storetest.WantError(t, err, store.ErrNotFound)
}

func sameJSON(t *testing.T, a, b string) bool {
	t.Helper()
	var same bool
	storetest.Check(t, storetest.Readers(storetest.New(t)).QueryRow("SELECT json_extract(?1, '$.pairs') = json_extract(?2, '$.pairs') AND json_extract(?1, '$.boats') = json_extract(?2, '$.boats')"+
		" AND (SELECT group_concat(key || value) FROM (SELECT key, value FROM json_each(?1, '$.prior_means_s') ORDER BY key)) ="+
		" (SELECT group_concat(key || value) FROM (SELECT key, value FROM json_each(?2, '$.prior_means_s') ORDER BY key))", a, b).Scan(&same))
	return same
}

func TestNumbersAreReplacedWhereTheyAreAthletes(t *testing.T) {
	for _, c := range [][2]string{
		{"1 2 11", "7 2 11"}, {"2 1", "2 7"}, {"", ""}, {"1", "7"}, {"11", "11"}, {"none", "none"},
		{`{"pairs":[[1,2],[11,1]],"swaps":1}`, `{"pairs":[[7,2],[11,7]],"swaps":1}`},
		{`{"prior_sds_s":{"1":0.10,"11":1}}`, `{"prior_sds_s":{"11":1,"7":0.10}}`},
		{`{"Boats":[{"Crew":[1,3],"TimeS":1}],"Number":1}`, `{"Boats":[{"Crew":[7,3],"TimeS":1}],"Number":1}`},
		{`{"boats":1}`, `{"boats":1}`},
	} {
		if got := store.ReplaceID(c[0], 1, 7); got != c[1] {
			t.Errorf("%s: %s, want %s", c[0], got, c[1])
		}
	}
}

// TestANamesakeKeepsTheirName: what somebody else of the same name signed stays.
func TestANamesakeKeepsTheirName(t *testing.T) {
	s := storetest.New(t)
	a := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Edda Ny", BirthDate: storetest.Ptr("2001-02-03")}, storetest.Anna))
	storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Edda Ny", BirthDate: storetest.Ptr("2004-02-03")}, storetest.Anna))
	third := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Ola"}, store.By{Name: "Edda Ny"}))
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, a))
	if by := storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, third, 0))[0].By; by != "Edda Ny" {
		t.Errorf("signed by %s", by)
	}
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, 2))
	if by := storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, third, 0))[0].By; by != store.FormerSigner {
		t.Errorf("signed by %s", by)
	}
}

// TestEveryTableWithAthletesIsInTheDossier asks the schema itself, so that a new
// table cannot be forgotten.
func TestEveryTableWithAthletesIsInTheDossier(t *testing.T) {
	s := storetest.New(t)
	listed := store.DossierTables()
	type reference struct{ from, to string }
	references := storetest.Must(db.Read(storetest.Ctx, s.File, func(t *db.Tx) ([]reference, error) {
		return db.List(t, func(r *reference) []db.Column { return []db.Column{{"m.name", &r.from}, {"f.\"table\"", &r.to}} },
			"sqlite_schema AS m, pragma_foreign_key_list(m.name) AS f WHERE m.type = 'table'")
	}))
	owned := []string{"athletes", "recordings", "accounts", "saved_seats", "seat_race_athletes", "filmed_readings"}
	for _, r := range references {
		if slices.Contains(owned, r.to) && !slices.Contains(listed, r.from) {
			t.Errorf("%s refers to %s, and is not in the dossier", r.from, r.to)
		}
	}
	if len(references) < 20 {
		t.Errorf("only %d references", len(references))
	}
}

func TestTheDossierHoldsEverythingAndNoSecret(t *testing.T) {
	s := storetest.New(t)
	id, _ := fillAbout(t, s, "Xanthippe")
	all := storetest.Must(s.Dossier(storetest.Ctx, id))
	for _, table := range store.DossierTables() {
		if len(all[table]) == 0 {
			t.Errorf("nothing of %s", table)
		}
	}
	text := fmt.Sprint(all)
	if strings.Contains(text, "secret") || strings.Contains(text, "Other") {
		t.Errorf("a secret, or another's name, is in %s", text)
	}
	if got := all["measures"][0]["stature_cm"]; got != 178.5 {
		t.Errorf("stature %v", got)
	}
	_, err := s.Dossier(storetest.Ctx, 99)
	storetest.WantError(t, err, store.ErrNotFound)
}

// TestRemovedLineupsSheetsAndTestsAreGoneFromTheFile looks without the wiping that
// comes later.
func TestRemovedLineupsSheetsAndTestsAreGoneFromTheFile(t *testing.T) {
	s := storetest.New(t)
	storetest.AddFour(t, s)
	id := storetest.AddNamed(t, s, "Edda")
	lineup := storetest.Must(s.AddLineup(storetest.Ctx, store.Lineup{Name: "Lineup of Lent", ClassCode: "4-"}, storetest.Anna))
	sheet := storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: 1, BoatVersion: 1, Note: "Sheet of Lent"}, storetest.Anna))
	test := storetest.Must(s.AddErgTest(storetest.Ctx, store.ErgTest{AthleteID: id, TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 421, Note: "Test of Lent"}, storetest.Anna))
	storetest.WantThere(t, s, "Lineup of Lent", "Sheet of Lent", "Test of Lent")
	storetest.Check(t, s.DeleteLineup(storetest.Ctx, lineup))
	storetest.Check(t, s.DeleteSheet(storetest.Ctx, sheet))
	storetest.Check(t, s.RemoveErgTest(storetest.Ctx, id, test, storetest.Anna))
	storetest.WantGone(t, s, "Lineup of Lent", "Sheet of Lent", "Test of Lent")
	if storetest.Must(s.Traces(storetest.Ctx)).IsZero() {
		t.Error("nothing is left to be wiped")
	}
	storetest.Check(t, s.WipeTraces(storetest.Ctx))
	if since := storetest.Must(s.Traces(storetest.Ctx)); !since.IsZero() {
		t.Errorf("still to be wiped since %v", since)
	}
}

// TestAWipeThatFailedIsTriedAgain keeps a reader's snapshot meanwhile, and on the
// disk what is to be wiped survives a new start.
func TestAWipeThatFailedIsTriedAgain(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Xanthippe")
	storetest.Run(t, storetest.Writer(s), "PRAGMA busy_timeout = 1")
	_, err := db.Read(storetest.Ctx, s.File, func(r *db.Tx) (struct{}, error) {
		storetest.Check(t, r.Exists("athletes", id))
		storetest.WantError(t, s.DeleteAthlete(storetest.Ctx, id), store.ErrTraces)
		return struct{}{}, nil
	})
	storetest.Check(t, err)
	s = storetest.Reopen(t, s)
	if storetest.Must(s.Traces(storetest.Ctx)).IsZero() {
		t.Error("nothing is left to be wiped")
	}
	storetest.Check(t, s.WipeTraces(storetest.Ctx))
	storetest.WantGone(t, s, "Xanthippe")
}

func TestOldNamesLeaveTheFile(t *testing.T) {
	s := storetest.New(t)
	a := storetest.Must(s.Athlete(storetest.Ctx, storetest.AddNamed(t, s, "Xanthippe")))
	a.Name, a.Given, a.Family = "Edda", "", ""
	storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna))
	storetest.Check(t, s.WipeTraces(storetest.Ctx))
	storetest.WantGone(t, s, "Xanthippe", "xanthippe")
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, a.ID, 0))), []string{"name - - Anna", "name - Edda Anna"})
}

func TestOldFilesForgetNamesAndTests(t *testing.T) {
	s := storetest.At(t, fileOf(t, 19))
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, 21, 0))), []string{
		"name - - Anna", "name - Ola Ny Anna", "ergometer test 2026-03-01 - - Anna", "ergometer test 2026-03-01 - - Anna",
	})
	if storetest.Must(s.Traces(storetest.Ctx)).IsZero() {
		t.Error("nothing is left to be wiped")
	}
}
