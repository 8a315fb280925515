package strokes_test

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"thole/api"
	"thole/api/store"
	"thole/api/strokes"
	"thole/selection/stroke"
)

// BenchmarkSquadOfAHundred compares a hundred athletes with each other.
func BenchmarkSquadOfAHundred(b *testing.B) {
	path := filepath.Join(b.TempDir(), "club.db")
	records, err := store.Open(b.Context(), path)
	if err != nil {
		b.Fatal(err)
	}
	s := api.NewService(records)
	defer func() { s.Close(); _ = records.Close() }()
	for i := range 100 {
		id, err := records.AddAthlete(b.Context(), store.Athlete{Name: fmt.Sprintf("Rower %d", i)}, store.By{Name: "Ines"})
		if err != nil {
			b.Fatal(err)
		}
		curve := make([]float64, stroke.Nodes)
		for k := range curve {
			u := float64(k) / (stroke.Nodes - 1)
			curve[k] = 600 * math.Sin(math.Pi*math.Pow(u, 0.8+float64(i)/200))
		}
		one := store.Recording{AthleteID: &id, RecordedOn: "2026-03-01", Thresholds: "{}", MeanCurve: curve}
		if _, err := records.AddRecordings(b.Context(), func(yield func(store.Recording, error) bool) { yield(one, nil) }); err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		if squad, err := s.Strokes.SquadCurves(b.Context(), strokes.CurveSquadRequest{}); err != nil || len(squad.Alike) != 100 {
			b.Fatal(err)
		}
	}
}
