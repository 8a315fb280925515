package lineup

import (
	"context"
	"testing"
	"time"

	"thole/api/club"
	"thole/api/records"
)

// TestDrawsAreMadeOnce: those of the same squad and seed are remembered, those of another
// seed or number are made, and those that were cut short are made again.
func TestDrawsAreMadeOnce(t *testing.T) {
	s := &Service{Records: &records.Records{Now: time.Now}}
	r := LineupsRequest{Draws: 20, Seed: 1}
	r.BoatClass = "2-"
	for i, id := range []string{"a", "b", "c", "d"} {
		r.Candidates = append(r.Candidates, Candidate{ID: id, PowerW: 300 + float64(i), PowerSdW: 10, MassKg: 80, Sides: &club.SideCosts{Port: new(float64), Starboard: new(float64)}})
	}
	find := func(ctx context.Context, r LineupsRequest) *Firmness {
		a, err := s.FindLineups(ctx, r)
		if err != nil || a.Firmness == nil {
			t.Fatal(err, a.Firmness)
		}
		return a.Firmness
	}
	first := find(t.Context(), r)
	if find(t.Context(), r) != first {
		t.Error("the same draws were made twice")
	}
	other := r
	other.Seed = 2
	if find(t.Context(), other) == first {
		t.Error("another seed has the draws of the first")
	}
	other.Seed, other.Draws = 1, 21
	if again := find(t.Context(), other); again == first || again.Draws != 21 {
		t.Errorf("%d draws, want 21", again.Draws)
	}
}
