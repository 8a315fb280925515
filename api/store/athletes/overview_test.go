package athletes_test

import (
	"math/rand/v2"
	"testing"

	"thole/api/store"
)

// TestOverviewsAgreeWithAllMeasures compares the short way with the long one
// over random measures, with gaps and several entries a day.
func TestOverviewsAgreeWithAllMeasures(t *testing.T) {
	s, err := store.Open(t.Context(), t.TempDir()+"/club.db")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	r := rand.New(rand.NewPCG(1, 2))
	days := []string{"2026-01-01", "2026-01-02", "2026-02-01", "2026-03-01"}
	maybe := func() *float64 {
		if r.IntN(2) == 0 {
			return nil
		}
		v := 100 * r.Float64()
		return &v
	}
	for _, name := range []string{"A", "B", "C", "D"} {
		id, err := s.AddAthlete(t.Context(), store.Athlete{Name: name}, store.By{Name: "X"})
		if err != nil {
			t.Fatal(err)
		}
		span := 170.0
		for range 8 {
			m := store.Measures{AthleteID: id, MeasuredOn: days[r.IntN(len(days))]}
			m.StatureCm, m.MassKg, m.ArmSpanCm = maybe(), maybe(), &span
			if _, err := s.AddMeasures(t.Context(), m); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, day := range append(days, "2025-12-31") {
		compareOverviews(t, s, day)
	}
}

func compareOverviews(t *testing.T, s *store.Store, day string) {
	t.Helper()
	short, err := s.Overviews(t.Context(), day)
	if err != nil {
		t.Fatal(err)
	}
	long, err := s.AllLatestMeasures(t.Context(), day)
	if err != nil {
		t.Fatal(err)
	}
	if len(short) != len(long) {
		t.Errorf("%s: %d athletes, want %d", day, len(short), len(long))
	}
	for id, l := range long {
		o, newest := short[id], ""
		for _, on := range l.MeasuredOn {
			newest = max(newest, on)
		}
		if !alike(o.StatureCm, l.StatureCm) || !alike(o.MassKg, l.MassKg) || o.MeasuredOn != newest {
			t.Errorf("%s, athlete %d: %+v, want %v, %v, %s", day, id, o, l.StatureCm, l.MassKg, newest)
		}
	}
}

func alike(a, b *float64) bool { return a == b || a != nil && b != nil && *a == *b }
