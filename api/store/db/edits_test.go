package store

import (
	"testing"
	"time"
)

func TestAnUnknownSubjectPanics(t *testing.T) {
	s := open(t)
	defer func() {
		if recover() == nil {
			t.Error("a query was built from an unknown subject")
		}
	}()
	_, _ = s.Changes(ctx, "1 = 1; --", 1, 0)
}

func TestDifferencesAreNamed(t *testing.T) {
	mass, none, note, seats := ptr(80.5), (*float64)(nil), "a", 4
	old := []column{{"mass", &mass}, {"hull", &none}, {"note", &note}, {"gone", &seats}}
	heavier, other := ptr(81.0), "b"
	got := diff(detailed(old), detailed([]column{{"mass", &heavier}, {"hull", &none}, {"note", &other}, {"new", &seats}}))
	wantEqual(t, got, []Change{
		{Part: Part{Field: "mass"}, From: ptr("80.5"), To: ptr("81")}, {Part: Part{Field: "note"}, From: ptr("a"), To: ptr("b")}, {Part: Part{Field: "new"}, To: ptr("4")}, {Part: Part{Field: "gone"}, From: ptr("4")},
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
		text := must(stamp(at).Value())
		wantEqual(t, text, want)
		var back stamp
		check(t, back.Scan(text))
		if !time.Time(back).Equal(at) {
			t.Errorf("%v comes back as %v", at, time.Time(back))
		}
	}
	if new(stamp).Scan("yesterday") == nil {
		t.Error("a text that is no moment was read")
	}
}

func TestEditsAreNotChangedInPlace(t *testing.T) {
	s := open(t)
	addNamed(t, s, "Edda")
	for _, column := range []string{"at", "version", "field", "athlete_id"} {
		if _, err := s.writer.Exec("UPDATE edits SET " + column + " = 'x'"); err == nil {
			t.Errorf("%s was rewritten", column)
		}
	}
}
