package db_test

import (
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/storetest"
	"time"
)

func TestAnUnknownSubjectPanics(t *testing.T) {
	s := storetest.New(t)
	defer func() {
		if recover() == nil {
			t.Error("a query was built from an unknown subject")
		}
	}()
	_, _ = s.Changes(storetest.Ctx, "1 = 1; --", 1, 0)
}

func TestDifferencesAreNamed(t *testing.T) {
	mass, none, note, seats := storetest.Ptr(80.5), (*float64)(nil), "a", 4
	old := []db.Column{{"mass", &mass}, {"hull", &none}, {"note", &note}, {"gone", &seats}}
	heavier, other := storetest.Ptr(81.0), "b"
	got := db.Diff(db.Detailed(old), db.Detailed([]db.Column{{"mass", &heavier}, {"hull", &none}, {"note", &other}, {"new", &seats}}))
	storetest.WantEqual(t, got, []store.Change{
		{Part: store.Part{Field: "mass"}, From: storetest.Ptr("80.5"), To: storetest.Ptr("81")}, {Part: store.Part{Field: "note"}, From: storetest.Ptr("a"), To: storetest.Ptr("b")}, {Part: store.Part{Field: "new"}, To: storetest.Ptr("4")}, {Part: store.Part{Field: "gone"}, From: storetest.Ptr("4")},
	})
}

// RFC 3339, section 5.6; texts of one length sort as the moments do.
func TestMomentsAreTextsThatSort(t *testing.T) {
	zone := time.FixedZone("", 3600)
	for at, want := range map[time.Time]any{
		time.Date(2026, 3, 14, 13, 0, 0, 0, zone):               "2026-03-14T12:00:00.000Z",
		time.Date(2026, 3, 14, 12, 0, 0, 120_000_000, time.UTC): "2026-03-14T12:00:00.120Z",
		{}: nil,
	} {
		text := storetest.Must(db.Stamp(at).Value())
		storetest.WantEqual(t, text, want)
		var back db.Stamp
		storetest.Check(t, back.Scan(text))
		if !time.Time(back).Equal(at) {
			t.Errorf("%v comes back as %v", at, time.Time(back))
		}
	}
	if new(db.Stamp).Scan("yesterday") == nil {
		t.Error("a text that is no moment was read")
	}
}

func TestEditsAreNotChangedInPlace(t *testing.T) {
	s := storetest.New(t)
	storetest.AddNamed(t, s, "Edda")
	for _, column := range []string{"at", "version", "field", "athlete_id"} {
		if _, err := storetest.Writer(s).Exec("UPDATE edits SET " + column + " = 'x'"); err == nil {
			t.Errorf("%s was rewritten", column)
		}
	}
}

// TestPartsAreNamedInALine, the whole before its part.
func TestPartsAreNamedInALine(t *testing.T) {
	for want, part := range map[string]db.Part{
		"name": {Field: "name"}, "seat 3 span_cm": {Field: "span_cm", Seat: 3}, "seat 1 range of span_cm": {Field: "span_cm", Seat: 1, Ranged: true},
		"piece 2 state": {Field: "state", Piece: 2}, "piece 2 boat 1 time_s": {Field: "time_s", Piece: 2, PieceBoat: 1},
		"place of athlete 7": {Field: "place", Athlete: 7}, "ergometer test 2026-03-01": {Field: db.ErgometerTest, TestedOn: "2026-03-01"},
	} {
		storetest.WantEqual(t, part.What(), want)
	}
}

// TestRangesAreReadBack, where a change is of a range.
func TestRangesAreReadBack(t *testing.T) {
	kept := storetest.Ptr(`{"min": 157, "max": 160, "step": 0.5, "cost": 2}`)
	span := db.Part{Field: "span_cm", Seat: 1, Ranged: true}
	want := &store.Adjustment{Setting: "span_cm", Min: 157, Max: 160, Step: 0.5, Cost: 2}
	for name, c := range map[string]struct {
		change   store.Change
		from, to *store.Adjustment
	}{
		"new": {store.Change{Part: span, To: kept}, nil, want}, "gone": {store.Change{Part: span, From: kept}, want, nil},
		"a setting": {store.Change{Part: db.Part{Field: "span_cm", Seat: 1}, From: kept, To: kept}, nil, nil}, "damaged": {store.Change{Part: span, From: kept, To: storetest.Ptr("{")}, want, nil},
	} {
		from, to := c.change.Ranges()
		t.Log(name)
		storetest.WantEqual(t, from, c.from)
		storetest.WantEqual(t, to, c.to)
	}
}

// TestAChangeIsAVersion with what changed, and without a change there is none.
func TestAChangeIsAVersion(t *testing.T) {
	s := storetest.New(t)
	a := storetest.Must(s.Athlete(storetest.Ctx, storetest.AddNamed(t, s, "Edda")))
	storetest.WantEqual(t, storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna)), int64(1))
	a.Note = "left-handed"
	storetest.WantEqual(t, storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna)), int64(2))
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, a.ID, 1))), []string{"note  left-handed Anna"})
	storetest.WantConflict(t, second(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna)), 2)
}

func second(_ int64, err error) error { return err }
